package rules

import (
	"io/fs"
	"strings"
	"sync"

	"pocketgauge/rules/quantity"
)

// RatesFile is the name under which a shop's rates are looked for, beside its workspace.
const RatesFile = "rates.yaml"

// Rates is what a shop's work costs: what its steels and machines do, how long the work takes that
// no formula knows, and what an hour of each machine or bench is charged at.
//
// Money is in one currency throughout and has no unit; what it is money for stands in the key. Every
// number has a default that says where it comes from: a published source, or "the demo shop's own",
// which is an example and to be replaced by whoever quotes.
type Rates struct {
	File  string
	Chain []string

	Shop, Note, Currency Text
	// Contingency is a share of cost, Margin of cost with contingency.
	Contingency, Margin Limit

	Steels   []SteelRates
	Machines []Machine

	Material      MaterialRates
	Design        DesignRates
	Programming   ProgrammingRates
	Setting       SettingRates
	Milling       MillingRates
	Finishing     FinishingRates
	Drilling      DrillingRates
	Electrodes    ElectrodeRates
	Erosion       ErosionRates
	Grinding      GrindingRates
	Edges         EdgeRates
	Polishing     PolishingRates
	HeatTreatment HeatTreatmentRates
	Fitting       FittingRates
	Measuring     MeasuringRates
	Purchase      []PurchasePart
	Trial         TrialRates
	Delivery      DeliveryRates
	Dedicated     DedicatedRates

	sources []*source
}

// Spread is how far the hours of an operation may fall below or above what is likely, as shares.
type Spread struct{ Low, High Limit }

const (
	ownRate = "the demo shop's own"
	ownPart = "common practice, no source; the number is the demo shop's own"
)

func (r *Rates) keys() []key {
	return []key{
		header("unit", []string{"mm", "in"}, `Unit of bare lengths in this file: mm or in. A length may carry its own; every other quantity
			must, but for money, shares, plain numbers and a bare 0.`).orDefault("mm", "drawings of moulds are in millimetres unless they say otherwise"),
		header("inherits", nil, `Path of the rates file whose values hold where this one is silent, from this file's folder.`),
		text("shop", &r.Shop, `Whose rates these are; printed on what the customer reads.`),
		text("note", &r.Note, `Anything a reader of this file should know.`),
		text("currency", &r.Currency, `Currency of all money in this file, as it is printed. Nothing is converted.`).orDefault("EUR", ownRate),
		limit("contingency", &r.Contingency, quantity.Share, `Share of all other cost that is added for what nobody foresaw.`).atMost(1).orDefault("5 %", ownRate),
		limit("margin", &r.Margin, quantity.Share, `Share of cost, contingency included, that is added to make the price.`).atMost(10).orDefault("12 %", ownRate),
		named("steels", &r.Steels, (*SteelRates).keys, func(s *SteelRates) *Origin { return &s.Origin }, "grade", func(s *SteelRates) *Text { return &s.Grade },
			`What a steel costs and how it cuts, by grade. Grades that no file states have the program's own values.`),
		named("machines", &r.Machines, (*Machine).keys, func(m *Machine) *Origin { return &m.Origin }, "name", func(m *Machine) *Text { return &m.Name },
			`Machines, benches and desks at which hours are booked. Those that no file states have the program's own values.`),
		section("material", `The blank.`, r.Material.keys()...),
		section("design", `Drawing the insert.`, r.Design.keys()...),
		section("programming", `Writing the machines' programs.`, r.Programming.keys()...),
		section("setting", `Clamping and finding the datum, once for each side that is cut.`, r.Setting.keys()...),
		section("milling", `Facing, roughing and rest milling.`, r.Milling.keys()...),
		section("finishing", `Milling what is left to a surface.`, r.Finishing.keys()...),
		section("drilling", `Bores: twist drill, gun drill, and bored ones.`, r.Drilling.keys()...),
		section("electrodes", `Making electrodes for spark erosion.`, r.Electrodes.keys()...),
		section("erosion", `Spark erosion of what no cutter reaches.`, r.Erosion.keys()...),
		section("grinding", `Grinding the outside to the pocket's fit and height.`, r.Grinding.keys()...),
		section("edges", `Breaking edges by hand.`, r.Edges.keys()...),
		section("polishing", `Polishing by hand.`, r.Polishing.keys()...),
		section("heat_treatment", `Hardening, for steels that ask for it.`, r.HeatTreatment.keys()...),
		section("fitting", `Fitting and spotting the two halves.`, r.Fitting.keys()...),
		section("measuring", `The inspection report.`, r.Measuring.keys()...),
		named("purchase", &r.Purchase, (*PurchasePart).keys, func(p *PurchasePart) *Origin { return &p.Origin }, "name", func(p *PurchasePart) *Text { return &p.Name },
			`Parts that are bought. Where no file states any, the program's own list holds.`),
		section("trial", `Trying the insert in the press.`, r.Trial.keys()...),
		section("delivery", `From hours to weeks.`, r.Delivery.keys()...),
		section("dedicated", `The same detail as a mould of its own, to compare with.`, r.Dedicated.keys()...),
	}
}

func (s *Spread) keys(low, high string) key {
	return section("spread", `How far the hours may fall below or above what is likely.`,
		limit("low", &s.Low, quantity.Share, `Least hours, as a share of the likely ones.`).positive().atMost(1).orDefault(low, ownRate),
		limit("high", &s.High, quantity.Share, `Most hours, as a share of the likely ones.`).atLeast(1).orDefault(high, ownRate))
}

// LoadRates reads a rates file and those it inherits from. The error is a *Problems when the files
// could be read but say something wrong.
func LoadRates(name string) (*Rates, error) { return loadRates(disk{}, name) }

// LoadRatesFS is LoadRates from a file system.
func LoadRatesFS(fsys fs.FS, name string) (*Rates, error) { return loadRates(tree{fsys}, name) }

// DefaultRates are the program's own, every one with its source.
func DefaultRates() *Rates {
	r := &Rates{}
	d := &decoder{report: &reporter{}, groups: map[string]Origin{}, stated: map[string]bool{}}
	r.finish(d)
	if err := d.report.problems(); err != nil {
		// The defaults are this package's own text; the first test that asks for them finds it.
		panic(err)
	}
	return r
}

// finish fills in what no file states and holds the values against each other.
func (r *Rates) finish(d *decoder) {
	r.addKnown()
	completeKeys(d, "", r.keys())
	r.resolve(d)
}

func loadRates(p place, name string) (*Rates, error) {
	report := &reporter{}
	layers, _, err := chain(p, name, report)
	if err != nil {
		return nil, err
	}
	r := &Rates{}
	d := &decoder{report: report, groups: map[string]Origin{}, stated: map[string]bool{}, all: ratesPaths()}
	for i := len(layers) - 1; i >= 0; i-- {
		l := layers[i]
		r.Chain = append([]string{l.source.name}, r.Chain...)
		if l.root == nil {
			continue
		}
		d.source, d.inches = l.source, l.inches
		readKeys(d, l.root, "", r.keys())
	}
	r.File = layers[0].source.name
	d.source = layers[0].source
	d.top = Origin{File: r.File, Line: 1, Column: 1}
	d.groups[""] = d.top
	for _, l := range layers {
		if l.root == nil && len(report.list) > 0 {
			return nil, report.problems()
		}
	}
	r.finish(d)
	if err := report.problems(); err != nil {
		return nil, err
	}
	r.sources = report.sources
	return r, nil
}

// Digest is the SHA-256 of the rates file in hex, of a chain as for Frame.Digest, "" of defaults.
func (r *Rates) Digest() string {
	if len(r.sources) == 0 {
		return ""
	}
	return digest(r.sources)
}

// ShowRates lists every value in force, in the order of the reference table. Steels and machines
// that no file states are left out of the listing of a file; they hold all the same.
func ShowRates(r *Rates) []Row {
	idle := map[string]bool{}
	for i := range r.Steels {
		idle["steels["+clean(r.Steels[i].Grade.Value)+"]"] = r.Steels[i].Origin.IsDefault()
	}
	for i := range r.Machines {
		idle["machines["+clean(r.Machines[i].Name.Value)+"]"] = r.Machines[i].Origin.IsDefault()
	}
	var rows []Row
	rowsOf("", r.keys(), func(row Row) {
		if end := strings.IndexByte(row.Key, ']'); end < 0 || r.File == "" || !idle[row.Key[:end+1]] {
			rows = append(rows, row)
		}
	})
	return rows
}

// RatesSchema is the JSON Schema (draft 2020-12) of a rates file.
func RatesSchema() []byte {
	return document(keysSchema(new(Rates).keys()), "Rates of a shop",
		"What a shop's work costs. Bare lengths are in the file's unit; money is in the file's currency; every other quantity carries its own unit.")
}

// RatesReference lists every key of a rates file.
func RatesReference() []KeyDoc { return reference("", new(Rates).keys(), nil) }

var ratesPaths = sync.OnceValue(func() []string { return pathsOf(new(Rates).keys()) })

// EachNumber calls see with the path and place of every number in force, in the order of the
// reference table, so that a caller can ask what follows from one and write another in its stead.
func (r *Rates) EachNumber(see func(path string, number *Limit)) { eachNumber("", r.keys(), see) }

func eachNumber(path string, keys []key, see func(string, *Limit)) {
	for _, k := range keys {
		at := join(path, k.name)
		switch f := k.form.(type) {
		case limitForm:
			if f.into.Set {
				see(at, f.into)
			}
		case interface {
			eachNumber(path string, see func(string, *Limit))
		}:
			f.eachNumber(at, see)
		default:
			eachNumber(at, k.form.below(), see)
		}
	}
}

func (f listForm[T]) eachNumber(path string, see func(string, *Limit)) {
	for i := range *f.into {
		eachNumber(f.path(path, i), f.keys(&(*f.into)[i]), see)
	}
}

// Write is a number of the rates as a file would state it, with its unit.
func (r *Rates) Write(path string, value float64) (text string, ok bool) {
	writeNumber("", r.keys(), path, value, &text)
	return text, text != ""
}

func writeNumber(path string, keys []key, want string, value float64, text *string) {
	for _, k := range keys {
		at := join(path, k.name)
		if f, is := k.form.(limitForm); is && at == want {
			*text = shown(f.dim, value)
			return
		}
		if _, list := k.form.(interface {
			eachNumber(path string, see func(string, *Limit))
		}); !list {
			writeNumber(at, k.form.below(), want, value, text)
		}
	}
}

// Clone is a copy whose numbers can be changed without changing r's.
func (r *Rates) Clone() *Rates {
	c := *r
	c.Steels = append([]SteelRates(nil), r.Steels...)
	c.Machines = append([]Machine(nil), r.Machines...)
	c.Milling.Cutters = append([]CutterRates(nil), r.Milling.Cutters...)
	c.Drilling.Feeds = append([]DrillFeed(nil), r.Drilling.Feeds...)
	c.Drilling.Derating = append([]Derating(nil), r.Drilling.Derating...)
	c.Polishing.Classes = append([]PolishClass(nil), r.Polishing.Classes...)
	c.Purchase = append([]PurchasePart(nil), r.Purchase...)
	c.Dedicated.Plates = append([]Plate(nil), r.Dedicated.Plates...)
	c.Dedicated.Work = append([]DedicatedWork(nil), r.Dedicated.Work...)
	c.Dedicated.Purchase = append([]DedicatedPart(nil), r.Dedicated.Purchase...)
	return &c
}

// Steel is the entry of a grade, nil when it is not known.
func (r *Rates) Steel(grade string) *SteelRates {
	for i := range r.Steels {
		if r.Steels[i].Grade.Value == grade {
			return &r.Steels[i]
		}
	}
	return nil
}

// Machine is the entry of a name, nil when it is not known.
func (r *Rates) Machine(name string) *Machine {
	for i := range r.Machines {
		if r.Machines[i].Name.Value == name {
			return &r.Machines[i]
		}
	}
	return nil
}

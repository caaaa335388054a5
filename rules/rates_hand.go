package rules

import "pocketgauge/rules/quantity"

// MaterialRates are the blank's.
type MaterialRates struct {
	// PriceLow and PriceHigh are shares of the likely price.
	Spread Spread
}

func (m *MaterialRates) keys() []key {
	return []key{m.Spread.keys("95 %", "115 %")}
}

// DesignRates are those of drawing the insert.
type DesignRates struct {
	Machine         Text
	PerJob, PerHalf Limit // s
	DetailRate      Limit // cm2/h
	Spread          Spread
}

func (g *DesignRates) keys() []key {
	return []key{
		machineKey(&g.Machine, "design office"),
		limit("per_job", &g.PerJob, quantity.Time, `For each insert of one half or a pair: reading the part, shrinkage, parting face, release.`).orDefault("8 h", ownRate),
		limit("per_half", &g.PerHalf, quantity.Time, `For each half: detail, water, ejection, drawing.`).orDefault("5 h", ownRate),
		limit("detail", &g.DetailRate, quantity.AreaRate, `Surface to finish that is drawn in an hour.`).positive().orDefault("60 cm2/h", ownRate),
		g.Spread.keys("70 %", "160 %"),
	}
}

// ProgrammingRates are those of writing the machines' programs.
type ProgrammingRates struct {
	Machine              Text
	PerSetUp, PerCutter  Limit // s
	PerHoleSize, PerHalf Limit
	Spread               Spread
}

func (p *ProgrammingRates) keys() []key {
	return []key{
		machineKey(&p.Machine, "programming"),
		limit("per_half", &p.PerHalf, quantity.Time, `For each half: reading the model in, stock, collision check.`).orDefault("2.5 h", ownRate),
		limit("per_set_up", &p.PerSetUp, quantity.Time, `For each side that is cut.`).orDefault("0.5 h", ownRate),
		limit("per_cutter", &p.PerCutter, quantity.Time, `For each cutter of each side.`).orDefault("0.25 h", ownRate),
		limit("per_hole_size", &p.PerHoleSize, quantity.Time, `For each size of hole.`).orDefault("0.1 h", ownRate),
		p.Spread.keys("75 %", "150 %"),
	}
}

// ElectrodeRates are those of making electrodes.
type ElectrodeRates struct {
	Machine            Text
	Copies             Limit // of each
	MakeTime, PerPlace Limit // s each
	Price              Limit // of the graphite or copper, each
	Spread             Spread
}

func (e *ElectrodeRates) keys() []key {
	return []key{
		machineKey(&e.Machine, "electrode mill"),
		limit("copies", &e.Copies, quantity.Plain, `Copies of each electrode, for its form wears: one to rough and one to finish are two. The rules
			say which places one electrode serves.`).positive().orDefault("2", "one to rough, one to finish; "+ownPart),
		limit("make", &e.MakeTime, quantity.Time, `For each copy: blank, clamping, milling, measuring; drawing and programming shared among
			them.`).orDefault("1.25 h", ownRate),
		limit("per_place", &e.PerPlace, quantity.Time, `For each place that it burns, on each copy: milling the form for it.`).orDefault("0.1 h", ownRate),
		limit("price", &e.Price, quantity.Plain, `Price of its graphite, in the file's currency.`).orDefault("9", ownRate),
		e.Spread.keys("70 %", "170 %"),
	}
}

// ErosionRates are those of sinking.
type ErosionRates struct {
	Machine                   Text
	RoughRemoval, LastRemoval Limit // cm3/min
	LastShare                 Limit // of the volume that goes at LastRemoval
	PerElectrode              Limit // s
	OverBurn                  Limit
	Spread                    Spread
}

func (e *ErosionRates) keys() []key {
	return []key{
		machineKey(&e.Machine, "sinking machine"),
		limit("rough_removal", &e.RoughRemoval, quantity.VolumeRate, `What is burnt away in a minute in roughing. Current I in A removes
			4e4 I Tm^-1.23 mm3/min of a metal that melts at Tm in degrees Celsius (Kalpakjian's formula as quoted by El-Hofy, Fundamentals of Machining
			Processes, 2013, p. 395; its constant from memory): 124 mm3/min of steel at 25 A.`).positive().orDefault("15 mm3/min", "the formula at 3 A and 1500 degrees, what a corner's small electrode bears; "+ownRate),
		limit("last_removal", &e.LastRemoval, quantity.VolumeRate, `What is burnt away in a minute in finishing, the surface that is left
			included. Slow below 0.8 um Ra.`).positive().orDefault("0.5 mm3/min", "from memory; no source was found"),
		limit("last_share", &e.LastShare, quantity.Share, `Share of the volume that is left for finishing.`).atMost(1).orDefault("20 %", ownRate),
		limit("per_electrode", &e.PerElectrode, quantity.Time, `For each copy of each electrode in each position: setting it, flushing, measuring.`).orDefault("0.35 h", ownRate),
		limit("over_burn", &e.OverBurn, quantity.Plain, `Time on the machine over time that sparks remove metal.`).positive().orDefault("1.3", ownRate),
		e.Spread.keys("60 %", "180 %"),
	}
}

// GrindingRates are those of bringing a half to the pocket's fit and height.
type GrindingRates struct {
	Machine  Text
	PerHalf  Limit // s
	FaceRate Limit // cm2/h
	Spread   Spread
}

func (g *GrindingRates) keys() []key {
	return []key{
		machineKey(&g.Machine, "surface grinder"),
		limit("per_half", &g.PerHalf, quantity.Time, `For each half: clamping it square, dressing the wheel, gauging.`).orDefault("2 h", ownRate),
		limit("face", &g.FaceRate, quantity.AreaRate, `Face that is ground in an hour; all six of the box around the blank are counted.`).positive().orDefault("150 cm2/h", ownRate),
		g.Spread.keys("75 %", "150 %"),
	}
}

// EdgeRates are those of breaking edges.
type EdgeRates struct {
	Machine Text
	Speed   Limit // m/min
	Spread  Spread
}

func (e *EdgeRates) keys() []key {
	return []key{
		machineKey(&e.Machine, "fitting bench"),
		limit("speed", &e.Speed, quantity.Speed, `Length of edge that is broken in a minute.`).positive().orDefault("100 mm/min", ownRate),
		e.Spread.keys("70 %", "150 %"),
	}
}

// PolishingRates are those of polishing.
type PolishingRates struct {
	Machine Text
	Classes []PolishClass
	// Class holds where the workspace names none.
	Class  Text
	Effort Limit
	Spread Spread
}

// PolishClass is what a class of finish takes.
type PolishClass struct {
	Class  Text
	Rate   Limit // cm2/h
	Origin Origin
}

func (c *PolishClass) keys() []key {
	return []key{
		text("class", &c.Class, `Class of finish, as the workspace names it.`).required(),
		limit("rate", &c.Rate, quantity.AreaRate, `Surface that is brought to it in an hour, from milled.`).positive().required(),
	}
}

func (p *PolishingRates) keys() []key {
	return []key{
		machineKey(&p.Machine, "polishing bench"),
		named("classes", &p.Classes, (*PolishClass).keys, func(c *PolishClass) *Origin { return &c.Origin }, "class", func(c *PolishClass) *Text { return &c.Class },
			`What each class of finish takes. Classes that no file states have the demo shop's own values; A to D are the four SPI groups by
			their method (diamond, paper, stone, blast). A class written with a number, such as B-2, has its group's rate unless it has one of its own.`),
		text("class", &p.Class, `Class that holds where the workspace names none.`).orDefault("C", "stoned, what most technical parts ask for; "+ownRate),
		limit("effort", &p.Effort, quantity.Plain, `Factor on all hours of polishing.`).positive().orDefault("1", ownRate),
		p.Spread.keys("65 %", "170 %"),
	}
}

var knownClasses = []struct {
	class string
	rate  float64
}{{"A", 5}, {"B", 10}, {"C", 18}, {"D", 45}}

func (r *Rates) addKnownClasses() {
	o := Origin{Why: ownRate}
	for _, k := range knownClasses {
		if r.Polishing.classNamed(k.class) == nil {
			r.Polishing.Classes = append(r.Polishing.Classes, PolishClass{
				Class: Text{Set: true, Value: k.class, Origin: o}, Rate: Limit{Set: true, Value: k.rate, Origin: o}, Origin: o})
		}
	}
}

func (p *PolishingRates) classNamed(class string) *PolishClass {
	for i := range p.Classes {
		if p.Classes[i].Class.Value == class {
			return &p.Classes[i]
		}
	}
	return nil
}

// HeatTreatmentRates are those of hardening.
type HeatTreatmentRates struct {
	PricePerKG, Least Limit
	Weeks             Limit
}

func (h *HeatTreatmentRates) keys() []key {
	return []key{
		limit("price", &h.PricePerKG, quantity.Plain, `Price of hardening for each kilogram, in the file's currency.`).orDefault("4.50", ownRate),
		limit("least", &h.Least, quantity.Plain, `Least that a hardener charges for a half.`).orDefault("90", ownRate),
		limit("weeks", &h.Weeks, quantity.Plain, `Weeks until the work is back.`).orDefault("1", ownRate),
	}
}

// FittingRates are those of fitting the halves.
type FittingRates struct {
	Machine          Text
	PerHalf, PerPair Limit // s
	PerPin           Limit // s
	FaceRate         Limit // cm2/h
	Spread           Spread
}

func (f *FittingRates) keys() []key {
	return []key{
		machineKey(&f.Machine, "fitting bench"),
		limit("per_half", &f.PerHalf, quantity.Time, `For each half: fitting it to the pocket, threads, plugs.`).orDefault("4 h", ownRate),
		limit("per_pin", &f.PerPin, quantity.Time, `For each ejector pin: reaming its bore, cutting it to length, trying it.`).orDefault("0.4 h", ownRate),
		limit("per_pair", &f.PerPair, quantity.Time, `For each pair: blueing in and closing.`).orDefault("4 h", ownRate),
		limit("face", &f.FaceRate, quantity.AreaRate, `Parting face that is spotted in an hour: the blank's top less the detail seen along the
			draw, once for a pair.`).positive().orDefault("40 cm2/h", ownRate),
		f.Spread.keys("70 %", "170 %"),
	}
}

// MeasuringRates are those of the inspection report.
type MeasuringRates struct {
	Machine          Text
	PerHalf, PerHole Limit // s
	DetailRate       Limit // cm2/h
	Spread           Spread
}

func (m *MeasuringRates) keys() []key {
	return []key{
		machineKey(&m.Machine, "measuring machine"),
		limit("per_half", &m.PerHalf, quantity.Time, `For each half: clamping, datum, outline, height.`).orDefault("1 h", ownRate),
		limit("per_hole", &m.PerHole, quantity.Time, `For each hole.`).orDefault("2 min", ownRate),
		limit("detail", &m.DetailRate, quantity.AreaRate, `Finished surface that is measured in an hour.`).positive().orDefault("200 cm2/h", ownRate),
		m.Spread.keys("80 %", "140 %"),
	}
}

// PurchasePart is a part that is bought.
type PurchasePart struct {
	Name   Text
	Price  Limit
	Per    Text
	Origin Origin
}

// What a purchase part or a piece of work is counted by.
const (
	PerJob   = "job"
	PerHalf  = "half"
	PerPlate = "plate"
	PerPin   = "pin"
)

func (p *PurchasePart) keys() []key {
	return []key{
		text("name", &p.Name, `What is bought.`).required(),
		limit("price", &p.Price, quantity.Plain, `Price, in the file's currency.`).required(),
		choice("per", &p.Per, nil, []string{PerJob, PerHalf, PerPin}, `Whether one is bought for each job, for each half or for each ejector pin.`).orDefault(PerHalf, "most parts belong to one half"),
	}
}

func (r *Rates) addKnownPurchase() {
	if len(r.Purchase) > 0 {
		return
	}
	o := Origin{Why: ownRate}
	for _, k := range []struct {
		name, per string
		price     float64
	}{{"screws, plugs and seals", PerHalf, 45}, {"ejector pins", PerPin, 14}} {
		r.Purchase = append(r.Purchase, PurchasePart{Name: Text{Set: true, Value: k.name, Origin: o}, Price: Limit{Set: true, Value: k.price, Origin: o},
			Per: Text{Set: true, Value: k.per, Origin: o}, Origin: o})
	}
}

// TrialRates are those of the first shots.
type TrialRates struct {
	Machine, CorrectionMachine Text
	PerJob, Corrections        Limit // s
	Spread                     Spread
}

func (t *TrialRates) keys() []key {
	return []key{
		machineKey(&t.Machine, "press"),
		limit("per_job", &t.PerJob, quantity.Time, `For each job: loading, first shots, samples.`).orDefault("4 h", ownRate),
		limit("corrections", &t.Corrections, quantity.Time, `For each job: what the first shots ask for, from vents to a gate that is opened.`).orDefault("6 h", ownRate),
		{name: "correction_machine", form: textForm{into: &t.CorrectionMachine}, def: "fitting bench", why: ownRate, doc: `Where corrections are booked, by a name under machines.`},
		t.Spread.keys("75 %", "200 %"),
	}
}

// DeliveryRates turn hours into weeks.
type DeliveryRates struct {
	SteelWeeks Limit
	FreeShare  Limit
}

func (g *DeliveryRates) keys() []key {
	return []key{
		limit("steel_weeks", &g.SteelWeeks, quantity.Plain, `Weeks from order to blank. They run beside design and programming.`).orDefault("1", ownRate),
		limit("free", &g.FreeShare, quantity.Share, `Share of each machine's weekly hours that is free for the work quoted.`).positive().atMost(1).
			orDefault("100 %", "inserts go before other work; "+ownRate),
	}
}

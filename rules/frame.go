package rules

type Half string

const (
	Fixed  Half = "fixed"  // the sprue side
	Moving Half = "moving" // the ejector side
	Both   Half = "both"
)

type Severity string

const (
	SeverityFail Severity = "fail"
	SeverityWarn Severity = "warn"
	SeverityOff  Severity = "off"
)

type Frame struct {
	// File is the rules file that was asked for; Chain is it and every file it inherits from, the
	// one asked for first.
	File  string
	Chain []string

	Name Text
	Note Text

	Pocket    Pocket
	Zones     []Zone
	Bores     []Bore
	Blank     Blank
	Steel     Steel
	Steels    []SteelGrade
	Cooling   Cooling
	Ejection  Ejection
	Draw      Draw
	Making    Making
	Press     Press
	Resins    []Resin
	Handling  Handling
	Pair      Pair
	Measuring Measuring

	// Judge says what a broken limit of one check amounts to, by check id, in the order of ids.
	Judge []Judgement
	// Rules are the shop's own, as text; nothing here has been evaluated.
	Rules []CustomRule

	sources []*source
}

type Judgement struct {
	Check    string
	Severity Severity
	Origin   Origin
}

func (f *Frame) keys() []key {
	return []key{
		header("unit", []string{"mm", "in"}, `Unit of bare lengths in this file: mm or in. A length may carry its own, such as
			"0.002 in"; every other quantity must, but for shares, plain numbers and a bare 0. It holds for this file alone, not for the files that
			inherit it.`).orDefault("mm", "drawings of moulds are in millimetres unless they say otherwise"),
		header("inherits", nil, `Path of the rules file whose limits hold where this one is silent, from this file's folder. The usual
			chain is the shop's defaults, then the frame, then what one customer asks of it.`),
		text("frame", &f.Name, `Name of the frame, as it is painted on it. A file without it is a set of defaults for others to
			inherit and cannot judge an insert.`).required(),
		text("note", &f.Note, `Anything a reader of this file should know. It is printed with the limits and judged by nothing.`),
		section("pocket", `The hole in the frame that the insert drops into. Where the two halves of a frame differ, give each a
			file of its own that inherits what they share.`, f.Pocket.keys()...).required(),
		named("zones", &f.Zones, (*Zone).keys, func(z *Zone) *Origin { return &z.Origin }, "name", func(z *Zone) *Text { return &z.Name },
			`Places of the insert where the frame has an interest: where its clamps and ejectors reach in, where it bears.`),
		named("bores", &f.Bores, (*Bore).keys, func(b *Bore) *Origin { return &b.Origin }, "name", func(b *Bore) *Text { return &b.Name },
			`Round holes that every insert of this frame has, one by one: dowels, threads, ports.`),
		section("blank", `The block an insert is cut from: the outline with a height, or a model of its own.`, f.Blank.keys()...),
		section("steel", `How much metal must be left, and of what.`, f.Steel.keys()...),
		named("steels", &f.Steels, (*SteelGrade).keys, func(g *SteelGrade) *Origin { return &g.Origin }, "grade", func(g *SteelGrade) *Text { return &g.Grade },
			`What the shop knows of its steels, by grade.`),
		section("cooling", `Water in the insert.`, f.Cooling.keys()...),
		section("ejection", `What the frame's ejector set allows.`, f.Ejection.keys()...),
		section("draw", `What the opening of the mould asks of the detail.`, f.Draw.keys()...),
		section("making", `What the shop can cut.`, f.Making.keys()...),
		section("press", `The machine that holds the frame.`, f.Press.keys()...),
		named("resins", &f.Resins, (*Resin).keys, func(r *Resin) *Origin { return &r.Origin }, "name", func(r *Resin) *Text { return &r.Name },
			`What the shop knows of its moulding materials, by name.`),
		section("handling", `Moving the insert by hand or hoist.`, f.Handling.keys()...),
		section("pair", `What the two halves of one insert must keep when the mould is closed.`, f.Pair.keys()...),
		section("measuring", `How finely the program looks. This is policy of the shop, no limit of the insert: a finer look costs time
			and narrows the band in which a verdict is borderline.`, f.Measuring.keys()...),
		{name: "judge", form: judgeForm{&f.Judge}, doc: `What a broken limit of one check amounts to, by the check's id: fail rejects the
			insert, warn reports and lets pass, off does not look. A check that is not named here fails.`},
		named("rules", &f.Rules, (*CustomRule).keys, func(r *CustomRule) *Origin { return &r.Origin }, "id", func(r *CustomRule) *Text { return &r.ID },
			`Rules of the shop's own, as expressions over measured values.`),
	}
}

// Digest is the SHA-256 of the rules file in hex; of a file that inherits, the SHA-256 of the
// SHA-256s of the whole chain, the file itself first.
func (f *Frame) Digest() string { return digest(f.sources) }

// HoldsFor tells whether what is asked of half h is asked of an insert of half of. An insert whose
// half nobody stated is asked everything that is asked of both, and no more.
func (h Half) HoldsFor(of Half) bool { return h == Both || h == of }

// Resin is the entry of a resin, nil when it is not known.
func (f *Frame) Resin(name string) *Resin {
	for i := range f.Resins {
		if f.Resins[i].Name.Value == name {
			return &f.Resins[i]
		}
	}
	return nil
}

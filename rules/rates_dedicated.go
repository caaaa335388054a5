package rules

import "pocketgauge/rules/quantity"

// DedicatedRates describe the same detail as a mould of its own: what its frame takes beside the
// work of the insert, and what changing it in the press costs.
type DedicatedRates struct {
	// MarginMM is how far the plates reach beyond the insert on each side.
	MarginMM    Limit
	Plates      []Plate
	PlatePrice  Limit // for each kg
	DensityKGM3 Limit
	Work        []DedicatedWork
	Purchase    []DedicatedPart
	PartsWeeks  Limit

	Years, BatchesAYear     Limit
	InsertChangeOver        Limit // s
	MouldChangeOver         Limit // s
	Press                   Text
	FramePrice, FrameShared Limit
	Spread                  Spread
}

// Plate is a plate of the mould's frame.
type Plate struct {
	Name              Text
	ThicknessMM, Made Limit
	// Width is the share of the frame's width that it takes.
	Width  Limit
	Origin Origin
}

// DedicatedWork is work on the frame.
type DedicatedWork struct {
	Name, Machine Text
	Hours         Limit // s
	Per           Text
	Origin        Origin
}

// DedicatedPart is a bought part of the frame.
type DedicatedPart struct {
	Name   Text
	Price  Limit
	Origin Origin
}

func (p *Plate) keys() []key {
	return []key{
		text("name", &p.Name, `What the plate is called.`).required(),
		limit("thickness", &p.ThicknessMM, quantity.Length, `Its thickness.`).positive().required(),
		limit("count", &p.Made, quantity.Plain, `How many of them the mould has.`).whole().atLeast(1).orDefault("1", "one of each"),
		limit("width", &p.Width, quantity.Share, `Share of the frame's width that it takes; rails take little.`).positive().atMost(1).orDefault("100 %", "a plate is as wide as the frame"),
	}
}

func (w *DedicatedWork) keys() []key {
	return []key{
		text("name", &w.Name, `What is done.`).required(),
		machineKey(&w.Machine, "machining centre"),
		limit("hours", &w.Hours, quantity.Time, `Hours it takes.`).required(),
		choice("per", &w.Per, nil, []string{PerJob, PerHalf, PerPlate}, `Whether the hours are for the mould, for each half, or for each plate.`).orDefault(PerJob, "most work is done once"),
	}
}

func (p *DedicatedPart) keys() []key {
	return []key{
		text("name", &p.Name, `What is bought.`).required(),
		limit("price", &p.Price, quantity.Plain, `Price, in the file's currency.`).required(),
	}
}

func (g *DedicatedRates) keys() []key {
	return []key{
		limit("margin", &g.MarginMM, quantity.Length, `How far the plates reach beyond the insert on each side.`).orDefault("65 mm", ownRate),
		named("plates", &g.Plates, (*Plate).keys, func(p *Plate) *Origin { return &p.Origin }, "name", func(p *Plate) *Text { return &p.Name },
			`Plates of the frame. Where no file states any, the program's own list holds.`),
		limit("plate_price", &g.PlatePrice, quantity.Plain, `Price of plates for each kilogram, in the file's currency.`).orDefault("3.80", ownRate),
		limit("density", &g.DensityKGM3, quantity.Density, `Density of the plates.`).positive().orDefault("7.85 g/cm3", "the usual value for unalloyed steel in handbooks"),
		named("work", &g.Work, (*DedicatedWork).keys, func(w *DedicatedWork) *Origin { return &w.Origin }, "name", func(w *DedicatedWork) *Text { return &w.Name },
			`Work that the insert does not have. Where no file states any, the program's own list holds.`),
		named("purchase", &g.Purchase, (*DedicatedPart).keys, func(p *DedicatedPart) *Origin { return &p.Origin }, "name", func(p *DedicatedPart) *Text { return &p.Name },
			`Parts that are bought for the frame. Where no file states any, the program's own list holds.`),
		limit("parts_weeks", &g.PartsWeeks, quantity.Plain, `Weeks from order to plates and parts. They run beside design and programming.`).orDefault("2", ownRate),
		g.Spread.keys("80 %", "140 %"),
		limit("years", &g.Years, quantity.Plain, `Years for which the part is moulded.`).positive().orDefault("5", ownRate),
		limit("batches_a_year", &g.BatchesAYear, quantity.Plain, `Batches a year.`).orDefault("12", ownRate),
		limit("insert_change_over", &g.InsertChangeOver, quantity.Time, `Time that the press stands when one insert follows another in the
			frame.`).orDefault("15 min", "common practice, no source"),
		limit("mould_change_over", &g.MouldChangeOver, quantity.Time, `Time that the press stands when one mould follows another.`).orDefault("2 h", ownPart),
		{name: "press", form: textForm{into: &g.Press}, def: "press", why: ownRate, doc: `Press that stands meanwhile, by its name under machines.`},
		limit("frame_price", &g.FramePrice, quantity.Plain, `Price of the shared frame, in the file's currency.`).orDefault("16000", ownRate),
		limit("frame_shared", &g.FrameShared, quantity.Plain, `Number of inserts among which the frame's price is shared.`).whole().atLeast(1).orDefault("20", ownRate),
	}
}

func (r *Rates) addKnownDedicated() {
	o := Origin{Why: ownPart}
	text := func(v string) Text { return Text{Set: true, Value: v, Origin: o} }
	set := func(v float64) Limit { return Limit{Set: true, Value: v, Origin: o} }
	g := &r.Dedicated
	if len(g.Plates) == 0 {
		for _, k := range []struct {
			name             string
			thick, n, across float64
		}{
			{"clamping plate", 27, 2, 1}, {"fixed frame plate", 56, 1, 1}, {"moving frame plate", 56, 1, 1}, {"backing plate", 36, 1, 1},
			{"rail", 76, 2, 0.15}, {"ejector plate", 20, 2, 0.65},
		} {
			g.Plates = append(g.Plates, Plate{Name: text(k.name), ThicknessMM: set(k.thick), Made: set(k.n), Width: set(k.across), Origin: o})
		}
	}
	if len(g.Work) == 0 {
		for _, k := range []struct {
			name, machine, per string
			hours              float64
		}{
			{"design of the mould", "design office", PerJob, 80}, {"programs of the plates", "programming", PerPlate, 1.5},
			{"plates: holes, pillars, pins", "machining centre", PerPlate, 5}, {"pockets in the frame plates", "machining centre", PerHalf, 8},
			{"waterlines of the frame", "deep-hole drill", PerHalf, 4}, {"assembly and fitting of the frame", "fitting bench", PerJob, 36},
			{"second trial", "press", PerJob, 4},
		} {
			g.Work = append(g.Work, DedicatedWork{Name: text(k.name), Machine: text(k.machine), Hours: set(k.hours * 3600), Per: text(k.per), Origin: o})
		}
	}
	if len(g.Purchase) == 0 {
		for _, k := range []struct {
			name  string
			price float64
		}{{"guide pillars and bushes", 420}, {"ejector set", 380}, {"sprue bush and locating ring", 140}, {"screws, springs and supports", 180}, {"couplings", 90}} {
			g.Purchase = append(g.Purchase, DedicatedPart{Name: text(k.name), Price: set(k.price), Origin: o})
		}
	}
}

package rules

import (
	"pocketgauge/rules/quantity"
)

// SettingRates are what it takes to clamp the work and find its datum.
type SettingRates struct {
	Machine  Text
	PerSetUp Limit // s
	Spread   Spread
}

func (s *SettingRates) keys() []key {
	return []key{
		machineKey(&s.Machine, "machining centre"),
		limit("per_set_up", &s.PerSetUp, quantity.Time, `For each side of the insert that is cut.`).orDefault("1 h", ownRate),
		s.Spread.keys("70 %", "160 %"),
	}
}

// MillingRates are those of facing, roughing and rest milling.
type MillingRates struct {
	Machine Text
	// Cutters are by diameter, ascending; the last one's data hold for larger cutters too.
	Cutters []CutterRates
	// LargestFeedMM is per tooth.
	LargestFeedMM Limit
	// FacingDiameterMM to FacingWidth describe the facing cutter.
	FacingDiameterMM, FacingTeeth, FacingDepthMM, FacingWidth Limit
	// Times on the machine over times in the cut.
	FacingOverCut, RoughOverCut, RestOverCut Limit
	PerCutter                                Limit // s
	Spread                                   Spread
}

// CutterRates are how end mills up to a diameter are used.
type CutterRates struct {
	UpToMM Limit
	Teeth  Limit
	// Depth and width of cut as shares of the diameter.
	Depth, Width Limit
	Origin       Origin
}

func (c *CutterRates) keys() []key {
	return []key{
		limit("up_to", &c.UpToMM, quantity.Length, `Largest diameter for which the entry holds; the last entry holds for all above it.`).positive().required(),
		limit("teeth", &c.Teeth, quantity.Plain, `Number of teeth.`).whole().atLeast(1).required(),
		limit("depth", &c.Depth, quantity.Share, `Depth of cut along the axis, as a share of the diameter.`).positive().atMost(5).required(),
		limit("width", &c.Width, quantity.Share, `Width of cut, as a share of the diameter.`).positive().atMost(1).required(),
	}
}

func (m *MillingRates) keys() []key {
	return []key{
		machineKey(&m.Machine, "machining centre"),
		list("cutters", &m.Cutters, (*CutterRates).keys, func(c *CutterRates) *Origin { return &c.Origin }, `How end mills are used, by
			diameter, the smallest first. Which cutters there are, the frame's rules say. Where no file states any: up to 3 mm two teeth, 10 % deep,
			30 % wide; up to 8 mm four teeth, 30 % deep, 40 % wide; larger ones four teeth, 50 % deep, 40 % wide (the demo shop's own).`),
		limit("largest_feed", &m.LargestFeedMM, quantity.Length, `Largest feed per tooth, whatever the share of the diameter says.`).
			positive().orDefault("0.25 mm", "the order of the feeds of inserted-tooth cutters; "+ownRate),
		section("facing", `Planing the blank down to the highest metal.`,
			limit("diameter", &m.FacingDiameterMM, quantity.Length, `Diameter of the facing cutter.`).positive().orDefault("50 mm", ownRate),
			limit("teeth", &m.FacingTeeth, quantity.Plain, `Its number of teeth.`).whole().atLeast(1).orDefault("5", ownRate),
			limit("depth", &m.FacingDepthMM, quantity.Length, `Depth of one layer.`).positive().orDefault("1 mm", ownRate),
			limit("width", &m.FacingWidth, quantity.Share, `Width of cut, as a share of the diameter.`).positive().atMost(1).orDefault("70 %", ownRate),
			limit("over_cut", &m.FacingOverCut, quantity.Plain, `Time on the machine over time in the cut.`).positive().orDefault("2", ownRate)),
		limit("rough_over_cut", &m.RoughOverCut, quantity.Plain, `Time on the machine over time in the cut, for the first cutter of a
			set-up: approaches, retracting, air.`).positive().orDefault("2", ownRate),
		limit("rest_over_cut", &m.RestOverCut, quantity.Plain, `The same for the cutters after the first, which travel to what little is
			left for them.`).positive().orDefault("3", ownRate),
		limit("per_cutter", &m.PerCutter, quantity.Time, `For each cutter of each side, whatever it clears: loading and measuring it, watching it in.`).orDefault("9 min", ownRate),
		m.Spread.keys("75 %", "150 %"),
	}
}

const shortPaths = "on the short paths of a detail a machine seldom reaches its feed; " + ownPart

// FinishingRates are those of milling to a surface.
type FinishingRates struct {
	Machine                 Text
	BallDiameterMM, Teeth   Limit
	CuspMM                  Limit
	FlatDiameterMM          Limit
	FlatTeeth               Limit
	FlatWidth               Limit
	FreeFormOver, FlatOver  Limit
	FreeFormPasses          Limit
	WallDepthMM, WallPasses Limit
	WallOver                Limit
	Spread                  Spread
}

func (f *FinishingRates) keys() []key {
	return []key{
		machineKey(&f.Machine, "machining centre"),
		limit("cusp", &f.CuspMM, quantity.Length, `Height of the ridges that may stay between passes of the ball on free-form faces.`).
			positive().orDefault("0.003 mm", "the order of a surface that is polished next; "+ownRate),
		limit("ball_diameter", &f.BallDiameterMM, quantity.Length, `Diameter of the largest ball that finishes free-form faces; a thinner one where only a thinner
			cutter came near in roughing.`).positive().orDefault("6 mm", ownRate),
		limit("ball_teeth", &f.Teeth, quantity.Plain, `Its number of teeth.`).whole().atLeast(1).orDefault("2", ownRate),
		limit("free_form_passes", &f.FreeFormPasses, quantity.Plain, `Passes over free-form faces: one evens out what roughing left.`).positive().orDefault("2", ownRate),
		limit("free_form_over_cut", &f.FreeFormOver, quantity.Plain, `Time on the machine over time in the cut, for free-form faces.`).positive().orDefault("2.5", shortPaths),
		limit("flat_diameter", &f.FlatDiameterMM, quantity.Length, `Diameter of the largest flat cutter that finishes floors and walls; a thinner one where only
			a thinner one came near. Thinner cutters have the teeth of milling.cutters.`).positive().orDefault("8 mm", ownRate),
		limit("flat_teeth", &f.FlatTeeth, quantity.Plain, `Its number of teeth.`).whole().atLeast(1).orDefault("4", ownRate),
		limit("floor_width", &f.FlatWidth, quantity.Share, `Step between its passes on a floor, as a share of the diameter.`).positive().atMost(1).orDefault("40 %", ownRate),
		limit("floor_over_cut", &f.FlatOver, quantity.Plain, `Time on the machine over time in the cut, for floors.`).positive().orDefault("2.5", shortPaths),
		limit("wall_depth", &f.WallDepthMM, quantity.Length, `Height of wall that one round of the largest flat cutter finishes; thinner cutters less, in
			proportion to their diameter.`).positive().orDefault("0.5 mm", ownRate),
		limit("wall_passes", &f.WallPasses, quantity.Plain, `Rounds at each height, the last without feed against spring.`).positive().orDefault("2", ownRate),
		limit("wall_over_cut", &f.WallOver, quantity.Plain, `Time on the machine over time in the cut, for walls.`).positive().orDefault("2.5", shortPaths),
		f.Spread.keys("75 %", "150 %"),
	}
}

// DrillingRates are those of bores.
type DrillingRates struct {
	Machine, GunMachine Text
	Feeds               []DrillFeed
	Derating            []Derating
	GunFeedMM           Limit // per turn
	PerHole, PerSize    Limit // s
	OverCut             Limit
	BoringRemoval       Limit // cm3/min
	BoringFeedMM        Limit // per turn
	Spread              Spread
}

// DrillFeed is the feed per turn of twist drills up to a diameter.
type DrillFeed struct {
	UpToMM, FeedMM Limit
	Origin         Origin
}

// Derating is what is left of speed and feed from a depth over diameter on.
type Derating struct {
	DepthRatio, Speed, Feed Limit
	Origin                  Origin
}

func (f *DrillFeed) keys() []key {
	return []key{
		limit("up_to", &f.UpToMM, quantity.Length, `Largest diameter for which the entry holds; the last entry holds for all above it.`).positive().required(),
		limit("feed", &f.FeedMM, quantity.Length, `Feed per turn.`).positive().required(),
	}
}

func (g *Derating) keys() []key {
	return []key{
		limit("depth_ratio", &g.DepthRatio, quantity.Plain, `Depth over diameter from which the entry holds.`).positive().required(),
		limit("speed", &g.Speed, quantity.Share, `What is left of the cutting speed.`).positive().atMost(1).required(),
		limit("feed", &g.Feed, quantity.Share, `What is left of the feed.`).positive().atMost(1).required(),
	}
}

func (g *DrillingRates) keys() []key {
	return []key{
		machineKey(&g.Machine, "machining centre"),
		{name: "gun_machine", form: textForm{into: &g.GunMachine}, def: "deep-hole drill", why: ownRate, doc: `Machine at which gun drilling is booked, by its name under machines.`},
		list("feeds", &g.Feeds, (*DrillFeed).keys, func(f *DrillFeed) *Origin { return &f.Origin }, `Feed per turn of twist drills by
			diameter, the smallest first. Where no file states any: the middle of the ranges of a public table of drill feeds (to 3.2 mm 0.025 to 0.075,
			to 6.4 mm 0.05 to 0.15, to 12.7 mm 0.10 to 0.25, above 0.18 to 0.38 mm).`),
		list("derating", &g.Derating, (*Derating).keys, func(f *Derating) *Origin { return &f.Origin }, `What is left of speed and feed in
			deep holes, the least depth first. Where no file states any: a public drilling guide, from 3, 4, 5 and 6 diameters on 90, 80, 70 and 60 % of
			the speed and 90, 90, 80 and 80 % of the feed.`),
		limit("gun_feed", &g.GunFeedMM, quantity.Length, `Feed per turn of gun drills.`).positive().orDefault("0.03 mm", "the middle of 0.01 to 0.05 mm, Tungaloy 2020-21 p. 1339"),
		limit("over_cut", &g.OverCut, quantity.Plain, `Time on the machine over time in the cut: withdrawing chips, running in and out.`).positive().orDefault("1.6", ownRate),
		limit("per_hole", &g.PerHole, quantity.Time, `For each hole: finding it and spotting.`).orDefault("1 min", ownRate),
		limit("per_size", &g.PerSize, quantity.Time, `For each size of hole: changing the drill, and the gauge.`).orDefault("5 min", ownRate),
		limit("boring_removal", &g.BoringRemoval, quantity.VolumeRate, `What is cleared in a minute in bores that are bored.`).positive().orDefault("10 cm3/min", ownRate),
		limit("boring_feed", &g.BoringFeedMM, quantity.Length, `Feed per turn of the last pass of a bored hole, at the finishing speed.`).positive().orDefault("0.08 mm", ownRate),
		g.Spread.keys("75 %", "150 %"),
	}
}

func machineKey(into *Text, name string) key {
	return key{name: "machine", form: textForm{into: into}, def: name, why: ownRate, doc: `Where the hours are booked, by a name under machines.`}
}

func (r *Rates) addKnownCutting() {
	set := func(v float64, o Origin) Limit { return Limit{Set: true, Value: v, Origin: o} }
	if len(r.Milling.Cutters) == 0 {
		o := Origin{Why: ownRate}
		for _, k := range [][4]float64{{3, 2, 0.1, 0.3}, {8, 4, 0.3, 0.4}, {63, 4, 0.5, 0.4}} {
			r.Milling.Cutters = append(r.Milling.Cutters, CutterRates{UpToMM: set(k[0], o), Teeth: set(k[1], o), Depth: set(k[2], o), Width: set(k[3], o), Origin: o})
		}
	}
	if len(r.Drilling.Feeds) == 0 {
		o := Origin{Why: "the middle of the range in a public table of drill feeds"}
		for _, k := range [][2]float64{{3.2, 0.05}, {6.4, 0.10}, {12.7, 0.175}, {25, 0.28}} {
			r.Drilling.Feeds = append(r.Drilling.Feeds, DrillFeed{UpToMM: set(k[0], o), FeedMM: set(k[1], o), Origin: o})
		}
	}
	if len(r.Drilling.Derating) == 0 {
		o := Origin{Why: "a public drilling guide"}
		for _, k := range [][3]float64{{3, 0.9, 0.9}, {4, 0.8, 0.9}, {5, 0.7, 0.8}, {6, 0.6, 0.8}} {
			r.Drilling.Derating = append(r.Drilling.Derating, Derating{DepthRatio: set(k[0], o), Speed: set(k[1], o), Feed: set(k[2], o), Origin: o})
		}
	}
}

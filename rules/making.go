package rules

import (
	"pocketgauge/rules/quantity"
)

type Making struct {
	Cutters          []Cutter
	SmallestCutterMM Limit
	ReachRatio       Limit
	SharpCorners     Text
	BottomRadiusMM   Limit
	TwistDrill       Drill
	GunDrill         Drill
	FlatBottoms      Text
}

type Cutter struct {
	Name           Text
	Kind           CutterKind
	DiameterMM     Limit
	CornerRadiusMM Limit
	StickOutMM     Limit
	Origin         Origin

	kindText Text
}

type CutterKind string

const (
	Flat CutterKind = "flat"
	Ball CutterKind = "ball"
	Bull CutterKind = "bull"
)

type Drill struct {
	DiameterMM Range
	// DepthRatio is the most that depth over diameter may be.
	DepthRatio Limit
}

func (m *Making) keys() []key {
	return []key{
		named("cutters", &m.Cutters, (*Cutter).keys, func(c *Cutter) *Origin { return &c.Origin }, "name", func(c *Cutter) *Text { return &c.Name },
			`End mills the shop has, for inner corners, reach and takeoff.`),
		limit("smallest_cutter", &m.SmallestCutterMM, quantity.Length, `Diameter of the smallest cutter to be planned with; an inner corner
			of less than half of it is left for spark erosion.`).positive().orDefault("1 mm", memory),
		limit("reach_ratio", &m.ReachRatio, quantity.Plain, `Most that the depth of a cut may be, over the cutter's diameter.`).
			positive().orDefault("6", memory),
		choice("sharp_corners", &m.SharpCorners, nil, []string{"allow", "refuse"}, `Whether inner corners that no cutter reaches may stay, to be
			spark eroded.`).orDefault("allow", "most mould shops have a spark erosion machine; "+memory),
		limit("bottom_radius", &m.BottomRadiusMM, quantity.Length, `Least radius where a wall meets a floor.`).
			orDefault("0 mm", "a flat end mill leaves a sharp one"),
		choice("flat_bottoms", &m.FlatBottoms, nil, []string{"allow", "refuse"}, `Whether blind holes may have a flat bottom, which a drill does
			not leave.`).orDefault("allow", "an end mill or a boring bar finishes them; "+memory),
		section("twist_drill", `Holes by twist drill.`, m.TwistDrill.keys("12", "1 mm", "30 mm")...),
		section("gun_drill", `Holes by gun drill.`, m.GunDrill.keys("80", "3 mm", "30 mm")...),
	}
}

func (c *Cutter) keys() []key {
	return []key{
		text("name", &c.Name, `What the tool is called in the shop.`).required(),
		choice("kind", &c.kindText, func(s string) { c.Kind = CutterKind(s) }, []string{string(Flat), string(Ball), string(Bull)},
			`Form of the end: flat, ball, or bull (flat with rounded corners).`).required(),
		limit("diameter", &c.DiameterMM, quantity.Length, `Diameter of the cutter.`).positive().required(),
		limit("corner_radius", &c.CornerRadiusMM, quantity.Length, `Corner radius of a bull cutter. A flat one has none; a ball's is half its
			diameter.`),
		limit("stick_out", &c.StickOutMM, quantity.Length, `How deep it reaches before its holder touches.`).positive().required(),
	}
}

func (r *Drill) keys(depth, least, most string) []key {
	return []key{
		ranged("diameter", &r.DiameterMM, quantity.Length, `Diameters the shop drills this way.`).positive().ends(least, most, memory),
		limit("depth_ratio", &r.DepthRatio, quantity.Plain, `Most that the depth may be, over the diameter.`).positive().orDefault(depth, memory),
	}
}

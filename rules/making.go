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

	// HolderDiameterMM and HolderRatio make the holder of a cutter that states none.
	HolderDiameterMM, HolderRatio Limit
	// CornerLeftMM and BurnLeast say what no cutter reaches and nobody burns; ElectrodeBlankMM what
	// one electrode serves.
	CornerLeftMM, BurnLeastMM3, ElectrodeBlankMM Limit
	// LeastSetUpMM3 is for which no side is clamped.
	LeastSetUpMM3 Limit
}

type Cutter struct {
	Name           Text
	Kind           CutterKind
	DiameterMM     Limit
	CornerRadiusMM Limit
	StickOutMM     Limit
	// HolderDiameterMM is Set where the shop's list says it.
	HolderDiameterMM Limit
	Origin           Origin

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
		limit("holder_diameter", &m.HolderDiameterMM, quantity.Length, `Diameter of the holder, at the end of the stick-out, of cutters that
			state none: takeoff keeps it clear of the insert.`).positive().orDefault("25 mm", "the nose of a slim shrink chuck; "+memory),
		limit("holder_ratio", &m.HolderRatio, quantity.Plain, `Least that such a holder is thick, over the cutter's diameter.`).
			atLeast(1).orDefault("2", memory),
		limit("least_set_up", &m.LeastSetUpMM3, quantity.Volume, `Metal to be seen from a side that is worth no clamping of its own: what
			is less, chamfers as a rule, is listed as left to the bench.`).orDefault("0.2 cm3", "a chamfer of 1 mm around a block of 100 mm; "+memory),
		limit("corner_left", &m.CornerLeftMM, quantity.Length, `Radius that may stay in an inner corner that is drawn sharper: such a corner is
			listed as left and not spark eroded. 0 where all are burnt out.`).orDefault("0.5 mm", "what an end mill of 1 mm leaves, and most parts bear it where their drawing does not ask for a sharp edge; "+memory),
		limit("burn_least", &m.BurnLeastMM3, quantity.Volume, `Residue of less metal than this, corners apart, is no place for an electrode: it
			is listed as left, to be dressed by hand or accepted.`).orDefault("2 mm3", "a cube of 1.3 mm, minutes with a hand grinder; "+memory),
		limit("electrode_blank", &m.ElectrodeBlankMM, quantity.Length, `Largest side of the blank of an electrode: places within a square of it
			are burnt by one, which is moved on to places that are alike.`).positive().orDefault("40 mm", "a common size of graphite for small moulds; "+memory),
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
		limit("holder", &c.HolderDiameterMM, quantity.Length, `Diameter of its holder; making.holder_diameter where it is left out.`).positive(),
	}
}

func (r *Drill) keys(depth, least, most string) []key {
	return []key{
		ranged("diameter", &r.DiameterMM, quantity.Length, `Diameters the shop drills this way.`).positive().ends(least, most, memory),
		limit("depth_ratio", &r.DepthRatio, quantity.Plain, `Most that the depth may be, over the diameter.`).positive().orDefault(depth, memory),
	}
}

package rules

import (
	"pocketgauge/rules/quantity"
)

type Pair struct {
	// TurnedAbout is the axis of the fixed half's pocket coordinates, "x" or "y", about which the
	// moving half is turned over onto it.
	TurnedAbout    Text
	ClashVolumeMM3 Limit
	ClashDepthMM   Limit
	FlashGapMM     Limit
	Balance        Limit
	PartWallMM     Range
}

type Measuring struct {
	ChordMM Limit
	PitchMM Limit
	WeldMM  Limit
}

func (p *Pair) keys() []key {
	return []key{
		choice("turned_about", &p.TurnedAbout, nil, []string{"x", "y"}, `Axis about which the moving half is turned by half a turn to lie
			on the fixed one. Each half is drawn in its own pocket, seat down; turned about y, front stays front and left becomes right.`).
			orDefault("y", "both halves of a frame usually have their water and their clamps on the same side of the press; common practice, no source"),
		section("clash", `Metal of one half inside metal of the other.`,
			limit("volume", &p.ClashVolumeMM3, quantity.Volume, `Volume that is let pass.`).orDefault("0 mm3", "two halves that clash do not close"),
			limit("depth", &p.ClashDepthMM, quantity.Length, `Depth that is let pass, to be spotted in.`).orDefault("0.005 mm", memory),
		),
		limit("flash_gap", &p.FlashGapMM, quantity.Length, `Gap at the shut-offs that flashes, when no resin is named. Vent depths in published
			tables run from 0.008 mm (PA) to 0.064 mm (PC).`).positive().orDefault("0.02 mm", "within the published vent depths of PE and PP, 0.013 to 0.030 mm"),
		limit("balance", &p.Balance, quantity.Share, `Most by which the cavities of one insert may differ in volume.`).orDefault("2 %", memory),
		ranged("part_wall", &p.PartWallMM, quantity.Length, `Wall thickness of the part between the halves.`).positive(),
	}
}

func (m *Measuring) keys() []key {
	return []key{
		limit("chord", &m.ChordMM, quantity.Length, `How far triangles may stand off the curved surface they stand for, when a STEP model is
			turned into triangles.`).positive().orDefault("0.01 mm", "a tenth of a usual machining tolerance; this program's own choice"),
		limit("pitch", &m.PitchMM, quantity.Length, `Distance between the places at which thickness is sampled. What is smaller may be
			missed.`).positive().orDefault("1 mm", "coarser than the chord, finer than the faults it looks for; this program's own choice"),
		limit("weld", &m.WeldMM, quantity.Length, `Corners of an STL model closer than this are one corner.`).
			orDefault("0.001 mm", "above the rounding of STL coordinates, below any detail; this program's own choice"),
	}
}

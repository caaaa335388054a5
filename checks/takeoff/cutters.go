package takeoff

import (
	"cmp"
	"fmt"
	"slices"

	"pocketgauge/mesh/reach"
	"pocketgauge/rules"
)

// CuttersInRules is what Takeoff.CuttersFrom says where the rules list the shop's cutters.
const CuttersInRules = "making.cutters of the rules"

// CuttersByDefault is what it says where they do not.
const CuttersByDefault = "this program's default list (the rules list none)"

// defaultCutters serve where the rules list none: what most mould shops have in the magazine (common
// practice, no source). Whatever they give is a plan and not a measurement of that shop, and the
// takeoff says so.
var defaultCutters = []reach.Cutter{
	{Name: "bull 16 R1", DiameterMM: 16, CornerRadiusMM: 1, StickOutMM: 70},
	{Name: "bull 10 R0.5", DiameterMM: 10, CornerRadiusMM: 0.5, StickOutMM: 50},
	{Name: "flat 6", DiameterMM: 6, StickOutMM: 36},
	{Name: "flat 4", DiameterMM: 4, StickOutMM: 24},
	{Name: "flat 2", DiameterMM: 2, StickOutMM: 12},
	{Name: "flat 1", DiameterMM: 1, StickOutMM: 6},
}

// cuttersOf are the cutters to plan with, largest first, and where they come from. One under
// making.smallest_cutter is left out, and none is let down further than making.reach_ratio allows.
func cuttersOf(m *rules.Making) ([]reach.Cutter, string) {
	var list []reach.Cutter
	from := CuttersInRules
	for i := range m.Cutters {
		c := &m.Cutters[i]
		r := reach.Cutter{Name: c.Name.Value, DiameterMM: c.DiameterMM.Value, StickOutMM: c.StickOutMM.Value, HolderDiameterMM: c.HolderDiameterMM.Value}
		switch c.Kind {
		case rules.Ball:
			r.CornerRadiusMM = r.DiameterMM / 2
		case rules.Bull:
			r.CornerRadiusMM = min(c.CornerRadiusMM.Value, r.DiameterMM/2)
		}
		list = append(list, r)
	}
	if len(list) == 0 {
		list, from = slices.Clone(defaultCutters), CuttersByDefault
	}
	kept := list[:0:0]
	for _, c := range list {
		if c.DiameterMM < m.SmallestCutterMM.Value {
			continue
		}
		if r := m.ReachRatio; r.Set {
			c.StickOutMM = min(c.StickOutMM, r.Value*c.DiameterMM)
		}
		if c.HolderDiameterMM == 0 {
			c.HolderDiameterMM = max(m.HolderDiameterMM.Value, m.HolderRatio.Value*c.DiameterMM)
		}
		kept = append(kept, c)
	}
	// Of equal diameters the flattest end first: it clears floors.
	slices.SortStableFunc(kept, func(a, b reach.Cutter) int {
		return cmp.Or(cmp.Compare(b.DiameterMM, a.DiameterMM), cmp.Compare(a.CornerRadiusMM, b.CornerRadiusMM))
	})
	return kept, from
}

// holdersOf says what holds the cutters.
func holdersOf(m *rules.Making) string {
	text := fmt.Sprintf("%g mm thick at the end of the stick-out, at least %g cutters", m.HolderDiameterMM.Value, m.HolderRatio.Value)
	for i := range m.Cutters {
		if m.Cutters[i].HolderDiameterMM.Set {
			return text + ", or as the cutter's entry says"
		}
	}
	return text
}

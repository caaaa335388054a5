package checks

import "fmt"

var coolDiameter = Check{
	ID:    "cool.diameter",
	Title: "Waterlines have diameters that the shop has plugs and fittings for",
	Doc: `A waterline of an odd diameter finds no drill, no plug and no nipple on the shelf. Measured: the diameter of
every drilling for water, in STEP models the file's own, else that of the circle through the corners of its
wall; told is the one farthest from a listed diameter. A drilling is water where its diameter is listed,
where it runs into one that is, or where it opens at a port of the frame; one of an unlisted diameter that
does neither is not known for water. Which diameters, the shop says; how far off one may be is common
practice, no source.`,
	Unit:       MM,
	Keys:       []string{"cooling.waterline_diameters", "cooling.diameter_tolerance"},
	Mend:       `Drill the waterline with one of the listed diameters.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		listed, allowed := s.Frame.Cooling.WaterlineDiametersMM, s.Frame.Cooling.DiameterToleranceMM.Value
		w := s.water()
		if !listed.Set || len(listed.Values) == 0 || len(w.lines) == 0 {
			return nil
		}
		nearest := func(d float64) float64 {
			best := listed.Values[0]
			for _, v := range listed.Values {
				if abs(v-d) < abs(best-d) {
					best = v
				}
			}
			return best
		}
		worst := 0
		off := func(i int) float64 { return abs(w.lines[i].diameterMM - nearest(w.lines[i].diameterMM)) }
		for i := range w.lines {
			if off(i) > off(worst) {
				worst = i
			}
		}
		l := &w.lines[worst]
		want := nearest(l.diameterMM)
		r := Reading{
			Measured: true, Value: l.diameterMM, Uncertainty: l.diameterErrorMM + 2*s.StorageMM(), Limit: Between(want-allowed, want+allowed),
			At: l.from.Add(l.to).Mul(0.5), Located: true,
		}
		r.Says = fmt.Sprintf("%s is the one of %d farthest from a listed diameter (%g mm).", upperFirst(l.name()), len(w.lines), want)
		return []Reading{r}
	},
}

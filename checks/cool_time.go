package checks

import (
	"fmt"
	"math"
	"strings"
)

var coolTime = Check{
	ID:    "cool.time",
	Title: "The part can be pushed out within the cooling time asked for",
	Doc: `Cooling is most of a cycle, and the thickest wall of the part decides it. Measured: the time in which the middle of a
plate of the part's thickest wall cools to the ejection temperature between two faces at the mould's:
t = s^2/(pi^2 a) ln(4/pi (Tm-Tw)/(Te-Tw)), the first term of the series for one-dimensional conduction
(Carslaw and Jaeger, Conduction of Heat in Solids, section 3.3; from memory), with s the wall (that between the closed
halves where the other is known, see pair.wall, else pair.part_wall.most), a the resin's
diffusivity, Tm, Tw and Te the temperatures of melt, mould wall and ejection. Faces of one constant
temperature are assumed: a mould wall far from water is warmer and takes longer (see cool.reach). Not known
here are the time for the melt to fill, packing, and corners thicker than the wall; ten to 25 per cent on top are advised
(a moulding trainer's published note). What the resin's own figures are unsure of is not in the uncertainty.
The limit is the shop's.`,
	Unit: Seconds,
	Keys: []string{"cooling.cooling_time", "pair.part_wall.most", "resins.diffusivity", "resins.melt_temperature", "resins.mould_temperature", "resins.eject_temperature"},
	Mend: `Thin the thickest wall of the part: the time goes with its square.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Cooling.CoolingTimeS
		if !limit.Set {
			return nil
		}
		var missing []string
		wall, within := 0.0, 0.0
		if w, ok := s.PartWall(); ok {
			wall, within = w.MostMM, w.ErrorMM
		} else if most := s.Frame.Pair.PartWallMM.Most; most.Set {
			wall = most.Value
		} else {
			missing = append(missing, "the part's thickest wall (the other half, or pair.part_wall.most)")
		}
		if s.Resin == nil {
			missing = append(missing, "the resin")
		} else {
			for _, k := range [...]struct {
				set  bool
				name string
			}{
				{s.Resin.DiffusivityMM2S.Set, "diffusivity"}, {s.Resin.MeltTemperatureC.Set, "melt temperature"},
				{s.Resin.MouldTemperatureC.Set, "mould temperature"}, {s.Resin.EjectTemperatureC.Set, "ejection temperature"},
			} {
				if !k.set {
					missing = append(missing, "the "+k.name+" of "+s.Resin.Name.Value)
				}
			}
		}
		if len(missing) > 0 {
			return []Reading{NotMeasured("", "not known: "+strings.Join(missing, ", "))}
		}
		tm, tw, te := s.Resin.MeltTemperatureC.Value, s.Resin.MouldTemperatureC.Value, s.Resin.EjectTemperatureC.Value
		if !(tw < te && te < tm) {
			return []Reading{NotMeasured("", fmt.Sprintf("the temperatures of %s do not fall from melt (%g C) over ejection (%g C) to mould (%g C)", s.Resin.Name.Value, tm, te, tw))}
		}
		t := PlateCoolingS(wall, s.Resin.DiffusivityMM2S.Value, tm, tw, te)
		return []Reading{{
			Measured: true, Value: t, Uncertainty: PlateCoolingS(wall+within, s.Resin.DiffusivityMM2S.Value, tm, tw, te) - t, Limit: AtMost(limit.Value),
			Says: fmt.Sprintf("A wall of %.4g mm of %s cools from %g to %g C in %.1f s between faces at %g C.", wall, s.Resin.Name.Value, tm, te, t, tw),
		}}
	},
}

// PlateCoolingS is the time, s, in which the middle of a plate s mm thick, of diffusivity a mm2/s, cools
// from tm to te between faces at tw. Under ln(4/pi (Tm-Tw)/(Te-Tw)) <= 0 the middle is cool at
// once, so far as one term of the series tells.
func PlateCoolingS(s, a, tm, tw, te float64) float64 {
	return max(0, s*s/(math.Pi*math.Pi*a)*math.Log(4/math.Pi*(tm-tw)/(te-tw)))
}

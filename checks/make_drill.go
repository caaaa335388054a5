package checks

import (
	"fmt"
)

var makeDrill = Check{
	ID:    "make.drill",
	Title: "No bore is deeper than the shop's drills go",
	Doc: `A drill that is too slender runs off: the bore comes out beside its place, at the far end into a cavity, and chips jam
and break the drill in the block. Measured: depth over diameter of each bore, the pieces of a bore that others cross taken
together, each step from its mouth. Limit: the depth ratio of the twist drill or the gun drill, whichever the
shop has in that diameter and goes deeper; a bore of a diameter that neither covers is milled or bored and not judged. Twist drills go to about 10 or 12
diameters, gun drills to 60 or 100 (common practice, no source). A bore that goes through is counted in its whole length.`,
	Unit:       Plain,
	Keys:       []string{"making.twist_drill", "making.gun_drill"},
	Mend:       `Drill from both sides, make the bore wider, or step it.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		making := &s.Frame.Making
		var r Reading
		twist, gun, neither := 0, 0, 0
		for _, d := range s.drillings() {
			limit, by := 0.0, ""
			for _, k := range []struct {
				name      string
				low, high float64
				ratio     float64
			}{
				{"twist drill", making.TwistDrill.DiameterMM.Least.Value, making.TwistDrill.DiameterMM.Most.Value, making.TwistDrill.DepthRatio.Value},
				{"gun drill", making.GunDrill.DiameterMM.Least.Value, making.GunDrill.DiameterMM.Most.Value, making.GunDrill.DepthRatio.Value},
			} {
				if d.diameterMM+d.errorMM < k.low || d.diameterMM-d.errorMM > k.high || k.ratio <= limit {
					continue
				}
				if limit > 0 && d.depthMM/d.diameterMM <= limit {
					continue // the shorter drill does it
				}
				limit, by = k.ratio, k.name
			}
			switch by {
			case "":
				neither++
				continue
			case "twist drill":
				twist++
			default:
				gun++
			}
			ratio := d.depthMM / d.diameterMM
			if r.Measured && ratio/limit <= r.Value/r.Limit.Most {
				continue
			}
			r = Reading{Measured: true, Value: ratio, Limit: AtMost(limit), At: d.first.Mouth, Located: true}
			r.Uncertainty = ratio * (2*s.SurfaceMM()/d.depthMM + d.errorMM/d.diameterMM)
			r.Says = fmt.Sprintf("The %v of diameter %.2f mm is %.1f mm deep, %.1f diameters, for a %s.", d.first.Purpose, d.diameterMM, d.depthMM, ratio, by)
		}
		if !r.Measured {
			r = Reading{Measured: true, Limit: AtMost(making.TwistDrill.DepthRatio.Value), Says: "The insert has no drilled bore."}
		}
		r.Says += fmt.Sprintf(" %d for twist drills, %d for gun drills", twist, gun)
		if neither > 0 {
			r.Says += fmt.Sprintf(", %d wider or thinner than either", neither)
		}
		r.Says += "."
		return []Reading{r}
	},
}

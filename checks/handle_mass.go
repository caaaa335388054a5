package checks

import "fmt"

var handleMass = Check{
	ID:    "handle.mass",
	Title: "The hoist bears the insert",
	Doc: `An insert is heavier than it looks. Measured: the volume of the model times the density of its steel,
and where its centre of gravity lies; exact but for rounding and the density of the rules. Whether and how
it is lifted follows the shop's risk assessment, the hoist's manual, local codes and licensed practice. What the hoist bears the shop says.`,
	Unit: KG,
	Keys: []string{"handling.mass", "steels.density"},
	Mend: `Have the insert lifted by what bears it.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Handling.MassKG
		mass, ok := s.massKG()
		if !limit.Set || !ok {
			return nil
		}
		if !s.IsSolid() {
			return []Reading{NotMeasured("", notSolid)}
		}
		r := Reading{Measured: true, Value: mass.value, Uncertainty: mass.within, Limit: AtMost(limit.Value), At: s.Measures().CentroidMM, Located: true}
		c := r.At
		r.Says = fmt.Sprintf("The insert weighs %.2f kg in %s; its centre of gravity is at (%.1f, %.1f, %.1f).", mass.value, s.Steel.Grade.Value, c.X, c.Y, c.Z)
		return []Reading{r}
	},
}

const notSolid = "not judged: the model is not a closed solid"

// massKG is the mass of the insert; ok is false where the density of its steel is not known.
func (s *Subject) massKG() (m quantity, ok bool) {
	if s.Steel == nil || !s.Steel.DensityKGM3.Set {
		return m, false
	}
	v := s.Measures()
	density := s.Steel.DensityKGM3.Value / kilogramScale
	return quantity{v.VolumeMM3 * density, v.VolumeErrorMM3 * density}, true
}

// kilogramScale turns mm3 times kg/m3 into kilograms.
const kilogramScale = 1_000_000_000

package checks

import "fmt"

var handleTilt = Check{
	ID:    "handle.tilt",
	Title: "The insert hangs straight from its lifting thread",
	Doc: `An insert that hangs askew does not enter its pocket and swings as it leaves it. Measured: how far the
centre of gravity lies from the axis of the lifting thread that handle.thread found; asked only of inserts
that are heavy enough to need one.
What is let pass the shop says.`,
	Unit: MM,
	Keys: []string{"handling.tilt"},
	Mend: `Move the thread over the centre of gravity.`,
	Measure: func(s *Subject) []Reading {
		h := &s.Frame.Handling
		mass, ok := s.massKG()
		if !s.IsSolid() || !h.TiltMM.Set || !h.LiftingThreadAboveKG.Set || !ok || mass.value+mass.within <= h.LiftingThreadAboveKG.Value {
			return nil
		}
		b := s.liftingBore()
		if b == nil {
			return nil // handle.thread says so
		}
		m := s.Measures()
		r := Reading{
			Measured: true, Value: axisDistance(b, m.CentroidMM), Uncertainty: m.CentroidErrorMM + b.DiameterErrorMM + s.SurfaceMM(),
			Limit: AtMost(h.TiltMM.Value), At: b.Mouth, Located: true,
		}
		r.Says = fmt.Sprintf("The centre of gravity lies %.1f mm from the axis of the lifting thread.", r.Value)
		return []Reading{r}
	},
}

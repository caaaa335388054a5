package rules

import (
	"math"
	"testing"
)

// What is known of each resin hangs together: it cools from the melt over the ejection temperature to the mould's, and its ranges run
// upwards. The temperatures are the middle of a published range, worked out here by hand.
func TestKnownResinsHangTogether(t *testing.T) {
	f := &Frame{}
	f.addKnownResins()
	for i := range f.Resins {
		r := &f.Resins[i]
		tm, tw, te := r.MeltTemperatureC, r.MouldTemperatureC, r.EjectTemperatureC
		if !tm.Set || !tw.Set || !te.Set || !r.DiffusivityMM2S.Set {
			t.Errorf("%s: of melt, mould and ejection temperature and diffusivity one is not known", r.Name.Value)
		}
		if !(tw.Value+10 <= te.Value && te.Value+50 <= tm.Value) {
			t.Errorf("%s: melt %g, ejection %g, mould %g C", r.Name.Value, tm.Value, te.Value, tw.Value)
		}
		for what, v := range map[string]Range{"cavity pressure": r.CavityPressureMPa, "shrinkage": r.Shrinkage} {
			if !(0 < v.Least.Value && v.Least.Value < v.Most.Value) {
				t.Errorf("%s: %s from %g to %g", r.Name.Value, what, v.Least.Value, v.Most.Value)
			}
		}
		for _, l := range []Limit{tm, tw, te, r.DiffusivityMM2S, r.VentDepthMM, r.MeltDensityKGM3} {
			if l.Set && l.Origin.Why == "" {
				t.Errorf("%s: a figure has no source", r.Name.Value)
			}
		}
	}
	for name, want := range map[string][2]float64{
		"ABS": {(199 + 282) / 2.0, (38 + 82) / 2.0}, "PC": {(271 + 321) / 2.0, (66 + 107) / 2.0}, "PP": {(204 + 260) / 2.0, (21 + 49) / 2.0},
	} {
		r := f.Resin(name)
		if math.Abs(r.MeltTemperatureC.Value-want[0]) > 1 || math.Abs(r.MouldTemperatureC.Value-want[1]) > 1 {
			t.Errorf("%s: melt %g, mould %g C, want about %v", name, r.MeltTemperatureC.Value, r.MouldTemperatureC.Value, want)
		}
	}
}

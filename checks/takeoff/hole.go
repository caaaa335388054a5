package takeoff

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// The ways to make a hole.
const (
	Twist = "twist"
	Gun   = "gun"
	Bored = "bored"
)

// hole is one diameter of one bore.
type hole struct {
	mouth, into         r3.Vector
	diameterMM, errorMM float64
	fromMM, toMM        float64
	through, pin        bool
	method              string
	last                bool // the innermost step
	point               bool // a drill's point may go on from its end
	volume              Figure
}

// holesOf lists the steps of the insert's bores.
func holesOf(s *checks.Subject) []hole {
	var list []hole
	for _, b := range s.Surfaces().Bores {
		for i, step := range b.Steps {
			h := hole{
				mouth: b.Mouth, into: b.Into, diameterMM: step.DiameterMM, errorMM: step.DiameterErrorMM,
				fromMM: step.FromMM, toMM: step.ToMM, last: i == len(b.Steps)-1,
			}
			h.through = b.Through && h.last
			h.pin = b.Purpose == checks.EjectorBore
			h.method = methodOf(&s.Frame.Making, h)
			area := math.Pi / 4 * h.diameterMM * h.diameterMM
			long := h.toMM - h.fromMM
			// The diameter's error counts twice, the ends may stand off by the surface's.
			h.volume = Figure{area * long, area*long*2*h.errorMM/h.diameterMM + area*2*s.SurfaceMM()}
			// What a drill's point leaves is as wide as the hole.
			h.point = h.last && !h.through
			list = append(list, h)
		}
	}
	return list
}

// methodOf is how the shop makes a hole: by twist drill where that is long enough, else by gun drill,
// else by boring or milling.
func methodOf(m *rules.Making, h hole) string {
	serves := func(d *rules.Drill) bool {
		r := d.DiameterMM
		const same = tol.FlushMM // a drill of 8 makes a hole drawn as 8.001
		return r.Set() && h.diameterMM >= r.Least.Value-same && (!r.Most.Set || h.diameterMM <= r.Most.Value+same) &&
			h.toMM <= d.DepthRatio.Value*h.diameterMM
	}
	switch {
	case serves(&m.TwistDrill):
		return Twist
	case serves(&m.GunDrill):
		return Gun
	}
	return Bored
}

// sameDepthMM: holes whose depths differ by no more are made with one setting of the depth.
const sameDepthMM = tol.FlushMM * 10

// sameDiameterMM: holes whose diameters differ by no more are made with one drill.
const sameDiameterMM = tol.FlushMM * 2

// groupHoles puts holes that are made alike together: most numerous diameters as they come, thick
// before thin, then deep before shallow.
func groupHoles(list []hole) []Hole {
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b hole) int {
		return cmp.Or(cmp.Compare(a.method, b.method), cmp.Compare(b.diameterMM, a.diameterMM), cmp.Compare(b.toMM, a.toMM))
	})
	var out []Hole
	for _, h := range sorted {
		found := false
		for i := range out {
			o := &out[i]
			if o.Method == h.method && o.Through == h.through && o.Pin == h.pin && math.Abs(o.DiameterMM-h.diameterMM) <= sameDiameterMM && math.Abs(o.DepthMM-h.toMM) <= sameDepthMM {
				o.Count++
				o.RemovedMM3.Value += h.volume.Value
				o.RemovedMM3.Error += h.volume.Error
				found = true
				break
			}
		}
		if !found {
			out = append(out, Hole{1, h.diameterMM, h.toMM, h.through, h.pin, h.method, h.volume})
		}
	}
	return out
}

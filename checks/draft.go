package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/tol"
)

// drafts are the tilts of the detail's facets against the draw.
type drafts struct {
	// of is the angle between a facet and the draw, radians: positive where it looks up along the
	// draw, negative where it hangs over; known within error. NaN for what is not detail, and for
	// facets too narrow to tell.
	of, error []float32
	// narrowMM2 is the area of the latter.
	narrowMM2 float64
}

var draftsFact = fact[*drafts]{findDrafts}

// findDrafts reads the draft of each triangle of the detail: exactly where the file says that its
// face is a plane, or a cone or cylinder about the draw; else that of the facet.
//
// A facet's error is what storing its corners may have tilted it by, over its least height. A
// facet of a round face stands steeper than the face: between two rounds with radii R and r it spans
// chords, and tan(draft) is (R-r)/h times the cosine of half the turn to its neighbour. The middle
// between the two is given, and half of what is between is added to the error.
func findDrafts(s *Subject) *drafts {
	m, of, draw := s.Part.Mesh, s.Surfaces().Of, s.Draw()
	n := len(m.Triangles)
	f := facetsFact.of(s)
	d := &drafts{of: make([]float32, n), error: make([]float32, n)}
	turn := make([]float32, n) // to the smooth neighbour that turns most
	for _, e := range s.seams() {
		if c := f.normal[e.t].Dot(f.normal[e.o]); c >= math.Cos(tol.SmoothTurn) && c < 1 {
			a := float32(math.Acos(c))
			turn[e.t], turn[e.o] = max(turn[e.t], a), max(turn[e.o], a)
		}
	}
	storage := s.StorageMM()
	const size = 1 << 13
	narrow := make([]float64, (n+size-1)/size)
	nan := float32(math.NaN())
	parallel.Chunks(n, size, func(k, from, to, _ int) {
		for t := from; t < to; t++ {
			d.of[t] = nan
			if of[t] != Detail || f.area[t] == 0 {
				continue
			}
			up := f.normal[t].Dot(draw)
			tilt := math.Asin(max(-1, min(1, up)))
			if exact, err, ok := s.exactDraft(t, up); ok {
				d.of[t], d.error[t] = float32(exact), float32(err)
				continue
			}
			err := 2 * storage / s.altitudeMM(int32(t))
			if err > tol.DraftKnown {
				narrow[k] += f.area[t]
				continue
			}
			if a := float64(turn[t]); a > 0 {
				half := tilt * (1/math.Cos(a/2) - 1) / 2
				tilt += half
				err += abs(half)
			}
			d.of[t], d.error[t] = float32(tilt), float32(err)
		}
	})
	for _, x := range narrow {
		d.narrowMM2 += x
	}
	return d
}

// parallelSine: an axis nearer to the draw than a ten-thousandth of a radian is along it; what that
// tilts is in the error.
const parallelSine = 1e-4

// exactDraft is the draft of the face that t came from, where the file says enough of it. up is
// the facet's own.
func (s *Subject) exactDraft(t int, up float64) (draft, err float64, ok bool) {
	i := int(s.Part.Mesh.FaceOf(t))
	if i >= len(s.Part.Faces) {
		return 0, 0, false
	}
	face, draw := &s.Part.Faces[i], s.Draw()
	// A direction is three stored numbers of length 1.
	rounding := 4 * s.Part.Roundoff
	switch face.Kind {
	case mesh.Plane:
		return math.Asin(max(-1, min(1, face.Axis.Dot(draw)))), rounding, true
	case mesh.Cylinder, mesh.Cone:
		off := face.Axis.Cross(draw).Norm()
		if off > parallelSine {
			return 0, 0, false
		}
		return math.Copysign(abs(face.HalfAngle.Radians()), up), rounding + off, true
	}
	return 0, 0, false
}

// patch is a connected run of the detail's triangles that were picked for one thing.
type patch struct {
	triangles []int32 // ascending
	areaMM2   float64
}

// patches groups the picked triangles of the detail that share edges, by their lowest triangle.
func (s *Subject) patches(picked func(t int32) bool) []patch {
	n := len(s.Part.Mesh.Triangles)
	chosen := make([]bool, n)
	found := false
	for t, k := range s.Surfaces().Of {
		if k == Detail && picked(int32(t)) {
			chosen[t], found = true, true
		}
	}
	if !found {
		return nil
	}
	group := mesh.NewForest(n)
	for _, e := range s.seams() {
		if chosen[e.t] && chosen[e.o] {
			group.Join(e.t, e.o)
		}
	}
	f := facetsFact.of(s)
	number := map[int32]int{}
	var out []patch
	for t := range int32(n) {
		if !chosen[t] {
			continue
		}
		root := group.Root(t)
		k, ok := number[root]
		if !ok {
			k = len(out)
			number[root] = k
			out = append(out, patch{})
		}
		out[k].triangles = append(out[k].triangles, t)
		out[k].areaMM2 += f.area[t]
	}
	return out
}

// middle is the middle of triangle t.
func (s *Subject) middle(t int32) r3.Vector {
	a, b, c := s.Part.Mesh.Corners(int(t))
	return a.Add(b).Add(c).Mul(1.0 / 3)
}

// widest is the triangle of most area.
func (s *Subject) widest(triangles []int32) int32 {
	f := facetsFact.of(s)
	return slices.MaxFunc(triangles, func(a, b int32) int { return cmp.Or(cmp.Compare(f.area[a], f.area[b]), cmp.Compare(b, a)) })
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }

// draftBands are the ends, in degrees, of the bands in which the area of the detail is told.
var draftBands = [...]float64{0.5, 1, 2, 5, 30, 90}

// histogram says how much of the detail has how much draft, undercuts left out.
func (d *drafts) histogram(s *Subject) string {
	f := facetsFact.of(s)
	hidden := undercutsFact.of(s).hidden
	var area [len(draftBands)]float64
	zero := 0.0
	for t, x := range d.of {
		a := float64(x)
		switch {
		case math.IsNaN(a) || hidden[t] || a < -tol.ZeroDraft:
		case a <= tol.ZeroDraft:
			zero += f.area[t]
		default:
			k := 0
			for k+1 < len(draftBands) && degrees(a) >= draftBands[k]-degrees(tol.DraftSlack) {
				k++
			}
			area[k] += f.area[t]
		}
	}
	var parts []string
	say := func(area float64, text string) {
		if area >= tol.DraftNoiseMM2 {
			parts = append(parts, fmt.Sprintf("%.1f mm2 %s", area, text))
		}
	}
	say(zero, "without any")
	low := 0.0
	for k, high := range draftBands {
		say(area[k], fmt.Sprintf("%g to %g deg", low, high))
		low = high
	}
	if len(parts) == 0 {
		return ""
	}
	return " Draft by area: " + strings.Join(parts, ", ") + "."
}

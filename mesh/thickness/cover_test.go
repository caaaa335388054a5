package thickness

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/meshtest"
)

// spokenFor counts random points of the surface, evenly over facets and over area, for which no
// sample of the field speaks.
func spokenFor(rng *rand.Rand, f *Field, m *mesh.Mesh, points int) (missing int, worst r3.Vector) {
	total := 0.0
	sums := make([]float64, len(m.Triangles))
	for i := range sums {
		total += m.AreaVector(i).Norm()
		sums[i] = total
	}
	for k := range points {
		i := rng.IntN(len(sums))
		if k%2 == 0 {
			at := rng.Float64() * total
			for i = 0; sums[i] < at; i++ {
			}
		}
		if !f.Sampled(int32(i)) {
			continue
		}
		a, b, c := m.Corners(i)
		u, v := rng.Float64(), rng.Float64()
		if u+v > 1 {
			u, v = 1-u, 1-v
		}
		// Every fourth point lies on an edge.
		if k%4 == 1 {
			v = 0
		}
		p := a.Mul(1 - u - v).Add(b.Mul(u)).Add(c.Mul(v))
		found := false
		for j := range f.Samples {
			s := &f.Samples[j]
			d := p.Sub(f.Point(s))
			n := f.Normal(s.Triangle)
			if d.Norm() <= f.CoverMM+1e-9 && math.Abs(d.Dot(n)) <= f.CoverMM/4+1e-9 && n.Dot(f.Normal(int32(i))) >= math.Cos(15*math.Pi/180)-1e-12 {
				found = true
				break
			}
		}
		if !found {
			missing++
			worst = p
		}
	}
	return missing, worst
}

// fan is a round plate as CAD programs triangulate it: both faces fans of needles from one point
// of the rim.
func fan(radius, height float64, sides int) *mesh.Mesh {
	return prism(ring(0, 0, radius, sides), 0, height)
}

// TestEveryPointIsNearASample is invariant W3.
func TestEveryPointIsNearASample(t *testing.T) {
	rng := meshtest.Random(t)
	solids := map[string]*mesh.Mesh{
		"fan":    fan(20, 3, 300),
		"block":  block(0, 0, 0, 30, 7, 0.4),
		"sphere": sphere(4, 40, 21),
		"rib":    notched(0.8, 6),
	}
	for k := range 12 {
		solids[string(rune('a'+k))] = meshtest.RandomSolid(rng).Mesh
	}
	for name, m := range solids {
		m = m.Moved(meshtest.RandomMotion(rng, 40))
		f, err := Walls(index.Build(m), Options{PitchMM: 0.4 + rng.Float64(), LimitMM: 0.01})
		if err != nil {
			t.Fatal(err)
		}
		if missing, at := spokenFor(rng, f, m, 1000); missing > 0 {
			t.Errorf("%s at a pitch of %v: no sample speaks for %d of 1000 points, one is %v", name, f.PitchMM, missing, at)
		}
		area := 0.0
		for _, s := range f.Samples {
			area += float64(s.AreaMM2)
		}
		want := 0.0
		for i := range m.Triangles {
			want += m.AreaVector(i).Norm()
		}
		if math.Abs(area-want) > 1e-5*want {
			t.Errorf("%s: samples stand for %v mm2 of %v", name, area, want)
		}
	}
}

// TestCoverTestHasTeeth: with one sample in ten left out, points are missed.
func TestCoverTestHasTeeth(t *testing.T) {
	rng := meshtest.Random(t)
	m := fan(20, 3, 300)
	f := walls(t, m, Options{PitchMM: 1, LimitMM: 0.01})
	kept := f.Samples[:0]
	for i, s := range f.Samples {
		if i%10 != 0 {
			kept = append(kept, s)
		}
	}
	f.Samples = kept
	if missing, _ := spokenFor(rng, f, m, 1000); missing == 0 {
		t.Error("a tenth of the samples is missing and no point misses one")
	}
}

// TestNeedlesShareSamples: a plate cut into needles takes hardly more samples than its area asks
// for. The pitch alone asks for one a square millimetre; needles one by one would take 300 x 40.
func TestNeedlesShareSamples(t *testing.T) {
	f := walls(t, fan(20, 3, 300), Options{PitchMM: 1, LimitMM: 0.01})
	faces := 0
	for _, s := range f.Samples {
		if math.Abs(f.Normal(s.Triangle).Z) > 0.9 {
			faces++
		}
	}
	if area := 2 * math.Pi * 400; float64(faces) > 2.6*area {
		t.Errorf("%d samples on %v mm2 of needles", faces, area)
	}
}

// TestGroovesAreNotSpokenFor: the floor of a groove narrower than the pitch has samples of its
// own, though the face beside it is parallel and near.
func TestGroovesAreNotSpokenFor(t *testing.T) {
	m := notched(0.3, 0.1)
	f := walls(t, m, Options{PitchMM: 1})
	floor := 0
	for _, s := range f.Samples {
		if math.Abs(f.Point(&s).Y-9.9) < 1e-9 {
			floor++
		}
	}
	if floor < 15 {
		t.Errorf("a groove 15 mm long has %d samples on its floor", floor)
	}
	got := f.Regions(9.95, func(a, b int32) bool { return math.Abs(f.Normal(a).Y*f.Normal(b).Y) > 0.9 })
	if len(got) == 0 || math.Abs(got[0].ValueMM-9.9) > got[0].ErrorMM {
		t.Errorf("under the groove: %+v", got)
	}
}

package solids

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"pocketgauge/mesh/step/part21"
)

// Every file is sound Part 21, and defines all it refers to unless that is in another file.
func TestSyntax(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range Cases() {
		if seen[c.Name] {
			t.Errorf("two cases are named %s", c.Name)
		}
		seen[c.Name] = true
		f, err := part21.Parse(c.Text, part21.Limits{})
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		if err := f.Check(); err != nil && len(f.References()) == 0 {
			t.Errorf("%s: %v", c.Name, err)
		}
		if (c.Err == "") != (len(c.Solids) > 0) {
			t.Errorf("%s has %d solids and the error %q", c.Name, len(c.Solids), c.Err)
		}
		for _, s := range c.Solids {
			d := s.Max.Sub(s.Min)
			box, skin := d.X*d.Y*d.Z, 2*(d.X*d.Y+d.Y*d.Z+d.Z*d.X)
			switch {
			case !(s.VolumeMM3 > 0) != s.Open || s.VolumeMM3 > box*(1+1e-12) || s.Path == "":
				t.Errorf("%s: %+v fills a box of %v", c.Name, s, box)
			case !(s.AreaMM2 > 0) || math.IsInf(box, 0):
				t.Errorf("%s: %+v", c.Name, s)
			// The isoperimetric inequality: A^3 >= 36 pi V^2. And no case here has more than
			// three times the skin of its bounds.
			case math.Pow(s.AreaMM2, 3) < 36*math.Pi*s.VolumeMM3*s.VolumeMM3*(1-1e-12) || s.AreaMM2 > 3*skin:
				t.Errorf("%s: area %v and volume %v cannot be", c.Name, s.AreaMM2, s.VolumeMM3)
			}
		}
	}
}

// unpaired counts the edges of a file that are not used twice, once in each direction, when the
// flags of oriented edges and bounds are counted; -1 if the file has no closed shell of edges.
func unpaired(t *testing.T, text []byte) int {
	t.Helper()
	f, err := part21.Parse(text, part21.Limits{Keywords: []string{"ORIENTED_EDGE", "EDGE_LOOP", "FACE_BOUND", "FACE_OUTER_BOUND", "OPEN_SHELL"}})
	if err != nil {
		t.Fatal(err)
	}
	if f.Count(5) > 0 || f.Count(1) == 0 {
		return -1
	}
	balance, count := map[uint64]int{}, map[uint64]int{}
	for _, kind := range []part21.Type{3, 4} {
		for b := range f.Of(kind) {
			p := b.Record(kind).Params()
			p.Skip()
			loop := p.Instance()
			turned := !p.Bool()
			if err := p.Done(); err != nil {
				t.Fatal(err)
			}
			if !loop.Is(2) {
				continue
			}
			l := loop.Record(2).Params()
			l.Skip()
			for _, e := range l.Instances(nil) {
				q := e.Record(1).Params()
				q.Skip()
				q.Skip()
				q.Skip()
				edge, forward := q.Ref(), q.Bool()
				if err := q.Done(); err != nil {
					t.Fatal(err)
				}
				count[edge]++
				if forward != turned {
					balance[edge]++
				} else {
					balance[edge]--
				}
			}
		}
	}
	bad := 0
	for e, n := range count {
		if n != 2 || balance[e] != 0 {
			bad++
		}
	}
	return bad
}

func TestEdgesPair(t *testing.T) {
	for _, c := range Cases() {
		if n := unpaired(t, c.Text); n > 0 && c.Name != "face_set_open" && !strings.HasSuffix(c.Name, "_unsewn") {
			t.Errorf("%s has %d edges without their like", c.Name, n)
		}
		if c.Name != "box" {
			continue
		}
		// The control: one flag turned is found.
		k := bytes.Index(c.Text, []byte("ORIENTED_EDGE"))
		spoiled := append(bytes.Clone(c.Text[:k]), bytes.Replace(c.Text[k:], []byte(",.T.);"), []byte(",.F.);"), 1)...)
		if n := unpaired(t, spoiled); n != 1 {
			t.Errorf("a turned edge is counted as %d", n)
		}
	}
}

func TestSameBytes(t *testing.T) {
	first, second := Cases(), Cases()
	for k := range first {
		if !bytes.Equal(first[k].Text, second[k].Text) {
			t.Errorf("%s differs between two runs", first[k].Name)
		}
	}
}

// Published values of mensuration against the formulas used here.
func TestAgainstHandbook(t *testing.T) {
	near := func(what string, got, want, digits float64) {
		t.Helper()
		if math.Abs(got-want) > digits {
			t.Errorf("%s is %v, want %v", what, got, want)
		}
	}
	of := func(build func(f *file) (ids, Solid)) Solid { _, s := build(newFile()); return s }
	// Machinery's Handbook, 31st edition, Volumes of Solids, pp. 89-93.
	near("cylinder d 2.5 h 20", of(frustumCase(1.25, 1.25, 20, true, [2]string{outer})).VolumeMM3, 98.17, 0.005)
	near("cone d 6 h 4", of(fullCone(3, 4, "seam")).VolumeMM3, 37.70, 0.005)
	near("cone d 6 h 4, lateral", of(fullCone(3, 4, "seam")).AreaMM2-9*math.Pi, 47.124, 0.0005)
	near("sphere d 6.5", of(wholeSphere(3.25, "")).VolumeMM3, 143.79, 0.005)
	near("sphere d 6.5, area", of(wholeSphere(3.25, "")).AreaMM2, 132.73, 0.005)
	near("segment h 50 chord 125", of(sphericalCap(64.0625, 14.0625)).VolumeMM3, 372246.0, 0.05)
	near("torus D 5 d 1.5", of(ringTorus(2.5, 0.75, "")).VolumeMM3, 27.76, 0.005)
	near("torus D 5 d 1.5, area", of(ringTorus(2.5, 0.75, "")).AreaMM2, 74.022, 0.0005)
	near("paraboloid segment D 5 d 3 h 6", of(paraboloid(1.5, 2.5, 6, false)).VolumeMM3, 80.11, 0.005)
	// A torus that just touches its axis is a ring and an apple at once, and its lemon is nothing.
	near("horn torus", of(degenerateTorus(2, 2+1e-9, true)).VolumeMM3, 2*math.Pi*math.Pi*8, 1e-5)
	near("lemon of a horn torus", of(degenerateTorus(2, 2+1e-9, false)).VolumeMM3, 0, 1e-9)
	// A torus of no major radius is a sphere.
	near("apple of R 0", of(degenerateTorus(1e-12, 3, true)).VolumeMM3, 36*math.Pi, 1e-7)
	near("apple of R 0, area", of(degenerateTorus(1e-12, 3, true)).AreaMM2, 36*math.Pi, 1e-7)
	// Arc lengths by the closed form against integration.
	y := func(x float64) float64 { return math.Hypot(1, 2*rise*x/(half*half)) }
	near("parabola", parabolic(nil).length, simpson(y, -half, half), 1e-9)
}

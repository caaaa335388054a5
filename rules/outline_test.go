package rules

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
)

func outlineOf(t *testing.T, outline string) *Outline {
	t.Helper()
	f := mustLoad(t, map[string]string{"f.yaml": "frame: F\npocket:\n  depth: 10\n  clearance: {least: 0}\n  outline: " + outline + "\n"}, "f.yaml")
	return &f.Pocket.Outline
}

// along is a place on a piece, t from 0 to 1: the second method by which outlines are checked here,
// which walks the angle about the centre and knows nothing of sweep().
func along(s Segment, t float64) r2.Point {
	if !s.Arc {
		return s.Start.Add(s.End.Sub(s.Start).Mul(t))
	}
	a := math.Atan2(s.Start.Y-s.Center.Y, s.Start.X-s.Center.X)
	b := math.Atan2(s.End.Y-s.Center.Y, s.End.X-s.Center.X)
	if s.CCW && b <= a {
		b += 2 * math.Pi
	}
	if !s.CCW && b >= a {
		b -= 2 * math.Pi
	}
	a += (b - a) * t
	return r2.Point{X: s.Center.X + s.RadiusMM*math.Cos(a), Y: s.Center.Y + s.RadiusMM*math.Sin(a)}
}

// sampled is the shoelace area of a fine chain of places.
func sampled(all []Segment, n int) float64 {
	var places []r2.Point
	for _, s := range all {
		for i := range n {
			places = append(places, along(s, float64(i)/float64(n)))
		}
	}
	sum := 0.0
	for i, p := range places {
		sum += p.Cross(places[(i+1)%len(places)]) / 2
	}
	return sum
}

// faultOf says what is wrong with the pieces of an outline, "" when nothing is.
func faultOf(all []Segment) string {
	for i, s := range all {
		next := all[(i+1)%len(all)]
		if s.End != next.Start {
			return fmt.Sprintf("%s ends at %v, %s starts at %v", s.Name, s.End, next.Name, next.Start)
		}
		if s.Start == s.End {
			return s.Name + " has no length"
		}
		if !s.Arc {
			continue
		}
		for _, p := range []r2.Point{s.Start, s.End} {
			if off := math.Abs(p.Sub(s.Center).Norm() - s.RadiusMM); off > 1e-9 {
				return fmt.Sprintf("%s: an end lies %g off its circle", s.Name, off)
			}
		}
		if _, turn := s.sweep(); turn > math.Pi+1e-9 {
			return fmt.Sprintf("%s turns by %g, more than a half turn", s.Name, turn)
		}
	}
	if area(all) <= 0 {
		return "not counterclockwise"
	}
	return ""
}

// Areas in closed form: plane geometry.
func TestOutlinesEncloseTheirClosedFormArea(t *testing.T) {
	half := math.Acos(40.0 / 50) // of a flat 40 from the centre of a circle of radius 50
	cap50 := 2500 * (half - math.Sin(2*half)/2)
	for _, c := range []struct {
		outline string
		want    float64
		pieces  int
	}{
		{"{rectangle: {width: 100, length: 60}}", 6000, 4},
		{"{rectangle: {width: 100, length: 60, corner_radius: 10}}", 6000 - (4-math.Pi)*100, 8},
		{"{rectangle: {width: 100, length: 60, corner_radius: 30}}", 40*60 + math.Pi*900, 6},
		{"{rectangle: {width: 60, length: 60, corner_radius: 30}}", math.Pi * 900, 4},
		{"{circle: {diameter: 100}}", math.Pi * 2500, 2},
		{"{circle: {diameter: 100, flats: [{outward: 90 deg, distance: 40}]}}", math.Pi*2500 - cap50, 3},
		{"{circle: {diameter: 100, flats: [{outward: 270 deg, distance: 40}, {outward: 450 deg, distance: 40}]}}", math.Pi*2500 - 2*cap50, 4},
		{"{circle: {diameter: 100, flats: [{outward: -10 deg, distance: 40}]}}", math.Pi*2500 - cap50, 3},
		{"{polygon: [{to: [0, 0]}, {to: [3, 0]}, {to: [0, 4]}]}", 6, 3},
		{"{polygon: [{to: [0, 4]}, {to: [3, 0]}, {to: [0, 0]}]}", 6, 3},                                                            // the same, clockwise
		{"{polygon: [{to: [10, 0], through: [0, -10]}, {to: [-10, 0]}]}", math.Pi * 50, 2},                                         // half disc
		{"{polygon: [{to: [10, 0], through: [0, -10]}, {to: [-10, 0], through: [0, 10]}]}", math.Pi * 100, 2},                      // disc
		{"{polygon: [{to: [0, 0]}, {to: [20, 0]}, {to: [20, 10]}, {to: [0, 10], through: [10, 5]}]}", 200 - segmentArea(20, 5), 4}, // bay
		{"{polygon: [{to: [0, 0], radius: 2}, {to: [20, 0], radius: 2}, {to: [20, 10], radius: 2}, {to: [0, 10], radius: 2}]}", 200 - (4-math.Pi)*4, 8},
		{"{polygon: [{to: [0, 0]}, {to: [20, 0]}, {to: [20, 10]}, {to: [10, 10], radius: 2}, {to: [10, 20]}, {to: [0, 20]}]}", 300 + (1-math.Pi/4)*4, 7}, // inner corner gains
		// Three quarters of a disc and a square: an arc of more than a half turn is split.
		{"{polygon: [{to: [10, 0]}, {to: [0, -10], through: [-7.0710678118654755, 7.0710678118654755]}, {to: [0, 0]}]}", 0.75 * math.Pi * 100, 4},
	} {
		o := outlineOf(t, c.outline)
		all := o.Segments()
		if fault := faultOf(all); fault != "" {
			t.Errorf("%s: %s", c.outline, fault)
		}
		if len(all) != c.pieces {
			t.Errorf("%s: %d pieces, want %d", c.outline, len(all), c.pieces)
		}
		if math.Abs(o.AreaMM2()-c.want) > 1e-6*c.want {
			t.Errorf("%s: area %.9g, want %.9g", c.outline, o.AreaMM2(), c.want)
		}
		// The chain of n places of an arc of angle w misses at most (w/n)^2/6 of its sector.
		if got := sampled(all, 2000); math.Abs(got-c.want) > 1e-6*c.want {
			t.Errorf("%s: sampled area %.9g, want %.9g", c.outline, got, c.want)
		}
	}
}

// segmentArea is the area between a chord and its arc of rise h.
func segmentArea(chord, h float64) float64 {
	r := (chord*chord/4 + h*h) / (2 * h)
	half := math.Asin(chord / 2 / r)
	return r * r * (half - math.Sin(2*half)/2)
}

func TestFaultsOfOutlinesAreSeen(t *testing.T) {
	good := outlineOf(t, "{circle: {diameter: 100, flats: [{outward: 90 deg, distance: 40}]}}").Segments()
	spoil := func(change func([]Segment)) []Segment {
		bad := append([]Segment(nil), good...)
		change(bad)
		return bad
	}
	for name, bad := range map[string][]Segment{
		"a gap":       spoil(func(s []Segment) { s[0].End.X += 1e-6 }),
		"off circle":  spoil(func(s []Segment) { s[1].RadiusMM += 1e-6 }),
		"wrong way":   reversed(good),
		"a long turn": spoil(func(s []Segment) { s[1].CCW = false }),
	} {
		if faultOf(bad) == "" {
			t.Errorf("%s was not seen", name)
		}
	}
}

func TestBounds(t *testing.T) {
	for outline, want := range map[string][4]float64{
		"{rectangle: {width: 100, length: 60, corner_radius: 10}}":                                  {-50, 50, -30, 30},
		"{circle: {diameter: 100, flats: [{outward: 90 deg, distance: 40}]}}":                       {-50, 50, -50, 40},
		"{polygon: [{to: [10, 0], through: [0, -10]}, {to: [-10, 0]}]}":                             {-10, 10, -10, 0},
		"{polygon: [{to: [0, 0]}, {to: [20, 0]}, {to: [20, 10]}, {to: [0, 10], through: [10, 5]}]}": {0, 20, 0, 10},
	} {
		b := outlineOf(t, outline).Bounds()
		got := [4]float64{b.X.Lo, b.X.Hi, b.Y.Lo, b.Y.Hi}
		for i := range got {
			if math.Abs(got[i]-want[i]) > 1e-9 {
				t.Errorf("%s: bounds %v, want %v", outline, got, want)
				break
			}
		}
	}
}

// Random star-shaped polygons with arcs and rounded corners: whatever loads must be closed,
// counterclockwise and of the area that sampling finds; a polygon with two corners swapped crosses
// itself and must be refused.
func TestRandomPolygons(t *testing.T) {
	const seed = 20260901
	random := rand.New(rand.NewPCG(seed, 1))
	t.Logf("seed %d", seed)
	loaded, crossed := 0, 0
	for range 400 {
		n := 4 + random.IntN(9)
		sides := make([]string, n)
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.5*random.Float64()) / float64(n)
			r := 20 + 20*random.Float64()
			sides[i] = fmt.Sprintf("to: [%.6f, %.6f]", r*math.Cos(a), r*math.Sin(a))
			if random.IntN(4) == 0 {
				sides[i] += fmt.Sprintf(", radius: %.3f", 0.1+2*random.Float64())
			}
		}
		if random.IntN(2) == 0 {
			for i := range n / 2 {
				sides[i], sides[n-1-i] = sides[n-1-i], sides[i]
			}
		}
		text := func(sides []string) string { return "{polygon: [{" + strings.Join(sides, "}, {") + "}]}" }
		o := outlineOf(t, text(sides))
		loaded++
		if fault := faultOf(o.Segments()); fault != "" {
			t.Fatalf("%s: %s", text(sides), fault)
		}
		if a, b := o.AreaMM2(), sampled(o.Segments(), 300); math.Abs(a-b) > 1e-4*a {
			t.Fatalf("%s: area %g, sampled %g", text(sides), a, b)
		}
		swapped := append([]string(nil), sides...)
		swapped[0], swapped[2] = swapped[2], swapped[0]
		_, err := LoadFS(folder(map[string]string{"f.yaml": "frame: F\npocket:\n  depth: 10\n  clearance: {least: 0}\n  outline: " + text(swapped) + "\n"}), "f.yaml")
		if err != nil {
			crossed++
		}
	}
	if loaded != 400 || crossed < 350 {
		t.Errorf("%d loaded, %d of 400 swapped ones refused", loaded, crossed)
	}
}

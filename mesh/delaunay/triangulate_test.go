package delaunay

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/geom"
)

func loop(first, n int) (s [][2]int32) {
	for i := range n {
		s = append(s, [2]int32{int32(first + i), int32(first + (i+1)%n)})
	}
	return s
}

// complaints holds a triangulation to D1 to D3 and its own links.
func complaints(w *Workspace, segments [][2]int32) (list []string) {
	for t := range w.triangles {
		tr := &w.triangles[t]
		a, b, c := w.points[tr.corner[0]], w.points[tr.corner[1]], w.points[tr.corner[2]]
		if geom.Orient2D(a, b, c) != 1 {
			list = append(list, "D3: a triangle is flat or turned")
		}
		for i, n := range tr.next {
			if n == none {
				continue
			}
			j := w.cornerAcross(n, int32(t))
			q := &w.triangles[n]
			if q.next[j] != int32(t) || q.corner[(j+1)%3] != tr.corner[(i+2)%3] || q.corner[(j+2)%3] != tr.corner[(i+1)%3] {
				list = append(list, "neighbours do not agree")
			}
			if tr.fixed>>i&1 != q.fixed>>j&1 || tr.parity>>i&1 != q.parity>>j&1 {
				list = append(list, "flags do not agree")
			}
			if tr.fixed>>i&1 == 0 && geom.InCircle(a, b, c, w.points[q.corner[j]]) > 0 {
				list = append(list, "D2: a circle is not empty")
			}
		}
	}
	for _, s := range segments {
		a, b := w.same[s[0]+hull], w.same[s[1]+hull]
		if a == b {
			continue
		}
		if e, ok := w.edge(a, b); !ok || w.triangles[e.triangle].fixed>>e.corner&1 == 0 {
			list = append(list, "D1: a constraint is not an edge")
		}
	}
	return list
}

func insideArea(w *Workspace) (area float64, n int) {
	var sum geom.Sum
	for t := range w.triangles {
		if w.Inside(t) {
			c := w.Corners(t)
			a := w.Point(c[0])
			sum.Add(w.Point(c[1]).Sub(a).Cross(w.Point(c[2]).Sub(a)) / 2)
			n++
		}
	}
	return sum.Value(), n
}

// star is a random polygon that is star-shaped about a point: it cannot cross itself.
func star(r *rand.Rand, o r2.Point, least, most float64, n int) (p []r2.Point) {
	turn := r.Float64()
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + turn) / float64(n))
		l := least + (most-least)*r.Float64()
		p = append(p, r2.Point{X: o.X + l*c, Y: o.Y + l*s})
	}
	return p
}

func polygonArea(p []r2.Point) float64 {
	a := 0.0
	for i, q := range p {
		a += q.Cross(p[(i+1)%len(p)]) / 2
	}
	return a
}

// Random polygons with holes: area by the shoelace formula, triangles by Euler (n - 2 + 2 h for n
// corners and h holes), and all invariants, before and after points are added.
func TestPolygonsWithHoles(t *testing.T) {
	const seed = 7
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 2))
	var w Workspace
	for round := range 300 {
		n := 3 + r.IntN(200)
		points := star(r, r2.Point{}, 10, 14, n)
		segments := loop(0, n)
		area := polygonArea(points)
		holes := r.IntN(5)
		for h := range holes {
			s, c := math.Sincos(2 * math.Pi * float64(h) / 5)
			m := 3 + r.IntN(20)
			hole := star(r, r2.Point{X: 3 * c, Y: 3 * s}, .2, 1.5, m)
			area -= polygonArea(hole)
			segments = append(segments, loop(len(points), m)...)
			points = append(points, hole...)
		}
		if n < 8 { // a coarse outline may cut the holes
			continue
		}
		if err := w.Triangulate(points, segments); err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		for _, c := range complaints(&w, segments) {
			t.Fatalf("round %d: %s", round, c)
		}
		got, count := insideArea(&w)
		if math.Abs(got-area) > 1e-12*area || count != len(points)-2+2*holes {
			t.Fatalf("round %d: area %v, %d triangles; want %v, %d", round, got, count, area, len(points)-2+2*holes)
		}
		added := 0
		for range 100 {
			k := r.IntN(w.Len())
			if !w.Inside(k) {
				continue
			}
			c := w.Corners(k)
			if w.Add(w.Point(c[0]).Add(w.Point(c[1])).Add(w.Point(c[2])).Mul(1./3), k) >= 0 {
				added++
			}
		}
		for _, c := range complaints(&w, segments) {
			t.Fatalf("round %d, points added: %s", round, c)
		}
		got, count = insideArea(&w)
		if math.Abs(got-area) > 1e-12*area || count != len(points)-2+2*holes+2*added {
			t.Fatalf("round %d, %d points added: area %v, %d triangles; want %v", round, added, got, count, area)
		}
	}
}

// A square grid is degenerate everywhere: every cell is a circle through four points.
func TestGrid(t *testing.T) {
	const n = 40
	var points []r2.Point
	for j := range n {
		for i := range n {
			points = append(points, r2.Point{X: .1 * float64(i), Y: .1 * float64(j)})
		}
	}
	var segments [][2]int32
	for i := range n - 1 {
		for _, s := range [][2]int{{i, i + 1}, {(n-1)*n + i, (n-1)*n + i + 1}, {i * n, (i + 1) * n}, {i*n + n - 1, (i+1)*n + n - 1}} {
			segments = append(segments, [2]int32{int32(s[0]), int32(s[1])})
		}
	}
	var w Workspace
	if err := w.Triangulate(points, segments); err != nil {
		t.Fatal(err)
	}
	for _, c := range complaints(&w, segments) {
		t.Fatal(c)
	}
	if _, count := insideArea(&w); count != 2*(n-1)*(n-1) {
		t.Errorf("%d triangles, want %d", count, 2*(n-1)*(n-1))
	}
	first := slices.Clone(w.triangles)
	if err := w.Triangulate(points, segments); err != nil || !slices.Equal(first, w.triangles) {
		t.Error("D5: a second run differs")
	}
	if a := testing.AllocsPerRun(3, func() { _ = w.Triangulate(points, segments) }); a > 0 {
		t.Errorf("D6: %v allocations", a)
	}
}

func TestErrors(t *testing.T) {
	var w Workspace
	var c *CrossingError
	bow := []r2.Point{{X: 0, Y: 0}, {X: 1, Y: 1}, {X: 1, Y: 0}, {X: 0, Y: 1}}
	if err := w.Triangulate(bow, loop(0, 4)); !errors.As(err, &c) || c.Segment != 2 || c.Other != 0 {
		t.Errorf("a bow: %v, want segments 2 and 0", err)
	}
	through := []r2.Point{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 2, Y: 2}, {X: 1, Y: 0}}
	if err := w.Triangulate(through, [][2]int32{{0, 1}}); !errors.As(err, &c) || c.Point != 3 {
		t.Errorf("through a point: %v, want point 3", err)
	}
	// The control: the same points in an order that does not cross.
	if err := w.Triangulate([]r2.Point{bow[0], bow[2], bow[1], bow[3]}, loop(0, 4)); err != nil {
		t.Error(err)
	}
}

// A slit, given twice, is an edge and bounds nothing (D4).
func TestSlit(t *testing.T) {
	var w Workspace
	p := []r2.Point{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}, {X: 1, Y: 2}, {X: 3, Y: 2}}
	s := append(loop(0, 4), [2]int32{4, 5}, [2]int32{5, 4})
	if err := w.Triangulate(p, s); err != nil {
		t.Fatal(err)
	}
	if a, n := insideArea(&w); a != 16 || n != 6 {
		t.Errorf("area %v of %d triangles, want 16 of 6", a, n)
	}
}

func FuzzTriangulate(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9, 3, 3, 5, 3, 4, 5})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 400 {
			t.Skip()
		}
		var points []r2.Point
		for k := 0; k+1 < len(data); k += 2 {
			points = append(points, r2.Point{X: float64(data[k]) * .1, Y: float64(data[k+1]) * .3})
		}
		if len(points) < 3 {
			t.Skip()
		}
		segments := loop(0, len(points))
		var w Workspace
		if err := w.Triangulate(points, segments); err != nil {
			return
		}
		for _, c := range complaints(&w, segments) {
			t.Error(c)
		}
	})
}

func BenchmarkTriangulate(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, n := range []int{8, 100, 10000} {
		points := star(r, r2.Point{}, 9, 10, n)
		segments := loop(0, n)
		var w Workspace
		b.Run(map[int]string{8: "8", 100: "100", 10000: "10000"}[n], func(b *testing.B) {
			for b.Loop() {
				if err := w.Triangulate(points, segments); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/point")
		})
	}
}

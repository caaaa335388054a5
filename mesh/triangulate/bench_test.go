package triangulate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
)

func perPoint(b *testing.B, p []r2.Point, s [][2]int32) {
	var w Workspace
	b.ReportAllocs()
	for b.Loop() {
		if err := w.Region(p, s); err != nil {
			b.Fatal(err)
		}
		if len(w.Triangles()) == 0 {
			b.Fatal("no triangles")
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(p)), "ns/point")
}

func BenchmarkRegion(b *testing.B) {
	r := rand.New(rand.NewPCG(7, 7))
	b.Run("triangle", func(b *testing.B) {
		p, s := loopsOf([]r2.Point{{X: 0, Y: 0}, {X: 3, Y: 0.1}, {X: 2, Y: 2}})
		perPoint(b, p, s)
	})
	b.Run("rectangle", func(b *testing.B) {
		p, s := loopsOf([]r2.Point{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 2}, {X: 0, Y: 2}})
		perPoint(b, p, s)
	})
	b.Run("turnedRectangle", func(b *testing.B) {
		p, s := loopsOf(circle(r2.Point{X: 10.3, Y: 4.1}, 3.7, 4, 0.3))
		perPoint(b, p, s)
	})
	b.Run("strip40", func(b *testing.B) { // a quarter of a cylinder
		var l []r2.Point
		for i := range 20 {
			l = append(l, r2.Point{X: 0.2 * float64(i)})
		}
		for i := range 20 {
			l = append(l, r2.Point{X: 0.2 * float64(19-i), Y: 5})
		}
		p, s := loopsOf(l)
		perPoint(b, p, s)
	})
	for _, n := range []int{10, 40, 1000, 100000} {
		b.Run(fmt.Sprintf("star%d", n), func(b *testing.B) {
			p, s := loopsOf(star(r, r2.Point{}, n, 9, 14))
			perPoint(b, p, s)
		})
	}
	for _, n := range []int{10000, 300000} {
		b.Run(fmt.Sprintf("cloud%d", n), func(b *testing.B) {
			p, s := loopsOf(circle(r2.Point{}, 2, 64, 0))
			for range n {
				p = append(p, r2.Point{X: r.Float64(), Y: r.Float64()})
			}
			perPoint(b, p, s)
		})
	}
	b.Run("grid10000", func(b *testing.B) {
		p, s := loopsOf([]r2.Point{{X: -1, Y: -1}, {X: 100, Y: -1}, {X: 100, Y: 100}, {X: -1, Y: 100}})
		for i := range 10000 {
			p = append(p, r2.Point{X: float64(i % 100), Y: float64(i / 100)})
		}
		perPoint(b, p, s)
	})
	b.Run("turnedGrid10000", func(b *testing.B) {
		p, s := loopsOf([]r2.Point{{X: -200, Y: -200}, {X: 200, Y: -200}, {X: 200, Y: 200}, {X: -200, Y: 200}})
		sn, cs := math.Sincos(0.3)
		for i := range 10000 {
			x, y := float64(i%100), float64(i/100)
			p = append(p, r2.Point{X: cs*x - sn*y, Y: sn*x + cs*y})
		}
		perPoint(b, p, s)
	})
}

func BenchmarkRefine(b *testing.B) {
	p, s := loopsOf(circle(r2.Point{}, 10, 200, 0), reversed(circle(r2.Point{}, 4, 100, 0)))
	var w Workspace
	var n int
	b.ReportAllocs()
	for b.Loop() {
		if err := w.Region(p, s); err != nil {
			b.Fatal(err)
		}
		n, _ = w.Refine(1<<20, func(c [3]int32) (r2.Point, bool) {
			q := w.Points()
			a, b, d := q[c[0]], q[c[1]], q[c[2]]
			return a.Add(b).Add(d).Mul(1.0 / 3), b.Sub(a).Cross(d.Sub(a)) > 0.01
		})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/inserted")
}

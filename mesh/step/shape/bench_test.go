package shape

import (
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

var sinkVector r3.Vector

func BenchmarkCurve(b *testing.B) {
	for _, c := range []struct {
		name  string
		curve Curve
	}{{"cubic", testCubic(false)}, {"rational cubic", testCubic(true)}} {
		b.Run(c.name+"/point", func(b *testing.B) {
			for i := range b.N {
				sinkVector = c.curve.Point(float64(i&1023) / 1024)
			}
		})
		b.Run(c.name+"/derivatives", func(b *testing.B) {
			for i := range b.N {
				sinkVector, _, _ = c.curve.Derivatives(float64(i&1023) / 1024)
			}
		})
		p := c.curve.Point(0.3)
		b.Run(c.name+"/inversion hinted", func(b *testing.B) {
			for range b.N {
				c.curve.Parameter(p, 0.28, true)
			}
		})
		b.Run(c.name+"/inversion", func(b *testing.B) {
			for range b.N {
				c.curve.Parameter(p, 0, false)
			}
		})
	}
}

func BenchmarkSurface(b *testing.B) {
	for _, c := range surfaces() {
		switch c.name {
		case "plane", "cylinder", "torus", "bumpy", "rational bumpy", "torus by revolution", "extruded cubic":
		default:
			continue
		}
		s, w := c.surface, c.within
		at := func(i int) (float64, float64) {
			return w.X.Lo + w.X.Length()*float64(i&1023)/1024, w.Y.Lo + w.Y.Length()*float64(i>>3&1023)/1024
		}
		b.Run(c.name+"/point", func(b *testing.B) {
			for i := range b.N {
				sinkVector = s.Point(at(i))
			}
		})
		b.Run(c.name+"/first", func(b *testing.B) {
			for i := range b.N {
				sinkVector, _, _ = s.First(at(i))
			}
		})
		b.Run(c.name+"/second", func(b *testing.B) {
			for i := range b.N {
				sinkVector, _, _, _, _, _ = s.Second(at(i))
			}
		})
		u, v := at(300)
		p := s.Point(u, v)
		hint := r2.Point{X: u + 0.02*w.X.Length(), Y: v - 0.02*w.Y.Length()}
		b.Run(c.name+"/inversion hinted", func(b *testing.B) {
			for range b.N {
				s.Parameters(p, hint, true)
			}
		})
		b.Run(c.name+"/inversion", func(b *testing.B) {
			for range b.N {
				s.Parameters(p, hint, false)
			}
		})
	}
}

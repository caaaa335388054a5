package checks_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
)

func TestSpecimensOfEjectPressure(t *testing.T) {
	const resin = "resins: [{name: test, ejection_modulus: 600 MPa, friction: 0.3, shrinkage: {least: 1 %, most: 2 %}}]\n"
	// A box with walls and floor of 2 on a core 46 x 18 and 13.03 high; the pins come out on top of the core, which no hole may reach but theirs.
	half := func(limit string, moving *mesh.Mesh) *checks.Subject {
		s := closed(t, resin+"ejection: {pin_pressure: "+limit+"}\n", pocketed(detail), moving)
		s.Resin = s.Frame.Resin("test")
		s.Partner.Resin = s.Resin
		return s.Partner
	}
	core := pinnedCore(13.03, 3)
	s := half("100 MPa", core)
	w, ok := s.PartWall()
	if !ok || w.MeanMM < 1.98 || w.MeanMM > 2.2 {
		t.Fatalf("a box of 2 has a mean wall of %g", w.MeanMM)
	}
	// By hand: 2 pi t h e E mu / (1 - 0.2) over one pin of 48 sides.
	force := 2 * math.Pi * w.MeanMM * 13.03 * 0.02 * 600 * 0.3 / 0.8
	pin := math.Pi * 9 / 4
	specimens(t, "eject.pressure",
		specimen{clean, "a pin of 3 for a shop that bears 150 MPa", of(t, half("150 MPa", core), "eject.pressure"), "", force / pin, 0.01 * force / pin},
		specimen{defective, "for one that bears 100 MPa", of(t, s, "eject.pressure"), "", force / pin, 0.01 * force / pin},
		specimen{looksWrong, "no core to shrink onto", of(t, half("1 MPa", withHoles([3]float64{-20, 0, 3})), "eject.pressure"), "", 0, 0},
	)
	// What is not known of the resin is not measured.
	unknown := half("100 MPa", core)
	unknown.Resin, unknown.Partner.Resin = nil, unknown.Frame.Resin("PP")
	if list := of(t, unknown, "eject.pressure"); len(list) != 1 || list[0].Verdict != checks.NotJudged || !strings.Contains(list[0].Why, "modulus at ejection of PP, the friction of PP") {
		t.Errorf("a resin of unknown friction: %+v", list)
	}
}

// pinnedCore is the block with a core 46 x 18 on its parting face, and in the core's middle a hole for a pin right through.
func pinnedCore(height, diameter float64) *mesh.Mesh {
	const x, y = -5, -1
	square := func(x0, y0, x1, y1, z float64, sides int) []r3.Vector {
		// As many corners as the hole has, so that ring joins ring: seen from the hole's middle.
		var l []r3.Vector
		for k := range sides {
			s, c := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / float64(sides))
			far := math.Inf(1)
			for _, d := range [...][3]float64{{c, x0 - x, x1 - x}, {s, y0 - y, y1 - y}} {
				if d[0] > 0 {
					far = min(far, d[2]/d[0])
				} else if d[0] < 0 {
					far = min(far, d[1]/d[0])
				}
			}
			l = append(l, at(x+far*c, y+far*s, z))
		}
		return l
	}
	const sides = 480
	top := nominalTop + height
	loops := [][]r3.Vector{
		square(nominal.Min.X, nominal.Min.Y, nominal.Max.X, nominal.Max.Y, 0, sides), square(nominal.Min.X, nominal.Min.Y, nominal.Max.X, nominal.Max.Y, nominalTop, sides),
		square(-28, -10, 18, 8, nominalTop, sides), square(-28, -10, 18, 8, top, sides), ring(x, y, diameter/2, top, sides), ring(x, y, diameter/2, 0, sides),
	}
	m := &mesh.Mesh{}
	for _, l := range loops {
		m.Vertices = append(m.Vertices, l...)
	}
	for k := range int32(len(loops)) {
		for i := range int32(sides) {
			j, next := (i+1)%sides, (k+1)%int32(len(loops))
			a, b, c, d := k*sides+i, k*sides+j, next*sides+j, next*sides+i
			m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	return m
}

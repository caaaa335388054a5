package checks_test

import (
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/mesh/meshtest"
)

// A groove is an edge of the face that a pin comes out on; the pin's own bore is none.
func TestEdgesBesidePins(t *testing.T) {
	s := ejected(t, "edge_distance: 2", withHoles([3]float64{-30, 0, 4}))
	want(t, "no core", of(t, s, "eject.edge"), "", checks.Pass, 6, 1e-6)
	// A groove 3 mm from the pin's wall, cut as a second hole that is no bore: four sides.
	outline := meshtest.Rectangle(r2.Point{X: nominal.Min.X, Y: nominal.Min.Y}, r2.Point{X: nominal.Max.X, Y: nominal.Max.Y})
	groove := meshtest.Rectangle(r2.Point{X: -25, Y: -5}, r2.Point{X: 10, Y: 5})
	m := meshtest.Prism(outline, [][]r2.Point{meshtest.Regular(r2.Point{X: -30}, 2, 48), groove}, 0, nominalTop).Mesh
	want(t, "a groove", of(t, ejected(t, "edge_distance: 2", m), "eject.edge"), "", checks.Pass, 3, 1e-6)
	want(t, "a groove", of(t, ejected(t, "edge_distance: 4", m), "eject.edge"), "", checks.Fail, 3, 1e-6)
}

func TestSpecimensOfEjectEdge(t *testing.T) {
	outline := meshtest.Rectangle(r2.Point{X: nominal.Min.X, Y: nominal.Min.Y}, r2.Point{X: nominal.Max.X, Y: nominal.Max.Y})
	groove := meshtest.Rectangle(r2.Point{X: -25, Y: -5}, r2.Point{X: 10, Y: 5})
	beside := meshtest.Prism(outline, [][]r2.Point{meshtest.Regular(r2.Point{X: -30}, 2, 48), groove}, 0, nominalTop).Mesh
	specimens(t, "eject.edge",
		specimen{clean, "none within three times the limit", pinned(t, "eject.edge", pinRules, [3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3}), "", 6, 1e-6},
		specimen{defective, "a millimetre from the side", pinned(t, "eject.edge", pinRules, [3]float64{30, 27, 4}), "", 29.98 - 27 - 2, 1e-6},
		specimen{looksWrong, "3 mm beside a groove where 2 are asked", of(t, ejected(t, "edge_distance: 2", beside), "eject.edge"), "", 3, 1e-6},
	)
}

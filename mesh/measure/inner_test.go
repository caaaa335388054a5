package measure

import (
	"reflect"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/outline"
)

// What lies well inside is left out and changes nothing, whether the body fits, is far too small or lies askew.
func TestWhatIsLeftOutChangesNothing(t *testing.T) {
	corners := []r2.Point{{X: -50, Y: -30}, {X: 50, Y: -30}, {X: 50, Y: 30}, {X: -50, Y: 30}}
	var pieces []outline.Piece
	for i, p := range corners {
		pieces = append(pieces, outline.Piece{Start: p, End: corners[(i+1)%4]})
	}
	r, err := outline.New(pieces)
	if err != nil {
		t.Fatal(err)
	}
	block := func(free float64) *meshtest.Solid {
		outer := geom.Box{Min: r3.Vector{X: -50 + free, Y: -30 + free}, Max: r3.Vector{X: 50 - free, Y: 30 - free, Z: 40}}
		return meshtest.BlockWithPockets(outer, geom.Box{Min: r3.Vector{X: -20, Y: -10, Z: 20}, Max: r3.Vector{X: 5, Y: 10, Z: 50}})
	}
	errorOf := func(t int) float64 { return 0.001 * float64(t%7) }
	missed := 0
	for _, c := range []struct {
		name string
		s    *meshtest.Solid
	}{
		{"fits", block(0.03)}, {"2.002 mm free", block(2.002)}, {"far too small", block(6)}, {"too wide", block(-0.2)},
		{"askew", block(3).Moved(geom.Rotate(r3.Vector{Z: 1}, 0.1))},
		{"aside", block(5).Moved(geom.Translate(r3.Vector{X: 4.5}))},
	} {
		want, _ := clearances(c.s.Mesh, r, 0, 40, errorOf, r2.EmptyRect())
		if got := Clearances(c.s.Mesh, r, 0, 40, errorOf); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, want %+v", c.name, got, want)
		}
		// Control: where the body is too small, without a second look it would.
		if got, _ := clearances(c.s.Mesh, r, 0, 40, errorOf, r.Inner(innerMM)); !reflect.DeepEqual(got, want) {
			missed++
		}
	}
	if missed == 0 {
		t.Error("what was left out never mattered")
	}
}

package takeoff

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/outline"
	"pocketgauge/mesh/reach"
	"pocketgauge/mesh/tol"
)

// core is the blank once it is faced: the block that is left to mill, drill and burn.
type core struct {
	mesh *mesh.Mesh
	// faced is what facing takes, exactly; slabs are what stands for it on the rays where the blank is
	// a model of its own.
	faced Figure
	slabs []reach.Drill
}

// coreOf faces the blank: down to the highest metal, up to the lowest, and in to the insert's sides all
// around. Of a blank that is the pocket's outline with a height the layers have closed forms; a blank
// that is a model of its own is faced above and below only, and how much that takes the rays say.
func coreOf(s *checks.Subject, e extent) (core, error) {
	q := s.Measures()
	b := q.Bounds
	doubt := q.BoundsErrorMM + s.StorageMM()
	solid := e.old
	if solid == nil {
		blank, err := s.Blank()
		if err != nil {
			return core{}, err
		}
		solid = blank.Mesh
	}
	box := solid.Bounds()
	if e.old != nil || s.BlankModel != nil {
		doubt := max(doubt, e.noiseMM)
		c := core{mesh: solid}
		wide := 2 * box.Diagonal()
		middle := box.Center()
		slab := func(from, to float64) {
			if to-from > 2*doubt {
				c.slabs = append(c.slabs, reach.Drill{
					From: r3.Vector{X: middle.X, Y: middle.Y, Z: from}, To: r3.Vector{X: middle.X, Y: middle.Y, Z: to}, DiameterMM: wide,
				})
			}
		}
		slab(b.Max.Z, box.Max.Z+doubt)
		slab(box.Min.Z-doubt, b.Min.Z)
		return c, nil
	}
	whole, err := blankRegion(s, 0)
	if err != nil {
		return core{}, err
	}
	// How far the insert keeps within the pocket's outline, all over.
	inset := math.Inf(1)
	seen := map[r2.Point]bool{}
	for _, v := range s.Part.Mesh.Vertices {
		p := r2.Point{X: v.X, Y: v.Y}
		if seen[p] {
			continue
		}
		seen[p] = true
		if d, _ := s.Pocket.Clearance(p); d < inset {
			inset = d
		}
	}
	// An insert that stands well within its pocket is milled to its outline, not ground.
	inset = min(inset, max(s.Frame.Pocket.ClearanceMM.Most.Value, tol.SideMM))
	stock := s.Frame.Blank.SideStockMM.Value
	inner := whole
	if inset > -stock {
		// The outline in by the inset is the blank's in by the inset and the stock.
		if r, err := blankRegion(s, inset+stock); err == nil {
			inner = r
		}
	}
	low, high := max(b.Min.Z, box.Min.Z), min(b.Max.Z, box.Max.Z)
	if !(high > low) {
		return core{}, fmt.Errorf("the insert, from z = %.3f to %.3f, lies beside its blank, from %.3f to %.3f", b.Min.Z, b.Max.Z, box.Min.Z, box.Max.Z)
	}
	zone, err := difference.PrismZone(inner.Polyline(tol.ZoneDeflectionMM), geom.Translate(r3.Vector{Z: low}), high-low)
	if err != nil {
		return core{}, err
	}
	a, in := whole.AreaMM2(), inner.AreaMM2()
	around := inner.Bounds()
	return core{mesh: zone.Mesh(), faced: Figure{
		Value: a*(box.Max.Z-high+low-box.Min.Z) + (a-in)*(high-low),
		// Each layer is off by its face times what the insert's bounds are.
		Error: doubt * (2*a + 2*(around.X.Length()+around.Y.Length())*(high-low)),
	}}, nil
}

// blankRegion is the blank's outline, in by some, where the outline is of a kind that can be offset.
func blankRegion(s *checks.Subject, in float64) (*outline.Region, error) {
	o, ok := s.Frame.OutlineOffset(s.Frame.Blank.SideStockMM.Value - in)
	if !ok {
		return nil, fmt.Errorf("the outline cannot be offset by %g", in)
	}
	return checks.RegionOf(o.Segments())
}

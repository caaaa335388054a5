package checks

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/index"
)

// slot is a narrow place of the detail between two walls, at one sample.
type slot struct {
	widthMM, depthMM float64
	at               r3.Vector
}

// slots are the samples of narrow places, and how the detail's walls were sampled.
type slots struct {
	list    []slot
	pitchMM float64
}

var slotsFact = fact[*slots]{findSlots}

// steepSine: a face whose normal rises by less is a wall: 45 degrees.
const steepSine = 0.7

// facing is the cosine within which two walls look at each other: 60 degrees.
const facing = 0.5

// findSlots looks from samples of the detail's walls straight across, square to the draw, to the
// wall opposite. At a narrow place it asks how deep the slot is: from the next metal below its
// middle up to the lower of the two walls' tops, each seen from within the wall by half the slot's
// width, so that a slot counts up to where it has become twice as wide.
//
// Samples lie evenly by area, half the measuring pitch apart, so that a mesh of a million facets
// takes no more than one of a thousand.
func findSlots(s *Subject) *slots {
	m, of, draw := s.Part.Mesh, s.Surfaces().Of, s.Draw()
	f := facetsFact.of(s)
	out := &slots{pitchMM: s.PitchMM() / 2}
	if !s.IsSolid() {
		return out
	}
	each := out.pitchMM * out.pitchMM
	widest := s.widestCutMM()
	off := 16 * s.StorageMM()
	var rays []index.Ray
	waiting := each / 2
	for t, k := range of {
		n := f.normal[t]
		if k != Detail || abs(n.Dot(draw)) > steepSine || f.area[t] == 0 {
			continue
		}
		waiting += f.area[t]
		count := int(waiting / each)
		waiting -= float64(count) * each
		if count == 0 {
			continue
		}
		across := n.Sub(draw.Mul(n.Dot(draw))).Normalize()
		a, b, c := m.Corners(t)
		for i := range count {
			// The additive sequence of the plastic number covers a triangle evenly (Roberts, "The
			// unreasonable effectiveness of quasirandom sequences", 2018).
			const p1, p2 = 0.7548776662466927, 0.5698402909980532
			_, u := math.Modf(0.5 + float64(i)*p1)
			_, v := math.Modf(0.5 + float64(i)*p2)
			if count == 1 {
				u, v = 1.0/3, 1.0/3
			}
			if u+v > 1 {
				u, v = 1-u, 1-v
			}
			p := a.Add(b.Sub(a).Mul(u)).Add(c.Sub(a).Mul(v))
			rays = append(rays, index.Ray{Origin: p.Add(n.Mul(off)), Direction: across, TMax: widest})
		}
	}
	tree := s.Tree()
	var narrow []slot
	var deeper []index.Ray
	far := 2 * s.Measures().Bounds.Diagonal()
	for i, hit := range tree.FirstBatch(rays, nil) {
		if hit.Triangle < 0 || hit.Leaves || of[hit.Triangle] != Detail || f.normal[hit.Triangle].Dot(rays[i].Direction) > -facing {
			continue
		}
		r := &rays[i]
		w := hit.T + off
		narrow = append(narrow, slot{widthMM: w, at: r.At(w / 2)})
		// Down the middle, and from within either wall along the draw and away from the slot.
		deeper = append(deeper,
			index.Ray{Origin: r.At(w / 2), Direction: draw.Mul(-1), TMax: far},
			index.Ray{Origin: r.At(-2 * off), Direction: r.Direction.Mul(-1), TMax: far},
			index.Ray{Origin: r.At(w + off), Direction: r.Direction, TMax: far})
	}
	hits := tree.FirstBatch(deeper, nil)
	var up []index.Ray
	for i := range narrow {
		w := narrow[i].widthMM
		for side := range 2 {
			r, back := &deeper[3*i+1+side], hits[3*i+1+side]
			in := w / 2
			if back.Triangle >= 0 {
				in = min(in, back.T/2)
			}
			up = append(up, index.Ray{Origin: r.At(in), Direction: draw, TMax: far})
		}
	}
	tops := tree.FirstBatch(up, nil)
	for i := range narrow {
		floor := hits[3*i]
		if floor.Triangle < 0 || floor.Leaves {
			continue // open below: a wire goes through
		}
		top := math.Inf(1)
		for side := range 2 {
			if h := tops[2*i+side]; h.Triangle >= 0 && h.Leaves {
				top = min(top, up[2*i+side].Origin.Dot(draw)+h.T)
			}
		}
		if math.IsInf(top, 1) {
			continue
		}
		narrow[i].depthMM = top - (narrow[i].at.Dot(draw) - floor.T)
		out.list = append(out.list, narrow[i])
	}
	return out
}

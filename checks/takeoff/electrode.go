package takeoff

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh/geom"
)

// sort puts the largest first.
func sort(list []Burn) {
	slices.SortStableFunc(list, func(a, b Burn) int { return cmp.Compare(b.VolumeMM3.Value, a.VolumeMM3.Value) })
}

// cornerRadius is of the round cutter that leaves as much in a square corner as long as a counted region: the
// inverse of cornerArea. One that goes around is longer than its box, and the radius too large: it is burnt.
func cornerRadius(b *Burn) float64 {
	long := max(b.DepthMM, b.SizeMM.X, b.SizeMM.Y, b.SizeMM.Z)
	return math.Sqrt(b.VolumeMM3.Value / long / cornerArea(1, math.Pi/2))
}

// leave marks what nobody burns, and puts it last: corners that may keep the radius, and residues too
// small for an electrode. Nobody makes an electrode for an inner corner that the part bears as a small
// radius; what is left is listed, and stays in the sum.
//
// A counted corner beside the detail, of a slot for the frame say, nobody burns: what goes in there has its
// edges broken.
func (t *Takeoff) leave(s *checks.Subject) {
	m := &s.Frame.Making
	for i := range t.Burns {
		b := &t.Burns[i]
		counted := b.Kind == cornerKind && b.RadiusMM == 0
		if counted {
			b.RadiusMM = cornerRadius(b)
		}
		beside := func() bool {
			f, ok := s.Tree().Nearest(b.At, b.SizeMM.Norm())
			return ok && s.Surfaces().Of[f.Triangle] != checks.Detail
		}
		switch {
		case counted && beside():
			b.Left = "corner beside the detail"
		case b.Kind == cornerKind && b.RadiusMM <= m.CornerLeftMM.Value*(1+leftSlack):
			b.Left = fmt.Sprintf("corner to R%s", strconv.FormatFloat(m.CornerLeftMM.Value, 'g', 4, 64))
		case b.Kind != cornerKind && b.VolumeMM3.Value < m.BurnLeastMM3.Value:
			b.Left = fmt.Sprintf("residue under %s mm3", strconv.FormatFloat(m.BurnLeastMM3.Value, 'g', 4, 64))
		}
	}
	slices.SortStableFunc(t.Burns, func(a, b Burn) int {
		return cmp.Compare(min(len(a.Left), 1), min(len(b.Left), 1))
	})
}

// leftSlack: a corner that leans by the ten degrees of a wall has 1.5 % more length than depth, so that
// its counted volume gives a radius larger by half of that. A drawing's radius is not meant finer.
const leftSlack = 0.02

// serve says which places are burnt by one electrode: those that come from the same side and lie within
// the square of its blank, and others that are like them, to which it is moved, turned where need be. As a
// toolmaker does it, the largest place comes first and takes in what lies nearest, as long as the blank
// holds it. That is a plan and not the least number: to find that is as hard as packing.
func (t *Takeoff) serve(draw r3.Vector, blankMM float64) {
	var groups [][]int
	taken := make([]bool, len(t.Burns))
	for i := range t.Burns {
		if t.Burns[i].Left != "" || taken[i] {
			continue
		}
		taken[i] = true
		group := []int{i}
		box := t.Burns[i].box
		// An undercut's electrode moves in from a side of its own.
		for under := t.Burns[i].Kind == undercutKind; !under; {
			best, least := -1, math.Inf(1)
			for k := i + 1; k < len(t.Burns); k++ {
				b := &t.Burns[k]
				if b.Left != "" || taken[k] || b.Kind == undercutKind {
					continue
				}
				w, l := across(box.Union(b.box), draw)
				if w <= blankMM && l <= blankMM && w+l < least {
					best, least = k, w+l
				}
			}
			if best < 0 {
				break
			}
			taken[best] = true
			group = append(group, best)
			box = box.Union(t.Burns[best].box)
		}
		groups = append(groups, group)
	}
	for _, group := range groups {
		e := Electrode{Places: len(group), Positions: 1}
		box := geom.EmptyBox()
		for _, k := range group {
			e.volume.Value += t.Burns[k].VolumeMM3.Value
			e.volume.Error += t.Burns[k].VolumeMM3.Error
			box = box.Union(t.Burns[k].box)
		}
		e.SizeMM = box.Size()
		number := slices.IndexFunc(t.Electrodes, func(o Electrode) bool {
			return t.Burns[group[0]].Kind != undercutKind && t.alike(e, o, draw)
		})
		if number < 0 {
			number = len(t.Electrodes)
			t.Electrodes = append(t.Electrodes, e)
		} else {
			t.Electrodes[number].Positions++
		}
		for _, k := range group {
			t.Burns[k].Electrode = number + 1
		}
	}
}

// alikeRays is by how many distances between rays the sizes of two places that are alike may differ as
// they are counted.
const alikeRays = 2.5

// alike reports whether one electrode burns both: as far as the count tells they are the same, or would be
// after a quarter turn.
func (t *Takeoff) alike(a, b Electrode, draw r3.Vector) bool {
	same := func(x, y float64) bool { return math.Abs(x-y) <= alikeRays*t.PitchMM }
	w, l := across(geom.Box{Max: a.SizeMM}, draw)
	v, m := across(geom.Box{Max: b.SizeMM}, draw)
	return a.Places == b.Places && (same(w, v) && same(l, m) || same(w, m) && same(l, v)) &&
		same(a.SizeMM.X+a.SizeMM.Y+a.SizeMM.Z-w-l, b.SizeMM.X+b.SizeMM.Y+b.SizeMM.Z-v-m) &&
		math.Abs(a.volume.Value-b.volume.Value) <= a.volume.Error+b.volume.Error
}

// across is the size of a box seen along the direction nearest to the draw.
func across(b geom.Box, draw r3.Vector) (w, l float64) {
	s := b.Size()
	switch x, y, z := math.Abs(draw.X), math.Abs(draw.Y), math.Abs(draw.Z); {
	case z >= x && z >= y:
		return s.X, s.Y
	case y >= x:
		return s.X, s.Z
	}
	return s.Y, s.Z
}

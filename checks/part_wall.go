package checks

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/cavity"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/parallel"
)

// PartWall is the wall thickness of what a pair moulds.
type PartWall struct {
	// LeastMM, MeanMM and MostMM are known to ErrorMM where they were sampled.
	LeastMM, MeanMM, MostMM float64
	ErrorMM                 float64
	LeastAt, MostAt         r3.Vector
	PitchMM                 float64
	Samples                 int
}

// PartWall samples the wall of the part; ok is false where no pair is known or it holds no cavity.
func (s *Subject) PartWall() (w PartWall, ok bool) {
	w = partWallFact.of(s)
	return w, w.Samples > 0
}

var partWallFact fact[PartWall]

func init() { partWallFact.find = findPartWall }

func findPartWall(s *Subject) PartWall {
	p, err := s.Pair()
	if p == nil || err != nil || len(p.Parts()) == 0 {
		return PartWall{}
	}
	if f := p.Fixed; f != s && f.PitchMM() == s.PitchMM() {
		if same, err := f.Pair(); err == nil && same == p {
			return partWallFact.of(f)
		}
	}
	return p.partWall(s.PitchMM())
}

// mostWallSamples bounds the work; the pitch grows where the detail is larger.
const mostWallSamples = 60_000

// facingCosine: two surfaces face each other where their normals are within 45 degrees of opposite.
const facingCosine = math.Sqrt2 / 2

// opposedShare: the ball and the way across agree where the ball is at least this share of the way
// wide; it is less in corners.
const opposedShare = 0.8

// wallSample is a point of the detail in the coordinates of its own half.
type wallSample struct {
	at, out r3.Vector
	fixed   bool
}

// partWall measures the room from both halves.
//
// A ray along the normal out of the metal gives the way across, a ball on the same normal the
// thickness: on the rim of a disc the way across is its diameter and the ball its height.
func (p *Pair) partWall(pitch float64) PartWall {
	samples, pitch := p.wallSamples(pitch)
	across := make([]float64, len(samples))
	ball := make([]float64, len(samples))
	opened := p.Closing.Inverse()
	film := cavity.DefaultFilmMM
	fixed, moving := p.Fixed.Tree(), p.Moving.Tree()
	fixedRoom, movingRoom := fixed.Bounds().Diagonal(), moving.Bounds().Diagonal()
	parallel.Chunks(len(samples), 256, func(_, from, to, _ int) {
		for n := from; n < to; n++ {
			w := samples[n]
			ownTree, otherTree, toOther, reach := fixed, moving, opened, fixedRoom
			if !w.fixed {
				ownTree, otherTree, toOther, reach = moving, fixed, p.Closing, movingRoom
			}
			way := inf
			facing := false
			look := func(t *index.Tree, at, out r3.Vector) {
				hit, ok := t.First(index.Ray{Origin: at, Direction: out, TMin: film / 4, TMax: reach})
				if ok && hit.T < way {
					way = hit.T
					m := p.Fixed.Part.Mesh
					if t == moving {
						m = p.Moving.Part.Mesh
					}
					n := m.AreaVector(int(hit.Triangle))
					facing = n.Dot(out) <= -facingCosine*n.Norm()
				}
			}
			at2, out2 := toOther.Point(w.at), toOther.Direction(w.out)
			look(ownTree, w.at, w.out)
			look(otherTree, at2, out2)
			across[n], ball[n] = inf, 0
			if math.IsInf(way, 1) || way <= film {
				continue
			}
			// The ball grows no larger than half the way across.
			r1, _, _ := ownTree.Ball(w.at, w.out, way/2, ballShare, p.ErrorMM+ballFloorMM, -1)
			r2, _, _ := otherTree.Ball(at2, out2, way/2, ballShare, p.ErrorMM+ballFloorMM, -1)
			ball[n] = 2 * min(r1, r2)
			if facing {
				across[n] = way
			}
		}
	})
	out := PartWall{PitchMM: pitch, ErrorMM: p.ErrorMM, LeastMM: inf}
	sum, opposed := 0.0, 0
	for n, w := range samples {
		at := w.at
		if !w.fixed {
			at = p.Closing.Point(at)
		}
		if across[n] < out.LeastMM {
			out.LeastMM, out.LeastAt = across[n], at
		}
		if ball[n] > out.MostMM {
			out.MostMM, out.MostAt = ball[n], at
		}
		if ball[n] >= opposedShare*across[n] {
			sum += ball[n]
			opposed++
		}
		if ball[n] > 0 {
			out.Samples++
		}
	}
	if opposed == 0 || math.IsInf(out.LeastMM, 1) {
		return PartWall{}
	}
	out.MeanMM = sum / float64(opposed)
	return out
}

var inf = math.Inf(1)

// ballShare and ballFloorMM are how deep a facet may reach into a ball and not bound it: those
// around the point it touches at are tilted by their chord.
const (
	ballShare   = 0.002
	ballFloorMM = 0.002
)

// wallSamples are points of both halves' detail that bound a part, one for each pitch squared of
// area, spread along the triangles in mesh order.
func (p *Pair) wallSamples(pitch float64) ([]wallSample, float64) {
	area := 0.0
	for _, s := range [...]*Subject{p.Fixed, p.Moving} {
		for t, k := range s.Surfaces().Of {
			if k == Detail || k == Parting {
				area += s.Part.Mesh.AreaVector(t).Norm()
			}
		}
	}
	pitch = max(pitch, math.Sqrt(area/mostWallSamples))
	var list []wallSample
	for _, s := range [...]*Subject{p.Fixed, p.Moving} {
		toRoom := geom.Identity()
		if s == p.Moving {
			toRoom = p.Closing
		}
		m := s.Part.Mesh
		due := pitch * pitch / 2
		count := 0
		for t, k := range s.Surfaces().Of {
			if k != Detail && k != Parting {
				continue
			}
			v := m.AreaVector(t)
			a := v.Norm()
			if a == 0 {
				continue
			}
			out := v.Mul(1 / a)
			x, y, z := m.Corners(t)
			for due += a; due >= pitch*pitch; due -= pitch * pitch {
				count++
				at := inTriangle(x, y, z, count)
				inside := toRoom.Point(at.Add(out.Mul(cavity.DefaultFilmMM / 2)))
				if n := p.Room.SolidAt(inside); n >= 0 && p.Room.Solids[n].Kind == cavity.Part {
					list = append(list, wallSample{at, out, s == p.Fixed})
				}
			}
		}
	}
	return list, pitch
}

// inTriangle is the n-th point of a sequence that covers a triangle evenly: the additive recurrence
// on the plastic number (Roberts, The Unreasonable Effectiveness of Quasirandom Sequences, 2018), folded
// over the diagonal.
func inTriangle(a, b, c r3.Vector, n int) r3.Vector {
	const g = 1.32471795724474602596
	_, u := math.Modf(0.5 + float64(n)/g)
	_, v := math.Modf(0.5 + float64(n)/(g*g))
	if u+v > 1 {
		u, v = 1-u, 1-v
	}
	return a.Add(b.Sub(a).Mul(u)).Add(c.Sub(a).Mul(v))
}

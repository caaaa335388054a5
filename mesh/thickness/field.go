package thickness

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"pocketgauge/mesh/index"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/tol"
)

// Side says what is measured.
type Side uint8

// Metal measures walls, Gap the room between surfaces: slots, gaps, bores.
const (
	Metal Side = iota
	Gap
)

// Options say how to sample. The zero value measures metal with the defaults named at each field.
type Options struct {
	Side Side
	// PitchMM: samples lie at least as densely as on a square grid of this pitch (CoverMM). 0
	// stands for 0.5 mm.
	PitchMM float64
	// Facing is how far from straight opposition two surfaces may be and still face each other;
	// 0 stands for 45 degrees, half of a square corner. A wedge more acute is a feather edge.
	Facing s1.Angle
	// LimitMM: thicker than this is not looked for, which saves time. 0 is no limit.
	LimitMM float64
	// Keep, when set, names the triangles that are sampled.
	Keep func(triangle int32) bool
	// MostSamples bounds memory: where the pitch asks for more, it is widened and Field.PitchMM
	// says to what. 0 stands for 16 million, 0.5 GB.
	MostSamples int
	// Roundoff is that of the stored coordinates (mesh.Part.Roundoff); 0 stands for STL's.
	Roundoff float64
}

const (
	defaultPitchMM     = 0.5
	defaultFacing      = 45 * s1.Degree
	defaultMostSamples = 16 << 20
	// coneRays rays stand around the normal at coneShare of the facing angle. Three, at half of
	// it, bound what a plane slanted by up to the facing angle reads too much to 1/cos of a
	// quarter of it and more; the ball and the refinement do the rest.
	coneRays  = 3
	coneShare = 0.5
)

// ballShare and ballFloor stop the shrinking: a nearer surface point by less than a ten
// thousandth of the radius moves the reading by as little. The floor is what the rounding of STL
// coordinates moves a surface by at a metre.
const (
	ballShare = 1.0 / 10000
	ballFloor = 4 * tol.RoundoffSTL * 100
)

// Sample is a place on the surface and what was read there: 32 bytes, for there are hundreds of
// thousands. Field.Point and Field.Opposite give the two ends, Field.Readings both readings.
type Sample struct {
	// Triangle is the sample's own, Partner that of the other end of the wall read here (-1 for
	// none).
	Triangle, Partner int32
	// WallMM is the nearer of the two readings, the distance of Point and Opposite; infinite where
	// nothing faces the sample.
	WallMM float32
	// AreaMM2 is the piece of surface that the sample stands for.
	AreaMM2 float32

	at, opposite place
}

// Field is the thickness over the surface.
type Field struct {
	Samples []Sample
	// PitchMM is the pitch sampled at, CoverMM how far a point of a sampled facet can be from the
	// sample that speaks for it (W3): half the diagonal of a square of the pitch.
	PitchMM, CoverMM float64
	// RoundingMM bounds the error that storing the coordinates puts on any distance.
	RoundingMM float64

	tree    *index.Tree
	normal  []r3.Vector // inward unit normals by triangle; zero for a facet without area
	across  [][3]int32  // the facet over each side, -1 for none
	patch   []int32     // the first facet of each triangle's smooth patch; until samples are chosen
	options Options
	facing  float64 // cosine of the facing angle
}

// Walls samples the mesh of the tree.
func Walls(t *index.Tree, o Options) (*Field, error) {
	if o.PitchMM == 0 {
		o.PitchMM = defaultPitchMM
	}
	if o.Facing == 0 {
		o.Facing = defaultFacing
	}
	if o.MostSamples == 0 {
		o.MostSamples = defaultMostSamples
	}
	if o.Roundoff == 0 {
		o.Roundoff = tol.RoundoffSTL
	}
	if o.LimitMM == 0 {
		o.LimitMM = math.Inf(1)
	}
	switch {
	case !(o.PitchMM > 0) || math.IsInf(o.PitchMM, 1):
		return nil, fmt.Errorf("wall thickness: the pitch must be a length above 0, not %v mm", o.PitchMM)
	case !(o.Facing > 0 && o.Facing < 90*s1.Degree):
		return nil, fmt.Errorf("wall thickness: surfaces face each other within an angle between 0 and 90 degrees, not %v", o.Facing)
	case !(o.LimitMM > 0):
		return nil, fmt.Errorf("wall thickness: the limit must be a length above 0, not %v mm", o.LimitMM)
	case o.MostSamples < 0:
		return nil, fmt.Errorf("wall thickness: the number of samples cannot be %d", o.MostSamples)
	}
	f := &Field{tree: t, options: o, facing: math.Cos(o.Facing.Radians())}
	if len(t.Mesh().Triangles) > 0 {
		f.RoundingMM = tol.Noise(t.Bounds(), o.Roundoff)
	}
	f.layOut()
	f.choose()
	f.patch = nil
	f.read()
	return f, nil
}

const layoutChunk = 1 << 13

// layOut finds normals, neighbours and smooth patches, which the choice of samples rests on.
func (f *Field) layOut() {
	m := f.tree.Mesh()
	n := len(m.Triangles)
	f.normal = make([]r3.Vector, n)
	sign := -1.0
	if f.options.Side == Gap {
		sign = 1
	}
	parallel.Chunks(n, layoutChunk, func(_, from, to, _ int) {
		for i := from; i < to; i++ {
			f.normal[i] = m.AreaVector(i).Normalize().Mul(sign)
		}
	})
	f.findNeighbours()
	f.findPatches()
}

// Sampled reports whether a triangle has area and was asked for (Options.Keep): samples speak for
// the whole of it, though they may lie on its neighbours.
func (f *Field) Sampled(triangle int32) bool {
	return f.normal[triangle] != (r3.Vector{}) && (f.options.Keep == nil || f.options.Keep(triangle))
}

func (f *Field) read() {
	parallel.Chunks(len(f.Samples), 1<<9, func(_, from, to, _ int) {
		// The triangle that bounded the last ball bounds the next one more often than not. Chunks
		// are the same at any number of cores, and so are the hints.
		hint, last := int32(-1), int32(-1)
		var ring [coneRays]r3.Vector
		for i := from; i < to; i++ {
			s := &f.Samples[i]
			if s.Triangle != last {
				ring, last = f.coneOf(s.Triangle), s.Triangle
			}
			p := f.Point(s)
			r := f.readingAt(s.Triangle, p, &ring, hint)
			hint = r.rests
			s.Partner, s.WallMM = r.partner, float32(math.Inf(1))
			if r.partner >= 0 {
				s.opposite = f.placeOf(r.partner, r.opposite)
				s.WallMM = float32(f.Opposite(s).Sub(p).Norm())
			}
		}
	})
}

// Point is where a sample lies.
func (f *Field) Point(s *Sample) r3.Vector { return f.pointAt(s.Triangle, s.at) }

// Opposite is the other end of the wall read at a sample, the zero vector where there is none.
func (f *Field) Opposite(s *Sample) r3.Vector {
	if s.Partner < 0 {
		return r3.Vector{}
	}
	return f.pointAt(s.Partner, s.opposite)
}

// Readings takes both readings of a sample once more; they are not kept. alongMM is infinite where no
// surface faces the sample, ballMM where the ball met nothing within the limit.
func (f *Field) Readings(s *Sample) (alongMM, ballMM float64) {
	ring := f.coneOf(s.Triangle)
	r := f.readingAt(s.Triangle, f.Point(s), &ring, -1)
	return r.along, r.ball
}

func (f *Field) coneOf(t int32) [coneRays]r3.Vector {
	return coneAround(f.normal[t], f.options.Facing.Radians()*coneShare)
}

func coneAround(n r3.Vector, angle float64) (ring [coneRays]r3.Vector) {
	x := n.Ortho()
	y := n.Cross(x)
	s, c := math.Sincos(angle)
	for i := range ring {
		si, ci := math.Sincos(2 * math.Pi * float64(i) / coneRays)
		ring[i] = n.Mul(c).Add(x.Mul(s * ci)).Add(y.Mul(s * si))
	}
	return ring
}

// reading is what is read at a point of the surface.
type reading struct {
	along, ball float64 // infinite for none
	// opposite is the other end of the nearer one, partner its triangle, -1 for none.
	opposite r3.Vector
	partner  int32
	// rests is the triangle that the ball rests on.
	rests int32
}

// readingAt takes both readings at the point p of triangle id.
func (f *Field) readingAt(id int32, p r3.Vector, ring *[coneRays]r3.Vector, hint int32) reading {
	inf := math.Inf(1)
	out := reading{along: inf, ball: inf, partner: -1, rests: -1}
	n := f.normal[id]
	wall := inf
	if limit := f.options.LimitMM; !math.IsInf(limit, 1) {
		// A ray at angle a to the normal that hits within the limit hits inside the ball through
		// p of diameter limit / cos a. Where the ball of the widest cone is empty no reading can
		// be within the limit, and one walk of the tree has said so: most of an insert is thick.
		if _, _, partner := f.tree.Ball(p, n, limit/(2*math.Cos(coneShare*float64(f.options.Facing))), ballShare, ballFloor, hint); partner < 0 {
			return out
		}
	}
	// A ray starts on its own triangle, whose crossing is at T = 0 to rounding.
	r := index.Ray{Origin: p, Direction: n, TMin: f.RoundingMM, TMax: f.options.LimitMM}
	straight := inf
	if hit, ok := f.tree.First(r); ok && hit.Triangle != id {
		straight = hit.T
		if -f.normal[hit.Triangle].Dot(n) >= f.facing {
			wall = hit.T
			out.opposite, out.partner = r.At(hit.T), hit.Triangle
		}
	}
	for _, d := range ring {
		r.Direction = d
		// A ray of the cone longer than the wall found has nothing to add.
		r.TMax = min(f.options.LimitMM, wall)
		hit, ok := f.tree.First(r)
		if !ok || hit.Triangle == id || !(hit.T < wall) {
			continue
		}
		if m := f.normal[hit.Triangle]; -m.Dot(n) >= f.facing && -m.Dot(d) >= f.facing {
			wall = hit.T
			out.opposite, out.partner = r.At(hit.T), hit.Triangle
		}
	}
	out.along = wall

	// The ball through p and the point hit along the normal is no smaller than the inscribed one.
	start := min(straight, f.options.LimitMM) / 2
	if math.IsInf(start, 1) {
		start = f.tree.Bounds().Diagonal() / 2
	}
	radius, touch, partner := f.tree.Ball(p, n, start, ballShare, ballFloor, hint)
	out.rests = partner
	if partner >= 0 || !math.IsInf(straight, 1) {
		out.ball = 2 * radius
	}
	// A ball that never shrank ends at the point straight ahead, which the ray has judged.
	if partner >= 0 {
		centre := p.Add(n.Mul(radius))
		if -p.Sub(centre).Dot(touch.Sub(centre)) >= f.facing*radius*radius {
			if d := touch.Sub(p).Norm(); d < wall {
				out.opposite, out.partner = touch, partner
			}
		}
	}
	return out
}

// Normal is the unit normal of a triangle into the side that is measured.
func (f *Field) Normal(triangle int32) r3.Vector { return f.normal[triangle] }

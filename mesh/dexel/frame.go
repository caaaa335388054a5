package dexel

import (
	"errors"
	"fmt"
	"math"
	"sync/atomic"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// span30 is how many quanta a frame may be wide. Differences of coordinates then fit 31 bits
// with the sign, their products 61, and the sum of two products 62: every edge function is
// exact in int64.
const span30 = 1 << 30

// Frame is the fixed-point frame in which coordinates are exact. All solids and grids that are
// to be compared share one frame.
//
// A frame may be turned against the model. Machined parts are full of walls along the axes; to
// rays along the axes such a wall is a jump in length, to turned ones a slope.
type Frame struct {
	origin     r3.Vector // in the turned axes, as is all below
	quantumMM  float64
	turned     bool
	turn, back geom.Motion
}

// NewFrame is a frame with the model's own axes that holds the box. The quantum is the least
// power of two of a millimetre that leaves the box within 2^30 quanta.
func NewFrame(box geom.Box) (Frame, error) { return newFrame(box) }

// NewTurnedFrame is a frame whose axes are the model's carried back by the rotation turn. The
// box is in the turned axes: that of TurnedBounds.
func NewTurnedFrame(box geom.Box, turn geom.Motion) (Frame, error) {
	f, err := newFrame(box)
	f.turned, f.turn, f.back = true, turn, turn.Inverse()
	return f, err
}

// TurnedBounds is the box of the vertices of m after turn.
func TurnedBounds(m *mesh.Mesh, turn geom.Motion) geom.Box {
	const chunk = 1 << 13
	parts := make([]geom.Box, (len(m.Vertices)+chunk-1)/chunk)
	parallel.Each(len(parts), func(k, _ int) {
		b := geom.EmptyBox()
		for _, p := range m.Vertices[k*chunk : min((k+1)*chunk, len(m.Vertices))] {
			b = b.AddPoint(turn.Point(p))
		}
		parts[k] = b
	})
	box := geom.EmptyBox()
	for _, b := range parts {
		box = box.Union(b)
	}
	return box
}

func newFrame(box geom.Box) (Frame, error) {
	if box.IsEmpty() {
		return Frame{}, errors.New("dexel frame: the box is empty")
	}
	s := box.Size()
	widest := max(s.X, s.Y, s.Z)
	if !(widest < math.MaxFloat32) || !(box.MaxAbs() < math.MaxFloat32) {
		return Frame{}, fmt.Errorf("dexel frame: the box reaches %g mm, beyond any model", box.MaxAbs())
	}
	// A quantum is never finer than the doubles that it rounds.
	floor := box.MaxAbs() * 0x1p-52
	e := math.Ceil(math.Log2(max(widest, floor, math.SmallestNonzeroFloat32)))
	return Frame{origin: box.Min, quantumMM: math.Ldexp(1, int(e)-29)}, nil
}

// QuantumMM is the step to which coordinates are rounded.
func (f Frame) QuantumMM() float64 { return f.quantumMM }

// RoundingMM3 bounds what rounding to the frame does to the volume of a mesh of the given area.
func (f Frame) RoundingMM3(areaMM2 float64) float64 {
	return areaMM2 * f.quantumMM * (1 + math.Sqrt(3)/2)
}

// units rounds a coordinate difference from the origin to whole quanta, held in the frame.
func (f Frame) units(d float64) int32 {
	q := math.Round(d / f.quantumMM)
	return int32(min(max(q, 0), span30))
}

// Solid is a mesh rounded to a frame.
type Solid struct {
	frame     Frame
	points    [][3]int32
	triangles [][3]int32
}

// Snap rounds the vertices of m to the frame. Vertices outside the frame are an error: moving
// them would change the solid.
func (f Frame) Snap(m *mesh.Mesh) (*Solid, error) {
	s := &Solid{frame: f, points: make([][3]int32, len(m.Vertices)), triangles: m.Triangles}
	const chunk = 1 << 13
	var stray atomic.Int64
	stray.Store(-1)
	// Turning rounds in doubles, by far less than half a quantum; a vertex that defines the
	// frame's border may come out a roundoff beyond it, which the bounds below allow.
	inverse := 1 / f.quantumMM // exact: the quantum is a power of two
	parallel.Each((len(m.Vertices)+chunk-1)/chunk, func(k, _ int) {
		for i := k * chunk; i < min((k+1)*chunk, len(m.Vertices)); i++ {
			v := m.Vertices[i]
			if f.turned {
				v = f.turn.Point(v)
			}
			x, y, z := (v.X-f.origin.X)*inverse, (v.Y-f.origin.Y)*inverse, (v.Z-f.origin.Z)*inverse
			// Written so that a NaN fails too.
			if !(x > -1 && x < span30 && y > -1 && y < span30 && z > -1 && z < span30) {
				stray.Store(int64(i))
				return
			}
			s.points[i] = [3]int32{int32(max(x, 0) + 0.5), int32(max(y, 0) + 0.5), int32(max(z, 0) + 0.5)}
		}
	})
	if i := stray.Load(); i >= 0 {
		return nil, fmt.Errorf("dexel: vertex %d at %v lies outside the frame", i, m.Vertices[i])
	}
	return s, nil
}

// Triangles is the number of triangles of the mesh that was rounded.
func (s *Solid) Triangles() int { return len(s.triangles) }

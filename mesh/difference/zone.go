package difference

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

// Zone is a region of space made of convex pieces that do not overlap: a box, a cylinder, an
// extruded outline. Metal in it is measured by clipping, exactly.
type Zone struct {
	pieces [][]Plane
	// seams marks, for each plane of each piece, one that divides the zone from itself.
	seams [][]bool
	mesh  *mesh.Mesh
	// shy bounds the distance between the pieces and the zone meant: 0 for flat sides.
	shy float64
	// shellMM2 times d is no less than the volume of what lies in the zone within d of its boundary.
	shellMM2 float64
}

// Mesh is the zone's surface.
func (z *Zone) Mesh() *mesh.Mesh { return z.mesh }

// BoxZone is the box itself.
func BoxZone(b geom.Box) (*Zone, error) {
	s := b.Size()
	if !(s.X > 0 && s.Y > 0 && s.Z > 0) {
		return nil, fmt.Errorf("box zone %v has no content", b)
	}
	return PrismZone([]r2.Point{{X: 0, Y: 0}, {X: s.X, Y: 0}, {X: s.X, Y: s.Y}, {X: 0, Y: s.Y}}, geom.Translate(b.Min), s.Z)
}

// mostSides of a cylinder: at 360 the prism is within 1/80000 of the radius of it.
const mostSides = 360

// CylinderZone runs from one end point to the other. Its side is a prism of the same
// cross-section area with the given number of sides, 12 to 360; RadialErrorMM says how far the
// prism stands off the cylinder.
func CylinderZone(from, to r3.Vector, radiusMM float64, sides int) (*Zone, error) {
	axis := to.Sub(from)
	if !(axis.Norm() > 0) || !(radiusMM > 0) {
		return nil, fmt.Errorf("cylinder zone of length %g and radius %g has no content", axis.Norm(), radiusMM)
	}
	if sides < 12 || sides > mostSides {
		return nil, fmt.Errorf("cylinder zone of %d sides; 12 to %d are possible", sides, mostSides)
	}
	// A regular n-gon of circumradius c has area n/2 c^2 sin(2 pi/n).
	n := float64(sides)
	c := radiusMM * math.Sqrt(2*math.Pi/(n*math.Sin(2*math.Pi/n)))
	outline := make([]r2.Point, sides)
	for k := range outline {
		s, co := math.Sincos(2 * math.Pi * float64(k) / n)
		outline[k] = r2.Point{X: c * co, Y: c * s}
	}
	z, err := PrismZone(outline, geom.Frame(from, axis, axis.Ortho()), axis.Norm())
	if err != nil {
		return nil, err
	}
	z.shy = max(c-radiusMM, radiusMM-c*math.Cos(math.Pi/n))
	return z, nil
}

// HalfSpaceZone is what lies inside the plane, as far as reach, the box of all that will be
// measured in it: a block that covers reach on the plane's inner side, so that its other sides
// touch no metal. It is an error if all of reach lies outside.
func HalfSpaceZone(p Plane, reach geom.Box) (*Zone, error) {
	if reach.IsEmpty() || !(reach.MaxAbs() < math.MaxFloat32) {
		return nil, errors.New("half-space zone: the box it is to cover is empty or endless")
	}
	middle := reach.Center()
	foot := middle.Sub(p.Normal.Mul(p.above(middle)))
	half := reach.Diagonal() // twice what is needed, so that the sides are clear
	if half == 0 || -p.above(middle)+half/2 <= 0 {
		return nil, errors.New("half-space zone: the box it is to cover lies outside")
	}
	depth := max(-p.above(middle), 0) + half
	return PrismZone(
		[]r2.Point{{X: -half, Y: -half}, {X: half, Y: -half}, {X: half, Y: half}, {X: -half, Y: half}},
		geom.Frame(foot.Sub(p.Normal.Mul(depth)), p.Normal, p.Normal.Ortho()), depth)
}

// RadialErrorMM bounds the distance between the zone's surface and the curved one it stands
// for. It is not in the volumes' errors.
func (z *Zone) RadialErrorMM() float64 { return z.shy }

// PrismZone extrudes a simple outline, in the placement's xy plane, by height along its z. The
// outline may run either way; it may not touch itself.
func PrismZone(outline []r2.Point, placement geom.Motion, heightMM float64) (*Zone, error) {
	if !(heightMM > 0) {
		return nil, fmt.Errorf("prism zone of height %g has no content", heightMM)
	}
	loop, err := tidy(outline)
	if err != nil {
		return nil, err
	}
	triangles, err := earClip(loop)
	if err != nil {
		return nil, err
	}
	z := &Zone{mesh: prismMesh(loop, triangles, placement, heightMM)}
	for _, ring := range joinConvex(loop, triangles) {
		z.shellMM2 += shellOf(loop, ring, heightMM)
		var planes []Plane
		var seams []bool
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			a, b := loop[p], loop[q]
			normal := r2.Point{X: b.Y - a.Y, Y: a.X - b.X}.Normalize()
			planes = append(planes, planeAt(placement, r3.Vector{X: a.X, Y: a.Y}, r3.Vector{X: normal.X, Y: normal.Y}))
			seams = append(seams, q != (p+1)%len(loop))
		}
		planes = append(planes,
			planeAt(placement, r3.Vector{}, r3.Vector{Z: -1}),
			planeAt(placement, r3.Vector{Z: heightMM}, r3.Vector{Z: 1}))
		seams = append(seams, false, false)
		if len(planes) > MostPlanes {
			return nil, fmt.Errorf("prism zone has a piece of %d sides; %d are possible", len(planes), MostPlanes)
		}
		z.pieces = append(z.pieces, planes)
		z.seams = append(z.seams, seams)
	}
	return z, nil
}

// shellOf bounds the volume, for each millimetre of d, of what of a convex piece lies within d of any of
// its planes that is no seam: between a plane and its parallel at d lies no more than d times the widest
// section along it. For a side that is the height times the way of the piece along that side.
func shellOf(loop []r2.Point, ring []int, heightMM float64) float64 {
	area, sum := 0.0, 0.0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		area += loop[p].Cross(loop[q]) / 2
		if q != (p+1)%len(loop) {
			continue
		}
		along := loop[q].Sub(loop[p]).Normalize()
		low, high := math.Inf(1), math.Inf(-1)
		for _, k := range ring {
			w := loop[k].Dot(along)
			low, high = min(low, w), max(high, w)
		}
		sum += heightMM * (high - low)
	}
	return sum + 2*area
}

func planeAt(placement geom.Motion, point, normal r3.Vector) Plane {
	n := placement.Direction(normal).Normalize()
	return Plane{n, n.Dot(placement.Point(point))}
}

// clip cuts the metal of a out of every piece of the zone, and adds up what lies inside. The depth is that of the
// deepest vertex.
func (z *Zone) clip(a *mesh.Mesh) (sa, sz *solid, sum *Clip, err error) {
	if sa, err = newSolid(a, "the solid"); err != nil {
		return nil, nil, nil, err
	}
	if sz, err = newSolid(z.mesh, "the zone"); err != nil {
		return nil, nil, nil, err
	}
	sum = &Clip{inside: make([]bool, len(a.Triangles))}
	if sa.box.Intersection(sz.box).IsEmpty() {
		return sa, sz, sum, nil
	}
	for _, planes := range z.pieces {
		c, err := sa.clip(planes)
		if err != nil {
			return nil, nil, nil, err
		}
		sum.Volume.MM3 += c.Volume.MM3
		sum.Volume.ErrorMM3 += c.Volume.ErrorMM3
		if c.DepthMM > sum.DepthMM {
			// Seams bound the piece and not the zone, where the vertex may lie deeper still.
			sum.DepthMM, sum.Deepest = c.DepthMM, c.Deepest
		}
		for t, in := range c.inside {
			sum.inside[t] = sum.inside[t] || in
		}
	}
	return sa, sz, sum, nil
}

// Intrusion is how much metal of a lies in the zone, and a depth that some of it surely reaches, without
// a look at where: in a small part of the time that InZone takes for the regions.
//
// All that lies within d of the boundary holds no more than d times the sections along it, so metal of
// more volume reaches deeper than d.
func Intrusion(a *mesh.Mesh, z *Zone) (volume Quantity, leastDepthMM float64, err error) {
	_, _, c, err := z.clip(a)
	if err != nil {
		return Quantity{}, 0, err
	}
	return c.Volume, max(c.DepthMM, (c.Volume.MM3-c.Volume.ErrorMM3)/z.shellMM2), nil
}

// tidy drops repeated points and turns the outline counter-clockwise.
func tidy(outline []r2.Point) ([]r2.Point, error) {
	var loop []r2.Point
	for i, p := range outline {
		if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
			return nil, fmt.Errorf("outline point %d is not a number", i+1)
		}
		if len(loop) == 0 || loop[len(loop)-1] != p {
			loop = append(loop, p)
		}
	}
	for len(loop) > 1 && loop[0] == loop[len(loop)-1] {
		loop = loop[:len(loop)-1]
	}
	if len(loop) < 3 {
		return nil, errors.New("the outline has fewer than three points")
	}
	// Ears are cut in time that grows with the square of the number of points, or worse.
	const mostPoints = 1000
	if len(loop) > mostPoints {
		return nil, fmt.Errorf("the outline has %d points; %d are possible", len(loop), mostPoints)
	}
	area := 0.0
	for i, p := range loop {
		area += p.Sub(loop[0]).Cross(loop[(i+1)%len(loop)].Sub(loop[0]))
	}
	if area < 0 {
		for i, j := 0, len(loop)-1; i < j; i, j = i+1, j-1 {
			loop[i], loop[j] = loop[j], loop[i]
		}
	}
	for i := range loop {
		a, b := loop[i], loop[(i+1)%len(loop)]
		for j := i + 1; j < len(loop); j++ {
			c, d := loop[j], loop[(j+1)%len(loop)]
			if b == c || d == a {
				// Neighbours share a point; they may not run back over one another.
				p, m, q := a, b, d
				if d == a {
					p, m, q = c, d, b
				}
				if turn(p, m, q) == 0 && m.Sub(p).Dot(q.Sub(m)) < 0 {
					return nil, fmt.Errorf("the outline runs back over itself at (%g, %g)", m.X, m.Y)
				}
				continue
			}
			if meets(a, b, c, d) {
				return nil, fmt.Errorf("the outline crosses or touches itself: side %d from (%g, %g) and side %d from (%g, %g)", i+1, a.X, a.Y, j+1, c.X, c.Y)
			}
		}
	}
	return loop, nil
}

// meets reports whether the segments ab and cd have a point in common.
func meets(a, b, c, d r2.Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) || max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	return turn(a, b, c)*turn(a, b, d) <= 0 && turn(c, d, a)*turn(c, d, b) <= 0
}

// turn is the exact sense in which a, b, c are run: which sides cross and which corners are ears
// must not be left to rounding.
func turn(a, b, c r2.Point) int { return geom.Orient2D(a, b, c) }

// earClip divides a simple counter-clockwise loop into triangles by cutting off ears (Meisters,
// Polygons Have Ears, Amer. Math. Monthly 1975).
func earClip(loop []r2.Point) ([][3]int, error) {
	ring := make([]int, len(loop))
	for i := range ring {
		ring[i] = i
	}
	var out [][3]int
	for len(ring) > 3 {
		cutAt := -1
		for i := range ring {
			a, b, c := ring[(i+len(ring)-1)%len(ring)], ring[i], ring[(i+1)%len(ring)]
			if turn(loop[a], loop[b], loop[c]) > 0 && isEar(loop, ring, a, b, c) {
				cutAt = i
				out = append(out, [3]int{a, b, c})
				break
			}
		}
		if cutAt < 0 {
			// Points in a straight line are no ears and bound nothing: drop one and go on.
			for i := range ring {
				a, b, c := ring[(i+len(ring)-1)%len(ring)], ring[i], ring[(i+1)%len(ring)]
				if turn(loop[a], loop[b], loop[c]) == 0 {
					cutAt = i
					out = append(out, [3]int{a, b, c})
					break
				}
			}
		}
		if cutAt < 0 {
			return nil, fmt.Errorf("the outline crosses or touches itself near (%g, %g)", loop[ring[0]].X, loop[ring[0]].Y)
		}
		ring = append(ring[:cutAt], ring[cutAt+1:]...)
	}
	return append(out, [3]int{ring[0], ring[1], ring[2]}), nil
}

func isEar(loop []r2.Point, ring []int, a, b, c int) bool {
	for _, k := range ring {
		if k == a || k == b || k == c {
			continue
		}
		p := loop[k]
		if turn(loop[a], loop[b], p) >= 0 && turn(loop[b], loop[c], p) >= 0 && turn(loop[c], loop[a], p) >= 0 {
			return false
		}
	}
	return true
}

// joinConvex merges triangles over their shared sides while the result stays convex (Hertel and
// Mehlhorn, Fast Triangulation of Simple Polygons, FCT 1983): at most four times as many pieces
// as are needed, and one for a convex outline.
func joinConvex(loop []r2.Point, triangles [][3]int) [][]int {
	rings := make([][]int, 0, len(triangles))
	for _, t := range triangles {
		if turn(loop[t[0]], loop[t[1]], loop[t[2]]) > 0 {
			rings = append(rings, []int{t[0], t[1], t[2]})
		}
	}
	// A join that is refused stays refused: joining others only widens the angles at a side's
	// ends. So each ring takes all it can in turn.
	for i := 0; i < len(rings); i++ {
		for j := i + 1; j < len(rings); {
			if r := join(loop, rings[i], rings[j]); r != nil && len(r)+2 <= MostPlanes {
				rings[i] = r
				rings = append(rings[:j], rings[j+1:]...)
				j = i + 1
			} else {
				j++
			}
		}
	}
	return rings
}

// join is the union of two convex rings that share a side, nil if they share none or the union
// is not convex.
func join(loop []r2.Point, a, b []int) []int {
	for i, p := range a {
		q := a[(i+1)%len(a)]
		for j := range b {
			if b[j] != q || b[(j+1)%len(b)] != p {
				continue
			}
			r := make([]int, 0, len(a)+len(b)-2)
			for k := range len(a) {
				r = append(r, a[(i+1+k)%len(a)])
			}
			for k := 2; k < len(b); k++ {
				r = append(r, b[(j+k)%len(b)])
			}
			for k := range r {
				if turn(loop[r[k]], loop[r[(k+1)%len(r)]], loop[r[(k+2)%len(r)]]) < 0 {
					return nil
				}
			}
			return r
		}
	}
	return nil
}

func prismMesh(loop []r2.Point, triangles [][3]int, placement geom.Motion, height float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := int32(len(loop))
	for _, z := range [...]float64{0, height} {
		for _, p := range loop {
			m.Vertices = append(m.Vertices, placement.Point(r3.Vector{X: p.X, Y: p.Y, Z: z}))
		}
	}
	for _, t := range triangles {
		a, b, c := int32(t[0]), int32(t[1]), int32(t[2])
		m.Triangles = append(m.Triangles, [3]int32{a, c, b}, [3]int32{n + a, n + b, n + c})
	}
	for i := range n {
		j := (i + 1) % n
		m.Triangles = append(m.Triangles, [3]int32{i, j, n + j}, [3]int32{i, n + j, n + i})
	}
	return m
}

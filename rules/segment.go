package rules

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
)

// sameMM is a nanometre: outlines are written by people, in decimals of a millimetre, and two
// places closer than this were meant to be one. It is far above the rounding of the arithmetic here
// (2^-52 of 10 m is two millionths of it) and far below anything a shop can measure.
const sameMM = 0.000001

// outlineError is a fault of an outline, at a place in the file.
type outlineError struct {
	at         Origin
	says, hint string
}

func (e *outlineError) Error() string { return e.says }

// build works out the pieces of an outline. Every number of it has been read; bounds are kept.
func (o *Outline) build() error {
	var err error
	switch {
	case o.Rectangle != nil:
		o.segments, err = o.Rectangle.pieces(o.Origin)
	case o.Circle != nil:
		o.segments, err = o.Circle.pieces()
	case o.Polygon != nil:
		o.segments, err = o.Polygon.pieces(o.Origin)
	}
	return err
}

func straight(name string, a, b r2.Point) Segment {
	return Segment{Name: name, Start: a, End: b, ClearanceMM: r1.EmptyInterval(), PlayMM: r1.EmptyInterval()}
}

func round(name string, a, b, center r2.Point, radius float64, ccw bool) Segment {
	s := straight(name, a, b)
	s.Arc, s.Center, s.RadiusMM, s.CCW = true, center, radius, ccw
	return s
}

func (r *Rectangle) pieces(at Origin) ([]Segment, error) {
	if !r.WidthMM.Set || !r.LengthMM.Set {
		return nil, nil
	}
	x, y, c := r.WidthMM.Value/2, r.LengthMM.Value/2, r.CornerRadiusMM.Value
	if c > x || c > y {
		return nil, &outlineError{r.CornerRadiusMM.Origin, fmt.Sprintf("a corner radius of %s mm is more than half of the %s mm side", decimal(c), decimal(2*math.Min(x, y))), ""}
	}
	p := func(x, y float64) r2.Point { return r2.Point{X: x, Y: y} }
	all := []Segment{
		straight("front", p(-x+c, -y), p(x-c, -y)), round("corner", p(x-c, -y), p(x, -y+c), p(x-c, -y+c), c, true),
		straight("right", p(x, -y+c), p(x, y-c)), round("corner", p(x, y-c), p(x-c, y), p(x-c, y-c), c, true),
		straight("back", p(x-c, y), p(-x+c, y)), round("corner", p(-x+c, y), p(-x, y-c), p(-x+c, y-c), c, true),
		straight("left", p(-x, y-c), p(-x, -y+c)), round("corner", p(-x, -y+c), p(-x+c, -y), p(-x+c, -y+c), c, true),
	}
	return notEmpty(all), nil
}

// notEmpty drops pieces of no length, such as the straight sides of a slot with full ends.
func notEmpty(all []Segment) []Segment {
	var kept []Segment
	for _, s := range all {
		if s.Start != s.End {
			kept = append(kept, s)
		}
	}
	return kept
}

func (c *Circle) pieces() ([]Segment, error) {
	if !c.DiameterMM.Set {
		return nil, nil
	}
	r := c.DiameterMM.Value / 2
	on := func(angle float64) r2.Point { return r2.Point{X: r * math.Cos(angle), Y: r * math.Sin(angle)} }
	if len(c.Flats) == 0 {
		return []Segment{
			round("round", r2.Point{X: r}, r2.Point{X: -r}, r2.Point{}, r, true),
			round("round", r2.Point{X: -r}, r2.Point{X: r}, r2.Point{}, r, true),
		}, nil
	}
	type cut struct {
		index      int
		mid, reach float64 // the flat spans mid-reach to mid+reach of the circle
	}
	var cuts []cut
	for i, f := range c.Flats {
		if !f.Outward.Set || !f.DistanceMM.Set {
			return nil, nil
		}
		if f.DistanceMM.Value >= r {
			return nil, &outlineError{f.DistanceMM.Origin, fmt.Sprintf("a flat %s mm from the centre does not touch a circle of %s mm diameter", decimal(f.DistanceMM.Value), decimal(2*r)), fmt.Sprintf("it must be less than %s mm", decimal(r))}
		}
		mid := math.Mod(f.Outward.Value, 2*math.Pi)
		if mid < 0 {
			mid += 2 * math.Pi
		}
		cuts = append(cuts, cut{i, mid, math.Acos(f.DistanceMM.Value / r)})
	}
	sort.SliceStable(cuts, func(i, j int) bool { return cuts[i].mid < cuts[j].mid })
	var all []Segment
	for i, a := range cuts {
		b := cuts[(i+1)%len(cuts)]
		next := b.mid - b.reach
		if i == len(cuts)-1 {
			next += 2 * math.Pi
		}
		from, to := a.mid+a.reach, next
		if (to-from)*r < sameMM {
			later := max(a.index, b.index)
			return nil, &outlineError{c.Flats[later].Origin, fmt.Sprintf("flat %d cuts into flat %d", min(a.index, b.index)+1, later+1), "leave some of the circle between them, or write a polygon"}
		}
		all = append(all, straight(fmt.Sprintf("flat %d", a.index+1), on(a.mid-a.reach), on(from)))
		all = append(all, halves(round("round", on(from), on(to), r2.Point{}, r, true), from, to)...)
	}
	joinEnds(all)
	return all, nil
}

// halves splits an arc of more than a half turn, so that no piece spans more.
func halves(s Segment, from, to float64) []Segment {
	if to-from <= math.Pi {
		return []Segment{s}
	}
	mid := (from + to) / 2
	m := r2.Point{X: s.Center.X + s.RadiusMM*math.Cos(mid), Y: s.Center.Y + s.RadiusMM*math.Sin(mid)}
	a, b := s, s
	a.End, b.Start = m, m
	return []Segment{a, b}
}

// joinEnds makes each piece start at the very bits where the one before it ended.
func joinEnds(all []Segment) {
	for i := range all {
		all[(i+1)%len(all)].Start = all[i].End
	}
}

func (p *Polygon) pieces(at Origin) ([]Segment, error) {
	n := len(p.Sides)
	arcs := 0
	for _, s := range p.Sides {
		if !s.To.Set {
			return nil, nil
		}
		if s.Through.Set {
			arcs++
		}
	}
	if n < 2 || (n == 2 && arcs == 0) {
		return nil, &outlineError{at, fmt.Sprintf("%d sides enclose nothing", n), "a polygon needs three sides, or two of which one is an arc"}
	}
	sides := make([]Segment, n)
	for i, s := range p.Sides {
		from := p.Sides[(i+n-1)%n].To.At
		name := fmt.Sprintf("side %d", i+1)
		if from.Sub(s.To.At).Norm() < sameMM {
			return nil, &outlineError{s.To.Origin, "this side ends where it starts", "each side runs from the end of the one before it; the first from the end of the last"}
		}
		sides[i] = straight(name, from, s.To.At)
		if s.Through.Set {
			center, radius, ccw, err := arcThrough(from, s.Through.At, s.To.At)
			if err != nil {
				return nil, &outlineError{s.Through.Origin, err.Error(), "leave \"through\" out for a straight side"}
			}
			sides[i] = round(name, from, s.To.At, center, radius, ccw)
		}
	}
	all, err := p.roundCorners(sides)
	if err != nil {
		return nil, err
	}
	all = splitLongArcs(all)
	for i := range all {
		for j := i + 1; j < len(all); j++ {
			if meet, at := crossing(all[i], all[j], j == i+1, i == 0 && j == len(all)-1); meet {
				return nil, &outlineError{p.originOf(all[j].Name), fmt.Sprintf("%s meets %s near [%.3f, %.3f]", all[j].Name, all[i].Name, at.X, at.Y), "an outline must not cross or touch itself"}
			}
		}
	}
	if area(all) < 0 {
		all = reversed(all)
	}
	return all, nil
}

func (p *Polygon) originOf(name string) Origin {
	n := 0
	if _, err := fmt.Sscanf(name, "side %d", &n); err != nil {
		fmt.Sscanf(name, "corner %d", &n)
	}
	if n < 1 || n > len(p.Sides) {
		return p.Sides[0].Origin
	}
	return p.Sides[n-1].Origin
}

// arcThrough is the circle through three places: the centre from the two perpendicular bisectors,
// in coordinates about a, where the cross product is twice the triangle's area.
func arcThrough(a, m, b r2.Point) (center r2.Point, radius float64, ccw bool, err error) {
	u, v := m.Sub(a), b.Sub(a)
	cross := u.Cross(v)
	uu, vv := u.Dot(u), v.Dot(v)
	if w := b.Sub(m); uu < sameMM*sameMM || w.Dot(w) < sameMM*sameMM {
		return center, 0, false, errors.New("the place between the ends is one of the ends")
	}
	x, y := (v.Y*uu-u.Y*vv)/(2*cross), (u.X*vv-v.X*uu)/(2*cross)
	radius = math.Hypot(x, y)
	if !(radius <= 10*mostMM) {
		return center, 0, false, errors.New("the three places lie on a straight line")
	}
	return a.Add(r2.Point{X: x, Y: y}), radius, cross > 0, nil
}

// roundCorners puts a tangent arc in place of each corner that has a radius: the tangent length on
// both sides is radius / tan(half the inner angle).
func (p *Polygon) roundCorners(sides []Segment) ([]Segment, error) {
	n := len(sides)
	trims := make([]float64, 2*n) // at the start and end of each side
	corners := make([]*Segment, n)
	for i, s := range p.Sides {
		if !s.RadiusMM.Set {
			continue
		}
		in, out := sides[i], sides[(i+1)%n]
		if in.Arc || out.Arc {
			return nil, &outlineError{s.RadiusMM.Origin, "this corner lies between a side and an arc", "only a corner between two straight sides can be rounded; draw the arc itself"}
		}
		d, e := in.End.Sub(in.Start).Normalize(), out.End.Sub(out.Start).Normalize()
		turn := math.Atan2(d.Cross(e), d.Dot(e))
		r := s.RadiusMM.Value
		t := r * math.Tan(math.Abs(turn)/2)
		if math.Abs(turn)*r < sameMM {
			return nil, &outlineError{s.RadiusMM.Origin, "the outline does not turn here", "take the radius out"}
		}
		left := 1.0
		if turn < 0 {
			left = -1
		}
		a, b := in.End.Sub(d.Mul(t)), in.End.Add(e.Mul(t))
		center := a.Add(d.Ortho().Mul(left * r))
		c := round(fmt.Sprintf("corner %d", i+1), a, b, center, r, turn > 0)
		corners[i] = &c
		trims[2*i+1], trims[2*((i+1)%n)] = t, t
	}
	var all []Segment
	for i, s := range sides {
		length := s.End.Sub(s.Start).Norm()
		if used := trims[2*i] + trims[2*i+1]; used > 0 && used > length+sameMM {
			at := p.Sides[i].RadiusMM.Origin
			if !p.Sides[i].RadiusMM.Set {
				at = p.Sides[(i+n-1)%n].RadiusMM.Origin
			}
			return nil, &outlineError{at, fmt.Sprintf("side %d is %.3f mm long and its corners need %.3f mm of it", i+1, length, used), "make the radius smaller"}
		}
		if c := corners[(i+n-1)%n]; c != nil {
			s.Start = c.End
		}
		if c := corners[i]; c != nil {
			s.End = c.Start
		}
		if s.Start.Sub(s.End).Norm() >= sameMM {
			all = append(all, s)
		}
		if c := corners[i]; c != nil {
			all = append(all, *c)
		}
	}
	joinEnds(all)
	return all, nil
}

func splitLongArcs(all []Segment) []Segment {
	var out []Segment
	for _, s := range all {
		if !s.Arc {
			out = append(out, s)
			continue
		}
		from, sweep := s.sweep()
		if !s.CCW {
			// halves wants rising angles: split the arc walked the other way and turn it back.
			back := turned(s)
			parts := halves(back, from-sweep, from)
			for i := len(parts) - 1; i >= 0; i-- {
				out = append(out, turned(parts[i]))
			}
			continue
		}
		out = append(out, halves(s, from, from+sweep)...)
	}
	return out
}

// sweep is the angle at which an arc starts and how far it turns, 0 to a full turn.
func (s Segment) sweep() (from, turn float64) {
	a, b := s.Start.Sub(s.Center), s.End.Sub(s.Center)
	from, to := math.Atan2(a.Y, a.X), math.Atan2(b.Y, b.X)
	turn = to - from
	if !s.CCW {
		turn = -turn
	}
	if turn <= 0 {
		turn += 2 * math.Pi
	}
	return from, turn
}

func turned(s Segment) Segment {
	s.Start, s.End, s.CCW = s.End, s.Start, s.Arc && !s.CCW
	return s
}

func reversed(all []Segment) []Segment {
	out := make([]Segment, len(all))
	for i, s := range all {
		out[len(all)-1-i] = turned(s)
	}
	return out
}

// area is the signed area: the shoelace sum over the ends, and for each arc the circular segment
// between it and its chord, r^2/2 (turn - sin turn).
func area(all []Segment) float64 {
	sum := 0.0
	for _, s := range all {
		sum += s.Start.Cross(s.End) / 2
		if s.Arc {
			_, turn := s.sweep()
			part := s.RadiusMM * s.RadiusMM / 2 * (turn - math.Sin(turn))
			if s.CCW {
				sum += part
			} else {
				sum -= part
			}
		}
	}
	return sum
}

// crossing tells whether two pieces of an outline meet anywhere but at an end they share: the end
// of a that is the start of b (follows), or the start of a that is the end of b (closes).
func crossing(a, b Segment, follows, closes bool) (bool, r2.Point) {
	grown := b.bounds().ExpandedByMargin(sameMM)
	if !a.bounds().Intersects(grown) {
		return false, r2.Point{}
	}
	for _, p := range meetings(a, b) {
		if follows && p.Sub(a.End).Norm() < nearEndMM || closes && p.Sub(a.Start).Norm() < nearEndMM {
			continue
		}
		return true, p
	}
	return false, r2.Point{}
}

// nearEndMM is a micrometre: two pieces that leave a shared end at a flat angle, or touch there,
// are computed to meet a little away from it. Tangents that part by sameMM do so at a distance of
// sqrt(2 r sameMM): 0.4 um for a radius of 0.1 mm.
const nearEndMM = 0.001

func (s Segment) bounds() r2.Rect {
	b := r2.RectFromPoints(s.Start, s.End)
	if !s.Arc {
		return b
	}
	from, turn := s.sweep()
	if !s.CCW {
		from -= turn
	}
	for k := math.Ceil(from / (math.Pi / 2)); k*math.Pi/2 <= from+turn; k++ {
		c, d := math.Cos(k*math.Pi/2), math.Sin(k*math.Pi/2)
		b = b.AddPoint(s.Center.Add(r2.Point{X: math.Round(c) * s.RadiusMM, Y: math.Round(d) * s.RadiusMM}))
	}
	return b
}

// Bounds is the least rectangle around the outline.
func (o *Outline) Bounds() r2.Rect {
	b := r2.EmptyRect()
	for _, s := range o.segments {
		b = b.Union(s.bounds())
	}
	return b
}

// AreaMM2 is the area inside the outline.
func (o *Outline) AreaMM2() float64 { return area(o.segments) }

// meetings are the places where two pieces meet, within sameMM.
func meetings(a, b Segment) []r2.Point {
	var all []r2.Point
	switch {
	case !a.Arc && !b.Arc:
		all = lineLine(a, b)
	case a.Arc && b.Arc:
		all = circleCircle(a, b)
	case a.Arc:
		all = lineCircle(b, a)
	default:
		all = lineCircle(a, b)
	}
	var kept []r2.Point
	for _, p := range all {
		if a.holds(p) && b.holds(p) {
			kept = append(kept, p)
		}
	}
	return kept
}

// holds tells whether a place on the carrying line or circle lies on the piece.
func (s Segment) holds(p r2.Point) bool {
	if p.Sub(s.Start).Norm() < sameMM || p.Sub(s.End).Norm() < sameMM {
		return true
	}
	if !s.Arc {
		d := s.End.Sub(s.Start)
		t := p.Sub(s.Start).Dot(d)
		return t >= 0 && t <= d.Dot(d)
	}
	at := s
	at.End = p
	_, upTo := at.sweep()
	_, whole := s.sweep()
	return upTo <= whole
}

func lineLine(a, b Segment) []r2.Point {
	d, e := a.End.Sub(a.Start), b.End.Sub(b.Start)
	cross := d.Cross(e)
	if math.Abs(cross) <= sameMM*math.Max(d.Norm(), e.Norm()) {
		// Parallel within a nanometre over the length: they meet only where they lie on one another.
		n := d.Ortho().Normalize()
		if math.Abs(b.Start.Sub(a.Start).Dot(n)) > sameMM && math.Abs(b.End.Sub(a.Start).Dot(n)) > sameMM {
			return nil
		}
		return []r2.Point{a.Start, a.End, b.Start, b.End}
	}
	t := b.Start.Sub(a.Start).Cross(e) / cross
	return []r2.Point{a.Start.Add(d.Mul(t))}
}

func lineCircle(line, arc Segment) []r2.Point {
	d := line.End.Sub(line.Start).Normalize()
	toCenter := arc.Center.Sub(line.Start)
	foot := line.Start.Add(d.Mul(toCenter.Dot(d)))
	away := math.Abs(toCenter.Cross(d))
	if away > arc.RadiusMM+sameMM {
		return nil
	}
	h := math.Sqrt(math.Max(0, arc.RadiusMM*arc.RadiusMM-away*away))
	return []r2.Point{foot.Sub(d.Mul(h)), foot.Add(d.Mul(h))}
}

func circleCircle(a, b Segment) []r2.Point {
	between := b.Center.Sub(a.Center)
	d := between.Norm()
	if d < sameMM {
		if math.Abs(a.RadiusMM-b.RadiusMM) > sameMM {
			return nil
		}
		return []r2.Point{a.Start, a.End, b.Start, b.End}
	}
	if d > a.RadiusMM+b.RadiusMM+sameMM || d < math.Abs(a.RadiusMM-b.RadiusMM)-sameMM {
		return nil
	}
	along := (d*d + a.RadiusMM*a.RadiusMM - b.RadiusMM*b.RadiusMM) / (2 * d)
	h := math.Sqrt(math.Max(0, a.RadiusMM*a.RadiusMM-along*along))
	u := between.Mul(1 / d)
	m := a.Center.Add(u.Mul(along))
	return []r2.Point{m.Add(u.Ortho().Mul(h)), m.Sub(u.Ortho().Mul(h))}
}

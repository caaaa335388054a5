package outline

import "github.com/golang/geo/r2"

// Inner is a rectangle from whose points the line, and every piece that they face, is no nearer than so much, and from
// which no arc is faced. It is the largest of a few that it tries, and empty for a region that is not convex or has none.
//
// The clearance of a convex region is concave, so four corners answer for the rectangle; and from inside a convex line
// no straight piece carried on without end is nearer than the line.
func (r *Region) Inner(leastMM float64) r2.Rect {
	if !r.convex {
		return r2.EmptyRect()
	}
	all := r.Bounds()
	for inset := leastMM; inset < min(all.X.Length(), all.Y.Length())/2; inset *= 1.25 {
		in := r2.Rect{X: all.X.Expanded(-inset), Y: all.Y.Expanded(-inset)}
		if r.keepsOff(in, leastMM) {
			return in
		}
	}
	return r2.EmptyRect()
}

func (r *Region) keepsOff(in r2.Rect, leastMM float64) bool {
	for _, q := range in.Vertices() {
		if d, _ := r.Clearance(q); d < leastMM {
			return false
		}
		for i := range r.Pieces {
			p := &r.Pieces[i]
			if !p.Arc {
				continue
			}
			// What faces an arc of half a turn or less lies on its side of the line through the centre, square to the middle
			// of the arc.
			start, end := p.Start.Sub(p.Center), p.End.Sub(p.Center)
			if start.Cross(end) <= 0 || q.Sub(p.Center).Dot(start.Add(end)) >= 0 {
				return false
			}
		}
	}
	return true
}

package render

import (
	"image/color"
	"math"
)

// seenMarks are those whose place is in the picture; a close-up leaves the others out.
func (c *canvas) seenMarks(all []Mark) []Mark {
	var list []Mark
	for _, m := range all {
		if x, y, _ := c.camera.Project(m.At); c.within(point{x, y}) {
			list = append(list, m)
		}
	}
	return list
}

// marks draws each mark as a ring at its place, a leader, and a badge with its label. A place that
// the body hides has a broken leader and a ring with a gap.
func (c *canvas) marks(all []Mark) {
	list := c.seenMarks(all)
	u := c.unit
	l := newLettering(math.Max(12.5*u, 10), true)
	w, h := float64(c.opt.WidthPX), float64(c.opt.HeightPX)
	type placed struct {
		at     point
		radius float64
	}
	var taken []placed
	type spot struct {
		at, badge point
		hidden    bool
		radius    float64
	}
	spots := make([]spot, len(list))
	for i, m := range list {
		x, y, d := c.camera.Project(m.At)
		spots[i].at = point{x, y}
		spots[i].hidden = c.hides(spots[i].at, d)
		taken = append(taken, placed{spots[i].at, 5 * u})
	}
	middle := point{w / 2, h / 2}
	for i, m := range list {
		s := &spots[i]
		s.radius = math.Max(math.Max(10*u, 8), l.width(m.Label)/2+5.5*u)
		away := s.at.minus(middle).unitOr(point{0.6, -0.8})
		best, least := s.at.plus(away.times(30*u)), math.Inf(1)
		// The badge goes outwards where it can: the cost counts overlaps first, then the turn from
		// straight outwards, then the length of the leader.
		for step := range 24 {
			turn := float64((step+1)/2) * math.Pi / 12
			if step%2 == 1 {
				turn = -turn
			}
			sin, cos := math.Sincos(turn)
			d := point{away.x*cos - away.y*sin, away.x*sin + away.y*cos}
			for _, reach := range []float64{30, 44, 60, 84} {
				p := s.at.plus(d.times(reach * u))
				cost := math.Abs(turn) + reach/60
				r := s.radius + 2*u
				if p.x < r || p.y < r || p.x > w-r || p.y > h-r {
					cost += 100
				}
				for _, o := range taken {
					if gap := p.minus(o.at).length() - r - o.radius; gap < 0 {
						cost += 10 - gap/u
					}
				}
				if cost < least {
					best, least = p, cost
				}
			}
		}
		s.badge = best
		taken = append(taken, placed{best, s.radius})
	}
	white := color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
	for i, m := range list {
		s, tone := spots[i], m.Severity.tone()
		d := s.badge.minus(s.at).unitOr(point{0, -1})
		from := s.at.plus(d.times(5 * u))
		if s.hidden {
			c.broken(white, 3.4*u, from, s.badge)
			c.broken(tone, 1.8*u, from, s.badge)
		} else {
			c.line(white, 3.4*u, from, s.badge)
			c.line(tone, 1.8*u, from, s.badge)
		}
		c.ring(white, s.at, 4.6*u, 4*u)
		c.ring(tone, s.at, 4.6*u, 2.2*u)
		if !s.hidden {
			c.disc(tone, s.at, 1.7*u)
		}
	}
	for i, m := range list {
		s, tone := spots[i], m.Severity.tone()
		c.badge(m.Severity, white, s.badge, s.radius+1.6*u)
		c.badge(m.Severity, tone, s.badge, s.radius)
		letters := white
		if m.Severity == Borderline {
			letters = ink // white on orange is too weak
		}
		l.centred(c.image, letters, s.badge, m.Label)
	}
}

// broken is a dashed stroke.
func (c *canvas) broken(tone color.RGBA, width float64, a, b point) {
	d := b.minus(a)
	n := int(math.Ceil(d.length() / (4 * c.unit)))
	for i := 0; i < n; i += 2 {
		c.line(tone, width, a.plus(d.times(float64(i)/float64(n))), a.plus(d.times(float64(i+1)/float64(n))))
	}
}

// badge is the shape of a severity: octagon, diamond or disc.
func (c *canvas) badge(s Severity, tone color.RGBA, at point, radius float64) {
	switch s {
	case Fail:
		c.fill(tone, regular(at, radius*1.06, 8, math.Pi/8)...)
	case Borderline:
		c.fill(tone, regular(at, radius*1.28, 4, 0)...)
	default:
		c.disc(tone, at, radius)
	}
}

package tessellate

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/step/shape"
)

// The triangulation is Delaunay in a metric in which the step that curvature allows along u and
// along v is 1 each: its triangles are then as round as they can be where the surface bends and
// as long as they like where it does not. With the radius of curvature R the middle of an
// equilateral triangle of side a stands off by a^2/(6 R).
//
// A surface that bends both ways needs inner points. They are set in rows along u, rows and
// places in a row evenly by the integral of the wanted density, every second row by half a
// place; what that leaves too coarse is refined.

// gridSamples is how many places each way the curvature of a face is looked at, less one.
const gridSamples = 8

type grid struct {
	// perU and perV are how many steps a unit of u and v wants at the samples [v][u].
	perU, perV [gridSamples + 1][gridSamples + 1]float64
	marks      []bool
}

// metric carries parameters to the plane of the triangulation.
//
// Towards a pole the step along u grows beyond all bounds, and in a metric of one scale a row of
// points there is far wider apart than rows are. There v is stretched as it is on a map of the globe that
// keeps angles (Mercator's): dy/dv = su perV/perU. The map is the same on both sides of every
// edge, so that triangles may be straight in it or in the parameters: they cover the same.
type metric struct {
	su, sv float64
	shear  float64
	stretched
}

// stretched is y at even steps of v over [lo, lo+length]; no steps, no stretching.
type stretched struct {
	lo, length float64
	y          []float64
}

// The shear of a metric takes rectangles of four points on one circle apart, which exact signs
// would have to decide at length. It is small against the roundness of triangles.
const metricShear = 1.0 / 64

func (m *metric) to(p r2.Point) r2.Point {
	y := p.Y * m.sv
	if n := len(m.y) - 1; n > 0 {
		f := (p.Y - m.lo) / m.length * float64(n)
		k := min(max(int(f), 0), n-1)
		f -= float64(k)
		y = m.y[k]*(1-f) + m.y[k+1]*f
	}
	return r2.Point{X: p.X*m.su + m.shear*y, Y: y}
}

const (
	// stretchSamples divides v for the stretching; mostStretch ends it near the pole.
	stretchSamples = 48
	mostStretch    = 8
)

// stretch sets the stretching for a surface that is round about its poles.
func (w *worker) stretch(s shape.Surface, m *metric) {
	switch s.(type) {
	case *shape.Sphere, *shape.Torus, *shape.Revolution:
	default:
		return
	}
	m.lo, m.length = w.box.Y.Lo, w.box.Y.Length()
	if !(m.length > 0) {
		return
	}
	c := 6 * w.chord()
	u := w.box.X.Center()
	if cap(w.stretching) == 0 {
		w.stretching = make([]float64, stretchSamples+1)
	}
	m.y = w.stretching
	before := 0.0
	for k := range m.y {
		v := m.lo + m.length*float64(k)/stretchSamples
		_, du, dv, duu, _, dvv := s.Second(u, v)
		perU, perV := w.steps(du, duu, du.Cross(dv), c), w.steps(dv, dvv, du.Cross(dv), c)
		here := max(perV, 1/m.length) * min(m.su/max(perU, math.SmallestNonzeroFloat64), mostStretch)
		if k == 0 {
			m.y[0] = 0
		} else {
			m.y[k] = m.y[k-1] + (before+here)/2*m.length/stretchSamples
		}
		before = here
	}
}

// steps is how many steps a unit of a parameter wants, d and dd being the derivatives by it.
func (w *worker) steps(d, dd, normal r3.Vector, c float64) float64 {
	n := normal.Norm()
	if !(n > 0) {
		return 0
	}
	bend := math.Abs(dd.Dot(normal)) / n
	per := math.Sqrt(bend / c)
	if l := d.Norm(); l > 0 {
		per = max(per, bend/l/w.body.angle)
	}
	return per
}

// measureGrid looks at the surface over the box of the boundary and gives the metric.
func (w *worker) measureGrid(s shape.Surface) metric {
	g := &w.grid
	w.charge(2 * ((gridSamples+1)*(gridSamples+1) + stretchSamples) * w.cost.Evaluate)
	x, y := w.box.X.Length(), w.box.Y.Length()
	c := 6 * w.chord()
	sumU, sumV := 0.0, 0.0
	n := gridSamples
	for j := range n + 1 {
		v := w.box.Y.Lo + y*float64(j)/float64(n)
		for i := range n + 1 {
			u := w.box.X.Lo + x*float64(i)/float64(n)
			_, du, dv, duu, _, dvv := s.Second(u, v)
			normal := du.Cross(dv)
			pu, pv := w.steps(du, duu, normal, c), w.steps(dv, dvv, normal, c)
			g.perU[j][i], g.perV[j][i] = pu, pv
			sumU += pu
			sumV += pv
		}
	}
	all := float64((n + 1) * (n + 1))
	m := metric{su: sumU / all, sv: sumV / all, shear: metricShear}
	// What does not bend is one step long.
	if x > 0 {
		m.su = max(m.su, 1/x)
	} else {
		m.su = 1
	}
	if y > 0 {
		m.sv = max(m.sv, 1/y)
	} else {
		m.sv = 1
	}
	w.stretch(s, &m)
	return m
}

// mostRows bounds the inner points of one face to its square.
const mostRows = 1 << 11

// fill sets the inner points of a surface that bends both ways.
func (w *worker) fill(s shape.Surface, m *metric) {
	g := &w.grid
	n := gridSamples
	x, y := w.box.X.Length(), w.box.Y.Length()
	// Rows by the largest wish along them.
	var row [gridSamples + 1]float64
	widest := 0.0
	for j := range n + 1 {
		for i := range n + 1 {
			row[j] = max(row[j], g.perV[j][i])
			widest = max(widest, g.perU[j][i])
		}
	}
	// Rows of equilateral triangles are closer than their sides by sqrt(3)/2.
	rows := spread(row[:], y, 2/math.Sqrt(3))
	if len(rows) == 0 || widest*x < 1 {
		return
	}
	w.markBoundary()
	limit := w.innerLimit()
	var along [gridSamples + 1]float64
	for k, f := range rows {
		v := w.box.Y.Lo + y*f
		q := f * float64(n)
		j := min(int(q), n-1)
		q -= float64(j)
		for i := range n + 1 {
			along[i] = g.perU[j][i]*(1-q) + g.perU[j+1][i]*q
		}
		for _, f := range places(along[:], x, k%2 == 1) {
			uv := r2.Point{X: w.box.X.Lo + x*f, Y: v}
			p := m.to(uv)
			if w.marked(p) || len(w.plan.Points()) >= limit {
				continue
			}
			if !w.may(insertUnits + w.cost.Evaluate) {
				return
			}
			if _, ok := w.plan.Insert(p); ok {
				w.took(s, uv)
			}
		}
	}
}

// spread divides an interval of a length into steps by sampled density and gives the shares at
// the inner ends of steps.
func spread(density []float64, length, more float64) []float64 {
	total := integral(density) * length * more
	n := int(min(math.Ceil(total-0.25), mostRows))
	if n < 2 {
		return nil
	}
	list := make([]float64, 0, n-1)
	for i := 1; i < n; i++ {
		list = append(list, share(density, float64(i)/float64(n)))
	}
	return list
}

// places divides a row, by half steps from its ends where half.
func places(density []float64, length float64, half bool) []float64 {
	total := integral(density) * length
	n := int(min(max(1, math.Ceil(total)), mostRows))
	list := make([]float64, 0, n)
	if half {
		for i := range n {
			list = append(list, share(density, (float64(i)+0.5)/float64(n)))
		}
		return list
	}
	for i := 1; i < n; i++ {
		list = append(list, share(density, float64(i)/float64(n)))
	}
	return list
}

func integral(density []float64) float64 {
	sum := 0.0
	for i := 1; i < len(density); i++ {
		sum += (density[i-1] + density[i]) / 2
	}
	return sum / float64(len(density)-1)
}

// share is where the integral of the density, linear between its samples, reaches a share of the
// whole.
func share(density []float64, f float64) float64 {
	n := len(density) - 1
	want := integral(density) * float64(n) * f
	if !(want > 0) {
		return f
	}
	for i := range n {
		a, b := density[i], density[i+1]
		if piece := (a + b) / 2; want > piece && i < n-1 {
			want -= piece
			continue
		}
		// a t + (b-a) t^2/2 = want
		t := 0.5
		if root := a*a + 2*(b-a)*want; root >= 0 && a+math.Sqrt(root) > 0 {
			t = 2 * want / (a + math.Sqrt(root))
		}
		return (float64(i) + min(max(t, 0), 1)) / float64(n)
	}
	return f
}

// markPitch is the size of the cells in which the boundary is marked, in steps: inner points keep
// off it by half a step or so, lest triangles there be slivers.
const (
	markPitch = 0.5
	mostMarks = 1 << 22
)

func (w *worker) markSize() (nx, ny int, lo r2.Point) {
	b := r2.RectFromPoints(w.flat...)
	nx = int(min(b.X.Length()/markPitch, mostMarks)) + 3
	ny = int(min(b.Y.Length()/markPitch, mostMarks)) + 3
	return nx, ny, b.Lo()
}

func (w *worker) markBoundary() {
	g := &w.grid
	nx, ny, lo := w.markSize()
	if nx*ny > mostMarks {
		g.marks = g.marks[:0]
		return
	}
	if cap(g.marks) < nx*ny {
		g.marks = make([]bool, nx*ny)
	}
	g.marks = g.marks[:nx*ny]
	clear(g.marks)
	for _, s := range w.segments {
		a, b := w.flat[s[0]], w.flat[s[1]]
		d := b.Sub(a)
		n := int(math.Max(math.Abs(d.X), math.Abs(d.Y))/(markPitch/2)) + 1
		for i := range n + 1 {
			p := a.Add(d.Mul(float64(i) / float64(n)))
			g.marks[(int((p.Y-lo.Y)/markPitch)+1)*nx+int((p.X-lo.X)/markPitch)+1] = true
		}
	}
	w.box0, w.nx, w.ny = lo, nx, ny
}

// marked tells whether a point of the metric's plane is near the boundary.
func (w *worker) marked(p r2.Point) bool {
	g := &w.grid
	if len(g.marks) == 0 {
		return false
	}
	i, j := int((p.X-w.box0.X)/markPitch)+1, int((p.Y-w.box0.Y)/markPitch)+1
	if i < 1 || j < 1 || i > w.nx-2 || j > w.ny-2 {
		return true
	}
	k := j*w.nx + i
	return g.marks[k] || g.marks[k-1] || g.marks[k+1] || g.marks[k-w.nx] || g.marks[k+w.nx]
}

package render

import (
	"image"
	"math"

	"github.com/fogleman/fauxgl"

	"pocketgauge/mesh/parallel"
)

// Edges are drawn where the surface's direction turns by more than edgeAngle between two samples,
// or where its depth jumps by more than edgeJump samples beyond what its slope explains. 25 degrees
// keeps the facets of a coarse bore apart from real edges (mesh/tol lets a facet turn by 20).
const (
	edgeAngle = 25 * math.Pi / 180
	edgeJump  = 2.5
)

// edgeStrength is how much of the ink an edge takes, of 256, for an edge within the body and for
// its silhouette.
const (
	edgeStrength       = 150
	silhouetteStrength = 215
)

// bandRows is how many rows of pixels one core draws at a time. It is fixed, for P1.
const bandRows = 16

// Thumbnail draws the scene.
func Thumbnail(s Scene, opt Options) (*image.RGBA, error) {
	opt, err := opt.filled()
	if err != nil {
		return nil, err
	}
	if err := s.check(); err != nil {
		return nil, err
	}
	camera := s.camera(opt)
	c := newCanvas(opt, camera)
	s.drawBody(c)
	c.ghosts(s.Ghost)
	if !opt.Bare {
		c.tripod()
		c.scaleBar()
	}
	c.marks(s.Marks)
	giveBack(c.depth)
	return c.image, nil
}

func (s *Scene) drawBody(c *canvas) {
	ss := c.opt.Supersample
	k := float64(ss)
	samples := fauxgl.Scale(fauxgl.Vector{X: k, Y: k, Z: k}).Mul(c.camera.matrix)
	w, h := c.opt.WidthPX*ss, c.opt.HeightPX*ss
	p := project(s.Mesh, samples, w, h)
	defer p.release()
	l := newLights(&c.camera)
	cells := shadowCells(c.opt)
	lightCamera := s.lightCamera(l, cells)
	light := project(s.Mesh, lightCamera.matrix, cells, cells)
	defer light.release()
	coats := s.coats(&c.camera, p, l, light)
	defer coatPool.Put(&coats)
	shadows := drawShadows(light, lightCamera.matrix, samples)
	defer giveBack(shadows.depth)

	rows := bandRows * ss
	list := p.bin(rows, 1)
	parallel.Each(len(list.start)-1, func(i, _ int) {
		b := bandPool.Get().(*band)
		defer bandPool.Put(b)
		// One more row on either side, for the edges.
		first, last := max(i*rows-1, 0), min((i+1)*rows+1, h)
		b.reset(first, last-first, w, true)
		for _, t := range list.list[list.start[i]:list.start[i+1]] {
			b.draw(p, t)
		}
		c.resolve(b, i*bandRows, min((i+1)*bandRows, c.opt.HeightPX), coats, shadows)
	})
}

// resolve shades the samples of a band and writes their means as pixels.
func (c *canvas) resolve(b *band, from, to int, coats []coat, shadows *shadowMap) {
	ss, w := c.opt.Supersample, b.w
	paper, line := linearOf(c.opt.Background), linearOf(ink)
	sums := make([][3]uint32, c.opt.WidthPX)
	share := uint32(ss * ss)
	apart := make([]float32, ss)
	for i := range apart {
		apart[i] = spread * ((float32(i)+0.5)/float32(ss) - 0.5)
	}
	for y := from; y < to; y++ {
		clear(sums)
		for sub := range ss {
			row := y*ss + sub - b.first
			seen, depth := b.seen[row*w:(row+1)*w], b.depth[row*w:(row+1)*w]
			above, below := seen, seen
			depthAbove, depthBelow := depth, depth
			if row > 0 {
				above, depthAbove = b.seen[(row-1)*w:row*w], b.depth[(row-1)*w:row*w]
			}
			if row+1 < b.rows {
				below, depthBelow = b.seen[(row+1)*w:(row+2)*w], b.depth[(row+1)*w:(row+2)*w]
			}
			at, alongX, alongDepth := shadows.row(float64(y*ss+sub) + 0.5)
			at[1] += apart[sub]
			for x := range w {
				t := seen[x]
				sum := &sums[x/ss]
				strength := uint32(0)
				left, right := max(x-1, 0), min(x+1, w-1)
				if l, r, a, d := seen[left], seen[right], above[x], below[x]; t != l || t != r || t != a || t != d {
					z := depth[x]
					strength = max(
						edge(coats, t, l, z, depth[left], -1, 0), edge(coats, t, r, z, depth[right], 1, 0),
						edge(coats, t, a, z, depthAbove[x], 0, -1), edge(coats, t, d, z, depthBelow[x], 0, 1))
				}
				colour := paper
				if t != nothing {
					k := &coats[t]
					colour = k.lit
					fx, z := float32(x)+0.5, depth[x]
					if k.lit != k.dark && !shadows.lit(at[0]+apart[x%ss]+alongX[0]*fx+alongDepth[0]*z, at[1]+alongX[1]*fx+alongDepth[1]*z, at[2]+alongX[2]*fx+alongDepth[2]*z, k.bias) {
						colour = k.dark
					}
				}
				for i := range sum {
					sum[i] += (uint32(colour[i])*(256-strength) + uint32(line[i])*strength) >> 8
				}
			}
		}
		out := c.image.Pix[y*c.image.Stride:]
		middle := (y*ss + ss/2 - b.first) * w
		for x := range sums {
			for i, v := range sums[x] {
				out[4*x+i] = toDisplay[(v+share/2)/share]
			}
			out[4*x+3] = 0xFF
			c.depth[y*c.opt.WidthPX+x] = b.depth[middle+x*ss+ss/2] / float32(ss)
		}
	}
}

var edgeCosine = float32(math.Cos(edgeAngle))

// edge is the strength of the line between a sample of triangle t and its neighbour dx, dy away.
func edge(coats []coat, t, other int32, z, otherZ float32, dx, dy float32) uint32 {
	switch {
	case t == other:
		return 0
	case t == nothing || other == nothing:
		return silhouetteStrength
	}
	a, b := &coats[t], &coats[other]
	// The jump that neither plane explains: a step, or a far wall behind an edge.
	jump := otherZ - z - (a.slope[0]*dx + a.slope[1]*dy)
	back := z - otherZ + (b.slope[0]*dx + b.slope[1]*dy)
	if min(absolute(jump), absolute(back)) > edgeJump {
		return silhouetteStrength
	}
	if a.normal[0]*b.normal[0]+a.normal[1]*b.normal[1]+a.normal[2]*b.normal[2] < edgeCosine {
		return edgeStrength
	}
	return 0
}

func absolute(v float32) float32 { return max(v, -v) }

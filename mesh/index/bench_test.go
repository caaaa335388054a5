package index

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest/corpus"
	"pocketgauge/mesh/parallel"
)

// inwardRays start 0.001 mm under the centroid of every facet and run along its inward normal.
func inwardRays(m *mesh.Mesh) []Ray {
	rays := make([]Ray, 0, len(m.Triangles))
	for k := range m.Triangles {
		a, b, c := m.Corners(k)
		n := m.AreaVector(k)
		if n.Norm() < 1e-12 {
			continue
		}
		d := n.Normalize().Mul(-1)
		rays = append(rays, Ray{a.Add(b).Add(c).Mul(1.0 / 3).Add(d.Mul(1e-3)), d, 0, math.Inf(1)})
	}
	return rays
}

func BenchmarkBuild(b *testing.B) {
	for _, name := range []string{"insert_100k.stl", "insert_1m.stl", "insert_5m.stl"} {
		b.Run(name, func(b *testing.B) {
			m := corpus.MeshOrShell(b, name)
			var t *Tree
			since := cpuSeconds()
			for b.Loop() {
				t = Build(m)
			}
			perCPU(b, len(m.Triangles), since)
			b.ReportMetric(float64(t.MemoryBytes())/float64(len(m.Triangles)), "B/triangle")
			b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/float64(len(m.Triangles))*1e9, "ns/triangle")
		})
	}
}

func BenchmarkFirst(b *testing.B) {
	m := corpus.MeshOrShell(b, "insert_1m.stl")
	t := Build(m)
	rays := inwardRays(m)
	hits := make([]Hit, len(rays))
	rate := func(b *testing.B) {
		b.ReportMetric(float64(len(rays))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mrays/s")
	}
	b.Run("file order", func(b *testing.B) {
		since := cpuSeconds()
		for b.Loop() {
			parallel.Chunks(len(rays), batchChunk, func(_, from, to, _ int) {
				for i := from; i < to; i++ {
					hits[i], _ = t.First(rays[i])
				}
			})
		}
		rate(b)
		perCPU(b, len(rays), since)
	})
	b.Run("batch", func(b *testing.B) {
		since := cpuSeconds()
		for b.Loop() {
			hits = t.FirstBatch(rays, hits)
		}
		rate(b)
		perCPU(b, len(rays), since)
	})
	b.Run("batch, plain nodes", func(b *testing.B) {
		since := cpuSeconds()
		plainly(func() {
			for b.Loop() {
				hits = t.FirstBatch(rays, hits)
			}
		})
		rate(b)
		perCPU(b, len(rays), since)
	})
	b.Run("no order", func(b *testing.B) {
		mixed := slices.Clone(rays)
		rng := seeded(b, 5)
		rng.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		b.Run("one by one", func(b *testing.B) {
			since := cpuSeconds()
			for b.Loop() {
				parallel.Chunks(len(mixed), batchChunk, func(_, from, to, _ int) {
					for i := from; i < to; i++ {
						hits[i], _ = t.First(mixed[i])
					}
				})
			}
			rate(b)
			perCPU(b, len(rays), since)
		})
		b.Run("batch", func(b *testing.B) {
			since := cpuSeconds()
			for b.Loop() {
				hits = t.FirstBatch(mixed, hits)
			}
			rate(b)
			perCPU(b, len(rays), since)
		})
	})
	sum := 0.0
	misses := 0
	for _, h := range hits {
		if h.Triangle < 0 {
			misses++
		} else {
			sum += h.T + 1e-3
		}
	}
	b.Logf("sum of thickness %.4f, misses %d", sum, misses)
}

func BenchmarkNearest(b *testing.B) {
	m := corpus.MeshOrShell(b, "insert_1m.stl")
	t := Build(m)
	rays := inwardRays(m)
	points := make([]r3.Vector, len(rays))
	for i := range rays {
		h, ok := t.First(rays[i])
		if !ok {
			h.T = 0
		}
		points[i] = rays[i].At((h.T+1e-3)/2 - 1e-3)
	}
	var feet []Foot
	since := cpuSeconds()
	for b.Loop() {
		feet = t.NearestBatch(points, math.Inf(1), feet)
	}
	b.ReportMetric(float64(len(points))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mpoints/s")
	perCPU(b, len(points), since)
	sum := 0.0
	for _, f := range feet {
		sum += f.Distance
	}
	b.Logf("sum of distances %.4f", sum)
}

func BenchmarkBall(b *testing.B) {
	m := corpus.MeshOrShell(b, "insert_1m.stl")
	t := Build(m)
	rays := inwardRays(m)
	hits := t.FirstBatch(rays, nil)
	in := make([]BallRequest, len(rays))
	for i, r := range rays {
		in[i] = BallRequest{r.At(-1e-3), r.Direction, (hits[i].T + 1e-3) / 2}
		if hits[i].Triangle < 0 {
			in[i].Radius = 0
		}
	}
	var out []BallAnswer
	since := cpuSeconds()
	for b.Loop() {
		out = t.BallBatch(in, 1e-4, 1e-5, out)
	}
	b.ReportMetric(float64(len(in))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mballs/s")
	perCPU(b, len(in), since)
	sum := 0.0
	for _, a := range out {
		sum += a.Radius
	}
	b.Logf("sum of radii %.4f", sum)
}

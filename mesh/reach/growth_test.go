package reach

import (
	"fmt"
	"math"
	"runtime"
	"testing"
	"time"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/dexel"
	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/meshtest/corpus"
	"pocketgauge/mesh/thickness"
)

// BenchmarkGrowth prints what each question costs a triangle as the mesh grows: nanoseconds of
// processor time and of the clock, bytes held by the answer, and all bytes that were allocated on
// the way, which bounds what was ever held at once. It stands here because this package lies
// above all that it measures. Run it with -benchtime 1x.
func BenchmarkGrowth(b *testing.B) {
	type column struct {
		name                    string
		cpu, clock, held, taken float64
	}
	table := map[string][]column{}
	files := []string{"insert_100k.stl", "insert_1m.stl", "insert_5m.stl"}
	for _, file := range files {
		b.Run(file, func(b *testing.B) {
			m := corpus.Mesh(b, file)
			n := float64(len(m.Triangles))
			box := m.Bounds()
			blank := boxMesh(box.Min, box.Max)
			inward := func() ([]index.Ray, []r3.Vector) {
				rays, points := make([]index.Ray, len(m.Triangles)), make([]r3.Vector, len(m.Triangles))
				for i := range rays {
					p, q, r := m.Corners(i)
					d := m.AreaVector(i).Normalize().Mul(-1)
					rays[i] = index.Ray{Origin: p.Add(q).Add(r).Mul(1.0 / 3).Add(d.Mul(1e-3)), Direction: d, TMax: math.Inf(1)}
					points[i] = rays[i].At(0.5)
				}
				return rays, points
			}
			for b.Loop() {
				var columns []column
				// measured reports what do costs, and what the value it gives holds afterwards.
				measured := func(name string, do func() any) any {
					runtime.GC()
					var before, after runtime.MemStats
					runtime.ReadMemStats(&before)
					cpu, clock := meshtest.CPUSeconds(), time.Now()
					kept := do()
					runtime.ReadMemStats(&after)
					taken := float64(after.TotalAlloc - before.TotalAlloc)
					c := column{taken: taken / n, name: name, cpu: (meshtest.CPUSeconds() - cpu) / n * 1e9, clock: float64(time.Since(clock)) / n}
					runtime.GC()
					runtime.ReadMemStats(&after)
					c.held = (float64(after.HeapAlloc) - float64(before.HeapAlloc)) / n
					columns = append(columns, c)
					return kept
				}
				tree := measured("build", func() any { return index.Build(m) }).(*index.Tree)
				rays, points := inward()
				hits, feet := make([]index.Hit, len(rays)), make([]index.Foot, len(rays))
				measured("rays", func() any { return tree.FirstBatch(rays, hits) })
				measured("nearest", func() any { return tree.NearestBatch(points, math.Inf(1), feet) })
				rays, points, hits, feet = nil, nil, nil, nil
				field := measured("thickness 0.5 mm", func() any {
					f, err := thickness.Walls(tree, thickness.Options{})
					if err != nil {
						b.Fatal(err)
					}
					return f
				}).(*thickness.Field)
				samples := len(field.Samples)
				field = nil
				measured("dexel 2000 x 2000", func() any {
					f, err := dexel.FieldOf(m, dexel.Z, 2000, 2000)
					if err != nil || f.Tally.Odd != 0 {
						b.Fatal(err, f.Tally.Odd)
					}
					return nil
				})
				measured("blank minus insert", func() any { return between(b, blank, m) })
				table[file] = columns
				b.Logf("%s: %d triangles, %d samples of thickness", file, len(m.Triangles), samples)
			}
		})
	}
	if len(table) != len(files) {
		return
	}
	fmt.Printf("%-20s", "a triangle")
	for _, file := range files {
		fmt.Printf("%42s", file)
	}
	fmt.Println()
	for k := range table[files[0]] {
		fmt.Printf("%-20s", table[files[0]][k].name)
		for _, file := range files {
			c := table[file][k]
			fmt.Printf("%8.0f ns cpu %7.0f ns %6.0f of %4.0f B", c.cpu, c.clock, c.held, c.taken)
		}
		fmt.Println()
	}
}

func between(b *testing.B, blank, m *mesh.Mesh) *difference.Result {
	r, err := difference.Between(blank, m, difference.Options{})
	if err != nil {
		b.Fatal(err)
	}
	return r
}

package batch

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/meshtest"
)

// All checks on both halves of a pair, from the files to the verdicts: as the demo has it, and with its facets divided
// until each half has 15,000 or a million. What divided facets stand for is the same, so the verdicts must be; only that the
// slope of a facet a fifth of a millimetre wide is known less well, for an STL file rounds its corners, and the demo has faces right at the least draft.
func BenchmarkPair(b *testing.B) {
	for _, of := range []struct {
		name      string
		triangles int
	}{{"as drawn", 0}, {"15k a half", 15_000}, {"1M a half", 1_000_000}} {
		b.Run(of.name, func(b *testing.B) {
			if of.triangles > 100_000 && testing.Short() {
				b.Skip("left out with -short")
			}
			pair := demoPair(b)
			var want [2]checks.Verdict
			var sizes [2]int
			folder := b.TempDir()
			for k := range pair {
				o := Judge(pair[k])
				if o.Err != nil {
					b.Fatal(o.Err)
				}
				want[k] = o.Overall
			}
			for k := range pair {
				m := divided(b, &pair[k], of.triangles)
				sizes[k] = len(m.Triangles)
				name := filepath.Join(folder, fmt.Sprintf("half-%d.stl", k))
				if err := os.WriteFile(name, meshtest.BinarySTL(pair[k].Name, m), 0o644); err != nil {
					b.Fatal(err)
				}
				pair[k].File, pair[1-k].Partner.File = name, name
			}
			before := meshtest.CPUSeconds()
			runs := 0
			for b.Loop() {
				halves := Halves(pair)
				var wait sync.WaitGroup
				for k := range halves {
					wait.Go(func() {
						if o := halves[k].Judge(); o.Err != nil || o.Overall != want[k] && o.Overall != checks.Borderline {
							b.Errorf("%s: %v, want %v; error %v", pair[k].Name, o.Overall, want[k], o.Err)
						}
					})
				}
				wait.Wait()
				runs++
			}
			b.ReportMetric((meshtest.CPUSeconds()-before)/float64(runs), "cpu-s/op")
			b.ReportMetric(float64(sizes[0]+sizes[1]), "triangles")
		})
	}
}

// divided is the mesh of an insert with its longest edges cut in two, again and again, until it has so many triangles.
func divided(b *testing.B, in *Insert, triangles int) *mesh.Mesh {
	model, _, err := load.File(in.File, in.Load)
	if err != nil {
		b.Fatal(err)
	}
	m := model.Parts[0].Mesh
	for len(m.Triangles) < triangles {
		m = cutEdges(m, (triangles-len(m.Triangles)+1)/2)
	}
	return m
}

// cutEdges cuts the so many longest edges of a closed mesh, each of which makes two triangles more.
func cutEdges(m *mesh.Mesh, most int) *mesh.Mesh {
	type edge [2]int32
	of := func(a, b int32) edge { return edge{min(a, b), max(a, b)} }
	var edges []edge
	for _, t := range m.Triangles {
		for k := range 3 {
			if p, q := t[k], t[(k+1)%3]; p < q {
				edges = append(edges, edge{p, q})
			}
		}
	}
	length := func(e edge) float64 { return m.Vertices[e[0]].Sub(m.Vertices[e[1]]).Norm2() }
	slices.SortFunc(edges, func(x, y edge) int {
		return cmp.Or(cmp.Compare(length(y), length(x)), cmp.Compare(x[0], y[0]), cmp.Compare(x[1], y[1]))
	})
	out := &mesh.Mesh{Vertices: slices.Clone(m.Vertices)}
	middle := map[edge]int32{}
	for _, e := range edges[:min(most, len(edges))] {
		middle[e] = int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices[e[0]].Add(m.Vertices[e[1]]).Mul(0.5))
	}
	for _, t := range m.Triangles {
		// The corners and the middles, run round; what is cut off at each corner between two middles, and a fan of the rest.
		var ring []int32
		for k := range 3 {
			ring = append(ring, t[k])
			if v, ok := middle[of(t[k], t[(k+1)%3])]; ok {
				ring = append(ring, v)
			}
		}
		if len(ring) == 6 {
			for k := range 3 {
				out.Triangles = append(out.Triangles, [3]int32{ring[2*k], ring[2*k+1], ring[(2*k+5)%6]})
			}
			out.Triangles = append(out.Triangles, [3]int32{ring[1], ring[3], ring[5]})
			continue
		}
		// From a middle no three in the fan lie on one edge.
		start := 0
		for k, v := range ring {
			if v >= int32(len(m.Vertices)) {
				start = k
			}
		}
		for k := 1; k+1 < len(ring); k++ {
			out.Triangles = append(out.Triangles, [3]int32{ring[start], ring[(start+k)%len(ring)], ring[(start+k+1)%len(ring)]})
		}
	}
	return out
}

package step

import (
	"math"
	"strings"
	"testing"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/tessellate"
	"pocketgauge/testdata/stepmake/solids"
)

// Every solid of known measures: volume, area and bounds of its surface, closedness of its mesh,
// and the mesh's own volume within its chord.
func TestSolids(t *testing.T) {
	for _, c := range solids.Cases() {
		t.Run(c.Name, func(t *testing.T) {
			m, err := Read(c.Text, c.Name, tessellate.Options{})
			if c.Err != "" {
				if err == nil || !strings.Contains(err.Error(), c.Err) {
					t.Errorf("error %v, want one with %q", err, c.Err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range m.Notes {
				t.Logf("note %s: %s", n.Place, n.Says)
			}
			if len(m.Parts) != len(c.Solids) {
				t.Fatalf("%d parts, want %d", len(m.Parts), len(c.Solids))
			}
			taken := make([]bool, len(m.Parts))
			for _, s := range c.Solids {
				k := match(m, taken, s)
				if k < 0 {
					t.Errorf("no part %s between %v and %v", s.Path, s.Min, s.Max)
					continue
				}
				taken[k] = true
				hold(t, &m.Parts[k], s)
			}
		})
	}
}

// match finds the part of a path whose middle is nearest to the solid's.
func match(m *mesh.Model, taken []bool, s solids.Solid) int {
	best, least := -1, math.Inf(1)
	for k := range m.Parts {
		if taken[k] || m.Parts[k].Name != s.Path {
			continue
		}
		b := m.Parts[k].Mesh.Bounds()
		if d := b.Center().Sub(s.Min.Add(s.Max).Mul(0.5)).Norm(); d < least {
			best, least = k, d
		}
	}
	return best
}

func hold(t *testing.T, p *mesh.Part, s solids.Solid) {
	t.Helper()
	if p.Audit.Closed() == s.Open {
		t.Errorf("%s: closed is %v; %d open edges, %d misoriented, %d non-manifold", s.Path, p.Audit.Closed(), p.Audit.OpenEdges, p.Audit.MisorientedEdges, p.Audit.NonManifoldEdges)
	}
	q := p.Exact
	if q == nil {
		t.Logf("%s: no exact measures", s.Path)
		return
	}
	share := func(what string, got, want, bound float64) {
		if !(math.Abs(got-want) <= bound*want) {
			t.Errorf("%s: %s %.9g, want %.9g (%+.2g of it)", s.Path, what, got, want, (got-want)/want)
		}
	}
	share("area", q.AreaMM2, s.AreaMM2, 1e-6)
	if !s.Open {
		share("volume", q.VolumeMM3, s.VolumeMM3, 1e-6)
	}
	b := q.Bounds
	if off := max(math.Abs(b.Min.X-s.Min.X), math.Abs(b.Min.Y-s.Min.Y), math.Abs(b.Min.Z-s.Min.Z),
		math.Abs(b.Max.X-s.Max.X), math.Abs(b.Max.Y-s.Max.Y), math.Abs(b.Max.Z-s.Max.Z)); off > q.BoundsErrorMM {
		t.Errorf("%s: bounds off by %g, error stated %g: %v for %v %v", s.Path, off, q.BoundsErrorMM, b, s.Min, s.Max)
	}
}

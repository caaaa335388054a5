package brep

import (
	"sort"
	"strings"
	"testing"

	"pocketgauge/mesh/geom"
	"pocketgauge/testdata/stepmake/solids"
)

// edgeBox is the box of what the edges of a body pass through: within its bounds, and equal to
// them for a body whose faces bulge nowhere beyond their edges.
func edgeBox(b *Body, m geom.Motion) geom.Box {
	box := geom.EmptyBox()
	for _, s := range b.Shells {
		for _, f := range s.Faces {
			for k := range f.Loops {
				if v := f.Loops[k].Vertex; v != nil {
					box = box.AddPoint(m.Point(v.Point))
				}
				for u := range f.Loops[k].Uses {
					for j := range usePieces + 1 {
						box = box.AddPoint(m.Point(f.Loops[k].Uses[u].at(float64(j) / usePieces)))
					}
				}
			}
		}
	}
	if b.Facets != nil {
		for _, p := range b.Facets.Vertices {
			box = box.AddPoint(m.Point(p))
		}
	}
	return box
}

// Every way of saying a solid that the generator knows: the occurrences have the paths they
// should, the bodies are sound, and every edge lies within the solid's known bounds.
func TestGeneratedSolids(t *testing.T) {
	for _, c := range solids.Cases() {
		m, err := read(c.Text)
		if c.Err != "" {
			if err == nil || !strings.Contains(err.Error(), c.Err) {
				t.Errorf("%s: error %v, want one with %q", c.Name, err, c.Err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		var got, want []string
		for _, o := range m.Occurrences {
			got = append(got, o.Path)
		}
		for _, s := range c.Solids {
			want = append(want, s.Path)
		}
		sort.Strings(got)
		sort.Strings(want)
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%s: occurrences %q, want %q", c.Name, got, want)
			continue
		}
		for _, b := range m.Bodies {
			complaints, worst := soundness(b)
			if strings.HasSuffix(c.Name, "_unsewn") {
				// Its edges are pairs of instances; package tessellate sews them.
				if len(complaints) == 0 {
					t.Errorf("%s: no edge without its like", c.Name)
				}
				complaints = nil
			}
			for _, s := range complaints {
				t.Errorf("%s (%s): body #%d: %s", c.Name, c.Note, b.ID, s)
			}
			if worst > 1e-6 && worst > b.UncertaintyMM {
				t.Errorf("%s (%s): body #%d: an edge lies %g mm off a face", c.Name, c.Note, b.ID, worst)
			}
		}
		for _, n := range m.Notes {
			t.Errorf("%s (%s): note %s: %s", c.Name, c.Note, n.Place, n.Says)
		}
		// Occurrences of one path are told apart by where they are.
		for _, s := range c.Solids {
			found := false
			for _, o := range m.Occurrences {
				b := m.Bodies[o.Body]
				box, around := edgeBox(b, o.Motion), geom.Box{Min: s.Min, Max: s.Max}.Expand(1e-5+b.UncertaintyMM)
				found = found || o.Path == s.Path && (box.IsEmpty() || around.Contains(box.Min) && around.Contains(box.Max))
			}
			if !found {
				t.Errorf("%s: no occurrence of %s within %v and %v", c.Name, s.Path, s.Min, s.Max)
			}
		}
	}
}

package revision_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/checkstest"
	"pocketgauge/checks/revision"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/tol"
)

func box(x0, y0, z0, x1, y1, z1 float64) geom.Box {
	return geom.Box{Min: r3.Vector{X: x0, Y: y0, Z: z0}, Max: r3.Vector{X: x1, Y: y1, Z: z1}}
}

var (
	block  = box(-49.98, -29.98, 0, 49.98, 29.98, 40.03)
	tells  = box(30, 10, 30, 45, 20, 50)
	pocket = box(-20, -15, 30.03, 10, 5, 50)
	small  = box(-40, 10, 38.03, -30, 20, 50)
)

func insert(t *testing.T, m *mesh.Mesh, findings ...checks.Finding) revision.Insert {
	t.Helper()
	f := checkstest.Bench(t, "blank: {height: 41}\n")
	s, err := checks.NewSubject(f, &mesh.Part{Mesh: m, Audit: mesh.NewAudit(m), Faces: []mesh.Face{{}}, Roundoff: tol.RoundoffDouble})
	if err != nil {
		t.Fatal(err)
	}
	return revision.Insert{File: "x.stl", Subject: s, Findings: findings}
}

func pocketed(pockets ...geom.Box) *mesh.Mesh {
	return meshtest.BlockWithPockets(block, pockets...).Mesh
}

func between(t *testing.T, old, revised revision.Insert) *revision.Revision {
	t.Helper()
	r, err := revision.Between(old, revised)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// V1 and V2: pockets cut and filled in, with volumes in closed form, and what each means for the steel. A
// filled pocket of 2 mm and 200 mm3 can be welded; one of 10 mm cannot.
func TestMetalRemovedAndAdded(t *testing.T) {
	const large, little = 30 * 20 * 10, 10 * 10 * 2
	for _, c := range []struct {
		name           string
		old, revised   []geom.Box
		removed, added float64
		advice         revision.Advice
	}{
		{"the same", []geom.Box{tells}, []geom.Box{tells}, 0, 0, revision.Nothing},
		{"cut", []geom.Box{tells}, []geom.Box{tells, pocket}, large, 0, revision.Cut},
		{"filled a little", []geom.Box{tells, small}, []geom.Box{tells}, 0, little, revision.Weld},
		{"filled", []geom.Box{tells, pocket}, []geom.Box{tells}, 0, large, revision.NewInsert},
		{"cut and filled", []geom.Box{tells, small}, []geom.Box{tells, pocket}, large, little, revision.Weld},
	} {
		r := between(t, insert(t, pocketed(c.old...)), insert(t, pocketed(c.revised...)))
		if math.Abs(r.RemoveMM3.Value-c.removed) > r.RemoveMM3.Error || math.Abs(r.AddMM3.Value-c.added) > r.AddMM3.Error {
			t.Errorf("%s: removed %v, added %v; want %g and %g", c.name, r.RemoveMM3, r.AddMM3, c.removed, c.added)
		}
		if r.Advice != c.advice || r.Moved || !strings.HasSuffix(r.Because(), ".") {
			t.Errorf("%s: %s (moved: %v), want %s", c.name, r.Advice, r.Moved, c.advice)
		}
		if (len(r.Removed) > 0) != (c.removed > 0) || (len(r.Added) > 0) != (c.added > 0) || (r.Takeoff != nil) != (c.removed > 0) {
			t.Errorf("%s: %d regions to remove, %d to add, takeoff %v", c.name, len(r.Removed), len(r.Added), r.Takeoff != nil)
		}
		if r.Takeoff == nil {
			continue
		}
		// What is cut of the old one is the revision's stock, and adds up.
		sum := r.Takeoff.FacedMM3.Value + r.Takeoff.BurnMM3.Value + r.Takeoff.LeftMM3.Value
		for _, u := range r.Takeoff.SetUps {
			if u.Name != "top" {
				t.Errorf("%s: cut from the %s", c.name, u.Name)
			}
			for _, cut := range u.Cuts {
				sum += cut.RemovedMM3.Value
			}
		}
		if math.Abs(sum-r.Takeoff.RemoveMM3.Value) > 1.0/4096 || math.Abs(sum-c.removed) > r.Takeoff.RemoveMM3.Error+0.001 {
			t.Errorf("%s: the takeoff's parts come to %g of %v", c.name, sum, r.Takeoff.RemoveMM3)
		}
		for _, a := range r.Takeoff.Finish {
			want := map[string]float64{"floor": 30 * 20, "wall": 2 * (30 + 20) * 10}[a.Kind]
			if a.Kind == "floor" && len(r.Added) > 0 {
				want += 10 * 10 // where the other pocket was filled
			}
			if math.Abs(a.AreaMM2.Value-want) > a.AreaMM2.Error+0.001 || a.AreaMM2.Error > 0.5*want {
				t.Errorf("%s: %v mm2 of new %s, want %g", c.name, a.AreaMM2, a.Kind, want)
			}
		}
	}
}

// V3: turned over and moved, the same revision comes out, with the motion in words.
func TestPlaceIsNoChangeOfMetal(t *testing.T) {
	m := geom.Translate(r3.Vector{X: 20, Y: -5}).After(geom.Rotate(r3.Vector{Z: 1}, math.Pi))
	r := between(t, insert(t, pocketed(tells).Moved(m)), insert(t, pocketed(tells, pocket)))
	if !r.Moved || !strings.Contains(r.Says, "half round about z") || !strings.Contains(r.Says, "20.000 mm along x") {
		t.Errorf("moved: %v, %q", r.Moved, r.Says)
	}
	if math.Abs(r.RemoveMM3.Value-6000) > r.RemoveMM3.Error+0.1 || r.Advice != revision.Cut || len(r.Removed) != 1 {
		t.Errorf("%v in %d regions, %s", r.RemoveMM3, len(r.Removed), r.Advice)
	}
	// Control: a skin thicker than the noise all over one side is a change, not a place.
	wide := block
	wide.Max.X += 0.02
	r = between(t, insert(t, pocketed(tells)), insert(t, meshtest.BlockWithPockets(wide, tells).Mesh))
	if r.Moved || r.Advice == revision.Nothing || r.Advice == revision.Cut {
		t.Errorf("a side 0.02 mm further out: %s, moved %v", r.Advice, r.Moved)
	}
}

func TestVerdictsThatChange(t *testing.T) {
	check := checks.Catalogue[0]
	finding := func(of string, v checks.Verdict) checks.Finding {
		var f checks.Finding
		f.Check, f.Of, f.Verdict = check, of, v
		return f
	}
	old := insert(t, pocketed(tells), finding("a", checks.Pass), finding("b", checks.Fail), finding("c", checks.Pass), finding("d", checks.Fail))
	revised := insert(t, pocketed(tells), finding("a", checks.Pass), finding("a", checks.Fail), finding("b", checks.Pass), finding("e", checks.Pass))
	r := between(t, old, revised)
	want := []revision.Verdict{
		{Check: check.ID, Of: "a", Old: "pass", New: "fail"}, {Check: check.ID, Of: "b", Old: "fail", New: "pass"}, {Check: check.ID, Of: "d", Old: "fail", New: "not asked"},
	}
	if len(r.Verdicts) != len(want) {
		t.Fatalf("%v", r.Verdicts)
	}
	for i := range want {
		if r.Verdicts[i] != want[i] {
			t.Errorf("%+v, want %+v", r.Verdicts[i], want[i])
		}
	}
	if !r.Worse() {
		t.Error("a pass that fails now is not worse")
	}
	if r := between(t, revised, old); !r.Worse() { // b fails again
		t.Error("the other way round is not worse")
	}
}

func TestOpenSolidsAreNotCompared(t *testing.T) {
	open := meshtest.Box(block.Min, block.Max).Without(2)
	if _, err := revision.Between(insert(t, open), insert(t, pocketed(tells))); err == nil || !strings.Contains(err.Error(), "not a closed solid") {
		t.Errorf("%v", err)
	}
}

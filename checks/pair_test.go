package checks_test

import (
	"errors"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

// closed is the fixed half of a pair and its moving half, each in its own pocket.
func closed(t *testing.T, more string, fixed, moving *mesh.Mesh) *checks.Subject {
	t.Helper()
	half := func(m *mesh.Mesh, of rules.Half) *checks.Subject {
		s, err := checks.NewSubject(frame(t, more), exact(m))
		if err != nil {
			t.Fatal(err)
		}
		s.Half, s.Name = of, string(of)+" half"
		return s
	}
	a, b := half(fixed, rules.Fixed), half(moving, rules.Moving)
	a.Partner, b.Partner = b, a
	return a
}

// of are the findings of one check on s.
func of(t *testing.T, s *checks.Subject, id string) []checks.Finding {
	t.Helper()
	c := checks.ByID(id)
	if c == nil {
		t.Fatalf("no check %s", id)
	}
	var list []checks.Finding
	for _, r := range c.Measure(s) {
		list = append(list, checks.Finding{Check: c, Reading: r, Judged: checks.Judge(r)})
	}
	return list
}

// want holds the one finding of a check, or that of the name given, against what it must be.
func want(t *testing.T, what string, list []checks.Finding, name string, verdict checks.Verdict, value, within float64) {
	t.Helper()
	for _, f := range list {
		if f.Of != name {
			continue
		}
		if f.Verdict != verdict {
			t.Errorf("%s: %s [%s] is %v (%g, within %g): %s%s", what, f.Check.ID, f.Of, f.Verdict, f.Value, f.Uncertainty, f.Says, f.Why)
		}
		meshtest.WantNear(t, what+": "+f.Check.ID, f.Value, value, within)
		if f.Says == "" {
			t.Errorf("%s: %s says nothing", what, f.Check.ID)
		}
		return
	}
	t.Errorf("%s: no finding [%s] among %d", what, name, len(list))
}

func wantNone(t *testing.T, what string, list []checks.Finding) {
	t.Helper()
	for _, f := range list {
		t.Errorf("%s: %s [%s] speaks up: %v, %s%s", what, f.Check.ID, f.Of, f.Verdict, f.Says, f.Why)
	}
}

const nominalTop = 40.03 // of nominal

// cored is the block with a core standing on its parting face.
func cored(core geom.Box) *mesh.Mesh {
	x := []float64{nominal.Min.X, core.Min.X, core.Max.X, nominal.Max.X}
	y := []float64{nominal.Min.Y, core.Min.Y, core.Max.Y, nominal.Max.Y}
	return meshtest.Grid(x, y, []float64{0, nominalTop, core.Max.Z}, func(i, j, k int) bool { return k == 0 || i == 1 && j == 1 }).Mesh
}

func pocketed(pockets ...geom.Box) *mesh.Mesh {
	return meshtest.BlockWithPockets(nominal, pockets...).Mesh
}

func plain() *mesh.Mesh { return meshtest.Box(nominal.Min, nominal.Max).Mesh }

func TestPairIsJudgedOnceAndOnlyWhereBothHalvesAreKnown(t *testing.T) {
	s := closed(t, "", pocketed(detail), plain())
	for _, c := range checks.Catalogue {
		if !strings.HasPrefix(c.ID, "pair.") {
			continue
		}
		wantNone(t, "moving half", of(t, s.Partner, c.ID))
		if lone, err := checks.NewSubject(s.Frame, s.Part); err == nil {
			lone.Half = rules.Fixed
			wantNone(t, "half on its own", of(t, lone, c.ID))
			lone.PartnerError = errors.New("b.stl: the file is not there")
			list := of(t, lone, c.ID)
			if c.ID != "pair.clash" {
				wantNone(t, "other half unreadable", list)
			} else if len(list) != 1 || list[0].Verdict != checks.NotJudged || !strings.Contains(list[0].Why, "b.stl") {
				t.Errorf("other half unreadable: %+v", list)
			}
		}
	}
	s.Partner.Half = rules.Fixed
	if list := of(t, s, "pair.clash"); len(list) != 1 || list[0].Verdict != checks.NotJudged || !strings.Contains(list[0].Why, "moving") {
		t.Errorf("two fixed halves: %+v", list)
	}
	open := closed(t, "", pocketed(detail), meshtest.Box(nominal.Min, nominal.Max).Without(0))
	if list := of(t, open, "pair.clash"); len(list) != 1 || list[0].Verdict != checks.NotJudged || !strings.Contains(list[0].Why, "closed solid") {
		t.Errorf("other half open: %+v", list)
	}
}

// Two cavities 25 x 20 and 5 deep, fed by a runner from a sprue in the middle.
func twoCavities(rightDepth, sprueX float64, runner bool) *mesh.Mesh {
	list := []geom.Box{box(-40, -10, nominalTop-5, -15, 10, 50), box(15, -10, nominalTop-rightDepth, 40, 10, 50), box(sprueX-1.5, -1.5, -10, sprueX+1.5, 1.5, 50)}
	list = append(list, box(-15, -2, nominalTop-3, sprueX+2, 2, 50))
	if runner {
		list = append(list, box(sprueX, -2, nominalTop-3, 15, 2, 50))
	}
	return pocketed(list...)
}

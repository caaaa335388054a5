package tessellate

import (
	"bytes"
	"strings"
	"testing"

	"github.com/golang/geo/s1"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/tol"
)

func sewn(t *testing.T, m *brep.Model) (mesh.Part, string) {
	t.Helper()
	parts, notes, err := Model(m, Options{Angle: s1.Angle(tol.DeflectionAngle)})
	if err != nil {
		t.Fatal(err)
	}
	said := ""
	for _, n := range notes {
		said += n.Place + " " + n.Says + "; "
	}
	return parts[0], said
}

// Edges of their own are sewn where that closes the shell, and the note says how many.
func TestUnsewnBoxCloses(t *testing.T) {
	text := caseText(t, "box_unsewn")
	p, said := sewn(t, brepOf(t, text))
	if !p.Audit.Closed() || len(p.Mesh.Vertices) != 8 || !strings.Contains(said, "12 pairs") {
		t.Errorf("closed is %v, %d vertices, %s", p.Audit.Closed(), len(p.Mesh.Vertices), said)
	}
	// The file's own model stays as it was: it may be divided again.
	m := brepOf(t, text)
	sewn(t, m)
	if p, _ := sewn(t, m); !p.Audit.Closed() {
		t.Error("open the second time")
	}
}

// Where one face is missing, or the edges lie farther apart than the file's uncertainty, nothing is
// sewn: 24 edges stay open, or 20.
func TestNothingIsSewnThatStaysOpen(t *testing.T) {
	text := caseText(t, "box_unsewn")
	i := bytes.Index(text, []byte("CLOSED_SHELL('',("))
	j := i + bytes.IndexByte(text[i:], ',') + 2
	k := j + bytes.IndexByte(text[j:], ',') + 1
	missing := append(append([]byte(nil), text[:j]...), text[k:]...)
	p, said := sewn(t, brepOf(t, missing))
	if p.Audit.OpenEdges != 20 || strings.Contains(said, "sewn") {
		t.Errorf("one face missing: %d open edges, %s", p.Audit.OpenEdges, said)
	}
	exact := bytes.Replace(text, []byte("LENGTH_MEASURE(1.E-05)"), []byte("LENGTH_MEASURE(1.E-06)"), 1)
	if bytes.Equal(exact, text) {
		t.Fatal("the uncertainty is not where it was")
	}
	p, said = sewn(t, brepOf(t, exact))
	if p.Audit.OpenEdges != 24 || strings.Contains(said, "sewn") {
		t.Errorf("too far apart: %d open edges, %s", p.Audit.OpenEdges, said)
	}
}

package tessellate

import (
	"bytes"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/golang/geo/s1"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/tol"
	"pocketgauge/testdata/stepmake/solids"
)

func caseText(tb testing.TB, name string) []byte {
	tb.Helper()
	for _, c := range solids.Cases() {
		if c.Name == name {
			return c.Text
		}
	}
	tb.Fatalf("no solid %s", name)
	return nil
}

func brepOf(tb testing.TB, text []byte) *brep.Model {
	tb.Helper()
	f, err := part21.Parse(text, part21.Limits{Keywords: brep.Keywords()})
	if err != nil {
		tb.Fatal(err)
	}
	m, err := brep.Read(f)
	if err != nil {
		tb.Fatal(err)
	}
	return m
}

// A sphere and a torus with less and less work: what is left coarse says so by name, closes, and
// stands off the formula by no more than it states.
func TestTooLittleWorkIsStated(t *testing.T) {
	distances := map[string]func(x, y, z float64) float64{
		"sphere_halves": func(x, y, z float64) float64 { return math.Abs(math.Hypot(math.Hypot(x, y), z) - 7) },
		"torus_seams":   func(x, y, z float64) float64 { return math.Abs(math.Hypot(math.Hypot(x, y)-9, z) - 2.5) },
	}
	for name, distance := range distances {
		before := 0
		for _, work := range []int64{1 << 23, 1 << 17, 1 << 15, 1 << 13, 1 << 10, 1} {
			opt := Options{ChordMM: 0.002, Angle: s1.Angle(tol.DeflectionAngle)}
			parts, notes, err := models(brepOf(t, caseText(t, name)), opt, &budget{work})
			if err != nil {
				t.Fatal(err)
			}
			p := &parts[0]
			worst := 0.0
			for i := range p.Mesh.Triangles {
				a, b, c := p.Mesh.Corners(i)
				for _, q := range [...][3]float64{{1, 1, 1}, {1, 1, 0}, {0, 1, 1}, {1, 0, 1}, {2, 1, 1}, {1, 2, 1}, {1, 1, 2}} {
					v := a.Mul(q[0]).Add(b.Mul(q[1])).Add(c.Mul(q[2])).Mul(1 / (q[0] + q[1] + q[2]))
					worst = max(worst, distance(v.X, v.Y, v.Z))
				}
			}
			if worst > p.ChordMM {
				t.Errorf("%s with %d units: %g off, stated %g", name, work, worst, p.ChordMM)
			}
			if !p.Audit.Closed() {
				t.Errorf("%s with %d units is open", name, work)
			}
			said := false
			for _, n := range notes {
				said = said || strings.HasPrefix(n.Place, "#") && strings.Contains(n.Says, "work") || strings.Contains(n.Says, "points")
			}
			// The control: enough work is not remarked on, and makes more triangles.
			enough := work == 1<<23
			if said == enough || !enough && len(p.Mesh.Triangles) >= before {
				t.Errorf("%s with %d units: %d triangles after %d, notes %v", name, work, len(p.Mesh.Triangles), before, notes)
			}
			if enough || work > 1<<13 {
				before = len(p.Mesh.Triangles)
			}
		}
	}
}

// crowd is a file of one closed shell in n bodies.
func crowd(t *testing.T, name string, n int) []byte {
	t.Helper()
	text := caseText(t, name)
	i := bytes.Index(text, []byte("=MANIFOLD_SOLID_BREP("))
	if i < 0 {
		t.Fatalf("%s has no solid", name)
	}
	start := bytes.LastIndexByte(text[:i], '#')
	first := string(text[start:i])
	entity := string(text[i : i+bytes.IndexByte(text[i:], ';')+1])
	var more, names strings.Builder
	for k := range n {
		fmt.Fprintf(&more, "#%d%s\n", 1_000_000+k, entity)
		fmt.Fprintf(&names, ",#%d", 1_000_000+k)
	}
	s := string(text)
	s = strings.Replace(s, "("+first+",", "("+first+names.String()+",", 1)
	return []byte(strings.Replace(s, "ENDSEC;\nEND-ISO", more.String()+"ENDSEC;\nEND-ISO", 1))
}

// A shell that many bodies name is divided for each, and all together take no more than the file
// may: what is over in the end is what the least of each body takes.
func TestWorkOfManyBodiesIsBounded(t *testing.T) {
	text := crowd(t, "torus_seams", 99)
	m := brepOf(t, text)
	if len(m.Bodies) != 100 {
		t.Fatalf("%d bodies", len(m.Bodies))
	}
	opt := Options{ChordMM: 0.0005, Angle: s1.Angle(tol.DeflectionAngle)}
	all := newBudget(len(text), tol.ChordMM)
	had := all.left
	_, notes, err := models(m, opt, all)
	if err != nil {
		t.Fatal(err)
	}
	if all.left < -had/4 {
		t.Errorf("%d units over %d", -all.left, had)
	}
	if len(notes) == 0 {
		t.Error("no note")
	}
	// The control: one of them takes a share of it that is worth bounding.
	one := newBudget(len(text), tol.ChordMM)
	m.Occurrences = m.Occurrences[:1]
	opt.ChordMM = 0.002
	if _, notes, _ := models(m, opt, one); len(notes) != 0 || (had-one.left)*100 < had {
		t.Errorf("one body takes %d of %d units, notes %v", had-one.left, had, notes)
	}
}

// Where work runs out is the same at any number of cores.
func TestTooLittleWorkIsTheSameAtAnyNumberOfCores(t *testing.T) {
	run := func(cores int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		m := brepOf(t, caseText(t, "tube_window"))
		parts, notes, err := models(m, Options{ChordMM: 0.0005, Angle: s1.Angle(tol.DeflectionAngle)}, &budget{40_000})
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(parts[0].Mesh.Vertices, parts[0].Mesh.Triangles, parts[0].ChordMM, *parts[0].Exact, notes)
	}
	one, two := run(1), run(2)
	if one != two {
		t.Error("one core and two differ")
	}
	if !strings.Contains(one, "work") {
		t.Error("there was work enough")
	}
}

// One body in so many places that its copies would fill the memory is an error in words.
func TestTooManyCopies(t *testing.T) {
	m := brepOf(t, caseText(t, "torus_seams"))
	o := m.Occurrences[0]
	o.Motion.Translation.X++
	for len(m.Occurrences) < 1<<12 {
		m.Occurrences = append(m.Occurrences, o)
	}
	_, _, err := Model(m, Options{ChordMM: 0.002})
	if err == nil || !strings.Contains(err.Error(), "places its bodies") {
		t.Errorf("error %v", err)
	}
	m.Occurrences = m.Occurrences[:3]
	var parts []mesh.Part
	if parts, _, err = Model(m, Options{ChordMM: 0.002}); err != nil || len(parts) != 3 {
		t.Errorf("%d parts, error %v", len(parts), err)
	}
}

// The shortest file has work enough for what real ones of its length hold: a whole sphere of 0.3 m
// at the default chord, which is one of 14 mm at a 21st of it.
func TestWorkOfALargeSphere(t *testing.T) {
	text := caseText(t, "sphere_halves")
	work := newBudget(0, tol.ChordMM)
	parts, notes, err := models(brepOf(t, text), Options{ChordMM: tol.ChordMM * 7 / 150, Angle: s1.Angle(tol.DeflectionAngle)}, work)
	if err != nil || len(notes) != 0 {
		t.Fatal(err, notes)
	}
	// Equilateral triangles of side a stand off by a^2/(6 R).
	r, c := 150.0, tol.ChordMM
	want := 4 * math.Pi * r * r / (math.Sqrt(3) / 4 * 6 * r * c)
	if n := float64(len(parts[0].Mesh.Triangles)); n < want || n > 2*want {
		t.Errorf("%v triangles, %v at least", n, want)
	}
	t.Logf("%d of %d units left", work.left, int64(workFloor))
}

package load_test

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/tol"
)

// corpusVariable names the folder that holds stl-facts.jsonl and the files that it speaks of.
const corpusVariable = "POCKETGAUGE_CORPUS"

// stlFacts is what is known of one STL file: counted and summed by another program over the
// facets as they stand in the file, vertices the same where their coordinates are.
type stlFacts struct {
	File       string     `json:"file"`
	Encoding   string     `json:"encoding"`
	Facets     int        `json:"facets"`
	Vertices   int        `json:"vertices"`
	Degenerate int        `json:"degenerate"`
	Volume     float64    `json:"signed_volume"`
	Area       float64    `json:"area"`
	Bounds     [6]float64 `json:"bbox"`
	Open       int        `json:"open_edges"`
	Crowded    int        `json:"nonmanifold_edges"`
}

func readFacts(t *testing.T, file string) []stlFacts {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var list []stlFacts
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		var one stlFacts
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		list = append(list, one)
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	return list
}

// holdAgainst compares what is read of a file with its facts. Where vertices were welded beyond
// the exact, counts of vertices and open edges are the better for it and only bounded.
func holdAgainst(t testing.TB, name string, model *mesh.Model, want stlFacts) {
	t.Helper()
	p := &model.Parts[0]
	a := p.Audit
	welded, dropped := false, 0
	for _, n := range model.Notes {
		welded = welded || strings.Contains(n.Says, "join") || strings.Contains(n.Says, "weld")
	}
	dropped = want.Facets - len(p.Mesh.Triangles)
	encoding := map[string]string{"STL binary": "binary", "STL text": "ascii"}[model.Format]
	if encoding != want.Encoding {
		t.Errorf("%s: read as %s, is %s", name, model.Format, want.Encoding)
	}
	if welded {
		if len(p.Mesh.Vertices) >= want.Vertices || a.OpenEdges > want.Open {
			t.Errorf("%s: welding left %d vertices of %d and %d open edges of %d", name, len(p.Mesh.Vertices), want.Vertices, a.OpenEdges, want.Open)
		}
	} else if len(p.Mesh.Vertices) != want.Vertices || a.OpenEdges != want.Open || a.NonManifoldEdges != want.Crowded || dropped != want.Degenerate {
		t.Errorf("%s: %d vertices, %d open edges, %d edges of more than two facets, %d facets dropped; want %d, %d, %d, %d", name,
			len(p.Mesh.Vertices), a.OpenEdges, a.NonManifoldEdges, dropped, want.Vertices, want.Open, want.Crowded, want.Degenerate)
	}
	// The same stored numbers are summed by both, so that only arithmetic differs: a double's
	// roundoff times the number of terms and their size, which for a surface that is not closed
	// goes by its distance from the origin.
	got := measure.Integrals(p.Mesh, tol.RoundoffDouble, 0)
	reach := got.Bounds.MaxAbs()
	slack := float64(want.Facets+100) * 0x1p-53 * (1 + reach) * want.Area
	if want.Encoding == "ascii" {
		// The table sums the decimals as written; here they are rounded to binary32 first.
		stored := measure.Integrals(p.Mesh, tol.RoundoffSTL, 0)
		slack = stored.AreaErrorMM2 + stored.VolumeErrorMM3
	}
	if welded {
		slack = tol.WeldMM * want.Area
	}
	if want.Open == 0 && a.Closed() {
		meshtest.WantNear(t, name+": volume", got.VolumeMM3, want.Volume, slack)
		// Control: a thousandth more volume is told apart.
		if math.Abs(want.Volume)/1000 < slack {
			t.Logf("%s: a volume of %g cannot be told to a thousandth", name, want.Volume)
		}
	}
	meshtest.WantNear(t, name+": area", got.AreaMM2, want.Area, slack)
	b := want.Bounds
	far := tol.RoundoffSTL * reach // text coordinates are rounded to the STL's own precision on reading
	meshtest.WantNearVector(t, name+": least corner", got.Bounds.Min, r3.Vector{X: b[0], Y: b[1], Z: b[2]}, 2*far)
	meshtest.WantNearVector(t, name+": greatest corner", got.Bounds.Max, r3.Vector{X: b[3], Y: b[4], Z: b[5]}, 2*far)
}

func TestSTLCorpusAgreesWithItsFacts(t *testing.T) {
	folder := os.Getenv(corpusVariable)
	if folder == "" {
		t.Skipf("%s is not set: name a folder with stl-facts.jsonl and its files to run this", corpusVariable)
	}
	facts := readFacts(t, filepath.Join(folder, "stl-facts.jsonl"))
	if len(facts) == 0 {
		t.Fatal("the table of facts is empty")
	}
	for _, want := range facts {
		model, _, err := load.File(filepath.Join(folder, filepath.FromSlash(want.File)), load.Options{})
		switch {
		case want.Facets == 0 && err == nil:
			// The table was made by a reader of small letters alone; a file in which it
			// found none may hold capitals, and they are then counted here by their words.
			if n := facetsByWord(t, filepath.Join(folder, filepath.FromSlash(want.File))); n != len(model.Parts[0].Mesh.Triangles) {
				t.Errorf("%s: %d triangles read, the word endfacet stands there %d times", want.File, len(model.Parts[0].Mesh.Triangles), n)
			}
		case want.Facets == 0:
			t.Logf("%s: %v", want.File, err)
		case err != nil:
			t.Errorf("%s: %v", want.File, err)
		default:
			holdAgainst(t, want.File, model, want)
		}
	}
}

func facetsByWord(t *testing.T, file string) int {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Count(strings.ToLower(string(data)), "endfacet")
}

// stlMakers draw the files of testdata/stl-facts.jsonl, whose numbers follow from the shapes by
// hand: a folder of models is not kept for what a formula says.
var stlMakers = map[string]func() []byte{
	"cube-20-binary": func() []byte { return meshtest.BinarySTL("cube", cube20().Mesh) },
	"cube-20-text":   func() []byte { return textSTL(cube20().Mesh) },
	"cube-20-open":   func() []byte { return meshtest.BinarySTL("open cube", cube20().Without(3)) },
	"two-cubes-edge": func() []byte {
		s := []float64{0, 1, 2}
		return meshtest.BinarySTL("edge", meshtest.Grid(s, s, []float64{0, 1}, func(i, j, k int) bool { return i == j }).Mesh)
	},
	"cube-20-inside-out": func() []byte { return meshtest.BinarySTL("inside out", cube20().InsideOut().Mesh) },
	"cube-20-needle": func() []byte {
		// One facet more that names a corner twice has no area.
		m := *cube20().Mesh
		m.Triangles = append(slices.Clone(m.Triangles), [3]int32{0, 1, 1})
		return meshtest.BinarySTL("needle", &m)
	},
}

func cube20() *meshtest.Solid {
	return meshtest.Box(r3.Vector{X: -10, Y: -10}, r3.Vector{X: 10, Y: 10, Z: 20})
}

func TestSelfMadeSTLAgreesWithItsFacts(t *testing.T) {
	facts := readFacts(t, filepath.Join("testdata", "stl-facts.jsonl"))
	if len(facts) != len(stlMakers) {
		t.Errorf("%d facts for %d files", len(facts), len(stlMakers))
	}
	for _, want := range facts {
		draw := stlMakers[want.File]
		if draw == nil {
			t.Errorf("nothing draws %s", want.File)
			continue
		}
		model, err := load.Bytes(want.File, draw(), load.Options{})
		if err != nil {
			t.Errorf("%s: %v", want.File, err)
			continue
		}
		holdAgainst(t, want.File, model, want)
		// Control: the facts of another file must not fit.
		var silent failures
		wrong := want
		wrong.Open++
		wrong.Area *= 1.0001
		holdAgainst(&silent, want.File, model, wrong)
		if silent.n < 2 {
			t.Errorf("%s: wrong facts raise %d faults, want 2", want.File, silent.n)
		}
	}
}

// failures counts what a test would have failed on.
type failures struct {
	testing.TB
	n int
}

func (f *failures) Helper()               {}
func (f *failures) Errorf(string, ...any) { f.n++ }
func (f *failures) Logf(string, ...any)   {}

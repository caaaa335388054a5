package brep

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"pocketgauge/mesh/step/part21"
)

func read(text []byte) (*Model, error) {
	text, err := part21.Unpack(text)
	if err != nil {
		return nil, err
	}
	f, err := part21.Parse(text, part21.Limits{Keywords: Keywords()})
	if err != nil {
		return nil, err
	}
	return Read(f)
}

// counts are the solids and faces of a model, each as often as it is placed.
func counts(m *Model) (solids, faces, misread int) {
	for _, o := range m.Occurrences {
		b := m.Bodies[o.Body]
		if !b.Sheet {
			solids++
		}
		for _, s := range b.Shells {
			faces += len(s.Faces)
			for _, f := range s.Faces {
				if f.Err != "" {
					misread++
				}
			}
		}
	}
	return solids, faces, misread
}

// facesToldDifferently are the files of which the reference counts other faces than stand in
// the file, because it divides some on reading.
var facesToldDifferently = map[string]int{
	"Package_SO.3dshapes/SSO-4_6.7x5.1mm_P2.54mm_Clearance8mm.step": 96, // the file's ADVANCED_FACE instances
}

// Surfaces that programs have written, rather than ones made up for a test: points of each come
// back to where they were, with a hint and without.
func TestCorpusInversion(t *testing.T) {
	folder := os.Getenv("POCKETGAUGE_CORPUS")
	if folder == "" {
		t.Skip("POCKETGAUGE_CORPUS is not set: no corpus to invert")
	}
	var names []string
	for _, pattern := range []string{"*/*.st*p", "*/*.ST*P"} {
		some, _ := filepath.Glob(filepath.Join(folder, pattern))
		names = append(names, some...)
	}
	inverted := 0
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		m, err := read(text)
		if err != nil {
			continue
		}
		for _, b := range m.Bodies {
			for _, s := range b.Shells {
				for _, f := range s.Faces {
					if f.Surface != nil {
						inverted += invert(t, name, f)
					}
				}
			}
		}
	}
	if inverted < 1000 {
		t.Errorf("control: only %d points were tried", inverted)
	}
	t.Logf("%d points of %d files", inverted, len(names))
}

func invert(t *testing.T, name string, f *Face) (tried int) {
	d := f.Surface.Domain()
	at := func(i r1.Interval, share float64) float64 {
		if math.IsInf(i.Lo, 0) {
			i = r1.Interval{Lo: -5, Hi: 5}
		}
		return i.Lo + share*i.Length()
	}
	for _, share := range [][2]float64{{0.07, 0.81}, {0.37, 0.22}, {0.62, 0.55}, {0.93, 0.11}} {
		u, v := at(d.X, share[0]), at(d.Y, share[1])
		p, du, dv := f.Surface.First(u, v)
		for _, hinted := range []bool{false, true} {
			hint := r2.Point{X: u + 0.01*(at(d.X, 1)-at(d.X, 0)), Y: v - 0.01*(at(d.Y, 1)-at(d.Y, 0))}
			uv, off := f.Surface.Parameters(p, hint, hinted)
			moved := math.Abs(uv.X-u)*du.Norm() + math.Abs(uv.Y-v)*dv.Norm()
			tried++
			if !(off <= 1e-6) || hinted && !(moved <= 1e-3) {
				t.Errorf("%s: #%d %T: %v, %v comes back as %v, %g off (hinted %v)", name, f.ID, f.Surface, u, v, uv, off, hinted)
			}
		}
	}
	return tried
}

// POCKETGAUGE_CORPUS names a folder with STEP files and tables of what a reference kernel finds
// in them: lines of JSON with "file", "solids", "faces", or "error".
func TestCorpus(t *testing.T) {
	folder := os.Getenv("POCKETGAUGE_CORPUS")
	if folder == "" {
		t.Skip("POCKETGAUGE_CORPUS is not set: no corpus to compare with")
	}
	for _, table := range []string{"step-oracle.jsonl", "kicad-oracle.jsonl"} {
		f, err := os.Open(filepath.Join(folder, table))
		if err != nil {
			t.Logf("%v", err)
			continue
		}
		defer f.Close()
		compared, missing := 0, 0
		for lines := bufio.NewScanner(f); lines.Scan(); {
			var want struct {
				File          string
				Solids, Faces int
				Error         string
			}
			if err := json.Unmarshal(lines.Bytes(), &want); err != nil {
				t.Fatal(err)
			}
			text, err := os.ReadFile(filepath.Join(folder, want.File))
			if err != nil {
				// The second table's files may be installed elsewhere.
				text, err = os.ReadFile(filepath.Join(os.Getenv("POCKETGAUGE_KICAD"), want.File))
			}
			if err != nil {
				missing++
				continue
			}
			compared++
			m, err := read(text)
			switch {
			case want.Error != "" && err == nil:
				t.Errorf("%s: read, where the reference finds no shape", want.File)
			case want.Error == "" && err != nil:
				t.Errorf("%s: %v", want.File, err)
			case err != nil:
				t.Logf("%s: %v", want.File, err)
			default:
				solids, faces, misread := counts(m)
				if n, ok := facesToldDifferently[want.File]; ok {
					want.Faces = n
				}
				if solids != want.Solids || faces != want.Faces || misread > 0 {
					t.Errorf("%s: %d solids %d faces (%d misread), want %d and %d", want.File, solids, faces, misread, want.Solids, want.Faces)
				}
				for _, b := range m.Bodies {
					complaints, off := soundness(b)
					for _, c := range complaints {
						t.Errorf("%s: body #%d: %s", want.File, b.ID, c)
					}
					if off > 0.01 {
						t.Logf("%s: body #%d: an edge lies %.3g mm off a face", want.File, b.ID, off)
					}
				}
				for k, n := range m.Notes {
					if k < 4 {
						t.Logf("%s: %s: %s", want.File, n.Place, n.Says)
					}
				}
			}
		}
		t.Logf("%s: %d files compared, %d not there", table, compared, missing)
	}
}

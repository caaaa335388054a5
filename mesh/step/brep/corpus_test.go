package brep

import (
	"bufio"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

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

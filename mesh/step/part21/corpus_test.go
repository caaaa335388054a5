package part21

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every STEP file under the folder POCKETGAUGE_CORPUS reads, and defines what it refers to.
func TestCorpus(t *testing.T) {
	folder := os.Getenv("POCKETGAUGE_CORPUS")
	if folder == "" {
		t.Skip("POCKETGAUGE_CORPUS names no folder of STEP files")
	}
	files, size, instances := 0, 0, 0
	err := filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		ending := strings.TrimSuffix(strings.ToLower(name), ".gz")
		if !strings.HasSuffix(ending, ".step") && !strings.HasSuffix(ending, ".stp") && !strings.HasSuffix(ending, ".stpz") {
			return nil
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		text, err := Unpack(data)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			return nil
		}
		f, err := Parse(text, Limits{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			return nil
		}
		if err := f.Check(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if len(f.Header().Schemas) == 0 {
			t.Errorf("%s names no schema", name)
		}
		files, size, instances = files+1, size+len(text), instances+f.Len()
		return nil
	})
	if err != nil || files == 0 {
		t.Fatalf("%d files, %v", files, err)
	}
	t.Logf("%d files, %d bytes, %d instances", files, size, instances)
}

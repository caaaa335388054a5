package checks_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/mesh/meshtest"
)

// A file that is whole is told so; one that was cut short is one finding with the place, and a file of another kind is too. What the
// reader makes of every cut is its own test.
func TestFileReadable(t *testing.T) {
	m := meshtest.BinarySTL("block", plain())
	folder := t.TempDir()
	judge := func(name string, data []byte) report.Insert {
		file := filepath.Join(folder, name)
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		o := batch.Judge(batch.Insert{File: file, Name: name, Frame: frame(t, "")})
		return report.NewInsert(&o)
	}
	for _, c := range []struct {
		name string
		data []byte
		says string // of its one finding; "" where it is read
	}{
		{"whole.stl", m, ""},
		// Half of the last facet of twelve is gone: 84 bytes and 11 of 50 are there whole.
		{"cut.stl", m[:len(m)-25], "byte"},
		{"empty.stl", nil, "Cannot be read"},
		{"letter.stl", []byte("Dear customer, the model follows."), "Cannot be read"},
		// Looks wrong and is right: a header that begins with the word of the text form.
		{"solid.stl", append([]byte("solid block"), m[len("solid block"):]...), ""},
	} {
		in := judge(c.name, c.data)
		if read := in.Verdict != report.VerdictUnreadable; read != (c.says == "") {
			t.Errorf("%s: %s, %+v", c.name, in.Verdict, in.Findings)
			continue
		}
		if c.says == "" {
			if len(in.Findings) < 2 || in.Findings[0].Check != "file.readable" || in.Findings[0].Verdict != "pass" {
				t.Errorf("%s: %+v", c.name, in.Findings)
			}
			continue
		}
		if len(in.Findings) != 1 || in.Findings[0].Check != "file.readable" || !strings.Contains(in.Findings[0].Says, c.says) {
			t.Errorf("%s: %+v", c.name, in.Findings)
		}
	}
}

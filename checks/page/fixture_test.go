package page_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/page"
	"pocketgauge/checks/report"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

const frameText = `frame: Bench
pocket:
  outline:
    rectangle: {width: 100, length: 60}
  depth: 40
  clearance: {least: 0.01, most: 0.04}
  proud: {least: 0.02, most: 0.05}
zones:
  - {name: clamp, must: open, shape: {box: {min: [-52, -9, 11], max: [-45.5, 9, 19]}}}
steel: {wall: {any: 2.5}}
draw: {draft: {least: 1 deg, zero_draft_area: 10000 mm2}}
blank: {height: 41}
`

// hostile is what a name may hold and must stay text.
const hostile = `<script>document.title='taken'</script><img src=x onerror="document.title='taken'">&"'`

func box(x0, y0, z0, x1, y1, z1 float64) geom.Box {
	return geom.Box{Min: r3.Vector{X: x0, Y: y0, Z: z0}, Max: r3.Vector{X: x1, Y: y1, Z: z1}}
}

// judged is a run of three models: one that passes, one with its clamp slot missing and a thin wall
// beside its cavity, and one that cannot be read.
func judged(t testing.TB) (*report.Judged, []page.Section) {
	t.Helper()
	dir := t.TempDir()
	put := func(name string, data []byte) string {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	frame, err := rules.Load(put("bench.yaml", []byte(frameText)))
	if err != nil {
		t.Fatal(err)
	}
	nominal, slot := box(-49.98, -29.98, 0, 49.98, 29.98, 40.03), box(-60, -10, 10, -45, 10, 20)
	cavity, near := box(-20, -12, 25, 30, 10, 50), box(-20, 12, 25, 30, 20, 50)
	files := []struct {
		name, file string
		data       []byte
	}{
		{"Sound", "sound.stl", meshtest.BinarySTL("block", meshtest.BlockWithPockets(nominal, slot, cavity).Mesh)},
		{"Spoilt " + hostile, "spoilt.stl", meshtest.BinarySTL("block", meshtest.BlockWithPockets(nominal, cavity, near).Mesh)},
		{"Torn", "torn.stl", bytes.Repeat([]byte("solid\n"), 3)},
	}
	run := &report.Judged{Tool: "pocketgauge test", Rules: []report.Source{{File: "bench.yaml", SHA256: frame.Digest()}}}
	var sections []page.Section
	for _, f := range files {
		in := batch.Insert{File: put(f.file, f.data), Name: f.name, Frame: frame, Half: rules.Fixed}
		o := batch.Judge(in)
		one := report.NewInsert(&o)
		section := page.Of(in, one, page.For(len(files)))
		section.Insert.File = f.file // the folder differs from run to run
		run.Inserts = append(run.Inserts, section.Insert)
		sections = append(sections, section)
	}
	return run, sections
}

// spoilt is one insert with a wall too thin and its clamp slot missing.
func spoilt(t testing.TB) (batch.Insert, report.Insert) {
	t.Helper()
	dir := t.TempDir()
	rulesFile, model := filepath.Join(dir, "bench.yaml"), filepath.Join(dir, "spoilt.stl")
	block := meshtest.BlockWithPockets(box(-49.98, -29.98, 0, 49.98, 29.98, 40.03), box(-20, -12, 25, 30, 10, 50), box(-20, 12, 25, 30, 20, 50))
	for file, data := range map[string][]byte{rulesFile: []byte(frameText), model: meshtest.BinarySTL("block", block.Mesh)} {
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	frame, err := rules.Load(rulesFile)
	if err != nil {
		t.Fatal(err)
	}
	in := batch.Insert{File: model, Name: "Spoilt", Frame: frame, Half: rules.Fixed}
	o := batch.Judge(in)
	return in, report.NewInsert(&o)
}

func written(t testing.TB) []byte {
	t.Helper()
	run, sections := judged(t)
	var b bytes.Buffer
	if err := page.Write(&b, run, sections); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

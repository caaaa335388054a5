package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"pocketgauge/checks/report"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

func TestMain(m *testing.M) {
	// A test sees no result of another day. As a command of a script this is the program itself, and
	// the script says what it sees.
	if !strings.HasPrefix(filepath.Base(os.Args[0]), "pocketgauge") || strings.HasSuffix(os.Args[0], ".test") {
		os.Setenv("POCKETGAUGE_CACHE", "off")
	}
	testscript.Main(m, map[string]func(){"pocketgauge": main})
}

// scriptFrame is the frame that the scripts' models are held against: 100 by 60, 40 deep. Walls are
// left to the tests of the check itself.
const scriptFrame = `frame: Bench
pocket:
  outline:
    rectangle: {width: 100, length: 60}
  depth: 40
  clearance: {least: 0.01, most: 0.04}
  proud: {least: 0.02, most: 0.05}
  seat_bearing: 75 %
judge: {steel.wall: "off"}
`

func block(x, y, z float64) *mesh.Mesh {
	return meshtest.Box(r3.Vector{X: -49.98, Y: -29.98}, r3.Vector{X: x, Y: y, Z: z}).Mesh
}

// tells is a notch that tells every turn of a block from every other; pocket is what a revision cuts.
var (
	tells  = geom.Box{Min: r3.Vector{X: 30, Y: 10, Z: 30}, Max: r3.Vector{X: 45, Y: 20, Z: 50}}
	pocket = geom.Box{Min: r3.Vector{X: -20, Y: -15, Z: 30.03}, Max: r3.Vector{X: 10, Y: 5, Z: 50}}
)

func pocketed(pockets ...geom.Box) *mesh.Mesh {
	return meshtest.BlockWithPockets(geom.Box{Min: r3.Vector{X: -49.98, Y: -29.98}, Max: r3.Vector{X: 49.98, Y: 29.98, Z: 40.03}}, pockets...).Mesh
}

// scriptModels are the models that every script finds in its folder.
func scriptModels() map[string][]byte {
	clean := meshtest.BinarySTL("clean", block(49.98, 29.98, 40.03))
	open := meshtest.Box(r3.Vector{X: -49.98, Y: -29.98}, r3.Vector{X: 49.98, Y: 29.98, Z: 40.03}).Without(5)
	return map[string][]byte{
		"clean.stl": clean,
		"wide.stl":  meshtest.BinarySTL("wide", block(50.05, 29.98, 40.03)),
		// 40.05 in binary32 is its limit within what storing leaves open.
		"edge.stl":   meshtest.BinarySTL("edge", block(49.98, 29.98, 40.05)),
		"open.stl":   meshtest.BinarySTL("open", open),
		"broken.stl": clean[:84+50*5+20],
		"notes.stl":  []byte("see the other folder\n"),
		// One block, the same with a pocket of 30 x 20 x 10 and one of it turned and moved.
		"whole.stl":    meshtest.BinarySTL("whole", pocketed(tells)),
		"pocketed.stl": meshtest.BinarySTL("pocketed", pocketed(tells, pocket)),
		"turned.stl":   meshtest.BinarySTL("turned", pocketed(tells).Moved(geom.Translate(r3.Vector{X: 20, Y: 5}).After(geom.Rotate(r3.Vector{Z: 1}, math.Pi)))),
	}
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: filepath.Join("testdata", "script"),
		Setup: func(env *testscript.Env) error {
			env.Setenv("POCKETGAUGE_CACHE", "off")
			if program, err := exec.LookPath("pocketgauge"); err == nil {
				env.Setenv("POCKETGAUGE", program) // for scripts that take PATH away
			}
			for name, data := range scriptModels() {
				if err := os.WriteFile(filepath.Join(env.WorkDir, name), data, 0o644); err != nil {
					return err
				}
			}
			return os.WriteFile(filepath.Join(env.WorkDir, "bench.yaml"), []byte(scriptFrame), 0o644)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status":   scriptStatus,
			"schema":   scriptSchema,
			"lines":    scriptLines,
			"nocolour": scriptNoColour,
			"results":  scriptResults,
			"stored":   scriptStored,
			"damage":   scriptDamage,
			"sametime": scriptSameTime,
		},
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

// scriptStatus is "status N command args...": the command must end with exit status N, or, negated, with
// any other.
func scriptStatus(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) < 2 {
		ts.Fatalf("usage: [!] status N command args...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if neg && got == want {
		ts.Fatalf("%s ended with exit status %d", strings.Join(args[1:], " "), got)
	}
	if !neg && got != want {
		ts.Fatalf("%s ended with exit status %d, want %d", strings.Join(args[1:], " "), got, want)
	}
}

// scriptSchema is "schema COMMAND FORMAT": what stands on stdout must be valid output of it.
func scriptSchema(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: schema COMMAND FORMAT")
	}
	if err := validate(args[0], args[1], []byte(ts.ReadFile("stdout"))); err != nil {
		ts.Fatalf("%v", err)
	}
}

// scriptLines is "lines N": so many lines stand on stdout.
func scriptLines(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: lines N")
	}
	if n := strings.Count(ts.ReadFile("stdout"), "\n"); strconv.Itoa(n) != args[0] {
		ts.Fatalf("%d lines on stdout, want %s", n, args[0])
	}
}

func scriptNoColour(ts *testscript.TestScript, neg bool, args []string) {
	for _, name := range []string{"stdout", "stderr"} {
		if strings.Contains(ts.ReadFile(name), "\x1b") {
			ts.Fatalf("%s holds escape sequences", name)
		}
	}
}

// filesBelow are the files below a folder of the script whose path holds part.
func filesBelow(ts *testscript.TestScript, folder, part string) []string {
	var list []string
	ts.Check(filepath.WalkDir(ts.MkAbs(folder), func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && strings.Contains(filepath.ToSlash(name), part) {
			list = append(list, name)
		}
		return err
	}))
	return list
}

// scriptResults is "results N": so many results are kept in the folder of the cache.
func scriptResults(ts *testscript.TestScript, neg bool, args []string) {
	if n := len(filesBelow(ts, ts.Getenv("POCKETGAUGE_CACHE"), "/results/")); neg || len(args) != 1 || strconv.Itoa(n) != args[0] {
		ts.Fatalf("%d results are kept, want %v", n, args)
	}
}

// scriptStored is "stored FOLDER N": so many results lie in a shared store.
func scriptStored(ts *testscript.TestScript, neg bool, args []string) {
	if n := len(filesBelow(ts, args[0], "/results/")); neg || len(args) != 2 || strconv.Itoa(n) != args[1] {
		ts.Fatalf("%d results are stored, want %v", n, args)
	}
}

// scriptDamage is "damage FOLDER": a figure in the body of every kept result is changed.
func scriptDamage(ts *testscript.TestScript, neg bool, args []string) {
	list := filesBelow(ts, args[0], "/results/")
	if neg || len(args) != 1 || len(list) == 0 {
		ts.Fatalf("usage: damage FOLDER (%d results)", len(list))
	}
	for _, name := range list {
		data, err := os.ReadFile(name)
		ts.Check(err)
		changed := bytes.Replace(data, []byte(`"fail"`), []byte(`"pass"`), 1)
		if bytes.Equal(changed, data) {
			changed = data[:len(data)-7]
		}
		ts.Check(os.WriteFile(name, changed, 0o644))
	}
}

// scriptSameTime is "sametime FROM TO": the bytes of one file are put into another of the same size,
// whose time is then set back.
func scriptSameTime(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: sametime FROM TO")
	}
	from, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	to := ts.MkAbs(args[1])
	info, err := os.Stat(to)
	ts.Check(err)
	if info.Size() != int64(len(from)) {
		ts.Fatalf("%d and %d bytes", info.Size(), len(from))
	}
	ts.Check(os.WriteFile(to, from, 0o644))
	ts.Check(os.Chtimes(to, info.ModTime(), info.ModTime()))
}

// validate holds output against the published schema of a command.
func validate(command, format string, out []byte) error {
	text, ok := report.Schema(command)
	if !ok {
		return fmt.Errorf("no schema for %s", command)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return err
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("schema.json", doc); err != nil {
		return err
	}
	schema, err := c.Compile("schema.json")
	if err != nil {
		return err
	}
	values := [][]byte{out}
	if format == "jsonl" {
		values = bytes.Split(bytes.TrimRight(out, "\n"), []byte("\n"))
	}
	for _, v := range values {
		value, err := jsonschema.UnmarshalJSON(bytes.NewReader(v))
		if err != nil {
			return fmt.Errorf("%w in %s", err, v)
		}
		if err := schema.Validate(value); err != nil {
			return err
		}
	}
	return nil
}

// The schemas refuse what is no output, else what they accept would say nothing.
func TestSchemasRefuse(t *testing.T) {
	for _, c := range []struct{ command, broken string }{
		{"measure", `{"file": "a.stl"}`},
		{"measure", `{"file": "a.stl", "error": {"code": "Missing File", "message": "x", "at": ""}}`},
		{"measure", `{"models": [{"file": "a.stl", "volume_mm3": "12"}]}`},
		{"check", `{"file": "a.stl", "name": "a", "sha256": "", "half": "left", "frame": "f", "verdict": "pass", "findings": []}`},
		{"check", `{"file": "a.stl", "name": "a", "sha256": "", "half": "fixed", "frame": "f", "verdict": "ok", "findings": []}`},
		{"check", `{"file": "a.stl", "name": "a", "sha256": "", "half": "fixed", "frame": "f", "verdict": "pass", "findings": [
			{"check": "fit.seat", "verdict": "not judged", "value": 0, "unit": "%", "limit": null, "margin": null, "uncertainty": null, "at_mm": null, "says": "x"}]}`},
		{"check", `{"file": "a.stl", "name": "a", "sha256": "", "half": "fixed", "frame": "f", "verdict": "pass", "findings": [
			{"check": "fit.seat", "verdict": "pass", "value": null, "unit": "%", "limit": null, "margin": null, "uncertainty": null, "at_mm": null, "says": "x"}]}`},
	} {
		if !json.Valid([]byte(c.broken)) {
			t.Fatalf("%s is no JSON at all", c.broken)
		}
		if validate(c.command, "json", []byte(c.broken)) == nil {
			t.Errorf("the schema of %s takes %s", c.command, c.broken)
		}
	}
	for _, name := range report.SchemaCommands {
		if _, ok := report.Schema(name); !ok {
			t.Errorf("%s has no schema", name)
		}
	}
	if _, ok := report.Schema("demo"); ok {
		t.Error("demo has a schema")
	}
}

package rules

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

var update = flag.Bool("update", false, "rewrite the golden files of the cases that run")

func golden(t *testing.T, path string, got string) {
	t.Helper()
	if *update && os.Getenv("CI") == "" { // for people, never for CI
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v\nnew case? go test ./rules -run '%s' -update, then read the diff", err, t.Name())
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got)\n%s", path, diff)
	}
}

// files lists the cases of a folder and fails on a golden file that belongs to none. Files whose
// name starts with base- are only there to be inherited.
func files(t *testing.T, folder string) []string {
	t.Helper()
	all, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil || len(all) == 0 {
		t.Fatalf("no cases in %s (%v)", folder, err)
	}
	var cases []string
	for _, f := range all {
		base := filepath.Base(f)
		switch {
		case strings.HasPrefix(base, "base-"):
		case strings.HasSuffix(base, ".yaml"):
			cases = append(cases, filepath.ToSlash(f))
		case strings.HasSuffix(base, ".want"):
			if _, err := os.Stat(strings.TrimSuffix(f, ".want") + ".yaml"); err != nil {
				t.Errorf("%s belongs to no case", f)
			}
		default:
			if info, err := os.Stat(f); err == nil && !info.IsDir() {
				t.Errorf("%s belongs to no case", f)
			}
		}
	}
	return cases
}

func want(file string) string { return strings.TrimSuffix(file, ".yaml") + ".want" }

// kind is one of the kinds of files that this package reads.
type kind struct {
	// named is what the name of a good file of testdata holds, and nothing of a frame's.
	named string
	// refused is the folder of files with a mistake.
	refused string
	schema  func() []byte
	// load refuses a file, or gives the limits that are in force.
	load func(path string) ([]Row, error)
}

var kinds = []kind{
	{"waivers", "waivers-refused", WaiverSchema, func(path string) ([]Row, error) {
		w, err := LoadWaivers(path)
		if err != nil {
			return nil, err
		}
		return rowsBelow(w.keys()), nil
	}},
	{"rates", "rates-refused", RatesSchema, func(path string) ([]Row, error) {
		r, err := LoadRates(path)
		if err != nil {
			return nil, err
		}
		return ShowRates(r), nil
	}},
	{"workspace", "workspace-refused", WorkspaceSchema, func(path string) ([]Row, error) {
		w, err := LoadWorkspace(path)
		if err != nil {
			return nil, err
		}
		return rowsBelow(w.keys()), nil
	}},
	{"", "refused", Schema, func(path string) ([]Row, error) {
		read := Load
		if strings.HasSuffix(path, "-shop.yaml") {
			read = Lint // defaults that are no frame
		}
		f, err := read(path)
		if err != nil {
			return nil, err
		}
		return Show(f), nil
	}},
}

func rowsBelow(keys []key) (rows []Row) {
	rowsOf("", keys, func(r Row) { rows = append(rows, r) })
	return rows
}

func TestRefusedFiles(t *testing.T) {
	for _, k := range kinds {
		schema := compile(t, k.schema())
		for _, file := range files(t, filepath.Join("testdata", k.refused)) {
			t.Run(k.refused+"/"+filepath.Base(file), func(t *testing.T) {
				rows, err := k.load(file)
				if err == nil || rows != nil {
					t.Fatalf("R1: loaded, with error %v", err)
				}
				golden(t, want(file), err.Error()+"\n")
				checkBlind(t, schema, file)
			})
		}
	}
}

// checkBlind holds the schema against the loader: it must refuse what the loader refuses, but for
// files that say in their first line that only the loader can see what is wrong. Those it must let
// pass where they are YAML at all, so that the mark stays true.
func checkBlind(t *testing.T, schema *jsonschema.Schema, file string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	blind := bytes.HasPrefix(text, []byte("# schema: blind\n"))
	value, err := asJSON(text)
	if err != nil {
		return // not YAML, or numbers that JSON has not: no editor gets as far as the schema
	}
	if err := schema.Validate(value); blind && err != nil && !strings.Contains(file, "/yaml-") && !strings.Contains(file, "/escapes") {
		t.Errorf("marked as unseen by the schema, which sees: %v", err)
	} else if !blind && err == nil {
		t.Error("the schema lets this file pass; mark it \"# schema: blind\" or make the schema stricter")
	}
}

func asJSON(text []byte) (value any, err error) {
	var v any
	if err := yaml.UnmarshalWithOptions(text, &v, yaml.AllowDuplicateMapKey()); err != nil {
		return nil, err
	}
	b, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return jsonschema.UnmarshalJSON(bytes.NewReader(b))
}

func compile(t *testing.T, schema []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func listing(rows []Row) string {
	var b strings.Builder
	for _, r := range rows {
		fmt.Fprintf(&b, "%s = %s\n    %s\n", r.Key, strings.TrimSpace(r.Value+" "+r.Unit), r.Origin)
	}
	return b.String()
}

// The listings pin text; the numbers in them are held against closed forms in the other tests.
func TestGoodFiles(t *testing.T) {
	for _, file := range files(t, "testdata") {
		k := kinds[slices.IndexFunc(kinds, func(k kind) bool { return strings.Contains(file, k.named) })]
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			value, err := asJSON(text)
			if err != nil {
				t.Fatal(err)
			}
			if err := compile(t, k.schema()).Validate(value); err != nil {
				t.Errorf("the schema refuses it: %v", err)
			}
			rows, err := k.load(file)
			if err != nil {
				t.Fatal(err)
			}
			golden(t, want(file), listing(rows))
		})
	}
}

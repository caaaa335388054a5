package rules

import (
	"encoding/json"
	"fmt"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"pocketgauge/rules/quantity"
)

// Every key must say something an editor can show and a person can act upon.
func TestEveryKeyIsDocumented(t *testing.T) {
	seen := map[string]bool{}
	rates := RatesReference()
	for i := range rates {
		rates[i].Key = "rates:" + rates[i].Key // a file of its own, which shares words with the others
	}
	for _, k := range append(append(append(Reference(), WorkspaceReference()...), WaiverReference()...), rates...) {
		if seen[k.Key] && k.Key != "unit" {
			t.Errorf("%s stands in the table twice", k.Key)
		}
		seen[k.Key] = true
		if !strings.HasSuffix(k.Doc, ".") || len(k.Doc) < 10 {
			t.Errorf("%s: doc %q is no sentence", k.Key, k.Doc)
		}
		if (k.Default == "") != (k.Why == "") {
			t.Errorf("%s: a default and its reason come together: %q, %q", k.Key, k.Default, k.Why)
		}
		if strings.Contains(k.Doc+k.Why, "\n") || k.Kind == "" {
			t.Errorf("%s: %+v", k.Key, k)
		}
	}
	if len(seen) < 200 {
		t.Errorf("only %d keys in the table", len(seen))
	}
}

// walk calls see with every schema object that has a place in the file.
func walk(path string, s any, see func(path string, s map[string]any)) {
	o, ok := s.(map[string]any)
	if !ok {
		return
	}
	see(path, o)
	properties, _ := o["properties"].(map[string]any)
	for name, p := range properties {
		walk(join(path, name), p, see)
	}
	if items, ok := o["items"].(map[string]any); ok {
		if items["properties"] != nil || items["anyOf"] != nil {
			walk(path+"[]", items, see)
		}
	}
	anyOf, _ := o["anyOf"].([]any)
	for _, a := range anyOf {
		if m, ok := a.(map[string]any); ok && m["properties"] != nil {
			walk(path, m, see)
		}
	}
}

func TestDocsReachTheSchema(t *testing.T) {
	for _, c := range []struct {
		schema []byte
		keys   []KeyDoc
	}{{Schema(), Reference()}, {WorkspaceSchema(), WorkspaceReference()}, {WaiverSchema(), WaiverReference()}, {RatesSchema(), RatesReference()}} {
		var doc any
		if err := json.Unmarshal(c.schema, &doc); err != nil {
			t.Fatal(err)
		}
		described := map[string]string{}
		walk("", doc, func(path string, s map[string]any) {
			if text, ok := s["description"].(string); ok {
				described[path] = text
			}
			if s["properties"] != nil && s["additionalProperties"] != false {
				t.Errorf("%s takes unknown keys", path)
			}
		})
		for _, k := range c.keys {
			text := described[strings.TrimSuffix(k.Key, "[]")]
			if !strings.HasPrefix(text, k.Doc) {
				t.Errorf("%s: the schema says %q, the table %q", k.Key, text, k.Doc)
			}
			if k.Default != "" && !strings.Contains(text, k.Default) {
				t.Errorf("%s: the schema does not name the default %s", k.Key, k.Default)
			}
		}
	}
}

// A quantity with its unit passes both the schema and the loader, or neither, in every dimension.
func TestSchemaAndLoaderAgreeOnQuantities(t *testing.T) {
	schema := compile(t, Schema())
	places := map[quantity.Dimension]string{
		quantity.Length: "pocket: {fit_height: %s}", quantity.Share: "pocket: {seat_bearing: %s}", quantity.Plain: "making: {reach_ratio: %s}",
		quantity.Area: "steel: {wall: {noise_area: %s}}", quantity.Volume: "press: {shot_volume: %s}", quantity.Angle: "draw: {draft: {least: %s}}",
		quantity.AnglePerLength: "draw: {draft: {per_texture_depth: %s}}", quantity.Force: "press: {clamp_force: %s}",
		quantity.Pressure: "ejection: {pin_pressure: %s}", quantity.Mass: "handling: {mass: %s}", quantity.Time: "cooling: {cooling_time: %s}",
		quantity.Density:      "steels: [{grade: a, density: %s}]",
		quantity.Temperature:  "resins: [{name: a, melt_temperature: %s}]",
		quantity.Diffusivity:  "resins: [{name: a, diffusivity: %s}]",
		quantity.Conductivity: "steels: [{grade: a, density: 1 g/cm3, conductivity: %s}]",
	}
	var values []string
	for d := range places {
		values = append(values, d.Example(), strings.Replace(d.Example(), " ", "", 1), "-"+d.Example())
		for _, u := range quantity.Units(d) {
			values = append(values, "0.1 "+u)
		}
	}
	values = append(values, "0.5", "3", "0", "-2", "1.0e-3", "abc", "true", "[1]", "'5'", "1,5 mm", "1 furlong", "5 MM")
	agreed, passed := 0, 0
	for d, place := range places {
		for _, v := range values {
			text := fmt.Sprintf(place, v) + "\n"
			value, err := asJSON([]byte(text))
			if err != nil {
				continue
			}
			_, loaded := LintFS(folder(map[string]string{"f.yaml": text}), "f.yaml")
			bySchema := schema.Validate(value)
			// What only the loader sees of a single number: that it is zero where its unit is not
			// that of the schema's bare numbers, or past a bound stated in another unit.
			if loaded != nil && bySchema == nil && strings.Contains(loaded.Error(), " must be ") {
				continue
			}
			if (loaded == nil) != (bySchema == nil) {
				t.Errorf("%v: %s: loader %v, schema %v", d, text, loaded, bySchema)
			}
			agreed++
			if loaded == nil {
				passed++
			}
		}
	}
	if agreed < 800 || passed < 80 {
		t.Errorf("%d cases agreed, %d passed: too few to mean anything", agreed, passed)
	}
}

func TestTable(t *testing.T) {
	text := Table(Reference())
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if len(lines) != len(Reference())+2 {
		t.Errorf("%d lines for %d keys", len(lines), len(Reference()))
	}
	for _, l := range lines {
		if strings.Count(strings.ReplaceAll(l, `\|`, ""), "|") != 5 {
			t.Errorf("not four columns: %s", l)
		}
	}
}

// The package knows limits and no triangles; its parts know nothing of it.
func TestImportsGoOneWay(t *testing.T) {
	seen := 0
	err := filepath.WalkDir(".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, i := range file.Imports {
			to := strings.Trim(i.Path.Value, `"`)
			own := to == "pocketgauge/rules" || to == "pocketgauge/rules/"+filepath.ToSlash(filepath.Dir(path))
			if !strings.HasPrefix(to, "pocketgauge/") || own && strings.HasSuffix(path, "_test.go") {
				continue
			}
			seen++
			if !strings.HasPrefix(to, "pocketgauge/rules/") || filepath.Dir(path) != "." && to != "pocketgauge/rules/nearest" {
				t.Errorf("%s imports %s", path, to)
			}
		}
		return nil
	})
	if err != nil || seen == 0 {
		t.Errorf("%d imports seen, %v", seen, err)
	}
}

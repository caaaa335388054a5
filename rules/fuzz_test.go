package rules

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
)

func seeds(f *testing.F, add func(text string)) {
	for _, pattern := range []string{"testdata/*.yaml", "testdata/refused/*.yaml", "testdata/workspace-refused/*.yaml", "testdata/rates-refused/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatalf("no seeds in %s (%v)", pattern, err)
		}
		for _, name := range files {
			text, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			add(string(text))
		}
	}
}

// FuzzLoad: whatever two files hold, the loader neither panics nor lets a number that is none
// through, every problem stands at a place that exists, and a second reading says the same.
func FuzzLoad(f *testing.F) {
	seeds(f, func(text string) {
		f.Add(text, "unit: in\nsteel: {wall: {any: 0.1}}\n")
		f.Add("inherits: base.yaml\n"+text, "zones:\n  - {name: slot, must: solid, shape: {box: {min: [0, 0, 0], max: [1, 1, 1]}}}\n")
	})
	f.Fuzz(func(t *testing.T, text, base string) {
		files := folder(map[string]string{"f.yaml": text, "base.yaml": base, "base-circle.yaml": base, "sample-shop.yaml": base})
		one, err := LoadFS(files, "f.yaml")
		again, errAgain := LoadFS(files, "f.yaml")
		if (err == nil) != (errAgain == nil) || err != nil && err.Error() != errAgain.Error() {
			t.Fatalf("R5: %v, then %v", err, errAgain)
		}
		if (one == nil) != (err != nil) {
			t.Fatal("R1: a frame and an error, or neither")
		}
		checkProblems(t, err, map[string]string{"f.yaml": text, "base.yaml": base, "base-circle.yaml": base, "sample-shop.yaml": base})
		if one == nil {
			return
		}
		rows := Show(one)
		if !reflect.DeepEqual(rows, Show(again)) {
			t.Fatal("R5: the second reading differs")
		}
		for _, r := range rows {
			if !r.Origin.IsDefault() && (r.Origin.File == "" || r.Origin.Line < 1 || r.Origin.Column < 1) {
				t.Fatalf("R2: %s has no origin: %+v", r.Key, r.Origin)
			}
		}
		finite(t, reflect.ValueOf(*one), "frame")
		if fault := faultOf(one.Pocket.Outline.Segments()); fault != "" && !strings.HasSuffix(fault, "off its circle") {
			t.Fatalf("outline: %s", fault)
		}
	})
}

func FuzzLoadWorkspace(f *testing.F) {
	seeds(f, func(text string) { f.Add(text) })
	f.Fuzz(func(t *testing.T, text string) {
		files := folder(map[string]string{"d/w.yaml": text, "d/a.stl": "", "d/e/b.stp": ""})
		w, err := LoadWorkspaceFS(files, "d/w.yaml")
		if (w == nil) != (err != nil) {
			t.Fatal("a workspace and an error, or neither")
		}
		checkProblems(t, err, map[string]string{"d/w.yaml": text})
		if w == nil {
			return
		}
		_, _, err = w.Resolve()
		checkProblems(t, err, map[string]string{"d/w.yaml": text})
	})
}

func checkProblems(t *testing.T, err error, texts map[string]string) {
	t.Helper()
	var p *Problems
	if !errors.As(err, &p) {
		return
	}
	if len(p.List) == 0 {
		t.Fatal("problems without a problem")
	}
	for _, one := range p.List {
		text, found := texts[one.File]
		lines := strings.Count(text, "\n") + 1
		if !found || one.Line < 1 || one.Line > lines || one.Column < 1 || one.Says == "" {
			t.Fatalf("R4: %+v is nowhere in %d lines", one, lines)
		}
	}
	for _, r := range p.Error() {
		if r == 0x1b || r == 0x07 || r == 0x202e {
			t.Fatalf("a control character reached the screen: %q", p.Error())
		}
	}
}

// finite walks every number of a value (R3). Intervals may be open towards infinity.
func finite(t *testing.T, v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			t.Fatalf("R3: %s is %v", path, v.Float())
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[r1.Interval]() {
			if math.IsNaN(v.Field(0).Float()) || math.IsNaN(v.Field(1).Float()) {
				t.Fatalf("R3: %s is not a number", path)
			}
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).Name != "sources" {
				finite(t, v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			finite(t, v.Index(i), path)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			finite(t, v.Elem(), path)
		}
	}
}

package checks_test

import (
	"fmt"
	"go/parser"
	"go/scanner"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// root is the module's folder as seen from this package.
const root = ".."

// layers is the order of the rooms: a package imports only packages of a smaller number, so data
// flows one way (read, place, measure, judge, report) and packages of one number do not know
// each other. A new package begins with its row here and in DEVELOPERS.md.
var layers = map[string]int{
	"mesh/geom":                0,
	"mesh/parallel":            0,
	"mesh/step/part21":         0,
	"rules/fits":               0,
	"rules/glob":               0,
	"rules/nearest":            0,
	"testdata":                 0,
	"testdata/batchtrial":      0,
	"testdata/stepmake/solids": 0,
	"mesh/tol":                 1,
	"mesh/triangulate":         1,
	"rules/quantity":           1,
	"rules/expression":         1,
	"testdata/stepmake":        1,
	"testdata/variants":        12,
	"mesh":                     2,
	"mesh/outline":             2,
	"rules":                    2,
	"mesh/stl":                 3,
	"mesh/step/shape":          3,
	"mesh/index":               3,
	"mesh/dexel":               3,
	"mesh/meshtest":            3,
	"mesh/meshtest/corpus":     4,
	"checks/checkstest":        3,
	"mesh/measure":             4,
	"mesh/step/brep":           4,
	"mesh/difference":          4,
	"mesh/thickness":           4,
	"mesh/proximity":           4,
	"mesh/gltf":                4,
	"mesh/cavity":              4,
	"mesh/render":              4,
	"mesh/roles":               4,
	"mesh/step/tessellate":     5,
	"mesh/reach":               5,
	"mesh/align":               4,
	"mesh/step":                6,
	"mesh/load":                7,
	"checks/place":             8,
	"checks/plate":             8,
	"checks":                   9,
	"checks/takeoff":           10,
	"checks/batch":             11,
	"checks/quote":             11,
	"checks/revision":          11,
	"checks/cache":             12,
	"checks/report":            12,
	"checks/waive":             13,
	"checks/page":              13,
	"cmd/pocketgauge":          14,
}

// onlyInTests are packages that no program may hold.
var onlyInTests = []string{"mesh/meshtest", "mesh/meshtest/corpus", "checks/checkstest"}

const module = "pocketgauge/"

// sourceFiles parses the imports of every Go file of the module that is no test, by package.
func sourceFiles(t *testing.T) map[string][]string {
	t.Helper()
	files := map[string][]string{}
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && name != root && strings.HasPrefix(d.Name(), ".") {
			return fs.SkipDir
		}
		if !d.IsDir() && strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go") {
			rel, err := filepath.Rel(root, name)
			if err != nil {
				return err
			}
			rel = filepath.ToSlash(rel)
			files[path.Dir(rel)] = append(files[path.Dir(rel)], rel)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func importsOf(t *testing.T, files map[string][]string) map[string][]string {
	t.Helper()
	imports := map[string][]string{}
	for pkg, names := range files {
		seen := map[string]bool{}
		for _, name := range names {
			f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, name), nil, parser.ImportsOnly)
			if err != nil {
				t.Fatal(err)
			}
			for _, spec := range f.Imports {
				of, err := strconv.Unquote(spec.Path.Value)
				if err != nil {
					t.Fatal(err)
				}
				if strings.HasPrefix(of, module) {
					seen[strings.TrimPrefix(of, module)] = true
				}
			}
		}
		imports[pkg] = slices.Sorted(maps.Keys(seen))
	}
	return imports
}

// arrowFaults lists what the imports do against the table.
func arrowFaults(imports map[string][]string, layers map[string]int) []string {
	var faults []string
	for _, pkg := range slices.Sorted(maps.Keys(imports)) {
		from, known := layers[pkg]
		if !known {
			faults = append(faults, fmt.Sprintf("package %s has no layer: give it a row in checks/layers_test.go and in DEVELOPERS.md", pkg))
			continue
		}
		for _, to := range imports[pkg] {
			if slices.Contains(onlyInTests, to) && !slices.Contains(onlyInTests, pkg) {
				faults = append(faults, fmt.Sprintf("%s imports %s, which is for tests only", pkg, to))
			}
			if n, ok := layers[to]; ok && n >= from {
				faults = append(faults, fmt.Sprintf("%s (layer %d) imports %s (layer %d): arrows go from larger numbers to smaller", pkg, from, to, n))
			}
		}
	}
	return faults
}

// cycle finds packages that import each other in a ring; nil where there is none.
func cycle(imports map[string][]string) []string {
	const white, grey, black = 0, 1, 2
	colour := map[string]int{}
	var path []string
	var visit func(pkg string) []string
	visit = func(pkg string) []string {
		colour[pkg] = grey
		path = append(path, pkg)
		for _, to := range imports[pkg] {
			switch colour[to] {
			case grey:
				return append(slices.Clone(path[slices.Index(path, to):]), to)
			case white:
				if ring := visit(to); ring != nil {
					return ring
				}
			}
		}
		colour[pkg] = black
		path = path[:len(path)-1]
		return nil
	}
	for _, pkg := range slices.Sorted(maps.Keys(imports)) {
		if colour[pkg] == white {
			if ring := visit(pkg); ring != nil {
				return ring
			}
		}
	}
	return nil
}

func TestImportsGoOneWay(t *testing.T) {
	imports := importsOf(t, sourceFiles(t))
	if len(imports) < 20 || len(imports["cmd/pocketgauge"]) < 3 {
		t.Fatalf("only %d packages found: the search looks in the wrong place", len(imports))
	}
	for _, f := range arrowFaults(imports, layers) {
		t.Error(f)
	}
	if ring := cycle(imports); ring != nil {
		t.Errorf("packages import each other in a ring: %s", strings.Join(ring, " -> "))
	}
	for pkg := range layers {
		if _, ok := imports[pkg]; !ok {
			t.Logf("layer table: there is no package %s (yet)", pkg)
		}
	}
	data, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	told := layersTold(string(data))
	for pkg, n := range layers {
		if _, exists := imports[pkg]; !exists {
			continue
		}
		if row, ok := told[pkg]; !ok || row != strconv.Itoa(n) && row != "test" {
			t.Errorf("DEVELOPERS.md puts the package %s in layer %q, it is in %d", pkg, row, n)
		}
	}
}

// layersTold reads the rows "| layer | `package`, ... |" of a table of packages.
func layersTold(text string) map[string]string {
	told := map[string]string{}
	row := regexp.MustCompile("(?m)^\\| (test|[0-9]+) \\| (`[^|]*`) \\|")
	name := regexp.MustCompile("`([^`]+)`")
	for _, m := range row.FindAllStringSubmatch(text, -1) {
		for _, n := range name.FindAllStringSubmatch(m[2], -1) {
			told[n[1]] = m[1]
		}
	}
	return told
}

func TestArrowsBackAreFound(t *testing.T) {
	table := map[string]int{"mesh/tol": 1, "mesh": 2, "checks": 9, "checks/batch": 11, "mesh/meshtest": 3}
	for _, c := range []struct {
		name    string
		imports map[string][]string
		want    string
	}{
		{"arrow back", map[string][]string{"mesh/tol": {"checks"}}, "mesh/tol (layer 1) imports checks (layer 9)"},
		{"same layer", map[string][]string{"mesh": {"mesh"}}, "mesh (layer 2) imports mesh (layer 2)"},
		{"no row", map[string][]string{"checks/fresh": nil}, "checks/fresh has no layer"},
		{"test package", map[string][]string{"checks": {"mesh/meshtest"}}, "for tests only"},
		{"sound", map[string][]string{"checks": {"mesh", "mesh/tol"}, "mesh": {"mesh/tol"}}, ""},
	} {
		got := strings.Join(arrowFaults(c.imports, table), "\n")
		if (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
	if ring := cycle(map[string][]string{"a": {"b"}, "b": {"c"}, "c": {"a"}}); len(ring) != 4 {
		t.Errorf("the ring a, b, c came out as %v", ring)
	}
	if ring := cycle(map[string][]string{"a": {"b", "c"}, "b": {"c"}}); ring != nil {
		t.Errorf("a tree came out as the ring %v", ring)
	}
}

// tinyAllowed are numbers under 1e-5 outside mesh/tol that are no tolerance, with the reason.
var tinyAllowed = map[string]string{
	"checks/stock_metal.go: 1e-9":     "cubic millimetres to cubic metres",
	"rules/segment.go: 0.000001":      "when two written coordinates are the same; named there, for rules know nothing of meshes",
	"checks/takeoff/takeoff.go: 1e-9": "cubic millimetres to cubic metres",
}

// tinyLiterals lists the numbers over 0 and up to 1e-5 in a source text. Comments do not count, nor
// do hexadecimal floats, which say a rounding error outright.
func tinyLiterals(name string, text []byte) []string {
	var found []string
	var s scanner.Scanner
	set := token.NewFileSet()
	s.Init(set.AddFile(name, -1, len(text)), text, nil, 0)
	for {
		_, tok, lit := s.Scan()
		if tok == token.EOF {
			return found
		}
		if tok != token.FLOAT || strings.HasPrefix(strings.ToLower(lit), "0x") {
			continue
		}
		if v, err := strconv.ParseFloat(strings.ReplaceAll(lit, "_", ""), 64); err == nil && v > 0 && v <= 1.0000001e-5 {
			found = append(found, name+": "+lit)
		}
	}
}

func TestSmallIsDefinedOnce(t *testing.T) {
	for pkg, names := range sourceFiles(t) {
		// Generators of test models write what exporters write, tolerances included.
		if pkg == "mesh/tol" || strings.HasPrefix(pkg, "testdata") || pkg == "mesh/meshtest" {
			continue
		}
		for _, name := range names {
			text, err := os.ReadFile(filepath.Join(root, name))
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range tinyLiterals(name, text) {
				if tinyAllowed[f] == "" {
					t.Errorf("%s: a tolerance has its name and reason in mesh/tol", f)
				}
			}
		}
	}
	found := tinyLiterals("x.go", []byte("package x\n// 1e-9 in a comment\nvar a, b, c, d, e = 1e-9, 3.5E-07, 0.000001, 0x1p-52, 1e-3\n"))
	if want := []string{"x.go: 1e-9", "x.go: 3.5E-07", "x.go: 0.000001"}; !slices.Equal(found, want) {
		t.Errorf("the search finds %v, want %v", found, want)
	}
}

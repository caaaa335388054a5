package checks_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"strconv"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
)

// kind says why a specimen stands in a check's test. Each check has one of each.
type kind uint8

const (
	clean      kind = iota
	defective       // its value is known in closed form, or by a second method
	looksWrong      // and is right
)

func (k kind) String() string {
	return [...]string{"clean", "defective", "one that looks wrong and is right"}[k]
}

// specimen is what one check makes of one insert: a reading of that name, of a value within so much of what is wanted.
type specimen struct {
	kind   kind
	name   string
	got    []checks.Finding
	of     string
	value  float64
	within float64
}

// silent is the name of the reading of a specimen on which the check may say nothing at all.
const silent = "(silent)"

// specimens holds a check to its specimens: the defective ones fail by their number, the others pass, in every reading.
func specimens(t *testing.T, id string, list ...specimen) {
	t.Helper()
	var have [3]bool
	for _, x := range list {
		have[x.kind] = true
		var mine []checks.Finding
		for _, f := range x.got {
			if f.Check.ID == id {
				mine = append(mine, f)
			}
		}
		switch {
		case x.of == silent && x.kind == defective:
			t.Errorf("%s: nothing is wanted of a defective one", x.name)
		case x.of == silent:
			wantNone(t, x.name, mine)
		case x.kind == defective:
			want(t, x.name, mine, x.of, checks.Fail, x.value, x.within)
		default:
			want(t, x.name, mine, x.of, checks.Pass, x.value, x.within)
			for _, f := range mine {
				if f.Verdict != checks.Pass {
					t.Errorf("%s: %s [%s] is %v too: %s%s", x.name, id, f.Of, f.Verdict, f.Says, f.Why)
				}
			}
		}
	}
	for k, is := range have {
		if !is {
			t.Errorf("%s has no specimen that is %v", id, kind(k))
		}
	}
}

// by is what a whole run makes of a mesh with the rules of base and more.
func by(t *testing.T, more string, m *mesh.Mesh) []checks.Finding {
	t.Helper()
	list, _ := run(t, frame(t, more), exact(m))
	return list
}

// one is what one check makes of a mesh with the rules of base and more, of 1.2311.
func one(t *testing.T, id, more string, m *mesh.Mesh) []checks.Finding {
	t.Helper()
	f := frame(t, more)
	s := subject(t, f, m)
	s.Steel = f.SteelGrade("1.2311")
	return of(t, s, id)
}

// Every check has its test beside it, and that test calls specimens for it, which asks for one of each kind. Two
// checks have no measurement to hold specimens against: reading the file is what finds the one, the whole run the other.
func TestEveryCheckHasItsSpecimens(t *testing.T) {
	without := map[string]bool{"file.readable": true, "waiver.state": true}
	for _, c := range checks.Catalogue {
		file := strings.NewReplacer(".", "_", "-", "_").Replace(c.ID) + "_test.go"
		text, err := os.ReadFile(file)
		if err != nil {
			t.Errorf("%s has no test beside it: %v", c.ID, err)
			continue
		}
		tests, calls := specimenCalls(t, file, text, c.ID)
		if tests == 0 || calls == 0 && !without[c.ID] {
			t.Errorf("%s: %d tests, %d calls of specimens(t, %q, ...)", file, tests, calls, c.ID)
		}
	}
	// Controls: no test, a test of something else, and one that only talks of it.
	for text, want := range map[string][2]int{
		"package a\nfunc helper() {}":                                                                       {0, 0},
		"package a\nfunc TestA(t *testing.T) { specimens(t, \"fit.seat\") }":                                {1, 0},
		"package a\n// specimens(t, \"fit.height\")\nfunc TestA(t *testing.T) {}":                           {1, 0},
		"package a\nfunc TestA(t *testing.T) { specimens(t, \"fit.height\", specimen{}) }\nfunc TestB() {}": {2, 1},
	} {
		if tests, calls := specimenCalls(t, "control", []byte(text), "fit.height"); tests != want[0] || calls != want[1] {
			t.Errorf("%q: %d tests and %d calls, want %v", text, tests, calls, want)
		}
	}
}

// specimenCalls counts the tests of a file and its calls of specimens for a check.
func specimenCalls(t *testing.T, name string, text []byte, id string) (tests, calls int) {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), name, text, 0)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			if strings.HasPrefix(n.Name.Name, "Test") {
				tests++
			}
		case *ast.CallExpr:
			if fn, ok := n.Fun.(*ast.Ident); ok && fn.Name == "specimens" && len(n.Args) > 1 {
				if lit, ok := n.Args[1].(*ast.BasicLit); ok {
					if s, err := strconv.Unquote(lit.Value); err == nil && s == id {
						calls++
					}
				}
			}
		}
		return true
	})
	return tests, calls
}

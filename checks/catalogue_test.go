package checks_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/rules"
)

func TestEveryCheckIsWhereItsNameSays(t *testing.T) {
	idForm := regexp.MustCompile(`^[a-z]+\.[a-z-]+$`)
	saysLimit := regexp.MustCompile(`(?i)common practice|published|from memory|Roark|ISO \d|NIOSH|Pye,|limit|let pass|allowance|the (shop|frame|frame's drawing) (says|states)|frame says`)
	seen := map[string]bool{}
	for _, c := range checks.Catalogue {
		if !idForm.MatchString(c.ID) {
			t.Errorf("%q is no id", c.ID)
		}
		if seen[c.ID] {
			t.Errorf("%s stands twice in the catalogue", c.ID)
		}
		seen[c.ID] = true
		file := strings.NewReplacer(".", "_", "-", "_").Replace(c.ID) + ".go"
		text, err := os.ReadFile(file)
		if err != nil {
			t.Errorf("%s: %v", c.ID, err)
		} else if !regexp.MustCompile(`ID:\s+"` + regexp.QuoteMeta(c.ID) + `"`).Match(text) {
			t.Errorf("%s does not declare %s", file, c.ID)
		}
		for what, said := range map[string]string{"Title": c.Title, "Doc": c.Doc, "Mend": c.Mend, "Unit": string(c.Unit)} {
			if strings.TrimSpace(said) == "" {
				t.Errorf("%s has no %s", c.ID, what)
			}
		}
		if !strings.Contains(c.Doc, "Measured:") {
			t.Errorf("%s: the doc does not say what is measured", c.ID)
		}
		// A limit that the rules hold has a usual value, and the doc says what it is or who says it.
		if !strings.HasPrefix(c.ID, "file.") && c.ID != "waiver.state" && !saysLimit.MatchString(c.Doc) {
			t.Errorf("%s: the doc does not say what is usual, nor who says it", c.ID)
		}
		if c.Measure == nil && c.ID != "fit.placement" {
			t.Errorf("%s measures nothing", c.ID)
		}
		if checks.ByID(c.ID) != c {
			t.Errorf("%s is not found by its id", c.ID)
		}
	}
	if checks.ByID("fit.outlines") != nil {
		t.Error("a check is found under a name that none has")
	}
	// A file that declares a check which is not in the catalogue would never run.
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	declares := regexp.MustCompile(`\bID:\s+"([a-z]+\.[a-z-]+)"`)
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range declares.FindAllStringSubmatch(string(text), -1) {
			if !seen[m[1]] {
				t.Errorf("%s declares %s, which is not in the catalogue", f, m[1])
			}
		}
	}
}

func TestRulesCanSpeakOfEveryCheck(t *testing.T) {
	var ids []string
	var judge strings.Builder
	for _, c := range checks.Catalogue {
		ids = append(ids, c.ID)
		fmt.Fprintf(&judge, "  %s: warn\n", c.ID)
	}
	f := frame(t, "judge:\n"+judge.String())
	if err := f.UnknownChecks(ids); err != nil {
		t.Error(err)
	}
	for _, id := range ids {
		if got := f.SeverityOf(id); got != rules.SeverityWarn {
			t.Errorf("%s: severity %v, want warn", id, got)
		}
	}
	if err := frame(t, "judge: {fit.outlin: warn}\n").UnknownChecks(ids); err == nil || !strings.Contains(err.Error(), "fit.outline") {
		t.Errorf("a misspelled check gives %v, want a hint at fit.outline", err)
	}
}

func TestKeysOfChecksStandInTheSchema(t *testing.T) {
	schema := string(rules.Schema())
	for _, c := range checks.Catalogue {
		for _, k := range c.Keys {
			key, _, _ := strings.Cut(k, ":")
			for _, part := range strings.Split(key, ".") {
				if !strings.Contains(schema, `"`+part+`"`) {
					t.Errorf("%s: the schema of rules files has no key %q (of %s)", c.ID, part, k)
				}
			}
		}
	}
}

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pocketgauge/checks"
)

func readme(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestReadmeHoldsTheTableOfChecks(t *testing.T) {
	const from, to = "<!-- checks: go run ./cmd/pocketgauge explain --markdown -->\n", "\n<!-- end of checks -->"
	text := readme(t)
	_, rest, ok := strings.Cut(text, from)
	if !ok {
		t.Fatalf("README.md has no line %q", from)
	}
	got, _, ok := strings.Cut(rest, to)
	if !ok {
		t.Fatalf("README.md has no line %q", to)
	}
	if want := strings.TrimRight(checks.Table(), "\n"); got != want {
		t.Errorf("the README's table of checks is not the catalogue's; replace it with what this prints:\n  go run ./cmd/pocketgauge explain --markdown")
	}
}

func TestReadmeNamesEveryCommandAndPicture(t *testing.T) {
	text := readme(t)
	for _, c := range newRoot(streams{}).Commands() {
		if !strings.Contains(text, "`"+c.Name()) && !strings.Contains(text, c.Name()+" ") {
			t.Errorf("README.md does not name the command %s", c.Name())
		}
		if c.Example == "" {
			t.Errorf("command %s has no worked example", c.Name())
		}
	}
	for _, part := range strings.Split(text, "](")[1:] {
		link, _, _ := strings.Cut(part, ")")
		if _, err := os.Stat(filepath.Join("..", "..", filepath.FromSlash(link))); err != nil {
			t.Errorf("README.md links to %s: %v", link, err)
		}
	}
}

package main

import (
	"bytes"
	"context"
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

// Every command of the README that is followed by its output is run, and must print just that. A
// line of three dots ends an output that is cut short, or begins one.
func TestReadmeShowsWhatTheCommandsPrint(t *testing.T) {
	text := readme(t)
	t.Chdir(filepath.Join("..", ".."))
	const prompt, fence = "    pocketgauge ", "\n\n```\n"
	shown := 0
	for _, part := range strings.Split(text, "\n"+prompt)[1:] {
		command, rest, ok := strings.Cut(part, fence)
		if !ok || strings.Contains(command, "\n") {
			continue
		}
		want, _, ok := strings.Cut(rest, "\n```")
		if !ok {
			t.Fatalf("the output of %q has no end", command)
		}
		shown++
		var out bytes.Buffer
		run(context.Background(), strings.Fields(command), streams{in: strings.NewReader(""), out: &out, err: &out})
		got := strings.TrimRight(progressLine.ReplaceAllString(out.String(), ""), "\n")
		holds := got == want
		if short, cut := strings.CutSuffix(want, "\n..."); cut {
			holds = strings.Contains(got, short)
		}
		if !holds {
			t.Errorf("pocketgauge %s prints\n%s\nand not, as the README has it,\n%s", command, got, want)
		}
	}
	if shown < 5 {
		t.Errorf("%d commands of the README are followed by their output, want 5 or more", shown)
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
		if strings.HasPrefix(link, "https://") {
			continue // no test asks a network
		}
		if anchor, ok := strings.CutPrefix(link, "#"); ok {
			if !strings.Contains(strings.ToLower(text), "# "+strings.ReplaceAll(anchor, "-", " ")+"\n") {
				t.Errorf("README.md links to %s, and no heading is called so", link)
			}
			continue
		}
		if _, err := os.Stat(filepath.Join("..", "..", filepath.FromSlash(link))); err != nil {
			t.Errorf("README.md links to %s: %v", link, err)
		}
	}
}

package glob

import (
	"regexp"
	"strings"
	"testing"
)

func TestMatch(t *testing.T) {
	for _, c := range []struct {
		pattern, name string
		want          bool
	}{
		{"a.stl", "a.stl", true}, {"./a.stl", "a.stl", true}, {"*.stl", "a.stl", true}, {"*.stl", "d/a.stl", false},
		{"**/*.stl", "a.stl", true}, {"**/*.stl", "d/e/a.stl", true}, {"d/**", "d/e/a.stl", true}, {"d/**", "d", true},
		{"d/**/a.stl", "d/a.stl", true}, {"d/**/a.stl", "d/x/y/a.stl", true}, {"d/**/a.stl", "e/a.stl", false},
		{"**/x/**/y", "a/x/b/x/y", true}, {"?.stl", "é.stl", true}, {"[ab].stl", "c.stl", false}, {"[^ab].stl", "c.stl", true},
		{`\*.stl`, "*.stl", true}, {`\*.stl`, "a.stl", false}, {"A.stl", "a.stl", false},
	} {
		p, err := Compile(c.pattern)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Match(c.name); got != c.want {
			t.Errorf("%q on %q: %v, want %v", c.pattern, c.name, got, c.want)
		}
	}
}

func TestCompileRefuses(t *testing.T) {
	for pattern, want := range map[string]string{
		"": "empty", "/a": "root", "../a": "leaves", "a//b": "empty name", "a**b": "whole folders", "[": "brackets",
		"[]a]": "brackets", `a\`: "brackets", strings.Repeat("a", 1001): "more than",
	} {
		if _, err := Compile(pattern); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Compile(%q): %v, want %q", pattern, err, want)
		}
	}
}

// A second method: the pattern without sets and escapes as a regular expression, which runs in
// linear time too.
func FuzzMatch(f *testing.F) {
	f.Add("**/*-moving.*", "inserts/a/b-moving.stp")
	f.Add("a/**/b/**/c", "a/b/b/c")
	f.Fuzz(func(t *testing.T, pattern, name string) {
		p, err := Compile(pattern)
		if err != nil || strings.ContainsAny(pattern, `[\`) || !isText(pattern) || !isText(name) {
			return
		}
		if got, want := p.Match(name), expression(pattern).MatchString(name+"/"); got != want {
			t.Fatalf("%q on %q: %v, want %v", pattern, name, got, want)
		}
	})
}

func isText(s string) bool {
	return strings.ToValidUTF8(s, "") == s && !strings.ContainsAny(s, "\n")
}

func expression(pattern string) *regexp.Regexp {
	names := strings.Split(strings.TrimPrefix(pattern, "./"), "/")
	var b strings.Builder
	b.WriteString(`\A`)
	// Each name is written with the stroke that follows it; the path gets one at its end.
	for _, n := range names {
		if n == "**" {
			b.WriteString(`(?:[^/]*/)*`)
			continue
		}
		for _, r := range n {
			switch r {
			case '*':
				b.WriteString(`[^/]*`)
			case '?':
				b.WriteString(`[^/]`)
			default:
				b.WriteString(regexp.QuoteMeta(string(r)))
			}
		}
		b.WriteString("/")
	}
	b.WriteString(`\z`)
	return regexp.MustCompile(b.String())
}

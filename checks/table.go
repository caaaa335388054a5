package checks

import (
	"fmt"
	"strings"

	"pocketgauge/rules"
)

// Table is the catalogue as a Markdown table: the README's is this, and a test holds the two
// together. The default limit and its reason are those of the rules file's own reference.
func Table() string {
	reference := map[string]rules.KeyDoc{}
	for _, k := range rules.Reference() {
		reference[strings.ReplaceAll(k.Key, "[]", "")] = k // checks name keys of a list's entries without the brackets
	}
	var b strings.Builder
	b.WriteString("| check | question | unit | limit | default, and where it comes from |\n| --- | --- | --- | --- | --- |\n")
	for _, c := range Catalogue {
		what := defaults(c.Keys, reference)
		if what == "" {
			what = "none: the frame states it"
			if len(c.Keys) == 0 {
				what = "fixed by the check"
			}
		}
		keys := "—"
		if len(c.Keys) > 0 {
			keys = "`" + strings.Join(c.Keys, "` `") + "`"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", c.ID, c.Title, c.Unit, keys, what)
	}
	return b.String()
}

// defaults says what the keys are where a file is silent, and why; keys in a row with the same
// reason share it. A key is named by its last part where there are several.
func defaults(keys []string, reference map[string]rules.KeyDoc) string {
	var b strings.Builder
	why := ""
	for _, key := range keys {
		k := reference[key]
		switch {
		case k.Default == "":
			continue
		case k.Why == why:
			b.WriteString(", ")
		case why != "":
			fmt.Fprintf(&b, " (%s); ", why)
		}
		why = k.Why
		if len(keys) > 1 {
			fmt.Fprintf(&b, "`%s` ", key[strings.LastIndexByte(key, '.')+1:])
		}
		b.WriteString(k.Default)
	}
	if why != "" {
		fmt.Fprintf(&b, " (%s)", why)
	}
	return b.String()
}

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
		reference[k.Key] = k
	}
	var b strings.Builder
	b.WriteString("| check | question | unit | limit | default, and where it comes from |\n| --- | --- | --- | --- | --- |\n")
	for _, c := range Catalogue {
		var defaults []string
		for _, key := range c.Keys {
			if k, ok := reference[key]; ok && k.Default != "" {
				defaults = append(defaults, fmt.Sprintf("%s (%s)", k.Default, k.Why))
			}
		}
		what := strings.Join(defaults, "; ")
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

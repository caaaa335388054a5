package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pocketgauge/checks"
	"pocketgauge/rules/nearest"
)

func newExplain(s streams) *cobra.Command {
	var markdown, values bool
	cmd := &cobra.Command{
		Use:   "explain [CHECK ...]",
		Short: "Say what a check means, how it is measured and where its limit comes from",
		Example: `  pocketgauge explain                 # the list
  pocketgauge explain zone.open`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if markdown {
				_, err := fmt.Fprint(s.out, checks.Table())
				return err
			}
			if values {
				for _, v := range checks.Values() {
					fmt.Fprintf(s.out, "%-28s %s\n", v.Name, v.Doc)
				}
				return nil
			}
			if len(args) == 0 {
				for _, c := range checks.Catalogue {
					fmt.Fprintf(s.out, "%-15s %s\n", c.ID, c.Title)
				}
				return nil
			}
			for _, id := range args {
				c := checks.ByID(id)
				if c == nil {
					if near, ok := nearest.Word(id, checkIDs()); ok {
						return fmt.Errorf("no check is called %q; did you mean %q?", id, near)
					}
					return fmt.Errorf("no check is called %q; there are %s", id, strings.Join(checkIDs(), ", "))
				}
				fmt.Fprintf(s.out, "%s\n%s\n\n%s\n\nLimits in the rules file: %s\nUsual mend: %s\n", c.ID, c.Title, c.Doc, orNone(c.Keys), c.Mend)
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&values, "values", false, "what the expressions of your own rules may use")
	cmd.Flags().BoolVar(&markdown, "markdown", false, "the table of the README")
	return cmd
}

func orNone(keys []string) string {
	if len(keys) == 0 {
		return "none"
	}
	return strings.Join(keys, ", ")
}

package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"pocketgauge/checks"
	"pocketgauge/rules"
)

func newRules(set *settings, s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "rules",
		Short: "Look at rules files: are they sound, what is their schema, which limits hold",
		Example: `  pocketgauge rules lint frames/r180.yaml
  pocketgauge rules show frames/r180.yaml`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return errors.New("choose lint, schema or show")
		},
	}
	cmd.AddCommand(newRulesLint(set, s), newRulesSchema(s), newRulesShow(set, s))
	return cmd
}

func newRulesLint(set *settings, s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "lint FILE ...",
		Short: "Say whether rules and workspace files are sound",
		Long: `Reads each file with all that it inherits and lists every mistake with its line, the
offending source and a hint. A file named pocketgauge.yaml is read as a workspace, one whose
name ends in rates.yaml as a shop's rates.`,
		Example: `  pocketgauge rules lint frames/*.yaml pocketgauge.yaml`,
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return lintRules(set, s, args)
		},
	}
}

// linted is the outcome of one file, as programs read it.
type linted struct {
	File  string `json:"file"`
	Sound bool   `json:"sound"`
	Says  string `json:"says,omitempty"`
}

func lintRules(set *settings, s streams, files []string) error {
	status := statusPass
	var all []linted
	for _, f := range files {
		l := linted{File: f, Sound: true}
		if err := lintFile(f); err != nil {
			status = statusNothing
			l.Sound, l.Says = false, err.Error()
		}
		all = append(all, l)
		switch {
		case set.format == "jsonl":
			if err := writeLine(s.out, l); err != nil {
				return err
			}
		case set.format == "text" && l.Sound:
			fmt.Fprintf(s.out, "%s: sound\n", f)
		case set.format == "text":
			fmt.Fprintf(s.out, "%s\n", l.Says)
		}
	}
	if set.format == "json" {
		if err := writeJSON(s.out, map[string]any{"files": all}); err != nil {
			return err
		}
	}
	if status != statusPass {
		return outcome{status}
	}
	return nil
}

func lintFile(name string) error {
	if strings.HasSuffix(name, rules.WorkspaceFile) {
		_, err := rules.LoadWorkspace(name)
		return err
	}
	if isRatesFile(name) {
		_, err := rules.LoadRates(name)
		return err
	}
	if strings.HasSuffix(name, rules.WaiverFile) {
		_, err := rules.LoadWaivers(name)
		return err
	}
	frame, err := rules.Lint(name)
	if err != nil {
		return err
	}
	return heldAgainstCatalogue(frame, true)
}

// isRatesFile tells rates from frames by name: their keys have nothing in common, and messages about
// the wrong table would help nobody.
func isRatesFile(name string) bool { return strings.HasSuffix(name, rules.RatesFile) }

// loadFrame reads a rules file and holds the checks it names against those there are.
func loadFrame(name string) (*rules.Frame, error) {
	frame, err := rules.Load(name)
	if err != nil {
		return nil, err
	}
	if err := heldAgainstCatalogue(frame, false); err != nil {
		return nil, err
	}
	return frame, nil
}

// heldAgainstCatalogue says what of a rules file the checks do not know: ids that judge no check,
// expressions over what nobody measures. With cases, the cases of the shop's own rules are run.
func heldAgainstCatalogue(frame *rules.Frame, cases bool) error {
	known := checkIDs()
	for _, r := range frame.Rules {
		known = append(known, "rule."+r.ID.Value)
	}
	return errors.Join(frame.UnknownChecks(known), frame.CheckRules(func(r *rules.CustomRule) []rules.RuleMistake {
		return checks.RuleMistakes(r, cases)
	}))
}

func checkIDs() []string {
	var ids []string
	for _, c := range checks.Catalogue {
		ids = append(ids, c.ID)
	}
	return ids
}

func newRulesSchema(s streams) *cobra.Command {
	var workspace, rates bool
	cmd := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of rules files, for editors to complete from",
		Example: `  pocketgauge rules schema > rules.schema.json
  # then, in the first line of a rules file:
  # yaml-language-server: $schema=rules.schema.json`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			text := rules.Schema()
			if workspace {
				text = rules.WorkspaceSchema()
			}
			if rates {
				text = rules.RatesSchema()
			}
			_, err := s.out.Write(text)
			return err
		},
	}
	cmd.Flags().BoolVar(&workspace, "workspace", false, "the schema of workspace files instead")
	cmd.Flags().BoolVar(&rates, "rates", false, "the schema of rates files instead")
	cmd.MarkFlagsMutuallyExclusive("workspace", "rates")
	return cmd
}

func newRulesShow(set *settings, s streams) *cobra.Command {
	return &cobra.Command{
		Use:     "show FILE",
		Short:   "List the limits in force, and where each came from",
		Example: `  pocketgauge rules show frames/r180.yaml`,
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if isRatesFile(args[0]) {
				rates, err := rules.LoadRates(args[0])
				if err != nil {
					return err
				}
				return showRows(set, s.out, rates.File, rates.Digest(), rules.ShowRates(rates))
			}
			frame, err := loadFrame(args[0])
			if err != nil {
				return err
			}
			return showRows(set, s.out, frame.File, frame.Digest(), rules.Show(frame))
		},
	}
}

// shownRow is one limit in force, as programs read it.
type shownRow struct {
	Key    string `json:"key"`
	Value  string `json:"value"`
	Unit   string `json:"unit,omitempty"`
	Origin string `json:"origin"`
}

func showRows(set *settings, w io.Writer, file, sum string, rows []rules.Row) error {
	var all []shownRow
	for _, r := range rows {
		all = append(all, shownRow{r.Key, r.Value, r.Unit, r.Origin.String()})
	}
	switch set.format {
	case "json":
		return writeJSON(w, map[string]any{"file": file, "sha256": sum, "limits": all})
	case "jsonl":
		for _, r := range all {
			if err := writeLine(w, r); err != nil {
				return err
			}
		}
		return nil
	}
	// An empty line ends the columns of a tab writer, so that one long key widens its section alone.
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for i, r := range all {
		if i > 0 && section(r.Key) != section(all[i-1].Key) {
			fmt.Fprintln(table)
		}
		fmt.Fprintf(table, "%s\t%s %s\t%s\n", r.Key, r.Value, r.Unit, r.Origin)
	}
	return table.Flush()
}

// section is what a key belongs to: pocket for pocket.fit, zones[clamp 1.5] for what is said of that
// zone, and nothing for a key that stands alone.
func section(key string) string {
	name := strings.IndexByte(key, ']') + 1
	if dot := strings.IndexByte(key[name:], '.'); dot >= 0 {
		return key[:name+dot]
	}
	return key[:name]
}

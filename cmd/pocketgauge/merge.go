package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"pocketgauge/checks/report"
)

func newMerge(set *settings, s streams) *cobra.Command {
	var gating gating
	var wanted []string
	var all bool
	cmd := &cobra.Command{
		Use:   "merge FILE ...",
		Short: "Put the parts of a run back together",
		Long: `Reads what check --shard --format json has written for each part, and prints, reports and exits as
one run of the whole would have. Every part must be there, of the same program and rules.`,
		Example: `  pocketgauge check --shard 1/2 --format json > 1.json
  pocketgauge check --shard 2/2 --format json > 2.json
  pocketgauge merge 1.json 2.json --report junit=report.xml`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			gate, err := gating.gate()
			if err != nil {
				return err
			}
			reports, err := wantedReports(wanted)
			if err != nil {
				return err
			}
			var parts []report.Part
			for _, file := range args {
				text, err := os.ReadFile(file)
				if err != nil {
					return err
				}
				p, err := report.ReadPart(file, text)
				if err != nil {
					return err
				}
				parts = append(parts, p)
			}
			done := finished{gate: gate}
			if done.Judged, err = report.Merge(parts); err != nil {
				return fmt.Errorf("merge: %w", err)
			}
			p := printer{format: set.format, out: s.out, style: report.Style{Colour: wantsColour(s), All: all}, gate: gate}
			if toStdout(reports) {
				p.out = io.Discard
			}
			for i := range done.Inserts {
				if err := p.insert(&done.Inserts[i]); err != nil {
					return err
				}
			}
			return p.finish(cmd.Context(), s, reports, &done)
		},
	}
	gating.flags(cmd)
	f := cmd.Flags()
	f.StringArrayVar(&wanted, "report", nil, reportHelp())
	f.BoolVar(&all, "all", false, "list the passing readings too (text)")
	return cmd
}

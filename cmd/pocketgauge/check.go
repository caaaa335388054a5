package main

import (
	"context"
	"fmt"
	"os"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
)

func newCheck(set *settings, s streams) *cobra.Command {
	var pick selection
	var strict, all bool
	cmd := &cobra.Command{
		Use:   "check [MODEL or FOLDER ...]",
		Short: "Judge inserts against the limits of their frame",
		Long: `Judges each insert and says what will not fit, by how much, where, and how to mend it.
Without arguments, or given a folder that holds a pocketgauge.yaml, it reads that workspace
file, which says which model belongs to which frame. With --rules it judges the models named
against one frame.`,
		Example: `  pocketgauge check                                   # the workspace in this folder
  pocketgauge check --rules frames/r180.yaml --half moving insert.stl
  pocketgauge check --format jsonl apiary | jq 'select(.verdict != "pass")'`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return checkInserts(cmd.Context(), set, s, pick, args, report.Style{Colour: wantsColour(s), All: all, Strict: strict})
		},
	}
	pick.flags(cmd)
	cmd.Flags().BoolVar(&strict, "strict", false, "reject borderline inserts too")
	cmd.Flags().BoolVar(&all, "all", false, "list the passing readings too (text)")
	return cmd
}

func checkInserts(ctx context.Context, set *settings, s streams, pick selection, args []string, style report.Style) error {
	work, err := pick.inserts(args, set)
	if err != nil {
		return err
	}
	bar := newProgress(s.err, len(work.inserts), "judged")
	defer bar.stop()
	result := report.Judged{Tool: toolName(), Rules: work.sources, Inserts: []report.Insert{}, Unassigned: work.unassigned}
	status := statusPass
	err = batch.Run(ctx, len(work.inserts), set.workers(), func(_ context.Context, i int) report.Insert {
		o := batch.Judge(work.inserts[i])
		return report.NewInsert(&o)
	}, func(i int, in report.Insert) error {
		bar.done(i)
		status = worse(status, insertStatus(in, style.Strict))
		result.Inserts = append(result.Inserts, in)
		switch set.format {
		case "json":
			return nil
		case "jsonl":
			return writeLine(s.out, in)
		}
		bar.clear()
		return report.WriteInsertText(s.out, in, style)
	})
	if err != nil {
		return err
	}
	bar.stop()
	switch set.format {
	case "json":
		err = writeJSON(s.out, result)
	case "text":
		err = report.WriteSummaryText(s.out, result, style)
	}
	if err != nil {
		return err
	}
	if status != statusPass {
		return outcome{status}
	}
	return nil
}

// insertStatus is the exit status that one insert alone would give.
func insertStatus(in report.Insert, strict bool) int {
	status := statusPass
	switch {
	case in.Verdict == report.VerdictUnreadable:
		return statusPartial
	case in.Verdict == report.VerdictFail, in.Verdict == report.VerdictBorderline && strict:
		status = statusRejected
	}
	for _, f := range in.Findings {
		if f.Verdict == "not judged" {
			return statusPartial
		}
	}
	return status
}

func wantsColour(s streams) bool {
	f, ok := s.out.(*os.File)
	return ok && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && term.IsTerminal(int(f.Fd()))
}

func toolName() string { return fmt.Sprintf("pocketgauge %s", version) }

// version is set by the linker in a release build.
var version = "dev"

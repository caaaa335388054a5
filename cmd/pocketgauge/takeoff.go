package main

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/checks/takeoff"
	"pocketgauge/mesh/load"
)

func newTakeoff(set *settings, s streams) *cobra.Command {
	var pick selection
	var csvFile string
	cmd := &cobra.Command{
		Use:   "takeoff [MODEL or FOLDER ...]",
		Short: "Measure the stock to remove from each blank, for a quote",
		Long: `Measures blank, insert and the stock between them in cm3 and kg, each figure with its
uncertainty. Inserts and frames are named as for check. An insert drawn in the wrong unit or
place is measured as if that were put right; check tells.`,
		Example: `  pocketgauge takeoff apiary
  pocketgauge takeoff --csv stock.csv --rules frames/r180.yaml inserts/`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return takeOffInserts(cmd.Context(), set, s, pick, args, csvFile)
		},
	}
	pick.flags(cmd)
	cmd.Flags().StringVar(&csvFile, "csv", "", "also write a table to this file")
	return cmd
}

// takenOff is one insert's outcome.
type takenOff struct {
	figures report.TakenOff
	err     error
}

func takeOffInserts(ctx context.Context, set *settings, s streams, pick selection, args []string, csvFile string) error {
	work, err := pick.inserts(args, set)
	if err != nil {
		return err
	}
	bar := newProgress(s.err, len(work.inserts), "measured")
	defer bar.stop()
	var all []report.TakenOff
	var values []any
	status := statusPass
	err = batch.Run(ctx, len(work.inserts), set.workers(), func(_ context.Context, i int) takenOff {
		return takeOffOne(work.inserts[i])
	}, func(i int, r takenOff) error {
		bar.done(i)
		var value any = r.figures
		if r.err != nil {
			status = statusPartial
			value = report.NewUnreadable(work.inserts[i].File, r.err)
		} else {
			all = append(all, r.figures)
		}
		switch set.format {
		case "jsonl":
			return writeLine(s.out, value)
		case "json":
			values = append(values, value)
			return nil
		}
		bar.clear()
		if r.err != nil {
			return report.WriteMeasuredText(s.out, value)
		}
		return report.WriteTakenOffText(s.out, r.figures)
	})
	if err != nil {
		return err
	}
	switch set.format {
	case "json":
		err = writeJSON(s.out, map[string]any{"tool": toolName(), "rules": work.sources, "inserts": values})
	case "text":
		err = report.WriteTakeoffTotalText(s.out, all)
	}
	if err == nil && csvFile != "" {
		err = writeWhole(csvFile, func(w writer) error { return report.WriteTakeoffCSV(w, all) })
	}
	if err != nil {
		return err
	}
	if status != statusPass {
		return outcome{status}
	}
	return nil
}

func takeOffOne(in batch.Insert) takenOff {
	var t *takeoff.Takeoff
	digest := ""
	err := batch.Guard(in.File, func() error {
		subject, sum, err := batch.Read(in)
		digest = sum
		if err != nil {
			return err
		}
		if !subject.IsSolid() {
			return &load.Error{File: in.File, Code: "solid", Says: "the model is not a closed solid, so it has no volume; check tells where it is open"}
		}
		if t, err = takeoff.Of(checks.Righted(subject)); err != nil {
			return &load.Error{File: in.File, Code: "stock", Says: err.Error()}
		}
		return nil
	})
	if err != nil {
		var known *load.Error
		if !errors.As(err, &known) {
			err = &load.Error{File: in.File, Code: "rules", Says: err.Error()}
		}
		return takenOff{err: err}
	}
	t.SHA256 = digest
	return takenOff{figures: report.NewTakenOff(t)}
}

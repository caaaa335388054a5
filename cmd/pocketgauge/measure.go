package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/mesh/load"
)

func newMeasure(set *settings, s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "measure MODEL or FOLDER ...",
		Short: "Plain measures of any model: volume, area, bounds, soundness; no rules needed",
		Long: `Reads each model and prints what it measures, with the uncertainty of each figure.
A bad file gives an error line and never stops the rest.`,
		Example: `  pocketgauge measure feeder-cap-fixed.stl
  pocketgauge measure --format jsonl inserts/ | jq .volume_mm3`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return measureFiles(cmd.Context(), set, s, args)
		},
	}
}

// measured is one file's outcome.
type measured struct {
	measures report.Measured
	err      error
}

func measureFiles(ctx context.Context, set *settings, s streams, args []string) error {
	files, err := modelFiles(args)
	if err != nil {
		return err
	}
	bar := newProgress(s.err, len(files), "measured")
	defer bar.stop()
	var all []any
	status := statusPass
	err = batch.Run(ctx, len(files), set.workers(), func(_ context.Context, i int) measured {
		start := time.Now()
		model, _, err := load.File(files[i], load.Options{ChordMM: set.chord})
		if err != nil {
			return measured{err: err}
		}
		m := report.NewMeasured(files[i], model)
		// The one figure that is not the same on each run; it stands in this output only.
		ms := float64(time.Since(start).Microseconds()) / 1000
		m.ElapsedMS = &ms
		return measured{measures: m}
	}, func(i int, r measured) error {
		bar.done(i)
		var value any = r.measures
		if r.err != nil {
			status = statusPartial
			value = report.NewUnreadable(files[i], r.err)
		}
		switch set.format {
		case "jsonl":
			return writeLine(s.out, value)
		case "json":
			all = append(all, value)
			return nil
		}
		bar.clear()
		return report.WriteMeasuredText(s.out, value)
	})
	if err != nil {
		return err
	}
	if set.format == "json" {
		if err := writeJSON(s.out, map[string]any{"models": all}); err != nil {
			return err
		}
	}
	if status != statusPass {
		return outcome{status}
	}
	return nil
}

// write prints one answer in the format asked for.
func (set *settings) write(w io.Writer, value any, text func() error) error {
	switch set.format {
	case "jsonl":
		return writeLine(w, value)
	case "json":
		return writeJSON(w, value)
	}
	return text()
}

func writeLine(w io.Writer, value any) error {
	line, err := json.Marshal(value)
	if err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	_, err = w.Write(append(line, '\n'))
	return err
}

func writeJSON(w io.Writer, value any) error {
	text, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		return errors.Join(errors.New("writing JSON"), err)
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"pocketgauge/checks/quote"
	"pocketgauge/checks/report"
	"pocketgauge/rules"
)

// calibrating are the flags of calibrate.
type calibrating struct{ rates, out, plot string }

func newCalibrate(set *settings, s streams) *cobra.Command {
	var c calibrating
	cmd := &cobra.Command{
		Use:   "calibrate HISTORY.csv",
		Short: "Fit the shop's rates to the hours that past jobs took",
		Long: `Reads what quote --history wrote when past jobs were quoted, with the column actual_hours
filled in, and fits the rates to it, operation by operation: least squares with no rate below
a tenth of itself and a pull to today's rates where the jobs do not tell rates apart. How well a
fit does is judged by jobs that were left out of it. Rates are changed only where that is better
than today's, and written to a new file that inherits the old one. No file is written over.`,
		Example: `  pocketgauge quote --history jobs.csv apiary
  pocketgauge calibrate --rates apiary/rates.yaml --plot fit.svg jobs.csv`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return calibrateRates(set, s, c, args[0])
		},
	}
	f := cmd.Flags()
	f.StringVar(&c.rates, "rates", "", "rates `FILE` to start from; else the program's own rates")
	f.StringVar(&c.out, "out", "", "new rates `FILE`; else calibrated-rates.yaml beside the old one")
	f.StringVar(&c.plot, "plot", "", "also draw predicted against booked hours to this SVG `FILE`")
	written(cmd, "out", "plot")
	return cmd
}

func calibrateRates(set *settings, s streams, c calibrating, history string) error {
	rates := rules.DefaultRates()
	if c.rates != "" {
		var err error
		if rates, err = rules.LoadRates(c.rates); err != nil {
			return err
		}
	}
	out := c.out
	if out == "" {
		// Beside the old rates, else beside the history.
		beside := history
		if rates.File != "" {
			beside = rates.File
		}
		out = filepath.Join(filepath.Dir(beside), "calibrated-"+rules.RatesFile)
	}
	if _, err := os.Lstat(out); !errors.Is(err, fs.ErrNotExist) {
		if err != nil {
			return err
		}
		return fmt.Errorf("%s is there already and is not written over; name another file with --out", out)
	}
	shop := quote.New(rates)
	file, err := os.Open(history)
	if err != nil {
		return err
	}
	defer file.Close()
	records, err := shop.ReadHistory(history, file)
	if err != nil {
		return err
	}
	fit, err := shop.Calibrate(records)
	if err != nil {
		return fmt.Errorf("%s: %w", history, err)
	}
	told := report.NewCalibrated(toolName(), history, shop, fit)
	changed := shop.Changed(fit)
	if len(changed) > 0 {
		if err := writeRates(out, told, changed, rates); err != nil {
			return err
		}
		told.Written = filepath.ToSlash(out)
	}
	if c.plot != "" {
		chart := report.NewFitChart(fit)
		if err := writeWhole(c.plot, func(w writer) error { return chart.WriteSVG(w) }); err != nil {
			return err
		}
	}
	return set.write(s.out, told, func() error { return report.WriteCalibratedText(s.out, told) })
}

// writeRates writes the new file and reads it back: a file that the next quote refuses is not left.
func writeRates(out string, told report.Calibrated, changed []quote.Changed, rates *rules.Rates) error {
	inherits := ""
	if rates.File != "" {
		from, err := filepath.Abs(filepath.Dir(out))
		if err != nil {
			return err
		}
		to, err := filepath.Abs(rates.File)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(from, to)
		if err != nil {
			return fmt.Errorf("%s cannot inherit %s: %w", out, rates.File, err)
		}
		inherits = filepath.ToSlash(rel)
	}
	if err := writeWhole(out, func(w writer) error {
		return report.WriteCalibratedRates(w, told, inherits, changed, rates)
	}); err != nil {
		return err
	}
	again, err := rules.LoadRates(out)
	if err == nil {
		err = stated(again, changed)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("the rates that were written do not read back: %w", err), os.Remove(out))
	}
	return nil
}

// stated holds the rates of a file against what was to be written.
func stated(r *rules.Rates, changed []quote.Changed) error {
	var wrong error
	r.EachNumber(func(path string, l *rules.Limit) {
		i := slices.IndexFunc(changed, func(c quote.Changed) bool { return c.Key == path })
		// Twelve figures are printed (quantity.Format), the rates are rounded to four.
		const figures = 1 + 1.0/1_000_000
		if i >= 0 && !(l.Value < changed[i].New*figures && l.Value*figures > changed[i].New) {
			wrong = errors.Join(wrong, fmt.Errorf("%s is %v, not %v", path, l.Value, changed[i].New))
		}
	})
	return wrong
}

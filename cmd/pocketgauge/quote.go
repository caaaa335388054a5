package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"github.com/spf13/cobra"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/checks/quote"
	"pocketgauge/checks/report"
	"pocketgauge/checks/takeoff"
	"pocketgauge/mesh/load"
	"pocketgauge/rules"
)

// quoting are the flags of quote.
type quoting struct {
	pick                       selection
	rates, csv, xlsx           string
	history, chart             string
	customer, single, againstD bool
}

func newQuote(set *settings, s streams) *cobra.Command {
	var q quoting
	cmd := &cobra.Command{
		Use:   "quote [MODEL or FOLDER ...]",
		Short: "Turn the stock to remove into hours, money and weeks",
		Long: `Takes each insert off its blank, works out hours and money line by line by the shop's rates,
and says where each line comes from. Inserts and frames are named as for check; the two halves
of a pair that are both named are quoted as one job.

Rates are those of --rates, else of rates.yaml beside the workspace file, else the program's own.`,
		Example: `  pocketgauge quote apiary
  pocketgauge quote --customer --xlsx offer.xlsx apiary/inserts/queen-clip-*
  pocketgauge quote --against-dedicated apiary/inserts/queen-clip-*`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return quoteInserts(cmd.Context(), set, s, q, args)
		},
	}
	q.pick.flags(cmd)
	f := cmd.Flags()
	f.StringVar(&q.rates, "rates", "", "rates `FILE` of the shop")
	f.BoolVar(&q.customer, "customer", false, "print what the customer reads: price and time, no rates and no hours")
	f.BoolVar(&q.single, "single", false, "quote each half by itself, also where both halves of a pair are named")
	f.BoolVar(&q.againstD, "against-dedicated", false, "compare with the same detail as a mould of its own")
	f.StringVar(&q.csv, "csv", "", "also write a table to this `FILE`")
	f.StringVar(&q.xlsx, "xlsx", "", "also write a workbook to this `FILE`")
	f.StringVar(&q.history, "history", "", "also write a `FILE` to fill actual hours into, for calibrate")
	f.StringVar(&q.chart, "chart", "", "with --against-dedicated and one job: draw cost over batches to this SVG `FILE`")
	written(cmd, "csv", "xlsx", "history", "chart")
	return cmd
}

// ratesFor finds the shop's rates.
func ratesFor(named string, args []string) (*rules.Rates, error) {
	if named != "" {
		return rules.LoadRates(named)
	}
	if len(args) == 0 {
		args = []string{"."}
	}
	folder := args[0]
	if info, err := os.Stat(folder); err == nil && !info.IsDir() {
		folder = filepath.Dir(folder)
	}
	if workspace, err := nearestWorkspace(folder, true); err == nil {
		beside := filepath.Join(filepath.Dir(workspace), rules.RatesFile)
		if _, err := os.Stat(beside); err == nil {
			return rules.LoadRates(beside)
		}
	}
	return rules.DefaultRates(), nil
}

// partners are the other halves that the workspaces of the arguments name, by path, either way round.
func partners(pick selection, args []string) (map[string]string, error) {
	of := map[string]string{}
	if pick.rulesFile != "" {
		return of, nil
	}
	if len(args) == 0 {
		args = []string{"."}
	}
	read := map[string]bool{}
	for _, a := range args {
		folder, up := a, false
		if info, err := os.Stat(a); err == nil && !info.IsDir() {
			folder, up = filepath.Dir(a), true
		}
		file, err := nearestWorkspace(folder, up)
		if err != nil {
			return nil, err
		}
		if read[file] {
			continue
		}
		read[file] = true
		space, err := rules.LoadWorkspace(file)
		if err != nil {
			return nil, err
		}
		models, _, err := space.Resolve()
		if err != nil {
			return nil, err
		}
		for _, m := range models {
			if m.Partner != "" {
				of[m.Path] = m.Partner
				if of[m.Partner] == "" {
					of[m.Partner] = m.Path
				}
			}
		}
	}
	return of, nil
}

// pairs puts the inserts of one mould together: the positions of each job's inserts, in their order.
func pairs(inserts []batch.Insert, partner map[string]string) [][]int {
	var jobs [][]int
	at := map[string]int{}
	for i, in := range inserts {
		if other := partner[in.File]; other != "" {
			if j, ok := at[other]; ok && len(jobs[j]) == 1 {
				jobs[j] = append(jobs[j], i)
				continue
			}
		}
		at[in.File] = len(jobs)
		jobs = append(jobs, []int{i})
	}
	return jobs
}

// quoted is the outcome of one job.
type quoted struct {
	quote *quote.Quote
	job   report.QuotedJob
	// failed are the inserts that could not be measured, or what the rates have no answer for.
	failed []report.Unreadable
}

func quoteInserts(ctx context.Context, set *settings, s streams, q quoting, args []string) error {
	if q.chart != "" && !q.againstD {
		return errors.New("--chart goes with --against-dedicated")
	}
	work, err := q.pick.inserts(args, set)
	if err != nil {
		return err
	}
	rates, err := ratesFor(q.rates, args)
	if err != nil {
		return err
	}
	if rates.File == "" {
		fmt.Fprintln(s.err, "pocketgauge: no rates file; the program's own rates are used")
	}
	shop := quote.New(rates)
	var partner map[string]string
	if !q.single {
		if partner, err = partners(q.pick, args); err != nil {
			return err
		}
	}
	jobs := pairs(work.inserts, partner)
	bar := newProgress(s.err, len(jobs), "quoted")
	defer bar.stop()
	var all []*quote.Quote
	var told []report.QuotedJob
	values := []any{}
	status := statusPass
	err = batch.Run(ctx, len(jobs), set.workers(), func(_ context.Context, i int) quoted {
		return quoteJob(shop, work.inserts, jobs[i], q)
	}, func(i int, r quoted) error {
		bar.done(i)
		for _, f := range r.failed {
			status = statusPartial
			values = append(values, f)
			if err := emitFailed(s, set, q, bar, f); err != nil {
				return err
			}
		}
		if r.quote == nil {
			return nil
		}
		all, told = append(all, r.quote), append(told, r.job)
		values = append(values, r.job)
		switch {
		case q.customer:
			return nil
		case set.format == "jsonl":
			return writeLine(s.out, r.job)
		case set.format == "text":
			bar.clear()
			return report.WriteQuotedText(s.out, r.job, rates.Currency.Value)
		}
		return nil
	})
	if err != nil {
		return err
	}
	bar.stop()
	sum := shop.Total(all)
	if err := q.finish(s, set, shop, sum, told, values); err != nil {
		return err
	}
	if status != statusPass {
		return outcome{status}
	}
	return nil
}

// emitFailed tells of what could not be quoted: among the results, or where the customer reads those, on
// standard error.
func emitFailed(s streams, set *settings, q quoting, bar *progress, f report.Unreadable) error {
	switch {
	case q.customer:
		bar.clear()
		return report.WriteMeasuredText(s.err, f)
	case set.format == "jsonl":
		return writeLine(s.out, f)
	case set.format == "text":
		bar.clear()
		return report.WriteMeasuredText(s.out, f)
	}
	return nil
}

// finish prints the total and writes the files.
func (q *quoting) finish(s streams, set *settings, shop *quote.Shop, sum quote.Batch, told []report.QuotedJob, values []any) error {
	rates := shop.Rates()
	total := report.NewQuotedTotals(sum)
	customer := report.NewCustomerQuote(toolName(), rates.Shop.Value, rates.Currency.Value, sum)
	var err error
	switch {
	case q.customer && set.format == "text":
		err = report.WriteCustomerText(s.out, customer)
	case q.customer && set.format == "jsonl":
		err = writeLine(s.out, customer)
	case q.customer:
		err = writeJSON(s.out, customer)
	case set.format == "text" && len(told) != 1:
		err = report.WriteQuotedTotalText(s.out, total, rates.Currency.Value)
	case set.format == "json":
		err = writeJSON(s.out, report.Quoted{Tool: toolName(), Rates: report.Source{File: rates.File, SHA256: rates.Digest()}, Shop: rates.Shop.Value, Currency: rates.Currency.Value, Jobs: values, Total: &total})
	}
	if err != nil {
		return err
	}
	if q.csv != "" {
		err = writeWhole(q.csv, func(w writer) error {
			if q.customer {
				return report.WriteCustomerCSV(w, customer)
			}
			return report.WriteQuotedCSV(w, told)
		})
	}
	if err == nil && q.history != "" {
		err = writeWhole(q.history, func(w writer) error {
			var records []quote.Record
			for _, one := range sum.Quotes {
				records = append(records, shop.Records(one)...)
			}
			return shop.WriteHistory(w, records)
		})
	}
	if err == nil && q.chart != "" {
		err = q.draw(shop, sum)
	}
	if err == nil && q.xlsx != "" {
		err = writeWhole(q.xlsx, func(w writer) error {
			if q.customer {
				return report.WriteCustomerXLSX(w, customer)
			}
			return report.WriteQuotedXLSX(w, told, total)
		})
	}
	return err
}

// measureStock takes one insert off its blank. Its errors have the file and a code.
func measureStock(in batch.Insert) (*takeoff.Takeoff, error) {
	var t *takeoff.Takeoff
	err := batch.Guard(in.File, func() error {
		subject, digest, err := batch.Read(in)
		if err != nil {
			return err
		}
		if !subject.IsSolid() {
			return &load.Error{File: in.File, Code: "solid", Says: "the model is not a closed solid, so it has no volume; check tells where it is open"}
		}
		if t, err = takeoff.Of(checks.Righted(subject)); err != nil {
			return &load.Error{File: in.File, Code: "stock", Says: err.Error()}
		}
		t.SHA256 = digest
		return nil
	})
	var known *load.Error
	if err != nil && !errors.As(err, &known) {
		err = &load.Error{File: in.File, Code: "rules", Says: err.Error()}
	}
	if err != nil {
		return nil, err
	}
	return figuresOf(t), nil
}

// figuresOf is a takeoff's figures without the grids from which it can draw: a batch keeps the figures of
// all its inserts, and grids are thousands of times as large.
func figuresOf(t *takeoff.Takeoff) *takeoff.Takeoff {
	var bare takeoff.Takeoff
	from, to := reflect.ValueOf(t).Elem(), reflect.ValueOf(&bare).Elem()
	for i := range from.NumField() {
		if from.Type().Field(i).IsExported() {
			to.Field(i).Set(from.Field(i))
		}
	}
	return &bare
}

// draw writes the chart of the one job.
func (q *quoting) draw(shop *quote.Shop, sum quote.Batch) error {
	if len(sum.Quotes) != 1 {
		return fmt.Errorf("--chart %s: it shows one job, and %d were quoted", q.chart, len(sum.Quotes))
	}
	d, err := shop.AgainstDedicated(sum.Quotes[0])
	if err != nil {
		return err
	}
	chart := report.NewCostChart(d, shop.Rates().Currency.Value)
	return writeWhole(q.chart, func(w writer) error { return chart.WriteSVG(w) })
}

// quoteJob measures the inserts of a job and quotes those that could be measured: where one half of a
// pair cannot be read, the job is not quoted, for half a price is no price.
func quoteJob(shop *quote.Shop, inserts []batch.Insert, which []int, q quoting) quoted {
	var r quoted
	job := quote.Job{}
	var names []string
	for _, i := range which {
		in := inserts[i]
		if in.Finish == "" {
			in.Finish = shop.Rates().Polishing.Class.Value
		}
		t, err := measureStock(in)
		if err != nil {
			r.failed = append(r.failed, report.NewUnreadable(in.File, err))
			continue
		}
		job.Halves = append(job.Halves, t)
		names = append(names, in.Name)
	}
	if len(r.failed) > 0 {
		return r
	}
	job.Name = jobName(names)
	first := inserts[which[0]].File
	err := batch.Guard(first, func() (err error) {
		if r.quote, err = shop.Quote(job); err != nil {
			return err
		}
		r.job = report.NewQuotedJob(r.quote)
		if !q.againstD {
			return nil
		}
		d, err := shop.AgainstDedicated(r.quote)
		if err != nil {
			return err
		}
		r.job.Dedicated = report.NewQuotedDedicated(d)
		return nil
	})
	if err != nil {
		var known *load.Error
		if !errors.As(err, &known) {
			err = &load.Error{File: first, Code: "rates", Says: err.Error()}
		}
		return quoted{failed: []report.Unreadable{report.NewUnreadable(first, err)}}
	}
	return r
}

// jobName is what the names of the halves have in common from the start, without what is left of a
// word or a comma at its end; the first name where that is nothing.
func jobName(names []string) string {
	name := names[0]
	for _, other := range names[1:] {
		n := 0
		for n < len(name) && n < len(other) && name[n] == other[n] {
			n++
		}
		name = name[:n]
	}
	// "Queen-cage clip, " ends between words; "clip-" where the halves' files differ.
	// A name is cut between bytes, which may be within a letter.
	if name = strings.TrimRight(strings.ToValidUTF8(name, ""), " ,;-_."); name == "" {
		return names[0]
	}
	return name
}

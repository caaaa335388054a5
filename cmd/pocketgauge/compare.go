package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/quote"
	"pocketgauge/checks/report"
	"pocketgauge/checks/revision"
	"pocketgauge/checks/takeoff"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/render"
)

func newCompare(set *settings, s streams) *cobra.Command {
	var pick selection
	var picture, ratesFile string
	cmd := &cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Tell what a revision removes and adds, whether it is steel safe, and what it takes",
		Long: `Compares an insert with its revision: the metal to remove and the metal to add as regions, each with
volume, place and thickness; which checks change their verdict; the takeoff of what is to be cut, and
its quote where the shop's rates are known.
A revision that only removes metal is steel safe; else it says whether the steel can be welded or an
insert made anew. The two may be of different formats and lie in different places: the old one is laid
onto the new one first, and the motion is told. Both are held against the frame of the new one, found
as for check.

Exit status: 0 steel safe and no verdict worse; 1 metal is added or a verdict is worse; 2 nothing was
compared; 3 a model could not be read or compared.`,
		Example: `  pocketgauge compare old/clip.stl inserts/clip.stp
  pocketgauge compare --picture change.png --rules frames/r180.yaml clip-a.stl clip-b.stl`,
		Args: cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			return compareInserts(cmd.Context(), set, s, pick, args[0], args[1], picture, ratesFile)
		},
	}
	pick.flags(cmd)
	cmd.Flags().StringVar(&picture, "picture", "", "also draw the new insert to this `FILE` (PNG), coloured by what was removed and added")
	written(cmd, "picture")
	cmd.Flags().StringVar(&ratesFile, "rates", "", "quote the change by this rates `FILE`; else by rates.yaml beside the workspace, where there is one")
	return cmd
}

func compareInserts(ctx context.Context, set *settings, s streams, pick selection, old, revised, picture, ratesFile string) error {
	work, err := pick.inserts([]string{revised}, set)
	if err != nil {
		return err
	}
	if len(work.inserts) != 1 {
		return errors.New("compare two models, not folders")
	}
	after := work.inserts[0]
	before := after
	// The old model may lie in a workspace too, with a unit and placement of its own, or beside it.
	if pick.rulesFile == "" {
		if w, err := pick.inserts([]string{old}, set); err == nil && len(w.inserts) == 1 {
			before = w.inserts[0]
		}
	}
	before.File, before.Frame, before.Half, before.Name = old, after.Frame, after.Half, after.Name
	pair := []batch.Insert{before, after}
	outcomes := make([]batch.Outcome, len(pair))
	err = batch.Run(ctx, len(pair), set.workers(), func(_ context.Context, i int) batch.Outcome {
		return batch.Judge(pair[i])
	}, func(i int, o batch.Outcome) error { outcomes[i] = o; return nil })
	if err != nil {
		return err
	}
	failed := func(file string, err error) error {
		u := report.NewUnreadable(file, err)
		if err := set.write(s.out, u, func() error { return report.WriteMeasuredText(s.out, u) }); err != nil {
			return err
		}
		return outcome{statusPartial}
	}
	for i := range outcomes {
		if o := &outcomes[i]; o.Err != nil {
			return failed(pair[i].File, o.Err)
		}
	}
	var r *revision.Revision
	err = batch.Guard(after.File, func() (err error) {
		r, err = revision.Between(sideOf(&outcomes[0]), sideOf(&outcomes[1]))
		return err
	})
	if err != nil {
		var known *load.Error
		if !errors.As(err, &known) {
			err = &load.Error{File: after.File, Code: "compare", Says: err.Error()}
		}
		return failed(after.File, err)
	}
	out := report.NewRevised(toolName(), r)
	if out.Quote, err = quoteChange(r, ratesFile, revised); err != nil {
		return err
	}
	err = set.write(s.out, out, func() error { return report.WriteRevisedText(s.out, out) })
	if err == nil && picture != "" {
		err = writeWhole(picture, func(w writer) error { return drawRevision(w, r) })
	}
	if err != nil {
		return err
	}
	if !out.SteelSafe || r.Worse() {
		return outcome{statusRejected}
	}
	return nil
}

// quoteChange quotes what is to be cut by the shop's rates; nil where there are none, or nothing to cut.
func quoteChange(r *revision.Revision, ratesFile, model string) (*report.QuotedChange, error) {
	if r.Takeoff == nil {
		return nil, nil
	}
	rates, err := ratesFor(ratesFile, []string{model})
	if err != nil || rates.File == "" {
		return nil, err
	}
	q, err := quote.New(rates).Revise(quote.Job{Name: r.New.Subject.Name, Halves: []*takeoff.Takeoff{r.Takeoff}})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", rates.File, err)
	}
	return &report.QuotedChange{
		Rates:    report.Source{File: rates.File, SHA256: rates.Digest()},
		Currency: rates.Currency.Value, Job: report.NewQuotedJob(q),
	}, nil
}

func sideOf(o *batch.Outcome) revision.Insert {
	return revision.Insert{File: o.Insert.File, SHA256: o.SHA256, Subject: o.Subject, Findings: o.Findings}
}

func drawRevision(w writer, r *revision.Revision) error {
	scene, keys := r.Scene()
	p, err := render.Thumbnail(scene, render.Options{WidthPX: largePicturePX, HeightPX: largePicturePX * 3 / 4})
	if err != nil {
		return err
	}
	p, err = render.Legend(p, r.New.Subject.Name+": "+string(r.Advice), keys)
	if err != nil {
		return err
	}
	return render.EncodePNG(w, p)
}

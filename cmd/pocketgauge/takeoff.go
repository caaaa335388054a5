package main

import (
	"context"
	"errors"
	"image"

	"github.com/spf13/cobra"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/checks/takeoff"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/render"
)

func newTakeoff(set *settings, s streams) *cobra.Command {
	var pick selection
	var to takeoffFiles
	cmd := &cobra.Command{
		Use:   "takeoff [MODEL or FOLDER ...]",
		Short: "Measure the stock to remove from each blank and how it goes, for a quote",
		Long: `Measures blank, insert and the stock between them in cm3 and kg, and splits the stock by how it
goes: faced, milled from each side by each cutter of the rules, drilled, spark eroded, left as it is. The
parts add up to the stock exactly. Also the surface to finish and the edges to break. Each figure has
its uncertainty. Inserts and frames are named as for check. An insert drawn in the wrong unit or
place is measured as if that were put right; check tells.`,
		Example: `  pocketgauge takeoff apiary
  pocketgauge takeoff --xlsx stock.xlsx --rules frames/r180.yaml inserts/
  pocketgauge takeoff --picture cap.png apiary/inserts/feeder-cap-moving.stl`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return takeOffInserts(cmd.Context(), set, s, pick, args, to)
		},
	}
	pick.flags(cmd)
	f := cmd.Flags()
	f.StringVar(&to.csv, "csv", "", "also write a table with a line for each insert to this `FILE`")
	f.StringVar(&to.lines, "lines", "", "also write a table (CSV) with a line for each cut, hole, region and surface to this `FILE`")
	f.StringVar(&to.xlsx, "xlsx", "", "also write both tables as a workbook to this `FILE`")
	f.StringVar(&to.picture, "picture", "", "also draw the inserts to this `FILE` (PNG), coloured by how the metal goes")
	written(cmd, "csv", "lines", "xlsx", "picture")
	return cmd
}

// takeoffFiles are the files asked for; "" for none.
type takeoffFiles struct{ csv, lines, xlsx, picture string }

// takenOff is one insert's outcome.
type takenOff struct {
	figures report.TakenOff
	picture image.Image
	keys    []render.Key
	err     error
}

func takeOffInserts(ctx context.Context, set *settings, s streams, pick selection, args []string, to takeoffFiles) error {
	work, err := pick.inserts(args, set)
	if err != nil {
		return err
	}
	bar := newProgress(s.err, len(work.inserts), "measured")
	defer bar.stop()
	var all []report.TakenOff
	var values []any
	status := statusPass
	var drawn []takenOff
	err = batch.Run(ctx, len(work.inserts), set.workers(), func(_ context.Context, i int) takenOff {
		return takeOffOne(work.inserts[i], to.picture != "", len(work.inserts) == 1)
	}, func(i int, r takenOff) error {
		bar.done(i)
		if to.picture != "" {
			r.figures.File, r.figures.Name = work.inserts[i].File, work.inserts[i].Name
			drawn = append(drawn, r)
		}
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
	for _, f := range []struct {
		name  string
		write func(w writer) error
	}{
		{to.csv, func(w writer) error { return report.WriteTakeoffCSV(w, all) }},
		{to.lines, func(w writer) error { return report.WriteTakeoffLinesCSV(w, all) }},
		{to.xlsx, func(w writer) error { return report.WriteTakeoffXLSX(w, all) }},
		{to.picture, func(w writer) error { return drawTakeoffs(w, drawn) }},
	} {
		if err == nil && f.name != "" {
			err = writeWhole(f.name, f.write)
		}
	}
	if err != nil {
		return err
	}
	if status != statusPass {
		return outcome{status}
	}
	return nil
}

// Pictures of one insert and of one among several.
const (
	largePicturePX = 1024
	smallPicturePX = 512
)

func takeOffOne(in batch.Insert, picture, alone bool) (r takenOff) {
	digest := ""
	r.err = batch.Guard(in.File, func() error {
		subject, sum, err := batch.Read(in)
		digest = sum
		if err != nil {
			return err
		}
		if !subject.IsSolid() {
			return &load.Error{File: in.File, Code: "solid", Says: "the model is not a closed solid, so it has no volume; check tells where it is open"}
		}
		subject = checks.Righted(subject)
		t, err := takeoff.Of(subject)
		if err != nil {
			return &load.Error{File: in.File, Code: "stock", Says: err.Error()}
		}
		t.SHA256 = digest
		r.figures = report.NewTakenOff(t)
		if !picture {
			return nil
		}
		size := smallPicturePX
		if alone {
			size = largePicturePX
		}
		var scene render.Scene
		scene, r.keys = t.Scene(subject)
		r.picture, err = render.Thumbnail(scene, render.Options{WidthPX: size, HeightPX: size * 3 / 4})
		return err
	})
	var known *load.Error
	if r.err != nil && !errors.As(r.err, &known) {
		r.err = &load.Error{File: in.File, Code: "rules", Says: r.err.Error()}
	}
	return r
}

// drawTakeoffs is the picture of one insert with its legend, or of several on a sheet.
func drawTakeoffs(w writer, list []takenOff) error {
	if len(list) == 1 && list[0].err == nil {
		p, err := render.Legend(list[0].picture, list[0].figures.Name, list[0].keys)
		if err != nil {
			return err
		}
		return render.EncodePNG(w, p)
	}
	var cells []render.Captioned
	var keys []render.Key
	for _, r := range list {
		c := render.Captioned{Picture: r.picture, Title: r.figures.Name}
		if r.err != nil {
			c.Stamp, c.Word, c.Detail = render.UnreadStamp, "not measured", "see the report"
		} else {
			c.Detail = report.TakeoffInBrief(&r.figures)
			keys = r.keys
		}
		cells = append(cells, c)
	}
	sheet, err := render.ContactSheet(cells, render.SheetOptions{})
	if err != nil {
		return err
	}
	// On a sheet the colours stand for the same, but the figures are each insert's own.
	for i := range keys {
		keys[i].Value = ""
	}
	p, err := render.Legend(sheet, "", keys)
	if err != nil {
		return err
	}
	return render.EncodePNG(w, p)
}

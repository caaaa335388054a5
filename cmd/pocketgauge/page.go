package main

import (
	"context"
	"io"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/page"
)

// htmlForm is the page for people. It reads the models again, to draw them.
var htmlForm = reportForm{"html", "a page for people: pictures, margins, inserts to turn, in one file", writePage}

func writePage(ctx context.Context, w io.Writer, f *finished) error {
	sections := make([]page.Section, 0, len(f.Inserts))
	if len(f.inserts) != len(f.Inserts) {
		for _, in := range f.Inserts {
			sections = append(sections, page.Said(in, "No picture: the parts of a run were put together without the models."))
		}
		return page.Write(w, &f.Judged, sections)
	}
	opt := page.For(len(f.Inserts))
	// One at a time: drawing takes all cores by itself, and a model is held for no longer than needed.
	err := batch.Run(ctx, len(f.Inserts), 1, func(_ context.Context, i int) page.Section {
		return page.Of(f.inserts[i], f.Inserts[i], opt)
	}, func(_ int, s page.Section) error {
		sections = append(sections, s)
		return nil
	})
	if err != nil {
		return err
	}
	return page.Write(w, &f.Judged, sections)
}

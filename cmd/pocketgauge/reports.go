package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/rules/nearest"
)

// finished is a run when everything has been judged: what a report is written from.
type finished struct {
	report.Judged
	gate report.Gate
	// inserts are what was judged, in the order of Judged.Inserts, for reports that read the models
	// again, to draw them say.
	inserts []batch.Insert
}

// reportForm is what --report can write.
type reportForm struct {
	name, doc string
	write     func(ctx context.Context, w io.Writer, f *finished) error
}

// reportForms are all forms: those of package report, which need the run alone, and then those that
// need more.
func reportForms() []reportForm {
	var list []reportForm
	for _, f := range report.Forms {
		list = append(list, reportForm{f.Name, f.Doc, func(_ context.Context, w io.Writer, run *finished) error { return f.Write(w, &run.Judged, run.gate) }})
	}
	return append(list, htmlForm)
}

// wantedReport is one --report FORMAT=FILE.
type wantedReport struct {
	form reportForm
	file string // "-" is standard output
}

// reportHelp is what the flag's help lists.
func reportHelp() string {
	var names []string
	for _, f := range reportForms() {
		names = append(names, f.name)
	}
	return "also write a report, `FORMAT=FILE`, - for standard output; may be given several times; formats: " + strings.Join(names, ", ")
}

// wantedReports reads the values of --report and refuses what could not be written in the end, before
// anything is judged.
func wantedReports(values []string) ([]wantedReport, error) {
	var list []wantedReport
	var names []string
	for _, f := range reportForms() {
		names = append(names, f.name)
	}
	taken := map[string]bool{}
	for _, v := range values {
		name, file, ok := strings.Cut(v, "=")
		if !ok || file == "" {
			return nil, fmt.Errorf("--report %s: write FORMAT=FILE, such as junit=report.xml", v)
		}
		w := wantedReport{file: file}
		for _, f := range reportForms() {
			if f.name == name {
				w.form = f
			}
		}
		if w.form.name == "" {
			if near, ok := nearest.Word(name, names); ok {
				return nil, fmt.Errorf("--report %s: there is no format %q; did you mean %q?", v, name, near)
			}
			return nil, fmt.Errorf("--report %s: there is no format %q; choose %s", v, name, strings.Join(names, ", "))
		}
		if file != "-" {
			clean := filepath.Clean(file)
			if taken[clean] {
				return nil, fmt.Errorf("--report %s: another report goes to that file", v)
			}
			taken[clean] = true
			if err := writable(clean); err != nil {
				return nil, fmt.Errorf("--report %s: %w", v, err)
			}
		}
		list = append(list, w)
	}
	return list, nil
}

// toStdout tells whether a report takes the place of what the command prints.
func toStdout(list []wantedReport) bool {
	for _, w := range list {
		if w.file == "-" {
			return true
		}
	}
	return false
}

// writeReports writes all reports. Every one is made before the first is put in its place, so that
// one that cannot be made leaves none behind.
func writeReports(ctx context.Context, stdout io.Writer, list []wantedReport, f *finished) error {
	made := make([]bytes.Buffer, len(list))
	for i, w := range list {
		if err := w.form.write(ctx, &made[i], f); err != nil {
			return fmt.Errorf("report %s: %w", w.form.name, err)
		}
	}
	for i, w := range list {
		if w.file == "-" {
			if _, err := stdout.Write(made[i].Bytes()); err != nil {
				return err
			}
			continue
		}
		if err := writeWhole(w.file, func(out writer) error { _, err := out.Write(made[i].Bytes()); return err }); err != nil {
			return err
		}
	}
	return nil
}

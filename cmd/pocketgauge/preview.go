package main

import (
	"context"
	"errors"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/checks/page"
	"pocketgauge/checks/report"
	"pocketgauge/mesh"
	"pocketgauge/mesh/gltf"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/render"
)

func newPreview(set *settings, s streams) *cobra.Command {
	var pick selection
	var out, sheet string
	var size int
	var plain, glb bool
	var layer string
	cmd := &cobra.Command{
		Use:   "preview [MODEL or FOLDER ...]",
		Short: "Draw a picture of each model and a contact sheet of them all",
		Long: `Draws a PNG of each model, with the places of its findings marked and the pocket's outline as a
ghost, and a contact sheet with the verdicts. Inserts and frames are named as for check; with
--plain any models are drawn and nothing is judged. With --layer the metal is coloured by what is known
of each face, and --glb writes the model so coloured beside its picture, as binary glTF for any viewer.`,
		Example: `  pocketgauge preview --out pictures apiary
  pocketgauge preview --plain --size 800 bracket.step`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if size < 64 || size > render.MaxSizePX {
				return fmt.Errorf("--size %d: from 64 to %d", size, render.MaxSizePX)
			}
			switch {
			case layer != "" && !slices.Contains(checks.LayerIDs(), layer):
				return fmt.Errorf("--layer %s: there are %s", layer, strings.Join(checks.LayerIDs(), ", "))
			case plain && layer != "":
				return errors.New("--layer needs the insert's frame; it does not go with --plain")
			case glb && layer == "":
				return fmt.Errorf("--glb writes a layer: name one with --layer: %s", strings.Join(checks.LayerIDs(), ", "))
			}
			work, err := previewWork(pick, plain, args, set)
			if err != nil {
				return err
			}
			return previewInserts(cmd.Context(), set, s, work, plain, previewFiles{folder: out, sheet: sheet, size: size, layer: layer, glb: glb})
		},
	}
	pick.flags(cmd)
	f := cmd.Flags()
	f.StringVar(&out, "out", "previews", "`FOLDER` for the pictures; made where it is missing")
	f.StringVar(&sheet, "sheet", "contact-sheet.png", `name of the contact sheet in that folder; "" for none`)
	f.IntVar(&size, "size", 512, "width and height of each picture in pixels")
	f.StringVar(&layer, "layer", "", "colour the metal by a `LAYER`: "+strings.Join(checks.LayerIDs(), ", "))
	f.BoolVar(&glb, "glb", false, "with --layer: also write each model, coloured, as MODEL.glb")
	f.BoolVar(&plain, "plain", false, "draw the models without judging them; needs no rules")
	return cmd
}

type previewFiles struct {
	folder, sheet string
	size          int
	layer         string
	glb           bool
}

func previewWork(pick selection, plain bool, args []string, set *settings) (*work, error) {
	if !plain {
		return pick.inserts(args, set)
	}
	if len(args) == 0 {
		return nil, fmt.Errorf("name the models to draw")
	}
	files, err := modelFiles(args)
	if err != nil {
		return nil, err
	}
	w := &work{}
	for _, f := range files {
		w.inserts = append(w.inserts, batch.Insert{File: f, Name: baseName(f), Load: load.Options{ChordMM: set.chord}})
	}
	return w, nil
}

// drawn is one model's picture.
type drawn struct {
	picture image.Image
	glb     []byte
	legend  string
	verdict string
	detail  string
	err     error
}

// previewed is one line of output for programs.
type previewed struct {
	File    string             `json:"file"`
	Picture string             `json:"picture,omitempty"`
	Model   string             `json:"model,omitempty"`
	Legend  string             `json:"legend,omitempty"`
	Verdict string             `json:"verdict,omitempty"`
	Error   *report.ErrorModel `json:"error,omitempty"`
}

func previewInserts(ctx context.Context, set *settings, s streams, work *work, plain bool, to previewFiles) error {
	if err := os.MkdirAll(to.folder, 0o755); err != nil {
		return fmt.Errorf("folder for the pictures: %w", err)
	}
	names := pictureNames(work.inserts, to.sheet)
	bar := newProgress(s.err, len(work.inserts), "drawn")
	defer bar.stop()
	var cells []render.Captioned
	var lines []any
	status := statusPass
	err := batch.Run(ctx, len(work.inserts), set.workers(), func(_ context.Context, i int) drawn {
		return drawOne(work.inserts[i], plain, to)
	}, func(i int, d drawn) error {
		bar.done(i)
		line := previewed{File: work.inserts[i].File, Verdict: d.verdict}
		if d.picture != nil {
			line.Picture = filepath.Join(to.folder, names[i])
			if err := writeWhole(line.Picture, func(w writer) error { return render.EncodePNG(w, d.picture) }); err != nil {
				return err
			}
		}
		line.Legend = d.legend
		if d.glb != nil {
			line.Model = strings.TrimSuffix(filepath.Join(to.folder, names[i]), ".png") + ".glb"
			if err := writeWhole(line.Model, func(w writer) error { _, err := w.Write(d.glb); return err }); err != nil {
				return err
			}
		}
		if d.err != nil {
			status = statusPartial
			u := report.NewUnreadable(line.File, d.err)
			line.Error = &u.Error
		}
		cells = append(cells, captioned(work.inserts[i], d))
		switch set.format {
		case "jsonl":
			return writeLine(s.out, line)
		case "json":
			lines = append(lines, line)
			return nil
		}
		bar.clear()
		if d.err != nil {
			return report.WriteMeasuredText(s.out, report.NewUnreadable(line.File, d.err))
		}
		if _, err := fmt.Fprintf(s.out, "%s  %s\n", line.Picture, d.verdict); err != nil || d.legend == "" {
			return err
		}
		_, err := fmt.Fprintf(s.out, "    %s\n", d.legend)
		return err
	})
	if err != nil {
		return err
	}
	if to.sheet != "" {
		name := filepath.Join(to.folder, to.sheet)
		sheet, err := render.ContactSheet(cells, render.SheetOptions{})
		if err != nil {
			return fmt.Errorf("contact sheet: %w", err)
		}
		if err := writeWhole(name, func(w writer) error { return render.EncodePNG(w, sheet) }); err != nil {
			return err
		}
		if set.format == "text" {
			fmt.Fprintln(s.out, name)
		}
	}
	if set.format == "json" {
		if err := writeJSON(s.out, map[string]any{"pictures": lines, "sheet": to.sheet}); err != nil {
			return err
		}
	}
	if status != statusPass {
		return outcome{status}
	}
	return nil
}

// pictureNames gives each model a file name of its own, from the model's.
func pictureNames(inserts []batch.Insert, sheet string) []string {
	taken := map[string]bool{sheet: true}
	names := make([]string, len(inserts))
	for i, in := range inserts {
		base := baseName(in.File)
		name := base + ".png"
		for n := 2; taken[name]; n++ {
			name = base + "-" + strconv.Itoa(n) + ".png"
		}
		taken[name] = true
		names[i] = name
	}
	return names
}

func drawOne(in batch.Insert, plain bool, to previewFiles) (d drawn) {
	size := to.size
	if plain {
		d.err = batch.Guard(in.File, func() error {
			model, _, err := load.File(in.File, in.Load)
			if err != nil {
				return err
			}
			whole := joined(model)
			b := whole.Bounds().Size()
			d.detail = fmt.Sprintf("%.1f x %.1f x %.1f mm", b.X, b.Y, b.Z)
			d.picture, err = render.Thumbnail(render.Scene{Mesh: whole}, render.Options{WidthPX: size, HeightPX: size})
			return err
		})
		return d
	}
	o := batch.Judge(in)
	if o.Err != nil {
		return drawn{verdict: report.VerdictUnreadable, err: o.Err}
	}
	in2 := report.NewInsert(&o)
	d.verdict = in2.Verdict
	d.err = batch.Guard(in.File, func() (err error) {
		scene := page.Scene(o.Subject, marksOf(&o))
		if to.layer != "" {
			for _, l := range o.Subject.Layers(to.layer) {
				scene.Tones = page.Tones(&l, scene.Steel)
				d.legend = page.Legend(&l)
			}
			if scene.Tones == nil {
				return &load.Error{File: in.File, Code: "layer", Says: fmt.Sprintf("the layer %s has nothing to show of this insert", to.layer)}
			}
		}
		if to.glb {
			if d.glb, err = gltf.EncodeColoured(scene.Mesh, scene.Tones); err != nil {
				return err
			}
		}
		d.picture, err = render.Thumbnail(scene, render.Options{WidthPX: size, HeightPX: size})
		return err
	})
	d.detail = fmt.Sprintf("%s half, frame %s", in2.Half, in2.Frame)
	for _, f := range in2.Findings {
		if f.Verdict == checks.Fail.String() {
			d.detail = f.Check
			if f.Of != "" {
				d.detail += ": " + f.Of
			}
			break
		}
	}
	return d
}

// joined puts all parts of a model into one mesh, for a picture.
func joined(model *mesh.Model) *mesh.Mesh {
	if len(model.Parts) == 1 {
		return model.Parts[0].Mesh
	}
	all := &mesh.Mesh{}
	for i := range model.Parts {
		m := model.Parts[i].Mesh
		base := int32(len(all.Vertices))
		all.Vertices = append(all.Vertices, m.Vertices...)
		for _, t := range m.Triangles {
			all.Triangles = append(all.Triangles, [3]int32{t[0] + base, t[1] + base, t[2] + base})
		}
	}
	return all
}

// marksOf are the places of an insert's findings, numbered.
func marksOf(o *batch.Outcome) []render.Mark {
	var marks []render.Mark
	for i := range o.Findings {
		f := &o.Findings[i]
		if !f.Located || f.Verdict == checks.Pass {
			continue
		}
		severity := render.Fail
		if f.Verdict != checks.Fail {
			severity = render.Borderline
		}
		marks = append(marks, render.Mark{At: f.At, Label: strconv.Itoa(len(marks) + 1), Severity: severity})
	}
	return marks
}

func captioned(in batch.Insert, d drawn) render.Captioned {
	c := render.Captioned{Picture: d.picture, Title: in.Name, Detail: d.detail, Word: d.verdict}
	switch {
	case d.err != nil:
		c.Stamp, c.Detail, c.Word = render.UnreadStamp, "cannot be read", report.VerdictUnreadable
	case d.verdict == report.VerdictPass:
		c.Stamp = render.PassStamp
	case d.verdict == report.VerdictFail:
		c.Stamp = render.FailStamp
	case d.verdict == report.VerdictBorderline:
		c.Stamp = render.UnsureStamp
	}
	return c
}

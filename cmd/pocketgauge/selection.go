package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/golang/geo/r3"
	"github.com/spf13/cobra"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/mesh/load"
	"pocketgauge/rules"
)

// selection is how the flags and arguments of a command name the inserts.
type selection struct {
	rulesFile, half, unit, body, placement string
	turn, move                             []float64
}

func (p *selection) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&p.rulesFile, "rules", "", "rules `FILE` of the frame; else the workspace file says which")
	f.StringVar(&p.half, "half", "", "with --rules: the `HALF`, fixed or moving")
	f.StringVar(&p.unit, "unit", "", "with --rules: `UNIT` of models that state none, mm or in")
	f.StringVar(&p.body, "body", "", "with --rules: `NAME` of the body to judge in files that hold several")
	f.StringVar(&p.placement, "placement", "", "with --rules: `HOW` the model lies: as-modelled, seated, or the name of a coordinate system in the model")
	f.Float64SliceVar(&p.turn, "turn", nil, "with --rules: turn the model by these degrees about the fixed axes `X,Y,Z`, such as 0,0,90")
	f.Float64SliceVar(&p.move, "move", nil, "with --rules: then move it by these mm along `X,Y,Z`, such as 0,0,-5.5")
}

// work is what the arguments came to.
type work struct {
	inserts    []batch.Insert
	origins    []origin // of each insert
	sources    []report.Source
	unassigned []string
	// skipped are the checks that are left out on request.
	skipped []string
	// whole is set where every model of the workspaces is judged by every check.
	whole bool
}

// origin is where an insert of the work comes from.
type origin struct {
	// model is the insert's path from folder.
	model string
	// folder is the workspace's; that in which the program runs where there is none.
	folder string
	// workspace is set where a workspace file lies in folder.
	workspace bool
}

// inserts finds the inserts that the arguments mean.
func (p *selection) inserts(args []string, set *settings) (*work, error) {
	if p.rulesFile != "" {
		return p.againstOneFrame(args, set)
	}
	for _, f := range [][2]string{{"half", p.half}, {"unit", p.unit}, {"body", p.body}, {"placement", p.placement}} {
		if f[1] != "" {
			return nil, fmt.Errorf("--%s goes with --rules; without it the workspace file says so", f[0])
		}
	}
	if p.turn != nil || p.move != nil {
		return nil, errors.New("--turn and --move go with --rules; without it the workspace file says so")
	}
	up := len(args) == 0
	if up {
		args = []string{"."}
	}
	w := &work{whole: true}
	for _, a := range args {
		if err := w.fromWorkspace(a, up, set); err != nil {
			return nil, err
		}
	}
	if len(w.inserts) == 0 {
		return nil, errors.New("the workspace names no insert")
	}
	return w, nil
}

func (p *selection) againstOneFrame(args []string, set *settings) (*work, error) {
	if len(args) == 0 {
		return nil, errors.New("name the models to judge against --rules " + p.rulesFile)
	}
	frame, err := loadFrame(p.rulesFile)
	if err != nil {
		return nil, err
	}
	half := rules.Half(p.half)
	if half != "" && half != rules.Fixed && half != rules.Moving {
		return nil, fmt.Errorf("--half %s: fixed or moving", p.half)
	}
	if p.unit != "" && p.unit != "mm" && p.unit != "in" {
		return nil, fmt.Errorf("--unit %s: mm or in", p.unit)
	}
	placement, err := p.placementWanted()
	if err != nil {
		return nil, err
	}
	files, err := modelFiles(args)
	if err != nil {
		return nil, err
	}
	w := &work{sources: []report.Source{{File: frame.File, SHA256: frame.Digest()}}}
	for _, f := range files {
		w.inserts = append(w.inserts, batch.Insert{
			File: f, Name: baseName(f), Frame: frame, Half: half, Unit: p.unit, Body: p.body,
			Placement: placement, Load: readingOf(frame, set),
		})
		w.origins = append(w.origins, origin{model: filepath.ToSlash(filepath.Clean(f)), folder: "."})
	}
	return w, nil
}

// readingOf is how finely models are read for a frame: the flag, else what its rules ask.
func readingOf(frame *rules.Frame, set *settings) load.Options {
	if set.chord > 0 {
		return load.Options{ChordMM: set.chord}
	}
	return load.Options{ChordMM: frame.Measuring.ChordMM.Value}
}

// placementWanted is how the flags want the models placed.
func (p *selection) placementWanted() (rules.Placement, error) {
	text := func(v string) rules.Text { return rules.Text{Set: true, Value: v} }
	if p.turn != nil || p.move != nil {
		if p.placement != "" {
			return rules.Placement{}, errors.New("--placement and --turn or --move: keep one way of placing the model")
		}
		out := rules.Placement{How: text(rules.ByMotion)}
		for _, f := range []struct {
			flag  string
			given []float64
			into  *rules.Place3
			scale float64
		}{{"turn", p.turn, &out.Turn, math.Pi / 180}, {"move", p.move, &out.Move, 1}} {
			if f.given == nil {
				continue
			}
			if len(f.given) != 3 {
				return rules.Placement{}, fmt.Errorf("--%s takes three numbers, for x, y and z, such as 0,0,90; %d are given", f.flag, len(f.given))
			}
			f.into.Set, f.into.At = true, r3.Vector{X: f.given[0], Y: f.given[1], Z: f.given[2]}.Mul(f.scale)
		}
		return out, nil
	}
	switch p.placement {
	case "":
		return rules.Placement{}, nil
	case rules.AsModelled, rules.Seated:
		return rules.Placement{How: text(p.placement)}, nil
	}
	return rules.Placement{How: text(rules.BySystem), System: text(p.placement)}, nil
}

func baseName(file string) string {
	base := filepath.Base(file)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// fromWorkspace adds what one argument means: the inserts of the workspace in that folder, or
// the one model in the nearest workspace above it. up is set where the folder's workspace too may
// lie above it.
func (w *work) fromWorkspace(arg string, up bool, set *settings) error {
	info, err := os.Stat(arg)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s: there is no such file or folder", arg)
		}
		return err
	}
	folder := arg
	if !info.IsDir() {
		folder = filepath.Dir(arg)
	}
	file, err := nearestWorkspace(folder, up || !info.IsDir())
	if err != nil {
		return err
	}
	space, err := rules.LoadWorkspace(file)
	if err != nil {
		return err
	}
	models, unmatched, err := space.Resolve()
	if err != nil {
		return err
	}
	all := slices.Clone(models) // the partner may not be among those asked for
	if !info.IsDir() {
		models = slices.DeleteFunc(models, func(m rules.Model) bool { return !sameFile(m.Path, arg) })
		if len(models) == 0 {
			return fmt.Errorf("%s: no entry of %s names this model; add one, or give its frame with --rules", arg, file)
		}
		unmatched, w.whole = nil, false
	}
	w.unassigned = append(w.unassigned, unmatched...)
	frames := map[string]*rules.Frame{}
	insert := func(m rules.Model) (batch.Insert, error) {
		e := m.Entry
		frame := frames[e.RulesPath]
		if frame == nil {
			if frame, err = loadFrame(e.RulesPath); err != nil {
				return batch.Insert{}, err
			}
			frames[e.RulesPath] = frame
			source := report.Source{File: frame.File, SHA256: frame.Digest()}
			if !slices.Contains(w.sources, source) {
				w.sources = append(w.sources, source)
			}
		}
		if err := space.Against(e, frame); err != nil {
			return batch.Insert{}, err
		}
		name := m.Name
		if !e.Name.Set {
			name = baseName(m.Path)
		}
		return batch.Insert{
			File: m.Path, Name: name, Frame: frame, Half: e.Half, Steel: e.Steel.Value, Resin: e.Resin.Value, Finish: e.Finish.Value,
			Unit: e.Unit.Value, Placement: e.Placement, Load: readingOf(frame, set),
		}, nil
	}
	for _, m := range models {
		in, err := insert(m)
		if err != nil {
			return err
		}
		if p := partnerOf(m, all); p != nil {
			partner, err := insert(*p)
			if err != nil {
				return err
			}
			in.Partner = &partner
		}
		w.inserts = append(w.inserts, in)
		w.origins = append(w.origins, origin{model: pathFrom(space.Folder, m.Path), folder: space.Folder, workspace: true})
	}
	return nil
}

// partnerOf is the model that m names as its other half, or that names m as its own; nil for none.
func partnerOf(m rules.Model, all []rules.Model) *rules.Model {
	for i := range all {
		if p := &all[i]; p.Path != m.Path && (m.Partner == p.Path || m.Partner == "" && p.Partner == m.Path) {
			return p
		}
	}
	return nil
}

// nearestWorkspace finds the workspace file of a folder, or, where up is set, of the nearest
// folder above it that has one.
func nearestWorkspace(folder string, up bool) (string, error) {
	for dir := folder; ; {
		file := filepath.Join(dir, rules.WorkspaceFile)
		if _, err := os.Stat(file); err == nil {
			return file, nil
		}
		abs, err := filepath.Abs(dir)
		if err != nil || !up || filepath.Dir(abs) == abs {
			return "", fmt.Errorf("%s: there is no %s; write one with pocketgauge init, or name a frame with --rules FRAME.yaml", folder, rules.WorkspaceFile)
		}
		dir = filepath.Join(dir, "..")
	}
}

// pathFrom is a path as seen from a folder, with strokes.
func pathFrom(folder, file string) string {
	if rel, err := filepath.Rel(filepath.FromSlash(folder), filepath.FromSlash(file)); err == nil {
		return filepath.ToSlash(rel)
	}
	a, err1 := filepath.Abs(folder)
	b, err2 := filepath.Abs(file)
	if rel, err := filepath.Rel(a, b); err1 == nil && err2 == nil && err == nil {
		return filepath.ToSlash(rel)
	}
	return filepath.ToSlash(file)
}

func sameFile(a, b string) bool {
	x, err1 := os.Stat(a)
	y, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(x, y)
}

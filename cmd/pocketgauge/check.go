package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
)

// checking is what the flags of check ask for.
type checking struct {
	pick    selection
	narrow  narrowing
	waive   waiving
	keep    keeping
	all     bool
	gating  gating
	reports []string
	part    string
	memory  string
	rev     string
	watch   bool
}

func newCheck(set *settings, s streams) *cobra.Command {
	var c checking
	cmd := &cobra.Command{
		Use:   "check [MODEL or FOLDER ...]",
		Short: "Judge inserts against the limits of their frame",
		Long: `Judges each insert and says what will not fit, by how much, where, and how to mend it.
Without arguments it reads the nearest pocketgauge.yaml in this folder or above it, which says
which model belongs to which frame; given a folder, the one in it. With --rules it judges the
models named against one frame. Findings that pocketgauge-waivers.yaml accepts do not reject.

Exit status: 0 every insert passes; 1 one is rejected; 2 nothing was judged; 3 some model could
not be wholly read or measured.`,
		Example: `  pocketgauge check                                   # the workspace in this folder
  pocketgauge check --rules frames/r180.yaml --half moving insert.stl
  pocketgauge check --only 'fit.*' --only 'inserts/clip-*'
  pocketgauge check --report junit=report.xml --report sarif=report.sarif
  pocketgauge check --format jsonl apiary | jq 'select(.verdict != "pass")'`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.run(cmd.Context(), set, s, args)
		},
	}
	c.pick.flags(cmd)
	c.narrow.flags(cmd)
	c.waive.flags(cmd)
	c.keep.flags(cmd)
	c.gating.flags(cmd)
	f := cmd.Flags()
	f.BoolVar(&c.all, "all", false, "list the passing readings too (text)")
	f.StringArrayVar(&c.reports, "report", nil, reportHelp())
	f.StringVar(&c.part, "shard", "", "judge only part I of N, given as `I/N`; pocketgauge merge puts the parts together")
	f.StringVar(&c.rev, "since", "", "judge only what git says has changed since this `REVISION`, such as origin/main")
	f.BoolVar(&c.watch, "watch", false, "judge again whenever a model or a rules file is saved, until stopped")
	f.StringVar(&c.memory, "memory", "", "`SIZE` of the memory that all models under way may take together, such as 2GiB (default: half of the machine's)")
	return cmd
}

// gating is from which verdict on an insert is rejected.
type gating struct {
	failOn string
	strict bool
}

func (g *gating) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.BoolVar(&g.strict, "strict", false, "reject borderline inserts too; the same as --fail-on borderline")
	f.StringVar(&g.failOn, "fail-on", string(report.FailOnFail), "the least `VERDICT` that rejects an insert: fail, borderline or warn")
}

func (g *gating) gate() (report.Gate, error) {
	gate, err := report.ParseGate(g.failOn)
	if err != nil {
		return "", fmt.Errorf("--fail-on: %w", err)
	}
	if g.strict && gate == report.FailOnFail {
		gate = report.FailOnBorderline
	}
	return gate, nil
}

func (c *checking) run(ctx context.Context, set *settings, s streams, args []string) error {
	gate, err := c.gating.gate()
	if err != nil {
		return err
	}
	reports, err := wantedReports(c.reports)
	if err != nil {
		return err
	}
	budget, err := memoryBudget(c.memory)
	if err != nil {
		return err
	}
	j, err := c.keep.open(ctx, s)
	if err != nil {
		return err
	}
	defer j.close()
	j.budget = batch.NewBudget(budget)
	r := round{checking: c, set: set, s: s, args: args, judge: j, gate: gate, reports: reports}
	if !c.watch {
		err := r.run(ctx)
		if errors.Is(err, context.Canceled) && j.cache != nil {
			fmt.Fprintln(s.err, "pocketgauge: what was judged is kept; the same command goes on from there")
		}
		return err
	}
	if c.part != "" || c.rev != "" {
		return errors.New("--watch looks at everything; leave --shard and --since out")
	}
	if err := j.remember(ctx); err != nil {
		return err
	}
	r.last = map[string][]byte{}
	return r.stay(ctx)
}

// round is one judging of all that the arguments name. A watch takes several.
type round struct {
	*checking
	set     *settings
	s       streams
	args    []string
	judge   *judge
	gate    report.Gate
	reports []wantedReport
	// last are the outcomes that a watch has printed, by file: from its second round on only what comes
	// out otherwise, or was measured anew, is printed.
	last map[string][]byte
}

func (r *round) run(ctx context.Context) error {
	work, shard, err := r.work(ctx, r.args, r.set)
	if err != nil {
		return err
	}
	waivers, err := r.waive.open(work)
	if err != nil {
		return err
	}
	p := printer{format: r.set.format, out: r.s.out, style: report.Style{Colour: wantsColour(r.s), All: r.all}, gate: r.gate}
	if toStdout(r.reports) {
		p.out = io.Discard
	}
	done := finished{gate: r.gate, inserts: work.inserts}
	done.Judged = work.judged(shard)
	bar := newProgress(r.s.err, len(work.inserts), "judged")
	defer bar.stop()
	tasks := r.judge.tasks(work.inserts)
	defer func() {
		for i := range tasks {
			tasks[i].half.Close()
		}
	}()
	err = batch.RunHalves(ctx, len(tasks), r.set.workers(), func(i int) int { return tasks[i].mate }, func(ctx context.Context, i int) outcomeOf {
		in, kept := r.judge.insert(ctx, tasks, i)
		return outcomeOf{in, kept}
	}, func(i int, o outcomeOf) error {
		bar.done(i)
		waivers.apply(&o.Insert, work.origins[i])
		done.Inserts = append(done.Inserts, o.Insert)
		if r.watch && r.seen(&o) {
			return nil
		}
		bar.clear()
		return p.insert(&o.Insert)
	})
	if err != nil {
		return err
	}
	bar.stop()
	done.Waivers = waivers.states(work.whole)
	return p.finish(ctx, r.s, r.reports, &done)
}

// seen tells whether a watch has printed this very outcome and it was not measured anew, and notes it.
func (r *round) seen(o *outcomeOf) bool {
	body, err := json.Marshal(&o.Insert)
	if err != nil {
		return false
	}
	same := bytes.Equal(r.last[o.File], body)
	r.last[o.File] = body
	return o.kept && same
}

// outcomeOf is one insert's outcome; kept is set where it was not measured in this run.
type outcomeOf struct {
	report.Insert
	kept bool
}

// stay judges, and judges again whenever something has changed, until it is stopped. The status is then
// that of the last round.
func (r *round) stay(ctx context.Context) error {
	status := statusPass
	err := watch(ctx, r.watched, func() error {
		err := r.run(ctx)
		var o outcome
		if err == nil || errors.As(err, &o) {
			status = o.status
			if ctx.Err() == nil && r.set.format == "text" {
				fmt.Fprintln(r.s.err, "pocketgauge: waiting for a change; Ctrl-C ends")
			}
			return nil
		}
		status = statusNothing
		return err
	}, func(err error) { fmt.Fprintln(r.s.err, "pocketgauge:", err) })
	if err != nil {
		return err
	}
	if status != statusPass {
		return outcome{status}
	}
	return nil
}

// watched are the folders in which something may change an outcome: those of the workspaces and of the
// arguments with all below them, and those of every file that judging read as far as that is known.
func (r *round) watched() map[string]bool {
	list := map[string]bool{}
	alone := func(dir string) { // itself, without what is below it, unless that is watched already
		if !list[dir] {
			list[dir] = false
		}
	}
	for _, a := range r.args {
		if info, err := os.Stat(a); err == nil && info.IsDir() {
			list[a] = true
		} else {
			alone(filepath.Dir(a))
		}
	}
	if r.pick.rulesFile != "" {
		alone(filepath.Dir(r.pick.rulesFile))
	}
	if w, _, err := r.work(context.Background(), r.args, r.set); err == nil {
		for i := range w.inserts {
			for _, f := range w.judgedBy(i) {
				alone(filepath.Dir(filepath.FromSlash(f)))
			}
			if w.origins[i].workspace {
				list[filepath.FromSlash(w.origins[i].folder)] = true
			}
		}
	} else if len(r.args) == 0 {
		list["."] = true
	}
	return list
}

// work is the inserts that arguments and flags come to.
func (c *checking) work(ctx context.Context, args []string, set *settings) (*work, *report.Shard, error) {
	w, err := c.pick.inserts(args, set)
	if err != nil {
		return nil, nil, err
	}
	if err := c.narrow.apply(w); err != nil {
		return nil, nil, err
	}
	if c.rev != "" {
		if err := w.since(ctx, c.rev); err != nil {
			return nil, nil, err
		}
	}
	if c.part == "" {
		return w, nil, nil
	}
	i, n, err := parseShard(c.part)
	if err != nil {
		return nil, nil, err
	}
	return w, w.shard(i, n), nil
}

// judged is the run before anything is judged.
func (w *work) judged(shard *report.Shard) report.Judged {
	return report.Judged{Tool: toolName(), Shard: shard, Rules: w.sources, Inserts: []report.Insert{}, Unassigned: w.unassigned, Skipped: w.skipped}
}

// printer prints a run as it goes, in the form that --format asks for.
type printer struct {
	format string
	out    io.Writer
	style  report.Style
	gate   report.Gate
}

func (p *printer) insert(in *report.Insert) error {
	switch p.format {
	case "json":
		return nil
	case "jsonl":
		return writeLine(p.out, in)
	}
	return report.WriteInsertText(p.out, *in, p.style)
}

func (p *printer) end(r *report.Judged) error {
	switch p.format {
	case "json":
		return report.WriteJSON(p.out, r, p.gate)
	case "text":
		return report.WriteSummaryText(p.out, *r, p.style)
	}
	return nil
}

// finish prints what stands behind the inserts, writes the reports, and gives the exit status.
func (p *printer) finish(ctx context.Context, s streams, reports []wantedReport, done *finished) error {
	if err := p.end(&done.Judged); err != nil {
		return err
	}
	if err := writeReports(ctx, s.out, reports, done); err != nil {
		return err
	}
	if status := runStatus(&done.Judged, p.gate); status != statusPass {
		return outcome{status}
	}
	return nil
}

// runStatus is the exit status of a run.
func runStatus(r *report.Judged, gate report.Gate) int {
	status := statusPass
	for i := range r.Inserts {
		status = worse(status, insertStatus(&r.Inserts[i], gate))
	}
	for i := range r.Waivers {
		if gate.Rejects(r.Waivers[i].Verdict()) {
			status = worse(status, statusRejected)
		}
	}
	return status
}

// insertStatus is the exit status that one insert alone would give.
func insertStatus(in *report.Insert, gate report.Gate) int {
	switch {
	case in.Partly():
		return statusPartial
	case gate.RejectsInsert(in):
		return statusRejected
	}
	return statusPass
}

func wantsColour(s streams) bool {
	f, ok := s.out.(*os.File)
	return ok && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && term.IsTerminal(int(f.Fd()))
}

func toolName() string { return fmt.Sprintf("pocketgauge %s", version) }

// version is set by the linker in a release build.
var version = "dev"

package main

import (
	"context"
	"errors"
	"fmt"
	"runtime"

	"github.com/spf13/cobra"
)

// settings are the flags that every command has.
type settings struct {
	format string
	jobs   int
	chord  float64
}

func run(ctx context.Context, args []string, s streams) int {
	root := newRoot(s)
	root.SetArgs(args)
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	err := root.ExecuteContext(ctx)
	var o outcome
	if err != nil && !errors.As(err, &o) {
		if errors.Is(err, context.Canceled) {
			fmt.Fprintln(s.err, "pocketgauge: stopped; what is printed is complete as far as it goes")
			return statusPartial
		}
		fmt.Fprintln(s.err, "pocketgauge:", err)
	}
	return statusOf(err)
}

func newRoot(s streams) *cobra.Command {
	set := &settings{}
	root := &cobra.Command{
		Use:   "pocketgauge",
		Short: "Tell whether a mould insert fits its frame, before the steel is cut",
		Long: `pocketgauge reads the CAD export of a mould insert (STL or STEP), measures it against
the limits of the frame it is made for, and says what will not fit, by how much,
where, and how to mend it. It also measures the stock to remove, for a quote.

A pass is no release by a mould designer: see the safety part of the README.

Exit status: 0 all pass; 1 an insert is rejected; 2 nothing was judged;
3 some model could not be wholly read or measured (outranks 1).`,
		Example: `  pocketgauge demo apiary            # lay out the demo shop
  pocketgauge check apiary           # judge its inserts
  pocketgauge measure insert.stl     # plain measures of any model`,
		SilenceUsage:  true,
		SilenceErrors: true,
		PersistentPreRunE: func(cmd *cobra.Command, _ []string) error {
			if err := set.apply(); err != nil {
				return err
			}
			return targets(cmd)
		},
	}
	f := root.PersistentFlags()
	f.StringVar(&set.format, "format", "text", "output `FORMAT`: text, json or jsonl")
	f.IntVar(&set.jobs, "jobs", 0, "`N` models worked on at once and cores used (0: all cores)")
	f.Float64Var(&set.chord, "chord", 0, "largest distance in `MM` between a curved face and the mesh made of it (0: the default)")
	root.AddCommand(newCheck(set, s), newTakeoff(set, s), newCompare(set, s), newQuote(set, s), newCalibrate(set, s), newPreview(set, s), newMeasure(set, s), newRules(set, s), newExplain(s), newDemo(s), newInit(s), newMerge(set, s), newCache(set, s))
	plainly(root)
	return root
}

func (set *settings) apply() error {
	switch set.format {
	case "text", "json", "jsonl":
	default:
		return fmt.Errorf("--format %s: choose text, json or jsonl", set.format)
	}
	if set.jobs < 0 {
		return fmt.Errorf("--jobs %d: a number of cores, or 0 for all", set.jobs)
	}
	if set.chord < 0 {
		return fmt.Errorf("--chord %g: a length in mm, or 0 for the default", set.chord)
	}
	if set.jobs > 0 {
		runtime.GOMAXPROCS(set.jobs)
	}
	return nil
}

// workers is how many models are worked on at once.
func (set *settings) workers() int {
	if set.jobs > 0 {
		return set.jobs
	}
	return runtime.GOMAXPROCS(0)
}

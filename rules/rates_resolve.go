package rules

import (
	"fmt"
	"strings"

	"pocketgauge/rules/nearest"
)

// addKnown adds the program's own entries of lists, where no file states them.
func (r *Rates) addKnown() {
	r.addKnownSteels()
	r.addKnownMachines()
	r.addKnownCutting()
	r.addKnownClasses()
	r.addKnownPurchase()
	r.addKnownDedicated()
}

// resolve reports values that contradict one another. It looks only at what was read.
func (r *Rates) resolve(d *decoder) {
	names := make([]string, len(r.Machines))
	for i := range r.Machines {
		names[i] = r.Machines[i].Name.Value
	}
	ask := func(t *Text, path string) {
		if !t.Set || t.Origin.IsDefault() || contains(names, t.Value) {
			return
		}
		hint := "list it under machines"
		if near, ok := nearest.Word(t.Value, names); ok {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		d.report.at(t.Origin, path, fmt.Sprintf("%q is no machine of this shop", clean(t.Value)), hint)
	}
	for _, m := range r.machineTexts() {
		ask(m.text, m.path)
	}
	if m := r.Machine(r.Milling.Machine.Value); m != nil && !m.PowerKW.Set {
		d.report.at(m.Origin, fmt.Sprintf("machines[%s].power", clean(m.Name.Value)), fmt.Sprintf("%q mills and states no power", clean(m.Name.Value)), "state its spindle's power, such as 15 kW")
	}
	r.resolveSteels(d)
	ascending(d, r.Milling.Cutters, "milling.cutters", func(c *CutterRates) Limit { return c.UpToMM })
	ascending(d, r.Drilling.Feeds, "drilling.feeds", func(f *DrillFeed) Limit { return f.UpToMM })
	ascending(d, r.Drilling.Derating, "drilling.derating", func(g *Derating) Limit { return g.DepthRatio })
	f := &r.Finishing
	if f.CuspMM.Set && f.BallDiameterMM.Set && f.CuspMM.Value > f.BallDiameterMM.Value/2 {
		d.report.at(f.CuspMM.Origin, "finishing.cusp", "ridges higher than the ball's radius", "is the unit right?")
	}
	if c := r.Polishing.Class; c.Set && !c.Origin.IsDefault() && r.Polish(c.Value) == nil {
		d.report.at(c.Origin, "polishing.class", fmt.Sprintf("%q is no class of this shop", clean(c.Value)), "list it under polishing.classes")
	}
}

type machineText struct {
	text *Text
	path string
}

// machineTexts are all places that name a machine.
func (r *Rates) machineTexts() []machineText {
	all := []machineText{
		{&r.Design.Machine, "design.machine"}, {&r.Programming.Machine, "programming.machine"}, {&r.Setting.Machine, "setting.machine"},
		{&r.Milling.Machine, "milling.machine"}, {&r.Finishing.Machine, "finishing.machine"}, {&r.Drilling.Machine, "drilling.machine"},
		{&r.Drilling.GunMachine, "drilling.gun_machine"}, {&r.Electrodes.Machine, "electrodes.machine"}, {&r.Erosion.Machine, "erosion.machine"},
		{&r.Grinding.Machine, "grinding.machine"}, {&r.Trial.CorrectionMachine, "trial.correction_machine"}, {&r.Edges.Machine, "edges.machine"}, {&r.Polishing.Machine, "polishing.machine"}, {&r.Fitting.Machine, "fitting.machine"},
		{&r.Measuring.Machine, "measuring.machine"}, {&r.Trial.Machine, "trial.machine"}, {&r.Dedicated.Press, "dedicated.press"},
	}
	for i := range r.Dedicated.Work {
		w := &r.Dedicated.Work[i]
		all = append(all, machineText{&w.Machine, fmt.Sprintf("dedicated.work[%s].machine", clean(w.Name.Value))})
	}
	return all
}

// ascending reports a list by size whose entries are out of order: the first that fits is taken, so
// that one out of order would never be.
func ascending[T any](d *decoder, list []T, path string, size func(*T) Limit) {
	for i := 1; i < len(list); i++ {
		a, b := size(&list[i-1]), size(&list[i])
		if a.Set && b.Set && a.Value >= b.Value {
			d.report.at(b.Origin, fmt.Sprintf("%s[%d]", path, i+1), "this entry is no larger than the one before it", "write the smallest first")
		}
	}
}

// Polish is what a class of finish takes: the entry of that name or, for a class such as B-2, SPI B-2
// or SPI-B2, its group's. Nil when neither is known.
func (r *Rates) Polish(class string) *PolishClass {
	if c := r.Polishing.classNamed(class); c != nil {
		return c
	}
	rest := strings.TrimLeft(strings.TrimPrefix(strings.ToUpper(class), "SPI"), " -")
	if len(rest) > 1 && strings.Trim(rest[1:], "-0123456789 ") == "" {
		return r.Polishing.classNamed(rest[:1])
	}
	return nil
}

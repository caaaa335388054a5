package quote

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pocketgauge/checks/takeoff"
	"pocketgauge/rules"
)

// half is one half in the making.
type half struct {
	shop  *Shop
	t     *takeoff.Takeoff
	steel *rules.SteelRates
	name  string
}

// removal is what a cutter of so many teeth clears in a minute, in cm3, and how that came about.
func (h *half) removal(d *draft, machine rules.Text, dMM, teeth, depthMM, widthMM, feedShare, vc float64) (q float64, how string, err error) {
	m := d.shop.rates.Machine(machine.Value)
	if m == nil {
		return 0, "", fmt.Errorf("%s names no machine of the rates: %q", d.line.Operation, machine.Value)
	}
	if !(dMM > 0) {
		return 0, "", fmt.Errorf("a cutter of diameter %v mm clears nothing", dMM)
	}
	most := &d.shop.rates.Milling.LargestFeedMM
	n := SpindleSpeed(vc, dMM, d.use(&m.LargestSpindle))
	fz := min(feedShare*dMM, d.use(most))
	byTool := depthMM * widthMM * n * teeth * fz / 1000
	kc := SpecificForce(d.use(&h.steel.CuttingForceMPa), d.use(&h.steel.ChipExponent), MeanChip(fz, widthMM, dMM))
	q, what := byTool, "tool"
	if m.PowerKW.Set {
		if byPower := PowerLimitedRemoval(d.use(&m.PowerKW), kc, d.use(&m.Efficiency)); byPower < q {
			q, what = byPower, fmt.Sprintf("power, kc %s N/mm2", short(kc))
		}
	}
	if m.LargestRemoval.Set && d.use(&m.LargestRemoval) < q {
		q, what = m.LargestRemoval.Value, "machine"
	}
	return q, what, nil
}

// cleared adds the time to clear a volume.
func (d *draft) cleared(v takeoff.Figure, q float64, what, limit string, over *rules.Limit) {
	const cm3, hour = 1000, 60
	k := d.use(over) / (cm3 * q * hour)
	d.part(over, false, v.Value*k, v.Error*k, "%s: %s cm3 / %s cm3/min (%s) x %s / 60", what, short(v.Value/cm3), short(q), limit, short(over.Value))
}

// cutterRates are how cutters of a diameter are used.
func (s *Shop) cutterRates(d *draft, dMM float64) *rules.CutterRates {
	list := s.rates.Milling.Cutters
	for i := range list {
		// Every bound up to the one that holds decides which it is.
		if dMM <= d.use(&list[i].UpToMM) || i == len(list)-1 {
			return &list[i]
		}
	}
	return nil
}

func (h *half) facing() (*Line, error) {
	r := &h.shop.rates.Milling
	d := h.shop.draft("milling", "facing", h.name)
	if h.t.FacedMM3.Value > 0 {
		dia := d.use(&r.FacingDiameterMM)
		q, how, err := h.removal(d, r.Machine, dia, d.use(&r.FacingTeeth), d.use(&r.FacingDepthMM), dia*d.use(&r.FacingWidth), d.use(&h.steel.RoughFeed), d.use(&h.steel.RoughSpeed))
		if err != nil {
			return nil, err
		}
		d.cleared(h.t.FacedMM3, q, "D"+short(dia), how, &r.FacingOverCut)
	}
	return d.close(r.Machine, &r.Spread)
}

// roughing is the lines of the first cutter of each set-up, or of the cutters after it.
func (h *half) roughing(rest bool) (*Line, error) {
	r := &h.shop.rates.Milling
	step, over := "roughing", &r.RoughOverCut
	if rest {
		step, over = "rest milling", &r.RestOverCut
	}
	d := h.shop.draft("milling", step, h.name)
	cutters := 0
	for _, s := range h.t.SetUps {
		for _, c := range s.Cuts {
			if c.Rest != rest || !(c.RemovedMM3.Value > 0) {
				continue
			}
			use := h.shop.cutterRates(d, c.DiameterMM)
			if use == nil {
				return nil, fmt.Errorf("milling.cutters is empty")
			}
			q, how, err := h.removal(d, r.Machine, c.DiameterMM, d.use(&use.Teeth), c.DiameterMM*d.use(&use.Depth), c.DiameterMM*d.use(&use.Width), d.use(&h.steel.RoughFeed), d.use(&h.steel.RoughSpeed))
			if err != nil {
				return nil, err
			}
			d.cleared(c.RemovedMM3, q, s.Name+" "+cutterName(c), how, over)
			cutters++
		}
	}
	d.each(float64(cutters), "a cutter", &r.PerCutter)
	return d.close(r.Machine, &r.Spread)
}

// cutterName is a cutter as formulas show it: two may have one diameter.
func cutterName(c takeoff.Cut) string {
	if c.Cutter == "" {
		return "D" + short(c.DiameterMM)
	}
	return c.Cutter
}

// finishing is one line for all surfaces, a part for each kind and diameter of cutter.
func (h *half) finishing() (*Line, error) {
	r := &h.shop.rates.Finishing
	d := h.shop.draft("milling", "finishing", h.name)
	m := h.shop.rates.Machine(r.Machine.Value)
	if m == nil {
		return nil, fmt.Errorf("finishing names no machine of the rates: %q", r.Machine.Value)
	}
	feed := func(dia, teeth float64) float64 { // mm/min
		fz := min(d.use(&h.steel.FinishFeed)*dia, d.use(&h.shop.rates.Milling.LargestFeedMM))
		return SpindleSpeed(d.use(&h.steel.FinishSpeed), dia, d.use(&m.LargestSpindle)) * teeth * fz
	}
	// teeth of a cutter: what the largest has, or what is usual for a thinner one.
	teeth := func(dia float64, largest, own *rules.Limit) (float64, error) {
		if dia >= largest.Value {
			return d.use(own), nil
		}
		use := h.shop.cutterRates(d, dia)
		if use == nil {
			return 0, fmt.Errorf("milling.cutters is empty")
		}
		return d.use(&use.Teeth), nil
	}
	const cm2 = 100
	for _, kind := range [...]struct {
		name, label string
		largest     *rules.Limit
		teeth       *rules.Limit
	}{
		{takeoff.Floor, "floors", &r.FlatDiameterMM, &r.FlatTeeth}, {takeoff.Wall, "walls", &r.FlatDiameterMM, &r.FlatTeeth},
		{takeoff.FreeForm, "free-form", &r.BallDiameterMM, &r.Teeth},
	} {
		for _, a := range byCutter(h.t.Finish, kind.name, d.use(kind.largest)) {
			z, err := teeth(a.diameterMM, kind.largest, kind.teeth)
			if err != nil {
				return nil, err
			}
			vf := feed(a.diameterMM, z)
			label := fmt.Sprintf("%s D%s", kind.label, short(a.diameterMM))
			part := func(over *rules.Limit, step, passes float64, ridges string) {
				k := passes * d.use(over) / (step * vf * 60)
				times := ""
				if passes != 1 {
					times = fmt.Sprintf(" x %s passes", short(passes))
				}
				d.part(over, false, a.area.Value*k, a.area.Error*k, "%s: %s cm2 / (%s mm%s x %s mm/min) x 100%s x %s / 60",
					label, short(a.area.Value/cm2), short(step), ridges, short(vf), times, short(over.Value))
			}
			switch kind.name {
			case takeoff.Floor:
				part(&r.FlatOver, a.diameterMM*d.use(&r.FlatWidth), 1, "")
			case takeoff.Wall:
				part(&r.WallOver, d.use(&r.WallDepthMM)*a.diameterMM/d.use(&r.FlatDiameterMM), d.use(&r.WallPasses), "")
			default:
				part(&r.FreeFormOver, StepOver(a.diameterMM/2, d.use(&r.CuspMM)), d.use(&r.FreeFormPasses), " for ridges of "+short(r.CuspMM.Value))
			}
		}
	}
	return d.close(r.Machine, &r.Spread)
}

// finishedBy is surface that one diameter of cutter finishes.
type finishedBy struct {
	diameterMM float64
	area       takeoff.Figure
}

// byCutter adds the surface of a kind up by the cutter that finishes it: the largest where a larger one
// came near, or none did.
func byCutter(list []takeoff.FinishArea, kind string, largestMM float64) []finishedBy {
	var out []finishedBy
	add := func(dia, share float64, a takeoff.Figure) {
		if dia == 0 || dia > largestMM {
			dia = largestMM
		}
		i := slices.IndexFunc(out, func(f finishedBy) bool { return f.diameterMM == dia })
		if i < 0 {
			i = len(out)
			out = append(out, finishedBy{diameterMM: dia})
		}
		out[i].area.Value += share * a.Value
		out[i].area.Error += share * a.Error
	}
	for _, a := range list {
		if a.Kind != kind || !(a.AreaMM2.Value > 0) {
			continue
		}
		if len(a.Reached) == 0 {
			add(0, 1, a.AreaMM2)
		}
		for _, s := range a.Reached {
			add(s.DiameterMM, float64(s.Percent)/100, a.AreaMM2)
		}
	}
	slices.SortStableFunc(out, func(a, b finishedBy) int { return cmp.Compare(b.diameterMM, a.diameterMM) })
	return out
}

// drilling is the line of twist drills and bored holes, or of gun drills.
func (h *half) drilling(gun bool) (*Line, error) {
	r := &h.shop.rates.Drilling
	step, machine := "twist and bored", r.Machine
	if gun {
		step, machine = "gun drills", r.GunMachine
	}
	d := h.shop.draft("drilling", step, h.name)
	m := h.shop.rates.Machine(machine.Value)
	if m == nil {
		return nil, fmt.Errorf("drilling names no machine of the rates: %q", machine.Value)
	}
	holes, sizes := 0, 0
	for _, o := range h.t.Drilled {
		if (o.Method == takeoff.Gun) != gun {
			continue
		}
		if !(o.DiameterMM > 0) {
			return nil, fmt.Errorf("a hole of diameter %v mm cannot be drilled", o.DiameterMM)
		}
		holes += o.Count
		sizes++
		long := o.DepthMM + pointMM(o.DiameterMM)
		count := float64(o.Count)
		name := fmt.Sprintf("%d x D%s", o.Count, short(o.DiameterMM))
		over := d.use(&r.OverCut)
		switch o.Method {
		case takeoff.Gun:
			vf := SpindleSpeed(d.use(&h.steel.GunSpeed), o.DiameterMM, d.use(&m.LargestSpindle)) * d.use(&r.GunFeedMM)
			d.part(&r.OverCut, false, count*long/vf*over/60, 0, "%s: %s mm / %s mm/min x %s / 60", name, short(long), short(vf), short(over))
		case takeoff.Twist:
			speed, feed := h.derated(d, o.DepthMM/o.DiameterMM)
			vf := SpindleSpeed(d.use(&h.steel.DrillSpeed)*speed, o.DiameterMM, d.use(&m.LargestSpindle)) * h.drillFeed(d, o.DiameterMM) * feed
			d.part(&r.OverCut, false, count*long/vf*over/60, 0, "%s: %s mm / %s mm/min x %s / 60", name, short(long), short(vf), short(over))
		default: // bored: cleared by a milling cutter, then one pass of the boring bar
			const cm3, hour = 1000, 60
			k := over / (cm3 * d.use(&r.BoringRemoval) * hour)
			d.part(&r.OverCut, false, o.RemovedMM3.Value*k, o.RemovedMM3.Error*k, "%s cleared: %s cm3 / %s cm3/min x %s / 60", name, short(o.RemovedMM3.Value/cm3), short(r.BoringRemoval.Value), short(over))
			vf := SpindleSpeed(d.use(&h.steel.FinishSpeed), o.DiameterMM, d.use(&m.LargestSpindle)) * d.use(&r.BoringFeedMM)
			d.part(&r.OverCut, false, count*o.DepthMM/vf*over/60, 0, "%s bored: %s mm / %s mm/min x %s / 60", name, short(o.DepthMM), short(vf), short(over))
		}
	}
	d.each(float64(holes), "a hole", &r.PerHole)
	d.each(float64(sizes), "a size", &r.PerSize)
	return d.close(machine, &r.Spread)
}

// derated is what is left of speed and feed at a depth over diameter: the last entry that it reaches.
func (h *half) derated(d *draft, ratio float64) (speed, feed float64) {
	list := h.shop.rates.Drilling.Derating
	speed, feed = 1, 1
	var at *rules.Derating
	for i := range list {
		if ratio >= d.use(&list[i].DepthRatio) {
			at = &list[i]
		}
	}
	if at != nil {
		speed, feed = d.use(&at.Speed), d.use(&at.Feed)
	}
	return speed, feed
}

func (h *half) drillFeed(d *draft, dMM float64) float64 {
	list := h.shop.rates.Drilling.Feeds
	for i := range list {
		if dMM <= d.use(&list[i].UpToMM) || i == len(list)-1 {
			return d.use(&list[i].FeedMM)
		}
	}
	return math.NaN() // resolved rates have a feed; without one the line refuses its hours
}

func (h *half) setting() (*Line, error) {
	r := &h.shop.rates.Setting
	d := h.shop.draft("setting", "", h.name)
	d.each(float64(len(h.t.SetUps)), "a set-up", &r.PerSetUp)
	return d.close(r.Machine, &r.Spread)
}

func (h *half) erosion() (*Line, error) {
	r := &h.shop.rates.Erosion
	d := h.shop.draft("erosion", "", h.name)
	positions := 0
	for _, e := range h.t.Electrodes {
		positions += e.Positions
	}
	if positions > 0 {
		last := d.use(&r.LastShare)
		const cm3, hour = 1000, 60
		v := h.t.BurnMM3
		k := ((1-last)/d.use(&r.RoughRemoval) + last/d.use(&r.LastRemoval)) * d.use(&r.OverBurn) / (cm3 * hour)
		d.part(&r.OverBurn, false, v.Value*k, v.Error*k, "%s mm3: (%s %% / %s + %s %% / %s mm3/min) x %s / 60", short(v.Value), short(100*(1-last)), short(1000*r.RoughRemoval.Value), short(100*last), short(1000*r.LastRemoval.Value), short(r.OverBurn.Value))
		d.each(h.copies(d, positions), "a sinking", &r.PerElectrode)
	}
	return d.close(r.Machine, &r.Spread)
}

// copies is how many electrodes so many of different form make.
func (h *half) copies(d *draft, n int) float64 {
	return math.Ceil(float64(n) * d.use(&h.shop.rates.Electrodes.Copies))
}

// electrodes are their making and what they are made of.
func (h *half) electrodes() (*Line, *Line, error) {
	forms := len(h.t.Electrodes)
	if forms == 0 {
		return nil, nil, nil
	}
	r := &h.shop.rates.Electrodes
	d := h.shop.draft("electrodes", "making", h.name)
	places := 0
	for _, e := range h.t.Electrodes {
		places += e.Places
	}
	d.each(h.copies(d, forms), "an electrode", &r.MakeTime)
	d.each(h.copies(d, places), "a place", &r.PerPlace)
	made, err := d.close(r.Machine, &r.Spread)
	if err != nil {
		return nil, nil, err
	}
	g := h.shop.draft("electrodes", "graphite", h.name)
	n := h.copies(g, forms)
	price := number(g.use(&r.Price))
	return made, g.bought(number(n).Mul(price), nil, "%s x %s", short(n), price), nil
}

package quote

import (
	"fmt"
	"math"

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
		}
	}
	return d.close(r.Machine, &r.Spread)
}

// cutterName is a cutter as formulas show it: two may have one diameter.
func cutterName(c takeoff.Cut) string {
	if c.Cutter == "" {
		return "D" + short(c.DiameterMM)
	}
	return c.Cutter
}

// finishing is one line for all surfaces, a part for each kind.
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
	const cm2 = 100
	var floor, wall, form takeoff.Figure
	for _, f := range h.t.Finish {
		into := &form
		switch f.Kind {
		case takeoff.Floor:
			into = &floor
		case takeoff.Wall:
			into = &wall
		}
		into.Value += f.AreaMM2.Value
		into.Error += f.AreaMM2.Error
	}
	if floor.Value > 0 {
		dia := d.use(&r.FlatDiameterMM)
		step := dia * d.use(&r.FlatWidth)
		vf := feed(dia, d.use(&r.FlatTeeth))
		k := d.use(&r.FlatOver) / (step * vf * 60)
		d.part(&r.FlatOver, false, floor.Value*k, floor.Error*k, "floors: %s cm2 / (%s mm x %s mm/min) x 100 x %s / 60", short(floor.Value/cm2), short(step), short(vf), short(r.FlatOver.Value))
	}
	if wall.Value > 0 {
		vf := feed(d.use(&r.FlatDiameterMM), d.use(&r.FlatTeeth))
		depth, passes := d.use(&r.WallDepthMM), d.use(&r.WallPasses)
		k := passes * d.use(&r.WallOver) / (depth * vf * 60)
		d.part(&r.WallOver, false, wall.Value*k, wall.Error*k, "walls: %s cm2 / (%s mm x %s mm/min) x 100 x %s passes x %s / 60", short(wall.Value/cm2), short(depth), short(vf), short(passes), short(r.WallOver.Value))
	}
	if form.Value > 0 {
		dia := d.use(&r.BallDiameterMM)
		step := StepOver(dia/2, d.use(&r.CuspMM))
		vf := feed(dia, d.use(&r.Teeth))
		k := d.use(&r.FreeFormOver) / (step * vf * 60)
		d.part(&r.FreeFormOver, false, form.Value*k, form.Error*k, "free-form: %s cm2 / (%s mm for ridges of %s x %s mm/min) x 100 x %s / 60", short(form.Value/cm2), short(step), short(r.CuspMM.Value), short(vf), short(r.FreeFormOver.Value))
	}
	return d.close(r.Machine, &r.Spread)
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
	var v takeoff.Figure
	for _, b := range h.t.Burns {
		v.Value += b.VolumeMM3.Value
		v.Error += b.VolumeMM3.Error
	}
	if len(h.t.Burns) > 0 {
		last := d.use(&r.LastShare)
		const cm3, hour = 1000, 60
		k := ((1-last)/d.use(&r.RoughRemoval) + last/d.use(&r.LastRemoval)) * d.use(&r.OverBurn) / (cm3 * hour)
		d.part(&r.OverBurn, false, v.Value*k, v.Error*k, "%s mm3: (%s %% / %s + %s %% / %s mm3/min) x %s / 60", short(v.Value), short(100*(1-last)), short(1000*r.RoughRemoval.Value), short(100*last), short(1000*r.LastRemoval.Value), short(r.OverBurn.Value))
		d.each(float64(len(h.t.Burns)), "a place", &r.PerBurn)
	}
	return d.close(r.Machine, &r.Spread)
}

// electrodes are their making and what they are made of.
func (h *half) electrodes() (*Line, *Line, error) {
	if len(h.t.Burns) == 0 {
		return nil, nil, nil
	}
	r := &h.shop.rates.Electrodes
	d := h.shop.draft("electrodes", "making", h.name)
	n := math.Ceil(float64(len(h.t.Burns)) * d.use(&r.PerBurn))
	d.each(n, "an electrode", &r.MakeTime)
	made, err := d.close(r.Machine, &r.Spread)
	if err != nil {
		return nil, nil, err
	}
	g := h.shop.draft("electrodes", "graphite", h.name)
	g.use(&r.PerBurn)
	price := number(g.use(&r.Price))
	return made, g.bought(number(n).Mul(price), nil, "%s x %s", short(n), price), nil
}

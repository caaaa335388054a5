package quote

import (
	"fmt"

	"github.com/shopspring/decimal"

	"pocketgauge/checks/takeoff"
	"pocketgauge/rules"
)

// cm2 is a square centimetre in mm2.
const cm2 = 100

// area adds hours at so much area an hour.
func (d *draft) area(a takeoff.Figure, what string, rate *rules.Limit) {
	k := 1 / (cm2 * d.use(rate))
	d.part(rate, true, a.Value*k, a.Error*k, "%s %s cm2 / %s cm2/h", what, short(a.Value/cm2), short(rate.Value))
}

// finished is all surface to finish.
func finished(t *takeoff.Takeoff) takeoff.Figure {
	var a takeoff.Figure
	for _, f := range t.Finish {
		a.Value += f.AreaMM2.Value
		a.Error += f.AreaMM2.Error
	}
	return a
}

func (s *Shop) design(halves []*half) (*Line, error) {
	r := &s.rates.Design
	d := s.draft("design", "", "")
	d.each(1, "the job", &r.PerJob)
	d.each(float64(len(halves)), "a half", &r.PerHalf)
	var a takeoff.Figure
	for _, h := range halves {
		f := finished(h.t)
		a.Value += f.Value
		a.Error += f.Error
	}
	d.area(a, "surface", &r.DetailRate)
	return d.close(r.Machine, &r.Spread)
}

func (h *half) programming() (*Line, error) {
	r := &h.shop.rates.Programming
	d := h.shop.draft("programming", "", h.name)
	cutters := 0
	for _, s := range h.t.SetUps {
		cutters += len(s.Cuts)
	}
	d.each(1, "the half", &r.PerHalf)
	d.each(float64(len(h.t.SetUps)), "a set-up", &r.PerSetUp)
	d.each(float64(cutters), "a cutter", &r.PerCutter)
	d.each(float64(len(h.t.Drilled)), "a size of hole", &r.PerHoleSize)
	return d.close(r.Machine, &r.Spread)
}

// massPlaces: kilograms are rounded to grams before they are priced, so that the printed mass gives
// the printed price.
const massPlaces = 3

// mass of a volume in the half's steel.
func (h *half) mass(d *draft, v takeoff.Figure) (decimal.Decimal, error) {
	density := h.t.DensityKGM3
	if h.steel.DensityKGM3.Set {
		density = d.use(&h.steel.DensityKGM3)
	}
	if !(density > 0) {
		return decimal.Zero, fmt.Errorf("the density of steel %q is not known", h.t.Steel)
	}
	const mm3PerM3 = 1000 * 1000 * 1000
	return number(v.Value * density / mm3PerM3).Round(massPlaces), nil
}

func (h *half) material() (*Line, error) {
	d := h.shop.draft("material", "blank of "+h.t.Steel, h.name)
	kg, err := h.mass(d, h.t.BlankMM3)
	if err != nil {
		return nil, err
	}
	price := number(d.use(&h.steel.PricePerKG))
	return d.bought(kg.Mul(price), &h.shop.rates.Material.Spread, "%s kg x %s", kg, price), nil
}

func (h *half) hardening() (*Line, error) {
	if !h.steel.Harden.Value {
		return nil, nil
	}
	r := &h.shop.rates.HeatTreatment
	d := h.shop.draft("heat treatment", "", h.name)
	kg, err := h.mass(d, h.t.InsertMM3)
	if err != nil {
		return nil, err
	}
	price, least := number(d.use(&r.PricePerKG)), number(d.use(&r.Least))
	if cost := kg.Mul(price); cost.GreaterThan(least) {
		return d.bought(cost, nil, "%s kg x %s", kg, price), nil
	}
	return d.bought(least, nil, "%s kg x %s, at least %s", kg, price, least), nil
}

// grinding is of the six faces of the box around the blank.
func (h *half) grinding() (*Line, error) {
	r := &h.shop.rates.Grinding
	d := h.shop.draft("grinding", "", h.name)
	d.each(1, "the half", &r.PerHalf)
	b := h.t.BlankSizeMM
	d.area(takeoff.Figure{Value: 2 * (b.X*b.Y + b.X*b.Z + b.Y*b.Z)}, "faces", &r.FaceRate)
	return d.close(r.Machine, &r.Spread)
}

func (h *half) edges() (*Line, error) {
	r := &h.shop.rates.Edges
	d := h.shop.draft("edges", "", h.name)
	k := 1 / (1000 * d.use(&r.Speed) * 60)
	d.part(&r.Speed, true, h.t.EdgeMM.Value*k, h.t.EdgeMM.Error*k, "%s mm / %s mm/min / 60", short(h.t.EdgeMM.Value), short(1000*r.Speed.Value))
	return d.close(r.Machine, &r.Spread)
}

// polishing is of the surface for which a class is named: the detail.
func (h *half) polishing() (*Line, error) {
	r := &h.shop.rates.Polishing
	d := h.shop.draft("polishing", "", h.name)
	for _, f := range h.t.Finish {
		if f.Class == "" {
			continue
		}
		c := h.shop.rates.Polish(f.Class)
		if c == nil {
			return nil, fmt.Errorf("the finish %q is no class of the rates; list it under polishing.classes", f.Class)
		}
		k := d.use(&r.Effort) / (cm2 * d.use(&c.Rate))
		d.part(&r.Effort, false, f.AreaMM2.Value*k, f.AreaMM2.Error*k, "%s, class %s: %s cm2 / %s cm2/h x %s", f.Kind, f.Class, short(f.AreaMM2.Value/cm2), short(c.Rate.Value), short(r.Effort.Value))
	}
	return d.close(r.Machine, &r.Spread)
}

// face is the parting face: the blank's mean section less the detail seen along the draw.
func face(t *takeoff.Takeoff) takeoff.Figure {
	if !(t.BlankSizeMM.Z > 0) {
		return takeoff.Figure{}
	}
	return takeoff.Figure{
		Value: max(t.BlankMM3.Value/t.BlankSizeMM.Z-t.Projected.Value, 0),
		Error: t.BlankMM3.Error/t.BlankSizeMM.Z + t.Projected.Error,
	}
}

func (s *Shop) fitting(halves []*half) (*Line, error) {
	r := &s.rates.Fitting
	d := s.draft("fitting", "", "")
	d.each(float64(len(halves)), "a half", &r.PerHalf)
	d.each(float64(pins(halves)), "a pin", &r.PerPin)
	if len(halves) > 1 {
		d.each(1, "the pair", &r.PerPair)
		// The halves bear on each other where both have a face.
		least := face(halves[0].t)
		for _, h := range halves[1:] {
			if f := face(h.t); f.Value < least.Value {
				least = f
			}
		}
		d.area(least, "parting face", &r.FaceRate)
	}
	return d.close(r.Machine, &r.Spread)
}

func (h *half) measuring() (*Line, error) {
	r := &h.shop.rates.Measuring
	d := h.shop.draft("measuring", "", h.name)
	holes := 0
	for _, o := range h.t.Drilled {
		holes += o.Count
	}
	d.each(1, "the half", &r.PerHalf)
	d.each(float64(holes), "a hole", &r.PerHole)
	d.area(finished(h.t), "surface", &r.DetailRate)
	return d.close(r.Machine, &r.Spread)
}

// pins counts the bores that ejector pins run in.
func pins(halves []*half) int {
	n := 0
	for _, h := range halves {
		for _, o := range h.t.Drilled {
			if o.Pin {
				n += o.Count
			}
		}
	}
	return n
}

func (s *Shop) purchase(halves []*half) []*Line {
	var lines []*Line
	for i := range s.rates.Purchase {
		p := &s.rates.Purchase[i]
		n := 1
		switch p.Per.Value {
		case rules.PerHalf:
			n = len(halves)
		case rules.PerPin:
			n = pins(halves)
		}
		d := s.draft("purchase", p.Name.Value, "")
		price := number(d.use(&p.Price))
		if price.IsZero() || n == 0 {
			continue
		}
		lines = append(lines, d.bought(price.Mul(decimal.NewFromInt(int64(n))), nil, "%d x %s", n, price))
	}
	return lines
}

func (s *Shop) trial() (*Line, error) {
	r := &s.rates.Trial
	d := s.draft("trial", "first shots", "")
	d.each(1, "the job", &r.PerJob)
	return d.close(r.Machine, &r.Spread)
}

func (s *Shop) corrections() (*Line, error) {
	r := &s.rates.Trial
	d := s.draft("trial", "corrections", "")
	d.each(1, "the job", &r.Corrections)
	return d.close(r.CorrectionMachine, &r.Spread)
}

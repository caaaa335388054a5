package quote

import (
	"fmt"
	"math"

	"github.com/shopspring/decimal"

	"pocketgauge/rules"
)

// Dedicated is the same detail as a mould of its own: all work of the insert, for the detail is the
// same, and a frame that nothing else uses.
type Dedicated struct {
	Insert *Quote
	// Lines are those of the insert and of the frame, contingency and margin anew.
	Lines              []Line
	Hours, Cost, Price Combination
	Delivery           Delivery
	Life               Life
}

// Of is what the mould's lines of one operation come to.
func (d *Dedicated) Of(operation string) (hours, money Span) {
	return (&Quote{Lines: d.Lines}).Of(operation)
}

// Life compares the two over all batches of the part, in money of today.
type Life struct {
	Years, BatchesAYear, Batches float64
	// Outlay is the tool's price and, for the insert, its share of the frame's.
	InsertOutlay, MouldOutlay, FrameShare decimal.Decimal
	// PerBatch is what the press's standing costs at one change-over.
	InsertPerBatch, MouldPerBatch, PressRate decimal.Decimal
	InsertHours, MouldHours                  float64 // of a change-over
	InsertTotal, MouldTotal, Saving          decimal.Decimal
	// BreakEven says from which or up to which batch the insert is the cheaper.
	BreakEven BreakEven
	// FrameInserts is how many inserts like this one save what the whole frame costs; 0 where one
	// saves nothing.
	FrameInserts int
}

// BreakEven is where two straight lines of cost over batches cross.
type BreakEven struct {
	// From is the first batch at which the insert is no dearer, UpTo the last; 0 stands for no bound.
	// Never is set where it is dearer at every number of batches.
	From, UpTo int
	Never      bool
}

// Words are the break-even as a sentence without its full stop.
func (b BreakEven) Words() string {
	switch {
	case b.Never:
		return "the insert is dearer at any number of batches"
	case b.UpTo > 0:
		return fmt.Sprintf("the insert is the cheaper up to batch %d", b.UpTo)
	case b.From <= 1:
		return "the insert is the cheaper from the first batch on"
	}
	return fmt.Sprintf("the insert is the cheaper from batch %d on", b.From)
}

// breakEven compares a + n b of the insert with that of the mould, for n of 1 and more.
func breakEven(insert, mould, perInsert, perMould decimal.Decimal) BreakEven {
	first := mould.Sub(insert)        // what the insert saves at once
	each := perMould.Sub(perInsert)   // and at each batch
	saved := first.Add(each)          // with the first batch
	least := func() decimal.Decimal { // batches at which the two are equal
		const enough = 16
		return first.Neg().DivRound(each, enough)
	}
	switch {
	case !saved.IsNegative() && !each.IsNegative():
		return BreakEven{From: 1}
	case !saved.IsNegative():
		return BreakEven{From: 1, UpTo: int(least().Floor().IntPart())}
	case each.IsPositive():
		return BreakEven{From: int(least().Ceil().IntPart())}
	}
	return BreakEven{Never: true}
}

// AgainstDedicated works out the mould that the job would otherwise be, and what the insert saves
// over the life of the part.
func (s *Shop) AgainstDedicated(q *Quote) (*Dedicated, error) {
	// The insert's own lines but those that follow from the others.
	lines, halves, err := s.work(Job{Name: q.Name, Halves: q.Halves})
	if err != nil {
		return nil, err
	}
	frame, err := s.frame(halves)
	if err != nil {
		return nil, err
	}
	mould := &Quote{Lines: append(lines, frame...)}
	p := s.plan(mould.Lines, s.outside(halves))
	p.steel = max(p.steel, s.rates.Dedicated.PartsWeeks.Value)
	delivery := s.through([]plan{p})
	s.price(mould)
	d := &Dedicated{Insert: q, Lines: mould.Lines, Hours: mould.Hours, Cost: mould.Cost, Price: mould.Price, Delivery: delivery}
	d.Life, err = s.life(q.Price.Likely, d.Price.Likely)
	return d, err
}

// frame is the lines of the mould's frame.
func (s *Shop) frame(halves []*half) ([]Line, error) {
	r := &s.rates.Dedicated
	long, wide := 0.0, 0.0
	for _, h := range halves {
		long, wide = max(long, h.t.BlankSizeMM.X), max(wide, h.t.BlankSizeMM.Y)
	}
	var lines []Line
	plates := 0
	for i := range r.Plates {
		p := &r.Plates[i]
		d := s.draft("frame plates", p.Name.Value, "")
		n := d.use(&p.Made)
		l, w, t := long+2*d.use(&r.MarginMM), (wide+2*d.use(&r.MarginMM))*d.use(&p.Width), d.use(&p.ThicknessMM)
		const mm3PerM3 = 1000 * 1000 * 1000
		kg := number(n * l * w * t * d.use(&r.DensityKGM3) / mm3PerM3).Round(massPlaces)
		price := number(d.use(&r.PlatePrice))
		lines = append(lines, *d.bought(kg.Mul(price), nil, "%s x %s x %s x %s mm: %s kg x %s", short(n), short(l), short(w), short(t), kg, price))
		plates += int(n)
	}
	for i := range r.Work {
		w := &r.Work[i]
		operation := "frame"
		if w.Machine.Value == s.rates.Design.Machine.Value {
			operation = designing // hours of drawing are drawing, whatever is drawn
		} else if w.Machine.Value == s.rates.Programming.Machine.Value {
			operation = programming
		}
		d := s.draft(operation, w.Name.Value, "")
		n, what := 1.0, "the mould"
		switch w.Per.Value {
		case rules.PerHalf:
			n, what = float64(len(halves)), "a half"
		case rules.PerPlate:
			n, what = float64(plates), "a plate"
			for j := range r.Plates {
				d.use(&r.Plates[j].Made)
			}
		}
		d.each(n, what, &w.Hours)
		l, err := d.close(w.Machine, &r.Spread)
		if err != nil {
			return nil, err
		}
		if l != nil {
			lines = append(lines, *l)
		}
	}
	for i := range r.Purchase {
		p := &r.Purchase[i]
		d := s.draft("frame parts", p.Name.Value, "")
		price := number(d.use(&p.Price))
		lines = append(lines, *d.bought(price, nil, "1 x %s", price))
	}
	return lines, nil
}

func (s *Shop) life(insert, mould decimal.Decimal) (Life, error) {
	r := &s.rates.Dedicated
	press := s.rates.Machine(r.Press.Value)
	if press == nil {
		return Life{}, fmt.Errorf("dedicated.press names no machine of the rates: %q", r.Press.Value)
	}
	l := Life{
		Years: r.Years.Value, BatchesAYear: r.BatchesAYear.Value,
		PressRate:   number(press.HourlyRate.Value),
		InsertHours: r.InsertChangeOver.Value / 3600, MouldHours: r.MouldChangeOver.Value / 3600,
		MouldOutlay: mould,
	}
	l.Batches = math.Floor(l.Years * l.BatchesAYear)
	frame := number(r.FramePrice.Value)
	l.FrameShare = frame.DivRound(number(r.FrameShared.Value), places)
	l.InsertOutlay = insert.Add(l.FrameShare)
	l.InsertPerBatch = number(l.InsertHours).Mul(l.PressRate).Round(places)
	l.MouldPerBatch = number(l.MouldHours).Mul(l.PressRate).Round(places)
	batches := decimal.NewFromFloat(l.Batches)
	l.InsertTotal = l.InsertOutlay.Add(l.InsertPerBatch.Mul(batches))
	l.MouldTotal = l.MouldOutlay.Add(l.MouldPerBatch.Mul(batches))
	l.Saving = l.MouldTotal.Sub(l.InsertTotal)
	l.BreakEven = breakEven(l.InsertOutlay, l.MouldOutlay, l.InsertPerBatch, l.MouldPerBatch)
	// The insert's share of the frame is not part of what it earns towards the whole of it.
	if earned := l.Saving.Add(l.FrameShare); earned.IsPositive() {
		l.FrameInserts = int(frame.Div(earned).Ceil().IntPart())
	}
	return l, nil
}

// At is what the two have cost after n batches.
func (l *Life) At(n int) (insert, mould decimal.Decimal) {
	k := decimal.NewFromInt(int64(n))
	return l.InsertOutlay.Add(l.InsertPerBatch.Mul(k)), l.MouldOutlay.Add(l.MouldPerBatch.Mul(k))
}

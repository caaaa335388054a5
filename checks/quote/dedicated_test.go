package quote

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"pocketgauge/rules"
)

func money(v float64) decimal.Decimal { return decimal.NewFromFloat(v) }

func TestBreakEven(t *testing.T) {
	for _, c := range []struct {
		insert, mould, perInsert, perMould float64
		want                               BreakEven
	}{
		{100, 300, 10, 20, BreakEven{From: 1}},
		{300, 100, 10, 20, BreakEven{From: 20}},          // 300 + 10 n <= 100 + 20 n from n = 20
		{301, 100, 10, 20, BreakEven{From: 21}},          // 20.1 rounded up
		{100, 300, 20, 10, BreakEven{From: 1, UpTo: 20}}, // equal at 20
		{100, 301, 20, 10, BreakEven{From: 1, UpTo: 20}}, // 20.1 rounded down
		{300, 100, 20, 10, BreakEven{Never: true}},
		{300, 100, 10, 10, BreakEven{Never: true}},
		{100, 100, 10, 10, BreakEven{From: 1}},
		{105, 100, 10, 20, BreakEven{From: 1}},
	} {
		if got := breakEven(money(c.insert), money(c.mould), money(c.perInsert), money(c.perMould)); got != c.want {
			t.Errorf("%v: %+v, want %+v", c, got, c.want)
			continue
		}
		// Whatever it says holds batch by batch.
		for n := 1; n < 60; n++ {
			cheaper := c.insert+c.perInsert*float64(n) <= c.mould+c.perMould*float64(n)
			says := !c.want.Never && n >= c.want.From && (c.want.UpTo == 0 || n <= c.want.UpTo)
			if cheaper != says {
				t.Errorf("%v: batch %d is cheaper: %v, told: %v", c, n, cheaper, says)
			}
		}
	}
}

// 5 years of 12 batches: 60 change-overs. 15 min at 55 an hour are 13.75, two hours 110; the frame's
// 16000 among 20 inserts are 800 each.
func TestLifeByHand(t *testing.T) {
	l, err := New(rules.DefaultRates()).life(money(10000), money(25000))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what      string
		got, want decimal.Decimal
	}{
		{"insert's change-over", l.InsertPerBatch, money(13.75)}, {"mould's change-over", l.MouldPerBatch, money(110)},
		{"insert's outlay", l.InsertOutlay, money(10800)}, {"insert in all", l.InsertTotal, money(10800 + 60*13.75)},
		{"mould in all", l.MouldTotal, money(25000 + 60*110)}, {"saving", l.Saving, money(31600 - 11625)},
	} {
		if !c.got.Equal(c.want) {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
	// 16000 / (19975 + 800) is less than one insert.
	if l.Batches != 60 || l.FrameInserts != 1 || l.BreakEven != (BreakEven{From: 1}) {
		t.Errorf("%+v", l)
	}
	insert, mould := l.At(60)
	if !insert.Equal(l.InsertTotal) || !mould.Equal(l.MouldTotal) {
		t.Errorf("after 60 batches %v and %v, want the totals", insert, mould)
	}
}

// The mould has every line of the insert, unchanged, and more; its sums equal its lines.
func TestMouldHoldsTheInsert(t *testing.T) {
	s := New(rules.DefaultRates())
	q := quoted(t, s, pair(sample(rules.Fixed, "1.2311"), sample(rules.Moving, "1.2311")))
	d, err := s.AgainstDedicated(q)
	if err != nil {
		t.Fatal(err)
	}
	own := q.Lines[:len(q.Lines)-2]
	for i, l := range own {
		if described(l) != described(d.Lines[i]) {
			t.Errorf("line %d is %+v in the insert and %+v in the mould", i, l, d.Lines[i])
		}
	}
	checkSums(t, &Quote{Lines: d.Lines, Hours: d.Hours, Cost: d.Cost, Price: d.Price})
	if len(d.Lines) < len(own)+10 || !d.Price.Likely.GreaterThan(q.Price.Likely) || d.Delivery.Weeks[1] <= q.Delivery.Weeks[1] {
		t.Errorf("%d lines at %v in %v weeks, the insert %d at %v in %v", len(d.Lines), d.Price.Likely, d.Delivery.Weeks, len(q.Lines), q.Price.Likely, q.Delivery.Weeks)
	}
}

// Two jobs by hand through a shop of two machines, 10 h a week each: job one 10 h at the first and 20 h
// at the second, job two 20 h and 10 h. The first machine is free at 1 and 3 weeks, the second at 3 and
// 4. Blanks come after half a week, which the programmer's work covers.
func TestFlowThroughTheShop(t *testing.T) {
	r := rules.DefaultRates()
	r.Delivery.SteelWeeks.Value = 0
	for _, name := range []string{"machining centre", "fitting bench"} {
		r.Machine(name).WeeklyS.Value = 10 * 3600
	}
	s := New(r)
	at := func(machine string, h float64) Line {
		return Line{Operation: "work", Machine: machine, Hours: spanOf(h/2, h, 2*h)}
	}
	one := &Quote{Lines: []Line{at("machining centre", 10), at("fitting bench", 20)}}
	two := &Quote{Lines: []Line{at("machining centre", 20), at("fitting bench", 10)}}
	d := s.together([]*Quote{one, two})
	if d.Weeks != [3]float64{2, 4, 8} {
		t.Errorf("weeks %v, want 2, 4, 8", d.Weeks)
	}
	if len(d.Loads) != 2 || d.Loads[0].Hours != 30 || d.Loads[1].Weeks != 3 || d.Critical != "machining centre" {
		t.Errorf("%+v", d)
	}
	// Two benches halve what is done at them: 1 + 1 = 2 and 3 + 0.5 = 3.5.
	r.Machine("fitting bench").Count.Value = 2
	if d = s.together([]*Quote{one, two}); d.Weeks[1] != 3.5 {
		t.Errorf("two benches: %v weeks, want 3.5", d.Weeks)
	}
	// A blank that comes after five weeks holds all up.
	r.Delivery.SteelWeeks.Value = 5
	if d = s.together([]*Quote{one, two}); d.Weeks[1] != 8.5 {
		t.Errorf("late blanks: %v weeks, want 8.5", d.Weeks)
	}
}

// Q2 for the mould: a number of dedicated changes no line of the insert, and of the mould's only those that
// name it, besides what follows from all.
func TestADedicatedRateChangesOnlyItsLines(t *testing.T) {
	base := rules.DefaultRates()
	job := pair(sample(rules.Fixed, "1.2311"), sample(rules.Moving, "1.2311"))
	mould := func(r *rules.Rates) (*Quote, *Dedicated) {
		s := New(r)
		q := quoted(t, s, job)
		d, err := s.AgainstDedicated(q)
		if err != nil {
			t.Fatal(err)
		}
		return q, d
	}
	insert, before := mould(base)
	var paths []string
	base.EachNumber(func(path string, _ *rules.Limit) {
		if strings.HasPrefix(path, "dedicated.") {
			paths = append(paths, path)
		}
	})
	some := 0
	for _, path := range paths {
		r := base.Clone()
		r.EachNumber(func(p string, l *rules.Limit) {
			if p == path {
				l.Value *= 2
			}
		})
		q, d := mould(r)
		for i, l := range q.Lines {
			if described(l) != described(insert.Lines[i]) {
				t.Errorf("%s changes the insert's line %s %s", path, l.Operation, l.Step)
			}
		}
		for i, l := range d.Lines {
			if l.Operation == Contingency || l.Operation == Margin || described(l) == described(before.Lines[i]) {
				continue
			}
			some++
			if !slices.Contains(l.Keys, path) {
				t.Errorf("%s changes the mould's line %s %s, which names only %v", path, l.Operation, l.Step, l.Keys)
			}
		}
	}
	if len(paths) < 30 || some < len(paths) {
		t.Errorf("%d numbers change %d lines", len(paths), some)
	}
}

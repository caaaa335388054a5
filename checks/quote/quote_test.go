package quote

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/golang/geo/r3"
	"github.com/shopspring/decimal"

	"pocketgauge/checks/takeoff"
	"pocketgauge/rules"
)

var seedFlag = flag.Uint64("quote.seed", 0, "seed of random takeoffs; 0 takes one from the clock")

func random(t *testing.T) *rand.Rand {
	seed := *seedFlag
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d; to replay: go test ./checks/quote -run '^%s$' -quote.seed %d", seed, t.Name(), seed)
	return rand.New(rand.NewPCG(seed, 1))
}

func fig(v, e float64) takeoff.Figure { return takeoff.Figure{Value: v, Error: e} }

// sample is a half that has everything once.
func sample(h rules.Half, steel string) *takeoff.Takeoff {
	return &takeoff.Takeoff{
		File: string(h) + ".stp", Name: "Sample, " + string(h) + " half", Half: h, Frame: "Bench", Steel: steel, DensityKGM3: 7830,
		BlankMM3: fig(100*80*40, 0), InsertMM3: fig(250000, 5), RemoveMM3: fig(70000, 5), BlankSizeMM: r3.Vector{X: 100, Y: 80, Z: 40},
		FacedMM3: fig(8000, 1),
		SetUps: []takeoff.SetUp{
			{Name: "top", Toward: r3.Vector{Z: 1}, Cuts: []takeoff.Cut{
				{Cutter: "D16", DiameterMM: 16, RemovedMM3: fig(40000, 300)}, {Cutter: "D6", DiameterMM: 6, RemovedMM3: fig(3000, 200), Rest: true}, {Cutter: "D2", DiameterMM: 2, RemovedMM3: fig(100, 20), Rest: true}}},
			{Name: "left", Toward: r3.Vector{X: -1}, Cuts: []takeoff.Cut{{Cutter: "D10", DiameterMM: 10, RemovedMM3: fig(5000, 50)}}},
		},
		Drilled: []takeoff.Hole{
			{Count: 4, DiameterMM: 8, DepthMM: 40, Through: true, Pin: true, Method: takeoff.Twist, RemovedMM3: fig(8042, 3)},
			{Count: 2, DiameterMM: 6, DepthMM: 120, Method: takeoff.Gun, RemovedMM3: fig(6786, 3)},
			{Count: 1, DiameterMM: 32, DepthMM: 14, Method: takeoff.Bored, RemovedMM3: fig(11259, 5)},
		},
		Burns:   []takeoff.Burn{{Kind: "corner", VolumeMM3: fig(30, 4), DepthMM: 12}, {Kind: "slot", VolumeMM3: fig(120, 9), DepthMM: 8}},
		BurnMM3: fig(150, 13), LeftMM3: fig(1, 1), Electrodes: []takeoff.Electrode{{Places: 2, Positions: 1}},
		Finish: []takeoff.FinishArea{
			{Kind: takeoff.Floor, Class: "C", AreaMM2: fig(4000, 2)}, {Kind: takeoff.Wall, Class: "C", AreaMM2: fig(3000, 2), Reached: []takeoff.Share{{DiameterMM: 16, Percent: 60}, {DiameterMM: 2, Percent: 30}, {Percent: 10}}},
			{Kind: takeoff.FreeForm, Class: "SPI B-2", AreaMM2: fig(2500, 4)}, {Kind: takeoff.Floor, AreaMM2: fig(5000, 1)}},
		EdgeMM: fig(900, 1), Projected: fig(3500, 3),
	}
}

// varied is a random half.
func varied(rng *rand.Rand, h rules.Half) *takeoff.Takeoff {
	t := sample(h, []string{"1.2311", "1.2344", "7075-T6", "C17200"}[rng.IntN(4)])
	grow := func(f *takeoff.Figure) {
		f.Value *= rng.ExpFloat64()
		f.Error = f.Value * rng.Float64() * 0.1
	}
	grow(&t.BlankMM3)
	grow(&t.InsertMM3)
	grow(&t.FacedMM3)
	grow(&t.EdgeMM)
	grow(&t.Projected)
	for i := range t.SetUps {
		for j := range t.SetUps[i].Cuts {
			c := &t.SetUps[i].Cuts[j]
			grow(&c.RemovedMM3)
			c.DiameterMM = 0.5 + rng.Float64()*40
		}
	}
	for i := range t.Drilled {
		o := &t.Drilled[i]
		o.Count = 1 + rng.IntN(20)
		o.DiameterMM *= 0.2 + rng.Float64()
		o.DepthMM *= rng.ExpFloat64()
	}
	if t.Burns = t.Burns[:rng.IntN(3)]; len(t.Burns) == 0 {
		t.Electrodes, t.BurnMM3 = nil, fig(0, 0)
	} else {
		t.Electrodes[0].Places, t.Electrodes[0].Positions = 1+rng.IntN(9), 1+rng.IntN(9)
		grow(&t.BurnMM3)
	}
	for i := range t.Finish {
		grow(&t.Finish[i].AreaMM2)
	}
	return t
}

func pair(a, b *takeoff.Takeoff) Job { return Job{Name: "Sample", Halves: []*takeoff.Takeoff{a, b}} }

func quoted(t *testing.T, s *Shop, j Job) *Quote {
	t.Helper()
	q, err := s.Quote(j)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// checkSums holds Q1 and Q3.
func checkSums(t *testing.T, q *Quote) {
	t.Helper()
	var hours, cost, price Span
	for _, l := range q.Lines {
		hours, price = hours.Plus(l.Hours), price.Plus(l.Money)
		if l.Operation != Margin {
			cost = cost.Plus(l.Money)
		}
		for _, s := range []Span{l.Hours, l.Money} {
			if s.Low.GreaterThan(s.Likely) || s.Likely.GreaterThan(s.High) || s.Low.IsNegative() {
				t.Errorf("Q3: %s %s: %v", l.Operation, l.Step, s)
			}
			for _, v := range []decimal.Decimal{s.Low, s.Likely, s.High} {
				if !v.Equal(v.Round(places)) {
					t.Errorf("Q1: %s %s: %v has more than two places", l.Operation, l.Step, v)
				}
			}
		}
		if l.Machine != "" && !l.Money.Likely.Equal(l.Hours.Likely.Mul(l.Rate).Round(places)) {
			t.Errorf("Q1: %s: %v h at %v is not %v", l.Operation, l.Hours.Likely, l.Rate, l.Money.Likely)
		}
	}
	for _, c := range []struct {
		what      string
		got, want Span
	}{{"hours", q.Hours.Span, hours}, {"cost", q.Cost.Span, cost}, {"price", q.Price.Span, price}} {
		if !c.got.Low.Equal(c.want.Low) || !c.got.Likely.Equal(c.want.Likely) || !c.got.High.Equal(c.want.High) {
			t.Errorf("Q1: %s is %v, its lines come to %v", c.what, c.got, c.want)
		}
	}
}

func TestTotalsEqualTheirLines(t *testing.T) {
	rng := random(t)
	s := New(rules.DefaultRates())
	var all []*Quote
	for range 60 {
		q := quoted(t, s, pair(varied(rng, rules.Fixed), varied(rng, rules.Moving)))
		checkSums(t, q)
		all = append(all, q)
	}
	b := s.Total(all)
	sum := decimal.Zero
	for _, q := range all {
		sum = sum.Add(q.Price.Likely)
	}
	if !b.Price.Likely.Equal(sum) {
		t.Errorf("Q1: the batch comes to %v, its quotes to %v", b.Price.Likely, sum)
	}
	// The control: a cent too much in one line is seen.
	q := all[0]
	q.Price.Likely = q.Price.Likely.Add(decimal.New(1, -places))
	if b.Price.Likely.Equal(s.Total(all).Price.Likely) == false {
		t.Error("the total of a batch follows a quote's sum and not its lines")
	}
}

// described is a line's figures, for comparing.
func described(l Line) string {
	return fmt.Sprintf("%v %v %v %s", l.Hours, l.Money, l.Rate, l.Origin())
}

// idle are numbers that the sample's quote does not turn on: other steels, spindles that are far from
// their power, sizes that the sample lacks, and last bounds, beyond which the last entry holds too.
var idle = regexp.MustCompile(`^steels\[(1\.2083|1\.2379|1\.2738|7075-T6|C17200)\]|^steels.*\.(cutting_force|chip_exponent)$|^machines.*\.(power|efficiency|largest_removal)$|` +
	`^machines\[electrode mill\]\.largest_spindle|^milling\.cutters\[3\]\.up_to|^drilling\.feeds\[[124]\]|^drilling\.derating\[[124]\]|^polishing\.classes\[[AD]\]`)

// Q2: every number of the rates is changed in turn. The lines that then differ name the key; where a
// line that names it does not differ, another part of it bounds the result; and every number of an
// operation that the sample has changes some line.
func TestARateChangesOnlyItsLines(t *testing.T) {
	base := rules.DefaultRates()
	job := pair(sample(rules.Fixed, "1.2311"), sample(rules.Moving, "1.2344"))
	before := quoted(t, New(base), job)
	keys := map[string]bool{}
	for _, l := range before.Lines {
		for _, k := range l.Keys {
			keys[k] = true
		}
		if !slices.IsSorted(l.Keys) && len(l.Keys) == 0 {
			t.Errorf("%s names no key", l.Operation)
		}
	}
	var paths []string
	base.EachNumber(func(path string, _ *rules.Limit) { paths = append(paths, path) })
	changedSome := map[string]bool{}
	for _, path := range paths {
		for _, factor := range []float64{0.9, 1.2, 0.2} {
			r := base.Clone()
			r.EachNumber(func(p string, l *rules.Limit) {
				if p == path {
					l.Value *= factor
				}
			})
			after, err := New(r).Quote(job)
			if err != nil {
				t.Fatalf("%s x %v: %v", path, factor, err)
			}
			was := map[string]Line{}
			for _, l := range before.Lines {
				was[l.Operation+l.Step+l.For] = l
			}
			for _, l := range after.Lines {
				old, ok := was[l.Operation+l.Step+l.For]
				if ok && described(old) == described(l) {
					continue
				}
				changedSome[path] = true
				if follows := l.Operation == Contingency || l.Operation == Margin; !follows && !slices.Contains(l.Keys, path) && !slices.Contains(old.Keys, path) {
					t.Errorf("%s x %v changes the line %s %s %s, which names only %v", path, factor, l.Operation, l.Step, l.For, l.Keys)
				}
			}
			if len(after.Lines) != len(before.Lines) {
				t.Errorf("%s x %v: %d lines, before %d", path, factor, len(after.Lines), len(before.Lines))
			}
		}
	}
	for _, path := range paths {
		switch {
		case strings.HasPrefix(path, "dedicated."), strings.HasPrefix(path, "delivery."), path == "heat_treatment.weeks",
			strings.HasSuffix(path, ".weekly"), strings.HasSuffix(path, ".count"):
			if changedSome[path] {
				t.Errorf("%s is about weeks or another mould and changes a line of the quote", path)
			}
		case changedSome[path] && !keys[path]:
			t.Errorf("%s changes a line and is named by none", path)
		case !changedSome[path] && !idle.MatchString(path):
			t.Errorf("%s changes nothing", path)
		}
	}
	if len(changedSome) < 90 {
		t.Errorf("only %d of %d numbers change anything", len(changedSome), len(paths))
	}
	t.Logf("%d of %d numbers change a line", len(changedSome), len(paths))
}

// A line by hand: 40 cm3 with a D16 in 1.2311. n = 110000/(16 pi) = 2188.4; fz = 0.0055 x 16 = 0.088;
// vf = 2188.4 x 4 x 0.088 = 770.3; ap 8, ae 6.4: Q = 8 x 6.4 x 770.3 / 1000 = 39.44 cm3/min. The mean
// chip is 2 x 0.088 x 6.4/16 / arccos(0.2) = 0.05141 mm, kc = 1725 x 0.05141^-0.24 = 3517, so 15 kW at
// 80 % let 60e3 x 15 x 0.8/3517 = 204.8 cm3/min through, the machine 200: the tool limits. Twice the
// time in the cut: 40/39.44 x 2 / 60 = 0.03381 h.
func TestRoughingByHand(t *testing.T) {
	a := sample(rules.Fixed, "1.2311")
	a.SetUps = a.SetUps[:1]
	q := quoted(t, New(rules.DefaultRates()), Job{Halves: []*takeoff.Takeoff{a}})
	for _, l := range q.Lines {
		if l.Step != "roughing" {
			continue
		}
		if len(l.Parts) != 2 || !strings.Contains(l.Parts[0].Formula, "39.44 cm3/min (tool)") {
			t.Fatalf("roughing: %+v", l.Parts)
		}
		near(t, "hours", l.Parts[0].Hours, 0.03381, 0.000005)
		near(t, "kc", SpecificForce(1725, 0.24, MeanChip(0.088, 6.4, 16)), 3517, 1)
		return
	}
	t.Error("no line for roughing")
}

// With a small spindle the power limits: 1 kW at 80 % lets 60e3 x 0.8/3517 = 13.65 cm3/min through.
func TestRoughingLimits(t *testing.T) {
	for _, c := range []struct {
		kw, removal float64
		want        string
	}{{1, 200, "13.65 cm3/min (power, kc 3517 N/mm2)"}, {15, 20, "20 cm3/min (machine)"}} {
		r := rules.DefaultRates()
		m := r.Machine("machining centre")
		m.PowerKW.Value, m.LargestRemoval.Value = c.kw, c.removal
		q := quoted(t, New(r), Job{Halves: []*takeoff.Takeoff{sample(rules.Fixed, "1.2311")}})
		found := false
		for _, l := range q.Lines {
			found = found || l.Step == "roughing" && strings.Contains(l.Parts[0].Formula, c.want)
		}
		if !found {
			t.Errorf("%v kW: no %q", c.kw, c.want)
		}
	}
}

// What the rates have no answer for is an error that names it.
func TestQuoteRefuses(t *testing.T) {
	s := New(rules.DefaultRates())
	for want, spoil := range map[string]func(*takeoff.Takeoff){
		`no steel "1.2767"`: func(a *takeoff.Takeoff) { a.Steel = "1.2767" },
		`finish "glossy"`:   func(a *takeoff.Takeoff) { a.Finish[0].Class = "glossy" },
		"diameter 0 mm":     func(a *takeoff.Takeoff) { a.SetUps[0].Cuts[0].DiameterMM = 0 },
		"density":           func(a *takeoff.Takeoff) { a.DensityKGM3 = 0 },
		"no number":         func(a *takeoff.Takeoff) { a.EdgeMM.Value = math.Inf(1) },
	} {
		a := sample(rules.Fixed, "1.2311")
		spoil(a)
		if q, err := s.Quote(Job{Halves: []*takeoff.Takeoff{a}}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v", want, q, err)
		}
	}
	if _, err := s.Quote(Job{}); err == nil {
		t.Error("a job without an insert is quoted")
	}
}

// Two equal lines of 1, 2 and 3: together 2, 4 and 6; apart a mean of 4 and, with deviations of 1/3
// each, 4 -+ 3 sqrt(2)/3.
func TestCombination(t *testing.T) {
	line := spanOf(1, 2, 3)
	c := combine([]Span{line, line})
	near(t, "low", c.Low.InexactFloat64(), 2, 0)
	near(t, "high", c.High.InexactFloat64(), 6, 0)
	near(t, "expected", c.Expected, 4, 1e-12)
	near(t, "apart, low", c.ApartLow, 2.5857864376, 1e-9)
	near(t, "apart, high", c.ApartHigh, 5.4142135624, 1e-9)
}

// Whatever the lines do, their sum stays between the sum of the lows and that of the highs.
func TestNoDependenceLeadsBeyondTheTotal(t *testing.T) {
	rng := random(t)
	q := quoted(t, New(rules.DefaultRates()), pair(varied(rng, rules.Fixed), varied(rng, rules.Moving)))
	low, high := q.Hours.Low.InexactFloat64(), q.Hours.High.InexactFloat64()
	if q.Hours.ApartLow < low || q.Hours.ApartHigh > high {
		t.Errorf("lines apart reach from %v to %v, together from %v to %v", q.Hours.ApartLow, q.Hours.ApartHigh, low, high)
	}
	for range 1000 {
		sum := 0.0
		for _, l := range q.Lines {
			a, b := l.Hours.Low.InexactFloat64(), l.Hours.High.InexactFloat64()
			sum += a + (b-a)*rng.Float64()
		}
		if sum < low-1e-9 || sum > high+1e-9 {
			t.Fatalf("a sum of %v is outside %v to %v", sum, low, high)
		}
	}
}

// A cut that the takeoff knows less well than it is large is told.
func TestLooseLinesAreTold(t *testing.T) {
	s := New(rules.DefaultRates())
	a := sample(rules.Fixed, "1.2311")
	before := len(quoted(t, s, Job{Halves: []*takeoff.Takeoff{a}}).Notes)
	cut := &a.SetUps[0].Cuts[2] // D2: 0.1 cm3
	cut.RemovedMM3.Error = 3000
	q := quoted(t, s, Job{Halves: []*takeoff.Takeoff{a}})
	if len(q.Notes) != before+1 || !strings.Contains(q.Notes[before], "rest milling: the takeoff's bound alone is") {
		t.Errorf("notes: %q", q.Notes)
	}
}

// A pair's quote without its takeoff.
func BenchmarkQuotePair(b *testing.B) {
	s := New(rules.DefaultRates())
	j := pair(sample(rules.Fixed, "1.2311"), sample(rules.Moving, "1.2311"))
	for b.Loop() {
		if _, err := s.Quote(j); err != nil {
			b.Fatal(err)
		}
	}
}

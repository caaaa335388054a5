package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/google/go-cmp/cmp"
	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"pocketgauge/checks/quote"
	"pocketgauge/checks/takeoff"
	"pocketgauge/rules"
)

var update = flag.Bool("update", false, "rewrite the golden reports (not where CI is set)")

func goldenText(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update && os.Getenv("CI") == "" {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v\nto make it: go test ./checks/report -run '^%s$' -update, then read the difference", err, t.Name())
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s (-want +got)\n%s", name, diff)
	}
}

// bench is a half with round numbers.
func bench(h rules.Half, removed float64) *takeoff.Takeoff {
	f := func(v, e float64) takeoff.Figure { return takeoff.Figure{Value: v, Error: e} }
	return &takeoff.Takeoff{
		File: "inserts/bench-" + string(h) + ".stp", Name: "Bench, " + string(h) + " half", Half: h, Frame: "Bench B100", Steel: "1.2311", DensityKGM3: 7830,
		BlankMM3: f(100*80*40, 0), InsertMM3: f(320000-removed, 1), RemoveMM3: f(removed, 1), BlankSizeMM: r3.Vector{X: 100, Y: 80, Z: 40},
		FacedMM3: f(8000, 1), SetUps: []takeoff.SetUp{{Name: "top", Cuts: []takeoff.Cut{{Cutter: "D16", DiameterMM: 16, RemovedMM3: f(removed-8000, 300)}}}},
		Drilled: []takeoff.Hole{{Count: 4, DiameterMM: 8, DepthMM: 40, Through: true, Method: takeoff.Twist}},
		Burns:   []takeoff.Burn{{Kind: "corner", VolumeMM3: f(30, 4)}}, BurnMM3: f(30, 4), Electrodes: []takeoff.Electrode{{Places: 1, Positions: 2}},
		Finish: []takeoff.FinishArea{{Kind: takeoff.Floor, Class: "C", AreaMM2: f(4000, 2)}, {Kind: takeoff.FreeForm, Class: "C", AreaMM2: f(2500, 4)}},
		EdgeMM: f(900, 1), Projected: f(3500, 3),
	}
}

// demoQuotes are a pair and a single half.
func demoQuotes(t *testing.T) (*quote.Shop, []*quote.Quote) {
	t.Helper()
	s := quote.New(rules.DefaultRates())
	var all []*quote.Quote
	for _, j := range []quote.Job{
		{Name: "Bench", Halves: []*takeoff.Takeoff{bench(rules.Fixed, 48000), bench(rules.Moving, 60000)}},
		{Name: "=Single", Halves: []*takeoff.Takeoff{bench(rules.Fixed, 20000)}},
	} {
		q, err := s.Quote(j)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, q)
	}
	return s, all
}

// The texts pin what is said; the numbers in them are held to hand calculations in package quote.
func TestQuotedTexts(t *testing.T) {
	s, all := demoQuotes(t)
	var b bytes.Buffer
	for i, q := range all {
		j := NewQuotedJob(q)
		if i == 0 {
			d, err := s.AgainstDedicated(q)
			if err != nil {
				t.Fatal(err)
			}
			j.Dedicated = NewQuotedDedicated(d)
		}
		if err := WriteQuotedText(&b, j, "EUR"); err != nil {
			t.Fatal(err)
		}
	}
	if err := WriteQuotedTotalText(&b, NewQuotedTotals(s.Total(all)), "EUR"); err != nil {
		t.Fatal(err)
	}
	goldenText(t, "quote.txt", b.Bytes())
	b.Reset()
	if err := WriteCustomerText(&b, NewCustomerQuote("tool", "Bench shop", "EUR", s.Total(all))); err != nil {
		t.Fatal(err)
	}
	goldenText(t, "customer.txt", b.Bytes())
}

// What the estimator reads adds up as printed, in text of two places.
func TestPrintedLinesAddUp(t *testing.T) {
	_, all := demoQuotes(t)
	j := NewQuotedJob(all[0])
	sum := func(of func(l QuotedLine) string) string {
		total := decimal.Zero
		for _, l := range j.Lines {
			v, err := decimal.NewFromString(of(l))
			if err != nil {
				t.Fatal(err)
			}
			total = total.Add(v)
		}
		return total.StringFixed(2)
	}
	for _, c := range []struct{ what, got, want string }{
		{"low", sum(func(l QuotedLine) string { return l.Money.Low }), j.Total.Price.Low},
		{"likely", sum(func(l QuotedLine) string { return l.Money.Likely }), j.Total.Price.Likely},
		{"high", sum(func(l QuotedLine) string { return l.Money.High }), j.Total.Price.High},
		{"hours", sum(func(l QuotedLine) string {
			if l.Hours == nil {
				return "0"
			}
			return l.Hours.Likely
		}), j.Total.Hours.Likely},
	} {
		if c.got != c.want {
			t.Errorf("%s: lines come to %s, the total is %s", c.what, c.got, c.want)
		}
	}
}

// Nothing that the customer reads has the shop's hours, rates, cost, contingency or margin in it.
func TestCustomerReadsNoRates(t *testing.T) {
	s, all := demoQuotes(t)
	c := NewCustomerQuote("tool", "Bench shop", "EUR", s.Total(all))
	var text, table, book bytes.Buffer
	for _, err := range []error{WriteCustomerText(&text, c), WriteCustomerCSV(&table, c), WriteCustomerXLSX(&book, c), json.NewEncoder(&text).Encode(c)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	f, err := excelize.OpenReader(&book)
	if err != nil {
		t.Fatal(err)
	}
	told := text.String() + table.String()
	for _, name := range f.GetSheetList() {
		rows, err := f.GetRows(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows {
			told += strings.Join(r, " ") + "\n"
		}
	}
	secret := map[string]bool{}
	for _, q := range all {
		for _, l := range NewQuotedJob(q).Lines {
			secret[l.Money.Likely] = true
			if l.Hours != nil {
				secret[l.Hours.Likely] = true
				secret[*l.Rate] = true
			}
		}
		secret[q.Cost.Likely.StringFixed(2)] = true
	}
	for _, number := range regexp.MustCompile(`[0-9]+\.[0-9]{2}\b`).FindAllString(told, -1) {
		if secret[number] {
			t.Errorf("the customer reads %s, which is a figure of the shop's", number)
		}
	}
	for _, word := range []string{"hour", "margin", "contingency", "rate", "cost"} {
		if strings.Contains(strings.ToLower(told), word) {
			t.Errorf("the customer reads of %q", word)
		}
	}
	if !strings.Contains(told, all[0].Price.Likely.StringFixed(2)) {
		t.Error("the price is not told")
	}
	// The control: what the estimator reads does have them.
	text.Reset()
	if err := WriteQuotedText(&text, NewQuotedJob(all[0]), "EUR"); err != nil || !strings.Contains(text.String(), all[0].Cost.Likely.StringFixed(2)) {
		t.Errorf("the estimator is not told the cost (%v)", err)
	}
}

// The same quotes give the same bytes, and the workbook holds the figures of the lines.
func TestWorkbook(t *testing.T) {
	s, all := demoQuotes(t)
	jobs := []QuotedJob{NewQuotedJob(all[0]), NewQuotedJob(all[1])}
	total := NewQuotedTotals(s.Total(all))
	var one, two bytes.Buffer
	if err := WriteQuotedXLSX(&one, jobs, total); err != nil {
		t.Fatal(err)
	}
	if err := WriteQuotedXLSX(&two, jobs, total); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Error("two writings of the same workbook differ")
	}
	f, err := excelize.OpenReader(&one)
	if err != nil {
		t.Fatal(err)
	}
	if f.GetSheetList()[len(f.GetSheetList())-1] != "Machines" {
		t.Errorf("sheets %v, want no comparison where none was asked for", f.GetSheetList())
	}
	d, err := s.AgainstDedicated(all[0])
	if err != nil {
		t.Fatal(err)
	}
	with := []QuotedJob{jobs[0]}
	with[0].Dedicated = NewQuotedDedicated(d)
	var compared bytes.Buffer
	if err := WriteQuotedXLSX(&compared, with, total); err != nil {
		t.Fatal(err)
	}
	g, err := excelize.OpenReader(&compared)
	if err != nil {
		t.Fatal(err)
	}
	if told, err := g.GetRows("Against a mould"); err != nil || len(told) != 9 || told[8][4] != strings.TrimRight(d.Life.Saving.String(), ".") {
		t.Errorf("the comparison has %v (%v), want the saving %v in its last row", told, err, d.Life.Saving)
	}
	rows, err := f.GetRows("Lines")
	if err != nil {
		t.Fatal(err)
	}
	if want := len(jobs[0].Lines) + len(jobs[1].Lines) + 1; len(rows) != want {
		t.Fatalf("%d rows, want %d", len(rows), want)
	}
	sum := decimal.Zero
	for _, r := range rows[1:] {
		v, err := decimal.NewFromString(r[10])
		if err != nil {
			t.Fatal(err)
		}
		sum = sum.Add(v)
	}
	if !sum.Equal(s.Total(all).Price.Likely) {
		t.Errorf("the workbook's lines come to %v, the price is %v", sum, s.Total(all).Price.Likely)
	}
	var table bytes.Buffer
	if err := WriteQuotedCSV(&table, jobs); err != nil {
		t.Fatal(err)
	}
	records, err := csv.NewReader(&table).ReadAll()
	if err != nil || len(records) != len(rows) {
		t.Fatalf("%d records, %v", len(records), err)
	}
	if last := records[len(records)-1][0]; last != "'=Single" {
		t.Errorf("a name that a spreadsheet would run is written as %q", last)
	}
	// In a workbook a text is a text: it is never run.
	if kind, err := f.GetCellType("Lines", "A"+"30"); err != nil || kind == excelize.CellTypeFormula {
		t.Errorf("a name became a formula (%v, %v)", kind, err)
	}
}

// Round numbers, nought among them, the last no less than the most and the one before it less.
func TestTicks(t *testing.T) {
	for _, most := range []float64{0.003, 0.7, 1, 9.99, 10, 60, 33764.27, 1e9, 0, -1} {
		all := ticks(most)
		last := len(all) - 1
		if all[0] != 0 || all[last] < most || last > 0 && most > 0 && all[last-1] >= most || len(all) > 7 {
			t.Errorf("%v: %v", most, all)
		}
	}
}

// A chart is well-formed, whatever names are in it, and its marks stand where the axes say.
func TestChart(t *testing.T) {
	c := Chart{Title: `<&"`, X: "x", Y: "y", Diagonal: true, Series: []Series{{Name: "<a>", Points: [][2]float64{{50, 100}}}, {Name: "b", Line: true, Points: [][2]float64{{0, 0}, {100, 50}}}}}
	var one, two bytes.Buffer
	if err := c.WriteSVG(&one); err != nil {
		t.Fatal(err)
	}
	if err := c.WriteSVG(&two); err != nil || !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Errorf("two drawings of a chart differ (%v)", err)
	}
	d := xml.NewDecoder(bytes.NewReader(one.Bytes()))
	for {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	// Both axes run from 0 to 100: (50, 100) is half way along and at the top.
	want := fmt.Sprintf(`<circle cx="%d" cy="%d"`, chartLeft+(chartWidth-chartLeft-chartRight)/2, chartTop)
	if !strings.Contains(one.String(), want) {
		t.Errorf("no %s in\n%s", want, one.String())
	}
}

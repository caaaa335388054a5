package report_test

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"pocketgauge/checks/report"
	"pocketgauge/checks/takeoff"
)

// sample is a takeoff whose parts do not round well: each ends on half a mm3 or a third of one.
func sample() report.TakenOff {
	f := func(v, e float64) takeoff.Figure { return takeoff.Figure{Value: v, Error: e} }
	return report.NewTakenOff(&takeoff.Takeoff{
		File: "=1+1.stl", Name: "Lid, fixed half", Frame: "Bench", Steel: "1.2311", DensityKGM3: 7830,
		BlankMM3: f(5000, 0), InsertMM3: f(3997.999, 0), RemoveMM3: f(1002.001, 0.5),
		FacedMM3: f(500.5, 0.01),
		SetUps: []takeoff.SetUp{{Name: "top", Cuts: []takeoff.Cut{
			{Cutter: "flat 6", DiameterMM: 6, RemovedMM3: f(300.5, 12)}, {Cutter: "flat 2", DiameterMM: 2, RemovedMM3: f(100.5, 3.4), Rest: true},
		}}},
		Drilled:    []takeoff.Hole{{Count: 2, DiameterMM: 4, DepthMM: 8, Method: takeoff.Twist, RemovedMM3: f(100.333, 0.2)}},
		Burns:      []takeoff.Burn{{Kind: "slot", VolumeMM3: f(0.1, 0.01), Electrode: 1}, {Kind: "corner", VolumeMM3: f(0.05, 0.01), Left: "corner to R0.5"}},
		Electrodes: []takeoff.Electrode{{Places: 1, Positions: 1}},
		BurnMM3:    f(0.1, 0.01), LeftMM3: f(0.068, 0.3), Method: "clip", CuttersFrom: takeoff.CuttersInRules, Holders: "25 mm thick", PitchMM: 0.2,
		Finish: []takeoff.FinishArea{{Kind: takeoff.Floor, Class: "B2", AreaMM2: f(1234, 1)}},
	})
}

// The printed column of volumes adds up to its last line, digit by digit.
func TestColumnOfTheSplitAddsUp(t *testing.T) {
	var b bytes.Buffer
	if err := report.WriteTakenOffText(&b, sample()); err != nil {
		t.Fatal(err)
	}
	line := regexp.MustCompile(`(?m)^  (faced|top|drilled|spark erosion|stays|in all| {5}).* ([0-9]+\.[0-9]{3}) +[0-9]+\.[0-9]{3}(?: +[0-9.]+ %)?$`)
	sum, lines := int64(0), 0
	for _, m := range line.FindAllStringSubmatch(b.String(), -1) {
		n, err := strconv.ParseInt(strings.Replace(m[2], ".", "", 1), 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		lines++
		if m[1] == "in all" {
			if n != sum || n != 1002 {
				t.Errorf("in all %d thousandths, the lines come to %d", n, sum)
			}
			continue
		}
		sum += n
	}
	if lines != 8 {
		t.Errorf("%d lines of volumes:\n%s", lines, &b)
	}
	for _, l := range strings.Split(b.String(), "\n") {
		if strings.HasSuffix(l, " ") {
			t.Errorf("a line ends in blanks: %q", l)
		}
	}
	if !strings.Contains(b.String(), "1 electrode: 1 slot") || !strings.Contains(b.String(), "1 x corner to R0.5 ") || !strings.Contains(b.String(), "2 x D4, 8 deep, blind, twist") {
		t.Errorf("holes and regions:\n%s", &b)
	}
}

// Values of one total allot as the method of largest remainders has it; what does not fit at all falls to
// the largest.
func TestAllot(t *testing.T) {
	for _, c := range []struct {
		values []float64
		total  float64
		want   []int64
	}{
		{[]float64{0.5, 0.5, 0.5, 0.5}, 2, []int64{1, 1, 0, 0}},
		{[]float64{1.2, 1.7, 1.6}, 4.5, []int64{1, 2, 2}},
		{[]float64{3, 4}, 7, []int64{3, 4}},
		{[]float64{3, 4}, 12, []int64{3, 9}},
		{nil, 3, []int64{}},
	} {
		got, sum := takeoff.Allot(c.values, c.total, 1)
		if sum != int64(math.Round(c.total)) || len(got) != len(c.want) {
			t.Errorf("%v of %g: %v, %d", c.values, c.total, got, sum)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%v of %g: %v, want %v", c.values, c.total, got, c.want)
			}
		}
	}
}

// The workbook holds the two tables, with numbers as numbers and names as text, and neither clock nor user.
func TestWorkbookHoldsTheTables(t *testing.T) {
	all := []report.TakenOff{sample(), sample()}
	var b, again, table bytes.Buffer
	for _, w := range []*bytes.Buffer{&b, &again} {
		if err := report.WriteTakeoffXLSX(w, all); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Error("two workbooks of the same takeoffs differ")
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		if y := f.Modified.Year(); y > 2000 {
			t.Errorf("%s is dated %v", f.Name, f.Modified)
		}
		if f.Name == "docProps/core.xml" {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			text, err := io.ReadAll(r)
			if err != nil || bytes.Count(text, []byte("2000-01-01T00:00:00Z")) != 2 {
				t.Errorf("properties: %s (%v)", text, err)
			}
		}
	}
	f, err := excelize.OpenReader(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for name, write := range map[string]func(io.Writer, []report.TakenOff) error{"inserts": report.WriteTakeoffCSV, "work": report.WriteTakeoffLinesCSV} {
		table.Reset()
		if err := write(&table, all); err != nil {
			t.Fatal(err)
		}
		want, err := csv.NewReader(&table).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		got, err := f.GetRows(name, excelize.Options{RawCellValue: true})
		if err != nil || len(got) != len(want) {
			t.Errorf("%s: %d rows, want %d (%v)", name, len(got), len(want), err)
			continue
		}
		for i := range want {
			for k := range want[i] {
				cell := ""
				if k < len(got[i]) {
					cell = got[i][k]
				}
				w := strings.TrimPrefix(want[i][k], "'")
				if i == 0 {
					w = strings.ReplaceAll(w, "_", " ")
				}
				if number := map[string]string{"false": "0", "true": "1"}; want[0][k] == "exact" && i > 0 {
					w = number[w]
				}
				if cell != w && !strings.EqualFold(cell, w) {
					t.Errorf("%s, row %d, %s: %q, in the CSV %q", name, i, want[0][k], cell, w)
				}
			}
		}
	}
	if formula, err := f.GetCellFormula("inserts", "A2"); err != nil || formula != "" {
		t.Errorf("a file's name became the formula %q", formula)
	}
}

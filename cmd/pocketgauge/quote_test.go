package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/checks/takeoff"
)

// quotedBy runs quote with --format json.
func quotedBy(t *testing.T, args ...string) (report.Quoted, []report.QuotedJob) {
	t.Helper()
	status, out, messages := atTop(t, append([]string{"quote", "--format", "json"}, args...)...)
	if status != statusPass {
		t.Fatalf("quote %v: exit status %d: %s", args, status, messages)
	}
	if err := validate("quote", "json", out); err != nil {
		t.Fatal(err)
	}
	var q struct {
		report.Quoted
		Jobs []report.QuotedJob `json:"jobs"`
	}
	if err := json.Unmarshal(out, &q); err != nil {
		t.Fatal(err)
	}
	return q.Quoted, q.Jobs
}

// Common practice, no source: an insert set takes 100 to 150 shop hours where a mould of its own takes 300
// to 400; its design 3 to 4 days of 8 hours where that takes 2 to 4 weeks of 40; it is delivered in 2 to
// 3 weeks against 6 to 8; part follows part in about 15 minutes. The demo's pair of middling size must lie
// there with the program's own rates, none of which knows it.
func TestDemoPairLiesWhereTheTradeHasIt(t *testing.T) {
	own := filepath.Join(t.TempDir(), "own-rates.yaml")
	if err := os.WriteFile(own, []byte("note: The program's own rates.\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	_, jobs := quotedBy(t, "--rates", own, "--against-dedicated", apiary+"/inserts/queen-clip-fixed.stl", apiary+"/inserts/queen-clip-moving.stp")
	if len(jobs) != 1 || len(jobs[0].Halves) != 2 || jobs[0].Dedicated == nil {
		t.Fatalf("%d jobs, want one of two halves with its comparison", len(jobs))
	}
	d := jobs[0].Dedicated
	worked := 0
	for _, l := range d.Lines {
		if checkByHand(t, l) {
			worked++
		}
	}
	if worked < 30 {
		t.Errorf("only %d lines have hours", worked)
	}
	for _, c := range []struct {
		what, got string
		from, to  float64
	}{
		{"hours of the insert set", d.Build.Insert, 100, 150}, {"hours of the mould", d.Build.Mould, 300, 400},
		{"hours of its design", d.Design.Insert, 3 * 8, 4 * 8}, {"hours of the mould's design", d.Design.Mould, 2 * 40, 4 * 40},
		{"weeks of delivery", d.Weeks.Insert, 2, 3}, {"weeks of the mould's", d.Weeks.Mould, 6, 8},
		{"hours of change-over", d.Life.ChangeOverHours.Insert, 0.25, 0.25},
	} {
		v, err := strconv.ParseFloat(c.got, 64)
		if err != nil || v < c.from || v > c.to {
			t.Errorf("%s: %s, the trade has %v to %v", c.what, c.got, c.from, c.to)
		} else {
			t.Logf("%s: %s, the trade has %v to %v", c.what, c.got, c.from, c.to)
		}
	}
}

// Many inserts in one batch: one workbook whose lines add up to the total, the same bytes on one
// core and on two. POCKETGAUGE_BATCH=200 takes so many.
func TestBatchInOneWorkbook(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: many inserts are measured twice")
	}
	dir := t.TempDir()
	write := func(name string, data []byte) {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("bench.yaml", []byte(scriptFrame+"blank: {height: 41}\n"))
	write("pocketgauge.yaml", []byte("inserts:\n  - {models: \"*.stl\", rules: bench.yaml, half: fixed}\n"))
	many := 12
	if text := os.Getenv("POCKETGAUGE_BATCH"); text != "" {
		var err error
		if many, err = strconv.Atoi(text); err != nil {
			t.Fatal(err)
		}
	}
	clean := scriptModels()["clean.stl"]
	for i := range many {
		write(fmt.Sprintf("insert-%03d.stl", i), clean)
	}
	var books [2][]byte
	var told [2][]byte
	for k, jobs := range []string{"1", "2"} {
		book := filepath.Join(t.TempDir(), "all.xlsx")
		var out, messages bytes.Buffer
		if status := run(context.Background(), []string{"quote", "--format", "json", "--jobs", jobs, "--xlsx", book, dir}, streams{in: strings.NewReader(""), out: &out, err: &messages}); status != statusPass {
			t.Fatalf("exit status %d: %s", status, messages.Bytes())
		}
		var err error
		if books[k], err = os.ReadFile(book); err != nil {
			t.Fatal(err)
		}
		told[k] = out.Bytes()
	}
	if !bytes.Equal(books[0], books[1]) || !bytes.Equal(told[0], told[1]) {
		t.Error("one core and two give different bytes")
	}
	var q report.Quoted
	if err := json.Unmarshal(told[0], &q); err != nil || q.Total == nil || q.Total.Jobs != many {
		t.Fatalf("%+v, %v", q.Total, err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(books[0]))
	if err != nil {
		t.Fatal(err)
	}
	for sheet, want := range map[string]struct{ column, rows int }{"Jobs": {11, many + 1}, "Lines": {10, 0}} {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		sum := decimal.Zero
		for _, r := range rows[1:] {
			v, err := decimal.NewFromString(r[want.column])
			if err != nil {
				t.Fatal(err)
			}
			if r[0] != "all" {
				sum = sum.Add(v)
			}
		}
		if sum.StringFixed(2) != q.Total.Price.Likely {
			t.Errorf("the sheet %s adds up to %v, the total is %s", sheet, sum, q.Total.Price.Likely)
		}
		if want.rows > 0 && len(rows) != want.rows+1 {
			t.Errorf("the sheet %s has %d rows, want %d", sheet, len(rows), want.rows+1)
		}
	}
}

func TestPairsAreFoundEitherWayRound(t *testing.T) {
	in := func(names ...string) (all []batch.Insert) {
		for _, n := range names {
			all = append(all, batch.Insert{File: n})
		}
		return all
	}
	partner := map[string]string{"a1": "a2", "a2": "a1", "b1": "b2", "b2": "b1"}
	for _, c := range []struct {
		inserts []batch.Insert
		want    string
	}{
		{in("a1", "a2", "b1"), "[[0 1] [2]]"}, {in("a2", "c", "a1"), "[[0 2] [1]]"}, {in("b2"), "[[0]]"},
		{in("a1", "a1", "a2"), "[[0] [1 2]]"}, {in("c", "d"), "[[0] [1]]"},
	} {
		if got := fmt.Sprint(pairs(c.inserts, partner)); got != c.want {
			t.Errorf("%v: %s, want %s", c.inserts, got, c.want)
		}
	}
	if got := fmt.Sprint(pairs(in("a1", "a2"), nil)); got != "[[0] [1]]" {
		t.Errorf("without partners: %s", got)
	}
}

func TestJobNames(t *testing.T) {
	for _, c := range []struct {
		names []string
		want  string
	}{
		{[]string{"Lid, fixed half", "Lid, moving half"}, "Lid"}, {[]string{"clip-fixed", "clip-moving"}, "clip"},
		{[]string{"a", "b"}, "a"}, {[]string{"alone"}, "alone"}, {[]string{"Dösen A", "Dösen B"}, "Dösen"}, {[]string{"Ä", "Ö"}, "Ä"},
	} {
		if got := jobName(c.names); got != c.want {
			t.Errorf("%q: %q, want %q", c.names, got, c.want)
		}
	}
}

func TestFiguresOfATakeoffAreAllKept(t *testing.T) {
	full := &takeoff.Takeoff{File: "a", RemoveMM3: takeoff.Figure{Value: 2, Error: 1}, SetUps: []takeoff.SetUp{{Name: "top"}}, Exact: true}
	got := reflect.ValueOf(figuresOf(full)).Elem()
	want := reflect.ValueOf(full).Elem()
	for i := range want.NumField() {
		if f := want.Type().Field(i); f.IsExported() && !reflect.DeepEqual(got.Field(i).Interface(), want.Field(i).Interface()) {
			t.Errorf("%s is lost", f.Name)
		}
	}
}

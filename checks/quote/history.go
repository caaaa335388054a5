package quote

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"pocketgauge/rules/nearest"
	"pocketgauge/rules/quantity"
)

// HistoryHead are the columns of a history: what each operation of each past job was made of, and how
// long it took. Other columns may stand beside them.
var HistoryHead = []string{"job", "operation", "drivers", "quoted_hours", "actual_hours"}

// Record is one operation of one past job. Its drivers are the takeoff in the only form that calibration
// needs: for each rate, how many hours follow from it at the value that it had.
type Record struct {
	Job, Operation string
	Drivers        []Driver
	Quoted         float64
	// Actual is what it took; Known is false where nobody wrote that down.
	Actual float64
	Known  bool
	Line   int // in the file
}

// Driver is what one rate brought about: so many hours at that value of it, which the rate's key says is
// a time, an area an hour, a factor.
type Driver struct {
	Key string
	// Value is in the unit of package rules, as the rate is.
	Value, Hours float64
}

// inverse are the rates at which more means fewer hours.
var inverse = map[string]bool{"design.detail": true, "fitting.face": true, "grinding.face": true, "measuring.detail": true, "edges.speed": true}

// Records are what a quote leaves for its history, to be kept until the hours are known.
func (s *Shop) Records(q *Quote) []Record {
	var all []Record
	for _, l := range q.Lines {
		if len(l.Parts) == 0 {
			continue
		}
		i := slices.IndexFunc(all, func(r Record) bool { return r.Operation == l.Operation })
		if i < 0 {
			all = append(all, Record{Job: q.Name, Operation: l.Operation})
			i = len(all) - 1
		}
		r := &all[i]
		for _, p := range l.Parts {
			r.Quoted += p.Hours
			k := slices.IndexFunc(r.Drivers, func(d Driver) bool { return d.Key == p.Key })
			if k < 0 {
				r.Drivers = append(r.Drivers, Driver{Key: p.Key, Value: s.value(p.Key)})
				k = len(r.Drivers) - 1
			}
			r.Drivers[k].Hours += p.Hours
		}
	}
	return all
}

// value of a rate by its key, NaN where there is none.
func (s *Shop) value(key string) float64 {
	for l, path := range s.path {
		if path == key {
			return l.Value
		}
	}
	return math.NaN()
}

// WriteHistory writes records as a table whose last column is left for the hours that it took.
func (s *Shop) WriteHistory(w io.Writer, records []Record) error {
	c := csv.NewWriter(w)
	c.Write(HistoryHead)
	for _, r := range records {
		var drivers []string
		for _, d := range r.Drivers {
			text, _ := s.rates.Write(d.Key, d.Value)
			drivers = append(drivers, fmt.Sprintf("%s @ %s = %s", d.Key, text, strconv.FormatFloat(d.Hours, 'g', 6, 64)))
		}
		actual := ""
		if r.Known {
			actual = strconv.FormatFloat(r.Actual, 'g', -1, 64)
		}
		c.Write([]string{textCell(r.Job), r.Operation, strings.Join(drivers, "; "), strconv.FormatFloat(r.Quoted, 'f', places, 64), actual})
	}
	c.Flush()
	return c.Error()
}

// textCell keeps a spreadsheet from running a name as a formula.
func textCell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

// mostRecords bounds a history: thirty years of a job a day.
const mostRecords = 100_000

// ReadHistory reads a history. All mistakes are reported, each with its line.
func (s *Shop) ReadHistory(name string, from io.Reader) ([]Record, error) {
	c := csv.NewReader(from)
	c.FieldsPerRecord = -1
	c.ReuseRecord = true
	head, err := c.Read()
	if err != nil {
		return nil, fmt.Errorf("%s:1: a table with the columns %s is wanted: %w", name, strings.Join(HistoryHead, ", "), err)
	}
	column := map[string]int{}
	for i, h := range head {
		column[strings.TrimSpace(strings.TrimPrefix(h, "\ufeff"))] = i
	}
	for _, h := range HistoryHead {
		if _, ok := column[h]; !ok {
			var names []string
			for n := range column {
				names = append(names, n)
			}
			slices.Sort(names)
			hint := ""
			if near, ok := nearest.Word(h, names); ok {
				hint = fmt.Sprintf("; is %q meant?", near)
			}
			return nil, fmt.Errorf("%s:1: there is no column %q%s", name, h, hint)
		}
	}
	var all []Record
	var wrong []error
	seen := map[[2]string]int{}
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			// The error has its line; there is no field whose place could be asked.
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		line, _ := c.FieldPos(0)
		if len(all) >= mostRecords {
			return nil, fmt.Errorf("%s:%d: more than %d lines", name, line, mostRecords)
		}
		at := func(h string) string {
			if i := column[h]; i < len(row) {
				return strings.TrimSpace(row[i])
			}
			return ""
		}
		fault := func(format string, args ...any) {
			const most = 50
			if len(wrong) < most {
				wrong = append(wrong, fmt.Errorf("%s:%d: %s", name, line, fmt.Sprintf(format, args...)))
			}
		}
		r := Record{Job: at("job"), Operation: at("operation"), Line: line}
		if r.Job == "" && r.Operation == "" && at("drivers") == "" {
			continue
		}
		if first, twice := seen[[2]string{r.Job, r.Operation}]; twice {
			fault("%s of %q stands on line %d already", r.Operation, r.Job, first)
			continue
		}
		seen[[2]string{r.Job, r.Operation}] = line
		if r.Drivers, err = s.readDrivers(at("drivers")); err != nil {
			fault("%v", err)
			continue
		}
		for _, h := range []struct {
			column string
			into   *float64
		}{{"quoted_hours", &r.Quoted}, {"actual_hours", &r.Actual}} {
			text := at(h.column)
			if text == "" {
				continue
			}
			v, err := strconv.ParseFloat(text, 64)
			const most = 100_000
			if err != nil || !(v >= 0 && v <= most) {
				fault("%s: %q is no number of hours; write it like 12.5", h.column, text)
				continue
			}
			*h.into = v
			r.Known = h.column == "actual_hours"
		}
		all = append(all, r)
	}
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	return all, nil
}

// readDrivers reads "key @ value = hours; ...".
func (s *Shop) readDrivers(text string) ([]Driver, error) {
	var all []Driver
	for _, one := range strings.Split(text, ";") {
		if one = strings.TrimSpace(one); one == "" {
			continue
		}
		key, rest, ok := strings.Cut(one, " @ ")
		value, hours, ok2 := strings.Cut(rest, " = ")
		if !ok || !ok2 {
			return nil, fmt.Errorf("drivers: %q is not written like \"design.per_half @ 5 h = 10\"", one)
		}
		key = strings.TrimSpace(key)
		if _, known := s.order[key]; !known {
			return nil, fmt.Errorf("drivers: %q is no number of the rates", key)
		}
		q, err := quantity.Parse(value)
		if err != nil || !(q.Value > 0) {
			return nil, fmt.Errorf("drivers: %s: %q is no value of a rate", key, value)
		}
		h, err := strconv.ParseFloat(strings.TrimSpace(hours), 64)
		if err != nil || !(h >= 0) || math.IsInf(h, 0) {
			return nil, fmt.Errorf("drivers: %s: %q is no number of hours", key, hours)
		}
		all = append(all, Driver{key, q.Value, h})
	}
	if len(all) == 0 {
		return nil, errors.New("drivers: nothing stands here, so nothing can be learnt from the hours")
	}
	return all, nil
}

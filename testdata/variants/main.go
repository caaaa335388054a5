// Command variants judges the random variants that testdata/makeapiary/variants.py has drawn and prints
// what was found of what was seeded:
//
//	/usr/bin/python3 testdata/makeapiary/variants.py --out DIR --count 1000
//	go run ./testdata/variants DIR
//
// A row is a mistake; what checks rejected of it is counted by check, so that an insert that several
// reject counts with each. It ends with status 1 where a mistake was missed by its own check or a
// clean insert was rejected, and names each.
package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"text/tabwriter"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/mesh/load"
	"pocketgauge/rules"
)

// drawn is one line of truth: what was seeded, by how much past its limit, and which check must say so.
type drawn struct {
	File    string     `json:"file"`
	Frame   string     `json:"frame"`
	Half    rules.Half `json:"half"`
	Mistake string     `json:"mistake"`
	Check   string     `json:"check"`
	By      float64    `json:"by"`
}

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: go run ./testdata/variants DIR")
		os.Exit(2)
	}
	list, err := readTruth(os.Args[1])
	if err == nil && len(list) == 0 {
		err = fmt.Errorf("%s holds no truth-*.jsonl", os.Args[1])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "variants:", err)
		os.Exit(2)
	}
	m, err := judge(os.Args[1], list)
	if err != nil {
		fmt.Fprintln(os.Stderr, "variants:", err)
		os.Exit(2)
	}
	if err := m.print(os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "variants:", err)
		os.Exit(2)
	}
	if len(m.wrong) > 0 {
		os.Exit(1)
	}
}

// readTruth reads all parts of the truth, in order of files.
func readTruth(folder string) ([]drawn, error) {
	names, err := filepath.Glob(filepath.Join(folder, "truth-*.jsonl"))
	if err != nil {
		return nil, err
	}
	var list []drawn
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		lines := bufio.NewScanner(bytes.NewReader(data))
		for n := 1; lines.Scan(); n++ {
			var d drawn
			if err := json.Unmarshal(lines.Bytes(), &d); err != nil {
				return nil, fmt.Errorf("%s:%d: %w", name, n, err)
			}
			list = append(list, d)
		}
	}
	slices.SortFunc(list, func(a, b drawn) int { return strings.Compare(a.File, b.File) })
	return list, nil
}

// matrix counts, for each mistake, the inserts drawn with it and the checks that rejected them.
type matrix struct {
	drawn    map[string]int
	check    map[string]string // by mistake, the check that must say so
	rejected map[string]map[string]int
	// passed counts those that nothing rejects, alone those that exactly one finding does.
	passed, alone map[string]int
	wrong         []string
}

func judge(folder string, list []drawn) (*matrix, error) {
	frames := map[string]*rules.Frame{}
	frame := func(d drawn) (*rules.Frame, error) {
		file := "testdata/apiary/rules/" + d.Frame + ".yaml"
		if d.Half == rules.Moving {
			file = "testdata/apiary/rules/" + d.Frame + "-moving.yaml"
		}
		if frames[file] == nil {
			f, err := rules.Load(file)
			if err != nil {
				return nil, err
			}
			frames[file] = f
		}
		return frames[file], nil
	}
	inserts := make([]batch.Insert, len(list))
	for i, d := range list {
		f, err := frame(d)
		if err != nil {
			return nil, err
		}
		inserts[i] = batch.Insert{
			File: filepath.Join(folder, d.File), Name: d.File, Frame: f, Half: d.Half,
			Load: load.Options{ChordMM: f.Measuring.ChordMM.Value},
		}
	}
	m := &matrix{
		drawn: map[string]int{}, check: map[string]string{}, rejected: map[string]map[string]int{}, passed: map[string]int{}, alone: map[string]int{},
	}
	return m, batch.Run(context.Background(), len(inserts), runtime.GOMAXPROCS(0), func(_ context.Context, i int) []string {
		o := batch.Judge(inserts[i])
		if o.Err != nil {
			return []string{checks.FileReadable.ID}
		}
		var fails []string
		for j := range o.Findings {
			if o.Findings[j].Verdict == checks.Fail {
				fails = append(fails, o.Findings[j].Check.ID)
			}
		}
		return fails
	}, func(i int, fails []string) error {
		m.add(list[i], fails)
		return nil
	})
}

func (m *matrix) add(d drawn, fails []string) {
	m.drawn[d.Mistake]++
	m.check[d.Mistake] = d.Check
	row := m.rejected[d.Mistake]
	if row == nil {
		row = map[string]int{}
		m.rejected[d.Mistake] = row
	}
	if len(fails) == 0 {
		m.passed[d.Mistake]++
	}
	for _, id := range slices.Compact(slices.Sorted(slices.Values(fails))) {
		row[id]++
	}
	if len(fails) == 1 {
		m.alone[d.Mistake]++
	}
	switch {
	case d.Mistake == "" && len(fails) > 0:
		m.wrong = append(m.wrong, fmt.Sprintf("%s is clean and was rejected by %s", d.File, strings.Join(fails, ", ")))
	case d.Mistake != "" && !slices.Contains(fails, d.Check):
		m.wrong = append(m.wrong, fmt.Sprintf("%s: %s by %g was not seen by %s (rejected by: %s)", d.File, d.Mistake, d.By, d.Check, strings.Join(fails, ", ")))
	}
}

// print writes the matrix as a Markdown table.
func (m *matrix) print(w io.Writer) error {
	total := 0
	table := tabwriter.NewWriter(w, 0, 0, 1, ' ', 0)
	fmt.Fprint(table, "| seeded\t| drawn\t| pass\t| must be seen by\t| seen\t| with no other finding\t| rejected also by\t|\n")
	fmt.Fprint(table, "| ---\t| ---\t| ---\t| ---\t| ---\t| ---\t| ---\t|\n")
	for _, mistake := range slices.Sorted(maps.Keys(m.drawn)) {
		total += m.drawn[mistake]
		name, own := mistake, m.check[mistake]
		if name == "" {
			name, own = "nothing", "none"
		}
		var others []string
		for _, id := range slices.Sorted(maps.Keys(m.rejected[mistake])) {
			if id != own {
				others = append(others, fmt.Sprintf("%s %d", id, m.rejected[mistake][id]))
			}
		}
		fmt.Fprintf(table, "| %s\t| %d\t| %d\t| %s\t| %d\t| %d\t| %s\t|\n",
			name, m.drawn[mistake], m.passed[mistake], own, m.rejected[mistake][own], m.alone[mistake], strings.Join(others, ", "))
	}
	if err := table.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "\n%d inserts, %d judged wrongly\n", total, len(m.wrong))
	for _, line := range m.wrong {
		fmt.Fprintln(w, line)
	}
	return nil
}

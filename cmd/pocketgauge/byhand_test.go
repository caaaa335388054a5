package main

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pocketgauge/checks/report"
)

// byHand works out what a line's formula says, as a reader with a pocket calculator would: each part
// between semicolons has a label that may start with a count ("2 x D8: ...") or be a volume ("30 mm3:
// ..."), then numbers, times and over, from left to right.
func byHand(origin string) (hours float64, err error) {
	for _, part := range strings.Split(origin, "; ") {
		v, err := oneByHand(part)
		if err != nil {
			return 0, fmt.Errorf("%q: %w", part, err)
		}
		hours += v
	}
	return hours, nil
}

var (
	countLabel  = regexp.MustCompile(`^(\d+) x D`)
	volumeLabel = regexp.MustCompile(`^([0-9.]+) mm3$`)
	remark      = regexp.MustCompile(`\((tool|machine|power[^)]*)\)|for ridges of [0-9.]+`)
	tokens      = regexp.MustCompile(`[0-9]+(\.[0-9]+)?|[x/()+%]`)
	units       = regexp.MustCompile(`(cm3|cm2|mm3|mm2|mm)/(min|h)|cm3|cm2|mm3|mm2|passes|mm`)
)

func oneByHand(part string) (float64, error) {
	factor := 1.0
	if label, rest, ok := strings.Cut(part, ": "); ok {
		for _, r := range []*regexp.Regexp{countLabel, volumeLabel} {
			if m := r.FindStringSubmatch(label); m != nil {
				factor, _ = strconv.ParseFloat(m[1], 64)
			}
		}
		// The volume and the run of a bored hole are of all together.
		if strings.HasSuffix(label, " cleared") {
			factor = 1
		}
		part = rest
	}
	part = units.ReplaceAllString(remark.ReplaceAllString(part, ""), "")
	c := &calculator{left: tokens.FindAllString(part, -1)}
	v, err := c.sum()
	if err == nil && len(c.left) > 0 {
		err = fmt.Errorf("stops before %v", c.left)
	}
	return factor * v, err
}

type calculator struct{ left []string }

func (c *calculator) next() string {
	if len(c.left) == 0 {
		return ""
	}
	return c.left[0]
}

func (c *calculator) take() string {
	t := c.left[0]
	c.left = c.left[1:]
	return t
}

func (c *calculator) sum() (float64, error) {
	v, err := c.product()
	for err == nil && c.next() == "+" {
		c.take()
		var w float64
		w, err = c.product()
		v += w
	}
	return v, err
}

func (c *calculator) product() (float64, error) {
	v, err := c.factor()
	for err == nil && (c.next() == "x" || c.next() == "/") {
		op := c.take()
		var w float64
		if w, err = c.factor(); op == "x" {
			v *= w
		} else {
			v /= w
		}
	}
	return v, err
}

func (c *calculator) factor() (float64, error) {
	switch t := c.next(); t {
	case "", ")", "x", "/", "+", "%":
		return 0, fmt.Errorf("%q where a number should be", t)
	case "(":
		c.take()
		v, err := c.sum()
		if err == nil && c.next() != ")" {
			err = fmt.Errorf("no closing bracket")
		}
		if err == nil {
			c.take()
		}
		return v, err
	default:
		v, err := strconv.ParseFloat(c.take(), 64)
		if c.next() == "%" {
			c.take()
			v /= 100
		}
		return v, err
	}
}

func TestByHand(t *testing.T) {
	for formula, want := range map[string]float64{
		"1 x 8 h the job; 2 x 5 h a half; surface 130 cm2 / 60 cm2/h":                        8 + 10 + 130.0/60,
		"top flat 16: 40 cm3 / 39.44 cm3/min (tool) x 2 / 60":                                40 / 39.44 * 2 / 60,
		"top flat 16: 40 cm3 / 13.65 cm3/min (power, kc 3517 N/mm2) x 2 / 60":                40 / 13.65 * 2 / 60,
		"2 x D8: 110.4 mm / 83.56 mm/min x 1.6 / 60; 3 x 0.5 h a hole":                       2*110.4/83.56*1.6/60 + 1.5,
		"30 mm3: (80 % / 15 + 20 % / 0.5 mm3/min) x 1.3 / 60; 1 x 0.35 h a place":            30*(0.8/15+0.2/0.5)*1.3/60 + 0.35,
		"free-form: 25 cm2 / (0.2683 mm for ridges of 0.003 x 1103 mm/min) x 100 x 1.5 / 60": 25 / (0.2683 * 1103) * 100 * 1.5 / 60,
	} {
		if got, err := byHand(formula); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v, %v; want %v", formula, got, err, want)
		}
	}
	if v, err := byHand("40 cm3 / x 2"); err == nil {
		t.Errorf("nonsense is worked out to %v", v)
	}
}

// checkByHand holds a line's hours to its formula, to the rounding of what is printed.
func checkByHand(t *testing.T, l report.QuotedLine) bool {
	t.Helper()
	if l.Hours == nil {
		return false
	}
	want, err := strconv.ParseFloat(l.Hours.Likely, 64)
	if err != nil {
		t.Fatal(err)
	}
	// Hours are rounded to hundredths, the numbers of a formula to four figures.
	got, err := byHand(l.Origin)
	if err != nil || math.Abs(got-want) > 0.005+0.002*want {
		t.Errorf("%s %s: by hand %v (%v), printed %v: %s", l.Operation, l.Step, got, err, want, l.Origin)
	}
	return true
}

var quoteRow = regexp.MustCompile(`^  (\S.*?) {2,}(?:([0-9.]+) +([0-9.]+) to ([0-9.]+) +(?:([0-9.]+) +)?)?([0-9.]+) +([0-9.]+) to ([0-9.]+)$`)

// The quote in the README can be followed by hand: each line's hours from its formula, its money from
// hours and rate, cost and price from the lines.
func TestReadmeQuoteByHand(t *testing.T) {
	_, rest, ok := strings.Cut(readme(t), "    pocketgauge quote testdata/apiary/inserts/feeder-plug-fixed.stp\n\n```\n")
	block, _, ok2 := strings.Cut(rest, "\n```")
	if !ok || !ok2 {
		t.Fatal("the README has no worked quote")
	}
	cents := func(text string) int64 {
		whole, part, _ := strings.Cut(text, ".")
		v, err := strconv.ParseInt(whole+part, 10, 64)
		if err != nil || len(part) != 2 {
			t.Fatalf("%q is no money", text)
		}
		return v
	}
	var lines []report.QuotedLine
	sums := [3]int64{}
	cost := [3]int64{}
	totals := map[string][3]int64{}
	for _, row := range strings.Split(block, "\n") {
		if m := quoteRow.FindStringSubmatch(row); m != nil {
			money := [3]int64{cents(m[7]), cents(m[6]), cents(m[8])}
			if m[1] == "cost" || m[1] == "price" {
				totals[m[1]] = money
				continue
			}
			l := report.QuotedLine{Operation: m[1]}
			if m[2] != "" {
				l.Hours = &report.Spanned{Low: m[3], Likely: m[2], High: m[4]}
				for k, h := range []string{m[3], m[2], m[4]} {
					// Both in hundredths: half a cent is rounded away from nought.
					if want := (cents(h)*cents(m[5]) + 50) / 100; want != money[k] {
						t.Errorf("%s: %s h at %s is %d cents, not %d", m[1], h, m[5], want, money[k])
					}
				}
			}
			lines = append(lines, l)
			for k := range money {
				sums[k] += money[k]
				if m[1] != "margin" {
					cost[k] += money[k]
				}
			}
		} else if strings.HasPrefix(row, "      ") && len(lines) > 0 {
			l := &lines[len(lines)-1]
			l.Origin = strings.TrimSpace(l.Origin + " " + strings.TrimSpace(row))
		}
	}
	worked := 0
	for _, l := range lines {
		if checkByHand(t, l) {
			worked++
		}
	}
	if worked < 12 || totals["cost"] != cost || totals["price"] != sums {
		t.Errorf("%d lines worked out; cost %v and price %v of lines, printed %v", worked, cost, sums, totals)
	}
}

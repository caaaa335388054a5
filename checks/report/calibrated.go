package report

import (
	"fmt"
	"io"
	"strings"

	"pocketgauge/checks/quote"
	"pocketgauge/rules"
)

// Calibrated is what calibrate prints with --format json.
type Calibrated struct {
	Tool       string                `json:"tool"`
	History    string                `json:"history"`
	Rates      Source                `json:"rates"`
	Operations []CalibratedOperation `json:"operations"`
	// Written is the new rates file; "" where nothing was changed.
	Written string `json:"written"`
}

// CalibratedOperation is one operation's fit.
type CalibratedOperation struct {
	Operation string `json:"operation"`
	Jobs      int    `json:"jobs"`
	// Kept says why the rates stay as they are; "" where they are changed.
	Kept           string           `json:"kept"`
	Lambda         float64          `json:"lambda"`
	BeforeErrorH   float64          `json:"before_error_h"`
	LeftOutErrorH  *float64         `json:"left_out_error_h"`
	Rates          []CalibratedRate `json:"rates"`
	Contradictions []string         `json:"contradictions"`
}

// CalibratedRate is a rate before and after, as a rates file writes it.
type CalibratedRate struct {
	Key    string  `json:"key"`
	Old    string  `json:"old"`
	New    string  `json:"new"`
	Factor float64 `json:"factor_on_hours"`
}

// NewCalibrated puts a calibration in the form of the report.
func NewCalibrated(tool, history string, s *quote.Shop, c *quote.Calibration) Calibrated {
	r := s.Rates()
	out := Calibrated{Tool: tool, History: history, Rates: Source{File: r.File, SHA256: r.Digest()}, Operations: []CalibratedOperation{}}
	changed := map[string]quote.Changed{}
	for _, ch := range s.Changed(c) {
		changed[ch.Key] = ch
	}
	for _, f := range c.Operations {
		o := CalibratedOperation{Operation: f.Operation, Jobs: len(f.Jobs), Kept: f.Kept, Lambda: f.Lambda, BeforeErrorH: *rounded(f.BeforeError, hourError), Rates: []CalibratedRate{}, Contradictions: f.Contradictions}
		if o.Contradictions == nil {
			o.Contradictions = []string{}
		}
		if f.Left != nil {
			o.LeftOutErrorH = rounded(f.LeftError, hourError)
		}
		for k, key := range f.Keys {
			rate := CalibratedRate{Key: key, Factor: *rounded(f.Factors[k], hourError)}
			if ch, ok := changed[key]; ok {
				rate.Old, _ = r.Write(key, ch.Old)
				rate.New, _ = r.Write(key, ch.New)
			}
			o.Rates = append(o.Rates, rate)
		}
		out.Operations = append(out.Operations, o)
	}
	return out
}

// hourError keeps hours and factors of a fit to a few places: no job is booked finer than that.
const hourError = 0.001

// WriteCalibratedText prints a calibration for people.
func WriteCalibratedText(w io.Writer, c Calibrated) error {
	var b strings.Builder
	for _, o := range c.Operations {
		fmt.Fprintf(&b, "%s: %s with known hours, missed by %s h at the rates as they are", o.Operation, count(o.Jobs, "job"), Decimal(o.BeforeErrorH, 2))
		if o.LeftOutErrorH != nil {
			fmt.Fprintf(&b, ", by %s h by a fit to the other jobs", Decimal(*o.LeftOutErrorH, 2))
		}
		b.WriteByte('\n')
		if o.Kept != "" {
			writeWrapped(&b, 2, "Left as it is, "+o.Kept+".")
		} else {
			for _, r := range o.Rates {
				fmt.Fprintf(&b, "  %-28s %10s -> %-10s  hours x %s\n", r.Key, r.Old, r.New, Decimal(r.Factor, 3))
			}
		}
		for _, words := range o.Contradictions {
			writeWrapped(&b, 2, "Contradiction: "+words+".")
		}
	}
	if len(c.Operations) == 0 {
		b.WriteString("The history holds no job.\n")
	}
	if c.Written == "" {
		b.WriteString("\nNothing is changed; no rates file is written.\n")
	} else {
		fmt.Fprintf(&b, "\nNew rates are in %s; read them before they are used.\n", c.Written)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// WriteCalibratedRates writes a rates file that states what a calibration changes and inherits the
// rest; inherits is the path to the old file from the new one's folder, "" where there is none.
func WriteCalibratedRates(w io.Writer, c Calibrated, inherits string, changed []quote.Changed, rates *rules.Rates) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# Rates as past jobs have them: %s. Written by pocketgauge calibrate.\n", oneLineOf(c.History))
	if inherits != "" {
		fmt.Fprintf(&b, "inherits: %q\n", inherits)
	}
	of := map[string]CalibratedOperation{}
	for _, o := range c.Operations {
		of[o.Operation] = o
	}
	var open []string
	for _, ch := range changed {
		path := strings.Split(ch.Key, ".")
		last := len(path) - 1
		same := 0
		for same < last && same < len(open) && open[same] == path[same] {
			same++
		}
		for i := same; i < last; i++ {
			fmt.Fprintf(&b, "%s%s:\n", strings.Repeat("  ", i), path[i])
		}
		open = path[:last]
		was, _ := rates.Write(ch.Key, ch.Old)
		now, _ := rates.Write(ch.Key, ch.New)
		o := of[ch.Operation]
		fmt.Fprintf(&b, "%s%s: %s  # was %s; %s, %s missed by %s h before and by %s h when left out of the fit\n", strings.Repeat("  ", last), path[last], now, was,
			ch.Operation, count(ch.Jobs, "job"), Decimal(o.BeforeErrorH, 2), Decimal(*o.LeftOutErrorH, 2))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// oneLineOf keeps a name within its comment.
func oneLineOf(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return '?'
		}
		return r
	}, s)
}

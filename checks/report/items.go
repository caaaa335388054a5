package report

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path"
	"path/filepath"

	"pocketgauge/checks"
)

// Item is one finding with what it is about. The reports for machines are lists of items.
type Item struct {
	// Insert is what the finding is about; nil where it is about a waiver.
	Insert  *Insert
	Finding *Finding
	// File is the model, or the file of the waiver; Line is nought in a model.
	File string
	Line int
	// Fingerprint names the finding over runs: of file, check and what was measured, so that it stays
	// when the value moves and goes when the finding is mended. Repeats are numbered.
	Fingerprint string
}

// Items lists every finding of the run, of the inserts first, then of the waivers.
func (r *Judged) Items() []Item {
	var list []Item
	for i := range r.Inserts {
		in := &r.Inserts[i]
		count := map[string]int{}
		for j := range in.Findings {
			f := &in.Findings[j]
			count[name(*f)]++
			list = append(list, Item{Insert: in, Finding: f, File: in.File, Fingerprint: fingerprint(in.File, f.Check, f.Of, count[name(*f)])})
		}
	}
	for i := range r.Waivers {
		w := &r.Waivers[i]
		if f := w.Finding(); f != nil {
			list = append(list, Item{Finding: f, File: w.File, Line: w.Line, Fingerprint: fingerprint(w.File, f.Check, w.Check+" "+w.Models+" "+w.State, 1)})
		}
	}
	return list
}

func fingerprint(file, check, of string, nth int) string {
	file = path.Clean(filepath.ToSlash(file))
	sum := sha256.Sum256(fmt.Appendf(nil, "1\x00%s\x00%s\x00%s\x00%d", file, check, of, nth))
	return hex.EncodeToString(sum[:16])
}

// Title is the finding in a few words: the check, what was measured, value and limit.
func (f *Finding) Title() string {
	s := name(*f)
	if f.Value == nil || f.Unit == string(checks.Count) {
		return s
	}
	s += fmt.Sprintf(" %s %s", plain(*f.Value, f.Unit), f.Unit)
	if f.Limit != nil {
		s += fmt.Sprintf(" (%s %s; %s)", f.LimitKind, plain(*f.Limit, f.Unit), marginText(*f))
	}
	return s
}

// Body is the finding in sentences: what is the matter, where, how to mend it, who accepts it.
func (f *Finding) Body() string {
	s := f.Says
	if f.AtMM != nil {
		s += " At " + Point(*f.AtMM) + " mm."
	}
	if f.Mend != "" && f.Verdict != VerdictPass && f.Waiver == nil {
		s += " Mend: " + f.Mend
	}
	if f.Waiver != nil {
		s += " " + f.Waiver.Sentence()
	}
	return s
}

// Sentence says who accepted the finding and why.
func (w *WaivedBy) Sentence() string {
	return fmt.Sprintf("Accepted by %s until %s: %s", w.Who, w.Until, w.Why)
}

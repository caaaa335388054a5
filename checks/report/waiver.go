package report

import (
	"fmt"

	"pocketgauge/checks"
)

// WaivedBy is what lets a broken limit pass.
type WaivedBy struct {
	// Was is the verdict without the waiver.
	Was   string `json:"was"`
	Who   string `json:"who"`
	Why   string `json:"why"`
	Until string `json:"until"`
	File  string `json:"file"`
	Line  int    `json:"line"`
}

// Waiver is what became of one waiver in the run.
type Waiver struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Check  string `json:"check"`
	Models string `json:"models"`
	Who    string `json:"who"`
	Why    string `json:"why"`
	Until  string `json:"until"`
	State  string `json:"state"`
	// Inserts counts the inserts judged that the waiver is for, Waives the findings it let pass.
	Inserts int `json:"inserts"`
	Waives  int `json:"waives"`
	// Unjudged counts the inserts of which its check could not be judged.
	Unjudged int `json:"unjudged,omitempty"`
	// Expired is set where its last day is over.
	Expired bool `json:"expired,omitempty"`
}

// Settle sets the state from the counts. whole is set where the counts are those of everything that
// the waiver could be for.
func (w *Waiver) Settle(whole bool) {
	switch {
	case w.Expired:
		w.State = WaiverExpired
	case w.Waives > 0:
		w.State = WaiverInUse
	case whole && w.Unjudged == 0:
		w.State = WaiverNotNeeded
	default:
		w.State = WaiverNotKnown
	}
}

// The states of a waiver. One is NotKnown where the run judged only part of what it is for.
const (
	WaiverInUse     = "in use"
	WaiverExpired   = "expired"
	WaiverNotNeeded = "not needed"
	WaiverNotKnown  = "not known"
)

// Finding is the waiver as a finding; nil where there is nothing to say.
func (w *Waiver) Finding() *Finding {
	f := &Finding{Check: checks.WaiverState.ID, Of: w.Check, Verdict: VerdictWarn, Unit: string(checks.WaiverState.Unit)}
	switch w.State {
	case WaiverExpired:
		f.Says = fmt.Sprintf("The waiver of %s for %s expired after %s: what it accepted counts again.", w.Check, w.Models, w.Until)
		f.Mend = "Mend the inserts, or have it accepted anew with a later day."
	case WaiverNotNeeded:
		f.Says = fmt.Sprintf("The waiver of %s for %s lets nothing pass any more.", w.Check, w.Models)
		if w.Inserts == 0 {
			f.Says = fmt.Sprintf("The waiver of %s for %s matches no insert.", w.Check, w.Models)
		}
		f.Mend = "Take it out of the file, before it hides a new mistake."
	default:
		return nil
	}
	one := 1.0
	zero := 0.0
	limit, margin := 0.0, -1.0
	f.Value, f.Uncertainty, f.Limit, f.Margin, f.LimitKind = &one, &zero, &limit, &margin, "at most"
	return f
}

// Verdict is that of the waiver itself: a warning where it is expired or idle.
func (w *Waiver) Verdict() string {
	if f := w.Finding(); f != nil {
		return f.Verdict
	}
	return VerdictPass
}

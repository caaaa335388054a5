package report

import (
	"math"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/rules"
)

// Judged is the whole outcome of a check run, as programs read it.
type Judged struct {
	Tool string `json:"tool"`
	// Shard is set where this is part of a run.
	Shard   *Shard   `json:"shard,omitempty"`
	Rules   []Source `json:"rules"`
	Inserts []Insert `json:"inserts"`
	// Waivers is what became of each waiver that the run looked at.
	Waivers []Waiver `json:"waivers,omitempty"`
	// Skipped are the checks that were left out on request.
	Skipped []string `json:"skipped_checks,omitempty"`
	// Unassigned are models in the workspace's folder that no entry names.
	Unassigned []string `json:"unassigned,omitempty"`
}

// Source is a rules file and the digest of what was read of it.
type Source struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
}

// Insert is one insert's outcome.
type Insert struct {
	File     string    `json:"file"`
	Name     string    `json:"name"`
	SHA256   string    `json:"sha256"`
	Half     string    `json:"half"`
	Frame    string    `json:"frame"`
	Verdict  string    `json:"verdict"`
	Findings []Finding `json:"findings"`
}

// Finding is one reading with its verdict. Value, Limit, Margin and Uncertainty are null where
// there is none; a null value means that it was not measured, never that it is nought.
type Finding struct {
	Check       string      `json:"check"`
	Of          string      `json:"of,omitempty"`
	Verdict     string      `json:"verdict"`
	Value       *float64    `json:"value"`
	Unit        string      `json:"unit"`
	Limit       *float64    `json:"limit"`
	LimitKind   string      `json:"limit_kind,omitempty"`
	Margin      *float64    `json:"margin"`
	Uncertainty *float64    `json:"uncertainty"`
	AtMM        *[3]float64 `json:"at_mm"`
	Says        string      `json:"says"`
	Mend        string      `json:"mend,omitempty"`
	// Waiver is who accepted the finding, where its verdict is waived.
	Waiver *WaivedBy `json:"waiver,omitempty"`
}

// The verdicts on a whole insert; a finding is never unreadable.
const (
	VerdictPass       = "pass"
	VerdictFail       = "fail"
	VerdictBorderline = "borderline"
	VerdictUnreadable = "unreadable"
	// VerdictWaived is a broken or borderline limit that a waiver accepts, and an insert that passes
	// by nothing but such.
	VerdictWaived = "waived"
)

// The verdicts that only findings have.
const (
	VerdictWarn      = "warn"
	VerdictNotJudged = "not judged"
)

// NewInsert puts an outcome in the form of the report.
func NewInsert(o *batch.Outcome) Insert {
	in := Insert{
		File: o.Insert.File, Name: o.Insert.Name, SHA256: o.SHA256, Half: halfName(o.Insert.Half),
		Frame: o.Insert.Frame.Name.Value, Findings: []Finding{},
	}
	if o.Err != nil {
		u := NewUnreadable(o.Insert.File, o.Err)
		in.Verdict = VerdictUnreadable
		says := u.Error.Message
		if u.Error.At != "" {
			says = u.Error.At + ": " + says
		}
		mend := checks.FileReadable.Mend
		if u.Error.Code == "missing" {
			mend = "Check the name of the file and the folder it lies in."
		}
		in.Findings = append(in.Findings, Finding{
			Check: checks.FileReadable.ID, Verdict: checks.Fail.String(), Unit: string(checks.FileReadable.Unit),
			Says: "Cannot be read: " + says, Mend: mend,
		})
		return in
	}
	switch o.Overall {
	case checks.Fail:
		in.Verdict = VerdictFail
	case checks.Borderline:
		in.Verdict = VerdictBorderline
	case checks.NotJudged:
		in.Verdict = VerdictUnreadable
	default:
		in.Verdict = VerdictPass
	}
	for i := range o.Findings {
		in.Findings = append(in.Findings, newFinding(&o.Findings[i]))
	}
	return in
}

func halfName(h rules.Half) string {
	if h == "" {
		return "unstated"
	}
	return string(h)
}

func newFinding(f *checks.Finding) Finding {
	g := Finding{Check: f.Check.ID, Of: f.Of, Verdict: f.Verdict.String(), Unit: string(f.Check.Unit), Says: f.Says}
	if !f.Measured {
		g.Says = f.Why
		return g
	}
	g.Value, g.Uncertainty = rounded(f.Value, f.Uncertainty), rounded(f.Uncertainty, f.Uncertainty)
	if f.HasLimit {
		g.Limit, g.Margin = number(f.Nearest), rounded(f.Margin, f.Uncertainty)
		g.LimitKind = "at most"
		if f.Limit.HasLeast && f.Nearest == f.Limit.Least {
			g.LimitKind = "at least"
		}
	}
	if f.Located {
		g.AtMM = &[3]float64{*rounded(f.At.X, placeError), *rounded(f.At.Y, placeError), *rounded(f.At.Z, placeError)}
	}
	if f.Verdict != checks.Pass {
		g.Mend = f.Advice()
	}
	return g
}

// placeError is to how much a place is printed: a micrometre is nearer than anyone points.
const placeError = 0.01

func number(x float64) *float64 { return &x }

// rounded drops digits that the error does not justify, two beyond its leading one kept, so that
// the last bits of a sum do not reach a report.
func rounded(x, err float64) *float64 {
	places := 9
	if err > 0 {
		places = min(places, max(0, 2-int(math.Floor(math.Log10(err)))))
	}
	scale := math.Pow(10, float64(places))
	r := math.Round(x*scale) / scale
	if r == 0 {
		r = 0 // drops the sign of -0
	}
	return &r
}

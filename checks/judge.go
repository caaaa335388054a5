package checks

import "math"

// Verdict is what became of one reading. The zero value is deliberately not a pass.
type Verdict uint8

// The verdicts. Warned is a broken limit that the rules file says shall only warn.
const (
	NotJudged Verdict = iota
	Fail
	Borderline // the limit lies inside the uncertainty: a person must look
	Warned
	Pass
)

func (v Verdict) String() string {
	return [...]string{"not judged", "fail", "borderline", "warn", "pass"}[v]
}

// Judged is a reading with what Judge made of it.
type Judged struct {
	Verdict Verdict
	// Nearest is the end of the band that is nearest to being broken, or broken.
	Nearest  float64
	HasLimit bool
	// Margin is how far the value is on the good side of Limit; negative beyond it.
	Margin float64
}

// Judge is the only function that compares a measurement with a limit.
//
// With value v and bound u the true value lies in [v-u, v+u]. All of it within the band is a
// pass, all of it outside is a fail, anything else is borderline: conformance and
// non-conformance are each claimed only when proven (ISO 14253-1, decision rules).
func Judge(r Reading) Judged {
	v, u := r.Value, r.Uncertainty
	if !r.Measured || math.IsNaN(v) || math.IsNaN(u) || math.IsInf(v, 0) || u < 0 {
		return Judged{}
	}
	j := Judged{Verdict: Pass, Margin: math.Inf(1)}
	if r.Limit.HasLeast {
		j = judgeEnd(j, v-r.Limit.Least, u, r.Limit.Least)
	}
	if r.Limit.HasMost {
		j = judgeEnd(j, r.Limit.Most-v, u, r.Limit.Most)
	}
	if !j.HasLimit {
		j.Margin = 0
	}
	return j
}

func judgeEnd(j Judged, margin, u, limit float64) Judged {
	verdict := Borderline
	switch {
	case margin >= u:
		verdict = Pass
	case margin < -u:
		verdict = Fail
	}
	j.Verdict = min(j.Verdict, verdict)
	if margin < j.Margin {
		j.Margin, j.Nearest, j.HasLimit = margin, limit, true
	}
	return j
}

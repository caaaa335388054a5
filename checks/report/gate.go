package report

import (
	"fmt"
	"strings"

	"pocketgauge/rules/nearest"
)

// Gate says from which verdict on an insert is rejected. What could not be judged is never let
// through, whatever the gate.
type Gate string

// The gates, each of which rejects what the one before it rejects too.
const (
	FailOnFail       Gate = VerdictFail
	FailOnBorderline Gate = VerdictBorderline
	FailOnWarn       Gate = VerdictWarn
)

// ParseGate reads the name of a gate.
func ParseGate(name string) (Gate, error) {
	names := []string{string(FailOnFail), string(FailOnBorderline), string(FailOnWarn)}
	for _, n := range names {
		if n == name {
			return Gate(n), nil
		}
	}
	if near, ok := nearest.Word(name, names); ok {
		return "", fmt.Errorf("%q is no verdict to fail on; did you mean %q?", name, near)
	}
	return "", fmt.Errorf("%q is no verdict to fail on; choose %s", name, strings.Join(names, ", "))
}

// Rejects tells whether a finding with this verdict rejects its insert.
func (g Gate) Rejects(verdict string) bool {
	switch verdict {
	case VerdictFail:
		return true
	case VerdictBorderline:
		return g == FailOnBorderline || g == FailOnWarn
	case VerdictWarn:
		return g == FailOnWarn
	}
	return false
}

// RejectsInsert tells whether an insert is rejected by one of its findings.
func (g Gate) RejectsInsert(in *Insert) bool {
	for i := range in.Findings {
		if g.Rejects(in.Findings[i].Verdict) {
			return true
		}
	}
	return false
}

// Partly tells whether something about the insert could not be read or measured.
func (in *Insert) Partly() bool {
	if in.Verdict == VerdictUnreadable {
		return true
	}
	for i := range in.Findings {
		if in.Findings[i].Verdict == VerdictNotJudged {
			return true
		}
	}
	return false
}

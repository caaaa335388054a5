package report

import (
	"encoding/json"
	"fmt"
	"io"
)

// gitlabIssue is one entry of GitLab's code quality report: the part of the Code Climate format that
// GitLab reads.
type gitlabIssue struct {
	Description string         `json:"description"`
	CheckName   string         `json:"check_name"`
	Fingerprint string         `json:"fingerprint"`
	Severity    string         `json:"severity"`
	Location    gitlabLocation `json:"location"`
}

type gitlabLocation struct {
	Path  string      `json:"path"`
	Lines gitlabLines `json:"lines"`
}

type gitlabLines struct {
	Begin int `json:"begin"`
}

// WriteGitLab writes a list of everything that does not pass and is not waived. A model has no
// lines, so its findings stand at line 1.
func WriteGitLab(w io.Writer, r *Judged, gate Gate) error {
	list := []gitlabIssue{}
	for _, it := range r.Items() {
		severity := "minor"
		switch f := it.Finding; {
		case f.Verdict == VerdictPass, f.Verdict == VerdictWaived:
			continue
		case f.Value == nil:
			severity = "blocker"
		case f.Verdict == VerdictFail:
			severity = "critical"
		case gate.Rejects(f.Verdict):
			severity = "major"
		case f.Verdict == VerdictWarn:
			severity = "info"
		}
		list = append(list, gitlabIssue{
			Description: printable(it.Finding.Verdict + ": " + it.Finding.Title() + ". " + it.Finding.Body()), CheckName: it.Finding.Check,
			Fingerprint: it.Fingerprint, Severity: severity, Location: gitlabLocation{it.File, gitlabLines{max(1, it.Line)}},
		})
	}
	text, err := json.MarshalIndent(list, "", "  ")
	if err != nil {
		return fmt.Errorf("writing GitLab's report: %w", err)
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

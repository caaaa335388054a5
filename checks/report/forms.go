package report

import (
	"encoding/json"
	"fmt"
	"io"
)

// Form is one way to write a whole run down.
type Form struct {
	Name string
	// Doc says in a few words who reads it.
	Doc string
	// Write writes the run; what the gate rejects is marked as such.
	Write func(w io.Writer, r *Judged, gate Gate) error
}

// Forms are the forms that need nothing but the run, in the order in which help lists them.
//
// The same run gives the same bytes: no form holds a clock, a host or the time that something took.
var Forms = []*Form{
	{"text", "for people, as check prints it", WriteText},
	{"json", "for programs, in the shape of rules schema check", WriteJSON},
	{"jsonl", "the same, one insert a line", WriteJSONLines},
	{"csv", "a table with one finding a line", WriteCSV},
	{"markdown", "for a pull request or a step summary", WriteMarkdown},
	{"junit", "JUnit XML as Ant writes it; one suite an insert", WriteJUnit},
	{"sarif", "SARIF 2.1.0", WriteSARIF},
	{"github", "workflow commands that GitHub shows as annotations", WriteGitHub},
	{"gitlab", "GitLab's code quality report", WriteGitLab},
}

// WriteText writes a run as check prints it.
func WriteText(w io.Writer, r *Judged, _ Gate) error {
	for i := range r.Inserts {
		if err := WriteInsertText(w, r.Inserts[i], Style{}); err != nil {
			return err
		}
	}
	return WriteSummaryText(w, *r, Style{})
}

// WriteJSON writes a run as one object.
func WriteJSON(w io.Writer, r *Judged, _ Gate) error {
	text, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

// WriteJSONLines writes each insert as one line.
func WriteJSONLines(w io.Writer, r *Judged, _ Gate) error {
	for i := range r.Inserts {
		line, err := json.Marshal(&r.Inserts[i])
		if err != nil {
			return fmt.Errorf("writing JSON: %w", err)
		}
		if _, err := w.Write(append(line, '\n')); err != nil {
			return err
		}
	}
	return nil
}

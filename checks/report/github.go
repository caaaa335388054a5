package report

import (
	"fmt"
	"io"
	"strings"
)

// githubShown is how many errors, and how many warnings, GitHub shows of one step (its
// documentation of workflow commands; the log holds them all).
const githubShown = 10

// WriteGitHub writes a workflow command for everything that does not pass: errors for what the
// gate rejects or what was not measured, warnings for what it lets through, notices for waived
// findings.
func WriteGitHub(w io.Writer, r *Judged, gate Gate) error {
	var b strings.Builder
	count := map[string]int{}
	for _, it := range r.Items() {
		level := "warning"
		switch f := it.Finding; {
		case f.Verdict == VerdictPass:
			continue
		case f.Verdict == VerdictWaived:
			level = "notice"
		case f.Value == nil, gate.Rejects(f.Verdict):
			level = "error"
		}
		count[level]++
		line := ""
		if it.Line > 0 {
			line = fmt.Sprintf(",line=%d", it.Line)
		}
		fmt.Fprintf(&b, "::%s file=%s%s,title=%s::%s\n", level, githubProperty(it.File), line,
			githubProperty(it.Finding.Verdict+": "+it.Finding.Title()), githubMessage(it.Finding.Body()))
	}
	for _, level := range []string{"error", "warning"} {
		if n := count[level]; n > githubShown {
			fmt.Fprintf(&b, "::notice title=pocketgauge::%d %ss in all; GitHub shows %d of a step, the log has every one\n", n, level, githubShown)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

var (
	githubMessages   = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A")
	githubProperties = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A", ":", "%3A", ",", "%2C")
)

func githubMessage(s string) string { return githubMessages.Replace(printableButBreaks(s)) }

// githubProperty keeps line breaks of a name as the escapes that GitHub undoes: the path must
// stay that of the file.
func githubProperty(s string) string { return githubProperties.Replace(printableButBreaks(s)) }

// printableButBreaks leaves line breaks, which the escapes of a workflow command carry.
func printableButBreaks(s string) string {
	parts := strings.Split(strings.ReplaceAll(s, "\r", "\n"), "\n")
	for i := range parts {
		parts[i] = printable(parts[i])
	}
	return strings.Join(parts, "\n")
}

package report

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"

	"pocketgauge/checks"
)

// The shape of JUnit XML as the Ant tasks write it (JUnit.xsd of windyroad/JUnit-Schema). The order
// of the fields is that of the schema's sequences.
type (
	junitSuites struct {
		XMLName xml.Name     `xml:"testsuites"`
		Suites  []junitSuite `xml:"testsuite"`
	}
	junitSuite struct {
		Package   string          `xml:"package,attr"`
		ID        int             `xml:"id,attr"`
		Name      string          `xml:"name,attr"`
		Timestamp string          `xml:"timestamp,attr"`
		Hostname  string          `xml:"hostname,attr"`
		Tests     int             `xml:"tests,attr"`
		Failures  int             `xml:"failures,attr"`
		Errors    int             `xml:"errors,attr"`
		Skipped   int             `xml:"skipped,attr"`
		Time      string          `xml:"time,attr"`
		Property  []junitProperty `xml:"properties>property"`
		Cases     []junitCase     `xml:"testcase"`
		Out       string          `xml:"system-out"`
		Err       string          `xml:"system-err"`
	}
	junitProperty struct {
		Name  string `xml:"name,attr"`
		Value string `xml:"value,attr"`
	}
	junitCase struct {
		Name    string        `xml:"name,attr"`
		Class   string        `xml:"classname,attr"`
		Time    string        `xml:"time,attr"`
		Skipped *junitSkipped `xml:"skipped"`
		Error   *junitProblem `xml:"error"`
		Failure *junitProblem `xml:"failure"`
	}
	junitSkipped struct {
		Message string `xml:"message,attr"`
	}
	junitProblem struct {
		Message string `xml:"message,attr"`
		Type    string `xml:"type,attr"`
		Text    string `xml:",chardata"`
	}
)

// junitTime stands where the schema demands a time: the same run is the same bytes on every day.
const junitTime = "1970-01-01T00:00:00"

// WriteJUnit writes one suite an insert with one case a reading, and a last suite for the waivers.
// What the gate rejects is a failure, what was not measured an error, what is waived is skipped; a
// borderline or warning that the gate lets through passes, and the suite's output tells of it.
func WriteJUnit(w io.Writer, r *Judged, gate Gate) error {
	var all junitSuites
	var of *Insert
	for _, it := range r.Items() {
		if len(all.Suites) == 0 || it.Insert != of {
			of = it.Insert
			all.Suites = append(all.Suites, newJUnitSuite(it, len(all.Suites)))
		}
		all.Suites[len(all.Suites)-1].add(it, gate)
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	e := xml.NewEncoder(w)
	e.Indent("", "  ")
	if err := e.Encode(all); err != nil {
		return fmt.Errorf("writing JUnit XML: %w", err)
	}
	_, err := io.WriteString(w, "\n")
	return err
}

func newJUnitSuite(it Item, id int) junitSuite {
	s := junitSuite{ID: id, Package: "waivers", Name: nonEmpty(oneLine(it.File)), Timestamp: junitTime, Hostname: "localhost", Time: "0"}
	if in := it.Insert; in != nil {
		s.Package = nonEmpty(oneLine(in.Frame))
		for _, p := range [][2]string{{"insert", in.Name}, {"half", in.Half}, {"frame", in.Frame}, {"verdict", in.Verdict}, {"sha256", in.SHA256}} {
			s.Property = append(s.Property, junitProperty{p[0], printable(p[1])})
		}
	} else {
		s.Property = []junitProperty{{"verdict", VerdictWarn}}
	}
	return s
}

func nonEmpty(s string) string {
	if s == "" {
		return "(no name)"
	}
	return s
}

func (s *junitSuite) add(it Item, gate Gate) {
	f := it.Finding
	c := junitCase{Name: oneLine(name(*f)), Class: s.Name, Time: "0"}
	if it.Line > 0 {
		c.Name += fmt.Sprintf(", line %d", it.Line)
	}
	for n, base := 2, c.Name; s.has(c.Name); n++ {
		c.Name = fmt.Sprintf("%s (%d)", base, n)
	}
	s.Tests++
	problem := &junitProblem{Message: printable(f.Says), Type: f.Verdict, Text: junitText(it)}
	switch {
	case f.Verdict == VerdictWaived:
		c.Skipped = &junitSkipped{printable(f.Waiver.Sentence())}
		s.Skipped++
	case f.Value == nil:
		if f.Check == checks.FileReadable.ID {
			problem.Type = VerdictUnreadable
		}
		c.Error = problem
		s.Errors++
	case gate.Rejects(f.Verdict):
		c.Failure = problem
		s.Failures++
	case f.Verdict != VerdictPass:
		s.Out += "\n" + f.Verdict + ": " + junitText(it)
	}
	s.Cases = append(s.Cases, c)
}

func (s *junitSuite) has(name string) bool {
	for i := range s.Cases {
		if s.Cases[i].Name == name {
			return true
		}
	}
	return false
}

func junitText(it Item) string {
	lines := []string{it.Finding.Title(), it.Finding.Says}
	if at := it.Finding.AtMM; at != nil {
		lines = append(lines, "at "+Point(*at)+" mm")
	}
	if it.Finding.Mend != "" {
		lines = append(lines, "Mend: "+it.Finding.Mend)
	}
	for i, l := range lines {
		lines[i] = printable(l)
	}
	return strings.Join(lines, "\n")
}

package report_test

import (
	"encoding/xml"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pocketgauge/checks/report"
)

// element is any XML element.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Children []element  `xml:",any"`
	Text     string     `xml:",chardata"`
}

func (e *element) attr(name string) (string, bool) {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value, true
		}
	}
	return "", false
}

// antRule is what JUnit.xsd of windyroad/JUnit-Schema says of one element: its children in order with
// how many there may be, and its attributes with the form of each; "?" before a form makes the
// attribute optional.
type antRule struct {
	children string // a regular expression over " name" after " name"
	attrs    map[string]string
}

const (
	token    = `\S+( \S+)*|`      // xs:token
	named    = `\S+( \S+)*`       // xs:token of at least one character
	whole    = `[-+]?[0-9]{1,10}` // xs:int
	decimal  = `[-+]?[0-9]*\.?[0-9]+`
	anything = `(?s).*`
)

var antRules = map[string]antRule{
	"testsuites": {`( testsuite)*`, nil},
	"testsuite": {` properties( testcase)* system-out system-err`, map[string]string{"package": token, "id": whole, "name": named,
		"timestamp": `[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}`, "hostname": named, "tests": whole, "failures": whole, "errors": whole, "skipped": "?" + whole, "time": decimal}},
	"properties": {`( property)*`, nil},
	"property":   {``, map[string]string{"name": named, "value": anything}},
	"testcase":   {`( skipped| error| failure)?`, map[string]string{"name": token, "classname": token, "time": decimal}},
	"error":      {``, map[string]string{"message": "?" + anything, "type": anything}},
	"failure":    {``, map[string]string{"message": "?" + anything, "type": anything}},
	"skipped":    {`.*`, map[string]string{"message": "?" + anything}}, // xs:anyType
	"system-out": {``, nil},
	"system-err": {``, nil},
}

// antFaults is what the schema has against an element and all it holds.
func antFaults(e *element) []string {
	var faults []string
	rule, known := antRules[e.XMLName.Local]
	if !known {
		return []string{"there is no element " + e.XMLName.Local}
	}
	var children string
	for i := range e.Children {
		children += " " + e.Children[i].XMLName.Local
		faults = append(faults, antFaults(&e.Children[i])...)
	}
	if !regexp.MustCompile(`^(` + rule.children + `)$`).MatchString(children) {
		faults = append(faults, fmt.Sprintf("%s holds%s", e.XMLName.Local, children))
	}
	for name, form := range rule.attrs {
		form, optional := strings.CutPrefix(form, "?")
		value, there := e.attr(name)
		if !there && !optional || there && !regexp.MustCompile(`^(`+form+`)$`).MatchString(value) {
			faults = append(faults, fmt.Sprintf("%s has %s=%q", e.XMLName.Local, name, value))
		}
	}
	for _, a := range e.Attrs {
		if _, ok := rule.attrs[a.Name.Local]; !ok {
			faults = append(faults, fmt.Sprintf("%s may have no %s", e.XMLName.Local, a.Name.Local))
		}
	}
	return faults
}

func antFaultsOf(text string) []string {
	var root element
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict = true
	if err := d.Decode(&root); err != nil {
		return []string{err.Error()}
	}
	if strings.TrimSpace(text[d.InputOffset():]) != "" {
		return []string{"something follows the root"}
	}
	if root.XMLName.Local != "testsuites" && root.XMLName.Local != "testsuite" {
		return []string{"the root is " + root.XMLName.Local}
	}
	faults := antFaults(&root)
	for i := range root.Children {
		if id, _ := root.Children[i].attr("id"); id != strconv.Itoa(i) {
			faults = append(faults, fmt.Sprintf("suite %d has the id %s", i, id))
		}
	}
	return faults
}

func TestJUnitFollowsAntsSchema(t *testing.T) {
	out := written(t, "junit", mixed(), report.FailOnFail)
	for _, f := range antFaultsOf(out) {
		t.Error(f)
	}
	for _, f := range antFaultsOf(written(t, "junit", &report.Judged{Tool: "t"}, report.FailOnFail)) {
		t.Errorf("empty run: %s", f)
	}
	for _, c := range [][2]string{{"<system-out>", "<system-in>"}, {` hostname="localhost"`, ``}, {`id="1"`, `id="7"`}, {`type="fail"`, ``}, {"<properties>", "<properties/><properties>"},
		{"1970-01-01T00:00:00", "1970-01-01T00:00:00Z"}, {"</testsuites>", "</testsuites><x/>"}, {`<testcase `, `<testcase status="run" `}} {
		if !strings.Contains(out, c[0]) || len(antFaultsOf(strings.Replace(out, c[0], c[1], 1))) == 0 {
			t.Errorf("the rules take %s in place of %s", c[1], c[0])
		}
	}
	var root element
	if err := xml.Unmarshal([]byte(out), &root); err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for i := range root.Children {
		s := &root.Children[i]
		count := map[string]int{}
		for j := range s.Children {
			c := &s.Children[j]
			if c.XMLName.Local != "testcase" {
				continue
			}
			count["tests"]++
			class, _ := c.attr("classname")
			name, _ := c.attr("name")
			if names[class+"\x00"+name] {
				t.Errorf("the case %s of %s stands twice", name, class)
			}
			names[class+"\x00"+name] = true
			for k := range c.Children {
				count[map[string]string{"failure": "failures", "error": "errors", "skipped": "skipped"}[c.Children[k].XMLName.Local]]++
			}
		}
		for _, what := range []string{"tests", "failures", "errors", "skipped"} {
			if said, _ := s.attr(what); said != strconv.Itoa(count[what]) {
				t.Errorf("suite %d says %s=%s and holds %d", i, what, said, count[what])
			}
		}
	}
	if said, _ := root.Children[1].attr("failures"); said != "2" {
		t.Errorf("%s failures, want 2", said)
	}
	// The gate decides what is a failure; the waivers have a suite of their own.
	if err := xml.Unmarshal([]byte(written(t, "junit", mixed(), report.FailOnWarn)), &root); err != nil {
		t.Fatal(err)
	}
	last := &root.Children[len(root.Children)-1]
	if said, _ := last.attr("failures"); said != "2" {
		t.Errorf("the waivers' suite has %s failures under --fail-on warn, want 2", said)
	}
}

package report

import (
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"path"
	"path/filepath"
	"strings"

	"pocketgauge/checks"
)

// The part of SARIF 2.1.0 (OASIS standard, section 3) that is written.
type (
	sarifLog struct {
		Schema  string     `json:"$schema"`
		Version string     `json:"version"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct {
		Tool        sarifTool         `json:"tool"`
		Invocations []sarifInvocation `json:"invocations"`
		Artifacts   []sarifArtifact   `json:"artifacts,omitempty"`
		Results     []sarifResult     `json:"results"`
		ColumnKind  string            `json:"columnKind"`
	}
	sarifTool struct {
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct {
		Name    string      `json:"name"`
		Version string      `json:"version,omitempty"`
		Rules   []sarifRule `json:"rules"`
	}
	sarifRule struct {
		ID      string     `json:"id"`
		Short   *sarifText `json:"shortDescription,omitempty"`
		Full    *sarifText `json:"fullDescription,omitempty"`
		Help    *sarifText `json:"help,omitempty"`
		Default *struct {
			Level string `json:"level"`
		} `json:"defaultConfiguration,omitempty"`
	}
	sarifText struct {
		Text string `json:"text"`
	}
	sarifInvocation struct {
		Successful bool `json:"executionSuccessful"`
	}
	sarifArtifact struct {
		Location sarifURI          `json:"location"`
		Hashes   map[string]string `json:"hashes,omitempty"`
	}
	sarifURI struct {
		URI   string `json:"uri"`
		Index *int   `json:"index,omitempty"`
	}
	sarifResult struct {
		RuleID       string             `json:"ruleId"`
		RuleIndex    int                `json:"ruleIndex"`
		Kind         string             `json:"kind"`
		Level        string             `json:"level"`
		Message      sarifText          `json:"message"`
		Locations    []sarifLocation    `json:"locations"`
		Fingerprints map[string]string  `json:"partialFingerprints"`
		Suppressions []sarifSuppression `json:"suppressions,omitempty"`
		Properties   map[string]any     `json:"properties"`
	}
	sarifLocation struct {
		Physical sarifPhysical  `json:"physicalLocation"`
		Logical  []sarifLogical `json:"logicalLocations,omitempty"`
	}
	sarifPhysical struct {
		Artifact sarifURI     `json:"artifactLocation"`
		Region   *sarifRegion `json:"region,omitempty"`
	}
	sarifRegion struct {
		StartLine int `json:"startLine"`
	}
	sarifLogical struct {
		Name string `json:"name"`
	}
	sarifSuppression struct {
		Kind          string         `json:"kind"`
		Status        string         `json:"status"`
		Justification string         `json:"justification"`
		Location      *sarifLocation `json:"location,omitempty"`
	}
)

const sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// WriteSARIF writes one result for everything that does not pass. Waived findings are results with
// an accepted suppression. What was not measured is an error and not of the kind "open", which most
// viewers leave out: an insert that was not judged must not look like one that passed.
func WriteSARIF(w io.Writer, r *Judged, gate Gate) error {
	run := sarifRun{ColumnKind: "unicodeCodePoints", Results: []sarifResult{}, Invocations: []sarifInvocation{{Successful: true}}}
	tool, version, _ := strings.Cut(r.Tool, " ")
	run.Tool.Driver = sarifDriver{Name: nonEmpty(tool), Version: version, Rules: []sarifRule{}}
	artifacts := map[string]int{}
	for i := range r.Inserts {
		in := &r.Inserts[i]
		a := sarifArtifact{Location: sarifURI{URI: fileURI(in.File)}}
		if in.SHA256 != "" {
			a.Hashes = map[string]string{"sha-256": in.SHA256}
		} else {
			run.Invocations[0].Successful = false
		}
		if _, twice := artifacts[a.Location.URI]; !twice {
			artifacts[a.Location.URI] = len(run.Artifacts)
			run.Artifacts = append(run.Artifacts, a)
		}
	}
	rules := map[string]int{}
	for _, it := range r.Items() {
		f := it.Finding
		if f.Verdict == VerdictPass {
			continue
		}
		if _, known := rules[f.Check]; !known {
			rules[f.Check] = len(run.Tool.Driver.Rules)
			run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, newSARIFRule(f.Check))
		}
		level, verdict := "warning", f.Verdict
		if f.Waiver != nil {
			verdict = f.Waiver.Was
		}
		if f.Value == nil || gate.Rejects(verdict) {
			level = "error"
		}
		result := sarifResult{
			RuleID: f.Check, RuleIndex: rules[f.Check], Kind: "fail", Level: level,
			Message:      sarifText{printable(f.Verdict + ": " + f.Title() + ". " + f.Body())},
			Fingerprints: map[string]string{"finding/v1": it.Fingerprint},
			Properties:   map[string]any{"verdict": f.Verdict, "value": f.Value, "unit": f.Unit, "limit": f.Limit, "margin": f.Margin, "uncertainty": f.Uncertainty, "at_mm": f.AtMM},
		}
		at := sarifLocation{Physical: sarifPhysical{Artifact: sarifURI{URI: fileURI(it.File)}}}
		if n, ok := artifacts[at.Physical.Artifact.URI]; ok {
			at.Physical.Artifact.Index = &n
		}
		if it.Line > 0 {
			at.Physical.Region = &sarifRegion{it.Line}
		}
		if f.Of != "" {
			at.Logical = []sarifLogical{{printable(f.Of)}}
		}
		result.Locations = []sarifLocation{at}
		if v := f.Waiver; v != nil {
			result.Suppressions = []sarifSuppression{{Kind: "external", Status: "accepted", Justification: printable(v.Sentence()),
				Location: &sarifLocation{Physical: sarifPhysical{Artifact: sarifURI{URI: fileURI(v.File)}, Region: &sarifRegion{v.Line}}}}}
		}
		run.Results = append(run.Results, result)
	}
	text, err := json.MarshalIndent(sarifLog{Schema: sarifSchema, Version: "2.1.0", Runs: []sarifRun{run}}, "", "  ")
	if err != nil {
		return fmt.Errorf("writing SARIF: %w", err)
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

// newSARIFRule describes a check; rules that a frame's file writes itself have no more than an id.
func newSARIFRule(id string) sarifRule {
	c := checks.ByID(id)
	if c == nil {
		return sarifRule{ID: id}
	}
	r := sarifRule{ID: id, Short: &sarifText{c.Title + "."}, Full: &sarifText{c.Doc}, Help: &sarifText{c.Mend}}
	r.Default = &struct {
		Level string `json:"level"`
	}{"error"}
	return r
}

// fileURI is a path as a URI reference: relative ones stay so, for they are those of the repository.
func fileURI(file string) string {
	file = path.Clean(filepath.ToSlash(file))
	u := url.URL{Path: file}
	if path.IsAbs(file) {
		u.Scheme = "file"
	}
	return u.String()
}

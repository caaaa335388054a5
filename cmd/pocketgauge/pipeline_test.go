package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

var designRepository = filepath.Join("..", "..", "testdata", "designrepo")

// designModels are the inserts of the design repository: blocks with a square pocket, whose outcome
// follows from these numbers and the frame's (90 x 70, 30 deep, 0.01 to 0.04 a side, 0.02 to 0.05 proud).
func designModels() map[string][]byte {
	insert := func(name string, right, top float64) []byte {
		outer := geom.Box{Min: r3.Vector{X: -44.98, Y: -34.98}, Max: r3.Vector{X: right, Y: 34.98, Z: top}}
		pocket := geom.Box{Min: r3.Vector{X: -15, Y: -12, Z: 18}, Max: r3.Vector{X: 12, Y: 14, Z: 40}}
		return meshtest.BinarySTL(name, meshtest.BlockWithPockets(outer, pocket).Mesh)
	}
	return map[string][]byte{
		"comb-guide-fixed.stl":  insert("comb guide, fixed", 44.98, 30.03),
		"comb-guide-moving.stl": insert("comb guide, moving", 45.03, 30.03),
		"feeder-foot-fixed.stl": insert("feeder foot, fixed", 44.98, 30.14),
	}
}

func TestDesignRepositoryIsAsItIsMade(t *testing.T) {
	for name, want := range designModels() {
		file := filepath.Join(designRepository, "inserts", name)
		if *update && os.Getenv("CI") == "" {
			if err := os.WriteFile(file, want, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if got, err := os.ReadFile(file); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s is not as it is made (%v)", file, err)
		}
	}
}

// pipelines are the snippets of the README, by their marks.
func pipelines(t *testing.T) map[string]string {
	t.Helper()
	found := map[string]string{}
	for _, m := range regexp.MustCompile("(?s)<!-- pipeline: ([a-z-]+) -->\n```[a-z]+\n(.*?)```\n").FindAllStringSubmatch(readme(t), -1) {
		found[m[1]] = m[2]
	}
	return found
}

// parsed reads a snippet and refuses keys that its system does not know.
func parsed(t *testing.T, text string, into any) {
	t.Helper()
	if err := yaml.NewDecoder(strings.NewReader(text), yaml.Strict()).Decode(into); err != nil && !errors.Is(err, io.EOF) {
		t.Fatalf("%v\n%s", err, text)
	}
}

// bench is a copy of the design repository under git, with the program on the path.
type bench struct {
	dir string
	env []string
}

func newBench(t *testing.T, more ...string) *bench {
	t.Helper()
	b := &bench{dir: t.TempDir()}
	bin := t.TempDir()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(self, filepath.Join(bin, "pocketgauge")); err != nil {
		t.Fatal(err)
	}
	b.env = append([]string{"PATH=" + bin + string(os.PathListSeparator) + os.Getenv("PATH"), "HOME=" + t.TempDir(), "GIT_CONFIG_NOSYSTEM=1",
		"GIT_AUTHOR_NAME=Toolroom", "GIT_AUTHOR_EMAIL=toolroom@example.org", "GIT_COMMITTER_NAME=Toolroom", "GIT_COMMITTER_EMAIL=toolroom@example.org"}, more...)
	if err := os.CopyFS(b.dir, os.DirFS(designRepository)); err != nil {
		t.Fatal(err)
	}
	return b
}

// sh runs a command line as a runner would, and gives its exit status and what it prints.
func (b *bench) sh(t *testing.T, line string, more ...string) (status int, out string) {
	t.Helper()
	cmd := exec.Command("sh", "-c", line)
	cmd.Dir, cmd.Env = b.dir, append(slices.Clone(b.env), more...)
	text, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	switch {
	case errors.As(err, &exit):
		return exit.ExitCode(), string(text)
	case err != nil:
		t.Fatalf("%s: %v", line, err)
	}
	return 0, string(text)
}

func (b *bench) holds(t *testing.T, file, what string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(b.dir, file))
	if err != nil {
		t.Error(err)
	} else if !strings.Contains(string(text), what) {
		t.Errorf("%s does not hold %q:\n%s", file, what, text)
	}
}

// mend puts a sound insert where the failing one is.
func (b *bench) mend(t *testing.T) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(b.dir, "inserts", "comb-guide-moving.stl"), designModels()["comb-guide-fixed.stl"], 0o644); err != nil {
		t.Fatal(err)
	}
}

const designOutcome = "3 inserts: 1 pass, 1 waived, 1 fail"

func TestPipelineOfGitHub(t *testing.T) {
	var flow struct {
		Name string
		On   []string
		Jobs map[string]struct {
			RunsOn      string            `yaml:"runs-on"`
			Permissions map[string]string `yaml:"permissions"`
			Steps       []struct {
				Uses, Run, If string
				With          map[string]any
			}
		}
	}
	parsed(t, pipelines(t)["github"], &flow)
	summary := filepath.Join(t.TempDir(), "summary.md")
	if err := os.WriteFile(summary, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	b := newBench(t, "GITHUB_STEP_SUMMARY="+summary)
	ran, uploaded, paged, restored, saved := 0, "", "", "", ""
	for _, s := range flow.Jobs["check"].Steps {
		if s.Run != "" {
			ran++
			status, out := b.sh(t, s.Run)
			if status != statusRejected || !strings.Contains(out, designOutcome) || strings.Count(out, "\n::error file=inserts/comb-guide-moving.stl,") != 1 || !strings.Contains(out, "\n::notice file=inserts/feeder-foot-fixed.stl,") {
				t.Errorf("%s: status %d\n%s", s.Run, status, out)
			}
		}
		action, _, _ := strings.Cut(s.Uses, "@")
		switch action {
		case "github/codeql-action/upload-sarif":
			uploaded, _ = s.With["sarif_file"].(string)
		case "actions/upload-artifact":
			paged, _ = s.With["path"].(string)
		case "actions/cache/save":
			saved, _ = s.With["key"].(string)
		case "actions/cache/restore":
			restored, _ = s.With["key"].(string)
			continue
		default:
			continue
		}
		if s.If != "always()" {
			t.Errorf("%s is left out when an insert is rejected", s.Uses)
		}
	}
	if ran != 1 || uploaded == "" || paged == "" || saved == "" || saved != restored {
		t.Fatalf("%d commands, results in %q, page in %q, kept under %q and looked for under %q", ran, uploaded, paged, saved, restored)
	}
	b.holds(t, uploaded, `"suppressions"`)
	b.holds(t, paged, "3 inserts judged")
	if text, err := os.ReadFile(summary); err != nil || !strings.HasPrefix(string(text), "## 3 inserts: 1 rejected, 0 not wholly judged\n") {
		t.Errorf("the step summary is %q (%v)", text, err)
	}
	b.mend(t)
	if status, out := b.sh(t, flow.Jobs["check"].Steps[2].Run); status != statusPass || strings.Contains(out, "::error") {
		t.Errorf("mended: status %d\n%s", status, out)
	}
}

// Only what a pull request changes is judged; without the history the command says what to do.
func TestPipelineOfAPullRequest(t *testing.T) {
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("there is no git on this machine")
	}
	var flow struct {
		Name, On string
		Jobs     map[string]struct {
			RunsOn string `yaml:"runs-on"`
			Steps  []struct {
				Uses, Run string
				With      map[string]any
			}
		}
	}
	parsed(t, pipelines(t)["github-changes"], &flow)
	steps := flow.Jobs["check"].Steps
	if depth, ok := steps[0].With["fetch-depth"].(uint64); !ok || depth != 0 {
		t.Fatalf("the history is not fetched: %v", steps[0].With)
	}
	b := newBench(t, "GITHUB_BASE_REF=main")
	line := "git init -q -b main && git add . && git commit -q -m first && git clone -q . far && git checkout -q -b change"
	if status, out := b.sh(t, line); status != 0 {
		t.Fatal(out)
	}
	if status, out := b.sh(t, "git remote add origin ./far && git fetch -q"); status != 0 {
		t.Fatal(out)
	}
	b.mend(t)
	if status, out := b.sh(t, "git commit -q -a -m mended"); status != 0 {
		t.Fatal(out)
	}
	if status, out := b.sh(t, steps[1].Run); status != statusPass || !strings.Contains(out, "1 insert: 1 pass") {
		t.Errorf("one changed: status %d\n%s", status, out)
	}
	if status, out := b.sh(t, steps[1].Run, "GITHUB_BASE_REF=gone"); status != statusNothing || !strings.Contains(out, "fetch more of the history") {
		t.Errorf("no history: status %d\n%s", status, out)
	}
}

func TestPipelineOfGitLab(t *testing.T) {
	type job struct {
		Stage    string
		Parallel int
		Needs    []string
		Cache    struct {
			Key   string
			Paths []string
		}
		Script    []string
		Artifacts struct {
			When    string
			Paths   []string
			Reports struct{ Junit, Codequality string }
		}
	}
	var flow struct {
		Variables     map[string]string
		Part, Inserts job
	}
	parsed(t, pipelines(t)["gitlab"], &flow)
	b := newBench(t)
	b.env = append(b.env, "POCKETGAUGE_CACHE="+strings.ReplaceAll(flow.Variables["POCKETGAUGE_CACHE"], "$CI_PROJECT_DIR", b.dir))
	for _, node := range []string{"1", "2"} {
		if status, out := b.sh(t, strings.Join(flow.Part.Script, "\n"), "CI_NODE_INDEX="+node, "CI_NODE_TOTAL=2"); status != 0 {
			t.Errorf("part %s: status %d\n%s", node, status, out)
		}
	}
	if flow.Part.Parallel != 2 {
		t.Errorf("%d parts are run", flow.Part.Parallel)
	}
	if pages, err := filepath.Glob(filepath.Join(b.dir, flow.Part.Artifacts.Paths[1])); err != nil || len(pages) != 2 {
		t.Errorf("%d pages are handed on (%v)", len(pages), err)
	}
	// Only what the first job hands on is there in the second.
	kept, err := filepath.Glob(filepath.Join(b.dir, flow.Part.Artifacts.Paths[0]))
	if err != nil || len(kept) != 2 {
		t.Errorf("%d parts are handed on (%v)", len(kept), err)
	}
	status, out := b.sh(t, strings.Join(flow.Inserts.Script, "\n"))
	if status != statusRejected || !strings.Contains(out, designOutcome) {
		t.Errorf("merged: status %d\n%s", status, out)
	}
	b.holds(t, flow.Inserts.Artifacts.Reports.Junit, `failures="1"`)
	var quality []map[string]any
	text, err := os.ReadFile(filepath.Join(b.dir, flow.Inserts.Artifacts.Reports.Codequality))
	if err != nil || json.Unmarshal(text, &quality) != nil || len(quality) != 1 {
		t.Errorf("the quality report is %s (%v)", text, err)
	}
	if flow.Inserts.Artifacts.When != "always" || !slices.Contains(flow.Inserts.Needs, "part") || !slices.Contains(flow.Part.Cache.Paths, ".pocketgauge-cache/") {
		t.Error("reports are not handed on when an insert is rejected, or parts or results are not")
	}
	// A bad option ends the first job.
	if err := os.WriteFile(filepath.Join(b.dir, "pocketgauge.yaml"), []byte("insert: []\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if status, _ := b.sh(t, strings.Join(flow.Part.Script, "\n"), "CI_NODE_INDEX=1", "CI_NODE_TOTAL=2"); status == 0 {
		t.Error("a workspace file that cannot be read goes through")
	}
}

func TestPipelineOfJenkins(t *testing.T) {
	text := pipelines(t)["jenkins"]
	// No parser of Groovy here: braces and quotes must balance, and steps stand where they belong.
	depth, quoted := 0, false
	for _, r := range text {
		switch {
		case r == '\'':
			quoted = !quoted
		case quoted:
		case r == '{':
			depth++
		case r == '}':
			depth--
		}
		if depth < 0 {
			t.Fatal("a brace closes what none has opened")
		}
	}
	form := regexp.MustCompile(`(?s)^pipeline \{\s+agent any\s+stages \{\s+stage\('[a-z]+'\) \{\s+steps \{ sh '([^']+)' \}\s+\}\s+\}\s+post \{\s+always \{\s+junit '([^']+)'\s+archiveArtifacts '([^']+)'\s+\}\s+\}\s+\}\n$`)
	m := form.FindStringSubmatch(text)
	if depth != 0 || quoted || m == nil {
		t.Fatalf("no declarative pipeline:\n%s", text)
	}
	b := newBench(t)
	if status, out := b.sh(t, m[1]); status != statusRejected || !strings.Contains(out, designOutcome) {
		t.Errorf("status %d\n%s", status, out)
	}
	b.holds(t, m[2], `failures="1"`)
	b.holds(t, m[3], "3 inserts judged")
	b.mend(t)
	if status, out := b.sh(t, m[1]); status != statusPass {
		t.Errorf("mended: status %d\n%s", status, out)
	}
}

func TestPipelineOfPreCommit(t *testing.T) {
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("there is no git on this machine")
	}
	var config struct {
		Repos []struct {
			Repo  string
			Hooks []struct {
				ID, Name, Entry, Language, Files string
				PassFilenames                    bool `yaml:"pass_filenames"`
			}
		}
	}
	parsed(t, pipelines(t)["pre-commit"], &config)
	hook := config.Repos[0].Hooks[0]
	if hook.Language != "system" || hook.PassFilenames || config.Repos[0].Repo != "local" {
		t.Errorf("%+v", hook)
	}
	files := regexp.MustCompile(hook.Files)
	for name, want := range map[string]bool{"inserts/a.stl": true, "a.step": true, "b.p21": true, "c.stpz": true, "rules/x.yaml": true, "notes.txt": false} {
		if files.MatchString(name) != want {
			t.Errorf("the hook runs for %s: %v", name, !want)
		}
	}
	b := newBench(t)
	if status, out := b.sh(t, "git init -q && git add . && git commit -q -m first"); status != 0 {
		t.Fatal(out)
	}
	if status, out := b.sh(t, hook.Entry); status != statusPass || !strings.Contains(out, "nothing to judge") {
		t.Errorf("nothing changed: status %d\n%s", status, out)
	}
	if err := os.WriteFile(filepath.Join(b.dir, "inserts", "comb-guide-fixed.stl"), designModels()["comb-guide-moving.stl"], 0o644); err != nil {
		t.Fatal(err)
	}
	if status, out := b.sh(t, hook.Entry); status != statusRejected || !strings.Contains(out, "1 insert: 1 fail") {
		t.Errorf("one changed for the worse: status %d\n%s", status, out)
	}
}

func TestEverySystemHasItsPipeline(t *testing.T) {
	found := pipelines(t)
	for _, name := range []string{"github", "github-changes", "gitlab", "jenkins", "pre-commit"} {
		if found[name] == "" {
			t.Errorf("README.md has no pipeline for %s", name)
		}
	}
}

package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pocketgauge/rules"
	"pocketgauge/rules/glob"
)

func newInit(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "init [FOLDER]",
		Short: "Write a workspace file for the models in a folder, to be completed by hand",
		Long: `Looks for models and rules files in a folder and writes a pocketgauge.yaml that lists them, with
comments. Halves and partners are guessed from names and marked as guesses. An existing
workspace file is never written over.`,
		Example: `  pocketgauge init
  pocketgauge init shop && pocketgauge check shop`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			folder := "."
			if len(args) > 0 {
				folder = args[0]
			}
			return initWorkspace(s, folder)
		},
	}
}

// eachListed is up to how many models init lists one by one; above, it writes one entry a folder and
// half, which a person can still read.
const eachListed = 60

func initWorkspace(s streams, folder string) error {
	file := filepath.Join(folder, rules.WorkspaceFile)
	if _, err := os.Lstat(file); err == nil {
		return fmt.Errorf("%s is there already; it is not written over", file)
	}
	found, err := survey(folder)
	if err != nil {
		return err
	}
	if len(found.models) == 0 {
		return noModels(folder)
	}
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	if _, err = f.WriteString(found.workspace()); err == nil {
		err = f.Close()
	} else {
		f.Close()
	}
	if err == nil {
		_, err = rules.LoadWorkspace(file)
	}
	if err != nil {
		os.Remove(file)
		return fmt.Errorf("writing %s: %w", file, err)
	}
	fmt.Fprintf(s.out, "%s lists %d models. Look it through, then: pocketgauge check %s\n", file, len(found.models), folder)
	if len(found.frames) == 0 {
		fmt.Fprintf(s.out, "There is no rules file yet: write the frame's limits into %s\n", filepath.Join(folder, filepath.FromSlash(missingRules)))
	}
	return nil
}

// surveyed is what init found, by path from the folder.
type surveyed struct {
	models, frames []string
}

const missingRules = "rules/frame.yaml"

func survey(folder string) (surveyed, error) {
	var found surveyed
	files, err := rules.Files(os.DirFS(folder), ".")
	if errors.Is(err, fs.ErrNotExist) {
		return found, fmt.Errorf("there is no folder %s", folder)
	}
	for _, name := range files {
		switch ext := strings.ToLower(path.Ext(name)); {
		case rules.IsModelName(name):
			found.models = append(found.models, name)
		case (ext == ".yaml" || ext == ".yml") && path.Base(name) != rules.WaiverFile:
			// A frame's file is one that reads as one; whatever else lies there is none of ours.
			if _, err := rules.Load(filepath.Join(folder, filepath.FromSlash(name))); err == nil {
				found.frames = append(found.frames, name)
			}
		}
	}
	return found, err
}

// workspace is the text of the workspace file.
func (found surveyed) workspace() string {
	var b strings.Builder
	b.WriteString(`# Which models are which; pocketgauge check reads this file. The first entry that matches a model wins.
# Written by pocketgauge init: halves and partners are guessed from names, look them through.
#
# Keys of an entry: models (path or glob: * in a name, ** for folders), name, rules (the frame's file), half (fixed or moving),
# steel, resin, finish, unit (mm or in, for STL), pair (the other half's model), placement, skip: true (no insert).
# pocketgauge rules schema --workspace prints them all for an editor.
`)
	frame := missingRules
	switch {
	case len(found.frames) == 0:
		b.WriteString("#\n# No rules file was found: write the limits of the frame into the file that rules names.\n")
	case len(found.frames) == 1:
		frame = found.frames[0]
	default:
		frame = found.frames[0]
		b.WriteString("#\n# Every entry names the first of several rules files: give each model its own frame's. There are\n")
		for _, f := range found.frames {
			fmt.Fprintf(&b, "#   %s\n", quotedPath(f))
		}
	}
	b.WriteString("inserts:\n")
	if len(found.models) <= eachListed {
		for _, m := range found.models {
			found.entry(&b, escapedGlob(m), frame, halfOf(m), found.partner(m))
		}
		return b.String()
	}
	for _, g := range found.groups() {
		found.entry(&b, g, frame, halfOf(g), "")
	}
	return b.String()
}

func (found surveyed) entry(b *strings.Builder, models, frame, half, pair string) {
	fmt.Fprintf(b, "  - models: %s\n    rules: %s\n", quotedPath(models), quotedPath(frame))
	if half != "" {
		fmt.Fprintf(b, "    half: %s\n", half)
	}
	if pair != "" && !glob.HasMeta(models) {
		fmt.Fprintf(b, "    pair: %s\n", quotedPath(pair))
	}
}

// halfWords are the words by which names tell the halves apart (common practice, no source).
var halfWords = [][2]string{{"fixed", "moving"}}

func halfOf(name string) string {
	base := strings.ToLower(path.Base(name))
	for _, w := range halfWords {
		fixed, moving := strings.Contains(base, w[0]), strings.Contains(base, w[1])
		if fixed != moving {
			if fixed {
				return string(rules.Fixed)
			}
			return string(rules.Moving)
		}
	}
	return ""
}

// partner is the one model in the same folder whose name differs by the word for the half alone,
// whatever format it has; "" where there is none or more than one.
func (found surveyed) partner(model string) string {
	stem := func(name string) string {
		base := path.Base(name)
		for _, s := range rules.ModelSuffixes {
			if strings.HasSuffix(strings.ToLower(base), s) {
				base = base[:len(base)-len(s)]
				break
			}
		}
		return path.Dir(name) + "/" + base
	}
	half := halfOf(model)
	var want string
	switch half {
	case string(rules.Fixed):
		want = strings.ReplaceAll(stem(model), "fixed", "moving")
	case string(rules.Moving):
		want = strings.ReplaceAll(stem(model), "moving", "fixed")
	}
	partner := ""
	for _, m := range found.models {
		if want != "" && m != model && stem(m) == want {
			if partner != "" {
				return ""
			}
			partner = m
		}
	}
	return partner
}

// groups are globs, one a folder and half, that take every model; those with a half stand first.
func (found surveyed) groups() []string {
	var special, general []string
	add := func(list *[]string, g string) {
		if !slices.Contains(*list, g) {
			*list = append(*list, g)
		}
	}
	for _, m := range found.models {
		dir := escapedGlob(path.Dir(m)) + "/"
		if dir == "./" {
			dir = ""
		}
		switch halfOf(m) {
		case string(rules.Fixed):
			add(&special, dir+"*fixed*")
		case string(rules.Moving):
			add(&special, dir+"*moving*")
		default:
			ext := path.Ext(m)
			add(&general, dir+"*"+escapedGlob(ext))
		}
	}
	return append(special, general...)
}

// escapedGlob matches just the path.
func escapedGlob(p string) string {
	return strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(p)
}

// quotedPath is a path as a YAML scalar: as it is where that is safe, in the quotes of JSON, which
// YAML reads alike, where it is not.
func quotedPath(p string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("/._-", r)
	}
	if p != "" && strings.IndexFunc(p, func(r rune) bool { return !plain(r) }) < 0 && p[0] != '-' && p[0] != '.' {
		if c := p[0]; c < '0' || c > '9' {
			return p
		}
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if e.Encode(p) != nil {
		return `""`
	}
	return strings.TrimSpace(b.String())
}

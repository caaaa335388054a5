package main

import (
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pocketgauge/checks/batch"
	"pocketgauge/rules/glob"
	"pocketgauge/rules/nearest"
)

// narrowing is which checks and models of the work are wanted.
type narrowing struct {
	only, skip []string
}

func (n *narrowing) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringArrayVar(&n.only, "only", nil, "judge only this `CHECK` (fit.outline, fit.*) or these models (a path or glob); may be given several times")
	f.StringArrayVar(&n.skip, "skip", nil, "leave out this `CHECK` or these models; may be given several times")
}

// pattern is one value of --only or --skip: checks by id, or models by path.
type pattern struct {
	checks []string
	models *glob.Pattern
	text   string
}

// apply leaves in w what is asked for. A word that names neither a check nor a model of the work is
// refused: it would leave something unjudged, or judge what was to be left out.
func (n *narrowing) apply(w *work) error {
	if len(n.only)+len(n.skip) == 0 {
		return nil
	}
	ids := w.checkIDs()
	only, err := patterns("--only", n.only, ids, w)
	if err != nil {
		return err
	}
	skip, err := patterns("--skip", n.skip, ids, w)
	if err != nil {
		return err
	}
	var off []string
	for _, id := range ids {
		if !wanted(only, skip, func(p *pattern) (bool, bool) { return p.checks != nil, slices.Contains(p.checks, id) }) {
			off = append(off, id)
		}
	}
	w.keep(func(i int) bool {
		return wanted(only, skip, func(p *pattern) (bool, bool) { return p.models != nil, p.models != nil && p.matches(w, i) })
	})
	if len(w.inserts) == 0 {
		return fmt.Errorf("--only and --skip leave no insert to judge")
	}
	if len(off) == len(ids) {
		return fmt.Errorf("--only and --skip leave no check")
	}
	w.without(off)
	w.whole = false
	return nil
}

// wanted tells whether something is named by an "only" (or none of its kind was given) and by no
// "skip". names says whether a pattern is of its kind, and whether it names it.
func wanted(only, skip []pattern, names func(*pattern) (kind, named bool)) bool {
	asked, in := false, false
	for i := range only {
		kind, named := names(&only[i])
		asked, in = asked || kind, in || named
	}
	for i := range skip {
		if _, named := names(&skip[i]); named {
			return false
		}
	}
	return in || !asked
}

func (p *pattern) matches(w *work, i int) bool {
	file := filepath.ToSlash(w.inserts[i].File)
	return p.models.Match(w.origins[i].model) || p.text == file || p.models.Match(strings.TrimPrefix(path.Clean(file), "./")) ||
		!strings.Contains(p.text, "/") && p.models.Match(path.Base(file))
}

func patterns(flag string, words, ids []string, w *work) ([]pattern, error) {
	var list []pattern
	for _, word := range words {
		p := pattern{text: word}
		for _, id := range ids {
			if ok, err := path.Match(word, id); word == id || err == nil && ok && strings.Contains(word, ".") {
				p.checks = append(p.checks, id)
			}
		}
		if p.checks == nil {
			m, err := glob.Compile(strings.TrimPrefix(filepath.ToSlash(word), "./"))
			if err != nil && !slices.ContainsFunc(w.inserts, func(in batch.Insert) bool { return in.File == word }) {
				return nil, fmt.Errorf("%s %s: no check, and no path of models: %w", flag, word, err)
			}
			if err != nil {
				m, _ = glob.Compile("**/" + path.Base(filepath.ToSlash(word)))
			}
			p.models = m
			if !slices.ContainsFunc(indices(len(w.inserts)), func(i int) bool { return p.matches(w, i) }) {
				return nil, unknownWord(flag, word, ids, w)
			}
		}
		list = append(list, p)
	}
	return list, nil
}

func unknownWord(flag, word string, ids []string, w *work) error {
	candidates := slices.Clone(ids)
	for i := range w.inserts {
		candidates = append(candidates, w.origins[i].model, path.Base(w.origins[i].model))
	}
	if near, ok := nearest.Word(word, candidates); ok {
		return fmt.Errorf("%s %s: no check and no model of this run; did you mean %q?", flag, word, near)
	}
	return fmt.Errorf("%s %s: no check and no model of this run; pocketgauge explain lists the checks", flag, word)
}

func indices(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// checkIDs are the checks there are, those that frames bring themselves among them.
func (w *work) checkIDs() []string { return append(checkIDs(), w.ownRules()...) }

// ownRules are the ids of the rules that the frames of the work bring themselves.
func (w *work) ownRules() []string {
	var ids []string
	for i := range w.inserts {
		for _, r := range w.inserts[i].Frame.Rules {
			if id := "rule." + r.ID.Value; !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	return ids
}

// keep drops the inserts that are not to be kept.
func (w *work) keep(kept func(i int) bool) {
	inserts, origins := w.inserts[:0:0], w.origins[:0:0]
	for i := range w.inserts {
		if kept(i) {
			inserts, origins = append(inserts, w.inserts[i]), append(origins, w.origins[i])
		}
	}
	if len(inserts) < len(w.inserts) {
		w.whole, w.unassigned = false, nil
	}
	w.inserts, w.origins = inserts, origins
}

// without leaves checks out of the work.
func (w *work) without(off []string) {
	w.skipped = off
	for i := range w.inserts {
		w.inserts[i].Skip = off
	}
}

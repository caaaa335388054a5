package rules

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"pocketgauge/rules/glob"
)

// Model is one model file of a workspace.
type Model struct {
	// Path is from where the program runs, Name for people.
	Path, Name string
	Entry      *Entry
	// Partner is the path of the other half, "" when there is none.
	Partner string
}

// ModelSuffixes are the names by which models in a folder are found. Only the search goes by name: what
// a found or named file is, its content decides when it is read.
var ModelSuffixes = []string{".stl", ".stp", ".step", ".p21", ".stp.gz", ".step.gz", ".p21.gz", ".stpz"}

// IsModelName tells whether a file's name is that of a model.
func IsModelName(name string) bool {
	lower := strings.ToLower(name)
	return slices.ContainsFunc(ModelSuffixes, func(s string) bool { return strings.HasSuffix(lower, s) })
}

// Hidden tells whether a file or folder is one that programs keep for themselves, by its name alone.
func Hidden(base string) bool { return strings.HasPrefix(base, ".") }

// mostFiles bounds the walk through a workspace's folder.
const mostFiles = 1_000_000

// Match is the entry of a path, given from the workspace's folder; nil when none matches. The first
// entry that matches wins.
func (w *Workspace) Match(name string) *Entry {
	for i := range w.Entries {
		if e := &w.Entries[i]; e.pattern != nil && e.pattern.Match(name) {
			return e
		}
	}
	return nil
}

// Resolve lists the models in the workspace's folder: those that an entry matches, in path order,
// and the paths of model files that none matches. The first entry that matches a file wins. Folders
// and files whose name starts with a point are passed over, and so are links to folders. A glob
// without a match and a partner that is not there are reported beside the models found: each is a
// slip of the pen that would otherwise leave a model unjudged.
func (w *Workspace) Resolve() (models []Model, unmatched []string, err error) {
	files, err := w.files()
	if err != nil {
		return nil, nil, err
	}
	report := &reporter{sources: w.sources}
	matched := map[*Entry]bool{}
	there := map[string]bool{}
	for _, name := range files {
		there[name] = true
		e := w.Match(name)
		switch {
		case e == nil && IsModelName(name):
			unmatched = append(unmatched, w.beside(name))
		case e == nil:
		default:
			matched[e] = true
			if e.Skip.Value {
				continue
			}
			m := Model{Path: w.beside(name), Name: name, Entry: e}
			if e.Name.Set && !glob.HasMeta(e.Models.Value) {
				m.Name = e.Name.Value
			}
			if e.Pair.Set {
				m.Partner = w.beside(path.Clean(e.Pair.Value))
			}
			models = append(models, m)
		}
	}
	for i := range w.Entries {
		e := &w.Entries[i]
		key := fmt.Sprintf("inserts[%d]", i+1)
		if !matched[e] {
			says, hint := "matches no file", "paths start at the folder of this file"
			for _, name := range files {
				if e.pattern.Match(name) {
					says, hint = "matches only files that an earlier entry has taken", "the first entry that matches wins; move this one up"
					break
				}
			}
			report.at(e.Models.Origin, key+".models", fmt.Sprintf("%q %s", clean(e.Models.Value), says), hint)
		}
		if e.Pair.Set && !there[path.Clean(e.Pair.Value)] {
			report.at(e.Pair.Origin, key+".pair", fmt.Sprintf("there is no file %q", clean(e.Pair.Value)), "paths start at the folder of this file")
		}
	}
	return models, unmatched, report.problems()
}

// files are the paths below the workspace's folder, from it, in order.
func (w *Workspace) files() ([]string, error) {
	var fsys fs.FS
	root := "."
	switch p := w.place.(type) {
	case tree:
		fsys, root = p.fsys, w.Folder
	default:
		fsys = os.DirFS(filepath.FromSlash(w.Folder))
	}
	files, err := Files(fsys, root)
	if err != nil {
		return nil, fmt.Errorf("%s: looking for models: %w", w.File, err)
	}
	return files, nil
}

// Files are the paths of the files below a folder, from it, ordered by whole path. Hidden files and folders
// are passed over, and so are links to folders; a link to a file is one.
func Files(fsys fs.FS, root string) ([]string, error) {
	var files []string
	err := fs.WalkDir(fsys, root, func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if name != root && Hidden(entry.Name()) {
			if entry.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if !entry.Type().IsRegular() {
			// A link may lead to a model; a pipe, a device or a folder is none.
			info, err := fs.Stat(fsys, name)
			if err != nil || !info.Mode().IsRegular() {
				return nil
			}
		}
		if len(files) >= mostFiles {
			return errors.New("more than a million files; name a folder nearer to the models")
		}
		if root != "." {
			name = strings.TrimPrefix(name, root+"/")
		}
		files = append(files, name)
		return nil
	})
	// The walk goes folder by folder; order by whole path is what a reader expects of a list.
	sort.Strings(files)
	return files, err
}

func (w *Workspace) beside(name string) string { return path.Join(w.Folder, name) }

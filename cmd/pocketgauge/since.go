package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"

	"pocketgauge/checks/batch"
	"pocketgauge/rules"
)

// since leaves in the work what git says has changed since a revision: in commits since it parted from
// what is checked out, in the work tree, or in files not yet added. A model counts as changed with
// whatever it is judged by: its rules files, its blank, its partner, and the workspace and waiver
// files.
func (w *work) since(ctx context.Context, revision string) error {
	var changed = map[string]bool{}
	asked := map[string]bool{}
	for i := range w.inserts {
		folder := w.origins[i].folder
		if !w.origins[i].workspace {
			folder = filepath.Dir(w.inserts[i].File)
		}
		if asked[folder] {
			continue
		}
		asked[folder] = true
		files, err := gitChanges(ctx, folder, revision)
		if err != nil {
			return fmt.Errorf("--since %s: %w", revision, err)
		}
		for _, f := range files {
			changed[f] = true
		}
	}
	w.keep(func(i int) bool {
		for _, f := range w.judgedBy(i) {
			if changed[realPath(f)] {
				return true
			}
		}
		return false
	})
	w.whole = false
	return nil
}

// judgedBy are the files on which the outcome of an insert rests.
func (w *work) judgedBy(i int) []string {
	list := filesOf(&w.inserts[i])
	if from := w.origins[i]; from.workspace {
		folder := filepath.FromSlash(from.folder)
		list = append(list, filepath.Join(folder, rules.WorkspaceFile), filepath.Join(folder, rules.WaiverFile))
	}
	return list
}

func filesOf(in *batch.Insert) []string {
	return append(in.Files(), in.Frame.Chain...)
}

// realPath is a path that names a file in one way only.
func realPath(file string) string {
	abs, err := filepath.Abs(filepath.FromSlash(file))
	if err != nil {
		return file
	}
	// The file itself may be gone; its folder tells where it was.
	if dir, err := filepath.EvalSymlinks(filepath.Dir(abs)); err == nil {
		return filepath.Join(dir, filepath.Base(abs))
	}
	return abs
}

// gitChanges are the files of the repository around a folder that changed since a revision.
func gitChanges(ctx context.Context, folder, revision string) ([]string, error) {
	if revision == "" || strings.HasPrefix(revision, "-") {
		return nil, errors.New("that is no revision")
	}
	top, err := git(ctx, folder, "rev-parse", "--show-toplevel")
	if err != nil {
		return nil, fmt.Errorf("the folder %s: %w", folder, err)
	}
	root := strings.TrimRight(top, "\r\n")
	if _, err := git(ctx, folder, "rev-parse", "--verify", "--quiet", "--end-of-options", revision+"^{commit}"); err != nil {
		return nil, fmt.Errorf("the repository %s has no such revision; a shallow clone may lack it, fetch more of the history", root)
	}
	base, err := git(ctx, folder, "merge-base", revision, "HEAD")
	if err != nil {
		return nil, fmt.Errorf("the repository %s has no commit that it and what is checked out have in common; a shallow clone may lack it, fetch more of the history", root)
	}
	base = strings.TrimSpace(base)
	var files []string
	for _, args := range [][]string{
		{"diff", "--name-only", "--no-renames", "--no-ext-diff", "-z", base, "--"},
		{"ls-files", "--others", "--exclude-standard", "--full-name", "-z", "--", root},
	} {
		list, err := git(ctx, root, args...)
		if err != nil {
			return nil, err
		}
		for _, name := range strings.Split(list, "\x00") {
			if name != "" {
				files = append(files, realPath(filepath.Join(root, filepath.FromSlash(name))))
			}
		}
	}
	return files, nil
}

// git runs git in a folder and gives what it prints.
func git(ctx context.Context, folder string, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "git", append([]string{"-C", folder}, args...)...)
	var out, says bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &says
	err := cmd.Run()
	switch {
	case errors.Is(err, exec.ErrNotFound):
		return "", errors.New("there is no git on this machine's path; leave --since out to judge everything")
	case err != nil:
		if line, _, _ := strings.Cut(strings.TrimSpace(says.String()), "\n"); line != "" {
			return "", fmt.Errorf("git %s: %s", args[0], line)
		}
		return "", fmt.Errorf("git %s: %w", args[0], err)
	}
	return out.String(), nil
}

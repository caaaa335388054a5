package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pocketgauge/rules/nearest"
)

// plainly has every command below root say what was wrong with its arguments and flags in a way that
// tells what to write instead.
func plainly(root *cobra.Command) {
	root.SetFlagErrorFunc(flagError)
	var each func(*cobra.Command)
	each = func(cmd *cobra.Command) {
		if args := cmd.Args; args != nil {
			cmd.Args = func(cmd *cobra.Command, given []string) error {
				err := args(cmd, given)
				if err == nil || cmd.HasSubCommands() {
					return err
				}
				return fmt.Errorf("%s given; write it like: %s", arguments(len(given)), strings.TrimSuffix(cmd.UseLine(), " [flags]"))
			}
		}
		for _, sub := range cmd.Commands() {
			each(sub)
		}
	}
	each(root)
}

func arguments(n int) string {
	switch n {
	case 0:
		return "nothing is"
	case 1:
		return "1 argument is"
	}
	return fmt.Sprintf("%d arguments are", n)
}

// flagError names the flag that was meant, and leaves out what the library says of its own parsing.
func flagError(cmd *cobra.Command, err error) error {
	says, _, _ := strings.Cut(err.Error(), ": strconv.")
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) {
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if near, ok := nearest.Word(unknown.GetSpecifiedName(), names); ok {
			return fmt.Errorf("%s; did you mean --%s?", says, near)
		}
		return fmt.Errorf("%s; %s --help lists them", says, cmd.CommandPath())
	}
	return errors.New(says)
}

// written marks flags whose value is a file to write.
func written(cmd *cobra.Command, flags ...string) {
	for _, name := range flags {
		if f := cmd.Flags().Lookup(name); f != nil {
			f.Annotations = map[string][]string{toWrite: {"yes"}}
		}
	}
}

const toWrite = "pocketgauge-writes"

// targets refuses files that could not be written in the end, before anything is measured.
func targets(cmd *cobra.Command) error {
	var err error
	cmd.Flags().Visit(func(f *pflag.Flag) {
		if _, ok := f.Annotations[toWrite]; ok && err == nil && f.Value.String() != "" {
			if e := writable(f.Value.String()); e != nil {
				err = fmt.Errorf("--%s %s: %w", f.Name, f.Value, e)
			}
		}
	})
	return err
}

// writable tells why a file cannot be written whole; nil where it can.
func writable(file string) error {
	info, err := os.Stat(file)
	switch {
	case err == nil && info.IsDir():
		return fmt.Errorf("%s is a folder", file)
	case err == nil && !info.Mode().IsRegular():
		return nil // a pipe or a terminal is written into as it stands
	}
	folder := filepath.Dir(file)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return fmt.Errorf("there is no folder %s", folder)
	}
	f, err := os.CreateTemp(folder, ".pocketgauge-*")
	if err != nil {
		return fmt.Errorf("nothing can be written into the folder %s: %w", folder, cause(err))
	}
	f.Close()
	return os.Remove(f.Name())
}

// cause leaves out the name of the file that was tried.
func cause(err error) error {
	var e *os.PathError
	if errors.As(err, &e) {
		return e.Err
	}
	return err
}

package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

type writer = io.Writer

// writeWhole writes a file beside its place and renames it when it is complete, so that a reader
// never sees half of one and a failure leaves the old one alone. What is no regular file, a pipe or
// a terminal say, is written straight into; a link is followed, not replaced.
func writeWhole(name string, write func(w writer) error) (err error) {
	if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() {
		return writeInto(name, write)
	}
	if to, err := filepath.EvalSymlinks(name); err == nil {
		name = to
	}
	temp, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+"-*")
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	defer func() {
		if err != nil {
			temp.Close()
			os.Remove(temp.Name())
			err = fmt.Errorf("writing %s: %w", name, err)
		}
	}()
	if err = buffered(temp, write); err != nil {
		return err
	}
	if err = temp.Chmod(0o644); err != nil {
		return err
	}
	if err = temp.Close(); err != nil {
		return err
	}
	return os.Rename(temp.Name(), name)
}

func writeInto(name string, write func(w writer) error) error {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	err = buffered(f, write)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return nil
}

func buffered(f *os.File, write func(w writer) error) error {
	b := bufio.NewWriter(f)
	if err := write(b); err != nil {
		return err
	}
	return b.Flush()
}

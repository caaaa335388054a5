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
// never sees half of one and a failure leaves the old one alone.
func writeWhole(name string, write func(w writer) error) (err error) {
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
	b := bufio.NewWriter(temp)
	if err = write(b); err != nil {
		return err
	}
	if err = b.Flush(); err != nil {
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

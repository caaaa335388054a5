// Package checkstest holds the frame that tests hold their blocks against.
package checkstest

import (
	"testing"
	"testing/fstest"

	"pocketgauge/rules"
)

// bench is a pocket of 100 by 60, 40 deep: a block of 99.96 by 59.96 by 40.03 is well within its limits.
const bench = `frame: Bench
pocket:
  outline:
    rectangle: {width: 100, length: 60}
  depth: 40
  clearance: {least: 0.01, most: 0.04}
  proud: {least: 0.02, most: 0.05}
`

// Bench is that frame with more lines of rules.
func Bench(t testing.TB, more string) *rules.Frame {
	t.Helper()
	f, err := rules.LoadFS(fstest.MapFS{"f.yaml": {Data: []byte(bench + more)}}, "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

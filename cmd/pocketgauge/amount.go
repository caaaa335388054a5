package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// byteUnits are what memory may be given in; those of IEC 80000-13 are powers of 1024, and so is a
// bare letter, as most tools have it.
var byteUnits = []struct {
	name  string
	bytes float64
}{
	{"KiB", 1 << 10}, {"MiB", 1 << 20}, {"GiB", 1 << 30}, {"TiB", 1 << 40}, {"kB", 1e3}, {"KB", 1e3}, {"MB", 1e6}, {"GB", 1e9}, {"TB", 1e12},
	{"K", 1 << 10}, {"M", 1 << 20}, {"G", 1 << 30}, {"T", 1 << 40}, {"B", 1},
}

// parseBytes reads an amount of memory such as 2GiB or 500 MB.
func parseBytes(text string) (int64, error) {
	number, unit := strings.TrimSpace(text), 1.0
	for _, u := range byteUnits {
		if n, ok := strings.CutSuffix(number, u.name); ok {
			number, unit = strings.TrimSpace(n), u.bytes
			break
		}
	}
	n, err := strconv.ParseFloat(number, 64)
	if err != nil || !(n*unit >= 1) || n*unit >= math.MaxInt64 {
		return 0, fmt.Errorf("%q is no amount of bytes; write it like 2GiB", text)
	}
	return int64(n * unit), nil
}

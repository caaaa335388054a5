//go:build !linux

package main

import "os"

// peakMB is known on Linux alone.
func peakMB(*os.ProcessState) float64 { return 0 }

package main

import (
	"os"
	"syscall"
)

// peakMB is the largest resident size of a process that has ended, in MiB.
func peakMB(s *os.ProcessState) float64 {
	if u, ok := s.SysUsage().(*syscall.Rusage); ok {
		return float64(u.Maxrss) / 1024
	}
	return 0
}

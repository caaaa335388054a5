//go:build unix

package meshtest

import "syscall"

// CPUSeconds is the processor time that this process has had, over all of its threads. On a shared
// machine it says what work was done, which the clock does not.
func CPUSeconds() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

package index

import (
	"syscall"
	"testing"
)

// cpuSeconds is the processor time of this process: on a shared machine it says more than the
// clock does.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// perCPU reports n items a run as millions a second of processor time.
func perCPU(b *testing.B, n int, since float64) {
	if d := cpuSeconds() - since; d > 0 {
		b.ReportMetric(float64(n)*float64(b.N)/d/1e6, "M/cpu-s")
	}
}

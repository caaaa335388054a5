//go:build !unix

package meshtest

// CPUSeconds is 0 where processor time is not known.
func CPUSeconds() float64 { return 0 }

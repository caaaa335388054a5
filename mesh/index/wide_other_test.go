//go:build !amd64

package index

func hasWide() bool { return false }

func plainly(f func()) { f() }

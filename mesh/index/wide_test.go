//go:build amd64

package index

func hasWide() bool { return wide }

// plainly runs f with the plain node tests.
func plainly(f func()) {
	was := wide
	wide = false
	defer func() { wide = was }()
	f()
}

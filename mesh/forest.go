package mesh

// Forest is a union-find over 0 to n-1 with path halving. A root is the lowest member joined, so
// that groups come out in input order whatever order they were joined in.
type Forest []int32

// NewForest is n members, each its own root.
func NewForest(n int) Forest {
	f := make(Forest, n)
	for i := range f {
		f[i] = int32(i)
	}
	return f
}

// Root is the lowest member of i's group.
func (f Forest) Root(i int32) int32 {
	for f[i] != i {
		f[i] = f[f[i]]
		i = f[i]
	}
	return i
}

// Join makes one group of those of i and j.
func (f Forest) Join(i, j int32) {
	i, j = f.Root(i), f.Root(j)
	if i < j {
		f[j] = i
	} else {
		f[i] = j
	}
}

package brep

// limits bound what a file may ask for by naming one thing many times. Each grows with the text, so
// that a long file may do what a short one may not, and reading takes time in proportion; the
// share that does not grow lets short files do what real ones do. A file that goes beyond is an
// error, or where one edge can be left straight instead, a Note.
type limits struct {
	// revisits is how much topology is read a second time because two bodies, faces or loops
	// share it, in faces and edges. Files do that for a handful of shells.
	revisits int
	// nested is how many points of curves and surfaces are read again for each curve or surface
	// made of them. Each is read once in most files, and as often as it has edges where a surface
	// carries parameter curves alone. The bound is on the sum, so it does not matter who
	// reaches it.
	nested int64
	// occurrences is how many bodies and components are placed. Assemblies that repeat assemblies
	// double with each level.
	occurrences int
	// steps is how many items and components are looked at in placing, those of a representation
	// once for each place it has.
	steps int
	// finding is what finding the vertices on their curves takes, in units of shape.Cost: edges
	// that share a curve of many parts each look through all of it.
	finding int64
}

func limitsOf(bytes int) limits {
	return limits{
		revisits:    1<<14 + bytes/4,
		nested:      1<<17 + int64(bytes),
		occurrences: min(1<<18, 1<<15+bytes/2),
		steps:       1<<20 + 2*bytes,
		finding:     1<<20 + 32*int64(bytes),
	}
}

// pathBytesPerStep is how much of a product path is written in the time of a step.
const pathBytesPerStep = 16

package brep

import (
	"errors"
	"sync/atomic"

	"pocketgauge/mesh/step/part21"
)

// depthLimit bounds how deep curves may be made of curves and assemblies of assemblies. Real
// files nest a handful deep; a file that nests without end nests in itself.
const depthLimit = 64

// builder makes curves and surfaces of instances, in one context's units. It holds no state
// that outlives a call and may be copied; several may work on one file at once.
type builder struct {
	*scale
	// flat is set for a curve of a parameter plane: points have two coordinates, which are
	// multiplied by across and up instead of the unit of length.
	flat       bool
	across, up float64
	depth      int
	spent      *spending
}

// spending is what one edge or face has cost, and all together.
type spending struct {
	parts int
	all   *atomic.Int64
	limit int64
}

// partLimit bounds how many curves and surfaces one edge or face may be made of. Composite
// curves have up to some hundreds of segments (common practice, no source); without a bound a
// file could double its work with each curve that names another twice.
const partLimit = 4096

// pointsPerPart is what a curve that is part of another costs, in points read.
const pointsPerPart = 4

var errDeep = errors.New("geometry is nested too deep, or in itself, or made of too many parts")

// newBuilder is a builder for one edge or face.
func (r *reader) newBuilder(s *scale) builder {
	return builder{scale: s, spent: &spending{all: &r.nested, limit: r.most.nested}}
}

// deeper is the builder for what an instance is made of.
func (b builder) deeper() (builder, error) {
	b.depth++
	b.spent.parts++
	if b.depth > 1 {
		b.spent.all.Add(pointsPerPart)
	}
	if b.depth > depthLimit || b.spent.parts > partLimit || b.spent.all.Load() > b.spent.limit {
		return b, errDeep
	}
	return b, nil
}

// notUnderstood is the error for an entity that has its place here but is not read.
func notUnderstood(i part21.Instance, what string) error {
	return i.Errorf("%s is not understood as a %s", i.Describe(), what)
}

// at gives an error of package shape its instance.
func at(i part21.Instance, err error) error {
	if err == nil {
		return nil
	}
	var positioned *part21.Error
	if errors.As(err, &positioned) {
		return err
	}
	return i.Errorf("%v", err)
}

package stl

import (
	"bytes"

	hstl "github.com/hschendel/stl"
)

// batchFacets is how many facets travel at once between the two ends of a pipe: 200 KB, which
// stays in the cache of the core that welds.
const batchFacets = 4096

// pipe is a stream that hands its facets on in batches, so that decoding and welding, each about
// half of the time, run on two cores. Facets arrive in order, so the mesh is the same.
type pipe struct {
	full, empty chan []hstl.Triangle
	batch       []hstl.Triangle
}

func (p *pipe) SetName(string)          {}
func (p *pipe) SetBinaryHeader([]byte)  {}
func (p *pipe) SetASCII(bool)           {}
func (p *pipe) SetTriangleCount(uint32) {}

func (p *pipe) AppendTriangle(t hstl.Triangle) {
	p.batch = append(p.batch, t)
	if len(p.batch) == cap(p.batch) {
		p.full <- p.batch
		p.batch = (<-p.empty)[:0]
	}
}

// readBinary streams the facets of a binary file, whose size fits its count, into b.
func readBinary(data []byte, b *builder) error {
	const batches = 3 // one being filled, one being welded, one on the way
	p := &pipe{full: make(chan []hstl.Triangle, batches), empty: make(chan []hstl.Triangle, batches)}
	size := min(batchFacets, int(count(data))+1)
	for range batches - 1 {
		p.empty <- make([]hstl.Triangle, 0, size)
	}
	p.batch = make([]hstl.Triangle, 0, size)
	var err error
	go func() {
		defer close(p.full)
		if err = hstl.CopyAll(bytes.NewReader(data), p); err == nil {
			p.full <- p.batch
		}
	}()
	for batch := range p.full {
		for _, t := range batch {
			b.AppendTriangle(t)
		}
		p.empty <- batch
	}
	return err
}

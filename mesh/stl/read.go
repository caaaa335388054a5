package stl

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"

	"pocketgauge/mesh"
	"pocketgauge/mesh/tol"
)

const (
	headerBytes = 84 // 80 of text, 4 of count
	facetBytes  = 50 // 12 numbers of 4 bytes, 2 attribute bytes
)

// Error is a file that cannot be read as STL.
type Error struct {
	// Code is a stable word for programs: "empty", "truncated", "count", "coordinate", "syntax".
	Code string
	// Place is where: "byte 134" or "line 12".
	Place string
	Says  string
}

func (e *Error) Error() string {
	if e.Place == "" {
		return e.Says
	}
	return e.Place + ": " + e.Says
}

// ErrNotSTL is returned where nothing in the bytes looks like STL.
var ErrNotSTL = errors.New("neither binary nor text STL")

// Looks reports whether data is likely STL: its size fits the count in the header, or it
// begins with the word "solid" or "facet".
func Looks(data []byte) bool {
	return fitsBinary(data) || beginsText(data) || claimsBinary(data)
}

func fitsBinary(data []byte) bool {
	return len(data) >= headerBytes && uint64(len(data)) == headerBytes+facetBytes*uint64(count(data))
}

// claimsBinary takes what is no text for a damaged binary file.
func claimsBinary(data []byte) bool {
	return len(data) >= headerBytes && bytes.IndexByte(data[:headerBytes], 0) >= 0
}

func count(data []byte) uint32 { return binary.LittleEndian.Uint32(data[headerBytes-4:]) }

// beginsText reports whether the first word is one that a text file may start with. A binary
// header may say "solid" too, which is why fitsBinary is asked first.
func beginsText(data []byte) bool {
	word := bytes.TrimLeft(data[:min(len(data), 512)], " \t\r\n\v\f\xef\xbb\xbf")
	for _, w := range []string{"solid", "facet"} {
		if len(word) >= len(w) && bytes.EqualFold(word[:len(w)], []byte(w)) {
			return true
		}
	}
	return false
}

// Read makes a mesh of the bytes of an STL file. The errors it returns are *Error or ErrNotSTL.
func Read(data []byte) (*mesh.Model, error) {
	b := newBuilder()
	model := &mesh.Model{}
	switch {
	case len(data) == 0:
		return nil, &Error{Code: "empty", Says: "the file has no bytes"}
	case fitsBinary(data):
		model.Format = "STL binary"
		b.size(int(count(data)))
		if err := readBinary(data, b); err != nil {
			return nil, &Error{Code: "syntax", Says: err.Error()}
		}
		if b.badFacet >= 0 {
			at := headerBytes + facetBytes*b.badFacet + 12*(1+b.badCorner)
			return nil, &Error{Code: "coordinate", Place: fmt.Sprintf("byte %d", at),
				Says: fmt.Sprintf("facet %d has a corner that is not a finite number", b.badFacet+1)}
		}
		b.names = nil // the header of a binary file is free text, not the name of a solid
	case beginsText(data) && bytes.IndexByte(data[:min(len(data), headerBytes)], 0) < 0:
		model.Format = "STL text"
		b.size(len(data) / leastTextFacet)
		if err := readText(data, b); err != nil {
			return nil, err
		}
	case claimsBinary(data):
		return nil, damagedBinary(data)
	default:
		return nil, ErrNotSTL
	}
	if b.facets == 0 {
		return nil, &Error{Code: "empty", Says: "the file holds no facet"}
	}
	if len(b.keys) > math.MaxInt32/2 {
		return nil, &Error{Code: "size", Says: fmt.Sprintf("%d vertices are more than this program counts", len(b.keys))}
	}
	p := b.part()
	p.Roundoff = tol.RoundoffSTL
	model.Notes = b.notes()
	if len(p.Mesh.Triangles) == 0 {
		return nil, &Error{Code: "empty", Says: fmt.Sprintf("none of the %d facets has an area", b.facets)}
	}
	p.Audit = mesh.NewAudit(p.Mesh)
	if note, ok := weldOpenEdges(&p); ok {
		model.Notes = append(model.Notes, note)
	}
	model.Parts = []mesh.Part{p}
	return model, nil
}

func damagedBinary(data []byte) error {
	n := uint64(count(data))
	here := uint64(len(data)-headerBytes) / facetBytes
	rest := uint64(len(data)-headerBytes) % facetBytes
	if n > here {
		return &Error{Code: "truncated", Place: fmt.Sprintf("byte %d", len(data)),
			Says: fmt.Sprintf("the header counts %d facets, the file ends after %d%s", n, here, partOf(rest))}
	}
	return &Error{Code: "count", Place: fmt.Sprintf("byte %d", headerBytes+facetBytes*n),
		Says: fmt.Sprintf("the header counts %d facets, but %d bytes follow the last of them", n, uint64(len(data))-headerBytes-facetBytes*n)}
}

func partOf(bytes uint64) string {
	if bytes == 0 {
		return ""
	}
	return fmt.Sprintf(" and %d bytes of the next", bytes)
}

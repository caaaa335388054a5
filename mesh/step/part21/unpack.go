package part21

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"path"
	"strings"
)

// Bounds on what a packed file may hold, so that a small one cannot fill the memory.
const (
	// UnpackedBytes is the most text that is unpacked: the largest exports met are a few hundred
	// megabytes, and a text beyond this is better given unpacked by someone who knows its size.
	UnpackedBytes = 1 << 30

	// UnpackedRatio is how many times its packed size a text may have. STEP packs about 5 to 10
	// times; long rows of like points 30. Deflate itself ends at 1,032.
	UnpackedRatio = 200

	// UnpackedFree is unpacked at any ratio: a small text of blanks is harmless.
	UnpackedFree = 1 << 20

	// mostArchived is how many names of a zip archive are looked through.
	mostArchived = 1 << 16
)

// Unpack gives the text of a STEP file that may have been packed by gzip or zip, told by its first
// bytes. A zip archive must hold one file that ends in .stp, .step or .p21. Plain text is returned
// as it is, not copied.
func Unpack(data []byte) ([]byte, error) { return unpack(data, UnpackedBytes, UnpackedRatio) }

func unpack(data []byte, most, ratio int64) ([]byte, error) {
	switch {
	case bytes.HasPrefix(data, []byte("\x1F\x8B")):
		r, err := gzip.NewReader(bytes.NewReader(data))
		if err != nil {
			return nil, fmt.Errorf("gzip-packed file: %w", err)
		}
		text, err := unpackBounded(r, int64(len(data)), -1, most, ratio)
		if err != nil {
			return nil, fmt.Errorf("gzip-packed file: %w", err)
		}
		return text, nil
	case bytes.HasPrefix(data, []byte("PK\x03\x04")), bytes.HasPrefix(data, []byte("PK\x05\x06")):
		text, err := unpackZip(data, most, ratio)
		if err != nil {
			return nil, fmt.Errorf("zip archive: %w", err)
		}
		return text, nil
	}
	return data, nil
}

func unpackZip(data []byte, most, ratio int64) ([]byte, error) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	if len(archive.File) > mostArchived {
		return nil, fmt.Errorf("%d files in it; at most %d are looked through", len(archive.File), mostArchived)
	}
	var only *zip.File
	for _, f := range archive.File {
		if strings.HasPrefix(path.Base(f.Name), "._") {
			continue // what macOS keeps beside a file of the same name
		}
		switch strings.ToLower(path.Ext(f.Name)) {
		case ".stp", ".step", ".p21":
			if only != nil {
				return nil, fmt.Errorf("both %q and %q in it; pack one STEP file", only.Name, f.Name)
			}
			only = f
		}
	}
	if only == nil {
		return nil, fmt.Errorf("no file in it ends in .stp, .step or .p21")
	}
	r, err := only.Open()
	if err != nil {
		return nil, fmt.Errorf("%q: %w", only.Name, err)
	}
	defer r.Close()
	stated := int64(min(only.UncompressedSize64, uint64(most)+1))
	text, err := unpackBounded(r, int64(min(only.CompressedSize64, uint64(len(data)))), stated, most, ratio)
	if err != nil {
		return nil, fmt.Errorf("%q: %w", only.Name, err)
	}
	return text, nil
}

// unpackBounded reads all of r. The buffer is as large as was stated, if that can be true, so that
// an honest file is read into memory once.
func unpackBounded(r io.Reader, packed, stated, most, ratio int64) ([]byte, error) {
	bound := min(most, max(UnpackedFree, packed*ratio))
	b := bytes.NewBuffer(make([]byte, 0, min(max(stated, 4*packed), bound)+bytes.MinRead))
	n, err := io.Copy(b, io.LimitReader(r, bound+1))
	if n > bound {
		if bound == most {
			return nil, fmt.Errorf("it unpacks to more than %d bytes", most)
		}
		return nil, fmt.Errorf("it unpacks to more than %d times its size", ratio)
	}
	if err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

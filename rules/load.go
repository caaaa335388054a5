package rules

import (
	"errors"
	"io/fs"
)

// Load reads a frame's rules file and every file it inherits from. The error is a *Problems when
// the files could be read but say something wrong.
func Load(path string) (*Frame, error) { return nil, errors.ErrUnsupported }

// LoadFS is Load from a file system; names are slash-separated and relative to its root.
func LoadFS(fsys fs.FS, path string) (*Frame, error) { return nil, errors.ErrUnsupported }

// LoadFSSource is what Source shows of a line; see Frame.Source.
func (f *Frame) Source(o Origin) string { return "" }

//go:build !linux

package cache

import "io/fs"

func stampOf(info fs.FileInfo) stamp {
	return stamp{size: info.Size(), modified: info.ModTime().UnixNano()}
}

package cache

import (
	"io/fs"
	"syscall"
)

// stampOf adds what Linux knows: the time of the last change cannot be set back by a program.
func stampOf(info fs.FileInfo) stamp {
	s := stamp{size: info.Size(), modified: info.ModTime().UnixNano()}
	if t, ok := info.Sys().(*syscall.Stat_t); ok {
		s.changed = t.Ctim.Nano()
		s.device, s.inode = uint64(t.Dev), t.Ino
	}
	return s
}

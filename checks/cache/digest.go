package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"
	"time"
)

// stamp is what an unchanged file keeps.
type stamp struct {
	size, modified int64
	changed        int64 // time of the last change of content or name; 0 where the system keeps none
	device, inode  uint64
}

// settled is how long a file must have been left alone before its stamp is trusted: a change within
// the resolution of the file system's clock would leave the stamp as it was. Two seconds is that of
// the coarsest in use.
const settled = 2 * time.Second

// Digest is the SHA-256 of a file's bytes in hex. The bytes are read only where the index does not
// know them (K4).
func (c *Cache) Digest(file string) (string, error) {
	f, err := os.Open(file)
	if err != nil {
		return "", err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return "", err
	}
	if !info.Mode().IsRegular() {
		return "", &os.PathError{Op: "digest", Path: file, Err: os.ErrInvalid}
	}
	before := stampOf(info)
	var k Key
	indexed := c != nil && c.folder != ""
	if indexed {
		abs, err := filepath.Abs(file)
		if err != nil {
			return "", err
		}
		k = sha256.Sum256([]byte("index\x00" + abs))
		if !c.rehash {
			if digest, ok := c.known(k, before); ok {
				return digest, nil
			}
		}
	}
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	digest := hex.EncodeToString(h.Sum(nil))
	after, err := f.Stat()
	if err != nil {
		return "", err
	}
	now := time.Now()
	if indexed && stampOf(after) == before && now.Sub(info.ModTime()) > settled && now.Sub(time.Unix(0, before.changed)) > settled {
		c.keep("index", k, seal(k, before.bytes(digest)))
	}
	return digest, nil
}

func (c *Cache) known(k Key, s stamp) (string, bool) {
	sealed, err := os.ReadFile(c.file("index", k))
	if err != nil {
		return "", false
	}
	body, err := unseal(k, sealed)
	if err != nil || len(body) < hex.EncodedLen(sha256.Size) {
		return "", false
	}
	digest := string(body[:hex.EncodedLen(sha256.Size)])
	if !bytes.Equal(body, s.bytes(digest)) {
		return "", false
	}
	touch(c.file("index", k))
	return digest, true
}

func (s stamp) bytes(digest string) []byte {
	b := []byte(digest)
	for _, v := range []uint64{uint64(s.size), uint64(s.modified), uint64(s.changed), s.device, s.inode} {
		b = binary.LittleEndian.AppendUint64(b, v)
	}
	return b
}

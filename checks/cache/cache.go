// Package cache keeps results by what they were made from, so that nothing is measured twice.
//
// A result's key is a digest of everything it depends on: the bytes of the models, the rules, the
// entry of the workspace, the options and the program itself. Nothing is ever changed under a key,
// so entries need no lock, several runs may share a folder, and a folder may be deleted at any time;
// what was not used for long is pruned (Prune). What is kept is bytes; the package does not know what they say.
//
// Results lie in a folder of the user's and, where one is named, in a store that several machines
// share: a folder, or whatever gocloud.dev/blob opens by URL.
//
// Invariants (the tests cite these numbers):
//
//	K1  what Get returns is byte for byte what was put under that key: an entry whose checksum does
//	    not hold is a miss, and is told
//	K2  an entry appears whole or not at all, whenever the program is stopped
//	K3  another model, rules file, entry, option or program is another key; the path of the folder
//	    is no part of it
//	K4  a file's digest is taken from the index only where size, times, and on Linux the inode and
//	    the time of its last change too, are those of the bytes that were digested
//
// Known limit of K4: outside Linux a tool that rewrites a file of the same size and puts its old time
// back goes unseen; --rehash reads every byte.
package cache

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
)

// Cache is a place for results. A nil Cache keeps nothing. It is for any number of goroutines.
type Cache struct {
	folder string
	shared *store
	// failed counts the calls of the shared store in a row that failed.
	failed atomic.Int32
	// rehash reads every file, whatever the index says.
	rehash bool
	// added counts the bytes that were kept.
	added atomic.Int64

	mu   sync.Mutex
	said map[string]bool
	tell func(string)
}

// Options say where results are kept.
type Options struct {
	// Folder is this machine's; Folder() is the usual one.
	Folder string
	// Store is a folder or URL shared by several machines; "" for none.
	Store string
	// Rehash reads every model's bytes even where size and times are unchanged.
	Rehash bool
	// Tell is told, once a kind, of what is wrong with the cache. Nothing of it changes a result.
	Tell func(string)
}

// off is the value of the variable that turns the cache off.
const off = "off"

// Folder is where results of this user are kept; "" where the environment wants none or knows no
// such place.
func Folder() string {
	switch dir := os.Getenv("POCKETGAUGE_CACHE"); dir {
	case "":
	case off:
		return ""
	default:
		return dir
	}
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "pocketgauge")
}

// Open opens a cache. A folder that cannot be made is told and gives a cache without one; a store that
// was asked for and cannot be opened is an error.
func Open(ctx context.Context, opt Options) (*Cache, error) {
	c := &Cache{folder: opt.Folder, rehash: opt.Rehash, said: map[string]bool{}, tell: opt.Tell}
	if c.folder != "" {
		if err := os.MkdirAll(c.folder, 0o755); err != nil {
			c.say("folder", fmt.Sprintf("results are not kept: %v", err))
			c.folder = ""
		}
	}
	if opt.Store != "" {
		var err error
		if c.shared, err = openStore(ctx, opt.Store); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// Close ends the use of the shared store.
func (c *Cache) Close() error {
	if c == nil || c.shared == nil {
		return nil
	}
	return c.shared.bucket.Close()
}

func (c *Cache) say(kind, what string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.tell != nil && !c.said[kind] {
		c.said[kind] = true
		c.tell(what)
	}
}

// Key names a result.
type Key [sha256.Size]byte

func (k Key) String() string { return hex.EncodeToString(k[:]) }

// Get is what was kept under a key. A shared result is kept in the user's folder too.
func (c *Cache) Get(ctx context.Context, k Key) (body []byte, ok bool) {
	if c == nil {
		return nil, false
	}
	if c.folder != "" {
		sealed, err := os.ReadFile(c.file("results", k))
		if err == nil {
			if body, err = unseal(k, sealed); err == nil {
				touch(c.file("results", k))
				return body, true
			}
			c.say("corrupt", fmt.Sprintf("a kept result is damaged and made anew: %s: %v", c.file("results", k), err))
		} else if !errors.Is(err, fs.ErrNotExist) {
			c.say("read", fmt.Sprintf("a kept result cannot be read: %v", err))
		}
	}
	if !c.shares() {
		return nil, false
	}
	sealed, err := c.shared.get(ctx, k)
	if c.storeFails(ctx, "read", err) {
		return nil, false
	}
	if sealed == nil {
		return nil, false
	}
	if body, err = unseal(k, sealed); err != nil {
		c.say("store corrupt", fmt.Sprintf("a result of the shared store is damaged and made anew: %s: %v", k, err))
		return nil, false
	}
	c.keep("results", k, sealed)
	return body, true
}

// Put keeps a result. That it cannot be kept is told and changes nothing else.
func (c *Cache) Put(ctx context.Context, k Key, body []byte) {
	if c == nil {
		return
	}
	sealed := seal(k, body)
	c.keep("results", k, sealed)
	if c.shares() {
		// A run that is being stopped still hands on what it has measured.
		c.storeFails(ctx, "written", c.shared.put(context.WithoutCancel(ctx), k, sealed))
	}
}

// mostFailures of the shared store in a row are borne; then the run goes on without it. A driver tries each
// call several times, with pauses between, and a batch of thousands would wait for hours on a store that
// is not there.
const mostFailures = 4

func (c *Cache) shares() bool { return c.shared != nil && c.failed.Load() < mostFailures }

// storeFails tells of a failure of the shared store, and counts it. A run that is stopped is none.
func (c *Cache) storeFails(ctx context.Context, what string, err error) bool {
	if err == nil {
		c.failed.Store(0)
		return false
	}
	if ctx.Err() != nil {
		return true
	}
	c.say("store "+what, fmt.Sprintf("the shared store cannot be %s: %v", what, err))
	if c.failed.Add(1) == mostFailures {
		c.say("store given up", fmt.Sprintf("the shared store failed %d times in a row; this run goes on without it", mostFailures))
	}
	return true
}

func (c *Cache) file(kind string, k Key) string {
	name := k.String()
	return filepath.Join(c.folder, kind, name[:2], name[2:])
}

// keep writes an entry beside its place and renames it (K2).
func (c *Cache) keep(kind string, k Key, sealed []byte) {
	if c.folder == "" {
		return
	}
	if err := writeWhole(c.file(kind, k), sealed); err != nil {
		c.say("write", fmt.Sprintf("results are not kept: %v", err))
		return
	}
	c.added.Add(int64(len(sealed)))
}

// temporary is how the name of a file begins that is being written.
const temporary = ".new-"

func writeWhole(name string, data []byte) error {
	dir := filepath.Dir(name)
	temp, err := os.CreateTemp(dir, temporary+"*")
	if errors.Is(err, fs.ErrNotExist) {
		if err = os.MkdirAll(dir, 0o755); err != nil {
			return err
		}
		temp, err = os.CreateTemp(dir, temporary+"*")
	}
	if err != nil {
		return err
	}
	_, err = temp.Write(data)
	if closed := temp.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(temp.Name(), name)
	}
	if err != nil {
		os.Remove(temp.Name())
	}
	return err
}

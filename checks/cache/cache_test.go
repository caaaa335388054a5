package cache

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"pocketgauge/checks/batch"
	"pocketgauge/rules"
)

func open(t *testing.T, opt Options) *Cache {
	t.Helper()
	c, err := Open(context.Background(), opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	return c
}

// K1: whatever happens to an entry, what comes out is what was put in, or nothing.
func TestDamagedEntryIsAMiss(t *testing.T) {
	var told []string
	c := open(t, Options{Folder: t.TempDir(), Tell: func(s string) { told = append(told, s) }})
	ctx := context.Background()
	k := Key(sha256.Sum256([]byte("a")))
	if _, ok := c.Get(ctx, k); ok || len(told) > 0 {
		t.Errorf("an empty cache gives a result, or tells of %v", told)
	}
	body := []byte("what was measured\n")
	c.Put(ctx, k, body)
	if got, ok := c.Get(ctx, k); !ok || !bytes.Equal(got, body) {
		t.Fatalf("%q, %v", got, ok)
	}
	whole, err := os.ReadFile(c.file("results", k))
	if err != nil {
		t.Fatal(err)
	}
	damaged := 0
	try := func(data []byte) {
		if err := os.WriteFile(c.file("results", k), data, 0o644); err != nil {
			t.Fatal(err)
		}
		if got, ok := c.Get(ctx, k); ok {
			t.Errorf("a damaged entry gives %q", got)
		}
		damaged++
	}
	for i := range whole {
		bad := bytes.Clone(whole)
		bad[i] ^= 1
		try(bad)
		try(whole[:i])
	}
	try(append(bytes.Clone(whole), 'x'))
	// An entry under another's name does not hold either.
	other := Key(sha256.Sum256([]byte("b")))
	c.keep("results", other, whole)
	if _, ok := c.Get(ctx, other); ok {
		t.Error("an entry holds under another key")
	}
	if damaged < 100 || len(told) != 1 || !strings.Contains(told[0], "damaged") {
		t.Errorf("%d damaged entries were told as %v, want one word of it", damaged, told)
	}
	c.Put(ctx, k, body)
	if _, ok := c.Get(ctx, k); !ok {
		t.Error("a damaged entry stays")
	}
}

// K2: with many writers and readers of one key, a reader sees all or nothing.
func TestEntriesAppearWhole(t *testing.T) {
	c := open(t, Options{Folder: t.TempDir(), Tell: func(s string) { t.Error(s) }})
	k := Key{1}
	body := bytes.Repeat([]byte("0123456789"), 20000)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 20 {
				c.Put(context.Background(), k, body)
			}
		})
		wg.Go(func() {
			for range 60 {
				if got, ok := c.Get(context.Background(), k); ok && !bytes.Equal(got, body) {
					t.Error("half an entry")
				}
			}
		})
	}
	wg.Wait()
	entries, err := os.ReadDir(filepath.Dir(c.file("results", k)))
	if err != nil || len(entries) != 1 {
		t.Errorf("%d files are left behind, %v", len(entries), err)
	}
}

func TestSharedStoreServesAnotherMachine(t *testing.T) {
	shared := filepath.Join(t.TempDir(), "shared")
	ctx, k, body := context.Background(), Key{2}, []byte("measured elsewhere")
	one := open(t, Options{Folder: t.TempDir(), Store: shared})
	two := open(t, Options{Folder: t.TempDir(), Store: shared})
	one.Put(ctx, k, body)
	if got, ok := two.Get(ctx, k); !ok || !bytes.Equal(got, body) {
		t.Fatalf("%q, %v", got, ok)
	}
	// It is now kept on the second machine too.
	if err := os.RemoveAll(shared); err != nil {
		t.Fatal(err)
	}
	if _, ok := two.Get(ctx, k); !ok {
		t.Error("what came from the store was not kept")
	}
	if _, err := Open(ctx, Options{Store: "nothing://x"}); err == nil || !strings.Contains(err.Error(), "file, mem") {
		t.Errorf("an unknown store gives %v", err)
	}
	var none *Cache
	if none.Put(ctx, k, body); none.Close() != nil {
		t.Error("no cache cannot be closed")
	}
	if _, ok := none.Get(ctx, k); ok {
		t.Error("no cache gives a result")
	}
}

// old puts a file's time far enough back for its stamp to be trusted.
func old(t *testing.T, file string) {
	t.Helper()
	then := time.Now().Add(-time.Hour).Truncate(time.Second)
	if err := os.Chtimes(file, then, then); err != nil {
		t.Fatal(err)
	}
}

// K4, as far as it can be shown without waiting: a file that was changed just now is read each time;
// an index entry of another stamp is not used, and one of the same stamp is.
func TestIndexIsTrustedOnlyForTheSameStamp(t *testing.T) {
	dir := t.TempDir()
	c := open(t, Options{Folder: filepath.Join(dir, "cache")})
	file := filepath.Join(dir, "a.stl")
	if err := os.WriteFile(file, []byte("one"), 0o644); err != nil {
		t.Fatal(err)
	}
	want := func(content string) {
		t.Helper()
		sum := sha256.Sum256([]byte(content))
		got, err := c.Digest(file)
		if err != nil || got != hex.EncodeToString(sum[:]) {
			t.Errorf("digest %s, %v: not that of %q", got, err, content)
		}
	}
	want("one")
	if entries, _ := filepath.Glob(filepath.Join(dir, "cache", "index", "*", "*")); len(entries) != 0 {
		t.Error("a file changed a moment ago is in the index")
	}
	// Put into the index what a settled file would give, but a digest that shows its use.
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	k := Key(sha256.Sum256([]byte("index\x00" + file)))
	told := strings.Repeat("5a", 32)
	c.keep("index", k, seal(k, stampOf(info).bytes(told)))
	if got, err := c.Digest(file); err != nil || got != told {
		t.Errorf("the index is not used: %s, %v", got, err)
	}
	c.rehash = true
	want("one")
	c.rehash = false
	for what, change := range map[string]func(){
		"size": func() { os.WriteFile(file, []byte("longer"), 0o644) },
		"time": func() { os.WriteFile(file, []byte("longer"), 0o644); old(t, file) },
	} {
		change()
		if got, _ := c.Digest(file); got == told {
			t.Errorf("another %s goes unseen", what)
		}
	}
	if _, err := c.Digest(filepath.Join(dir, "gone")); err == nil {
		t.Error("a missing file has a digest")
	}
	if _, err := c.Digest(dir); err == nil {
		t.Error("a folder has a digest")
	}
}

// K3: whatever can be said of an insert changes its key, through every field there is.
func TestEveryFieldCounts(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		file := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	frame := func(name, depth string) *rules.Frame {
		f, err := rules.Load(write(name, "frame: Bench\npocket:\n  outline:\n    rectangle: {width: 100, length: 60}\n  depth: "+depth+"\n  clearance: {least: 0.01, most: 0.04}\n"))
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	c := open(t, Options{Folder: filepath.Join(dir, "cache")})
	model := write("a.stl", "model")
	bench, deeper := frame("f.yaml", "40"), frame("g.yaml", "41")
	base := func() *batch.Insert { return &batch.Insert{File: model, Name: "A", Frame: bench} }
	key := func(in *batch.Insert, program string) Key {
		t.Helper()
		k, _, err := c.KeyOf(program, in)
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	keys := map[Key]string{key(base(), "p"): "base"}
	add := func(what string, in *batch.Insert, program string) {
		k := key(in, program)
		if was, twice := keys[k]; twice {
			t.Errorf("%s has the key of %s", what, was)
		}
		keys[k] = what
	}
	add("another program", base(), "q")
	in := base()
	in.File = write("b.stl", "other bytes")
	add("other bytes", in, "p")
	in = base()
	in.File = write("c.stl", "model")
	add("another name", in, "p")
	in = base()
	in.Frame = deeper
	add("other rules", in, "p")
	// Every plain field, by reflection, so that a new one is not forgotten.
	var vary func(v reflect.Value, path string, use func())
	vary = func(v reflect.Value, path string, use func()) {
		before := reflect.New(v.Type()).Elem()
		before.Set(v)
		switch v.Kind() {
		case reflect.String:
			v.SetString("changed")
		case reflect.Bool:
			v.SetBool(!v.Bool())
		case reflect.Int, reflect.Int64:
			v.SetInt(v.Int() + 1)
		case reflect.Float64:
			v.SetFloat(v.Float() + 1)
		case reflect.Slice:
			v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		case reflect.Struct:
			for i := range v.NumField() {
				if v.Type().Field(i).Type != originType {
					vary(v.Field(i), path+"."+v.Type().Field(i).Name, use)
				}
			}
			return
		default:
			return // pointers: the frame above, another insert below
		}
		use()
		v.Set(before)
	}
	n := 0
	in = base()
	for i := range insertType.NumField() {
		if insertType.Field(i).Name != "File" {
			name := insertType.Field(i).Name
			vary(reflect.ValueOf(in).Elem().Field(i), name, func() { n++; add(fmt.Sprintf("%s, change %d", name, n), in, "p") })
		}
	}
	if n < 10 {
		t.Errorf("only %d fields were changed", n)
	}
	// Where the model lies and where something was written do not count.
	in = base()
	in.File = write("elsewhere/a.stl", "model")
	in.Placement.How.Origin.Line = 99
	if key(in, "p") != key(base(), "p") {
		t.Error("the folder or a line number counts")
	}
}

// What is not plain data cannot be said in a key, and is refused.
func TestKeyRefusesWhatItDoesNotUnderstand(t *testing.T) {
	for _, v := range []any{map[string]int{}, func() {}, make(chan int), new(int), struct{ X *int }{}} {
		if value(sha256.New(), reflect.ValueOf(v)) == nil {
			t.Errorf("a %T goes into a key", v)
		}
	}
	a, b := sha256.New(), sha256.New()
	value(a, reflect.ValueOf([]string{"ab", "c"}))
	value(b, reflect.ValueOf([]string{"a", "bc"}))
	if bytes.Equal(a.Sum(nil), b.Sum(nil)) {
		t.Error("two lists come out alike")
	}
}

// A store that is not there costs a few calls and not one or two for each insert.
func TestStoreThatFailsIsGivenUp(t *testing.T) {
	var told []string
	c := open(t, Options{Folder: t.TempDir(), Store: "mem://", Tell: func(s string) { told = append(told, s) }})
	if err := c.shared.bucket.Close(); err != nil { // from here on each call fails
		t.Fatal(err)
	}
	ctx := context.Background()
	for i := range 10 {
		k := Key{byte(i)}
		if _, ok := c.Get(ctx, k); ok {
			t.Error("a result out of nothing")
		}
		c.Put(ctx, k, []byte("body"))
		if _, ok := c.Get(ctx, k); !ok {
			t.Error("the machine's own folder is not used")
		}
	}
	all := strings.Join(told, "\n")
	if len(told) != 3 || !strings.Contains(all, "cannot be read") || !strings.Contains(all, "cannot be written") || !strings.Contains(all, "goes on without it") {
		t.Errorf("told: %q", told)
	}
	if n := c.failed.Load(); n != mostFailures {
		t.Errorf("%d calls failed, want %d", n, mostFailures)
	}
	// One that fails now and then is kept on.
	d := open(t, Options{Store: "mem://"})
	stopped, stop := context.WithCancel(ctx)
	stop()
	for range 2 * mostFailures {
		d.storeFails(ctx, "read", os.ErrDeadlineExceeded)
		d.Get(ctx, Key{})
		d.storeFails(stopped, "read", context.Canceled)
	}
	if !d.shares() {
		t.Error("a store that answers is given up")
	}
}

package batch

import (
	"os"
	"reflect"
	"strings"
	"sync"
)

// Budget bounds what the models under way may take together. Who asks first gets first, so a big
// model waits for room and is not passed by for ever; one that is bigger than the whole budget is
// worked on alone.
type Budget struct {
	mu    sync.Mutex
	bytes int64 // the whole
	used  int64
	queue []*waiting
}

type waiting struct {
	bytes int64
	ready chan struct{}
}

// NewBudget is a budget of so many bytes.
func NewBudget(bytes int64) *Budget { return &Budget{bytes: max(1, bytes)} }

// Acquire waits until there is room for so many bytes, and takes it.
func (b *Budget) Acquire(bytes int64) {
	bytes = b.share(bytes)
	b.mu.Lock()
	if len(b.queue) == 0 && b.used+bytes <= b.bytes {
		b.used += bytes
		b.mu.Unlock()
		return
	}
	w := &waiting{bytes, make(chan struct{})}
	b.queue = append(b.queue, w)
	b.mu.Unlock()
	<-w.ready
}

// Release gives back what Acquire took.
func (b *Budget) Release(bytes int64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.used -= b.share(bytes)
	for len(b.queue) > 0 && b.used+b.queue[0].bytes <= b.bytes {
		b.used += b.queue[0].bytes
		close(b.queue[0].ready)
		b.queue = b.queue[1:]
	}
}

// share is what is booked: never more than the whole, or the one who asks would wait for ever.
func (b *Budget) share(bytes int64) int64 { return max(0, min(bytes, b.bytes)) }

// What judging takes for each byte of a model's file, and for any model. A binary STL of 50 MB peaks at
// 369 MB with all checks and a STEP file of 44 MB at 149 MB while it is read; text STL takes five bytes
// of file for one of mesh, so this is generous to it. Packed STEP shrinks to an eighth or so.
const (
	bytesPerByte   = 9
	bytesPerPacked = 8 * bytesPerByte
	bytesPerModel  = 24 << 20
)

// Estimate is about how many bytes judging an insert takes, from the size of the files that it reads.
func Estimate(in *Insert) int64 {
	n := int64(bytesPerModel)
	for _, f := range in.Files() {
		info, err := os.Stat(f)
		if err != nil {
			continue
		}
		lower := strings.ToLower(f)
		if strings.HasSuffix(lower, ".gz") || strings.HasSuffix(lower, ".stpz") || strings.HasSuffix(lower, ".zip") {
			n += bytesPerPacked * info.Size()
		} else {
			n += bytesPerByte * info.Size()
		}
	}
	return n
}

// Files are the models that judging an insert reads.
func (in *Insert) Files() []string {
	list := []string{in.File}
	if in.Frame != nil && in.Frame.Blank.Model.Set {
		list = append(list, in.Frame.Blank.ModelPath)
	}
	// Every other insert that this one names is read with it, whatever it is to it: the key under which
	// a result is kept goes by the same rule.
	v := reflect.ValueOf(in).Elem()
	for i := range v.NumField() {
		if other, ok := v.Field(i).Interface().(*Insert); ok && other != nil {
			list = append(list, other.Files()...)
		}
	}
	return list
}

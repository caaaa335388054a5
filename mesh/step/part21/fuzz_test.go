package part21

import (
	"errors"
	"math/rand/v2"
	"testing"

	"pocketgauge/mesh/meshtest"
)

// What a text may take of the processor: ten seconds a megabyte, and a second besides for the
// collector and the counters of coverage. The target reads each text twice and touches each
// value in a dozen ways, all within that.
const (
	secondsFloor   = 1.0
	secondsPerByte = 10.0 / (1 << 20)
)

// FuzzParse holds that no text makes the reader panic; that every error has a place within the
// text; and that what is read can be written down and read again as the same.
func FuzzParse(f *testing.F) {
	const odd = "#=();,.'\"/*\\$@!-E0A \x80"
	for k := range uint64(40) {
		w := &writer{Rand: rand.New(rand.NewPCG(7, k))}
		text, _ := w.file()
		f.Add([]byte(text))
		mutated := []byte(text)
		for range 1 + w.IntN(4) {
			switch at := w.IntN(len(mutated)); w.IntN(3) {
			case 0:
				mutated[at] = odd[w.IntN(len(odd))]
			case 1:
				mutated = append(mutated[:at:at], mutated[min(at+w.IntN(20), len(mutated)):]...)
			default:
				mutated = append(mutated[:at:at], append([]byte(text[:w.IntN(len(text))]), mutated[at:]...)...)
			}
			if len(mutated) == 0 {
				break
			}
		}
		f.Add(mutated)
	}
	f.Add([]byte("ISO-10303-21;HEADER;ENDSEC;ANCHOR;<a>=#1;ENDSEC;REFERENCE;#9=<b.stp>;ENDSEC;DATA;#1=(A()B(@9,#9));ENDSEC;SIGNATURE x ENDSEC;END-ISO-10303-21;"))
	f.Fuzz(func(t *testing.T, text []byte) {
		began := meshtest.CPUSeconds()
		defer func() {
			if took := meshtest.CPUSeconds() - began; took > secondsFloor+secondsPerByte*float64(len(text)) {
				t.Errorf("%d bytes took %.2f s of the processor", len(text), took)
			}
		}()
		file, err := Parse(text, Limits{Keywords: []string{"A", "B"}})
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.Offset < 0 || e.Offset > len(text) || e.Line < 1 || e.Column < 1 {
				t.Fatalf("error without a place: %#v", err)
			}
			return
		}
		file.Header()
		_ = file.Check()
		for k := range file.Len() {
			i := file.At(k)
			if found, ok := file.Lookup(i.Name()); !ok || found != i {
				t.Fatalf("#%d is not found", i.Name())
			}
			i.Describe()
			for r := range i.Records() {
				c := r.Params()
				touch(&c)
				if n := r.Count(); n > 0 {
					_, _ = r.Param(n)
				}
			}
		}
		first := render(file)
		second, err := Parse([]byte(around(rewrite(file))), Limits{Keywords: []string{"A", "B"}, Depth: 1 << 20, NameLength: 1 << 30})
		if err != nil {
			t.Fatalf("%v in what was written from %q", err, text)
		}
		if got := render(second); got != first {
			t.Fatalf("%q reads as\n%s and again as\n%s", text, first, got)
		}
	})
}

// touch reads every value in every way.
func touch(c *Cursor) {
	for v := range c.Values() {
		_, _ = v.Real()
		_, _ = v.Int()
		_, _ = v.Bool()
		_, _ = v.Enum()
		_, _ = v.String()
		_, _, _ = v.Binary()
		_, _ = v.Instance()
		_, _ = v.Len()
		if t, inner, err := v.Typed(); err == nil {
			_ = t
			_, _ = inner.Real()
		}
		inner := v.Members()
		touch(&inner)
	}
}

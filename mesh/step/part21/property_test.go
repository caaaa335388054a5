package part21

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// writer makes random valid files together with what reading them must give.
type writer struct {
	*rand.Rand
	names []uint64
}

func (w *writer) blank() string {
	return []string{"", "", "", "", " ", "\n", "\r\n", "\t", "/* 'x' ; ) */", `\N\`}[w.IntN(10)]
}

func (w *writer) word() string {
	const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ_"
	n := 1 + w.IntN(12)
	b := []byte{letters[w.IntN(len(letters))]}
	for range n {
		b = append(b, (letters + "0123456789")[w.IntN(len(letters)+10)])
	}
	return string(b)
}

// value writes a value twice: as a file may have it, and as render shows it.
func (w *writer) value(depth int) (written, want string) {
	kind := w.IntN(11)
	if depth == 0 {
		kind = w.IntN(8)
	}
	switch kind {
	case 0:
		written = []string{"$", "*"}[w.IntN(2)]
	case 1:
		written = strconv.FormatInt(int64(w.Uint64()>>w.IntN(64)), 10)
	case 2, 3:
		x := math.Float64frombits(w.Uint64())
		if math.IsNaN(x) || math.IsInf(x, 0) || w.IntN(2) == 0 {
			x = w.NormFloat64() * math.Pow10(w.IntN(12)-6)
		}
		written = strings.ToUpper(strconv.FormatFloat(x, "eEf"[w.IntN(2)], w.IntN(18), 64))
		if m, e, ok := strings.Cut(written, "E"); ok && !strings.Contains(m, ".") {
			written = m + ".E" + e
		}
	case 4:
		var b strings.Builder
		for range w.IntN(20) {
			b.WriteString([]string{"a", "''", `\\`, `\X\C4`, `\X2\00E4\X0\`, "(", ",", "ü", "\n", "/*", "#", ";"}[w.IntN(12)])
		}
		written = "'" + b.String() + "'"
	case 5:
		written = "." + w.word() + "."
	case 6:
		written = fmt.Sprintf("#%d", w.names[w.IntN(len(w.names))])
	case 7:
		written = []string{`"0"`, `"23B"`, `"092A"`, `"1F"`}[w.IntN(4)]
	case 8:
		inner, innerWant := w.value(depth - 1)
		k := w.word()
		return k + w.blank() + "(" + w.blank() + inner + w.blank() + ")", k + "(" + innerWant + ")"
	default:
		return w.list(depth - 1)
	}
	return written, written
}

func (w *writer) list(depth int) (written, want string) {
	written, want = "("+w.blank(), "("
	for k := range w.IntN(6) {
		if k > 0 {
			written += w.blank() + "," + w.blank()
			want += ","
		}
		a, b := w.value(depth)
		written += a
		want += b
	}
	return written + w.blank() + ")", want + ")"
}

func (w *writer) file() (written, want string) {
	w.names = nil
	for range 1 + w.IntN(12) {
		n := uint64(w.IntN(30))
		if w.IntN(4) == 0 {
			n = w.Uint64() >> w.IntN(64)
		}
		if !slices.Contains(w.names, n) {
			w.names = append(w.names, n)
		}
	}
	var data strings.Builder
	for _, n := range w.names {
		fmt.Fprintf(&data, "%s#%d%s=%s", w.blank(), n, w.blank(), w.blank())
		if w.IntN(4) == 0 {
			data.WriteString("(" + w.blank())
			want += "["
			for k := range 1 + w.IntN(4) {
				a, b := w.list(2)
				name := w.word()
				data.WriteString(name + w.blank() + a + w.blank())
				if k > 0 {
					want += " "
				}
				want += name + b
			}
			data.WriteString(")")
			want += "]"
		} else {
			a, b := w.list(4)
			name := w.word()
			data.WriteString(name + w.blank() + a)
			want += name + b
		}
		data.WriteString(w.blank() + ";")
		want += "\n"
	}
	return around(data.String() + w.blank()), want
}

// A random valid file reads as what it was made from; replay with POCKETGAUGE_SEED.
func TestRandomFiles(t *testing.T) {
	seed := uint64(20260101)
	if s, err := strconv.ParseUint(os.Getenv("POCKETGAUGE_SEED"), 10, 64); err == nil {
		seed = s
	}
	for k := range uint64(3000) {
		w := &writer{Rand: rand.New(rand.NewPCG(seed, k))}
		written, want := w.file()
		f, err := Parse([]byte(written), Limits{})
		if err != nil {
			t.Fatalf("seed %d, file %d: %v in\n%s", seed, k, err, written)
		}
		if got := render(f); got != want {
			t.Fatalf("seed %d, file %d reads as\n%s\nwant\n%s\nof\n%s", seed, k, got, want, written)
		}
		if err := f.Check(); err != nil {
			t.Fatalf("seed %d, file %d: %v", seed, k, err)
		}
		for i, n := range w.names {
			if found, ok := f.Lookup(n); !ok || found.Index() != i || found.Name() != n {
				t.Fatalf("seed %d, file %d: #%d is not found", seed, k, n)
			}
		}
	}
}

// Real numbers are rounded as the library rounds them, by either way of reading.
func TestRandomReals(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200000 {
		x := math.Float64frombits(r.Uint64())
		switch r.IntN(3) {
		case 0:
			x = math.Round(r.NormFloat64()*1e6) / 1e6
		case 1:
			x = r.NormFloat64() * 100
		}
		if math.IsNaN(x) || math.IsInf(x, 0) {
			continue
		}
		s := strconv.FormatFloat(x, "ef"[r.IntN(2)], r.IntN(21)-1, 64)
		want, err := strconv.ParseFloat(s, 64)
		if err != nil {
			continue // rounded up past the greatest
		}
		if got, end, ok := readReal([]byte(s), 0); got != want || end != len(s) || !ok {
			t.Fatalf("%s reads as %v, want %v", s, got, want)
		}
	}
}

// The index takes a fixed multiple of the text whatever the text says.
func TestIndexIsBounded(t *testing.T) {
	text := around("#1=A('" + strings.Repeat("=", 1<<20) + "');")
	f := parse(t, text)
	if c := cap(f.entries); c > len(text)/shortestInstance {
		t.Errorf("%d entries made for %d bytes", c, len(text))
	}
	// Names far apart must not make a table by name.
	far := parse(t, around("#1=A();#18446744073709551615=A();#99999999999=A();"))
	if far.dense != nil || len(far.sorted) != 3 {
		t.Error("a table by name for names far apart")
	}
	near := parse(t, around("#1=A();#2=A();#17=A();"))
	if len(near.dense) != 18 {
		t.Errorf("no table by name for names close together: %d", len(near.dense))
	}
}

// A list read whole and a list read member by member leave the cursor at the same place.
func TestListsWhole(t *testing.T) {
	f := parse(t, around("#1=P( ( 1.5 ,2, /* ( */ 3.) ,4.,(),T((5.,6.)),(7),(#1,#1),8.);"), "P")
	p := f.At(0).Only().Params()
	got := p.Reals(nil)
	got = append(got, p.Real())
	got = p.Reals(got)
	got = p.Reals(got)
	for _, n := range p.Ints(nil) {
		got = append(got, float64(n))
	}
	if n := len(p.Instances(nil)); n != 2 {
		t.Errorf("%d instances", n)
	}
	got = append(got, p.Real())
	if err := p.Done(); err != nil || !slices.Equal(got, []float64{1.5, 2, 3, 4, 5, 6, 7, 8}) {
		t.Error(got, err)
	}
	spoiled := parse(t, around("#1=P((1.,'x'),2.);"), "P").At(0).Only().Params()
	spoiled.Reals(nil)
	if spoiled.Done() == nil || spoiled.Real() != 0 {
		t.Error("an error in a list is lost")
	}
}

// Reading numbers and references allocates nothing.
func TestNoAllocation(t *testing.T) {
	f := parse(t, around("#1=P('name',(1.5,-2.25,3.E-2),#1,.T.,$);"), "P")
	var sum float64
	n := testing.AllocsPerRun(100, func() {
		for i := range f.Of(1) {
			p := i.Record(1).Params()
			sum += float64(len(p.String()))
			l := p.List()
			for l.More() {
				sum += l.Real()
			}
			p.Take(&l)
			sum += float64(p.Instance().Index())
			p.Bool()
			sum += p.RealOr(1)
			if p.Done() != nil {
				t.Fatal(p.Err())
			}
		}
	})
	if n != 0 {
		t.Errorf("%v allocations to read a point", n)
	}
}

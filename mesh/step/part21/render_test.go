package part21

import (
	"fmt"
	"strings"
)

// render writes a file's instances without names, from what its methods say; tokens as written.
func render(f *File) string { return write(f, "[", "]", "\n", false) }

// rewrite writes them as a data section has them.
func rewrite(f *File) string { return write(f, "(", ")", ";", true) }

func write(f *File, open, closing, end string, named bool) string {
	var b strings.Builder
	for k := range f.Len() {
		i := f.At(k)
		if named {
			fmt.Fprintf(&b, "#%d=", i.Name())
		}
		if i.Complex() {
			b.WriteString(open)
		}
		n := 0
		for r := range i.Records() {
			if n++; n > 1 {
				b.WriteByte(' ')
			}
			b.WriteString(f.Keyword(r.Type()))
			c := r.Params()
			renderList(&b, f, &c)
		}
		if i.Complex() {
			b.WriteString(closing)
		}
		b.WriteString(end)
	}
	return b.String()
}

func renderList(b *strings.Builder, f *File, c *Cursor) {
	b.WriteByte('(')
	n := 0
	for v := range c.Values() {
		if n++; n > 1 {
			b.WriteByte(',')
		}
		renderValue(b, f, v)
	}
	b.WriteByte(')')
	if err := c.Done(); err != nil {
		fmt.Fprintf(b, "!%v!", err)
	}
}

func renderValue(b *strings.Builder, f *File, v Value) {
	switch v.Kind() {
	case KindList:
		c := v.Members()
		renderList(b, f, &c)
	case KindTyped:
		t, inner, err := v.Typed()
		if err != nil {
			b.WriteString("BAD()")
			return
		}
		b.WriteString(f.Keyword(t) + "(")
		renderValue(b, f, inner)
		b.WriteByte(')')
	default:
		b.WriteString(v.Text())
	}
}

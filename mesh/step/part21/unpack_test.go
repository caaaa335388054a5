package part21

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"strings"
	"testing"
)

func gzipped(text string) []byte {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	w.Write([]byte(text))
	w.Close()
	return b.Bytes()
}

func zipped(files ...string) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for k := 0; k < len(files); k += 2 {
		f, _ := w.Create(files[k])
		f.Write([]byte(files[k+1]))
	}
	w.Close()
	return b.Bytes()
}

func TestUnpack(t *testing.T) {
	text := around("#1=A();")
	for name, data := range map[string][]byte{
		"plain": []byte(text), "gzip": gzipped(text), "zip": zipped("read me.txt", "x", "a/Part.STP", text),
		"step": zipped("a.step", text), "p21": zipped("a.p21", text),
		"macOS": zipped("a.step", text, "__MACOSX/._a.step", "x"),
	} {
		got, err := Unpack(data)
		if err != nil || string(got) != text {
			t.Errorf("%s: %v, %q", name, err, got)
		}
	}
	long := strings.Repeat(" ", 1<<20+1)
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"two":         {zipped("a.stp", text, "b.stp", text), `zip archive: both "a.stp" and "b.stp" in it; pack one STEP file`},
		"none":        {zipped("a.txt", text), "zip archive: no file in it ends in .stp, .step or .p21"},
		"ratio":       {gzipped(long), "gzip-packed file: it unpacks to more than 10 times its size"},
		"ratio zip":   {zipped("a.stp", long), `zip archive: "a.stp": it unpacks to more than 10 times its size`},
		"cut":         {gzipped(text)[:40], "gzip-packed file: unexpected EOF"},
		"cut header":  {gzipped(text)[:5], "gzip-packed file: unexpected EOF"},
		"cut archive": {zipped("a.stp", text)[:60], "zip archive: zip: not a valid zip file"},
	} {
		if _, err := unpack(c.data, UnpackedBytes, 10); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", name, err, c.want)
		}
	}
	if _, err := unpack(gzipped(strings.Repeat("x", 5000)), 4999, UnpackedRatio); err == nil || !strings.Contains(err.Error(), "more than 4999 bytes") {
		t.Error(err)
	}
	if _, err := unpack(gzipped(strings.Repeat("x", 5000)), 5000, UnpackedRatio); err != nil {
		t.Error(err)
	}
}

package triangulate

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"

	"github.com/golang/geo/r2"
)

// FuzzRegion reads points and segments from bytes: a coordinate is a small integer, so that
// points meet, line up and lie on circles, moved by a few units in the last place or scaled out of
// the ordinary where the byte says so.
func FuzzRegion(f *testing.F) {
	f.Add([]byte{4, 0, 0, 9, 0, 9, 9, 0, 9})
	f.Add([]byte{5, 0, 0, 9, 0, 9, 9, 0, 9, 4, 0x84, 1, 2, 2, 3, 3, 1})
	f.Add([]byte{8, 0, 0, 2, 0, 4, 0, 4, 2, 4, 4, 2, 4, 0, 4, 0, 2, 200, 7, 9, 4, 1, 3, 3, 5})
	f.Fuzz(regionOf)
}

func regionOf(t *testing.T, data []byte) {
	if len(data) < 7 || len(data) > 200 {
		return
	}
	n := 3 + int(data[0])%30
	data = data[1:]
	if len(data) < 2*n {
		return
	}
	coordinate := func(b byte) float64 {
		x := float64(b & 31)
		switch b >> 5 {
		case 4:
			x = math.Nextafter(x, 100)
		case 5:
			x = math.Nextafter(x, -100)
		case 6:
			x /= 3
		case 7:
			x = math.Ldexp(x, -int(b&31)*20)
		}
		return x
	}
	var p []r2.Point
	for i := range n {
		q, _ := usable(r2.Point{X: coordinate(data[2*i]), Y: coordinate(data[2*i+1])})
		p = append(p, q)
	}
	data = data[2*n:]
	var s [][2]int32
	for i := range n {
		s = append(s, [2]int32{int32(i), int32((i + 1) % n)})
	}
	for len(data) >= 3 {
		a, b, c := int32(data[0])%int32(n), int32(data[1])%int32(n), int32(data[2])%int32(n)
		s = append(s, [2]int32{a, b}, [2]int32{b, c}, [2]int32{c, a})
		data = data[3:]
	}
	var w Workspace
	err := w.Region(p, s)
	var crossing *Crossing
	var repeated *Repeated
	switch {
	case errors.As(err, &crossing):
		if !cross(p, s[crossing.A], s[crossing.B]) {
			t.Fatalf("%v: they do not", err)
		}
		return
	case errors.As(err, &repeated):
		if p[repeated.A] != p[repeated.B] {
			t.Fatalf("%v: they do not", err)
		}
		return
	case err != nil:
		t.Fatal(err)
	}
	for i := range s {
		for j := range i {
			if cross(p, s[i], s[j]) {
				t.Fatalf("segments %d and %d cross and no error", j, i)
			}
		}
	}
	hold := func() {
		if err := w.links(); err != nil {
			t.Fatal(err)
		}
		if err := audit(w.Points(), s, w.Triangles(), nil); err != nil {
			t.Fatal(err)
		}
	}
	hold()
	w.Refine(20, func(c [3]int32) (r2.Point, bool) {
		q := w.Points()
		return q[c[0]].Add(q[c[1]]).Add(q[c[2]]).Mul(1.0 / 3), true
	})
	w.Refine(20, func(c [3]int32) (r2.Point, bool) {
		q := w.Points()
		return q[c[0]].Add(q[c[1]]).Mul(0.5), true
	})
	hold()
	seed := uint64(n)
	for range 20 {
		seed = seed*6364136223846793005 + 1442695040888963407
		var b [8]byte
		binary.LittleEndian.PutUint64(b[:], seed)
		w.Insert(r2.Point{X: coordinate(b[5]), Y: coordinate(b[6])})
	}
	hold()
}

// cross tells, in exact arithmetic, whether two segments meet between the ends of both.
func cross(p []r2.Point, s, t [2]int32) bool {
	a, b, c, d := p[s[0]], p[s[1]], p[t[0]], p[t[1]]
	return cross2(a, b, c).Sign()*cross2(a, b, d).Sign() < 0 && cross2(c, d, a).Sign()*cross2(c, d, b).Sign() < 0
}

package reach

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

var (
	fromTop   = SetUp{Direction: vec(0, 0, 1)}
	fromBack  = SetUp{Direction: vec(0, 0, -1)}
	fromLeft  = SetUp{Direction: vec(-1, 0, 0)}
	fromRight = SetUp{Direction: vec(1, 0, 0)}
)

func with(cutters []Cutter, list ...SetUp) []SetUp {
	var out []SetUp
	for _, u := range list {
		u.Cutters = cutters
		out = append(out, u)
	}
	return out
}

func wantWithin(t *testing.T, what string, q Quantity, want, most float64) {
	t.Helper()
	if math.Abs(q.MM3-want) > q.ErrorMM3 {
		t.Errorf("%s: %.3f ±%.3f mm3, want %.3f", what, q.MM3, q.ErrorMM3, want)
	}
	if q.ErrorMM3 > most {
		t.Errorf("%s: the stated error %.3f mm3 says nothing; at most %.3f", what, q.ErrorMM3, most)
	}
}

// A block with a pocket above, one below and a slot in each of two sides: every set-up finds its own,
// less what a round cutter leaves in four corners, r^2 (1 - pi/4) times the depth each, and all that is
// left is those corners.
func TestEachSetUpFindsItsOwn(t *testing.T) {
	block := geom.Box{Max: vec(80, 60, 40)}
	top := geom.Box{Min: vec(10, 10, 30), Max: vec(50, 40, 40)}
	back := geom.Box{Min: vec(20, 20, 0), Max: vec(40, 45, 8)}
	left := geom.Box{Min: vec(0, 20, 14), Max: vec(9, 44, 26)}
	right := geom.Box{Min: vec(70, 20, 14), Max: vec(80, 44, 26)}
	insert := meshtest.BlockWithPockets(block, top, back, left, right)
	cutters := []Cutter{{Name: "8", DiameterMM: 8}, {Name: "4", DiameterMM: 4}}
	q, err := InSequence(insert.Mesh, meshtest.Box(block.Min, block.Max).Mesh, nil, with(cutters, fromTop, fromBack, fromLeft, fromRight), Options{PitchMM: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	corner := func(r, depth float64) float64 { return 4 * r * r * (1 - math.Pi/4) * depth }
	left4 := 0.0
	for i, c := range []struct {
		name  string
		box   geom.Box
		depth float64
	}{{"top", top, 10}, {"back", back, 8}, {"left", left, 9}, {"right", right, 10}} {
		v := c.box.VolumeMM3()
		wantWithin(t, c.name+", 8 mm", q.Cut[i][0], v-corner(4, c.depth), 0.15*v)
		rest := corner(4, c.depth) - corner(2, c.depth)
		if got := q.Cut[i][1]; math.Abs(got.MM3-rest) > 0.35*rest {
			t.Errorf("%s, 4 mm: %v, want %.2f within a third", c.name, got, rest)
		}
		left4 += corner(2, c.depth)
	}
	wantWithin(t, "left", q.Left, left4, 1200)
	// The counts are whole, and add up without rounding.
	var sum, all int64
	for _, v := range q.quanta {
		sum += v
	}
	for _, x := range q.stretch {
		all += int64(x.high) - int64(x.low)
	}
	if sum != all || sum == 0 {
		t.Errorf("the fates come to %d quanta, the stock to %d", sum, all)
	}
	if f := q.At(vec(5, 30, 20)); !f.Stock || f.SetUp != 2 || f.Cutter != 0 {
		t.Errorf("in the left slot: %+v", f)
	}
	if f := q.At(vec(60, 50, 20)); f.Stock {
		t.Errorf("in the metal: %+v", f)
	}
	// Control: without the set-up from the left its slot is left, as undercut.
	q, err = InSequence(insert.Mesh, meshtest.Box(block.Min, block.Max).Mesh, nil, with(cutters, fromTop, fromBack, fromRight), Options{PitchMM: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	wantWithin(t, "left without the left set-up", q.Left, left4-corner(2, 9)+left.VolumeMM3(), 1200)
	if len(q.Regions) == 0 || q.Regions[0].Kind != Undercut || math.Abs(q.Regions[0].Volume.MM3-left.VolumeMM3()) > q.Regions[0].Volume.ErrorMM3 {
		t.Errorf("the slot that nobody mills: %v", q.Regions)
	}
}

// A window that goes through is cut from the top, and nothing of it again from below.
func TestWhatIsGoneIsNotCutAgain(t *testing.T) {
	block := geom.Box{Max: vec(60, 60, 20)}
	insert := meshtest.BlockWithPockets(block, geom.Box{Min: vec(20, 20, -1), Max: vec(40, 40, 21)})
	cutters := []Cutter{{Name: "6", DiameterMM: 6}}
	q, err := InSequence(insert.Mesh, meshtest.Box(block.Min, block.Max).Mesh, nil, with(cutters, fromTop, fromBack, fromLeft), Options{PitchMM: 0.3})
	if err != nil {
		t.Fatal(err)
	}
	wantWithin(t, "top", q.Cut[0][0], 20*(400-4*9*(1-math.Pi/4)), 800)
	if q.Cut[1][0].MM3 > 1 || q.Cut[2][0].MM3 > 1 {
		t.Errorf("cut again: %v", q.Cut)
	}
	// Control: with the back first it is the back's.
	q, err = InSequence(insert.Mesh, meshtest.Box(block.Min, block.Max).Mesh, nil, with(cutters, fromBack, fromTop), Options{PitchMM: 0.3})
	if err != nil {
		t.Fatal(err)
	}
	if q.Cut[0][0].MM3 < 7000 || q.Cut[1][0].MM3 > 1 {
		t.Errorf("the other way round: %v", q.Cut)
	}
}

// A plate with round holes along, across and askew to the rays: drilled, none of it is left for a
// cutter; the counted cylinders are those of the formula.
func TestDrillsComeFirst(t *testing.T) {
	const n = 48
	hole := meshtest.Regular(r2.Point{X: 20, Y: 20}, 4, n)
	plate := meshtest.Prism(meshtest.Rectangle(r2.Point{}, r2.Point{X: 40, Y: 40}), [][]r2.Point{hole}, 0, 30)
	polygon := float64(n) / 2 * 16 * math.Sin(2*math.Pi/n)
	for _, turn := range []geom.Motion{geom.Identity(), geom.Rotate(vec(1, 0, 0), math.Pi/2), geom.Rotate(vec(0, 1, 0), 0.4)} {
		m := plate.Mesh.Moved(turn)
		blank := meshtest.Prism(meshtest.Rectangle(r2.Point{}, r2.Point{X: 40, Y: 40}), nil, 0, 30).Mesh.Moved(turn)
		drill := Drill{From: turn.Point(vec(20, 20, 0)), To: turn.Point(vec(20, 20, 30)), DiameterMM: 8}
		cutters := []Cutter{{Name: "3", DiameterMM: 3}}
		q, err := InSequence(m, blank, []Drill{drill}, with(cutters, fromTop), Options{PitchMM: 0.25})
		if err != nil {
			t.Fatal(err)
		}
		// 800 rays stand in the circle, known to about 1 in 100; the share of the cylinder that is
		// stock is known better.
		wantWithin(t, "cylinder", Quantity{MM3: q.Cylinders[0].MM3, ErrorMM3: 24}, math.Pi*16*30, 24)
		if share, want := q.Drilled[0].MM3/q.Cylinders[0].MM3, polygon/(math.Pi*16); math.Abs(share-want) > 0.005 {
			t.Errorf("%.4f of the cylinder is drilled, want %.4f", share, want)
		}
		if q.Cut[0][0].MM3 > 8 || q.Left.MM3 > 8 {
			t.Errorf("for the cutter %v, left %v", q.Cut[0][0], q.Left)
		}
		// Control: not drilled, the hole is a cutter's or left.
		q, err = InSequence(m, blank, nil, with(cutters, fromTop), Options{PitchMM: 0.25})
		if err != nil {
			t.Fatal(err)
		}
		if q.Cut[0][0].MM3+q.Left.MM3 < polygon*30-10 {
			t.Errorf("not drilled: cut %v, left %v", q.Cut[0][0], q.Left)
		}
	}
}

// R1 for sequences: whatever the solids, stock is drilled, cut or left, to the last quantum; and the
// first set-up removes what From says it does.
func TestSequencesAddUp(t *testing.T) {
	rng := meshtest.Random(t)
	for range 6 {
		s := meshtest.RandomSolid(rng)
		b := s.Mesh.Bounds()
		blank := meshtest.Box(b.Min, b.Max.Add(vec(0, 0, 2))).Mesh
		size := b.Size()
		d := max(min(size.X, size.Y)/8, 0.5)
		cutters := []Cutter{{DiameterMM: 2 * d, CornerRadiusMM: d / 4}, {DiameterMM: d}}
		opt := Options{PitchMM: max(d/6, math.Sqrt((size.X+4*d)*(size.Y+4*d)/60000))}
		drill := Drill{From: b.Center(), To: b.Max, DiameterMM: d, Point: true}
		q, err := InSequence(s.Mesh, blank, []Drill{drill}, with(cutters, fromTop, fromBack, fromLeft), opt)
		if err != nil {
			t.Fatalf("%s: %v", s.Name, err)
		}
		var sum int64
		for n, v := range q.quanta {
			if v < 0 {
				t.Errorf("%s: fate %d has %d quanta", s.Name, n, v)
			}
			sum += v
		}
		var stock int64
		r, err := From(s.Mesh, blank, fromTop.Direction, cutters, opt)
		if err != nil {
			t.Fatal(err)
		}
		stock = r.stock
		if sum != stock {
			t.Errorf("%s: the fates come to %d quanta, the stock of one view to %d", s.Name, sum, stock)
		}
		// Without drills the first set-up is that of From.
		q, err = InSequence(s.Mesh, blank, nil, with(cutters, fromTop), opt)
		if err != nil {
			t.Fatal(err)
		}
		for k := range cutters {
			if got := q.quanta[1+k]; got != r.removed[k] {
				t.Errorf("%s: cutter %d removes %d quanta, %d in a single view", s.Name, k, got, r.removed[k])
			}
		}
	}
}

func TestSequencesThatCannotBeAreErrors(t *testing.T) {
	b := meshtest.Box(r3.Vector{}, vec(10, 10, 10))
	cutters := []Cutter{{DiameterMM: 2}}
	for name, c := range map[string]struct {
		insert *mesh.Mesh
		setUps []SetUp
	}{
		"no set-up":    {b.Mesh, nil},
		"no cutter":    {b.Mesh, []SetUp{fromTop}},
		"no direction": {b.Mesh, []SetUp{{Cutters: cutters}}},
		"bad cutter":   {b.Mesh, with([]Cutter{{DiameterMM: -1}}, fromTop)},
		"open insert":  {b.Without(3), with(cutters, fromTop)},
	} {
		if _, err := InSequence(c.insert, b.Mesh, nil, c.setUps, Options{}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

package roles

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

const sides = 32

type loop []r3.Vector

// round is a loop of radius r at height z; with sides of 4 it is a square hole.
func round(r, z float64) loop {
	out := make(loop, sides)
	for i := range out {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / sides)
		out[i] = r3.Vector{X: r * c, Y: r * s, Z: z}
	}
	return out
}

// square is a loop around a square of half side h.
func square(h, z float64) loop {
	out := round(1, z)
	for i, p := range out {
		out[i] = r3.Vector{X: p.X, Y: p.Y}.Mul(h / math.Max(math.Abs(p.X), math.Abs(p.Y)))
		out[i].Z = z
	}
	return out
}

func oval(r, z float64) loop {
	out := round(r, z)
	for i := range out {
		out[i].X *= 1.3
	}
	return out
}

// solid joins loops that run from one another as quads; tip closes the last to a point, and
// the first and last are joined when tip is nil. Outside is to the left of the way of loops
// seen with the axis up, as for [outer bottom, outer top, mouth, ..., end].
func solid(loops []loop, tip *r3.Vector) *mesh.Part {
	m := &mesh.Mesh{}
	for _, l := range loops {
		m.Vertices = append(m.Vertices, l...)
	}
	strip := func(a, b int32) {
		for i := range int32(sides) {
			j := (i + 1) % sides
			m.Triangles = append(m.Triangles, [3]int32{a + i, a + j, b + j}, [3]int32{a + i, b + j, b + i})
		}
	}
	last := int32(len(loops)-1) * sides
	for k := range int32(len(loops) - 1) {
		strip(k*sides, (k+1)*sides)
	}
	if tip == nil {
		strip(last, 0)
		return &mesh.Part{Mesh: m}
	}
	end := int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, *tip, r3.Vector{Z: loops[0][0].Z})
	for i := range int32(sides) {
		j := (i + 1) % sides
		m.Triangles = append(m.Triangles, [3]int32{last + i, last + j, end}, [3]int32{j, i, end + 1})
	}
	return &mesh.Part{Mesh: m}
}

func checked(t *testing.T, p *mesh.Part) *mesh.Part {
	t.Helper()
	if a := mesh.NewAudit(p.Mesh); !a.Closed() || a.Solids() != 1 {
		t.Fatalf("the test's own solid is not sound: %+v", a)
	}
	return p
}

func stepped() *mesh.Part {
	tip := r3.Vector{Z: 3}
	return solid([]loop{square(15, 0), square(15, 30), round(6, 30), round(6, 24), round(4, 24), round(4, 5.4)}, &tip)
}

func through() *mesh.Part {
	return solid([]loop{square(15, 0), square(15, 30), round(4, 30), round(4, 0)}, nil)
}

func TestBlindBoreWithCounterboreAndTip(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	for k := range 100 {
		axis := r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		motion := geom.Translate(r3.Vector{X: rng.NormFloat64() * 50, Y: 3, Z: -8}).After(geom.Rotate(axis, 6*rng.Float64()))
		p := checked(t, stepped())
		p.Mesh = p.Mesh.Moved(motion)
		got := Find(p, nil)
		if len(got.Bores) != 1 {
			t.Fatalf("motion %d: %d bores", k, len(got.Bores))
		}
		b := got.Bores[0]
		mouth := motion.Point(r3.Vector{Z: 30})
		into := motion.Direction(r3.Vector{Z: -1})
		if b.Through || math.Abs(b.DiameterMM-8) > 1e-6 || math.Abs(b.DepthMM-24.6) > 1e-6 || b.Mouth.Sub(mouth).Norm() > 1e-6 || b.Into.Dot(into) < 1-1e-9 {
			t.Fatalf("motion %d: %+v, want mouth %v into %v", k, b, mouth, into)
		}
		if len(b.Steps) != 2 || math.Abs(b.Steps[0].DiameterMM-12) > 1e-6 || math.Abs(b.Steps[0].ToMM-6) > 1e-6 || math.Abs(b.Steps[1].FromMM-6) > 1e-6 {
			t.Fatalf("steps %+v", b.Steps)
		}
		// Two walls, the ring between them and the tip: 2*32 a strip, 32 the tip.
		if want := 3*2*sides + sides; len(b.Triangles) != want {
			t.Fatalf("%d triangles in the bore, want %d", len(b.Triangles), want)
		}
		if b.Runs(into) != Along || b.Runs(motion.Direction(r3.Vector{X: 1})) != Across || b.Runs(motion.Direction(r3.Vector{X: 1, Z: 1}).Normalize()) != Slanted {
			t.Fatal("the run of the bore is wrong")
		}
	}
}

func TestThroughBore(t *testing.T) {
	got := Find(checked(t, through()), func(i int32) bool { return i < 2*sides })
	if len(got.Bores) != 1 {
		t.Fatalf("%d bores", len(got.Bores))
	}
	b := got.Bores[0]
	if !b.Through || math.Abs(b.DepthMM-30) > 1e-9 || b.Mouth.Norm() > 1e-9 || b.Into.Z < 0.999 || len(b.Triangles) != 2*sides {
		t.Fatalf("%+v", b)
	}
	count := map[Role]int{}
	for i, r := range got.Of {
		count[r]++
		if (r == InBore) != (got.BoreOf[i] == 0) {
			t.Fatal("BoreOf and Of disagree")
		}
	}
	if count[Blank] != 2*sides || count[InBore] != 2*sides || count[Detail] != 4*sides {
		t.Fatalf("roles %v", count)
	}
}

// The controls: what looks like a bore and is none.
func TestWhatIsNoBore(t *testing.T) {
	tip := r3.Vector{Z: 30}
	for name, p := range map[string]*mesh.Part{
		"pin":         solid([]loop{square(15, 0), square(15, 10), round(4, 10), round(4, 30)}, &tip),
		"oval":        solid([]loop{square(15, 0), square(15, 30), oval(4, 30), oval(4, 0)}, nil),
		"square hole": solid([]loop{square(15, 0), square(15, 30), square(4, 30), square(4, 0)}, nil),
		"drafted":     solid([]loop{square(15, 0), square(15, 30), round(6, 30), round(3, 0)}, nil),
	} {
		if got := Find(checked(t, p), nil); len(got.Bores) != 0 {
			t.Errorf("%s: %+v", name, got.Bores)
		}
	}
	if got := Find(&mesh.Part{Mesh: &mesh.Mesh{}}, nil); len(got.Bores) != 0 || len(got.Of) != 0 {
		t.Error("nothing has bores")
	}
}

// TestNamedCylinders: two half cylinders of a file are one bore, with the file's own diameter.
func TestNamedCylinders(t *testing.T) {
	p := through()
	p.Faces = []mesh.Face{
		{Kind: mesh.Plane},
		{Kind: mesh.Cylinder, Inner: true, Origin: r3.Vector{Z: 11}, Axis: r3.Vector{Z: -1}, RadiusMM: 4.0001},
		{Kind: mesh.Cylinder, Inner: true, Origin: r3.Vector{}, Axis: r3.Vector{Z: 1}, RadiusMM: 4.0001},
	}
	p.Mesh.Faces = make([]int32, len(p.Mesh.Triangles))
	first := 4 * sides
	for i := range 2 * sides {
		p.Mesh.Faces[first+i] = int32(1 + i/sides)
	}
	got := Find(p, nil)
	if len(got.Bores) != 1 || !got.Bores[0].Named || got.Bores[0].DiameterMM != 8.0002 || !got.Bores[0].Through || len(got.Bores[0].Triangles) != 2*sides {
		t.Fatalf("%+v", got.Bores)
	}
	// Half of it alone is a groove.
	for i := range p.Mesh.Faces {
		if p.Mesh.Faces[i] == 2 {
			p.Mesh.Faces[i] = 0
		}
	}
	if got := Find(p, nil); len(got.Bores) != 0 {
		t.Fatalf("a groove is called a bore: %+v", got.Bores)
	}
}

// Package takeoff measures the stock that must be removed from a blank to make an insert, split by
// how it goes, and the surface and edges to finish: what a quote is made of.
//
// Volumes are cubic millimetres, areas square millimetres, lengths millimetres, masses kilograms.
// It judges nothing and knows no price. An insert is measured where the checks would judge it: after
// a wrong unit or placement has been put right.
//
// Invariants:
//
//	T1  faced, cuts, holes, burnt and left add up to the stock in whole thousandths of a mm3
//	T2  every region that no cutter reaches is burnt by one electrode or left for a stated reason
//	T3  the shares of a surface by cutter come to a hundred percent
//
// # Plan and measurement
//
// Volumes, areas and lengths are measured, with bounds. Who takes them is a plan: which cutter is loaded
// (one that has too little to do leaves it to the next), which sides are clamped, which places one electrode
// serves, what is left as a radius. The plan's limits are in the rules under making, and a mould maker would
// change it. Electrodes are gathered greedily, and two that are mirror images count as alike, as they do on
// a machine that turns them only where the form is its own mirror image.
//
// # Limits
//
// Which cutter clears the metal over a surface is asked of one point for each piece, a few rays off the
// surface, and has no bound. From sides other than the top corners are counted, not computed. A side that is
// worth no set-up leaves its chamfers to the bench, and nobody is asked to break them.
package takeoff

import (
	"fmt"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/measure"
	"pocketgauge/rules"
)

// Figure is a measured number with the bound on its error.
type Figure struct{ Value, Error float64 }

// Takeoff is the stock of one insert.
//
// BlankMM3 - RemoveMM3 = InsertMM3 - OutsideMM3 to rounding: metal is removed, left, or missing
// from the blank, and nothing else.
type Takeoff struct {
	File, Name, SHA256 string
	Half               rules.Half
	Frame, Steel       string
	DensityKGM3        float64

	BlankMM3, InsertMM3 Figure
	// RemoveMM3 is blank minus insert, OutsideMM3 insert minus blank.
	RemoveMM3, OutsideMM3 Figure
	AreaMM2               Figure
	BlankSizeMM           r3.Vector
	// Method says how the volumes were found, Exact whether their errors are bounds on rounding.
	Method string
	Exact  bool

	// CuttersFrom says whose list of cutters the set-ups use, PitchMM how far apart the rays stand
	// that the split was counted on. RemainderMM3 is what the counts missed RemoveMM3 by; it has been
	// shared out, see settle.
	CuttersFrom  string
	PitchMM      float64
	RemainderMM3 float64

	// Holders says in words what holds the cutters.
	Holders string

	// FacedMM3, the cuts of SetUps, Drilled, BurnMM3 and LeftMM3 add up to RemoveMM3 exactly.

	// FacedMM3 is the stock above the highest metal, planed off in layers, and what is ground off the
	// seat and the sides.
	FacedMM3 Figure
	// SetUps are the milling from each direction, in order; a direction without a cut is left out.
	SetUps []SetUp
	// Drilled are the bores, those that are made alike together.
	Drilled []Hole
	// Burns are connected regions that no cutter reaches, largest first: those that are burnt, and after
	// them those that are left. BurnMM3 is the sum of the burnt; LeftMM3 that of the left, and what lies in
	// strips too narrow to be told from noise or, as chamfers do, towards a side that is worth no set-up.
	Burns            []Burn
	BurnMM3, LeftMM3 Figure
	// Electrodes are what the burnt are burnt by.
	Electrodes []Electrode

	// Finish is the surface to finish. Seat and sides are ground and bores drilled: they are not in
	// it.
	Finish []FinishArea
	// EdgeMM is the length of outer edges to break; where the detail meets the parting face the edge
	// stays sharp and is not in it.
	EdgeMM Figure
	// Projected is the detail's area seen along the draw, mm2; bores that open into it are not in it.
	Projected Figure

	plan *plan
}

// SetUp is what is milled from one direction.
type SetUp struct {
	// Name is top (the draw's side), back (the seat's), left, right, front or rear.
	Name string
	// Toward points from the insert to the spindle.
	Toward r3.Vector
	Cuts   []Cut
}

// Cut is what one cutter removes in a set-up, after those before it.
type Cut struct {
	Cutter                     string
	DiameterMM, CornerRadiusMM float64
	RemovedMM3                 Figure
	// Rest is set where a larger cutter has been there before.
	Rest bool
}

// Hole is a number of bores that are made alike.
type Hole struct {
	Count int
	// DepthMM is from the mouth to the end of the full diameter.
	DiameterMM, DepthMM float64
	Through             bool
	// Pin is set for bores that ejector pins run in.
	Pin bool
	// Method is twist or gun, by drill, or bored, where neither drill serves.
	Method string
	// RemovedMM3 is of all of them together.
	RemovedMM3 Figure
}

// Burn is a connected region left for spark erosion.
type Burn struct {
	// Kind is corner, slot, deep or undercut.
	Kind      string
	VolumeMM3 Figure
	// DepthMM is the most metal on one line along the draw.
	DepthMM float64
	// At is in the region, SizeMM the size of the box around it.
	At, SizeMM r3.Vector
	// RadiusMM is what a corner keeps: the thinnest cutter's or, where it was counted, that which leaves as
	// much in a square corner. 0 for what is no corner.
	RadiusMM float64
	// Left says why it is not burnt, "" where it is.
	Left string
	// Electrode is which of Electrodes burns it, from 1; 0 where none does.
	Electrode int

	box geom.Box
}

// Electrode is one block with the forms of all the places that it burns at once.
type Electrode struct {
	// Places is how many it burns at once, Positions to how many such it is moved one after the other.
	Places, Positions int
	// SizeMM is of the box around what it burns in its first position.
	SizeMM r3.Vector

	volume Figure // in its first position, as counted
}

// FinishArea is surface of one kind and finish.
type FinishArea struct {
	// Kind is floor, wall or free-form.
	Kind string
	// Class is the finish that the workspace names; "" for none.
	Class   string
	AreaMM2 Figure
	// Reached is which cutters clear the metal over it, thick ones first. It is counted on pieces of the
	// surface, in whole percent that come to 100; for a share no bound is known.
	Reached []Share
}

// Share is what one diameter of cutter has of a surface; diameter 0 stands for surface that no cutter
// clears, because facing, drills or sparks do, or nothing lay over it.
type Share struct {
	DiameterMM float64
	Percent    int
}

// Of measures the stock of a subject that is already where it is judged.
func Of(s *checks.Subject) (*Takeoff, error) {
	st, err := s.Stock()
	if err != nil {
		return nil, err
	}
	t := of(s)
	t.BlankMM3 = Figure{st.BlankMM3.MM3, st.BlankMM3.ErrorMM3}
	t.RemoveMM3 = Figure{st.Remove.MM3, st.Remove.ErrorMM3}
	t.OutsideMM3 = Figure{st.OutsideVolume.MM3, st.OutsideVolume.ErrorMM3 + t.InsertMM3.Error}
	t.Method, t.Exact = st.Method, st.Exact
	blank, err := s.Blank()
	if err != nil {
		return nil, err
	}
	t.BlankSizeMM = blank.Mesh.Bounds().Size()
	return filled(t, s, extent{})
}

// Revision is what a revised insert is cut from: the old one, where the new one stands.
type Revision struct {
	Old *mesh.Part
	// NoiseMM is the thickness under which old and new are the same surface.
	NoiseMM float64
	// RemoveMM3 is old minus new, AddMM3 new minus old, without what is noise.
	RemoveMM3, AddMM3 Figure
	Method            string
}

// OfRevision measures what is to be cut of the old insert to make the new one. Surface, edges and
// projected area are those that are new.
func OfRevision(s *checks.Subject, r Revision) (*Takeoff, error) {
	t := of(s)
	q := measure.Of(r.Old)
	t.BlankMM3 = Figure{q.VolumeMM3, q.VolumeErrorMM3}
	t.BlankSizeMM = r.Old.Mesh.Bounds().Size()
	t.RemoveMM3, t.OutsideMM3, t.Method = r.RemoveMM3, r.AddMM3, r.Method
	only := extent{old: r.Old.Mesh, noiseMM: r.NoiseMM, pieceMM: s.Part.Mesh.Bounds().Diagonal() * pieceShare}
	only.share = freshShares(r.Old.Mesh, s.Part.Mesh, r.NoiseMM, only.pieceMM)
	return filled(t, s, only)
}

// extent is what of the insert a takeoff is of: all for the zero extent, or what a revision changed.
type extent struct {
	old     *mesh.Mesh
	noiseMM float64
	// share of each triangle that is new, counted in pieces no longer than pieceMM; nil for all of all.
	share   []float64
	pieceMM float64
}

func (e extent) of(triangle int) float64 {
	if e.share == nil {
		return 1
	}
	return e.share[triangle]
}

// doubt is by how much the new area of a triangle may be off: nothing where it is all new or all old, else
// a piece's width along a border that is about as long as the triangle.
func (e extent) doubt(m *mesh.Mesh, triangle int) float64 {
	if f := e.of(triangle); f == 0 || f == 1 {
		return 0
	}
	a, b, c := m.Corners(triangle)
	return e.pieceMM * max(a.Sub(b).Norm(), b.Sub(c).Norm(), c.Sub(a).Norm())
}

// freshShares are what of each triangle of revised lies off the old surface.
func freshShares(old, revised *mesh.Mesh, noiseMM, pieceMM float64) []float64 {
	pieces, _ := revised.Pieces(pieceMM)
	middles := make([]r3.Vector, len(pieces.Triangles))
	for i := range middles {
		a, b, c := pieces.Corners(i)
		middles[i] = a.Add(b).Add(c).Mul(1.0 / 3)
	}
	fresh := make([]float64, len(revised.Triangles))
	all := make([]float64, len(revised.Triangles))
	for i, f := range index.Build(old).NearestBatch(middles, noiseMM, nil) {
		t := pieces.Faces[i]
		area := pieces.AreaVector(i).Norm()
		all[t] += area
		if f.Distance > noiseMM {
			fresh[t] += area
		}
	}
	for t := range fresh {
		if all[t] > 0 {
			fresh[t] /= all[t]
		}
	}
	return fresh
}

// of says whose takeoff it is.
func of(s *checks.Subject) *Takeoff {
	m := s.Measures()
	t := &Takeoff{
		File: s.File, Name: s.Name, Half: s.Half, Frame: s.Frame.Name.Value,
		InsertMM3: Figure{m.VolumeMM3, m.VolumeErrorMM3}, AreaMM2: Figure{m.AreaMM2, m.AreaErrorMM2},
	}
	if s.Steel != nil {
		t.Steel = s.Steel.Grade.Value
		t.DensityKGM3 = s.Steel.DensityKGM3.Value
	}
	return t
}

// filled splits the stock and measures what there is to finish.
func filled(t *Takeoff, s *checks.Subject, e extent) (*Takeoff, error) {
	if err := t.split(s, e); err != nil {
		return nil, fmt.Errorf("splitting the stock: %w", err)
	}
	t.Finish, t.Projected = t.finishOf(s, e)
	t.EdgeMM = edgesOf(s, e)
	return t, nil
}

// Mass of a volume of the insert's steel, in kg.
func (t *Takeoff) Mass(v Figure) Figure {
	const m3PerMM3 = 1.0 / (1000 * 1000 * 1000)
	k := m3PerMM3 * t.DensityKGM3
	return Figure{v.Value * k, v.Error * k}
}

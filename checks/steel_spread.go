package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/checks/plate"
	"pocketgauge/mesh"
	"pocketgauge/mesh/parallel"
)

var steelSpread = Check{
	ID:    "steel.spread",
	Title: "Side walls do not spread under the melt",
	Doc: `The melt pushes the walls of a deep cavity apart; when they spring back they pinch the part, and while they are
apart it flashes. Measured: detail that has metal behind it towards the pocket's outline is wall; its pieces
are taken side by side: the height from the lowest of the detail there to the parting face, the length along
the side, and the least metal up to the insert's side. The wall is a plate fixed at its foot and its ends and
free along its top, under the highest cavity pressure over all of it; Roark gives the stresses of that plate
(Table 11.4, case 10a) and not its deflection, which was computed by the Ritz method, to 1.5 per cent. Plate
theory holds for walls no thicker than a quarter of their span; what shear adds to thicker ones lies between
nothing and that of a beam, and the uncertainty spans it. That the pocket's side holds the insert once the
fit's gap is used up is not counted on. Judged only where a cavity pressure is stated, of the resin or the
press. The limit is about the gap at which thin-flowing resins flash (common practice, no source).`,
	Unit:       MM,
	Keys:       []string{"steel.side_spread", "press.cavity_pressure.most", "resins.cavity_pressure.most", "steels.modulus"},
	Mend:       `Make the wall to the side thicker, or take a wider insert.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Steel.SideSpreadMM
		q, from := s.meltPressure()
		parting, ok := s.partingFace()
		if !limit.Set || !q.Set || !ok {
			return nil
		}
		steel, why := s.plateSteel()
		if why != "" {
			return []Reading{NotMeasured("", why)}
		}
		r := Reading{Measured: true, Limit: AtMost(limit.Value), Says: "No detail below the parting face has a wall to the side."}
		most := 0.0
		for _, w := range s.sideWalls(parting.ZMM) {
			wall := plate.Wall{Steel: steel, HeightMM: w.heightMM, LengthMM: w.lengthMM, ThicknessMM: w.thicknessMM}
			bend, shear := wall.BendingMM(q.Value), wall.ShearMM(q.Value)
			if bend+shear <= most {
				continue
			}
			most = bend + shear
			r.At, r.Located = w.at, true
			// A wall a little thinner, and higher and longer by as much, gives no more than this.
			by := s.SurfaceMM()
			worse := plate.Wall{Steel: steel, HeightMM: w.heightMM + by, LengthMM: w.lengthMM + by, ThicknessMM: w.thicknessMM - by}
			r.Value = bend + shear/2
			r.Uncertainty = worse.BendingMM(q.Value)*(1+spreadShare) + worse.ShearMM(q.Value) - r.Value
			r.Says = fmt.Sprintf("The wall to the %s, %.1f mm high, %.1f mm long and %.2f mm thick, spreads by %.4f to %.4f mm under %g MPa (%s).",
				sideName(w.side), w.heightMM, w.lengthMM, w.thicknessMM, bend, most, q.Value, from)
			if !plate.Thin(w.thicknessMM, min(w.heightMM, w.lengthMM)) {
				r.Says += " It is thicker than a quarter of its span: much of this is shear."
			}
		}
		return []Reading{r}
	},
}

// spreadShare is what the coefficients between those of the table are good to.
const spreadShare = 0.015

// sideWall is the metal between a piece of detail and one side of the insert.
type sideWall struct {
	side                            string
	heightMM, lengthMM, thicknessMM float64
	at                              r3.Vector
}

const (
	// sideProbeMM is how far into the metal it is tried whether that is the way to the side.
	sideProbeMM = 0.1
	// towardsSide is how straight that way must lead there: within 45 degrees.
	towardsSide = 0.7071
)

// sideWalls are the walls to the sides, piece by piece of detail and side by side.
func (s *Subject) sideWalls(partingMM float64) []sideWall {
	m, r := s.Part.Mesh, rolesFact.of(s)
	gap := 0.0 // between the insert's side and the outline, at most
	for _, c := range s.clearances() {
		if c.Touched {
			gap = max(gap, c.LeastMM+c.ErrorMM)
		}
	}
	type facet struct {
		t      int32
		piece  int
		middle r3.Vector
	}
	// Asking the outline is dear where the detail is of many facets; each answers for itself.
	const none = -1
	found := make([]facet, len(r.detail))
	parallel.Chunks(len(r.detail), 1<<12, func(_, from, to, _ int) {
		for i := from; i < to; i++ {
			t := r.detail[i]
			found[i].piece = none
			n := m.AreaVector(int(t))
			a, b, c := m.Corners(int(t))
			p := a.Add(b).Add(c).Mul(1.0 / 3)
			if !(n.Norm() > 0) || abs(n.Z) > towardsSide*n.Norm() || p.Z > partingMM {
				continue
			}
			inward := p.Sub(n.Mul(sideProbeMM / n.Norm()))
			here, piece := s.Pocket.Clearance(flat(p.X, p.Y))
			there, _ := s.Pocket.Clearance(flat(inward.X, inward.Y))
			if here-there >= towardsSide*sideProbeMM {
				found[i] = facet{t, piece, p}
			}
		}
	})
	var walls []facet
	groups := mesh.NewForest(len(m.Vertices))
	for _, f := range found {
		if f.piece == none {
			continue
		}
		walls = append(walls, f)
		tri := m.Triangles[f.t]
		groups.Join(tri[0], tri[1])
		groups.Join(tri[0], tri[2])
	}
	type key struct {
		root  int32
		piece int
	}
	number := map[key]int{}
	var out []sideWall
	var low, high []r3.Vector // corners of the box of each
	thin := func(i int, p r3.Vector, side int) {
		// At a corner of the cavity another side may be nearer.
		if d, piece := s.Pocket.Clearance(flat(p.X, p.Y)); piece == side && d-gap < out[i].thicknessMM {
			out[i].thicknessMM, out[i].at = d-gap, p
		}
	}
	for _, f := range walls {
		k := key{groups.Root(m.Triangles[f.t][0]), f.piece}
		i, seen := number[k]
		if !seen {
			i = len(out)
			number[k] = i
			out = append(out, sideWall{side: s.Pocket.Pieces[f.piece].Name, thicknessMM: math.Inf(1)})
			p := m.Vertices[m.Triangles[f.t][0]]
			low, high = append(low, p), append(high, p)
		}
		for _, v := range m.Triangles[f.t] {
			p := m.Vertices[v]
			low[i] = r3.Vector{X: min(low[i].X, p.X), Y: min(low[i].Y, p.Y), Z: min(low[i].Z, p.Z)}
			high[i] = r3.Vector{X: max(high[i].X, p.X), Y: max(high[i].Y, p.Y), Z: max(high[i].Z, p.Z)}
			thin(i, p, f.piece)
		}
		thin(i, f.middle, f.piece)
	}
	var kept []sideWall
	for i, w := range out {
		// The floor may lie deeper than what of the wall is steep: its rounded foot.
		w.heightMM = partingMM - low[i].Z
		d := high[i].Sub(low[i])
		w.lengthMM = math.Hypot(d.X, d.Y)
		// A groove or a vent that runs out to the side leaves no wall there.
		if w.heightMM > 0 && w.thicknessMM > s.SurfaceMM()+gap {
			kept = append(kept, w)
		}
	}
	return kept
}

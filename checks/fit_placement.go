package checks

import (
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/checks/place"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/rules"
)

var fitPlacement = Check{
	ID:    "fit.placement",
	Title: "The model lies in the pocket as it is drawn",
	Doc: `A model drawn on another datum, turned by a quarter or upside down breaks every other limit at once.
Measured: whether the insert fits as it stands; if it does not, whether one of the 24 turns along the
axes, with a move onto the seat and the pocket's centre, makes it fit. If one does, that is the finding,
and everything else is judged with the insert moved so: one cause, one finding. The value is the
largest move or, for a turn, the number of quarters it takes, at least 1.`,
	Unit:    Count,
	Keys:    []string{"pocket.outline", "pocket.depth"},
	Mend:    `Move the model onto the pocket's coordinates: seat at z = 0, centre of the pocket at x = y = 0.`,
	Measure: nil, // Run asks for it before all others; see placed.
}

// placementChecks decide whether a placement fits. The ports tell front from rear where a block
// fits either way round.
var placementChecks = []*Check{&fitOutline, &fitClearance, &fitHeight, &fitSeat, &zoneOpen, &zoneSolid, &coolPorts}

// placed finds the subject on which the rest is judged: s itself where it fits or nothing helps,
// else s moved by the simplest motion that makes it fit.
func placed(s *Subject) (*Subject, Reading) {
	r := Reading{Measured: true, Limit: AtMost(0), Says: "The insert is judged where it is drawn."}
	if !fails(s) {
		return s, r
	}
	pocket := s.Pocket.Bounds()
	centre := pocket.Center()
	size := r3.Vector{X: pocket.X.Length(), Y: pocket.Y.Length()}
	for _, turn := range place.Turns() {
		turned := turnedBounds(turn.Motion, s.Part.Mesh.Bounds())
		if e := turned.Size(); e.X > size.X || e.Y > size.Y {
			continue
		}
		move := place.Move(turned, centre.X, centre.Y)
		if turn.Rank == 0 && move.Norm() <= 2*s.SurfaceMM() {
			continue
		}
		moved := s.Moved(geom.Translate(move).After(turn.Motion))
		if fails(moved) {
			continue
		}
		r.Value = max(float64(turn.Rank), 1)
		words := place.InWords(turn, 1, move)
		r.Says = "The insert fits its pocket only when moved: " + lowerFirst(words) + " All else is judged with it so moved."
		r.Mend = words
		return moved, r
	}
	r.Says = "The insert is judged where it is drawn; no turn or move of the whole would make it fit."
	return s, r
}

// fails reports whether s breaks any of the placement checks. The quick ones come first, so that a
// turn that does not fit is passed over in little time.
func fails(s *Subject) bool {
	for _, c := range placementChecks {
		if s.Frame.SeverityOf(c.ID) != rules.SeverityFail || (c.NeedsSolid && !s.IsSolid()) {
			continue
		}
		for _, r := range c.Measure(s) {
			if Judge(r).Verdict == Fail {
				return true
			}
		}
	}
	return false
}

// Moved is s with its insert carried by a motion; everything measured is measured anew.
func (s *Subject) Moved(m geom.Motion) *Subject {
	p := *s.Part
	p.Mesh = s.Part.Mesh.Moved(m)
	p.Faces = make([]mesh.Face, len(s.Part.Faces))
	for i, f := range s.Part.Faces {
		f.Origin, f.Axis = m.Point(f.Origin), m.Direction(f.Axis)
		f.RadiusMM *= m.Scale
		f.MinorRadiusMM *= m.Scale
		p.Faces[i] = f
	}
	p.ChordMM *= m.Scale
	if m.Scale != 1 {
		p.Audit = mesh.NewAudit(p.Mesh) // shell volumes scale too
	}
	if e := s.Part.Exact; e != nil {
		moved := e.Moved(m)
		p.Exact = &moved
	}
	return &Subject{
		File: s.File, Name: s.Name, Half: s.Half, Frame: s.Frame, Steel: s.Steel, Resin: s.Resin, Finish: s.Finish, Part: &p, Whole: s.Whole,
		StatedUnit: s.StatedUnit, BlankModel: s.BlankModel, Pocket: s.Pocket, Motion: m.After(s.Motion),
	}
}

func turnedBounds(m geom.Motion, b geom.Box) geom.Box {
	return geom.BoxOf([]r3.Vector{m.Point(b.Min), m.Point(b.Max)})
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

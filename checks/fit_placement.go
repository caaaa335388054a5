package checks

import (
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/checks/place"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

var fitPlacement = Check{
	ID:    "fit.placement",
	Title: "The model lies in the pocket as it is drawn",
	Doc: `A model drawn on another datum, turned by a quarter or upside down breaks every other limit at once.
Measured: whether the insert fits as it stands; if it does not, whether one of the 24 turns along the
axes, with a move of its seat onto the pocket's and of its outline over the pocket's, makes it fit, or takes away two or
more of what is wrong, or a misfit of more than a millimetre. If one does, that is the finding,
and everything else is judged with the insert moved so: one cause, one finding. The value is the
largest move or, for a turn, the number of quarters it takes, at least 1. Where the unit is wrong too, file.unit
tells the whole motion. Not seen: turns that are no quarters.`,
	Unit:    Count,
	Keys:    []string{"pocket.outline", "pocket.depth"},
	Mend:    `Move the model onto the pocket's coordinates: seat at z = 0, centre of the pocket at x = y = 0.`,
	Measure: nil, // Run asks for it before all others; see placed.
}

// placementChecks decide whether a placement fits, the quick ones first. The ports tell front from
// rear where a block fits either way round.
var placementChecks = []*Check{&fitOutline, &fitClearance, &fitHeight, &fitSeat, &zoneOpen, &zoneSolid, &coolPorts}

// proposal is the motion that makes a misplaced insert fit.
type proposal struct {
	turn place.Turn
	move r3.Vector
}

// placed finds the subject on which the rest is judged: s itself where it fits or nothing helps,
// else s moved by the simplest motion that makes it fit best; the proposal is nil in the first case.
//
// A motion must do more than exchange one fault for another: an insert without its left
// clamp slot has, turned half round, no right one. So it must leave nothing wrong, or take away two
// faults, or one and bring an insert into the pocket that does not go in at all.
func placed(s *Subject) (*Subject, Reading, *proposal) {
	r := Reading{Measured: true, Limit: AtMost(0), Says: "The insert is judged where it is drawn."}
	as := standing(s, maxFaults)
	if as.faults == 0 {
		return s, r, nil
	}
	pocket := s.Pocket.Bounds()
	centre := pocket.Center()
	wide, long := pocket.X.Length()*(1+tol.UnitShare), pocket.Y.Length()*(1+tol.UnitShare)
	best, bestAt := fit{faults: maxFaults, gross: true}, proposal{}
	var found *Subject
	for _, turn := range place.Turns() {
		turned := s.Part.Mesh
		if turn.Rank > 0 {
			if e := s.Part.Mesh.Bounds().Moved(turn.Motion).Size(); min(e.X, e.Y) > max(wide, long) {
				continue
			}
			turned = turned.Moved(turn.Motion)
		}
		stand := place.StandOf(turned, s.DepthMM(), 2*s.StorageMM()+tol.LevelMM)
		if e := stand.Within.Size(); e.X > wide || e.Y > long {
			continue
		}
		move := stand.Move(centre.X, centre.Y)
		if turn.Rank == 0 && move.Norm() <= 2*s.SurfaceMM() {
			continue
		}
		moved := s.Moved(geom.Translate(move).After(turn.Motion))
		if c := standing(moved, best.faults); c.before(best) {
			best, bestAt, found = c, proposal{turn, move}, moved
		}
		if best.faults == 0 {
			break
		}
	}
	if gone := as.faults - best.faults; found == nil || best.faults > 0 && gone < 2 && (gone < 1 || !as.gross || best.gross) {
		r.Says = "The insert is judged where it is drawn; no turn or move of the whole would make it fit."
		return s, r, nil
	}
	r.Value = max(float64(bestAt.turn.Rank), 1)
	words := place.InWords(bestAt.turn, 1, bestAt.move)
	only := "fits its pocket only"
	if best.faults > 0 {
		only = "comes nearest to its pocket"
	}
	r.Says = "The insert " + only + " when moved: " + lowerFirst(words) + " All else is judged with it so moved."
	r.Mend = words
	return found, r, &bestAt
}

// maxFaults is more than any insert has.
const maxFaults = math.MaxInt

// fit is how badly a placement fits: how many readings fail, and whether it does not go into the
// pocket or onto the seat at all.
type fit struct {
	faults int
	gross  bool
}

func (f fit) before(o fit) bool {
	if f.gross != o.gross {
		return o.gross
	}
	return f.faults < o.faults
}

// standing counts what fails of the placement checks. It stops beyond more than enough faults, so that a
// turn that does not fit is passed over in little time.
func standing(s *Subject, enough int) fit {
	var f fit
	for _, c := range placementChecks {
		if s.Frame.SeverityOf(c.ID) != rules.SeverityFail || (c.NeedsSolid && !s.IsSolid()) {
			continue
		}
		for _, r := range s.read(c) {
			j := Judge(r)
			if j.Verdict == NotJudged && (c == &fitOutline || c == &fitHeight) {
				f.gross = true // nothing of it lies where it should
				f.faults++
			}
			if j.Verdict != Fail {
				continue
			}
			f.faults++
			switch c {
			case &fitOutline, &fitHeight:
				f.gross = f.gross || j.Margin < -tol.MisplacedMM
			case &fitSeat:
				f.gross = f.gross || r.Value == 0
			}
		}
		// The checks of the pocket itself are counted whole: they say whether the misfit is gross.
		if f.faults > enough && c.NeedsSolid {
			break
		}
	}
	return f
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
		Partner: s.Partner, PartnerError: s.PartnerError,
	}
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

package checks

import (
	"iter"
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
tells the whole motion. Not seen: turns that are no quarters.
The limit is none: an insert is placed or it is not.`,
	Unit:    Count,
	Keys:    []string{"pocket.outline", "pocket.depth"},
	Mend:    `Move the model onto the pocket's coordinates: seat at z = 0, centre of the pocket at x = y = 0.`,
	Measure: nil, // Run asks for it before all others; see placed.
}

// placementChecks decide whether a placement fits, the quick ones first: those of the pocket, then those that
// need a solid. The ports tell front from rear where a block fits either way round. faults counts what fails of a
// check where that is quicker than its readings.
var placementChecks = []struct {
	*Check
	faults func(s *Subject) int
}{
	{&fitOutline, nil}, {&fitClearance, nil}, {&fitHeight, nil}, {&fitSeat, nil},
	{&zoneOpen, openFaults}, {&zoneSolid, solidFaults}, {&coolPorts, nil},
}

// proposal is the motion that makes a misplaced insert fit.
type proposal struct {
	turn place.Turn
	move r3.Vector
}

// placement is where an insert is judged.
type placement struct {
	subject  *Subject
	reading  Reading
	proposal *proposal
}

var placementFact = fact[placement]{func(s *Subject) placement {
	var p placement
	p.subject, p.reading, p.proposal = findPlacement(s)
	return p
}}

// placed finds the subject on which the rest is judged: s itself where it fits or nothing helps,
// else s moved by the simplest motion that makes it fit best; the proposal is nil in the first case.
func placed(s *Subject) (*Subject, Reading, *proposal) {
	p := placementFact.of(s)
	return p.subject, p.reading, p.proposal
}

// findPlacement tries the turns.
//
// A motion must do more than exchange one fault for another: an insert without its left
// clamp slot has, turned half round, no right one. So it must leave nothing wrong, or take away two
// faults, or one and bring an insert into the pocket that does not go in at all.
//
// Counting all that is wrong with a placement that does not fit takes far longer than seeing that something
// is. So one that leaves nothing wrong is looked for first, and only where there is none are faults
// counted, and no further than they could matter.
func findPlacement(s *Subject) (*Subject, Reading, *proposal) {
	r := Reading{Measured: true, Limit: AtMost(0), Says: "The insert is judged where it is drawn."}
	if pocketFaults(s).faults == 0 && !s.anyFault() {
		return s, r, nil
	}
	var list []candidate
	for c := range s.candidates() {
		moved := c.of(s)
		c.least = pocketFaults(moved)
		if c.least.faults == 0 {
			if c.least.faults = solidFaultsOf(moved, 0); c.least.faults == 0 {
				return moved, c.reading(r), &c.proposal
			}
		}
		list = append(list, c)
	}
	as := standing(s, maxFaults)
	enough := as.faults - 2
	if as.gross {
		enough++
	}
	best, found := fit{faults: maxFaults, gross: true}, -1
	for i := range list {
		c := &list[i]
		if !c.least.before(best) {
			continue
		}
		f := c.least
		if f.faults <= enough {
			f = standing(c.of(s), min(enough, best.faults))
		}
		if f.before(best) {
			best, found = f, i
		}
	}
	if gone := as.faults - best.faults; found < 0 || gone < 2 && (gone < 1 || !as.gross || best.gross) {
		r.Says = "The insert is judged where it is drawn; no turn or move of the whole would make it fit."
		return s, r, nil
	}
	c := &list[found]
	return c.of(s), c.reading(r), &c.proposal
}

// candidate is a motion that might make an insert fit.
type candidate struct {
	proposal
	// least is what is known to be wrong with it.
	least fit
}

// candidates are the motions that bring the seat of s down on the pocket's and the middle of its outline over the
// pocket's, and do not end with a side that is longer than the pocket; the simplest first.
func (s *Subject) candidates() iter.Seq[candidate] {
	return func(yield func(candidate) bool) {
		pocket := s.Pocket.Bounds()
		centre := pocket.Center()
		wide, long := pocket.X.Length()*(1+tol.UnitShare), pocket.Y.Length()*(1+tol.UnitShare)
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
			if !yield(candidate{proposal: proposal{turn, move}}) {
				return
			}
		}
	}
}

func (c *candidate) of(s *Subject) *Subject {
	return s.Moved(geom.Translate(c.move).After(c.turn.Motion))
}

// reading is r where the insert is judged as c has it.
func (c *candidate) reading(r Reading) Reading {
	r.Value = max(float64(c.turn.Rank), 1)
	words := place.InWords(c.turn, 1, c.move)
	only := "fits its pocket only"
	if c.least.faults > 0 {
		only = "comes nearest to its pocket"
	}
	r.Says = "The insert " + only + " when moved: " + lowerFirst(words) + " All else is judged with it so moved."
	r.Mend = words
	return r
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
	f := pocketFaults(s)
	if f.faults <= enough {
		f.faults += solidFaultsOf(s, enough-f.faults)
	}
	return f
}

// pocketFaults counts what fails of the checks of the pocket itself; whole, for they say whether the misfit is
// gross.
func pocketFaults(s *Subject) fit {
	var f fit
	for _, c := range placementChecks {
		if c.NeedsSolid || s.Frame.SeverityOf(c.ID) != rules.SeverityFail {
			continue
		}
		readings := []Reading(nil)
		if c.Check == &fitSeat {
			r, _ := s.seatBearing() // it need not be known where nothing bears
			readings = append(readings, r)
		} else {
			readings = s.read(c.Check)
		}
		for _, r := range readings {
			j := Judge(r)
			if j.Verdict == NotJudged && (c.Check == &fitOutline || c.Check == &fitHeight) {
				f.gross = true // nothing of it lies where it should
				f.faults++
			}
			if j.Verdict != Fail {
				continue
			}
			f.faults++
			switch c.Check {
			case &fitOutline, &fitHeight:
				f.gross = f.gross || j.Margin < -tol.MisplacedMM
			case &fitSeat:
				f.gross = f.gross || r.Value == 0
			}
		}
	}
	return f
}

// solidFaultsOf counts what fails of the placement checks that need a solid, until it is more than enough.
func solidFaultsOf(s *Subject, enough int) int {
	faults := 0
	if !s.IsSolid() {
		return 0
	}
	for _, c := range placementChecks {
		switch {
		case !c.NeedsSolid || s.Frame.SeverityOf(c.ID) != rules.SeverityFail:
			continue
		case faults > enough:
			return faults
		case c.faults != nil:
			faults += c.faults(s)
		default:
			faults += failed(s.read(c.Check))
		}
	}
	return faults
}

// anyFault reports whether one of the placement checks that need a solid fails, by their readings: those are
// wanted in any case where the insert stays where it is.
func (s *Subject) anyFault() bool {
	if !s.IsSolid() {
		return false
	}
	for _, c := range placementChecks {
		if c.NeedsSolid && s.Frame.SeverityOf(c.ID) == rules.SeverityFail && failed(s.read(c.Check)) > 0 {
			return true
		}
	}
	return false
}

func failed(readings []Reading) int {
	n := 0
	for _, r := range readings {
		if Judge(r).Verdict == Fail {
			n++
		}
	}
	return n
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

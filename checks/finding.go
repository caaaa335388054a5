package checks

import (
	"slices"

	"pocketgauge/checks/place"
	"pocketgauge/mesh/geom"
	"pocketgauge/rules"
)

// Finding is one reading as it is reported.
type Finding struct {
	Check *Check
	Reading
	Judged
}

// Advice is what to print: the reading's own, else the check's.
func (f *Finding) Advice() string {
	if f.Reading.Mend != "" {
		return f.Reading.Mend
	}
	return f.Check.Mend
}

// Run takes every reading of the catalogue on s and judges it.
//
// A wrong unit and a wrong placement are each one finding; what follows is judged as if they
// were mended, so that one cause does not come out as forty findings. The subject returned is
// the insert as it was judged in the end.
func Run(s *Subject) ([]Finding, *Subject) { return RunWithout(s, nil) }

// RunWithout is Run without the findings of some checks, by id. The unit and the placement are mended
// as ever, so that what is left is judged as Run would judge it.
func RunWithout(s *Subject, skip []string) ([]Finding, *Subject) {
	var list []Finding
	skipped := func(id string) bool { return slices.Contains(skip, id) }
	// The shop's own rules speak of what any check has measured: as long as one is wanted, all is.
	owned := slices.ContainsFunc(s.Frame.Rules, func(r rules.CustomRule) bool { return !skipped(ownRule + r.ID.Value) })
	for _, c := range Catalogue {
		severity := s.Frame.SeverityOf(c.ID)
		var readings []Reading
		switch {
		case c == &fitPlacement:
			var r Reading
			var how *proposal
			s, r, how = placed(s)
			if i := wrongUnit(list); i >= 0 && how != nil {
				r = foldInto(&list[i], r, how)
			}
			readings = []Reading{r}
		case severity == rules.SeverityOff, skipped(c.ID) && !owned && c != &fileUnit:
			continue
		case c.Asks != nil && !c.Asks(s):
			continue
		case c.NeedsSolid && !s.IsSolid():
			readings = []Reading{NotMeasured("", "not judged: the model is not a closed solid")}
		default:
			readings = s.read(c)
			if c == &fileUnit {
				s = trueUnitFact.of(s)
			}
		}
		if severity == rules.SeverityOff {
			continue
		}
		for _, r := range readings {
			f := Finding{Check: c, Reading: r, Judged: Judge(r)}
			if f.Verdict == Fail && severity == rules.SeverityWarn {
				f.Verdict = Warned
			}
			list = append(list, f)
		}
	}
	list = append(list, ownRules(s, list)...)
	return slices.DeleteFunc(list, func(f Finding) bool { return skipped(f.Check.ID) }), s
}

// Righted is the subject as Run would judge it in the end: in its true unit and place.
func Righted(s *Subject) *Subject {
	s, _, _ = placed(trueUnitFact.of(s))
	return s
}

// trueUnitFact is the subject in the unit that makes it fit the pocket: itself nearly always.
var trueUnitFact = fact[*Subject]{func(s *Subject) *Subject {
	if f := s.unitFactor(); f != 1 {
		return s.Moved(geom.ScaleBy(f))
	}
	return s
}}

// wrongUnit is where in the list file.unit fails, -1 where it does not.
func wrongUnit(list []Finding) int {
	return slices.IndexFunc(list, func(f Finding) bool { return f.Check == &fileUnit && f.Verdict == Fail })
}

// foldInto tells of a wrong placement in the finding of a wrong unit: a model written by another program in
// its own unit and on its own datum was exported once, and is put right once. What is left of
// the reading is no fault of its own.
func foldInto(unit *Finding, r Reading, how *proposal) Reading {
	words := place.InWords(how.turn, unit.Value, how.move)
	unit.Says += " Then it fits its pocket only when moved too."
	unit.Reading.Mend = words
	r.Value, r.Mend = 0, ""
	r.Says = "The insert is judged where the motion told at file.unit brings it: " + lowerFirst(words)
	return r
}

// Overall is the verdict on the insert: the gravest of its findings. An insert of which
// something could not be measured does not pass; it fails where something else does, and is
// NotJudged otherwise.
func Overall(list []Finding) Verdict {
	overall := Pass
	for _, f := range list {
		switch {
		case f.Verdict == Fail:
			return Fail
		case f.Verdict == NotJudged:
			overall = NotJudged
		case f.Verdict == Borderline && overall != NotJudged:
			overall = Borderline
		}
	}
	return overall
}

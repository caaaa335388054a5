// Package checks says what is judged about an insert: one check a file, each with its meaning,
// its measurement, its limit and its mend.
//
// A check measures a Subject (an insert placed in its frame's pocket) and returns readings;
// Judge, and nothing else, compares a reading with its limit. Lengths are millimetres in pocket
// coordinates: the seat is z = 0, the pocket's centre x = y = 0, z points up out of the pocket.
//
// Invariants:
//
//	C1  a reading that was not measured is never a pass
//	C2  a limit counts as met or broken only where the margin exceeds the uncertainty
//	    (ISO 14253-1); between the two the verdict is borderline
//	C3  findings come in the order of the catalogue, readings of one check in the order they
//	    were taken; nothing depends on time, on paths or on the number of cores
package checks

import (
	"math"

	"github.com/golang/geo/r3"
)

// Unit is what a value is counted in, as reports print it.
type Unit string

// The units of readings.
const (
	MM      Unit = "mm"
	MM3     Unit = "mm3"
	Percent Unit = "%"
	Degree  Unit = "deg"
	Count   Unit = "count"
	// Diameters are those of the waterline.
	Diameters Unit = "d"
	Seconds   Unit = "s"
	// Plain is a number that is a share of nothing and counts nothing.
	Plain Unit = "1"
	MM2   Unit = "mm2"
	CM3   Unit = "cm3"
	MPa   Unit = "MPa"
	KN    Unit = "kN"
	KG    Unit = "kg"
)

// Check is one question asked of every insert.
type Check struct {
	// ID is the check's name everywhere: reports, rules files, file name (fit.outline is
	// fit_outline.go).
	ID string
	// Title is the question in a few words, put so that "yes" is good.
	Title string
	// Doc says what it means in the shop, how it is measured and what is not seen.
	Doc  string
	Unit Unit
	// Keys are the keys of the rules file that hold its limits.
	Keys []string
	// Mend is how a designer usually puts it right.
	Mend string
	// NeedsSolid is set where the measurement means nothing on a surface that is not closed.
	NeedsSolid bool
	// Asks reports whether the rules ask this of an insert at all; nil where Measure itself tells.
	// It spares an insert that cannot be measured the complaint that nobody measured what nobody asks.
	Asks func(s *Subject) bool
	// Measure takes the readings. An empty list means that the rules ask nothing here.
	Measure func(s *Subject) []Reading
}

// Reading is one measured value with its bound and the limit it is held against. The zero
// Reading was not measured.
type Reading struct {
	// Of names what was measured where a check measures several things: a zone, a side.
	Of string
	// Measured is false where no value could be had; Why says why.
	Measured bool
	Why      string
	// Value is in the check's unit; the true value lies within Uncertainty of it.
	Value, Uncertainty float64
	// Beyond is set where the search ended at Value and found nothing: the true value is Value or
	// more.
	Beyond bool
	Limit  Band
	// At is the place to show a person, where Located.
	At      r3.Vector
	Located bool
	// Says is the finding in a sentence; Mend overrides the check's own where the measurement
	// knows better.
	Says, Mend string
}

// Band is the limit of a reading: at least, at most, or between. No end set asks nothing.
type Band struct {
	Least, Most       float64
	HasLeast, HasMost bool
}

// AtLeast is the band from v up; an infinite v is no limit.
func AtLeast(v float64) Band { return Band{Least: v, HasLeast: !math.IsInf(v, 0)} }

// AtMost is the band up to v; an infinite v is no limit.
func AtMost(v float64) Band { return Band{Most: v, HasMost: !math.IsInf(v, 0)} }

// Between is the band from least to most.
func Between(least, most float64) Band {
	return Band{Least: least, Most: most, HasLeast: true, HasMost: true}
}

// NotMeasured is the reading of something that could not be had.
func NotMeasured(of, why string) Reading { return Reading{Of: of, Why: why} }

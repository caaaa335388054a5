package brep

import (
	"math"
	"strings"

	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/tol"
)

// scale is what the numbers of one representation context mean.
type scale struct {
	length      float64 // mm per unit of length
	angle       float64 // rad per unit of plane angle
	unit        string  // of length, for people
	uncertainty float64 // mm
	problem     string  // what was assumed
}

// The SI prefixes, ISO 80000-1.
var prefixes = map[string]struct {
	factor float64
	symbol string
}{
	"EXA": {1e18, "E"}, "PETA": {1e15, "P"}, "TERA": {1e12, "T"}, "GIGA": {1e9, "G"}, "MEGA": {1e6, "M"}, "KILO": {1e3, "k"},
	"HECTO": {1e2, "h"}, "DECA": {1e1, "da"}, "DECI": {1.0 / 10, "d"}, "CENTI": {1.0 / 100, "c"}, "MILLI": {1.0 / 1000, "m"},
	"MICRO": {1.0 / 1000000, "µ"}, "NANO": {nano, "n"}, "PICO": {pico, "p"}, "FEMTO": {femto, "f"}, "ATTO": {atto, "a"},
}

// Powers of ten of the SI, not tolerances.
const (
	nano  = 1.0 / 1000000000
	pico  = nano / 1000
	femto = pico / 1000
	atto  = femto / 1000
)

const mmPerMetre = 1000

// lengthNames are what people call a conversion based unit of so many millimetres.
var lengthNames = []struct {
	mm   float64
	name string
}{{25.4, "in"}, {304.8, "ft"}, {914.4, "yd"}, {0.0254, "mil"}, {1, "mm"}, {10, "cm"}, {1000, "m"}}

// scaleOf reads a representation context once.
func (r *reader) scaleOf(context part21.Instance) *scale {
	if s, ok := r.scales[context.Index()]; ok && context.File() != nil {
		return s
	}
	s := &scale{length: 1, angle: 1, unit: "mm"}
	if context.File() == nil {
		s.problem = "a representation without a context: lengths are taken for millimetres"
		return s
	}
	r.scales[context.Index()] = s
	units := context.Record(typeGlobalUnitAssignedContext)
	if units.Absent() {
		s.problem = "the context assigns no units: lengths are taken for millimetres, angles for radians"
	} else {
		r.readUnits(units, s)
	}
	if u := context.Record(typeGlobalUncertaintyAssignedContext); !u.Absent() {
		p := u.Params()
		for _, m := range p.Instances(nil) {
			r.readUncertainty(m, s)
		}
	}
	return s
}

func (r *reader) readUnits(units part21.Record, s *scale) {
	hasLength, hasAngle := false, false
	p := units.Params()
	for _, u := range p.Instances(nil) {
		switch {
		case u.Is(typeLengthUnit):
			if metres, name, ok := r.unitFactor(u, 0); ok {
				s.length, s.unit, hasLength = metres*mmPerMetre, name, true
				for _, n := range lengthNames {
					// A conversion factor printed to a few digits means the unit's exact one.
					if math.Abs(s.length/n.mm-1) < tol.ConversionShare {
						s.length, s.unit = n.mm, n.name
					}
				}
			}
		case u.Is(typePlaneAngleUnit):
			if radians, _, ok := r.unitFactor(u, 0); ok {
				s.angle, hasAngle = radians, true
				if degree := math.Pi / 180; math.Abs(radians/degree-1) < tol.ConversionShare {
					s.angle = degree
				}
			}
		}
	}
	if err := p.Err(); err != nil {
		s.problem = err.Error()
	} else if !hasLength {
		s.problem = "the context assigns no unit of length: lengths are taken for millimetres"
	} else if !hasAngle {
		// Radian is the SI unit and needs no remark where there is no angle to read.
		s.angle = 1
	}
}

// unitFactor is the unit in metres or radians, and its name.
func (r *reader) unitFactor(u part21.Instance, depth int) (factor float64, name string, ok bool) {
	if si := u.Record(typeSIUnit); !si.Absent() {
		p := si.Params()
		if !u.Complex() {
			p.Skip() // dimensions
		}
		factor, name = 1, ""
		if prefix := p.Next(); prefix.Given() {
			e, err := prefix.Enum()
			known, found := prefixes[strings.ToUpper(e)]
			if err != nil || !found {
				return 0, "", false
			}
			factor, name = known.factor, known.symbol
		}
		switch strings.ToUpper(p.Enum()) {
		case "METRE":
			return factor, name + "m", p.Err() == nil
		case "RADIAN":
			return factor, name + "rad", p.Err() == nil
		}
		return 0, "", false
	}
	if c := u.Record(typeConversionBasedUnit); !c.Absent() && depth < depthLimit {
		p := c.Params()
		if !u.Complex() {
			p.Skip()
		}
		name = strings.ToLower(strings.TrimSpace(p.String()))
		value, unit, found := r.measure(p.Instance())
		if !found || p.Err() != nil {
			return 0, "", false
		}
		base, _, ok := r.unitFactor(unit, depth+1)
		factor = value * base
		return factor, name, ok && factor > 0 && !math.IsInf(factor, 0)
	}
	return 0, "", false
}

// measure reads a measure with unit, whichever of its spellings.
func (r *reader) measure(m part21.Instance) (value float64, unit part21.Instance, ok bool) {
	for _, t := range [...]part21.Type{typeMeasureWithUnit, typeLengthMeasureWithUnit, typePlaneAngleMeasureWithUnit, typeUncertaintyMeasureWithUnit} {
		rec := m.Record(t)
		if rec.Absent() {
			continue
		}
		p := rec.Params()
		if !p.More() {
			continue // an empty record of a complex instance
		}
		value = p.Real()
		unit = p.Instance()
		return value, unit, p.Err() == nil
	}
	return 0, unit, false
}

func (r *reader) readUncertainty(m part21.Instance, s *scale) {
	value, unit, ok := r.measure(m)
	if !ok || !unit.Is(typeLengthUnit) {
		return
	}
	if metres, _, ok := r.unitFactor(unit, 0); ok && value >= 0 {
		s.uncertainty = max(s.uncertainty, value*metres*mmPerMetre)
	}
}

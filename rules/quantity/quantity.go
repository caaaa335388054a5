// Package quantity reads numbers that carry a unit, such as "0.002 in", "1.5 deg" or "1000 kN".
//
// A value is held in one unit per dimension: mm, mm2, mm3, rad, rad/mm, N, MPa, kg, kg/m3, degrees
// Celsius, s, mm2/s, W/mK, m/min, kW, cm3/min, cm2/h; a share is 0 to 1. Conversion factors are
// exact by definition (the inch is 25.4 mm, the pound 0.45359237 kg, standard gravity 9.80665 m/s2:
// NIST Special Publication 811) up to the rounding of at most three operations.
//
// Invariants (the tests cite these numbers):
//
//	Q1  a value is never NaN, infinite, or a nonzero number that has become zero
//	Q2  a number without a unit is Plain, whatever the place it stands in would like it to be
//	Q3  what Format prints reads back as the same dimension and the same value within 1 in 10^11
package quantity

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"pocketgauge/rules/nearest"
)

// Dimension is what kind of quantity a number is.
type Dimension uint8

const (
	Plain Dimension = iota // a number without a unit
	Share
	Length
	Area
	Volume
	Angle
	AnglePerLength
	Force
	Pressure
	Mass
	Density
	Temperature
	Time
	Diffusivity
	Conductivity
	Speed
	Power
	VolumeRate
	AreaRate

	dimensions
)

// String is the dimension with its article, as it stands in a sentence: "a length".
func (d Dimension) String() string {
	if int(d) < len(names) {
		return names[d]
	}
	return "a quantity"
}

var names = [dimensions]string{
	"a plain number", "a share", "a length", "an area", "a volume", "an angle", "an angle per length",
	"a force", "a pressure", "a mass", "a density", "a temperature", "a time", "a diffusivity", "a conductivity",
	"a speed", "a power", "a volume per time", "an area per time",
}

// Dimensions are all dimensions.
func Dimensions() []Dimension {
	all := make([]Dimension, dimensions)
	for i := range all {
		all[i] = Dimension(i)
	}
	return all
}

// Example is how a quantity of the dimension is written.
func (d Dimension) Example() string {
	return [dimensions]string{
		"2", "80 %", "1.5 mm", "6 cm2", "120 cm3", "1.5 deg", "40 deg/mm", "1000 kN", "60 MPa", "12 kg",
		"7.8 g/cm3", "230 degC", "20 s", "0.07 mm2/s", "34 W/mK",
		"110 m/min", "15 kW", "40 cm3/min", "6 cm2/h",
	}[d]
}

type unit struct {
	name string
	dim  Dimension
	// value = number*factor/divisor + offset, in the dimension's own unit. A factor and a divisor
	// that are whole numbers make the result the nearest number to the exact one: 1.5 in is 38.1 mm
	// as 1.5*127/5, but 38.099999999999994 as 1.5*25.4.
	factor, divisor, offset float64
}

const (
	inch  = 25.4       // mm, exact since 1959
	pound = 0.45359237 // kg, exact since 1959
	g0    = 9.80665    // m/s2, standard gravity, exact by definition
)

// units lists every unit; the first of a dimension is its own unit, in which values are held.
var units = []unit{
	{"%", Share, 1, 100, 0},

	{"mm", Length, 1, 1, 0}, {"um", Length, 1, 1000, 0}, {"µm", Length, 1, 1000, 0}, {"μm", Length, 1, 1000, 0},
	{"cm", Length, 10, 1, 0}, {"m", Length, 1000, 1, 0}, {"in", Length, 127, 5, 0}, {"thou", Length, 127, 5000, 0},

	{"mm2", Area, 1, 1, 0}, {"cm2", Area, 100, 1, 0}, {"m2", Area, 1e6, 1, 0}, {"in2", Area, 127 * 127, 25, 0},
	{"mm²", Area, 1, 1, 0}, {"cm²", Area, 100, 1, 0},

	{"mm3", Volume, 1, 1, 0}, {"cm3", Volume, 1000, 1, 0}, {"l", Volume, 1e6, 1, 0}, {"in3", Volume, 127 * 127 * 127, 125, 0},
	{"mm³", Volume, 1, 1, 0}, {"cm³", Volume, 1000, 1, 0},

	{"rad", Angle, 1, 1, 0}, {"deg", Angle, math.Pi, 180, 0}, {"°", Angle, math.Pi, 180, 0},

	{"rad/mm", AnglePerLength, 1, 1, 0}, {"deg/mm", AnglePerLength, math.Pi, 180, 0}, {"deg/in", AnglePerLength, math.Pi * 5, 180 * 127, 0},

	{"N", Force, 1, 1, 0}, {"kN", Force, 1000, 1, 0}, {"MN", Force, 1e6, 1, 0}, {"tf", Force, 1000 * g0, 1, 0}, {"lbf", Force, pound * g0, 1, 0},

	{"MPa", Pressure, 1, 1, 0}, {"GPa", Pressure, 1000, 1, 0}, {"kPa", Pressure, 1, 1000, 0}, {"bar", Pressure, 1, 10, 0},
	{"N/mm2", Pressure, 1, 1, 0}, {"psi", Pressure, pound * g0, inch * inch, 0},

	{"kg", Mass, 1, 1, 0}, {"g", Mass, 1, 1000, 0}, {"t", Mass, 1000, 1, 0}, {"lb", Mass, pound, 1, 0},

	{"kg/m3", Density, 1, 1, 0}, {"g/cm3", Density, 1000, 1, 0}, {"lb/in3", Density, pound * 1e9, inch * inch * inch, 0},

	{"degC", Temperature, 1, 1, 0}, {"°C", Temperature, 1, 1, 0}, {"K", Temperature, 1, 1, -273.15},
	{"degF", Temperature, 5, 9, -160.0 / 9}, {"°F", Temperature, 5, 9, -160.0 / 9},

	{"s", Time, 1, 1, 0}, {"min", Time, 60, 1, 0}, {"h", Time, 3600, 1, 0},

	{"mm2/s", Diffusivity, 1, 1, 0}, {"m2/s", Diffusivity, 1e6, 1, 0},

	{"W/mK", Conductivity, 1, 1, 0},

	// The next four are held as the shop says them: the formulas of cutting have their 60 and 1000 written out.
	{"m/min", Speed, 1, 1, 0}, {"mm/min", Speed, 1, 1000, 0}, {"mm/s", Speed, 60, 1000, 0}, {"ft/min", Speed, 3048, 10000, 0},

	{"kW", Power, 1, 1, 0}, {"W", Power, 1, 1000, 0},

	{"cm3/min", VolumeRate, 1, 1, 0}, {"mm3/min", VolumeRate, 1, 1000, 0}, {"in3/min", VolumeRate, 127 * 127 * 127, 125000, 0},

	{"cm2/h", AreaRate, 1, 1, 0}, {"cm2/min", AreaRate, 60, 1, 0}, {"mm2/min", AreaRate, 60, 100, 0},
}

// Units are the names of the dimension's units, its own unit first.
func Units(d Dimension) []string {
	var names []string
	for _, u := range units {
		if u.dim == d {
			names = append(names, u.name)
		}
	}
	return names
}

// Quantity is a number as it was written and what it amounts to.
type Quantity struct {
	Number    float64
	Unit      string // "" when none was written
	Dimension Dimension
	Value     float64 // in the dimension's own unit
}

const (
	unsignedPattern = `([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?`
	numberPattern   = `[+-]?` + unsignedPattern
)

var number = regexp.MustCompile(`^` + numberPattern)

// Pattern is a regular expression (ECMA 262, as JSON Schema wants it) that matches a quantity of
// the dimension with its unit.
func Pattern(d Dimension) string { return pattern(d, numberPattern) }

// UnsignedPattern is Pattern for quantities that cannot be negative.
func UnsignedPattern(d Dimension) string { return pattern(d, `\+?`+unsignedPattern) }

func pattern(d Dimension, number string) string {
	if d == Plain {
		return `^` + number + `$`
	}
	var names []string
	for _, name := range Units(d) {
		names = append(names, regexp.QuoteMeta(name))
	}
	return `^` + number + ` *(` + strings.Join(names, "|") + `)$`
}

// UnitError tells that the unit is not known.
type UnitError struct {
	Unit string
	// Nearest is a known unit spelled alike, "" when there is none.
	Nearest string
}

func (e *UnitError) Error() string { return fmt.Sprintf("%q is no unit known here", e.Unit) }

// Errors of Parse that have no unit in them.
var (
	ErrNoNumber     = errors.New("no number")
	ErrTooLarge     = errors.New("too large for a number")
	ErrTooSmall     = errors.New("too close to zero for a number")
	ErrDecimalComma = errors.New("a decimal comma; write a decimal point")
)

// longest bounds the text of a quantity; a person needs far less.
const longest = 100

// Parse reads a number and, when there is one, its unit; spaces between them may be left out.
func Parse(text string) (Quantity, error) {
	text = strings.TrimSpace(text)
	digits := ""
	if len(text) <= longest {
		digits = number.FindString(text)
	}
	if digits == "" {
		return Quantity{}, ErrNoNumber
	}
	rest := strings.TrimSpace(text[len(digits):])
	if len(rest) > 1 && rest[0] == ',' && rest[1] >= '0' && rest[1] <= '9' {
		return Quantity{}, ErrDecimalComma
	}
	n, err := strconv.ParseFloat(digits, 64)
	if err != nil || math.IsInf(n, 0) {
		return Quantity{}, ErrTooLarge
	}
	mantissa, _, _ := strings.Cut(strings.ToLower(digits), "e")
	if n == 0 && strings.ContainsAny(mantissa, "123456789") {
		return Quantity{}, ErrTooSmall
	}
	return Of(n, rest)
}

// Of is a number in a unit; "" gives a plain number.
func Of(n float64, name string) (Quantity, error) {
	if math.IsNaN(n) || math.IsInf(n, 0) {
		return Quantity{}, ErrTooLarge
	}
	if name == "" {
		return Quantity{Number: n, Value: n}, nil
	}
	for _, u := range units {
		if u.name != name {
			continue
		}
		value := n*u.factor/u.divisor + u.offset
		if math.IsInf(value, 0) {
			return Quantity{}, ErrTooLarge
		}
		if value == 0 && n != 0 && u.offset == 0 {
			return Quantity{}, ErrTooSmall
		}
		return Quantity{Number: n, Unit: name, Dimension: u.dim, Value: value}, nil
	}
	all := make([]string, len(units))
	for i, u := range units {
		all[i] = u.name
	}
	e := &UnitError{Unit: name}
	for _, candidate := range all {
		if strings.EqualFold(candidate, name) {
			e.Nearest = candidate
		}
	}
	if meant := spelled[name]; meant != "" {
		e.Nearest = meant
	}
	if e.Nearest == "" {
		e.Nearest, _ = nearest.Word(name, all)
	}
	return Quantity{}, e
}

// spelled are other ways of writing a unit, which are refused so that one file reads like the next.
var spelled = map[string]string{
	"inch": "in", "inches": "in", `"`: "in", "mil": "thou", "micron": "um", "degree": "deg", "degrees": "deg", "C": "degC", "F": "degF",
	"mm^2": "mm2", "cm^2": "cm2", "mm^3": "mm3", "cm^3": "cm3", "cc": "cm3", "ml": "cm3", "ton": "t", "tons": "t", "tonne": "t",
	"sec": "s", "percent": "%", "N/mm^2": "N/mm2", "W/(m K)": "W/mK", "W/(mK)": "W/mK", "W/m/K": "W/mK", "g/cc": "g/cm3",
}

// shown is the unit in which a person expects to read the dimension.
var shown = [dimensions]string{
	"", "%", "mm", "mm2", "mm3", "deg", "deg/mm", "kN", "MPa", "kg", "g/cm3", "degC", "s", "mm2/s", "W/mK",
	"m/min", "kW", "cm3/min", "cm2/h",
}

// shownLarge are the units in which large values read better, the largest first.
var shownLarge = [dimensions][]struct {
	name string
	from float64
}{Area: {{"cm2", 10000}}, Volume: {{"cm3", 10000}}, Pressure: {{"GPa", 10000}}, Time: {{"h", 3600}, {"min", 120}}}

// Format is a value held in the dimension's own unit as a person reads it. Twelve figures are kept:
// enough for any limit, and few enough that the rounding of a conversion does not show.
func Format(d Dimension, value float64) (text, name string) {
	name = shown[d]
	for _, large := range shownLarge[d] {
		if math.Abs(value) >= large.from {
			name = large.name
			break
		}
	}
	for _, u := range units {
		if u.name == name {
			value = (value - u.offset) * u.divisor / u.factor
			break
		}
	}
	short, err := strconv.ParseFloat(strconv.FormatFloat(value, 'g', 12, 64), 64)
	if err != nil {
		short = value
	}
	format := byte('f')
	if a := math.Abs(short); a >= 1e15 || (a > 0 && a < 1.0/100000) {
		format = 'g'
	}
	return strconv.FormatFloat(short, format, -1, 64), name
}

package quantity

import (
	"errors"
	"math"
	"regexp"
	"testing"
)

// Factors: NIST Special Publication 811 (2008), Appendix B.8 (inch, pound, pound-force, psi, degree
// Fahrenheit) and the SI prefixes.
func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		dim  Dimension
		want float64
	}{
		{"0.002 in", Length, 0.0508}, {"1.5 deg", Angle, 0.0261799387799149}, {"1000 kN", Force, 1e6},
		{"60 MPa", Pressure, 60}, {"3 cm3", Volume, 3000}, {"12kg", Mass, 12}, {"-4 mm", Length, -4},
		{"+.5mm", Length, 0.5}, {"5.mm", Length, 5}, {"1e2 um", Length, 0.1}, {"12 µm", Length, 0.012},
		{"85 %", Share, 0.85}, {"85%", Share, 0.85}, {"7", Plain, 7}, {"1 in3", Volume, 16387.064},
		{"1 in2", Area, 645.16}, {"1 lb", Mass, 0.45359237}, {"1 lbf", Force, 4.4482216152605},
		{"1 psi", Pressure, 0.006894757293168}, {"32 degF", Temperature, 0}, {"212 °F", Temperature, 100},
		{"273.15 K", Temperature, 0}, {"1 tf", Force, 9806.65}, {"7.83 g/cm3", Density, 7830},
		{"0.2829 lb/in3", Density, 7830.6}, {"40 deg/mm", AnglePerLength, 40 * math.Pi / 180},
		{"1 min", Time, 60}, {"1e-7 m2/s", Diffusivity, 0.1}, {"34 W/mK", Conductivity, 34},
		{"10 bar", Pressure, 1}, {"90°", Angle, math.Pi / 2}, {"1 thou", Length, 0.0254},
	} {
		q, err := Parse(c.text)
		tolerance := 1e-12 * math.Max(1, math.Abs(c.want))
		if c.text == "0.2829 lb/in3" { // the handbook figure has four places
			tolerance = 0.1
		}
		if err != nil || q.Dimension != c.dim || !(math.Abs(q.Value-c.want) <= tolerance) {
			t.Errorf("Parse(%q) = %v %v, %v; want %v %v", c.text, q.Value, q.Dimension, err, c.want, c.dim)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for text, want := range map[string]error{
		"": ErrNoNumber, "mm": ErrNoNumber, "NaN": ErrNoNumber, "inf": ErrNoNumber, ".inf": ErrNoNumber,
		"-Infinity": ErrNoNumber, ". mm": ErrNoNumber, "1e999": ErrTooLarge, "1e308 m": ErrTooLarge,
		"1e-999 mm": ErrTooSmall, "1,5 mm": ErrDecimalComma,
	} {
		if q, err := Parse(text); !errors.Is(err, want) {
			t.Errorf("Parse(%q) = %v, %v; want %v", text, q, err, want)
		}
	}
	for text, near := range map[string]string{"1 degs": "deg", "1 MM": "mm", "1 mpa": "MPa", "1 furlong": "", "4 inch": "in", "230 C": "degC", "1 q": "", "1 0x10": "", "1_000": "", "0x10 mm": ""} {
		_, err := Parse(text)
		var unit *UnitError
		if !errors.As(err, &unit) || unit.Nearest != near {
			t.Errorf("Parse(%q): %v, want an unknown unit near %q", text, err, near)
		}
	}
}

func TestEveryUnitIsReadBackAndMatchesItsPattern(t *testing.T) {
	for d := range dimensions {
		pattern := regexp.MustCompile(Pattern(d))
		if d != Plain && len(Units(d)) == 0 {
			t.Errorf("%v has no unit", d)
		}
		for _, name := range Units(d) {
			q, err := Parse("2.5 " + name)
			if err != nil || q.Dimension != d || q.Unit != name {
				t.Errorf("2.5 %s: %+v, %v", name, q, err)
			}
			if !pattern.MatchString("2.5 "+name) || pattern.MatchString("2.5 furlong") {
				t.Errorf("pattern of %v does not tell %q from a furlong", d, name)
			}
			text, shownName := Format(d, q.Value)
			again, err := Parse(text + " " + shownName)
			if err != nil || again.Dimension != d || math.Abs(again.Value-q.Value) > 1e-11*math.Max(1, math.Abs(q.Value)) {
				t.Errorf("Q3: %v of %v prints as %s %s, which reads as %v %v", q.Value, d, text, shownName, again, err)
			}
		}
		if q, err := Parse(d.Example()); err != nil || q.Dimension != d {
			t.Errorf("the example %q of %v reads as %v, %v", d.Example(), d, q.Dimension, err)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"1.5 deg", "0.002in", "1e999", "1,5", "-0 degC", "85 %", "٣ mm", "1e-320 thou"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := Parse(text)
		if err != nil {
			return
		}
		if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
			t.Fatalf("Q1: %q gives %v", text, q.Value)
		}
		if (q.Unit == "") != (q.Dimension == Plain) {
			t.Fatalf("Q2: %q gives %v in %q", text, q.Dimension, q.Unit)
		}
	})
}

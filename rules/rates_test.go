package rules

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pocketgauge/rules/quantity"
)

// Every number in force has a path of its own, is in the listing under it, and says where it is from.
func TestEveryRateHasItsPathAndSource(t *testing.T) {
	for _, r := range []*Rates{DefaultRates(), rates(t, "testdata/sample-rates.yaml")} {
		shown := map[string]Row{}
		for _, row := range ShowRates(r) {
			shown[row.Key] = row
		}
		seen := map[string]bool{}
		r.EachNumber(func(path string, l *Limit) {
			if seen[path] {
				t.Errorf("%s is visited twice", path)
			}
			seen[path] = true
			if l.Origin.String() == "" {
				t.Errorf("%s = %v has no origin", path, l.Value)
			}
			if _, ok := shown[path]; !ok && r.File == "" {
				t.Errorf("%s is not in the listing", path)
			}
		})
		if len(seen) < 150 {
			t.Errorf("%d numbers visited, want 150 or more", len(seen))
		}
	}
}

func rates(t *testing.T, name string) *Rates {
	t.Helper()
	r, err := LoadRates(name)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestCloneSharesNoNumber(t *testing.T) {
	r := rates(t, "testdata/sample-rates.yaml")
	before := listing(ShowRates(r))
	c := r.Clone()
	c.EachNumber(func(_ string, l *Limit) { l.Value++ })
	if diff := cmp.Diff(before, listing(ShowRates(r))); diff != "" {
		t.Errorf("changing the copy changed the original:\n%s", diff)
	}
	if before == listing(ShowRates(c)) {
		t.Error("changing every number of the copy changed nothing")
	}
}

// What Write says, a file may say, and it reads back as the value.
func TestWrittenRatesReadBack(t *testing.T) {
	for path, value := range map[string]float64{"design.per_job": 9.25 * 3600, "erosion.rough_removal": 0.0123, "edges.speed": 0.123,
		"milling.facing.over_cut": 1.75, "polishing.effort": 0.83, "fitting.face": 33.3, "programming.per_cutter": 611} {
		text, ok := DefaultRates().Write(path, value)
		if !ok {
			t.Errorf("%s cannot be written", path)
			continue
		}
		parts := strings.Split(path, ".")
		yaml := strings.Repeat(" ", len(parts)-1) + parts[len(parts)-1] + ": " + text
		for i := len(parts) - 2; i >= 0; i-- {
			yaml = strings.Repeat(" ", i) + parts[i] + ":\n" + yaml
		}
		r, err := LoadRatesFS(folder(map[string]string{"r.yaml": yaml}), "r.yaml")
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		r.EachNumber(func(p string, l *Limit) {
			if p == path && math.Abs(l.Value-value) > 1e-9*value {
				t.Errorf("%s: %s reads back as %v, want %v", path, text, l.Value, value)
			}
		})
	}
	if text, ok := DefaultRates().Write("design.per_jobb", 1); ok {
		t.Errorf("an unknown path is written as %q", text)
	}
}

func TestClassesOfFinish(t *testing.T) {
	r := rates(t, "testdata/sample-rates.yaml")
	for class, want := range map[string]float64{"A": 5, "SPI A-1": 5, "B-2": 10, "SPI-C3": 18, "VDI 24": 18, "VDI 25": 0, "E-1": 0, "": 0, "SPI": 0, "Abc": 0} {
		c := r.Polish(class)
		if (c == nil) != (want == 0) || c != nil && c.Rate.Value != want {
			t.Errorf("class %q: %+v, want %v cm2/h", class, c, want)
		}
	}
}

// 1 ft/min is 0.3048 m/min, 1 in3 is 16.387064 cm3: NIST Special Publication 811, Appendix B.8.
func TestShopUnits(t *testing.T) {
	for _, c := range []struct {
		text string
		dim  quantity.Dimension
		want float64
	}{{"60 ft/min", quantity.Speed, 18.288}, {"5 mm/s", quantity.Speed, 0.3}, {"1500 W", quantity.Power, 1.5},
		{"1 in3/min", quantity.VolumeRate, 16.387064}, {"15 mm3/min", quantity.VolumeRate, 0.015}, {"1 cm2/min", quantity.AreaRate, 60}, {"100 mm2/min", quantity.AreaRate, 60}} {
		q, err := quantity.Parse(c.text)
		if err != nil || q.Dimension != c.dim || math.Abs(q.Value-c.want) > 1e-12*c.want {
			t.Errorf("%s is %v %v, %v; want %v", c.text, q.Value, q.Dimension, err, c.want)
		}
	}
}

// FuzzLoadRates: whatever a rates file holds, the loader neither panics nor lets a number that is
// none through, and a second reading says the same.
func FuzzLoadRates(f *testing.F) {
	seeds(f, func(text string) { f.Add(text) })
	f.Fuzz(func(t *testing.T, text string) {
		files := folder(map[string]string{"r.yaml": text, "sample-house-rates.yaml": "margin: 3 %\n"})
		one, err := LoadRatesFS(files, "r.yaml")
		two, again := LoadRatesFS(files, "r.yaml")
		if (one == nil) == (err == nil) || (err == nil) != (again == nil) || err != nil && err.Error() != again.Error() {
			t.Fatalf("%v, then %v", err, again)
		}
		if err != nil {
			return
		}
		one.EachNumber(func(path string, l *Limit) {
			if math.IsNaN(l.Value) || math.IsInf(l.Value, 0) {
				t.Fatalf("%s = %v", path, l.Value)
			}
		})
		if listing(ShowRates(one)) != listing(ShowRates(two)) {
			t.Fatal("two readings differ")
		}
	})
}

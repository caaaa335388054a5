package takeoff_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pocketgauge/checks/takeoff"
	"pocketgauge/mesh/meshtest"
)

// few is a shop of two cutters; making is more of that section, thin of the thin cutter.
func few(making, thin string) string {
	return fmt.Sprintf(`blank: {height: 41, side_stock: 0.5, seat_stock: 0.3}
making:
  smallest_cutter: 4
%s
  cutters:
    - {name: flat 12, kind: flat, diameter: 12, stick_out: 60}
    - {name: flat 4, kind: flat, diameter: 4, stick_out: 24%s}
`, making, thin)
}

// A pocket of 30 x 20, 10 deep, that a cutter of 4 mm clears: its four corners keep 4 (1 - pi/4) a
// millimetre of depth each. Who burns them, and with what, the rules say; the volume is the same.
func TestCornersAreBurntOrLeft(t *testing.T) {
	corner := 2 * 2 * (1 - math.Pi/4) * 10
	pocketed := meshtest.BlockWithPockets(nominal, box(-15, -10, 30.03, 15, 10, 50)).Mesh
	for _, c := range []struct {
		rules       string
		burnt       int
		electrodes  []takeoff.Electrode
		because     string
		leftCorners float64
	}{
		// All four lie within 40 mm, but with another 25 mm one serves two, and moves on to the others.
		{"", 4, []takeoff.Electrode{{Places: 4, Positions: 1}}, "", 0},
		{"  electrode_blank: 25", 4, []takeoff.Electrode{{Places: 2, Positions: 2}}, "", 0},
		{"  electrode_blank: 5", 4, []takeoff.Electrode{{Places: 1, Positions: 4}}, "", 0},
		{"  corner_left: 2", 0, nil, "corner to R2", 4 * corner},
		// A little under what the cutter leaves they are burnt again.
		{"  corner_left: 1.9", 4, []takeoff.Electrode{{Places: 4, Positions: 1}}, "", 0},
		{"  corner_left: 0\n  burn_least: 1 cm3", 4, []takeoff.Electrode{{Places: 4, Positions: 1}}, "", 0},
	} {
		off := of(t, subject(t, frame(t, few(c.rules, "")), pocketed))
		addsUp(t, off)
		burnt := 0
		for _, b := range off.Burns {
			within(t, c.rules, b.VolumeMM3, corner)
			if math.Abs(b.RadiusMM-2) > 0.01 {
				t.Errorf("%q: a corner of R%v, want R2", c.rules, b.RadiusMM)
			}
			if b.Left == "" {
				burnt++
			} else if b.Left != c.because {
				t.Errorf("%q: left because it is a %s", c.rules, b.Left)
			}
		}
		if len(off.Burns) != 4 || burnt != c.burnt || len(off.Electrodes) != len(c.electrodes) {
			t.Errorf("%q: %d regions, %d burnt by %+v; want 4, %d, %+v", c.rules, len(off.Burns), burnt, off.Electrodes, c.burnt, c.electrodes)
			continue
		}
		for i, e := range c.electrodes {
			if got := off.Electrodes[i]; got.Places != e.Places || got.Positions != e.Positions {
				t.Errorf("%q: electrode %+v, want %+v", c.rules, got, e)
			}
		}
		within(t, c.rules+" burnt", takeoff.Figure{Value: off.BurnMM3.Value, Error: off.BurnMM3.Error + 0x1p-30}, float64(c.burnt)*corner)
		within(t, c.rules+" left", takeoff.Figure{Value: off.LeftMM3.Value, Error: off.LeftMM3.Error + 0x1p-30}, c.leftCorners)
	}
}

// A pocket of 20 x 20, 30 deep. A holder of 25 mm stays above it, so that the cutter of 24 mm stick-out
// leaves the lowest 6 mm, and its round outline in the corners above; one of 8 mm goes in, and keeps the cutter 2 mm from the walls
// there, and its round outline in the corners everywhere.
func TestHoldersKeepClear(t *testing.T) {
	const corners = 4 * 4 * (1 - math.Pi/4)
	const slim = (20*20-16*16+corners)*6 + corners*24
	pocketed := meshtest.BlockWithPockets(nominal, box(-10, -10, 10.03, 10, 10, 50)).Mesh
	for _, c := range []struct {
		rules, thin, says string
		left              float64
	}{
		{"", "", "25 mm thick", 20*20*6 + corners*24},
		{"", ", holder: 8", "as the cutter's entry says", slim},
		{"  holder_diameter: 8\n  holder_ratio: 1", "", "8 mm thick", slim},
		{"  holder_diameter: 8\n  holder_ratio: 6", "", "at least 6 cutters", 20*20*6 + corners*24},
	} {
		text := strings.Replace(few(c.rules, c.thin), "    - {name: flat 12, kind: flat, diameter: 12, stick_out: 60}\n", "", 1)
		off := of(t, subject(t, frame(t, text), pocketed))
		addsUp(t, off)
		got := off.BurnMM3.Value + off.LeftMM3.Value
		if math.Abs(got-c.left) > 0.02*c.left || !strings.Contains(off.Holders, c.says) {
			t.Errorf("%s%s: %.1f mm3 no cutter reaches, want %.1f; holders: %s", c.rules, c.thin, got, c.left, off.Holders)
		}
	}
}

// A recess of 16 x 14, 1 mm deep, in the left side is 224 mm3: more than 0.2 cm3, for which by default
// no side is clamped, and less than 0.3.
func TestASideIsClampedForEnoughMetal(t *testing.T) {
	recessed := meshtest.BlockWithPockets(nominal, box(-60, -8, 10, -48.98, 8, 24)).Mesh
	for rules, want := range map[string]bool{"": true, "  least_set_up: 0.3 cm3": false} {
		off := of(t, subject(t, frame(t, few(rules, "")), recessed))
		addsUp(t, off)
		clamped := milled(off, "left").Value > 0
		if clamped != want || len(off.Electrodes) > 0 || !clamped && math.Abs(off.LeftMM3.Value-224) > off.LeftMM3.Error+0x1p-30 {
			t.Errorf("%s: clamped for the left: %v, want %v; left %v, electrodes %v", rules, clamped, want, off.LeftMM3, off.Electrodes)
		}
	}
}

// A step that the wide cutter clears and a slot of 5 mm that only the thin one enters: of the floors
// (parting face, step and slot) the slot's is the thin cutter's share, and of the walls all but the step's,
// some of which sparks reach alone.
func TestSurfaceIsSharedOutByCutter(t *testing.T) {
	step := box(20, -60, 34.03, 60, 60, 50)
	slot := box(-30, -2.5, 32.03, 0, 2.5, 50)
	off := of(t, subject(t, frame(t, few("", "")), meshtest.BlockWithPockets(nominal, step, slot).Mesh))
	addsUp(t, off)
	const w, l = 99.96, 59.96
	want := map[string]float64{
		takeoff.Floor: 30 * 5 / (w * l),
		takeoff.Wall:  2 * (30 + 5) * 8 / (2*(30+5)*8 + l*6),
	}
	for _, a := range off.Finish {
		thin := 0
		for _, x := range a.Reached {
			if x.DiameterMM == 4 || x.DiameterMM == 0 && a.Kind == takeoff.Wall {
				thin += x.Percent
			}
		}
		if share, ok := want[a.Kind]; !ok || math.Abs(float64(thin)-100*share) > 2 {
			t.Errorf("%s: the thin cutter's share is %d %% of %v, want %.1f %%", a.Kind, thin, a.Reached, 100*share)
		}
	}
}

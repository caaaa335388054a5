package checks

import (
	"fmt"

	"github.com/golang/geo/r3"
)

var coolPorts = Check{
	ID:    "cool.ports",
	Title: "A waterline opens at each port of the frame, in its place and width",
	Doc: `Water comes through the frame: where the insert's line stands beside the frame's port the seal leaks, and where
there is none the insert runs dry. Measured: for each port that the frame states for this half, how far the
axis of the line that opens there stands from the port's middle, and that line's diameter. A port at which no
line opens within its own diameter has none. Seals and their grooves are not looked at. The place of a port
is the frame's; half a millimetre beside it is common practice, no source.`,
	Unit:       MM,
	Keys:       []string{"cooling.ports.position", "cooling.ports.diameter", "cooling.diameter_tolerance"},
	Mend:       `Move the mouth of the waterline to the frame's port.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		var list []Reading
		w := s.water()
		for i := range w.ports {
			list = append(list, s.portReadings(w, &w.ports[i])...)
		}
		return list
	},
}

func (s *Subject) portReadings(w *water, p *waterPort) []Reading {
	place := Reading{Of: p.Name.Value, Measured: true, Limit: AtMost(p.PositionMM.Value), At: p.At.At, Located: true}
	if p.line < 0 {
		// There is nothing nearer than the search for it reached.
		place.Value, place.Beyond = p.DiameterMM.Value+p.PositionMM.Value, true
		place.Says = "No waterline opens at this port."
		place.Mend = fmt.Sprintf("Drill a waterline of %g mm from (%g, %g, %g).", p.DiameterMM.Value, p.At.At.X, p.At.At.Y, p.At.At.Z)
		return []Reading{place}
	}
	l := &w.lines[p.line]
	axis := l.along()
	off := p.At.At.Sub(l.from)
	off = off.Sub(axis.Mul(off.Dot(axis))).Mul(-1) // from the port to the axis
	place.Value, place.Uncertainty, place.At = off.Norm(), l.diameterErrorMM/2+s.StorageMM(), p.opening
	place.Says = fmt.Sprintf("The line that opens here stands %.3f mm beside the port.", place.Value)
	if place.Value > p.PositionMM.Value {
		place.Mend = fmt.Sprintf("Move the waterline by %s.", moveText(off.Mul(-1)))
	}
	allowed := s.Frame.Cooling.DiameterToleranceMM.Value
	width := Reading{
		Of: p.Name.Value + ", diameter", Measured: true, Value: l.diameterMM, Uncertainty: l.diameterErrorMM + 2*s.StorageMM(),
		Limit: Between(p.DiameterMM.Value-allowed, p.DiameterMM.Value+allowed), At: p.opening, Located: true,
		Says: fmt.Sprintf("The line that opens here is %.4g mm wide, the port %g mm.", l.diameterMM, p.DiameterMM.Value),
		Mend: fmt.Sprintf("Drill the line with %g mm, or widen its mouth for the frame's seal.", p.DiameterMM.Value),
	}
	if !s.listedDiameter(l) {
		return []Reading{place} // cool.diameter says so
	}
	return []Reading{place, width}
}

// listedDiameter reports whether the line has a diameter of the list, or there is no list.
func (s *Subject) listedDiameter(l *waterline) bool {
	listed := s.Frame.Cooling.WaterlineDiametersMM
	if !listed.Set || len(listed.Values) == 0 {
		return true
	}
	for _, v := range listed.Values {
		if abs(v-l.diameterMM) <= s.Frame.Cooling.DiameterToleranceMM.Value+l.diameterErrorMM {
			return true
		}
	}
	return false
}

// moveText is a way in words, by its largest parts.
func moveText(d r3.Vector) string {
	text := ""
	for _, c := range [...]struct {
		mm   float64
		axis string
	}{{d.X, "x"}, {d.Y, "y"}, {d.Z, "z"}} {
		if abs(c.mm) < moveFloorMM {
			continue
		}
		if text != "" {
			text += " and "
		}
		text += fmt.Sprintf("%+.3f mm along %s", c.mm, c.axis)
	}
	return text
}

// moveFloorMM: a way shorter than this along an axis is not worth a word.
const moveFloorMM = 0.0005

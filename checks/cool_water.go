package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/proximity"
	"pocketgauge/mesh/roles"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// waterline is one drilling for water. What other drillings cross comes out of the mesh as
// several bores on one axis; they are one line here.
type waterline struct {
	bores                       []int32 // ascending
	from, to                    r3.Vector
	diameterMM, diameterErrorMM float64
	// openings are where it comes out of the insert, on its axis.
	openings []r3.Vector
	circuit  int
}

func (l *waterline) along() r3.Vector { return l.to.Sub(l.from).Normalize() }

// water is what of an insert is drilled for water.
type water struct {
	lines    []waterline
	circuits int
	// ports are those of the frame that concern this half, in the order of the rules.
	ports []waterPort
}

// waterPort is a port of the frame and the line that opens there.
type waterPort struct {
	*rules.Port
	line    int // -1 for none
	opening r3.Vector
}

var waterFact = fact[*water]{findWater}

// water joins bores into lines, and lines that run into each other into circuits.
func (s *Subject) water() *water { return waterFact.of(s) }

func findWater(s *Subject) *water {
	bores, contacts := s.Surfaces().Bores, &rolesFact.of(s).bores
	out := &water{}
	for i := range s.Frame.Cooling.Ports {
		if p := &s.Frame.Cooling.Ports[i]; p.Half.HoldsFor(s.Half) {
			out.ports = append(out.ports, waterPort{Port: p, line: -1})
		}
	}
	isWater := make([]bool, len(bores))
	for i := range bores {
		isWater[i] = bores[i].Purpose == Waterline || bores[i].Purpose == OtherBore && bores[i].Runs(s.Draw()) == roles.Across && opensAtPort(&bores[i], out.ports)
	}
	lines, circuits := mesh.NewForest(len(bores)), mesh.NewForest(len(bores))
	for i := range bores {
		if !isWater[i] {
			continue
		}
		for _, j := range contacts.meets[i] {
			if !isWater[j] {
				continue
			}
			circuits.Join(int32(i), j)
			// Two that the same third one cuts, or that meet, are one line if they share an axis.
			for _, k := range append(contacts.meets[j], j) {
				if int(k) != i && isWater[k] && sameDrilling(&bores[i], &bores[k]) {
					lines.Join(int32(i), k)
				}
			}
		}
	}
	number := map[int32]int{} // line by root
	circuit := map[int32]int{}
	for i := range bores {
		if !isWater[i] {
			continue
		}
		root := lines.Root(int32(i))
		n, ok := number[root]
		if !ok {
			n = len(out.lines)
			number[root] = n
			c, seen := circuit[circuits.Root(int32(i))]
			if !seen {
				c = out.circuits
				circuit[circuits.Root(int32(i))] = c
				out.circuits++
			}
			out.lines = append(out.lines, waterline{circuit: c})
		}
		l := &out.lines[n]
		l.bores = append(l.bores, int32(i))
		l.openings = append(l.openings, openingsOf(&bores[i], contacts.outside[i])...)
	}
	for i := range out.lines {
		out.lines[i].measure(bores)
	}
	out.assignPorts()
	return out
}

// opensAtPort reports whether the bore's axis passes a port within the port's radius.
func opensAtPort(b *Bore, ports []waterPort) bool {
	for _, p := range ports {
		for _, end := range [2]r3.Vector{b.Mouth, endOf(b)} {
			if end.Sub(p.At.At).Norm() <= p.DiameterMM.Value+b.DiameterMM/2 && fromAxis(p.At.At, b.Mouth, b.Into) <= p.DiameterMM.Value/2 {
				return true
			}
		}
	}
	return false
}

func fromAxis(p, origin, axis r3.Vector) float64 {
	d := p.Sub(origin)
	return d.Sub(axis.Mul(d.Dot(axis))).Norm()
}

// sameDrilling reports whether two bores lie on one axis and have one diameter, within what their
// fits are unsure of and a chord.
func sameDrilling(a, b *Bore) bool {
	const halfDegreeCos = 0.99996
	off := 2 * (tol.ChordMM + a.DiameterErrorMM + b.DiameterErrorMM)
	middle := b.Mouth.Add(endOf(b)).Mul(0.5)
	return abs(a.Into.Dot(b.Into)) >= halfDegreeCos && fromAxis(middle, a.Mouth, a.Into) <= off && abs(a.DiameterMM-b.DiameterMM) <= off
}

// openingsOf are the points of the axis where a bore's wall ends in other surfaces than bores and detail: one a
// mouth.
func openingsOf(b *Bore, rim []r3.Vector) []r3.Vector {
	var sum [2]float64
	var count [2]int
	for _, p := range rim {
		x := p.Sub(b.Mouth).Dot(b.Into)
		end := 0
		if x > b.DepthMM/2 {
			end = 1
		}
		sum[end] += x
		count[end]++
	}
	var out []r3.Vector
	for end := range 2 {
		if count[end] > 0 {
			out = append(out, b.Mouth.Add(b.Into.Mul(sum[end]/float64(count[end]))))
		}
	}
	return out
}

// measure finds the line's ends and takes the diameter of its longest bore.
func (l *waterline) measure(bores []Bore) {
	first := &bores[l.bores[0]]
	low, high, longest := math.Inf(1), math.Inf(-1), -1.0
	for _, i := range l.bores {
		b := &bores[i]
		for _, p := range [2]r3.Vector{b.Mouth, endOf(b)} {
			x := p.Sub(first.Mouth).Dot(first.Into)
			low, high = min(low, x), max(high, x)
		}
		if b.DepthMM > longest {
			longest, l.diameterMM, l.diameterErrorMM = b.DepthMM, b.DiameterMM, b.DiameterErrorMM
		}
	}
	l.from, l.to = first.Mouth.Add(first.Into.Mul(low)), first.Mouth.Add(first.Into.Mul(high))
}

// assignPorts gives each port the line that opens nearest to it, within the port's own diameter.
func (w *water) assignPorts() {
	for k := range w.ports {
		p := &w.ports[k]
		nearest := p.DiameterMM.Value + p.PositionMM.Value
		for i := range w.lines {
			for _, o := range w.lines[i].openings {
				if d := o.Sub(p.At.At).Norm(); d < nearest {
					nearest, p.line, p.opening = d, i, o
				}
			}
		}
	}
}

// name says for people which line it is: its diameter and where it begins.
func (l *waterline) name() string {
	at := l.from
	if len(l.openings) > 0 {
		at = l.openings[0]
	}
	return fmt.Sprintf("the waterline of diameter %.4g mm at (%.1f, %.1f, %.1f)", l.diameterMM, at.X, at.Y, at.Z)
}

// circuitName is the name of a circuit among several, "" where there is but one.
func (w *water) circuitName(circuit int) string {
	if w.circuits == 1 {
		return ""
	}
	return fmt.Sprintf("circuit %d", circuit+1)
}

// axesOf are the cylinders of a line.
func (l *waterline) axesOf(bores []Bore) []proximity.Axis {
	var out []proximity.Axis
	for _, i := range l.bores {
		for _, step := range bores[i].Steps {
			out = append(out, stepAxis(&bores[i], step.FromMM, step.ToMM, step.DiameterMM))
		}
	}
	return out
}

const noWater = "no waterline was found: no bore across the draw has a diameter that the rules list, or opens at a port"

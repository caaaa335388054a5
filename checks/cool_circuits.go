package checks

import "fmt"

var coolCircuits = Check{
	ID:    "cool.circuits",
	Title: "Water runs from port to port, in as many circuits as asked",
	Doc: `A drilling that stops a millimetre short of the next one leaves a blind end: no water passes, and nobody sees it from
outside. Measured: drillings that run into each other are one circuit; crossed drillings are joined again
along their axis. A circuit counts where it joins two ports of the frame, or, where the frame states none,
where it comes out of the insert twice. Other openings are taken for plugged. Counted beside it are the ports
that lead to no other port. Whether the water takes every branch, and plugs, baffles and seals, are not seen.
How many circuits, the frame says.`,
	Unit:       Count,
	Keys:       []string{"cooling.circuits", "cooling.ports"},
	Mend:       `Drill on until the lines meet.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		w := s.water()
		asked := s.Frame.Cooling.Circuits
		var list []Reading
		if asked.Set() {
			r := Reading{Of: "", Measured: true, Value: float64(w.joined()), Limit: bandOf(asked.Least, asked.Most)}
			r.Says = fmt.Sprintf("%d of %d drilled circuits lead from port to port; %d openings are to be plugged.", w.joined(), w.circuits, w.plugs())
			if len(w.ports) == 0 {
				r.Says = fmt.Sprintf("%d of %d drilled circuits come out of the insert twice or more.", w.joined(), w.circuits)
			}
			list = append(list, r)
		}
		open, lost := w.portsWithLine()
		if len(open) > 0 {
			r := Reading{Of: "ports that lead nowhere", Measured: true, Value: float64(len(lost)), Limit: AtMost(0)}
			r.Says = fmt.Sprintf("All %d ports at which a line opens are joined to another one.", len(open))
			if len(lost) > 0 {
				r.At, r.Located = lost[0].opening, true
				r.Says = fmt.Sprintf("Of %d ports at which a line opens %d lead to no other port, the first is %q.", len(open), len(lost), lost[0].Name.Value)
			}
			if len(open) > 1 {
				list = append(list, r)
			}
		}
		return list
	},
}

// portsWithLine are the ports at which a line opens, and those of them that reach no other port.
func (w *water) portsWithLine() (open, lost []*waterPort) {
	count := make([]int, w.circuits)
	for i := range w.ports {
		if p := &w.ports[i]; p.line >= 0 {
			open = append(open, p)
			count[w.lines[p.line].circuit]++
		}
	}
	for _, p := range open {
		if count[w.lines[p.line].circuit] < 2 {
			lost = append(lost, p)
		}
	}
	return open, lost
}

// joined is the number of circuits through which water can run.
func (w *water) joined() int {
	count := make([]int, w.circuits)
	for i := range w.ports {
		if p := &w.ports[i]; p.line >= 0 {
			count[w.lines[p.line].circuit]++
		}
	}
	if len(w.ports) == 0 {
		for i := range w.lines {
			count[w.lines[i].circuit] += len(w.lines[i].openings)
		}
	}
	joined := 0
	for _, n := range count {
		if n >= 2 {
			joined++
		}
	}
	return joined
}

// plugs is the number of openings at no port.
func (w *water) plugs() int {
	n := 0
	for i := range w.lines {
		n += len(w.lines[i].openings)
	}
	for i := range w.ports {
		if w.ports[i].line >= 0 {
			n--
		}
	}
	return n
}

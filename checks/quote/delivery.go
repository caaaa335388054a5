package quote

import (
	"math"
	"slices"
)

// Delivery is how long work takes in weeks, where each machine works its weekly hours.
//
// A job goes through the shop machine by machine, in the order in which its lines first name them.
// One machine holds one job at a time; several of one kind share it out. Blanks are on order while
// the job is drawn and programmed. Jobs of a batch follow one another in the order of the quotes and
// overlap as far as the machines allow: job j leaves machine m at
//
//	C(j, m) = max(C(j-1, m), C(j, m-1)) + its hours there / weekly hours that are free
//
// which is the makespan of a permutation flow shop, a plan that can be kept and not the best there is.
// All low or all high at once, as for money.
type Delivery struct {
	Weeks [3]float64 // low, likely, high
	// Loads are the machines in the order of the work.
	Loads []Load
	// Critical is the machine that is busy longest; the next job waits for it.
	Critical string
	// OutsideWeeks are spent at the hardener.
	OutsideWeeks float64
}

// Load is how long a machine is busy.
type Load struct {
	Machine string
	Hours   float64
	// Weekly are the hours a week that are free for the work, of all machines of the name together.
	Weekly, Weeks float64
}

// stage is a job's time at one machine, low, likely, high, in weeks.
type stage struct {
	machine string
	weeks   [3]float64
}

// officeStages are done before a blank is needed.
const (
	designing   = "design"
	programming = "programming"
)

// plan is a job's stages: those that need no blank, then the others.
type plan struct {
	office, shop []stage
	outside      float64
	steel        float64
}

func (s *Shop) plan(lines []Line, outside float64) plan {
	p := plan{outside: outside, steel: s.rates.Delivery.SteelWeeks.Value}
	add := func(list *[]stage, l *Line) {
		i := slices.IndexFunc(*list, func(g stage) bool { return g.machine == l.Machine })
		if i < 0 {
			*list = append(*list, stage{machine: l.Machine})
			i = len(*list) - 1
		}
		weekly := s.weekly(l.Machine)
		for k, h := range []float64{l.Hours.Low.InexactFloat64(), l.Hours.Likely.InexactFloat64(), l.Hours.High.InexactFloat64()} {
			(*list)[i].weeks[k] += h / weekly
		}
	}
	for i := range lines {
		switch l := &lines[i]; {
		case l.Machine == "":
		case l.Operation == designing || l.Operation == programming:
			add(&p.office, l)
		default:
			add(&p.shop, l)
		}
	}
	return p
}

// weekly are the hours a week that all machines of a name are free together.
func (s *Shop) weekly(machine string) float64 {
	m := s.rates.Machine(machine)
	if m == nil {
		return math.Inf(1)
	}
	return m.WeeklyS.Value / 3600 * max(m.Count.Value, 1) * s.rates.Delivery.FreeShare.Value
}

// outside is how long the job is away for hardening.
func (s *Shop) outside(halves []*half) float64 {
	for _, h := range halves {
		if h.steel.Harden.Value {
			return s.rates.HeatTreatment.Weeks.Value
		}
	}
	return 0
}

func (s *Shop) delivery(lines []Line, outside float64) Delivery {
	return s.through([]plan{s.plan(lines, outside)})
}

// together plans all jobs of a batch.
func (s *Shop) together(quotes []*Quote) Delivery {
	var plans []plan
	for _, q := range quotes {
		plans = append(plans, s.plan(q.Lines, q.Delivery.OutsideWeeks))
	}
	return s.through(plans)
}

// through sends jobs through the shop one after the other.
func (s *Shop) through(plans []plan) Delivery {
	var d Delivery
	var order []string
	busy := map[string]float64{}
	for k := range d.Weeks {
		free := map[string]float64{} // when each machine is done with the job before
		for _, p := range plans {
			now := 0.0
			pass := func(list []stage) {
				for _, g := range list {
					now = max(now, free[g.machine]) + g.weeks[k]
					free[g.machine] = now
					if k == 1 {
						if _, seen := busy[g.machine]; !seen {
							order = append(order, g.machine)
						}
						busy[g.machine] += g.weeks[k]
					}
				}
			}
			pass(p.office)
			now = max(now, p.steel)
			pass(p.shop)
			d.Weeks[k] = max(d.Weeks[k], now+p.outside)
		}
	}
	for _, p := range plans {
		d.OutsideWeeks = max(d.OutsideWeeks, p.outside)
	}
	for _, name := range order {
		weekly := s.weekly(name)
		l := Load{Machine: name, Hours: busy[name] * weekly, Weekly: weekly, Weeks: busy[name]}
		d.Loads = append(d.Loads, l)
	}
	longest := -1.0
	for _, l := range d.Loads {
		if l.Weeks > longest {
			longest, d.Critical = l.Weeks, l.Machine
		}
	}
	return d
}

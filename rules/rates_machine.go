package rules

import "pocketgauge/rules/quantity"

// Machine is a machine, bench or desk at which hours are booked.
type Machine struct {
	Name       Text
	HourlyRate Limit
	// WeeklyS is what one of them works in a week, in seconds.
	WeeklyS Limit
	Count   Limit
	// Power in kW, its share that reaches the cutter, the removal rate in cm3/min and the spindle
	// speed in 1/min that it does not pass; only for machines that mill or drill.
	PowerKW, Efficiency, LargestRemoval, LargestSpindle Limit
	Origin                                              Origin
}

func (m *Machine) keys() []key {
	return []key{
		text("name", &m.Name, `Name by which operations refer to it.`).required(),
		limit("hourly_rate", &m.HourlyRate, quantity.Plain, `What an hour is charged at, in the file's currency; cutters, power and whoever
			stands at it included.`).required(),
		limit("weekly", &m.WeeklyS, quantity.Time, `Hours that one of them works in a week.`).positive().atMost(7 * 24 * 3600).required(),
		limit("count", &m.Count, quantity.Plain, `How many of them there are.`).whole().atLeast(1).orDefault("1", "one of each; "+ownRate),
		limit("power", &m.PowerKW, quantity.Power, `Power of the spindle. Left out for machines that do not cut.`).positive(),
		limit("efficiency", &m.Efficiency, quantity.Share, `Share of the spindle's power that reaches the cutter: 80 % where a
			machine states its power and not this, as in the worked examples of Mitsubishi Materials' technical pages.`).positive().atMost(1),
		limit("largest_removal", &m.LargestRemoval, quantity.VolumeRate, `Most that it clears in a minute, whatever power and cutter allow.`).positive(),
		limit("largest_spindle", &m.LargestSpindle, quantity.Plain, `Fastest that its spindle turns, in 1/min.`).positive(),
	}
}

// knownMachines hold where no file states the name.
var knownMachines = []struct {
	name           string
	rate, weekly   float64
	count          float64
	power, removal float64
	spindle        float64
}{
	{"design office", 58, 40, 1, 0, 0, 0},
	{"programming", 58, 40, 1, 0, 0, 0},
	{"machining centre", 68, 80, 1, 15, 200, 12000},
	{"deep-hole drill", 55, 40, 1, 11, 100, 6000},
	{"electrode mill", 62, 60, 1, 8, 100, 24000},
	{"sinking machine", 48, 100, 1, 0, 0, 0},
	{"surface grinder", 55, 60, 1, 0, 0, 0},
	{"polishing bench", 46, 40, 2, 0, 0, 0},
	{"fitting bench", 50, 40, 1, 0, 0, 0},
	{"measuring machine", 60, 40, 1, 0, 0, 0},
	{"press", 55, 80, 1, 0, 0, 0},
}

func (r *Rates) addKnownMachines() {
	own := Origin{Why: ownRate}
	set := func(v float64) Limit { return Limit{Set: v > 0, Value: v, Origin: own} }
	for _, k := range knownMachines {
		if r.Machine(k.name) != nil {
			continue
		}
		r.Machines = append(r.Machines, Machine{
			Name: Text{Set: true, Value: k.name, Origin: own}, HourlyRate: set(k.rate), WeeklyS: set(k.weekly * 3600), Count: set(k.count),
			PowerKW: set(k.power), LargestRemoval: set(k.removal), LargestSpindle: set(k.spindle), Origin: own,
		})
	}
	for i := range r.Machines {
		if m := &r.Machines[i]; m.PowerKW.Set && !m.Efficiency.Set {
			m.Efficiency = Limit{Set: true, Value: 0.8, Origin: Origin{Why: "the worked examples of Mitsubishi Materials' technical pages"}}
		}
	}
}

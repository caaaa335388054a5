package checks

import "fmt"

var borePresent = Check{
	ID:    "bore.present",
	Title: "Every hole that the frame needs is there",
	Doc: `A dowel, a thread or a port that is missing is found when the insert is to be mounted. Measured: for each hole of the rules file, whether the
insert has a bore that runs its way, no further than one and a half diameters from its place and of a diameter that differs by no more than half. 1 where
there is one, 0 where there is none. Where it stands, how wide and how deep it is, and whether something cuts into it are checks of
their own, and ask nothing of a missing one. Not seen: threads (their core holes are bores), holes of fewer than twelve sides.
The frame's drawing says which holes.`,
	Unit:       Count,
	Keys:       []string{"bores"},
	Mend:       `Add the hole where the frame's drawing has it.`,
	NeedsSolid: true,
	Asks:       (*Subject).asksBores,
	Measure: func(s *Subject) []Reading {
		var list []Reading
		for i := range demandedBoresFact.of(s) {
			d := &demandedBoresFact.of(s)[i]
			r := Reading{Of: d.Name.Value, Measured: true, Limit: AtLeast(1), At: d.At.At, Located: true}
			if d.is != nil {
				r.Value = 1
				r.Says = fmt.Sprintf("The insert has %v.", d)
			} else {
				r.Says = fmt.Sprintf("The insert lacks %v.", d)
			}
			list = append(list, r)
		}
		return list
	},
}

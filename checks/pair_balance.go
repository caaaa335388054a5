package checks

import (
	"fmt"
	"math"

	"pocketgauge/mesh/cavity"
)

var pairBalance = Check{
	ID:    "pair.balance",
	Title: "The cavities of one insert are alike",
	Doc: `Cavities that hold unlike volumes, or lie at unlike ways from the gate, fill at unlike times: one is
packed and flashes while another is still short. Measured: the spread of the volumes of all cavities, as a
share of their mean; the ways through the runner from the gate to each, where runners are modelled, are
told, and judged where their difference is beyond doubt greater than the same share. Asked only of two or
more cavities; a family of unlike parts states a wider pair.balance.
2 % is the default (common practice, no source).`,
	Unit: Percent,
	Keys: []string{"pair.balance"},
	Mend: `Make the cavities and their runners alike, or widen pair.balance where the parts are meant to differ.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Pair.Balance
		if !limit.Set {
			return nil
		}
		return ofPair(s, func(p *Pair) []Reading {
			parts := p.Parts()
			if len(parts) < 2 {
				return nil
			}
			least, most, sum := parts[0], parts[0], 0.0
			short, long, flows := parts[0], parts[0], 0
			for _, c := range parts {
				sum += c.VolumeMM3
				if c.VolumeMM3 < least.VolumeMM3 {
					least = c
				}
				if c.VolumeMM3 > most.VolumeMM3 {
					most = c
				}
				if c.FlowMM > 0 {
					flows++
				}
				if c.FlowMM < short.FlowMM {
					short = c
				}
				if c.FlowMM > long.FlowMM {
					long = c
				}
			}
			mean := sum / float64(len(parts))
			// What the surfaces are off by is common to like cavities; what sampling is off by is not.
			r := Reading{
				Of: "volumes", Measured: true, Value: 100 * (most.VolumeMM3 - least.VolumeMM3) / mean,
				Uncertainty: 100 * math.Hypot(most.VolumeErrorMM3, least.VolumeErrorMM3) / mean,
				Limit:       AtMost(100 * limit.Value), At: most.Middle, Located: true,
			}
			r.Says = fmt.Sprintf("%d cavities hold %.3f to %.3f cm3.", len(parts), least.VolumeMM3/1000, most.VolumeMM3/1000)
			list := []Reading{r}
			if flows < len(parts) {
				return list
			}
			list[0].Says += fmt.Sprintf(" From the gate to them it is %.1f to %.1f mm.", short.FlowMM, long.FlowMM)
			return append(list, flowReading(short, long, limit.Value)...)
		})
	},
}

// flowReading is a reading only where the ways differ by more than the limit and all doubt: the ways
// are known to two rays at either end, which on a short runner is more than any limit.
func flowReading(short, long cavity.Solid, limit float64) []Reading {
	mean := (short.FlowMM + long.FlowMM) / 2
	r := Reading{
		Of: "ways from the gate", Measured: true, Value: 100 * (long.FlowMM - short.FlowMM) / mean,
		Uncertainty: 100 * (long.FlowErrorMM + short.FlowErrorMM) / mean, Limit: AtMost(100 * limit), At: long.Middle, Located: true,
	}
	if r.Value-r.Uncertainty <= r.Limit.Most {
		return nil
	}
	r.Says = fmt.Sprintf("From the gate to the nearest cavity it is %.1f mm, to the farthest %.1f mm.", short.FlowMM, long.FlowMM)
	return []Reading{r}
}

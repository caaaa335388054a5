package checks

import "fmt"

var pressDaylight = Check{
	ID:    "press.daylight",
	Title: "The press opens wide enough for the part to come out",
	Doc: `The open mould must let the part fall, or a hand or a gripper in. Measured: the widest opening between
the platens, less the height of the frame, against twice the height of the highest part along the draw: once
for it to leave each half (common practice, no source; a gripper or a long runner wants more). Reaching into
an open press is governed by guarding, local codes and licensed practice, whatever this says.`,
	Unit: MM,
	Keys: []string{"press.daylight", "press.frame_height"},
	Mend: `Use a press that opens wider.`,
	Measure: func(s *Subject) []Reading {
		press := &s.Frame.Press
		if !press.DaylightMM.Set || !press.FrameHeightMM.Set {
			return nil
		}
		return ofPair(s, func(p *Pair) []Reading {
			if len(p.Parts()) == 0 {
				return nil
			}
			h := p.heightMM()
			r := Reading{Measured: true, Value: press.DaylightMM.Value - press.FrameHeightMM.Value, Uncertainty: 4 * p.ErrorMM, Limit: AtLeast(2 * h)}
			r.Says = fmt.Sprintf("The open mould leaves %.4g mm; the part is %.1f mm high along the draw.", r.Value, h)
			return []Reading{r}
		})
	},
}

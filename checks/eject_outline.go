package checks

import "fmt"

var ejectOutline = Check{
	ID:    "eject.outline",
	Title: "Every ejector pin stands within the reach of the ejector plates",
	Doc: `A pin outside the ejector plates has nothing to push it. Measured: for every bore along the draw that
opens on detail or parting face, how far its wall stays within the outline of the frame's ejector set,
seen from above; negative is beyond it. A bore for a core pin looks the same and is judged alike.
The limit is the frame's: nothing beyond it.`,
	Unit: MM,
	Keys: []string{"ejection.outline"},
	Mend: `Move the pin inwards, over the ejector plates.`,
	Measure: func(s *Subject) []Reading {
		if !s.Frame.Ejection.Outline.Set() || len(s.Pins()) == 0 {
			return nil
		}
		region, err := RegionOf(s.Frame.Ejection.Outline.Segments())
		if err != nil {
			return []Reading{NotMeasured("", "ejection.outline: "+err.Error())}
		}
		r, pin := worstPin(s, AtLeast(0), true, func(p *Pin) (float64, float64) {
			d, _ := region.Clearance(p.Plan())
			return d - p.DiameterMM/2, s.placeError(p)
		})
		r.Says = fmt.Sprintf("Of %d pins the outermost, of diameter %.3g mm, stands %.2f mm within the ejector outline.", len(s.Pins()), pin.DiameterMM, r.Value)
		if r.Value < 0 {
			r.Says = fmt.Sprintf("A pin of diameter %.3g mm stands %.2f mm out of the ejector outline.", pin.DiameterMM, -r.Value)
		}
		return []Reading{r}
	},
}

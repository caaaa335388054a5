package checks

import "fmt"

var pressClamp = Check{
	ID:    "press.clamp",
	Title: "The press holds the mould shut against the melt",
	Doc: `The melt pushes the halves apart with its pressure over all the area it fills; where that beats the
clamp force the mould opens and flashes. Measured: the area of all parts and runners seen along the draw,
with the halves closed, times the upper end of the resin's cavity pressure (press.cavity_pressure where no
resin is named), against the share of the clamp force that may be used. The pressure is a range from
published tables, not a measurement: a thin part or a long flow needs more. What the press may be set to is
for its manual and for those who are licensed to set it.`,
	Unit: KN,
	Keys: []string{"press.clamp_force", "press.clamp_share", "press.cavity_pressure", "resins.cavity_pressure"},
	Mend: `Run the insert in a larger press, or mould fewer cavities at once.`,
	Measure: func(s *Subject) []Reading {
		press := &s.Frame.Press
		if !press.ClampForceN.Set {
			return nil
		}
		return ofPair(s, func(p *Pair) []Reading {
			if len(p.Room.Solids) == 0 {
				return nil
			}
			pressure, of := press.CavityPressureMPa, "press.cavity_pressure"
			if r := p.Resin(); r != nil && r.CavityPressureMPa.Most.Set {
				pressure, of = r.CavityPressureMPa, r.Name.Value
			}
			if !pressure.Most.Set {
				return []Reading{NotMeasured("", "neither a resin nor press.cavity_pressure says how high the pressure in the cavity is")}
			}
			area := p.area()
			share := 1.0
			if press.ClampShare.Set {
				share = press.ClampShare.Value
			}
			r := Reading{
				Measured: true, Value: area.value * pressure.Most.Value / 1000, Uncertainty: area.within * pressure.Most.Value / 1000,
				Limit: AtMost(share * press.ClampForceN.Value / 1000),
			}
			low := ""
			if pressure.Least.Set {
				low = fmt.Sprintf("%.0f to ", area.value*pressure.Least.Value/1000)
			}
			r.Says = fmt.Sprintf("%.1f cm2 at the pressure of %s push with %s%.0f kN; of %.0f kN of clamp force %.0f %% may be used.", area.value/100, of, low, r.Value, press.ClampForceN.Value/1000, 100*share)
			return []Reading{r}
		})
	},
}

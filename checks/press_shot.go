package checks

import "fmt"

var pressShot = Check{
	ID:    "press.shot",
	Title: "The shot suits the barrel of the press",
	Doc: `A shot that takes nearly all of the barrel leaves nothing to pack with; one that takes little leaves the
melt in the heat too long. Measured: the volume of all parts and runners between the closed halves, against
the share of the largest shot that the shop allows; the mass is that volume at the melt's density. The
sprue below its mouth is not counted.
20 to 80 % is usual (common practice, no source).`,
	Unit: CM3,
	Keys: []string{"press.shot_volume", "press.shot_share", "resins.melt_density"},
	Mend: `Run the insert in a press whose barrel suits it.`,
	Measure: func(s *Subject) []Reading {
		press := &s.Frame.Press
		if !press.ShotVolumeMM3.Set || !press.ShotShare.Set() {
			return nil
		}
		return ofPair(s, func(p *Pair) []Reading {
			if len(p.Room.Solids) == 0 {
				return nil
			}
			v := p.volume()
			whole := press.ShotVolumeMM3.Value / 1000
			r := Reading{Measured: true, Value: v.value / 1000, Uncertainty: v.within / 1000, Limit: Band{
				Least: press.ShotShare.Least.Value * whole, HasLeast: press.ShotShare.Least.Set,
				Most: press.ShotShare.Most.Value * whole, HasMost: press.ShotShare.Most.Set,
			}}
			r.Says = fmt.Sprintf("The closed halves take %.2f cm3, %.0f %% of the largest shot", r.Value, 100*r.Value/whole)
			if resin := p.Resin(); resin != nil && resin.MeltDensityKGM3.Set {
				r.Says += fmt.Sprintf(": %.1f g of %s", v.value*resin.MeltDensityKGM3.Value/gramScale, resin.Name.Value)
			}
			r.Says += ", without the sprue."
			return []Reading{r}
		})
	},
}

// gramScale turns mm3 times kg/m3 into grams.
const gramScale = 1_000_000

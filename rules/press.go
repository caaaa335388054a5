package rules

import (
	"pocketgauge/rules/quantity"
)

type Press struct {
	Name               Text
	ClampForceN        Limit
	ClampShare         Limit
	CavityPressureMPa  Range
	PartingPressureMPa Limit
	ShotVolumeMM3      Limit
	ShotShare          Range
	ShutHeightMM       Range
	FrameHeightMM      Limit
	DaylightMM         Limit
}

type Resin struct {
	Name              Text
	CavityPressureMPa Range
	VentDepthMM       Limit
	MeltDensityKGM3   Limit
	DiffusivityMM2S   Limit
	MeltTemperatureC  Limit
	MouldTemperatureC Limit
	EjectTemperatureC Limit
	Shrinkage         Range
	Origin            Origin
}

func (p *Press) keys() []key {
	return []key{
		text("name", &p.Name, `What the press is called in the shop.`),
		limit("clamp_force", &p.ClampForceN, quantity.Force, `Force with which the press holds the mould shut.`).positive(),
		limit("clamp_share", &p.ClampShare, quantity.Share, `Share of the clamp force that cavity pressure may take up.`).positive().atMost(1).
			orDefault("80 %", "a margin of 10 to 20 % is usual in press makers' guides"),
		ranged("cavity_pressure", &p.CavityPressureMPa, quantity.Pressure, `Pressure of the melt in the cavity when no resin is named. 25 to 50 MPa
			covers common resins in published tables.`).positive(),
		limit("parting_pressure", &p.PartingPressureMPa, quantity.Pressure, `Most pressure of the closed press on the parting face of the
			inserts.`).positive().orDefault("80 MPa", "lower end of what is said of pre-hardened steel, 80 to 110 MPa; "+memory),
		limit("shot_volume", &p.ShotVolumeMM3, quantity.Volume, `Largest shot of the press.`).positive(),
		ranged("shot_share", &p.ShotShare, quantity.Share, `Share of the largest shot that a moulding may need: less leaves the melt too long in
			the barrel, more leaves none to pack with.`).atMost(1).ends("20 %", "80 %", memory),
		ranged("shut_height", &p.ShutHeightMM, quantity.Length, `Mould heights that the press closes on.`).positive(),
		limit("frame_height", &p.FrameHeightMM, quantity.Length, `Height of the closed frame with its inserts.`).positive(),
		limit("daylight", &p.DaylightMM, quantity.Length, `Widest opening between the platens.`).positive(),
	}
}

func (r *Resin) keys() []key {
	return []key{
		text("name", &r.Name, `What the resin is called in the shop.`).required(),
		ranged("cavity_pressure", &r.CavityPressureMPa, quantity.Pressure, `Pressure of the melt in the cavity.`).positive(),
		limit("vent_depth", &r.VentDepthMM, quantity.Length, `Depth of gap that lets air out and holds the melt back; a wider one flashes.`).positive(),
		limit("melt_density", &r.MeltDensityKGM3, quantity.Density, `Density of the melt, for shot volume and mass.`).positive(),
		limit("diffusivity", &r.DiffusivityMM2S, quantity.Diffusivity, `Thermal diffusivity, for the cooling time. State it itself: tables of
			conductivity, density and heat capacity often contradict it.`).positive(),
		limit("melt_temperature", &r.MeltTemperatureC, quantity.Temperature, `Temperature of the melt.`).atLeast(-273.15),
		limit("mould_temperature", &r.MouldTemperatureC, quantity.Temperature, `Temperature of the cavity wall.`).atLeast(-273.15),
		limit("eject_temperature", &r.EjectTemperatureC, quantity.Temperature, `Temperature at which the part can be pushed out.`).atLeast(-273.15),
		ranged("shrinkage", &r.Shrinkage, quantity.Share, `Shrinkage, as a share of the mould's dimension: cavity = part / (1 - shrinkage).`).
			atMost(0.5),
	}
}

package rules

import (
	"math"

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
	// EjectionModulusMPa and Friction are what a part grips its cores with.
	EjectionModulusMPa Limit
	Friction           Limit
	Origin             Origin
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
		limit("ejection_modulus", &r.EjectionModulusMPa, quantity.Pressure, `Modulus of elasticity at the ejection temperature, for the force that strips the part off
			its cores.`).positive(),
		limit("friction", &r.Friction, quantity.Plain, `Coefficient of friction on the steel of the cores. A published guide gives 0.3 for PP to 0.5 for PA on
			polished steel.`).positive(),
	}
}

// knownResins hold where no file states the resin. Pressures: a published moulding-pressure table in
// tonne-force per cm2. Vent depths: the upper end of a published table of mould vents, up to which
// the resin does not flash. Shrinkage: two published tables. Diffusivity: Crawford, Plastics
// Engineering, Table 1.8, but for PA66 and PBT, which are from memory. Melt density: a moulder's
// published charts for ABS, POM and PMMA, the rest from memory. Melt and mould temperature: the
// middle of the range, in degrees Fahrenheit, in the general processing guidelines at
// plastic-industry.com (PE for PE-HD, GPPS for PS, the homopolymer for PP). Ejection temperature: from
// memory, of the tables in handbooks of mould design; parts are pushed out some ten to forty degrees
// under where they soften.
var knownResins = []struct {
	name                         string
	least, most                  float64 // tonne-force per cm2
	vent                         float64 // mm
	shrinkLeast, shrinkMost      float64 // per cent
	diffusivity, meltDensityGCM3 float64
	meltF, mouldF                [2]float64 // degrees Fahrenheit, from and to
	ejectC                       float64
}{
	{"ABS", 0.30, 0.40, 0.038, 0.4, 0.9, 0.17, 0.97, [2]float64{390, 540}, [2]float64{100, 180}, 90},
	{"PA66", 0.40, 0.50, 0.013, 0.7, 2.5, 0.10, 0.97, [2]float64{520, 580}, [2]float64{160, 240}, 130},
	{"PBT", 0.35, 0.40, 0.018, 1.0, 2.0, 0.09, 1.12, [2]float64{450, 490}, [2]float64{150, 250}, 130},
	{"PC", 0.40, 0.50, 0.064, 0.5, 0.7, 0.147, 1.05, [2]float64{520, 610}, [2]float64{150, 225}, 130},
	{"PE-HD", 0.30, 0.40, 0.030, 1.5, 4.0, 0.157, 0.76, [2]float64{360, 525}, [2]float64{60, 110}, 80},
	{"PMMA", 0.35, 0.50, 0.051, 0.2, 0.9, 0.109, 1.04, [2]float64{420, 510}, [2]float64{150, 200}, 95},
	{"POM", 0.35, 0.45, 0.025, 2.0, 3.5, 0.07, 1.17, [2]float64{380, 430}, [2]float64{180, 220}, 125},
	{"PP", 0.25, 0.35, 0.030, 1.0, 2.5, 0.065, 0.74, [2]float64{400, 500}, [2]float64{70, 120}, 90},
	{"PS", 0.25, 0.35, 0.030, 0.4, 0.8, 0.06, 0.95, [2]float64{400, 480}, [2]float64{70, 120}, 80},
}

// middleC is the middle of a range in degrees Fahrenheit, in whole degrees Celsius.
func middleC(f [2]float64) float64 { return math.Round(((f[0]+f[1])/2 - 32) / 1.8) }

// tonnePerCM2 is one tonne-force per square centimetre in MPa: 1000 kg * 9.80665 m/s2 / 100 mm2.
const tonnePerCM2 = 98.0665

// addKnownResins appends the resins that no file states.
func (f *Frame) addKnownResins() {
	for _, k := range knownResins {
		if f.Resin(k.name) != nil {
			continue
		}
		known := func(v float64, why string) Limit {
			if v == 0 {
				return Limit{}
			}
			return Limit{Set: true, Value: v, Origin: Origin{Why: why}}
		}
		const pressure, shrinkage, density = "a published moulding-pressure table", "published shrinkage tables", "moulders' charts and memory"
		const processing, eject = "middle of the range in the general processing guidelines at plastic-industry.com", "from memory, of tables in handbooks of mould design"
		diffusivity := "Crawford, Plastics Engineering, Table 1.8"
		if k.name == "PA66" || k.name == "PBT" {
			diffusivity = "from memory"
		}
		why := Origin{Why: "known to this program, stated by no file"}
		f.Resins = append(f.Resins, Resin{
			Name:              Text{Set: true, Value: k.name, Origin: why},
			CavityPressureMPa: Range{known(k.least*tonnePerCM2, pressure), known(k.most*tonnePerCM2, pressure)},
			VentDepthMM:       known(k.vent, "upper end of a published table of mould vents"),
			MeltDensityKGM3:   known(k.meltDensityGCM3*1000, density),
			DiffusivityMM2S:   known(k.diffusivity, diffusivity),
			MeltTemperatureC:  known(middleC(k.meltF), processing),
			MouldTemperatureC: known(middleC(k.mouldF), processing),
			EjectTemperatureC: known(k.ejectC, eject),
			Shrinkage:         Range{known(k.shrinkLeast/100, shrinkage), known(k.shrinkMost/100, shrinkage)},
			Origin:            why,
		})
	}
}

package rules

import (
	"math"

	"pocketgauge/rules/quantity"
)

type Steel struct {
	// Grade names an entry of Frame.Steels.
	Grade Text
	Wall  Walls
	// BladeSlenderness is the most that height over thickness of a standing rib may be.
	BladeSlenderness Limit
	BladeThicknessMM Limit
	// FeatherAngle is the least angle between two faces that meet at an edge of metal.
	FeatherAngle      Limit
	FeatherLandMM     Limit
	FloorDeflectionMM Limit
	SideSpreadMM      Limit
}

type Walls struct {
	AnyMM             Limit
	DetailSideMM      Limit
	DetailBackMM      Limit
	DetailBoreMM      Limit
	DetailWaterlineMM Limit
	BoreBoreMM        Limit
	BoreSideMM        Limit
	// NoiseMM2: a thin place with less area than this is counted, not judged.
	NoiseMM2 Limit
}

type SteelGrade struct {
	Grade           Text
	DensityKGM3     Limit
	ModulusMPa      Limit
	PoissonRatio    Limit
	ConductivityWMK Limit
	Hardness        Text
	Origin          Origin
}

const memory = "common practice, no source"

func (s *Steel) keys() []key {
	return []key{
		text("grade", &s.Grade, `Grade of the inserts, as listed under steels, unless the workspace names another.`).
			orDefault("1.2311", "the usual pre-hardened mould steel; "+memory),
		section("wall", `Least thickness of metal between two kinds of surface. Detail is what shapes the part; back is the seat side.`, s.Wall.keys()...),
		limit("blade_slenderness", &s.BladeSlenderness, quantity.Plain, `Most that the height of a standing rib of metal may be, over
			its thickness; beyond it the melt bends it and the cutter does before.`).positive().orDefault("8", memory),
		limit("blade_thickness", &s.BladeThicknessMM, quantity.Length, `Ribs thicker than this are no blades and are not judged by
			slenderness.`).positive().orDefault("5 mm", memory),
		limit("feather_angle", &s.FeatherAngle, quantity.Angle, `Least angle of metal at an edge; a sharper edge breaks or rolls over at
			the shut-off.`).atMost(math.Pi).orDefault("20 deg", memory),
		limit("feather_land", &s.FeatherLandMM, quantity.Length, `An edge sharper than the feather angle is let pass when it is blunted by
			a land of at least this width.`).orDefault("0.3 mm", memory),
		limit("floor_deflection", &s.FloorDeflectionMM, quantity.Length, `Most that the floor under the detail may bend under cavity
			pressure.`).positive().orDefault("0.02 mm", "about the vent depth of thin-flowing resins, at which they flash; "+memory),
		limit("side_spread", &s.SideSpreadMM, quantity.Length, `Most that a side wall may spread under cavity pressure.`).
			positive().orDefault("0.02 mm", "about the vent depth of thin-flowing resins, at which they flash; "+memory),
	}
}

func (w *Walls) keys() []key {
	return []key{
		limit("any", &w.AnyMM, quantity.Length, `Between any two surfaces.`).orDefault("1 mm", memory),
		limit("detail_side", &w.DetailSideMM, quantity.Length, `Between the detail and the side of the insert. 8 to 15 mm is usual, more
			when the detail is deep (common practice, from memory).`).orDefault("8 mm", memory),
		limit("detail_back", &w.DetailBackMM, quantity.Length, `Between the detail and the back: the floor.`).orDefault("8 mm", memory),
		limit("detail_bore", &w.DetailBoreMM, quantity.Length, `Between the detail and a bore that does not open into it, such as a screw
			hole.`).orDefault("3 mm", memory),
		limit("detail_waterline", &w.DetailWaterlineMM, quantity.Length, `Between the detail and a waterline. One and a half to two
			waterline diameters is usual (common practice, from memory).`).orDefault("8 mm", memory),
		limit("bore_bore", &w.BoreBoreMM, quantity.Length, `Between two bores that do not meet. 3 to 5 mm is usual between a waterline and
			an ejector hole (common practice, from memory).`).orDefault("3 mm", memory),
		limit("bore_side", &w.BoreSideMM, quantity.Length, `Between a bore and the side of the insert.`).orDefault("3 mm", memory),
		limit("noise_area", &w.NoiseMM2, quantity.Area, `A thin place of less area than this is counted and not judged.`).
			orDefault("0.2 mm2", "smaller than the smallest cutter's end; this program's own choice"),
	}
}

func (g *SteelGrade) keys() []key {
	return []key{
		text("grade", &g.Grade, `Grade, as the shop orders it; in quotes when it looks like a number.`).required(),
		limit("density", &g.DensityKGM3, quantity.Density, `Density, for the mass of inserts and of what is cut away.`).positive().required(),
		limit("modulus", &g.ModulusMPa, quantity.Pressure, `Modulus of elasticity, for deflections.`).positive(),
		limit("poisson_ratio", &g.PoissonRatio, quantity.Plain, `Poisson's ratio, for plate formulas.`).atMost(0.5).
			orDefault("0.3", "the usual value for steel in handbooks of strength"),
		limit("conductivity", &g.ConductivityWMK, quantity.Conductivity, `Heat conductivity.`).positive(),
		text("hardness", &g.Hardness, `Hardness as delivered or as hardened, in words.`),
	}
}

// knownSteels hold where no file states the grade. Values are those of suppliers' data sheets;
// conductivity differs by up to a third between sheets and is left out where they contradict each
// other (1.2379).
var knownSteels = []struct {
	grade                                 string
	densityGCM3, modulusGPa, conductivity float64
	hardness, why                         string
}{
	{"1.2083", 7.80, 220, 22, "to 241 HB annealed", "a supplier's data sheet"},
	{"1.2311", 7.83, 205, 34.5, "280 to 325 HB", "a supplier's data page; density and modulus from memory of others"},
	{"1.2344", 7.8, 212, 18.8, "to 230 HB annealed", "a supplier's data sheet; density from memory of others"},
	{"1.2379", 7.7, 210, 0, "60 HRC hardened", "two suppliers' data sheets"},
	{"1.2738", 7.80, 205, 29, "280 to 325 HB", "a supplier's data sheet"},
	{"7075-T6", 2.81, 71.7, 130, "150 HB", "a supplier's data page"},
	{"C17200", 8.25, 131, 115, "36 to 42 HRC aged", "a public table of alloys; hardness from memory"},
}

// addKnownSteels appends the grades that no file states.
func (f *Frame) addKnownSteels() {
	for _, k := range knownSteels {
		if f.SteelGrade(k.grade) != nil {
			continue
		}
		o := Origin{Why: k.why}
		g := SteelGrade{
			Grade:        Text{Set: true, Value: k.grade, Origin: o},
			DensityKGM3:  Limit{Set: true, Value: k.densityGCM3 * 1000, Origin: o},
			ModulusMPa:   Limit{Set: true, Value: k.modulusGPa * 1000, Origin: o},
			PoissonRatio: Limit{Set: true, Value: 0.3, Origin: Origin{Why: "the usual value for metals in handbooks of strength"}},
			Hardness:     Text{Set: true, Value: k.hardness, Origin: o},
			Origin:       o,
		}
		if k.conductivity > 0 {
			g.ConductivityWMK = Limit{Set: true, Value: k.conductivity, Origin: o}
		}
		f.Steels = append(f.Steels, g)
	}
}

// SteelGrade is the entry of a grade, nil when it is not known.
func (f *Frame) SteelGrade(grade string) *SteelGrade {
	for i := range f.Steels {
		if f.Steels[i].Grade.Value == grade {
			return &f.Steels[i]
		}
	}
	return nil
}

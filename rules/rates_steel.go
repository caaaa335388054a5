package rules

import (
	"fmt"
	"strings"

	"pocketgauge/rules/quantity"
)

// SteelRates is what a steel costs and how it cuts.
type SteelRates struct {
	Grade      Text
	PricePerKG Limit
	// DensityKGM3 is for shops that price by another density than the frame's rules have.
	DensityKGM3 Limit
	Hardness    Text
	// CuttingForceMPa is kc1.1 of Kienzle's law, the force on a chip 1 mm wide and 1 mm thick, and
	// ChipExponent its mc.
	CuttingForceMPa, ChipExponent Limit
	// Speeds of the cutter's edge in m/min.
	RoughSpeed, FinishSpeed, DrillSpeed, GunSpeed Limit
	// Feeds per tooth as shares of the cutter's diameter.
	RoughFeed, FinishFeed Limit
	Harden                Flag
	Origin                Origin
}

func (s *SteelRates) keys() []key {
	return []key{
		text("grade", &s.Grade, `Grade, as the rules of the frames name it; in quotes when it looks like a number.`).required(),
		limit("price", &s.PricePerKG, quantity.Plain, `Price of ground blanks for each kilogram, in the file's currency.`).required(),
		limit("density", &s.DensityKGM3, quantity.Density, `Density by which the blank is weighed for its price. The frame's rules have one
			too, which holds where none is stated here.`).positive(),
		text("hardness", &s.Hardness, `Hardness as delivered, in words.`),
		limit("cutting_force", &s.CuttingForceMPa, quantity.Pressure, `Specific cutting force kc1.1: on a chip of 1 mm2 that is 1 mm thick
			(Kienzle). Cutting tool makers print it by material groups of VDI 3323. This and the values below may be left out for grades that the
			program knows.`).positive(),
		limit("chip_exponent", &s.ChipExponent, quantity.Plain, `Exponent mc of Kienzle's law: kc = kc1.1 h^-mc at a chip h mm thick.`).
			atMost(0.9),
		limit("rough_speed", &s.RoughSpeed, quantity.Speed, `Cutting speed for facing, roughing and rest milling with carbide.`).positive(),
		limit("finish_speed", &s.FinishSpeed, quantity.Speed, `Cutting speed for finishing with carbide.`).positive(),
		limit("rough_feed", &s.RoughFeed, quantity.Plain, `Feed per tooth in roughing, as a share of the cutter's diameter: mm per mm.`).
			positive().atMost(0.1),
		limit("finish_feed", &s.FinishFeed, quantity.Plain, `Feed per tooth in finishing, as a share of the cutter's diameter: mm per mm.`).
			positive().atMost(0.1),
		limit("drill_speed", &s.DrillSpeed, quantity.Speed, `Cutting speed of twist drills.`).positive(),
		limit("gun_speed", &s.GunSpeed, quantity.Speed, `Cutting speed of gun drills.`).positive(),
		{name: "harden", form: flagForm{&s.Harden}, doc: `true for steels that are hardened after roughing.`, def: "false", why: "pre-hardened steel is used as it comes"},
	}
}

// knownSteelRates hold where no file states the grade. Cutting forces: ISCAR, general catalogue
// 2022, p. 111, material groups of VDI 3323; which grade belongs to which group is this program's
// judgement (1.2311 could be put in group 11 as well, which is 45 % more). Speeds in milling: the
// middle of the range for the material in Tungaloy, general catalogue 2020-21, p. 1091 (1.2344 and
// 1.2379: ISCAR, solid carbide catalogue 2022, p. 92, tool steel). Feed in roughing: the middle of
// the share of the diameter ibidem. Feed in finishing: Tungaloy ibidem, 0.11 to 0.12 mm at 10 to
// 12 mm. Twist drills: a public table of handbook speeds for high-speed steel, 60 ft/min and so on.
// Gun drills: Tungaloy, p. 1339. Prices are the demo shop's own.
var knownSteelRates = []struct {
	grade                     string
	price, force, exponent    float64
	rough, finish, drill, gun float64
	roughFeed, finishFeed     float64
	hardness                  string
	harden                    bool
	why                       string
}{
	{"1.2083", 9.50, 1875, 0.21, 80, 130, 20, 50, 0.0045, 0.0105, "to 241 HB annealed", true, "group 13"},
	{"1.2311", 5.20, 1725, 0.24, 110, 165, 18, 70, 0.0055, 0.0105, "280 to 325 HB", false, "group 8"},
	{"1.2344", 7.80, 2450, 0.23, 100, 130, 18, 70, 0.0045, 0.0105, "to 230 HB annealed", true, "group 10"},
	{"1.2379", 8.20, 2450, 0.23, 100, 130, 9, 70, 0.0045, 0.0105, "annealed, to be hardened", true, "group 10"},
	{"1.2738", 5.90, 1725, 0.24, 110, 165, 18, 70, 0.0055, 0.0105, "280 to 325 HB", false, "group 8"},
	{"7075-T6", 14.00, 800, 0.25, 525, 625, 107, 200, 0.010, 0.012, "150 HB", false, "group 22"},
	{"C17200", 65.00, 1250, 0.25, 135, 135, 20, 50, 0.006, 0.008, "36 to 42 HRC aged", false, ""},
}

func (r *Rates) addKnownSteels() {
	for _, k := range knownSteelRates {
		force := Origin{Why: "ISCAR catalogue 2022 p. 111, VDI 3323 " + k.why + "; the choice of group is this program's"}
		speed := Origin{Why: "the middle of what Tungaloy 2020-21 p. 1091 and ISCAR 2022 p. 92 print for the material"}
		drill := Origin{Why: "a public table of speeds for high-speed steel"}
		gun := Origin{Why: "Tungaloy 2020-21 p. 1339"}
		memory := Origin{Why: "from memory; no source was found"}
		if k.why == "" {
			force, speed, drill, gun = memory, memory, memory, memory
		}
		if k.grade == "7075-T6" {
			gun = memory
		}
		own := Origin{Why: ownRate}
		s := r.Steel(k.grade)
		if s == nil {
			r.Steels = append(r.Steels, SteelRates{Grade: Text{Set: true, Value: k.grade, Origin: own}, Origin: own})
			s = &r.Steels[len(r.Steels)-1]
		}
		for _, v := range []struct {
			into   *Limit
			value  float64
			origin Origin
		}{
			{&s.PricePerKG, k.price, own}, {&s.CuttingForceMPa, k.force, force}, {&s.ChipExponent, k.exponent, force},
			{&s.RoughSpeed, k.rough, speed}, {&s.FinishSpeed, k.finish, speed}, {&s.RoughFeed, k.roughFeed, speed},
			{&s.FinishFeed, k.finishFeed, speed}, {&s.DrillSpeed, k.drill, drill}, {&s.GunSpeed, k.gun, gun},
		} {
			if !v.into.Set {
				*v.into = Limit{Set: true, Value: v.value, Origin: v.origin}
			}
		}
		if !s.Hardness.Set {
			s.Hardness = Text{Set: true, Value: k.hardness, Origin: Origin{Why: "suppliers' data sheets"}}
		}
		if !s.Harden.Set {
			s.Harden = Flag{Set: true, Value: k.harden, Origin: own}
		}
	}
}

// resolveSteels reports what a grade lacks that the program does not know.
func (r *Rates) resolveSteels(d *decoder) {
	for i := range r.Steels {
		s := &r.Steels[i]
		path := fmt.Sprintf("steels[%s]", clean(s.Grade.Value))
		var missing []string
		for _, k := range s.keys() {
			if f, number := k.form.(limitForm); number && !k.must && k.name != "density" && !f.into.Set && !d.stated[join(path, k.name)] {
				missing = append(missing, k.name)
			}
		}
		if len(missing) > 0 {
			d.report.at(s.Origin, path, "the program does not know this grade, and the entry lacks "+strings.Join(missing, ", "), "")
		}
	}
}

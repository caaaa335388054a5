package checks

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"pocketgauge/rules/expression"
)

// Named is one measured value that the shop's own rules may use.
type Named struct {
	// Name carries its unit at the end where it has one.
	Name, Doc string
	measure   func(s *Subject) (Reading, error)
}

func simple(f func(s *Subject) (value, uncertainty float64)) func(*Subject) (Reading, error) {
	return func(s *Subject) (Reading, error) {
		v, u := f(s)
		return Reading{Measured: true, Value: v, Uncertainty: u}, nil
	}
}

func boreCount(p Purpose) func(*Subject) (Reading, error) {
	return simple(func(s *Subject) (float64, float64) {
		n := 0
		for _, b := range s.Surfaces().Bores {
			if b.Purpose == p {
				n++
			}
		}
		return float64(n), 0
	})
}

func surfaceArea(k Surface) func(*Subject) (Reading, error) {
	return simple(func(s *Subject) (float64, float64) {
		sum := 0.0
		for t, of := range s.Surfaces().Of {
			if of == k {
				sum += s.Part.Mesh.AreaVector(t).Norm()
			}
		}
		// What the mesh as a whole may miss of the surface's area, this piece may miss.
		return sum, s.Measures().AreaErrorMM2
	})
}

// ownValues are what a rule may use beside the readings of the catalogue.
var ownValues = []Named{
	{"insert_width_mm", "extent along x", simple(func(s *Subject) (float64, float64) { return s.Measures().Bounds.Size().X, 2 * s.SurfaceMM() })},
	{"insert_length_mm", "extent along y", simple(func(s *Subject) (float64, float64) { return s.Measures().Bounds.Size().Y, 2 * s.SurfaceMM() })},
	{"insert_height_mm", "extent along z, cores included", simple(func(s *Subject) (float64, float64) { return s.Measures().Bounds.Size().Z, 2 * s.SurfaceMM() })},
	{"insert_volume_cm3", "volume of the insert", func(s *Subject) (Reading, error) {
		const mm3 = 1000
		if !s.IsSolid() {
			return Reading{}, errNoSolid
		}
		m := s.Measures()
		return Reading{Measured: true, Value: m.VolumeMM3 / mm3, Uncertainty: m.VolumeErrorMM3 / mm3}, nil
	}},
	{"insert_mass_kg", "mass of the insert", func(s *Subject) (Reading, error) {
		if !s.IsSolid() {
			return Reading{}, errNoSolid
		}
		if s.Steel == nil || !s.Steel.DensityKGM3.Set {
			return Reading{}, errors.New("the density of the insert's steel is not known")
		}
		const m3 = 1e9
		m, d := s.Measures(), s.Steel.DensityKGM3.Value
		return Reading{Measured: true, Value: m.VolumeMM3 / m3 * d, Uncertainty: m.VolumeErrorMM3 / m3 * d}, nil
	}},
	{"stock_cm3", "metal to remove from the blank", func(s *Subject) (Reading, error) {
		if !s.IsSolid() {
			return Reading{}, errNoSolid
		}
		const mm3 = 1000
		st, err := s.Stock()
		if err != nil {
			return Reading{}, err
		}
		return Reading{Measured: true, Value: st.Remove.MM3 / mm3, Uncertainty: st.Remove.ErrorMM3 / mm3}, nil
	}},
	{"pocket_depth_mm", "depth of the frame's pocket", simple(func(s *Subject) (float64, float64) { return s.DepthMM(), 0 })},
	{"parting_height_mm", "height of the parting face above the seat", func(s *Subject) (Reading, error) {
		face, ok := s.partingFace()
		if !ok {
			return Reading{}, errNoParting
		}
		return Reading{Measured: true, Value: face.ZMM, Uncertainty: 2 * s.StorageMM()}, nil
	}},
	{"detail_depth_mm", "from the parting face down to the lowest of the detail", func(s *Subject) (Reading, error) {
		face, ok := s.partingFace()
		if !ok {
			return Reading{}, errNoParting
		}
		return Reading{Measured: true, Value: max(face.ZMM-s.detailBounds().Min.Z, 0), Uncertainty: 2 * s.SurfaceMM()}, nil
	}},
	{"core_height_mm", "from the parting face up to the highest of the detail", func(s *Subject) (Reading, error) {
		face, ok := s.partingFace()
		if !ok {
			return Reading{}, errNoParting
		}
		return Reading{Measured: true, Value: max(s.detailBounds().Max.Z-face.ZMM, 0), Uncertainty: 2 * s.SurfaceMM()}, nil
	}},
	{"detail_area_cm2", "area of what shapes the part", func(s *Subject) (Reading, error) {
		const mm2 = 100
		r, err := surfaceArea(Detail)(s)
		r.Value, r.Uncertainty = r.Value/mm2, r.Uncertainty/mm2
		return r, err
	}},
	{"waterline_bores", "bores that carry water; one that another crosses counts as two", boreCount(Waterline)},
	{"ejector_bores", "bores for ejector or core pins", boreCount(EjectorBore)},
	{"screw_holes", "blind holes from the seat", boreCount(ScrewBore)},
}

var (
	errNoSolid   = errors.New("the model is not a closed solid")
	errNoParting = errors.New("the insert has no parting face")
)

// Values lists what the shop's own rules may use: the values of ownValues, and of each check the
// reading with the least margin, under the check's id with low lines and its unit at the end.
func Values() []Named {
	list := slices.Clone(ownValues)
	for _, c := range Catalogue {
		if c.Unit == "" {
			continue
		}
		list = append(list, Named{Name: valueName(c), Doc: "reading of " + c.ID + " that is nearest to its limit"})
	}
	return list
}

// valueName is what a check's reading is called in expressions: steel_wall_mm.
func valueName(c *Check) string {
	name := strings.NewReplacer(".", "_", "-", "_").Replace(c.ID)
	switch c.Unit {
	case Percent:
		return name + "_percent"
	case Count, Plain:
		return name
	}
	return name + "_" + strings.ToLower(strings.NewReplacer("/", "_per_").Replace(string(c.Unit)))
}

// ValueNames are the names of Values.
func ValueNames() []string {
	var names []string
	for _, v := range Values() {
		names = append(names, v.Name)
	}
	return names
}

func knownValue(name string) bool { return slices.Contains(ValueNames(), name) }

// values are those of one insert, measured when first asked for.
type values struct {
	subject  *Subject
	findings []Finding
	known    map[string]expression.Value
}

func newValues(s *Subject, list []Finding) *values {
	return &values{subject: s, findings: list, known: map[string]expression.Value{}}
}

// value is the value of a name, or why there is none.
func (v *values) value(name string) (expression.Value, error) {
	if have, ok := v.known[name]; ok {
		return have, nil
	}
	r, err := v.reading(name)
	if err != nil {
		return expression.Value{}, err
	}
	have := expression.Value{Value: r.Value, Uncertainty: r.Uncertainty}
	v.known[name] = have
	return have, nil
}

func (v *values) reading(name string) (Reading, error) {
	for _, own := range ownValues {
		if own.Name == name {
			return own.measure(v.subject)
		}
	}
	var worst *Finding
	why := "the rules ask nothing that would measure it"
	for i := range v.findings {
		f := &v.findings[i]
		if valueName(f.Check) != name {
			continue
		}
		if !f.Measured {
			why = fmt.Sprintf("not measured: %s", f.Why)
			continue
		}
		if worst == nil || f.Margin < worst.Margin {
			worst = f
		}
	}
	if worst == nil {
		return Reading{}, errors.New(why)
	}
	if worst.Beyond {
		return Reading{}, fmt.Errorf("known only to be at least %.4g", worst.Value)
	}
	return worst.Reading, nil
}

package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// zoneSides is how many sides the prism has that stands for a round zone: enough for it to stand
// off the cylinder by no more than half of tol.FlushMM, within what cutting bears. What is left
// goes into the uncertainty.
func zoneSides(radiusMM float64) int {
	const least, most = 24, 200
	for n := least; n < most; n += 8 {
		// A prism of equal area stands off by about half of the sagitta r (1 - cos(pi/n)) at its
		// corners and a quarter of it within its sides; the whole is a safe bound.
		if radiusMM*(1-math.Cos(math.Pi/float64(n))) <= tol.FlushMM/2 {
			return n
		}
	}
	return most
}

// zonesThatMust calls measure for each zone of the frame that asks this of the insert's half.
func zonesThatMust(s *Subject, must rules.Must, measure func(z *rules.Zone, shape *difference.Zone) Reading) []Reading {
	var list []Reading
	for i := range s.Frame.Zones {
		z := &s.Frame.Zones[i]
		if z.Must != must || !z.Half.HoldsFor(s.Half) {
			continue
		}
		shape, err := zoneShape(&z.Shape)
		if err != nil {
			list = append(list, NotMeasured(z.Name.Value, fmt.Sprintf("%s: %v", z.Origin, err)))
			continue
		}
		r := measure(z, shape)
		r.Of = z.Name.Value
		list = append(list, r)
	}
	return list
}

// zoneShape turns the shape of a rules file into a zone to measure in.
func zoneShape(s *rules.Shape) (*difference.Zone, error) {
	switch {
	case s.Box != nil:
		return difference.BoxZone(geom.Box{Min: s.Box.Min.At, Max: s.Box.Max.At})
	case s.Cylinder != nil:
		return difference.CylinderZone(s.Cylinder.From.At, s.Cylinder.To.At, s.Cylinder.DiameterMM.Value/2, zoneSides(s.Cylinder.DiameterMM.Value/2))
	case s.Extrusion != nil:
		region, err := RegionOf(s.Extrusion.Segments())
		if err != nil {
			return nil, err
		}
		bottom, top := s.Extrusion.BottomMM.Value, s.Extrusion.TopMM.Value
		return difference.PrismZone(region.Polyline(tol.ZoneDeflectionMM), geom.Translate(r3.Vector{Z: bottom}), top-bottom)
	}
	return nil, fmt.Errorf("the zone has no shape")
}

// zoneFaults counts the zones of a check that fail, as its readings would have them, without a reading for
// those of which less tells: proof is a volume and a depth that the fault surely reaches.
func zoneFaults(s *Subject, must rules.Must, proof func(shape *difference.Zone) (difference.Quantity, float64, error), whole func(z *rules.Zone, shape *difference.Zone) Reading) int {
	faults := 0
	zonesThatMust(s, must, func(z *rules.Zone, shape *difference.Zone) Reading {
		volume, depth, err := proof(shape)
		switch {
		case err != nil || volume.MM3 <= volume.ErrorMM3 || volume.MM3 <= z.AllowedMM3.Value:
		case depth > zoneLimit(z)+zoneError(s, shape) || Judge(whole(z, shape)).Verdict == Fail:
			faults++
		}
		return Reading{}
	})
	return faults
}

// zoneLimit is how deep a fault in a zone may reach.
func zoneLimit(z *rules.Zone) float64 { return math.Max(z.AllowedDepthMM.Value, tol.FlushMM) }

// zoneError bounds how far a depth is off, by the insert's surface and the zone's.
func zoneError(s *Subject, shape *difference.Zone) float64 {
	return s.SurfaceMM() + shape.RadialErrorMM()
}

// zoneReading judges a fault in a zone by how deep it reaches, and says its volume.
//
// A volume cannot be held against a limit of nothing: faces that are flush with the zone leave
// slivers of rounding. A depth can, once flush has a width (tol.FlushMM).
func zoneReading(s *Subject, z *rules.Zone, shape *difference.Zone, fault string, volume difference.Quantity, regions []difference.Region) Reading {
	limit := zoneLimit(z)
	r := Reading{Measured: true, Limit: AtMost(limit), Uncertainty: zoneError(s, shape)}
	deepest := -1
	for i := range regions {
		if deepest < 0 || regions[i].DepthMM > regions[deepest].DepthMM {
			deepest = i
		}
	}
	if deepest < 0 {
		r.Says = fmt.Sprintf("%s: none.", fault)
		return r
	}
	d := regions[deepest]
	r.Value, r.At, r.Located = d.DepthMM, d.DeepestPoint, true
	if r.Value <= limit {
		// The depth of a region is a lower bound, short by at most its pitch: that matters where
		// the limit lies above the value, and not where it is broken already.
		r.Uncertainty += d.PitchMM
	}
	r.Says = fmt.Sprintf("%s: %s mm3, reaching %.3f mm into the zone.", fault, volumeText(volume, s), d.DepthMM)
	if volume.MM3 <= z.AllowedMM3.Value {
		// The rules let this much pass whatever its depth.
		r.Limit = AtMost(math.Max(limit, r.Value+r.Uncertainty))
	}
	if z.Says.Set && r.Value > limit {
		r.Says += " " + z.Says.Value
	}
	return r
}

// volumeText prints a volume with the rounding of the insert's surface in it.
func volumeText(v difference.Quantity, s *Subject) string {
	if v.MM3 >= 100 {
		return fmt.Sprintf("%.0f", v.MM3)
	}
	return fmt.Sprintf("%.3g", v.MM3)
}

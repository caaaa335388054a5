package difference

import (
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

// Quantity is a volume and the bound on its error.
type Quantity struct {
	MM3, ErrorMM3 float64
}

// Region is a connected piece of a difference.
type Region struct {
	VolumeMM3, ErrorMM3 float64
	// Box is around the region, within PitchMM of the true one.
	Box geom.Box
	// DepthMM is how thick the region is at its thickest: the thickness at a point is the least
	// of the lengths of region through it along the three axes. For a convex zone it is the
	// greatest distance from the zone's boundary to metal inside. Either is that of the best of
	// many points tried, so a lower bound.
	DepthMM float64
	// DeepestPoint is where that is.
	DeepestPoint r3.Vector
	// PitchMM is the distance between the rays that found the region.
	PitchMM float64
}

// Result compares solids A and B.
type Result struct {
	AOnly, BOnly, Both Quantity
	// VolumeA and VolumeB are those of the meshes.
	VolumeA, VolumeB Quantity
	// Method says how the volumes were found, in words for a report.
	Method string
	// Exact is set where the errors are bounds on rounding and not estimates of sampling.
	Exact bool
	// RegionsA are the regions of AOnly, RegionsB of BOnly, RegionsBoth of Both (asked for by
	// Options), each by volume, largest first, ties by place.
	RegionsA, RegionsB, RegionsBoth []Region
	// RestA, RestB and RestBoth are what the regions left out: beyond Options.MostRegions, or
	// on too few rays to be told from noise.
	RestA, RestB, RestBoth float64
	// TurnedA and TurnedB are set where a mesh came inside out, all its facets facing inwards, and
	// was measured as the body it encloses.
	TurnedA, TurnedB bool
	// FoldedRays counts rays that found overlapping or inside-out bodies within one of the
	// meshes. Where there are any, AOnly, BOnly and Both count metal once, and F1 does not hold.
	FoldedRays int
}

// Options steer a comparison. The zero Options are ready to use.
type Options struct {
	// Share of the larger difference that the error of sampling should stay under; 0 means
	// DefaultShare. Clips ignore it.
	Share float64
	// MostRays bounds the rays of one pass of sampling; 0 means DefaultMostRays.
	MostRays int
	// MostRegions is how many regions of each kind are described; 0 means DefaultMostRegions,
	// negative none.
	MostRegions int
	// RegionsOfA leaves the regions of BOnly alone, where nobody wants them: where A is small and B is large they take
	// nearly all of the time.
	RegionsOfA bool
	// RegionRays is about how many rays look for regions in one window; 0 means DefaultRegionRays. Few
	// find fewer regions in less time, and depths that are lower bounds as ever.
	RegionRays int
	// NoiseMM is the thickness under which a difference is noise of storage and belongs to no
	// region; 0 means four quanta of the sampling frame. It does not touch the volumes.
	NoiseMM float64
	// Seed moves the rays of sampling. Results are reproducible for the same seed.
	Seed uint64
}

// Defaults of Options.
const (
	DefaultShare       = 1.0 / 10000
	DefaultMostRays    = 4 << 20
	DefaultMostRegions = 32
	DefaultRegionRays  = 1 << 18
)

// SigmaFactor turns the estimated standard deviation of sampling into the stated error: 99.9 %
// of a normal distribution lie within 3.3.
const SigmaFactor = 3.3

func (o Options) withDefaults() Options {
	if o.Share == 0 {
		o.Share = DefaultShare
	}
	if o.MostRays == 0 {
		o.MostRays = DefaultMostRays
	}
	if o.MostRegions == 0 {
		o.MostRegions = DefaultMostRegions
	}
	if o.RegionRays == 0 {
		o.RegionRays = DefaultRegionRays
	}
	return o
}

package checks

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// Layer is something known of every triangle of an insert, for pictures: a kind, or a value. It is
// for looking at; limits are held against readings, never against a picture.
type Layer struct {
	// ID names it in files and commands, Title for people.
	ID, Title string
	Unit      Unit
	// Kinds are the words for 0, 1, ... of a layer that sorts; nil for one that measures.
	Kinds []string
	// Low and High are the ends of the range worth showing; Limit, where HasLimit, is where good turns
	// to bad, and Least tells that less than it is bad.
	Low, High, Limit float64
	HasLimit, Least  bool
	// None is said of triangles that have no value.
	None string
	// Values is one for each triangle, NaN for none.
	Values []float32
}

// layerSource makes one layer of a subject; ok is false where there is nothing to show.
type layerSource struct {
	id, title string
	make      func(s *Subject) (l Layer, ok bool)
}

// layerSources are the layers there are, in the order in which people are offered them.
var layerSources = []layerSource{
	{"surface", "What each face is for", surfaceLayer},
	{"wall", "Thickness of walls", wallLayer},
	{"draft", "Draft", draftLayer},
	{"reach", "Distance from water", reachLayer},
}

// LayerIDs are the names of the layers there are.
func LayerIDs() []string {
	var ids []string
	for _, l := range layerSources {
		ids = append(ids, l.id)
	}
	return ids
}

// Layers are those of the insert that have something to show, or only those of the ids given.
func (s *Subject) Layers(ids ...string) []Layer {
	var list []Layer
	for _, source := range layerSources {
		if len(ids) > 0 && !slices.Contains(ids, source.id) {
			continue
		}
		if l, ok := source.make(s); ok {
			l.ID, l.Title = source.id, source.title
			list = append(list, l)
		}
	}
	return list
}

func surfaceLayer(s *Subject) (Layer, bool) {
	l := Layer{Values: make([]float32, len(s.Part.Mesh.Triangles))}
	surfaces := s.Surfaces()
	for k := Detail; k <= Relief; k++ {
		l.Kinds = append(l.Kinds, k.String())
	}
	water := len(l.Kinds)
	l.Kinds = append(l.Kinds, "a waterline", "an ejector bore")
	for t, k := range surfaces.Of {
		l.Values[t] = float32(k)
		if b := surfaces.BoreOf[t]; k == Bored && b >= 0 {
			switch surfaces.Bores[b].Purpose {
			case Waterline:
				l.Values[t] = float32(water)
			case EjectorBore:
				l.Values[t] = float32(water + 1)
			}
		}
	}
	return l, true
}

// wallLayer is the least wall read on each triangle. A triangle without a sample of its own is spoken
// for by a neighbour that it runs smoothly into.
func wallLayer(s *Subject) (Layer, bool) {
	limit := s.Frame.Steel.Wall.AnyMM
	if !limit.Set || limit.Value <= 0 || !s.IsSolid() {
		return Layer{}, false
	}
	field, err := s.Walls()
	if err != nil {
		return Layer{}, false // steel.wall tells why
	}
	m := s.Part.Mesh
	values := make([]float32, len(m.Triangles))
	sampled := make([]bool, len(m.Triangles))
	for t := range values {
		values[t] = float32(math.NaN())
	}
	for i := range field.Samples {
		p := &field.Samples[i]
		t := p.Triangle
		sampled[t] = true
		if w := p.WallMM; !math.IsInf(float64(w), 1) && !(w >= values[t]) {
			values[t] = w
		}
	}
	s.spread(values, sampled)
	return Layer{
		Unit: MM, Values: values, Low: 0, High: wallSearch * limit.Value, Limit: limit.Value, HasLimit: true, Least: true,
		None: "thicker than was looked for, or no wall",
	}, true
}

// smoothCosine: facets that turn by less than 30 degrees run smoothly into each other.
var smoothCosine = math.Cos(math.Pi / 6)

// spread gives triangles without a value of their own that of a neighbour around a shared corner
// that looks nearly the same way, round by round.
func (s *Subject) spread(values []float32, known []bool) {
	m := s.Part.Mesh
	around := make([][]int32, len(m.Vertices))
	normals := make([]r3.Vector, len(m.Triangles))
	for t, tri := range m.Triangles {
		normals[t] = m.AreaVector(t).Normalize()
		for _, v := range tri {
			around[v] = append(around[v], int32(t))
		}
	}
	var open []int32
	for t := range known {
		if !known[t] {
			open = append(open, int32(t))
		}
	}
	for len(open) > 0 {
		var left, now []int32
		for _, t := range open {
			if from := s.speaker(t, around, normals, known); from >= 0 {
				values[t] = values[from]
				now = append(now, t)
			} else {
				left = append(left, t)
			}
		}
		for _, t := range now {
			known[t] = true
		}
		if len(now) == 0 {
			return
		}
		open = left
	}
}

// speaker is the lowest known triangle around a corner of t that t runs smoothly into, -1 for none.
func (s *Subject) speaker(t int32, around [][]int32, normals []r3.Vector, known []bool) int32 {
	best := int32(-1)
	for _, v := range s.Part.Mesh.Triangles[t] {
		for _, o := range around[v] {
			if known[o] && (best < 0 || o < best) && normals[o].Dot(normals[t]) >= smoothCosine {
				best = o
			}
		}
	}
	return best
}

// draftLayer is the angle between each facet of the detail and the draw: 90 degrees for a floor, 0 for
// an upright wall, less than 0 for what looks away from the draw.
func draftLayer(s *Subject) (Layer, bool) {
	const steepest = 10 // degrees; beyond it no limit lies
	l := Layer{Unit: Degree, Low: -1, High: steepest, None: "no detail", Values: make([]float32, len(s.Part.Mesh.Triangles))}
	if d := s.Frame.Draw.Draft.For(s.Finish); d.Set {
		l.Limit, l.HasLimit, l.Least = d.Value*180/math.Pi, true, true
	}
	draw := s.Draw()
	some := false
	for t, k := range s.Surfaces().Of {
		n := s.Part.Mesh.AreaVector(t)
		if k != Detail || n.Norm2() == 0 {
			l.Values[t] = float32(math.NaN())
			continue
		}
		some = true
		l.Values[t] = float32(math.Asin(min(max(n.Normalize().Dot(draw), -1), 1)) * 180 / math.Pi)
	}
	return l, some
}

// reachLayer is how far each facet of the detail lies from the nearest waterline: the mean of its
// corners.
func reachLayer(s *Subject) (Layer, bool) {
	reach := s.CoolingReach()
	if reach == nil || !s.IsSolid() {
		return Layer{}, false
	}
	l := Layer{Unit: MM, Low: 0, High: reach.FarthestMM, None: "no detail", Values: make([]float32, len(s.Part.Mesh.Triangles))}
	if limit := s.Frame.Cooling.ReachMM; limit.Set {
		l.Limit, l.HasLimit = limit.Value, true
		l.High = max(l.High, limit.Value)
	}
	surfaces := s.Surfaces()
	for t, tri := range s.Part.Mesh.Triangles {
		l.Values[t] = float32(math.NaN())
		if surfaces.Of[t] == Detail {
			l.Values[t] = (reach.VertexMM[tri[0]] + reach.VertexMM[tri[1]] + reach.VertexMM[tri[2]]) / 3
		}
	}
	return l, true
}

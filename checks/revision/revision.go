// Package revision compares an insert with what it is revised to: the metal to remove and to add, which
// verdicts change, and the takeoff of the change.
//
// Volumes are cubic millimetres, lengths millimetres, places those of the new insert's pocket. It compares
// inserts that are already judged; it reads no file and knows no price.
//
// Invariants (the tests cite these numbers):
//
//	V1  a revision is steel safe where no metal thicker than the noise is added: steel can be cut away,
//	    not put back
//	V2  old minus removed plus added is new, within the errors and the stated noise
//	V3  a change of place is no change of metal: the old insert is laid onto the new one first
package revision

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/place"
	"pocketgauge/checks/takeoff"
	"pocketgauge/mesh"
	"pocketgauge/mesh/align"
	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// Advice is what a revision means for the steel.
type Advice string

// The kinds of advice.
const (
	Nothing   Advice = "nothing to do"
	Cut       Advice = "steel safe"
	Weld      Advice = "welding"
	NewInsert Advice = "a new insert"
)

// A revision that adds more than this is made anew: welds of more volume or height warp and crack the
// insert, and cost more to relieve and to mill off than a block (common practice, no source).
const (
	mostWeldMM3 = 2000
	mostWeldMM  = 6
)

// facetsMM is how far the facets of a file that does not say may stand off the part: what exporters
// allow when nobody asks (common practice, no source).
const facetsMM = tol.ChordMM

// Change is a connected piece of metal to remove or to add.
type Change struct {
	VolumeMM3 takeoff.Figure
	// DepthMM is how thick it is at its thickest, at least.
	DepthMM    float64
	At, SizeMM r3.Vector
}

// Verdict is a check whose verdict is another one.
type Verdict struct {
	Check, Of string
	Old, New  string
}

// Insert is one of the two, as it was judged.
type Insert struct {
	File, SHA256 string
	Subject      *checks.Subject
	Findings     []checks.Finding
}

// Revision is what two inserts differ by.
type Revision struct {
	Old, New Insert
	// Moved is set where the old insert lies elsewhere; Motion carries it onto the new one, and Says is
	// that in words.
	Moved  bool
	Motion geom.Motion
	Says   string
	// FitShare of the old surface lies within NoiseMM of the new one.
	FitShare, FitRMSMM float64
	// NoiseMM is the thickness under which old and new are taken for the same surface.
	NoiseMM float64
	// RemoveMM3 and AddMM3 are the sums of Removed and Added, and their bounds reach up to all that differs
	// in that sense; SkinMM3 is what else differs, in either
	// sense, in skins thinner than the noise or regions too small to be told from it.
	RemoveMM3, AddMM3, SkinMM3 takeoff.Figure
	Removed, Added             []Change
	Advice                     Advice
	Verdicts                   []Verdict
	// Takeoff is that of what is to be cut; nil where there is nothing.
	Takeoff *takeoff.Takeoff
	// OldPart is the old insert where the new one stands.
	OldPart *mesh.Part
}

// Between compares two judged inserts, each one closed solid.
func Between(old, revised Insert) (*Revision, error) {
	a, b := old.Subject, revised.Subject
	for _, o := range []Insert{old, revised} {
		if !o.Subject.IsSolid() {
			return nil, fmt.Errorf("%s is not a closed solid; check tells where it is open", o.File)
		}
	}
	r := &Revision{Old: old, New: revised, NoiseMM: noiseOf(a, b)}
	turns := place.Turns()
	motions := make([]geom.Motion, len(turns))
	for i, t := range turns {
		motions[i] = t.Motion
	}
	fit := align.Onto(a.Part.Mesh, b.Part.Mesh, motions, r.NoiseMM)
	r.Motion, r.FitShare, r.FitRMSMM = fit.Motion, fit.Share, fit.RootMeanSquareMM
	r.Moved = fit.Turn >= 0
	if r.Moved {
		r.Says = inWords(turns[fit.Turn], fit.Motion)
	}
	r.OldPart = a.Moved(fit.Motion).Part
	d, err := difference.Between(r.OldPart.Mesh, b.Part.Mesh, difference.Options{NoiseMM: r.NoiseMM})
	if err != nil {
		return nil, fmt.Errorf("comparing the two: %w", err)
	}
	var skins [2]takeoff.Figure
	r.Removed, r.RemoveMM3, skins[0] = changes(d.RegionsA, d.AOnly, r.NoiseMM)
	r.Added, r.AddMM3, skins[1] = changes(d.RegionsB, d.BOnly, r.NoiseMM)
	r.SkinMM3 = takeoff.Figure{Value: skins[0].Value + skins[1].Value, Error: skins[0].Error + skins[1].Error}
	r.Advice = r.advice()
	r.Verdicts = verdicts(old.Findings, revised.Findings)
	if len(r.Removed) > 0 {
		r.Takeoff, err = takeoff.OfRevision(b, takeoff.Revision{
			Old: r.OldPart, NoiseMM: r.NoiseMM, RemoveMM3: r.RemoveMM3, AddMM3: r.AddMM3, Method: d.Method,
		})
		if err != nil {
			return nil, err
		}
		r.Takeoff.SHA256 = revised.SHA256
	}
	return r, nil
}

// noiseOf is the thickness under which two surfaces are the same: what counts as flush, how far each mesh
// may stand off its part, and between a file that states that and one that does not, what exporters
// allow.
func noiseOf(a, b *checks.Subject) float64 {
	noise := tol.FlushMM + a.SurfaceMM() + b.SurfaceMM()
	if (a.Part.ChordMM > 0) != (b.Part.ChordMM > 0) {
		noise += facetsMM
	}
	return noise
}

// changes are the regions thicker than the noise, their sum, and what is left of all.
func changes(regions []difference.Region, all difference.Quantity, noise float64) (list []Change, sum, skin takeoff.Figure) {
	for _, r := range regions {
		if r.DepthMM <= noise {
			continue
		}
		list = append(list, Change{
			VolumeMM3: takeoff.Figure{Value: r.VolumeMM3, Error: r.ErrorMM3}, DepthMM: r.DepthMM, At: r.DeepestPoint, SizeMM: r.Box.Size(),
		})
		sum.Value += r.VolumeMM3
		sum.Error += r.ErrorMM3
	}
	skin = takeoff.Figure{Value: max(all.MM3-sum.Value, 0), Error: all.ErrorMM3 + sum.Error}
	if len(list) == 0 {
		return nil, takeoff.Figure{}, skin
	}
	// The whole difference is known better than its regions: where no more than their errors lies
	// between the two, the regions are all of it.
	if math.Abs(all.MM3-sum.Value) <= sum.Error && all.ErrorMM3 < sum.Error {
		sum, skin = takeoff.Figure{Value: all.MM3, Error: all.ErrorMM3}, takeoff.Figure{Error: all.ErrorMM3}
	}
	// Narrow strips beside a region may be of the change as well as of a skin.
	sum.Error = max(sum.Error, all.MM3+all.ErrorMM3-sum.Value)
	return list, sum, skin
}

func (r *Revision) advice() Advice {
	deepest := 0.0
	for _, c := range r.Added {
		deepest = max(deepest, c.DepthMM)
	}
	switch {
	case len(r.Added) == 0 && len(r.Removed) == 0:
		return Nothing
	case len(r.Added) == 0:
		return Cut
	case r.AddMM3.Value > mostWeldMM3 || deepest > mostWeldMM:
		return NewInsert
	}
	return Weld
}

// Because says in a sentence why the advice is what it is.
func (r *Revision) Because() string {
	switch r.Advice {
	case Nothing:
		return "Old and new are the same metal."
	case Cut:
		return "Metal is only removed: the insert can be recut as it is."
	case Weld:
		return fmt.Sprintf("Metal is added in %s: no more than %d cm3 and %d mm thick, which can be welded on and recut.", places(len(r.Added)), mostWeldMM3/1000, mostWeldMM)
	}
	return fmt.Sprintf("Metal is added in %s, more than %d cm3 or thicker than %d mm: too much to weld on.", places(len(r.Added)), mostWeldMM3/1000, mostWeldMM)
}

func places(n int) string {
	if n == 1 {
		return "1 place"
	}
	return fmt.Sprintf("%d places", n)
}

// inWords says a motion that is near a turn.
func inWords(t place.Turn, m geom.Motion) string {
	rest := m.After(t.Motion.Inverse())
	// The angle of what the turn leaves, from the trace of its rotation: 1 + 2 cos.
	trace := rest.Rotation[0].X + rest.Rotation[1].Y + rest.Rotation[2].Z
	angle := math.Acos(min(max((trace-1)/2, -1), 1)) * 180 / math.Pi
	move := m.Point(r3.Vector{})
	text := place.InWords(t, 1, move)
	if s := fmt.Sprintf("%.4f", angle); s != "0.0000" {
		text += fmt.Sprintf(" It also lies askew by %s deg.", s)
	}
	return text
}

// verdicts lists what is judged otherwise, in the order of the new findings, then what is asked no more.
func verdicts(old, revised []checks.Finding) []Verdict {
	type key struct{ check, of string }
	gather := func(list []checks.Finding) (map[key]checks.Verdict, []key) {
		worst := map[key]checks.Verdict{}
		var order []key
		for i := range list {
			k := key{list[i].Check.ID, list[i].Of}
			v, seen := worst[k]
			if !seen {
				order = append(order, k)
				v = list[i].Verdict
			}
			worst[k] = min(v, list[i].Verdict)
		}
		return worst, order
	}
	was, oldOrder := gather(old)
	is, order := gather(revised)
	for _, k := range oldOrder {
		if _, ok := is[k]; !ok {
			order = append(order, k)
		}
	}
	const gone = "not asked"
	word := func(m map[key]checks.Verdict, k key) string {
		if v, ok := m[k]; ok {
			return v.String()
		}
		return gone
	}
	var out []Verdict
	for _, k := range order {
		o, n := word(was, k), word(is, k)
		// A check that asks for one thing more or less and lets it pass has not changed its verdict.
		if o == n || (o == gone || o == checks.Pass.String()) && (n == gone || n == checks.Pass.String()) {
			continue
		}
		out = append(out, Verdict{k.check, k.of, o, n})
	}
	slices.SortStableFunc(out, func(a, b Verdict) int { return cmp.Compare(rank(a.New), rank(b.New)) })
	return out
}

// rank puts what is worse first.
func rank(verdict string) int {
	for i, v := range []checks.Verdict{checks.Fail, checks.NotJudged, checks.Borderline, checks.Warned} {
		if v.String() == verdict {
			return i
		}
	}
	return math.MaxInt
}

// Worse reports whether a verdict is worse than it was.
func (r *Revision) Worse() bool {
	for _, v := range r.Verdicts {
		if rank(v.New) < rank(v.Old) {
			return true
		}
	}
	return false
}

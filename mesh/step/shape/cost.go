package shape

import "fmt"

// Cost is about what a shape takes of the processor, in units of one evaluation of a circle (some
// 50 ns): of use to whoever has to bound the work on a shape that a stranger wrote.
type Cost struct {
	Evaluate int64 // a point with its first derivatives
	Find     int64 // the nearest point to another that lies on the shape or near, from a hint
	Search   int64 // the same without a hint, or where the hint led nowhere
}

// MostEvaluate is the costliest shape that is evaluated. An offset of a rational b-spline of degree 9
// takes 300; second derivatives of offsets are differences, so that each offset of an offset
// takes five times what its basis does, and a dozen of them take for ever.
const MostEvaluate = 1 << 12

// descentSteps is what a search takes in evaluations where its start is any good.
const descentSteps = 8

// CostOfCurve is what a curve takes.
func CostOfCurve(c Curve) Cost {
	switch c := c.(type) {
	case *BSplineCurve:
		e := evaluateBasis(c.degree, c.weights != nil)
		find := descentSteps*e + int64(c.count)/8
		return Cost{e, find, find + searchedPatches*int64(c.degree+descentSteps)*e}
	case *TrimmedCurve:
		return CostOfCurve(c.Basis)
	case *CompositeCurve:
		var sum Cost
		for _, s := range c.segments {
			k := CostOfCurve(s.Curve)
			sum.Evaluate = max(sum.Evaluate, 1+k.Evaluate)
			sum.Find = added(sum.Find, k.Search)
		}
		sum.Search = sum.Find
		return sum
	case *Polyline:
		find := 1 + int64(len(c.points))/8
		return Cost{1, find, find}
	case *OffsetCurve:
		k := CostOfCurve(c.Basis)
		e := times(k.Evaluate, 3)
		find := added(k.Find, times(e, descentSteps))
		return Cost{e, find, added(k.Search, c.search.cost(e))}
	case *CurveOnSurface:
		k := CostOfSurface(c.Surface)
		e := added(times(k.Evaluate, 2), 2)
		if c.line != nil {
			find := added(k.Search, times(e, 9*descentSteps))
			return Cost{e, find, find}
		}
		return Cost{e, times(e, descentSteps), c.search.cost(e)}
	case *searched:
		e := added(CostOfCurve(c.source).Evaluate, 1)
		return Cost{e, times(e, descentSteps), c.cost(e)}
	}
	return Cost{1, 2, 2}
}

// searchedPatches is how many spans or patches a search descends in, most of the time.
const searchedPatches = 4

// cost is that of a search.
func (s *searched) cost(evaluate int64) int64 {
	return added(times(evaluate, searchedPatches*descentSteps), int64(len(s.samples))/8)
}

// CostOfSurface is what a surface takes.
func CostOfSurface(s Surface) Cost {
	switch s := s.(type) {
	case *BSplineSurface:
		e := (evaluateBasis(s.ku.degree, false) + evaluateBasis(s.kv.degree, false)) / 4
		e += int64(s.ku.degree+1) * int64(s.kv.degree+1) / 8
		if s.weights != nil {
			e += e / 2
		}
		samples := int64(s.ku.degree+2) * int64(s.kv.degree+2)
		return Cost{e, descentSteps * e, searchedPatches*(samples+descentSteps)*e + int64(len(s.points))/8}
	case *TrimmedSurface:
		return CostOfSurface(s.Basis)
	case *Extrusion:
		k := CostOfCurve(s.Curve)
		return Cost{added(k.Evaluate, 1), added(k.Find, k.Evaluate), added(k.Search, k.Evaluate)}
	case *Revolution:
		k := CostOfCurve(s.Curve)
		if s.planar {
			return Cost{added(k.Evaluate, 2), added(k.Find, k.Search), times(k.Search, 2)}
		}
		e := added(k.Evaluate, 2)
		return Cost{e, times(e, descentSteps), times(e, searchedPatches*descentSteps+profileSamples/8)}
	case *OffsetSurface:
		k := CostOfSurface(s.Basis)
		e := times(k.Evaluate, 5)
		// The point lies off the basis, for which there is no hint that leads there.
		find := added(k.Search, times(e, descentSteps))
		return Cost{e, find, added(find, times(e, descentSteps))}
	}
	return Cost{1, 2, 2}
}

// evaluateBasis grows with the square of the degree, as the recurrence does.
func evaluateBasis(degree int, rational bool) int64 {
	e := 2 + int64((degree+1)*(degree+1))/8
	if rational {
		e += int64(degree+1) / 4
	}
	return e
}

// mostCost keeps sums and products from running over.
const mostCost = 1 << 40

func added(a, b int64) int64 { return min(a+b, mostCost) }

func times(a, b int64) int64 {
	if a > mostCost/b {
		return mostCost
	}
	return a * b
}

// checkCost refuses what would take for ever to evaluate.
func checkCost(what string, evaluate int64) error {
	if evaluate > MostEvaluate {
		return fmt.Errorf("%s: made of so many others that a point of it takes %d times as long as one of a circle (at most %d)", what, evaluate, MostEvaluate)
	}
	return nil
}

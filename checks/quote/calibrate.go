package quote

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Calibration is what past jobs say of the rates, operation by operation.
type Calibration struct {
	Operations []Fitted
}

// Fitted is one operation's fit.
//
// For job i the hours are the sum over its rates k of x(i,k) f(k): x are the hours at today's rates, f
// how much more or less the jobs took. The f minimise
//
//	sum over i of (actual(i) - sum over k of x(i,k) f(k))^2 + lambda c^2 sum over k of (f(k) - 1)^2
//
// with f >= 0.1: the ridge (Hoerl and Kennard, Technometrics 12, 1970, p. 55) pulls to today's rates
// what the jobs do not tell apart. c^2 is the mean over k of the sum of x(i,k)^2, so that lambda has no
// unit. Each lambda is tried on jobs that were left out of the fit; of those that predict them as well as
// the best does, to within one standard error, the strongest is taken (the one-standard-error rule of
// Breiman, Friedman, Olshen and Stone, Classification and Regression Trees, 1984, section 3.4.3).
//
// The rates are changed only where the fit predicts jobs that it has not seen better than today's rates
// do, and where there are enough of them.
type Fitted struct {
	Operation string
	Keys      []string
	Factors   []float64 // on the hours; 1 where Kept is set
	// Jobs are the ones with known hours; Actual, Before and After are their hours as booked, at
	// today's rates, and by the fit; Left are those by a fit from which the job was left out.
	Jobs                        []string
	Actual, Before, After, Left []float64
	Lambda                      float64
	// BeforeError and LeftError are the root mean square errors in hours of Before and Left.
	BeforeError, LeftError float64
	// Kept says why the rates stay as they are; "" where they are changed.
	Kept string
	// Contradictions are pairs of jobs that are alike and took very different times.
	Contradictions []string
}

// leastFactor keeps a rate from being fitted away: a tenth of the hours is beyond any mistake in a rate.
const leastFactor = 0.1

// fewestJobs is the fewest from which anything is concluded, whatever the number of rates.
const fewestJobs = 4

// lambdas are tried, the strongest pull first: of two that predict alike the one that changes less.
var lambdas = []float64{10, 1, 0.1, 0.01, 0.001, 0.0001, 1.0 / 100_000}

// Calibrate fits the rates to a history.
func (s *Shop) Calibrate(history []Record) (*Calibration, error) {
	var c Calibration
	var operations []string
	by := map[string][]Record{}
	for _, r := range history {
		if by[r.Operation] == nil {
			operations = append(operations, r.Operation)
		}
		by[r.Operation] = append(by[r.Operation], r)
	}
	for _, o := range operations {
		f, err := s.fit(o, by[o])
		if err != nil {
			return nil, fmt.Errorf("%s: %w", o, err)
		}
		c.Operations = append(c.Operations, f)
	}
	return &c, nil
}

func (s *Shop) fit(operation string, records []Record) (Fitted, error) {
	f := Fitted{Operation: operation}
	var known []Record
	for _, r := range records {
		if r.Known {
			known = append(known, r)
		}
	}
	for _, r := range known {
		for _, d := range r.Drivers {
			if d.Hours > 0 && !slices.Contains(f.Keys, d.Key) {
				f.Keys = append(f.Keys, d.Key)
			}
		}
	}
	slices.SortFunc(f.Keys, func(a, b string) int { return s.order[a] - s.order[b] })
	x := make([][]float64, len(known))
	for i, r := range known {
		x[i] = make([]float64, len(f.Keys))
		for _, d := range r.Drivers {
			k := slices.Index(f.Keys, d.Key)
			if k < 0 {
				continue
			}
			now := s.value(d.Key)
			h := d.Hours * now / d.Value
			if inverse[d.Key] {
				h = d.Hours * d.Value / now
			}
			// Far above any job, and far below where squares overflow.
			const most = 1_000_000
			if !(h <= most) {
				return f, fmt.Errorf("line %d: %s comes to %v hours at today's rate; is its value right?", r.Line, d.Key, h)
			}
			x[i][k] += h
		}
		f.Jobs = append(f.Jobs, r.Job)
		f.Actual = append(f.Actual, r.Actual)
		f.Before = append(f.Before, dot(x[i], ones(len(f.Keys))))
	}
	f.Factors = ones(len(f.Keys))
	f.After = slices.Clone(f.Before)
	f.BeforeError = rootMeanSquare(f.Actual, f.Before)
	f.Contradictions = contradictions(f.Jobs, x, f.Actual)
	if n, need := len(known), max(fewestJobs, len(f.Keys)+2); n < need {
		f.Kept = fmt.Sprintf("too few jobs: %d with known hours for %d of the rates, %d are asked for", n, len(f.Keys), need)
		return f, nil
	}
	if err := f.leaveOut(x); err != nil {
		return f, err
	}
	if !(f.LeftError < f.BeforeError) {
		f.Kept = fmt.Sprintf("the jobs contradict one another: a fit misses jobs that it has not seen by %.2f h, today's rates by %.2f h", f.LeftError, f.BeforeError)
		return f, nil
	}
	var err error
	if f.Factors, err = ridge(x, f.Actual, f.Lambda); err != nil {
		return f, err
	}
	for i := range x {
		f.After[i] = dot(x[i], f.Factors)
	}
	return f, nil
}

// leaveOut finds lambda, and what it predicts for each job from the others.
func (f *Fitted) leaveOut(x [][]float64) error {
	type trial struct {
		left         []float64
		mean, spread float64 // of the squared errors; spread is the mean's standard error
	}
	trials := make([]trial, len(lambdas))
	best := 0
	for l, lambda := range lambdas {
		t := &trials[l]
		n := float64(len(x))
		squares := 0.0
		for i := range x {
			g, err := ridge(without(x, i), without(f.Actual, i), lambda)
			if err != nil {
				return err
			}
			p := dot(x[i], g)
			e := (p - f.Actual[i]) * (p - f.Actual[i])
			t.left = append(t.left, p)
			t.mean += e / n
			squares += e * e / n
		}
		t.spread = math.Sqrt(max(squares-t.mean*t.mean, 0) / n)
		if t.mean < trials[best].mean {
			best = l
		}
	}
	for l, t := range trials {
		if t.mean <= trials[best].mean+trials[best].spread {
			f.Lambda, f.Left, f.LeftError = lambdas[l], t.left, math.Sqrt(t.mean)
			return nil
		}
	}
	return nil
}

// ridge solves Fitted's problem: rows of the jobs, a row for each rate's pull, and leastFactor taken out
// of every unknown so that what is left is at least nought.
func ridge(x [][]float64, y []float64, lambda float64) ([]float64, error) {
	n, k := len(x), len(x[0])
	a := mat.NewDense(n+k, k, nil)
	b := mat.NewVecDense(n+k, nil)
	square := 0.0
	for i, row := range x {
		rest := y[i]
		for j, v := range row {
			a.Set(i, j, v)
			rest -= v * leastFactor
			square += v * v
		}
		b.SetVec(i, rest)
	}
	pull := math.Sqrt(lambda * square / float64(k))
	if !(pull > 0) {
		return ones(k), nil
	}
	for j := range k {
		a.Set(n+j, j, pull)
		b.SetVec(n+j, pull*(1-leastFactor))
	}
	g, err := nonNegative(a, b)
	if err != nil {
		return nil, err
	}
	for j := range g {
		g[j] += leastFactor
	}
	return g, nil
}

// Changed are the new values of the rates that the calibration changes, by key in the order of the
// reference table.
func (s *Shop) Changed(c *Calibration) []Changed {
	var all []Changed
	for _, f := range c.Operations {
		if f.Kept != "" {
			continue
		}
		for k, key := range f.Keys {
			old := s.value(key)
			v := old * f.Factors[k]
			if inverse[key] {
				v = old / f.Factors[k]
			}
			// A rate is no better known than its jobs: four figures keep it readable.
			const figures = 4
			scale := math.Pow(10, figures-1-math.Floor(math.Log10(v)))
			all = append(all, Changed{key, f.Operation, old, math.Round(v*scale) / scale, len(f.Jobs)})
		}
	}
	slices.SortStableFunc(all, func(a, b Changed) int { return s.order[a.Key] - s.order[b.Key] })
	return all
}

// Changed is one rate's old and new value, in the unit of package rules.
type Changed struct {
	Key, Operation string
	Old, New       float64
	Jobs           int
}

// contradictions are pairs of jobs whose drivers differ by less than a twentieth of their size and whose
// hours by more than three tenths: both are this program's own choice of what to show, and no part of
// the fit.
func contradictions(jobs []string, x [][]float64, y []float64) []string {
	const alike, apart, most = 0.05, 0.3, 10
	var all []string
	for i := range x {
		for j := i + 1; j < len(x) && len(all) < most; j++ {
			difference, size := 0.0, 0.0
			for k := range x[i] {
				difference += (x[i][k] - x[j][k]) * (x[i][k] - x[j][k])
				size += x[i][k]*x[i][k] + x[j][k]*x[j][k]
			}
			if difference <= alike*alike*size/2 && math.Abs(y[i]-y[j]) > apart*max(y[i], y[j]) {
				all = append(all, fmt.Sprintf("%s took %.1f h and %s %.1f h for the same work", jobs[i], y[i], jobs[j], y[j]))
			}
		}
	}
	return all
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func without[T any](list []T, i int) []T {
	return append(slices.Clone(list[:i]), list[i+1:]...)
}

func rootMeanSquare(a, b []float64) float64 {
	if len(a) == 0 {
		return 0
	}
	sum := 0.0
	for i := range a {
		sum += (a[i] - b[i]) * (a[i] - b[i])
	}
	return math.Sqrt(sum / float64(len(a)))
}

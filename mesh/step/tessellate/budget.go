package tessellate

import (
	"errors"

	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/tol"
)

// A file of ten kilobytes can ask for the work of a day: a spline with a thousand hooks, a face that
// is refined for ever because its boundary crosses itself, one shell in a thousand bodies. So work
// is counted, in units of shape.Cost, and what a file may have grows with its length. The count
// depends on the file alone, not on a clock nor on the number of cores.
//
// Who spends does not know beforehand what it will take. Each edge, and then each face, gets a share
// of most of what is left, by the cost of its curve or surface; those that it does not suffice
// for begin again with a share of what is left then, as long as it is worth it. So one sphere of a
// file of boxes may have nearly all, and all together never have more than there is.

const (
	// workFloor is what the shortest file gets, about 0.3 s of one core: a whole sphere of 0.3 m at the
	// default chord, which is 73,000 triangles of about 60 units each.
	workFloor = 5 << 20
	// workPerByte is 8 to 10 s a megabyte. The greediest of 622 real files, four large splines of
	// degree 6 in 88 kB, takes 43 % of what it may have with the floor.
	workPerByte = 192
	// mostFiner bounds by how much a caller who asks for a chord finer than the default raises the
	// floor.
	mostFiner = 64
)

// budget is the work left for a file.
type budget struct{ left int64 }

func newBudget(bytes int, chord float64) *budget {
	finer := min(max(tol.ChordMM/chord, 1), mostFiner)
	return &budget{int64(workFloor*finer) + workPerByte*int64(bytes)}
}

// spend runs do over the items of todo, on all cores, until none is cut short by its share or
// nothing more is to be had. Shares are of a part in eight of what is left, in proportion to the
// weights, which are positive. do returns what it spent. The items that were cut short in the
// end are returned, with the share they had for each unit of weight.
func (b *budget) spend(todo []int32, eighths int64, weight func(item int32) int64, grain int,
	do func(who int, item int32, most int64) (spent int64, short bool)) (cut []int32, share float64) {
	spent, short := make([]int64, len(todo)), make([]bool, len(todo))
	for first := true; len(todo) > 0; first = false {
		all := 0.0
		for _, item := range todo {
			all += float64(weight(item))
		}
		more := float64(max(b.left, 0)*eighths/8) / all
		if !first && (share == 0 || more < worthAgain*share) {
			return todo, share
		}
		share = more
		parallel.Chunks(len(todo), grain, func(_, from, to, who int) {
			for i := from; i < to; i++ {
				spent[i], short[i] = do(who, todo[i], int64(share*float64(weight(todo[i]))))
			}
		})
		var again []int32
		for i, item := range todo {
			b.left -= spent[i]
			if short[i] {
				again = append(again, item)
			}
		}
		todo = again
	}
	return nil, share
}

// mostOver is how far a face may go beyond its share to be divided on its surface at all, from
// corner to corner of its boundary.
const mostOver = 2

// worthAgain is how much more is worth beginning again for.
const worthAgain = 1.25

var errWork = errors.New("it asks for more work than a file of this length may have")

// charge counts work that is done in any case.
func (w *worker) charge(units int64) { w.spent += units }

// may counts work and tells whether it may be done, with what is owed. What asks leaves it undone
// where it may not.
func (w *worker) may(units int64) bool {
	w.spent += units
	if w.spent+w.owed > w.most {
		w.undone = true
		return false
	}
	return true
}

// Work of a worker in units of shape.Cost, measured (go test -bench . ./mesh/triangulate).
const (
	insertUnits   = 16 // a point into a triangulation, with usualFlips
	usualFlips    = 8
	flipUnits     = 2
	scanPerUnit   = 8      // points of a list looked through in the time of one unit
	bodyUnits     = 1 << 9 // a body, whatever it holds
	triangleUnits = 4      // a triangle into the mesh of the body, and through its audit
	// leastEvaluations is about what a face takes that is divided at all.
	leastEvaluations = 2*((gridSamples+1)*(gridSamples+1)+stretchSamples) + 12*ascents
)

// measureCost is what a triangle takes when it is there: its integrals and its place in the mesh.
func (w *worker) measureCost() int64 { return triangleUnits + 3 + 7*w.cost.Evaluate }

// chargeFlips counts what flips take beyond the usual: rows of points that are far longer one way
// than the other have many.
func (w *worker) chargeFlips(points int) {
	w.flipped += usualFlips * points
	if n := w.plan.Flipped(); n > w.flipped {
		w.charge(flipUnits * int64(n-w.flipped))
		w.flipped = n
	}
}

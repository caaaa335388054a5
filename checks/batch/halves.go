package batch

import (
	"context"
	"reflect"
	"sync"
	"sync/atomic"

	"pocketgauge/checks"
)

// Half is an insert of a batch, with what it shares with its mate: where two inserts of the batch are each
// other's partners, each is read once, placed once and closed on the other once for both judgements. All that
// is held until both are done.
type Half struct {
	insert *Insert
	which  int // of the pair
	pair   *pair
}

// pair is an insert of the batch and its partner, which may be no insert of the batch, or be none.
type pair struct {
	at [2]int // in the batch, -1 for what is not
	// read reads the two, once, and makes them each other's partners.
	read func() [2]reading

	mu     sync.Mutex
	left   int // inserts of the batch that are not done
	budget *Budget
	booked int64
}

// reading is what came of reading an insert.
type reading struct {
	subject *checks.Subject
	digest  string
	err     error
}

// Halves are the inserts of a batch, in its order.
func Halves(inserts []Insert) []Half {
	list := make([]Half, len(inserts))
	byFile := map[string][]int{}
	for i := range inserts {
		byFile[inserts[i].File] = append(byFile[inserts[i].File], i)
	}
	for i := range inserts {
		if list[i].pair != nil {
			continue
		}
		in := &inserts[i]
		p := &pair{at: [2]int{i, -1}, left: 1}
		p.read = sync.OnceValue(func() [2]reading { return readBoth(in, in.Partner) })
		list[i] = Half{in, 0, p}
		if in.Partner == nil {
			continue
		}
		for _, k := range byFile[in.Partner.File] {
			if k > i && list[k].pair == nil && mutual(in, &inserts[k]) {
				list[k] = Half{&inserts[k], 1, p}
				p.at[1], p.left = k, 2
				break
			}
		}
	}
	return list
}

// Mate is where in the batch the other half stands, -1 where it is no insert of the batch.
func (h *Half) Mate() int { return h.pair.at[1-h.which] }

// mutual reports whether two inserts are read and placed as each other's partners in just the way in which they
// are by themselves.
func mutual(a, b *Insert) bool {
	alone := func(in *Insert) Insert {
		one := *in
		one.Partner, one.Skip = nil, nil
		return one
	}
	return a.Partner != nil && b.Partner != nil && reflect.DeepEqual(alone(a.Partner), alone(b)) && reflect.DeepEqual(alone(b.Partner), alone(a))
}

// readBoth reads an insert and its partner, where there is one.
func readBoth(a, b *Insert) [2]reading {
	var list [2]reading
	var wait sync.WaitGroup
	for k, in := range [...]*Insert{a, b} {
		if in == nil {
			continue
		}
		wait.Go(func() {
			r := &list[k]
			r.err = Guard(in.File, func() (err error) {
				r.subject, r.digest, err = Read(*in)
				return err
			})
		})
	}
	wait.Wait()
	if b == nil {
		return list
	}
	// That the other half cannot be read is for the checks of the pair to say: this one is judged all the same.
	for k := range list {
		if s := list[k].subject; s != nil {
			s.Partner, s.PartnerError = list[1-k].subject, list[1-k].err
		}
	}
	return list
}

// Judge judges the half; both halves may be judged at once. It never panics: a failure inside a measurement is
// an outcome with an error, so that the rest of a batch goes on.
func (h *Half) Judge() Outcome {
	o := Outcome{Insert: *h.insert}
	err := Guard(h.insert.File, func() error {
		own := h.pair.read()[h.which]
		o.SHA256 = own.digest
		if own.err != nil {
			return own.err
		}
		o.Findings, o.Subject = checks.RunWithout(own.subject, h.insert.Skip)
		return nil
	})
	if err != nil {
		return Outcome{Insert: *h.insert, SHA256: o.SHA256, Err: err}
	}
	o.Overall = checks.Overall(o.Findings)
	return o
}

// Book takes what judging the half needs from the budget, for both halves at once, and waits until there is room.
func (h *Half) Book(b *Budget) {
	p := h.pair
	p.mu.Lock()
	defer p.mu.Unlock()
	if b == nil || p.budget != nil {
		return
	}
	n := Estimate(h.insert)
	if p.at[1] >= 0 {
		n += bytesPerModel
	}
	b.Acquire(n)
	p.budget, p.booked = b, n
}

// Done says that the half is done with. With the last of the pair, what was booked is given back and what was
// read is forgotten.
func (h *Half) Done() {
	p := h.pair
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.left--; p.left <= 0 {
		p.release()
	}
}

// Close ends a batch that was broken off.
func (h *Half) Close() {
	h.pair.mu.Lock()
	defer h.pair.mu.Unlock()
	h.pair.release()
}

func (p *pair) release() {
	if p.budget != nil {
		p.budget.Release(p.booked)
	}
	p.budget, p.read = nil, nil
}

// RunHalves is Run where mate(i) is the other half of i, or negative where there is none. Who has done the one
// half goes on with the other, if nobody has begun it: so what the halves share is not held for longer than it
// takes to judge them, wherever they stand in the order. The result of a half that stands further back is held
// until its turn.
func RunHalves[T any](ctx context.Context, n, jobs int, mate func(i int) int, do func(ctx context.Context, i int) T, emit func(i int, result T) error) error {
	type slot struct {
		begun  atomic.Bool
		done   chan struct{}
		result T
	}
	slots := make([]slot, n)
	for i := range slots {
		slots[i].done = make(chan struct{})
	}
	begin := func(ctx context.Context, i int) {
		if s := &slots[i]; !s.begun.Swap(true) {
			s.result = do(ctx, i)
			close(s.done)
		}
	}
	return Run(ctx, n, jobs, func(ctx context.Context, i int) T {
		begin(ctx, i)
		if k := mate(i); k >= 0 && ctx.Err() == nil {
			begin(ctx, k)
		}
		s := &slots[i]
		<-s.done
		result := s.result
		var none T
		s.result = none
		return result
	}, emit)
}

package checks

import "sync"

// fact is something about a Subject that is found once, when a check first asks for it. A fact
// stands beside the check or the idea it belongs to, so that Subject need not know it:
//
//	var levelsFact = fact[levels]{find: findLevels}
//	... s.levels() { return levelsFact.of(s) }
//
// find may ask for other facts, but not, around a corner, for itself.
type fact[T any] struct{ find func(*Subject) T }

// facts are those of one Subject that have been asked for, by the address of their fact.
type facts struct {
	mutex sync.Mutex
	known map[any]any
}

// of is the fact of s. It may be asked for from several goroutines.
func (f *fact[T]) of(s *Subject) T {
	s.facts.mutex.Lock()
	if s.facts.known == nil {
		s.facts.known = map[any]any{}
	}
	once, ok := s.facts.known[f].(func() T)
	if !ok {
		once = sync.OnceValue(func() T { return f.find(s) })
		s.facts.known[f] = once
	}
	s.facts.mutex.Unlock()
	return once()
}

// found is a fact that may not be had.
type found[T any] struct {
	value T
	err   error
}

func foundOf[T any](value T, err error) found[T] { return found[T]{value, err} }

// read takes the readings of a check once: those that decide the placement are reported too.
func (s *Subject) read(c *Check) []Reading {
	s.facts.mutex.Lock()
	if s.facts.known == nil {
		s.facts.known = map[any]any{}
	}
	once, ok := s.facts.known[c].(func() []Reading)
	if !ok {
		once = sync.OnceValue(func() []Reading { return c.Measure(s) })
		s.facts.known[c] = once
	}
	s.facts.mutex.Unlock()
	return once()
}

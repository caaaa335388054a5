package quote

import "slices"

// notRevised are the operations that a revision of an insert that exists does not ask for, or of which
// the metal says nothing: there is no blank, its seat and sides stay, and what drawing the change, spotting
// the halves anew and trying it out take, the estimator adds.
var notRevised = []string{"design", "material", "heat treatment", "grinding", "fitting", "purchase", "trial"}

// Revise works out what it takes to cut an insert that exists to its revision; the job's takeoffs are those
// of the change.
func (s *Shop) Revise(job Job) (*Quote, error) {
	lines, _, err := s.work(job)
	if err != nil {
		return nil, err
	}
	lines = slices.DeleteFunc(lines, func(l Line) bool { return slices.Contains(notRevised, l.Operation) })
	q := &Quote{Name: job.Name, Currency: s.rates.Currency.Value, Halves: job.Halves, Lines: lines}
	q.Delivery = s.delivery(lines, 0)
	s.price(q)
	q.Notes = append(q.Notes, "The change alone, cut into the insert that exists: design, heat treatment, fitting and trial are not in it, nor is any welding.")
	return q, nil
}

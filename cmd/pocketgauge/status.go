package main

import "errors"

// Exit statuses: one meaning each, the same for every command and format.
const (
	statusPass     = 0 // every insert passes
	statusRejected = 1 // at least one insert is rejected
	statusNothing  = 2 // nothing was judged: bad usage, rules or workspace
	statusPartial  = 3 // some model could not be wholly read or measured; outranks 1
)

// outcome carries an exit status that is not a mistake of usage through cobra.
type outcome struct{ status int }

func (o outcome) Error() string { return "" }

// statusOf turns what a command returned into an exit status.
func statusOf(err error) int {
	var o outcome
	switch {
	case err == nil:
		return statusPass
	case errors.As(err, &o):
		return o.status
	}
	return statusNothing
}

// worse combines the statuses of several models: 3 before 1 before 0.
func worse(a, b int) int { return max(a, b) }

package fits

import (
	"fmt"
	"strings"
)

// Fit is a hole and a shaft of one nominal size.
type Fit struct {
	Hole, Shaft Class
}

// String is the fit as it is written: "H7/g6".
func (f Fit) String() string { return f.Hole.String() + "/" + f.Shaft.String() }

// ParseFit reads a fit such as "H7/g6": the hole first.
func ParseFit(text string) (Fit, error) {
	hole, shaft, found := strings.Cut(text, "/")
	if !found {
		return Fit{}, fmt.Errorf("%q is no fit; write the pocket's class, a stroke and the insert's class, such as H7/g6", text)
	}
	h, err := ParseClass(strings.TrimSpace(hole))
	if err != nil {
		return Fit{}, err
	}
	s, err := ParseClass(strings.TrimSpace(shaft))
	if err != nil {
		return Fit{}, err
	}
	if !h.Hole() || s.Hole() {
		return Fit{}, fmt.Errorf("%q: the pocket's class stands first with a capital letter, the insert's second with a small one, such as H7/g6", text)
	}
	return Fit{Hole: h, Shaft: s}, nil
}

// Clearance is the least and the most that the hole can be larger than the shaft, in micrometres
// of size (both sides together); negative is interference.
func Clearance(f Fit, sizeMM float64) (least, most float64, err error) {
	holeLower, holeUpper, err := Limits(f.Hole, sizeMM)
	if err != nil {
		return 0, 0, err
	}
	shaftLower, shaftUpper, err := Limits(f.Shaft, sizeMM)
	if err != nil {
		return 0, 0, err
	}
	return holeLower - shaftUpper, holeUpper - shaftLower, nil
}

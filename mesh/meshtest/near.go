package meshtest

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
)

// WantNear fails the test when got is not within tol of want (a NaN never is).
func WantNear(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g: %.3g apart, %.3g allowed", what, got, want, math.Abs(got-want), tol)
	}
}

// WantNearVector is WantNear by the distance of two points.
func WantNearVector(t testing.TB, what string, got, want r3.Vector, tol float64) {
	t.Helper()
	if d := got.Sub(want).Norm(); !(d <= tol) {
		t.Errorf("%s: got (%.9g, %.9g, %.9g), want (%.9g, %.9g, %.9g): %.3g apart, %.3g allowed",
			what, got.X, got.Y, got.Z, want.X, want.Y, want.Z, d, tol)
	}
}

package checks_test

import (
	"testing"
)

func TestSpecimensOfHandleMass(t *testing.T) {
	specimens(t, "handle.mass",
		specimen{clean, "1.88 kg of 2", of(t, handled(t, "handling: {mass: 2 kg}\n", plain()), "handle.mass"), "", plainMassKG, 1e-9},
		specimen{defective, "1.88 kg of 1.8", of(t, handled(t, "handling: {mass: 1.8 kg}\n", plain()), "handle.mass"), "", plainMassKG, 1e-9},
		specimen{looksWrong, "no limit is stated", of(t, handled(t, "", plain()), "handle.mass"), silent, 0, 0},
	)
}

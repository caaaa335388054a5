package checks_test

import (
	"testing"

	"pocketgauge/mesh/meshtest"
)

func TestSpecimensOfFileSolid(t *testing.T) {
	closed := cleanSolid()
	specimens(t, "file.solid",
		specimen{clean, "closed", one(t, "file.solid", "", closed.Mesh), "", 0, 0},
		specimen{defective, "a facet is missing: its three edges are open", one(t, "file.solid", "", closed.Without(7)), "", 3, 0},
		specimen{defective, "two bodies", one(t, "file.solid", "", closed.With(meshtest.Box(at(80, 0, 0), at(90, 10, 10))).Mesh), "", 1, 0},
		specimen{looksWrong, "two pockets that meet along one edge, which has four facets", one(t, "file.solid", "", meshtest.BlockWithPockets(nominal, box(-20, -12, 25, 0, 0, 50), box(0, 0, 25, 20, 12, 50)).Mesh), "", 0, 0},
		specimen{looksWrong, "a hollow within the metal", one(t, "file.solid", "", closed.With(meshtest.Box(at(0, 20, 10), at(10, 25, 15)).InsideOut()).Mesh), "", 0, 0},
	)
}

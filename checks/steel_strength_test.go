package checks_test

import (
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
)

// strength are rules under which only deflections can be broken, and 50 MPa of melt.
const strength = "steel: {wall: {any: 0.5, detail_back: 0.5, detail_side: 0.5, detail_bore: 0.5}, feather_angle: 1 deg}\npress: {cavity_pressure: {most: 50 MPa}}\n"

// measured is the one reading of a check on an insert of 1.2311, E = 205 GPa.
func measured(t *testing.T, id, more string, m *mesh.Mesh) (checks.Reading, checks.Judged) {
	t.Helper()
	f := frame(t, more)
	s, err := checks.NewSubject(f, exact(m))
	if err != nil {
		t.Fatal(err)
	}
	s.Steel = f.SteelGrade("1.2311")
	list := checks.ByID(id).Measure(s)
	if len(list) != 1 {
		t.Fatalf("%s: %d readings", id, len(list))
	}
	return list[0], checks.Judge(list[0])
}

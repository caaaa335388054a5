package takeoff_test

import (
	"testing"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/takeoff"
	"pocketgauge/rules"
)

// The takeoff of the feeder cap's moving half, read and placed.
func BenchmarkTakeoff(b *testing.B) {
	f, err := rules.Load("../../testdata/apiary/rules/smoker-moving.yaml")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		s, _, err := batch.Read(batch.Insert{File: "../../testdata/apiary/inserts/feeder-cap-moving.stl", Frame: f, Half: rules.Moving})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := takeoff.Of(s); err != nil {
			b.Fatal(err)
		}
	}
}

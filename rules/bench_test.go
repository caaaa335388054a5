package rules

import "testing"

// What a run pays before it reads its first model.
func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Load("testdata/sample-frame.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSchema(b *testing.B) {
	for b.Loop() {
		if len(Schema()) == 0 {
			b.Fatal("empty")
		}
	}
}

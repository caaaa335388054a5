package step

import (
	"testing"

	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/meshtest/corpus"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/tessellate"
)

// benchText is that of corpus.STEP, or of a generated solid.
func benchText(b *testing.B) []byte {
	b.Helper()
	if text := corpus.STEP(b); text != nil {
		return text
	}
	return textOf(b, "tube_window")
}

// cpu reports the processor time of a run, all cores together: on a machine that others use too it
// says more than the clock.
func cpu(b *testing.B, began float64) {
	b.ReportMetric((meshtest.CPUSeconds()-began)*1000/float64(b.N), "cpu-ms/op")
}

func parse(b *testing.B, text []byte) *part21.File {
	f, err := part21.Parse(text, part21.Limits{Keywords: brep.Keywords()})
	if err != nil {
		b.Fatal(err)
	}
	return f
}

func BenchmarkScan(b *testing.B) {
	text := benchText(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	began := meshtest.CPUSeconds()
	for b.Loop() {
		parse(b, text)
	}
	cpu(b, began)
}

func BenchmarkResolve(b *testing.B) {
	text := benchText(b)
	f := parse(b, text)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	began := meshtest.CPUSeconds()
	faces := 0
	for b.Loop() {
		m, err := brep.Read(f)
		if err != nil {
			b.Fatal(err)
		}
		faces = 0
		for _, body := range m.Bodies {
			for _, s := range body.Shells {
				faces += len(s.Faces)
			}
		}
	}
	cpu(b, began)
	b.ReportMetric(b.Elapsed().Seconds()*1e9/float64(b.N)/float64(max(faces, 1)), "ns/face")
}

// BenchmarkTessellate divides at 0.05 mm; integration is part of it. See BenchmarkIntegrate of
// package tessellate for that alone.
func BenchmarkTessellate(b *testing.B) {
	text := benchText(b)
	m, err := brep.Read(parse(b, text))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	began := meshtest.CPUSeconds()
	triangles := 0
	for b.Loop() {
		parts, _, err := tessellate.Model(m, tessellate.Options{ChordMM: 0.05})
		if err != nil {
			b.Fatal(err)
		}
		triangles = count(parts)
	}
	cpu(b, began)
	b.ReportMetric(float64(triangles)*float64(b.N)/b.Elapsed().Seconds(), "triangles/s")
}

// BenchmarkRead is everything from text to measured parts.
func BenchmarkRead(b *testing.B) {
	text := benchText(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	began := meshtest.CPUSeconds()
	for b.Loop() {
		if _, err := Read(text, "bench", tessellate.Options{ChordMM: 0.05}); err != nil {
			b.Fatal(err)
		}
	}
	cpu(b, began)
}

func count(parts []mesh.Part) int {
	n := 0
	for i := range parts {
		n += len(parts[i].Mesh.Triangles)
	}
	return n
}

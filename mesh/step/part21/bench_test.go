package part21

import (
	"bytes"
	"fmt"
	"testing"

	"pocketgauge/mesh/meshtest/corpus"
)

// benchText is that of corpus.STEP, or a made one of like composition.
func benchText(b *testing.B) []byte {
	if text := corpus.STEP(b); text != nil {
		return text
	}
	var t bytes.Buffer
	t.WriteString("ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\nFILE_SCHEMA(('AUTOMOTIVE_DESIGN'));\nENDSEC;\nDATA;\n")
	for i := 1; t.Len() < 16<<20; i += 9 {
		fmt.Fprintf(&t, "#%d = EDGE_CURVE('',#%d,#%d,#%d,.T.);\n", i, i+1, i+2, i+3)
		fmt.Fprintf(&t, "#%d = VERTEX_POINT('',#%d);\n#%d = VERTEX_POINT('',#%d);\n", i+1, i+4, i+2, i+5)
		fmt.Fprintf(&t, "#%d = SURFACE_CURVE('',#%d,(#%d,\n    #%d),.PCURVE_S1.);\n", i+3, i+6, i+7, i+8)
		fmt.Fprintf(&t, "#%d = CARTESIAN_POINT('',(%.12g,%.15g,\n  %.17g));\n", i+4, float64(i)/7, float64(i)/31, float64(i)/1e5)
		fmt.Fprintf(&t, "#%d = CARTESIAN_POINT('',(%d.,-%.3f,0.));\n", i+5, i&127, float64(i&1023)/8)
		fmt.Fprintf(&t, "#%d = LINE('',#%d,#%d);\n", i+6, i+4, i+7)
		fmt.Fprintf(&t, "#%d = VECTOR('',#%d,1.);\n#%d = DIRECTION('',(1.,-0.,4.440892098501E-16));\n", i+7, i+8, i+8)
	}
	t.WriteString("ENDSEC;\nEND-ISO-10303-21;\n")
	return t.Bytes()
}

func BenchmarkScan(b *testing.B) {
	text := benchText(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		f, err := Parse(text, Limits{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(f.Len()), "instances")
	}
}

func BenchmarkPoints(b *testing.B) {
	text := benchText(b)
	f, err := Parse(text, Limits{Keywords: []string{"CARTESIAN_POINT"}})
	if err != nil {
		b.Fatal(err)
	}
	var sum float64
	var point [3]float64
	b.ReportAllocs()
	for b.Loop() {
		for i := range f.Of(1) {
			p := i.Record(1).Params()
			p.Skip()
			for _, x := range p.Reals(point[:0]) {
				sum += x
			}
			if p.Done() != nil {
				b.Fatal(p.Err())
			}
		}
	}
	b.ReportMetric(b.Elapsed().Seconds()*1e9/float64(b.N)/float64(f.Count(1)), "ns/point")
}

func BenchmarkCheck(b *testing.B) {
	text := benchText(b)
	f, err := Parse(text, Limits{})
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		f.Check()
	}
}

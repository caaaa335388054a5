package batch

import (
	"math"
	"path/filepath"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/load"
	"pocketgauge/rules"
)

// The same insert exported as STEP and as STL must be judged alike: the same readings, the same
// verdicts, and values no further apart than the two uncertainties and what the STL's facets,
// cut at a sagitta of 0.004 mm, leave out.
func TestStepAndStlOfOneInsertAreJudgedAlike(t *testing.T) {
	const sagitta = 0.004
	demo := filepath.Join("..", "..", "testdata", "apiary")
	twins := filepath.Join("..", "..", "testdata", "apiary-step")
	for _, c := range []struct {
		name, rules string
		half        rules.Half
	}{
		{"entrance-disc-fixed", "brood.yaml", rules.Fixed},
		{"feeder-cap-moving", "smoker-moving.yaml", rules.Moving},
	} {
		frame, err := rules.Load(filepath.Join(demo, "rules", c.rules))
		if err != nil {
			t.Fatal(err)
		}
		read := load.Options{ChordMM: frame.Measuring.ChordMM.Value}
		stl := Judge(Insert{File: filepath.Join(demo, "inserts", c.name+".stl"), Frame: frame, Half: c.half, Load: read})
		step := Judge(Insert{File: filepath.Join(twins, c.name+".stp"), Frame: frame, Half: c.half, Load: read})
		if stl.Err != nil || step.Err != nil {
			t.Fatalf("%s: errors %v and %v", c.name, stl.Err, step.Err)
		}
		if len(stl.Findings) != len(step.Findings) || stl.Overall != step.Overall {
			t.Fatalf("%s: %d findings and %v as STL, %d and %v as STEP", c.name, len(stl.Findings), stl.Overall, len(step.Findings), step.Overall)
		}
		for i, a := range stl.Findings {
			b := step.Findings[i]
			if a.Check.ID != b.Check.ID || a.Of != b.Of || a.Verdict != b.Verdict {
				t.Errorf("%s: %s %s is %v as STL, %s %s is %v as STEP: %s | %s", c.name, a.Check.ID, a.Of, a.Verdict, b.Check.ID, b.Of, b.Verdict, a.Says, b.Says)
			}
			// Margins, for of two things equally near their limits either may be the one that is told. A
			// reading without a limit decides nothing: the tightest corner of an STL is an estimate.
			if a.Check.Unit == checks.MM && a.HasLimit && math.Abs(a.Margin-b.Margin) > a.Uncertainty+b.Uncertainty+2*sagitta {
				t.Errorf("%s: %s %s has a margin of %g as STL and %g as STEP", c.name, a.Check.ID, a.Of, a.Margin, b.Margin)
			}
		}
	}
}

package rules_test

import (
	"fmt"
	"testing/fstest"

	"pocketgauge/rules"
)

func ExampleLoadFS() {
	files := fstest.MapFS{
		"shop.yaml": {Data: []byte("steel: {wall: {detail_side: 9}}\n")},
		"frame.yaml": {Data: []byte(`inherits: shop.yaml
frame: Small round frame
pocket:
  outline: {circle: {diameter: 100}}
  depth: 1.5 in
  fit: H7/g6
`)},
	}
	frame, err := rules.LoadFS(files, "frame.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	wall := frame.Steel.Wall.DetailSideMM
	fmt.Printf("wall %g mm, from %s\n", wall.Value, wall.Origin)
	fmt.Printf("depth %g mm, from %s\n", frame.Pocket.DepthMM.Value, frame.Pocket.DepthMM.Origin)
	gap := frame.Pocket.ClearanceMM
	fmt.Printf("gap per side %g to %g mm, from %s\n", gap.Least.Value, gap.Most.Value, gap.Least.Origin)
	draft := frame.Draw.Draft.Least
	fmt.Println("draft stated by a file:", !draft.Origin.IsDefault())
	// Output:
	// wall 9 mm, from shop.yaml:1:29
	// depth 38.1 mm, from frame.yaml:5:10
	// gap per side 0.006 to 0.017 mm, from frame.yaml:6:8
	// draft stated by a file: false
}

func ExampleProblems() {
	files := fstest.MapFS{"frame.yaml": {Data: []byte(`frame: Small round frame
pocket:
  outline: {circle: {diametre: 100}}
  depth: 40 kg
  fit: H7/g6
`)}}
	_, err := rules.LoadFS(files, "frame.yaml")
	fmt.Println(err)
	// Output:
	// frame.yaml:3:22: "diametre" is no key under pocket.outline.circle
	//      3 |   outline: {circle: {diametre: 100}}
	//        |                      ^^^^^^^^  did you mean "diameter"?
	// frame.yaml:4:10: pocket.depth: "40 kg" is a mass, this limit is a length
	//      4 |   depth: 40 kg
	//        |          ^^^^^  write it like "1.5 mm"
}

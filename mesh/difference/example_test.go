package difference_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
)

// Metal that reaches 0.02 mm into a zone kept free for a screw head.
func ExampleInZone() {
	screw, err := difference.CylinderZone(r3.Vector{X: 10}, r3.Vector{X: 10, Z: 6}, 4, 72)
	if err != nil {
		fmt.Println(err)
		return
	}
	plate, err := difference.BoxZone(geom.Box{Min: r3.Vector{X: -20, Y: -20, Z: -5}, Max: r3.Vector{X: 40, Y: 20, Z: 0.02}})
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := difference.InZone(plate.Mesh(), screw, difference.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f mm3 in the zone, %.2f mm deep, %s\n", r.Both.MM3, r.RegionsBoth[0].DepthMM, r.Method)
	// Output: 1.0053 mm3 in the zone, 0.02 mm deep, clip at the zone's planes
}

package meshtest_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/meshtest"
)

// apiaryChordMM is the sagitta at which the demo's curves were cut into pieces.
const apiaryChordMM = 0.004

// kernelShare is how closely the kernel's own integrals are trusted, as a share: where the two
// were compared on closed forms its default integration was off by up to 1e-6 on round faces.
const kernelShare = 1e-6

// The demo's inserts are read and measured, and held against what the geometry kernel that drew
// them integrated over the exact surfaces: a second method in every respect.
func TestApiaryAgreesWithTheKernelThatDrewIt(t *testing.T) {
	folder := filepath.Join("..", "..", "testdata", "apiary")
	data, err := os.ReadFile(filepath.Join(folder, "volumes.json"))
	if err != nil {
		t.Fatal(err)
	}
	var table map[string]struct {
		File        string     `json:"file"`
		VolumeMM3   float64    `json:"volume_mm3"`
		AreaMM2     float64    `json:"area_mm2"`
		Centroid    [3]float64 `json:"centroid_mm"`
		MeshMM3     float64    `json:"mesh_volume_mm3"`
		Triangles   int        `json:"triangles"`
		Seeded      string     `json:"seeded"`
		Frame, Half string
	}
	if err := json.Unmarshal(data, &table); err != nil {
		t.Fatal(err)
	}
	clean, closed := 0, 0
	for name, want := range table {
		model, _, err := load.File(filepath.Join(folder, want.File), load.Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if want.Seeded == "" {
			clean++
		}
		part := model.Parts[0]
		if part.Exact != nil { // STEP: the surface itself was integrated
			closed++
			if !part.Audit.Closed() {
				t.Errorf("%s: not closed", name)
			}
			meshtest.WantNear(t, name+": volume", part.Exact.VolumeMM3, want.VolumeMM3, kernelShare*want.VolumeMM3+part.Exact.VolumeErrorMM3)
			meshtest.WantNear(t, name+": area", part.Exact.AreaMM2, want.AreaMM2, kernelShare*want.AreaMM2+part.Exact.AreaErrorMM2)
			continue
		}
		if len(part.Mesh.Triangles) != want.Triangles {
			t.Errorf("%s: %d triangles, want %d", name, len(part.Mesh.Triangles), want.Triangles)
		}
		if want.MeshMM3 == 0 { // the one that lost a face
			if part.Audit.Closed() || part.Audit.OpenEdges == 0 {
				t.Errorf("%s: closed, with %d open edges", name, part.Audit.OpenEdges)
			}
			continue
		}
		if !part.Audit.Closed() || part.Audit.Solids() != 1 || len(part.Audit.Shells) != 1 || part.Audit.NonManifoldEdges > 0 {
			t.Errorf("%s: closed %v, %d solids in %d shells, %d non-manifold edges", name, part.Audit.Closed(), part.Audit.Solids(), len(part.Audit.Shells), part.Audit.NonManifoldEdges)
			continue
		}
		closed++
		got := measure.Of(&part)
		if size := part.Mesh.Bounds().Size(); max(size.X, size.Y, size.Z) < 10 { // the one in inches
			got = got.Moved(geom.ScaleBy(25.4))
		}
		meshtest.WantNear(t, name+": volume of the mesh", got.VolumeMM3, want.MeshMM3, got.VolumeErrorMM3)
		// The mesh stands off the body by no more than the chord along its curves, and what a
		// fillet leaves out between them.
		meshtest.WantNear(t, name+": volume of the body", got.VolumeMM3, want.VolumeMM3, apiaryChordMM*want.AreaMM2)
		meshtest.WantNear(t, name+": area of the body", got.AreaMM2, want.AreaMM2, want.AreaMM2/500)
		c := r3.Vector{X: want.Centroid[0], Y: want.Centroid[1], Z: want.Centroid[2]}
		meshtest.WantNearVector(t, name+": centroid of the body", got.CentroidMM, c, 10*apiaryChordMM)
		// Control: a body one twentieth of a millimetre larger all round is told apart.
		if grown := want.VolumeMM3 + 0.05*want.AreaMM2; grown-got.VolumeMM3 < apiaryChordMM*want.AreaMM2 {
			t.Errorf("%s: the tolerance is too wide to tell anything", name)
		}
	}
	if clean < 3 || closed != len(table)-1 {
		t.Errorf("%d of %d inserts are clean, %d closed", clean, len(table), closed)
	}
}

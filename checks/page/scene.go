package page

import (
	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh/render"
	"pocketgauge/mesh/tol"
)

// Scene shows an insert where it was judged: in its steel's tone with the places given marked, the
// pocket's seat and mouth as a ghost, seen from the side on which the first place lies open.
func Scene(s *checks.Subject, marks []render.Mark) render.Scene {
	grade := ""
	if s.Steel != nil {
		grade = s.Steel.Grade.Value
	}
	scene := render.Scene{Mesh: s.Part.Mesh, Marks: marks, Steel: render.SteelTone(grade)}
	if len(marks) > 0 {
		scene.ToEye = render.SideOf(scene.Mesh, marks[0].At)
	}
	for _, z := range []float64{0, s.DepthMM()} {
		var line []r3.Vector
		for _, p := range s.Pocket.Polyline(tol.PictureDeflectionMM) {
			line = append(line, r3.Vector{X: p.X, Y: p.Y, Z: z})
		}
		scene.Ghost = append(scene.Ghost, append(line, line[0]))
	}
	return scene
}

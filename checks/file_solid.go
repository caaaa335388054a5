package checks

import (
	"fmt"

	"pocketgauge/mesh"
)

var fileSolid = Check{
	ID:    "file.solid",
	Title: "The model is one closed, sound solid",
	Doc: `A surface with a hole has no inside: nobody can say what is metal, and a tool path made from it
gouges or stops. Measured: edges that do not join exactly two facets facing the same way, shells turned
inside out, and bodies beside the first. Exact: edges are counted, not sampled. Not seen: faces that
pass through each other.`,
	Unit: Count,
	Mend: `Close the model in CAD (sew the faces, delete stray bodies) and export it again.`,
	Measure: func(s *Subject) []Reading {
		a := s.Part.Audit
		unsound := a.OpenEdges + a.MisorientedEdges
		if !a.Balanced {
			unsound += a.NonManifoldEdges
		}
		r := Reading{Measured: true, Limit: AtMost(0)}
		switch {
		case unsound > 0:
			r.Value = float64(unsound)
			r.Says = fmt.Sprintf("The surface is not closed: %s.", edgeFaults(a))
			if len(a.Spots) > 0 {
				r.At, r.Located = a.Spots[0].A.Add(a.Spots[0].B).Mul(0.5), true
			}
		case a.Solids() == 0:
			r.Value = float64(a.InsideOut())
			r.Says = "The whole body is turned inside out: its facets face into the metal."
			r.Mend = "Reverse the facets (flip the normals) and export again."
		case a.Solids() > 1:
			r.Value = float64(a.Solids() - 1)
			r.Says = fmt.Sprintf("The model holds %d separate bodies where one insert is expected.", a.Solids())
			second := otherBody(a)
			r.At, r.Located = s.Part.Mesh.Vertices[s.Part.Mesh.Triangles[second.First][0]], true
			r.Mend = "Export one insert a file, or name the body to judge in the workspace file."
		default:
			r.Says = "Closed: every edge joins two facets that agree which side the metal is on."
			if v := a.InsideOut(); v > 0 {
				r.Says += fmt.Sprintf(" It holds %d hollow(s) wholly inside the metal.", v)
			}
		}
		return []Reading{r}
	},
}

func edgeFaults(a *mesh.Audit) string {
	text := ""
	for _, f := range []struct {
		n    int
		what string
	}{{a.OpenEdges, "open edges"}, {a.NonManifoldEdges, "edges of more than two facets"}, {a.MisorientedEdges, "edges whose facets face opposite ways"}} {
		if f.n == 0 {
			continue
		}
		if text != "" {
			text += ", "
		}
		text += fmt.Sprintf("%d %s", f.n, f.what)
	}
	return text
}

// otherBody is the second outward shell.
func otherBody(a *mesh.Audit) mesh.Shell {
	seen := false
	for _, sh := range a.Shells {
		if sh.Closed && sh.VolumeMM3 > 0 {
			if seen {
				return sh
			}
			seen = true
		}
	}
	return a.Shells[0]
}

package stl

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/tol"
)

// weldOpenEdges joins vertices of open edges that lie within tol.WeldMM of each other, and
// keeps the result only if it leaves no open edge.
//
// Such vertices are put in a grid of cells as wide as the tolerance; one is joined to the
// lowest-numbered vertex within reach in its own or a neighbouring cell.
func weldOpenEdges(p *mesh.Part) (mesh.Note, bool) {
	if p.Audit.OpenEdges == 0 {
		return mesh.Note{}, false
	}
	open := openVertices(p.Mesh, p.Audit)
	cells := make(map[[3]int64][]int32, len(open))
	cell := func(v r3.Vector) [3]int64 {
		return [3]int64{int64(math.Floor(v.X / tol.WeldMM)), int64(math.Floor(v.Y / tol.WeldMM)), int64(math.Floor(v.Z / tol.WeldMM))}
	}
	target := make(map[int32]int32)
	for _, i := range open {
		v := p.Mesh.Vertices[i]
		home := cell(v)
		best := int32(-1)
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				for dz := int64(-1); dz <= 1; dz++ {
					for _, j := range cells[[3]int64{home[0] + dx, home[1] + dy, home[2] + dz}] {
						if (best < 0 || j < best) && p.Mesh.Vertices[j].Sub(v).Norm() <= tol.WeldMM {
							best = j
						}
					}
				}
			}
		}
		if best >= 0 {
			target[i] = best
		} else {
			cells[home] = append(cells[home], i)
		}
	}
	if len(target) == 0 {
		return mesh.Note{}, false
	}
	welded := renumbered(p.Mesh, target)
	audit := mesh.NewAudit(welded)
	if len(welded.Triangles) == 0 || audit.OpenEdges > 0 {
		return mesh.Note{}, false
	}
	p.Mesh, p.Audit = welded, audit
	return mesh.Note{Says: fmt.Sprintf("%d vertices within %g mm of another were joined to it, which closed the surface", len(target), tol.WeldMM)}, true
}

// openVertices lists the vertices on edges used once, ascending.
func openVertices(m *mesh.Mesh, a *mesh.Audit) []int32 {
	uses := make(map[[2]int32]int)
	// Only shells that are not closed can hold open edges.
	for t, tri := range m.Triangles {
		if a.Shells[a.ShellOf[t]].Closed {
			continue
		}
		for k := range 3 {
			p, q := tri[k], tri[(k+1)%3]
			uses[[2]int32{min(p, q), max(p, q)}]++
		}
	}
	onOpen := make([]bool, len(m.Vertices))
	for e, n := range uses {
		if n == 1 {
			onOpen[e[0]], onOpen[e[1]] = true, true
		}
	}
	var list []int32
	for v, is := range onOpen {
		if is {
			list = append(list, int32(v))
		}
	}
	return list
}

func renumbered(m *mesh.Mesh, target map[int32]int32) *mesh.Mesh {
	number := make([]int32, len(m.Vertices))
	w := &mesh.Mesh{}
	for i, v := range m.Vertices {
		if j, ok := target[int32(i)]; ok {
			number[i] = number[j]
			continue
		}
		number[i] = int32(len(w.Vertices))
		w.Vertices = append(w.Vertices, v)
	}
	for t, tri := range m.Triangles {
		n := [3]int32{number[tri[0]], number[tri[1]], number[tri[2]]}
		if n[0] == n[1] || n[1] == n[2] || n[2] == n[0] {
			continue
		}
		w.Triangles = append(w.Triangles, n)
		if m.Faces != nil {
			w.Faces = append(w.Faces, m.Faces[t])
		}
	}
	return w
}

package checks

import "fmt"

// SurfaceName says for people what a triangle belongs to: a bore with its purpose and diameter,
// else what its surface is for, with the face's label where the file has one.
func (s *Subject) SurfaceName(t int32) string {
	surfaces := s.Surfaces()
	if b := surfaces.BoreOf[t]; b >= 0 {
		return surfaces.Bores[b].name()
	}
	k := surfaces.Of[t]
	f := int(s.Part.Mesh.FaceOf(int(t)))
	if (k == Detail || k == Relief) && f < len(s.Part.Faces) && s.Part.Exact != nil && s.Part.Faces[f].Label != "" {
		return fmt.Sprintf("%v (%s)", k, s.Part.Faces[f].Label)
	}
	return k.String()
}

// name says which bore it is: the rules' name for it, or its purpose and diameter.
func (b *Bore) name() string {
	if b.Demanded != nil {
		return fmt.Sprintf("%q", b.Demanded.Name.Value)
	}
	article := "the"
	if b.Purpose == OtherBore || b.Purpose == EjectorBore {
		article = "a"
		if b.Purpose == EjectorBore {
			article = "an"
		}
	}
	return fmt.Sprintf("%s %v of diameter %.4g mm", article, b.Purpose, b.DiameterMM)
}

package brep

import (
	"sort"

	"pocketgauge/mesh/step/part21"
)

// notYet and failed stand in for a body's place in the model.
const (
	notYet = -1
	failed = -2
)

func sortByIndex(list []part21.Instance) {
	sort.Slice(list, func(a, b int) bool { return list[a].Index() < list[b].Index() })
}

// isBody says whether an item is a solid, a surface model or a tessellated one.
func isBody(i part21.Instance) bool {
	switch i.Type() {
	case typeManifoldSolidBrep, typeBrepWithVoids, typeFacetedBrep, typeShellBasedSurfaceModel, typeFaceBasedSurfaceModel,
		typeTessellatedSolid, typeTessellatedShell, typeClosedShell, typeOpenShell, typeOrientedClosedShell, typeOrientedOpenShell, typeConnectedFaceSet:
		return true
	case part21.NoType:
		return i.Is(typeManifoldSolidBrep) || i.Is(typeBrepWithVoids) || i.Is(typeFacetedBrep)
	}
	return false
}

// body is the place of a body in the model, read when first met; false where it cannot be read,
// which is noted.
func (s *structure) body(i part21.Instance, units *scale) (int, bool) {
	if k, ok := s.bodies[i.Index()]; ok {
		return k, k >= 0
	}
	if exact := exactOf(i); exact.File() != nil {
		s.noteAt(i, "these triangles show %s, which is in the file and is read instead", exact.Describe())
		s.bodies[i.Index()] = failed
		return 0, false
	}
	b := &Body{ID: i.Name(), UncertaintyMM: units.uncertainty}
	if err := s.readBody(i, units, b); err != nil {
		s.noteAt(i, "this body could not be read: %v", err)
		s.bodies[i.Index()] = failed
		return 0, false
	}
	if units.problem != "" {
		s.noteAt(i, "%s", units.problem)
	}
	if len(s.model.Bodies) == 0 {
		s.model.Unit = units.unit
		s.firstScale = units
	} else if units.unit != s.model.Unit {
		s.noteAt(i, "this body is in %s, others are in %s; both were converted", units.unit, s.model.Unit)
	}
	s.bodies[i.Index()] = len(s.model.Bodies)
	s.model.Bodies = append(s.model.Bodies, b)
	return len(s.model.Bodies) - 1, true
}

// exactOf is the exact solid or shell that a tessellated one says it shows; absent where it
// names none.
func exactOf(i part21.Instance) part21.Instance {
	if t := i.Type(); t != typeTessellatedSolid && t != typeTessellatedShell {
		return part21.Instance{}
	}
	p := i.Only().Params()
	p.Skip()
	p.Skip()
	if link := p.InstanceOrNone(); p.Err() == nil && isBody(link) {
		return link
	}
	return part21.Instance{}
}

func (s *structure) readBody(i part21.Instance, units *scale, b *Body) error {
	var p part21.Cursor
	if i.Complex() {
		// The names and the outer shell are in the records of the supertypes.
		q := i.Record(s.f.Type("REPRESENTATION_ITEM")).Params()
		b.Name = tidy(q.String())
		outer := i.Record(typeManifoldSolidBrep).Params()
		if err := s.addShell(outer.Instance(), units, b, false); err != nil {
			return err
		}
		if voids := i.Record(typeBrepWithVoids); !voids.Absent() {
			p = voids.Params()
			return s.addVoids(&p, units, b)
		}
		if err := outer.Err(); err != nil {
			return err
		}
		return nil
	}
	p = i.Only().Params()
	b.Name = tidy(p.String())
	switch i.Type() {
	case typeManifoldSolidBrep, typeFacetedBrep, typeBrepWithVoids:
		outer := p.Instance()
		if err := p.Err(); err != nil {
			return err
		}
		if err := s.addShell(outer, units, b, false); err != nil {
			return err
		}
		if i.Type() == typeBrepWithVoids {
			return s.addVoids(&p, units, b)
		}
	case typeShellBasedSurfaceModel, typeFaceBasedSurfaceModel:
		b.Sheet = true
		for _, shell := range p.Instances(nil) {
			if err := s.addShell(shell, units, b, false); err != nil {
				return err
			}
		}
	case typeClosedShell, typeOpenShell, typeOrientedClosedShell, typeOrientedOpenShell, typeConnectedFaceSet:
		b.Sheet = true
		return s.addShell(i, units, b, false)
	case typeTessellatedSolid, typeTessellatedShell:
		b.Sheet = i.Type() == typeTessellatedShell
		return s.readFacets(&p, units, b)
	default:
		return notUnderstood(i, "body")
	}
	if err := p.Err(); err != nil {
		return err
	}
	return nil
}

func (s *structure) addShell(i part21.Instance, units *scale, b *Body, void bool) error {
	sh, err := s.shell(i, units)
	if err != nil {
		return err
	}
	if len(sh.Faces) == 0 {
		return i.Errorf("a shell without faces")
	}
	sh.Void = void
	b.Shells = append(b.Shells, sh)
	return nil
}

func (s *structure) addVoids(p *part21.Cursor, units *scale, b *Body) error {
	for _, v := range p.Instances(nil) {
		if err := s.addShell(v, units, b, true); err != nil {
			return err
		}
	}
	if err := p.Err(); err != nil {
		return err
	}
	return nil
}

package brep

import (
	"strconv"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/part21"
)

// step counts n of them.
func (s *structure) step(n int, at part21.Instance) error {
	if s.steps += n; s.steps > s.most.steps {
		return at.Errorf("placing the assembly takes more than %d steps", s.most.steps)
	}
	return nil
}

// structure is the product structure: who is made of whom, and which representations show it.
//
// Three chains of entities lead from a product to a body in a place:
//
//	shape       PRODUCT_DEFINITION <- PRODUCT_DEFINITION_SHAPE <- SHAPE_DEFINITION_REPRESENTATION -> representation,
//	            and on to others by SHAPE_REPRESENTATION_RELATIONSHIP, written in either order
//	assembly    NEXT_ASSEMBLY_USAGE_OCCURRENCE (parent, component), placed by
//	            CONTEXT_DEPENDENT_SHAPE_REPRESENTATION -> REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION
//	mapping     MAPPED_ITEM: a representation as an item of another
type structure struct {
	*reader
	products    []*product // in file order
	of          map[int]*product
	reps        map[int]*representation
	owner       map[*representation]*product
	bodies      map[int]int // instance index to place in Model.Bodies
	count       int
	steps       int
	coordinates map[int][]r3.Vector // of each COORDINATES_LIST
	used        map[int]bool        // relationships that place a component
}

type product struct {
	from       part21.Instance
	name       string
	reps       []*representation
	components []*component
	isUsed     bool
	onPath     bool
}

// component is one use of a product in another.
type component struct {
	from     part21.Instance
	product  *product
	relation part21.Instance // placing it; absent where the file has none
}

// representation is a set of items in one context.
type representation struct {
	from    part21.Instance
	items   []part21.Instance
	context part21.Instance
	scale   *scale
	linked  []*representation // by plain relationships
	placed  []placedRepresentation
	listed  map[int]bool // items by index, made when first asked for
	onPath  bool
}

// placedRepresentation is another representation, placed in this one by a relationship outside
// the product structure.
type placedRepresentation struct {
	representation *representation
	relation       part21.Instance
}

func (r *reader) newStructure() *structure {
	s := &structure{reader: r, of: map[int]*product{}, reps: map[int]*representation{}, owner: map[*representation]*product{},
		bodies: map[int]int{}, coordinates: map[int][]r3.Vector{}, used: map[int]bool{}}
	s.readProducts()
	shapes := s.readShapes()
	s.readComponents(shapes)
	s.readRelations()
	return s
}

// representation reads a representation once; nil where it is none.
func (s *structure) representation(i part21.Instance) *representation {
	if i.File() == nil {
		return nil
	}
	if r, ok := s.reps[i.Index()]; ok {
		return r
	}
	rec := i.Only()
	if i.Complex() {
		rec = i.Record(typeRepresentation)
	}
	p := rec.Params()
	p.Skip()
	r := &representation{from: i}
	r.items = p.Instances(nil)
	r.context = p.InstanceOrNone()
	if err := p.Err(); err != nil {
		s.noteAt(i, "a representation could not be read: %v", err)
		r = nil
	}
	s.reps[i.Index()] = r
	return r
}

// scaleFor reads the units of a representation when something of it is wanted.
func (s *structure) scaleFor(r *representation) *scale {
	if r.scale == nil {
		r.scale = s.scaleOf(r.context)
	}
	return r.scale
}

func (s *structure) readProducts() {
	for _, t := range [...]part21.Type{typeProductDefinition, typeProductDefinitionWithAssociatedDocuments} {
		for i := range s.f.Of(t) {
			if s.of[i.Index()] == nil {
				p := &product{from: i, name: s.productName(i.Record(t))}
				s.of[i.Index()] = p
				s.products = append(s.products, p)
			}
		}
	}
}

// productName is that of the product behind a definition: its name, else its id.
func (s *structure) productName(definition part21.Record) string {
	p := definition.Params()
	p.Skip()
	p.Skip()
	formation := p.InstanceOrNone()
	for _, t := range [...]part21.Type{typeProductDefinitionFormation, typeProductDefinitionFormationWithSpecifiedSource} {
		rec := formation.Record(t)
		if rec.Absent() {
			continue
		}
		p := rec.Params()
		p.Skip()
		p.Skip()
		q := p.InstanceOrNone().Record(typeProduct).Params()
		id, name := q.String(), q.String()
		if q.Err() == nil {
			if name = tidy(name); name != "" {
				return name
			}
			return tidy(id)
		}
	}
	return ""
}

// tidy drops the blanks and filling words that writers put where there is no name.
func tidy(name string) string {
	name = strings.TrimSpace(name)
	if name == "NONE" || name == "$" {
		return ""
	}
	return name
}

// readShapes ties representations to products, and gives the definition that each
// PRODUCT_DEFINITION_SHAPE is about.
func (s *structure) readShapes() map[int]part21.Instance {
	about := map[int]part21.Instance{}
	for i := range s.f.Of(typeProductDefinitionShape) {
		p := i.Record(typeProductDefinitionShape).Params()
		p.Skip()
		p.Skip()
		if d := p.InstanceOrNone(); p.Err() == nil {
			about[i.Index()] = d
		}
	}
	for i := range s.f.Of(typeShapeDefinitionRepresentation) {
		p := i.Record(typeShapeDefinitionRepresentation).Params()
		shape, used := p.Instance(), p.Instance()
		if err := p.Err(); err != nil {
			s.noteAt(i, "a shape could not be tied to its product: %v", err)
			continue
		}
		definition, ok := about[shape.Index()]
		if !ok || definition.File() == nil {
			continue
		}
		product := s.of[definition.Index()]
		r := s.representation(used)
		if product == nil || r == nil {
			continue // the shape of an aspect or of an occurrence
		}
		product.reps = append(product.reps, r)
		if s.owner[r] == nil {
			s.owner[r] = product
		}
	}
	return about
}

// readComponents reads the assembly tree.
func (s *structure) readComponents(about map[int]part21.Instance) {
	placing := map[int]part21.Instance{} // by the index of the occurrence
	for i := range s.f.Of(typeContextDependentShapeRepresentation) {
		p := i.Record(typeContextDependentShapeRepresentation).Params()
		relation, shape := p.Instance(), p.Instance()
		if err := p.Err(); err != nil {
			s.noteAt(i, "the placement of a component could not be read: %v", err)
			continue
		}
		s.used[relation.Index()] = true
		if usage := about[shape.Index()]; usage.File() != nil {
			placing[usage.Index()] = relation
		}
	}
	for i := range s.f.Of(typeNextAssemblyUsageOccurrence) {
		rec := i.Record(typeNextAssemblyUsageOccurrence)
		p := rec.Params()
		if i.Complex() {
			// The definitions are in the record of the supertype.
			if rec = i.Record(s.f.Type("PRODUCT_DEFINITION_RELATIONSHIP")); rec.Absent() {
				s.noteAt(i, "a component is written in a way that is not understood")
				continue
			}
			p = rec.Params()
		}
		for range 3 {
			p.Skip() // id, name, description
		}
		relating, related := p.Instance(), p.Instance()
		if err := p.Err(); err != nil {
			s.noteAt(i, "a component could not be read: %v", err)
			continue
		}
		parent, child := s.of[relating.Index()], s.of[related.Index()]
		if parent == nil || child == nil {
			s.noteAt(i, "a component of something that is no product definition is left out of the assembly")
			continue
		}
		parent.components = append(parent.components, &component{from: i, product: child, relation: placing[i.Index()]})
		child.isUsed = true
	}
}

// readRelations links representations outside the assembly tree.
func (s *structure) readRelations() {
	seen := map[int]bool{}
	for _, t := range [...]part21.Type{typeShapeRepresentationRelationship, typeRepresentationRelationship, typeRepresentationRelationshipWithTransformation} {
		for i := range s.f.Of(t) {
			if seen[i.Index()] || s.used[i.Index()] {
				continue
			}
			seen[i.Index()] = true
			a, b, err := s.related(i)
			if err != nil {
				s.noteAt(i, "a relation of representations could not be read: %v", err)
				continue
			}
			if a == nil || b == nil {
				continue
			}
			if !i.Is(typeRepresentationRelationshipWithTransformation) {
				a.linked = append(a.linked, b)
				b.linked = append(b.linked, a)
				continue
			}
			// The first is placed in the second, unless only the first is a product's own.
			if s.owner[a] != nil && s.owner[b] == nil {
				a, b = b, a
			}
			b.placed = append(b.placed, placedRepresentation{a, i})
		}
	}
}

// related reads the two sides of a representation relationship.
func (s *structure) related(i part21.Instance) (a, b *representation, err error) {
	rec := i.Only()
	if i.Complex() {
		if rec = i.Record(typeRepresentationRelationship); rec.Absent() {
			rec = i.Record(typeShapeRepresentationRelationship)
		}
	}
	p := rec.Params()
	p.Skip()
	p.Skip()
	one, other := p.Instance(), p.Instance()
	if err := p.Err(); err != nil {
		return nil, nil, err
	}
	return s.representation(one), s.representation(other), nil
}

// shapesOf are the representations of a product: its own and those linked to them that are no
// other product's.
func (s *structure) shapesOf(p *product, also *representation) []*representation {
	var list []*representation
	seen := map[*representation]bool{}
	var add func(r *representation)
	add = func(r *representation) {
		if r == nil || seen[r] {
			return
		}
		seen[r] = true
		list = append(list, r)
		for _, l := range r.linked {
			if o := s.owner[l]; o == nil || o == p {
				add(l)
			}
		}
	}
	for _, r := range p.reps {
		add(r)
	}
	if o := s.owner[also]; o == nil || o == p {
		add(also)
	}
	return list
}

// place walks the product trees from their roots.
func (s *structure) place() error {
	for _, p := range s.products {
		if !p.isUsed {
			if err := s.placeProduct(p, nil, geom.Identity(), "", 0); err != nil {
				return err
			}
		}
	}
	return nil
}

// placeProduct adds the bodies of a product and its components at a place.
func (s *structure) placeProduct(p *product, also *representation, at geom.Motion, path string, depth int) error {
	if p.onPath || depth > depthLimit {
		s.noteAt(p.from, "product %q is a component of itself and was left out there", p.name)
		return nil
	}
	p.onPath = true
	defer func() { p.onPath = false }()
	// Every visit counts, or an assembly of nothing but assemblies would never end.
	if s.count++; s.count > s.most.occurrences {
		return p.from.Errorf("the assembly has more than %d components", s.most.occurrences)
	}
	name := p.name
	if name == "" && path == "" {
		name = "part"
	}
	if path != "" && name != "" {
		path += "/"
	}
	path += name

	shapes := s.shapesOf(p, also)
	first := len(s.model.Occurrences)
	shown := map[int]bool{}
	for _, r := range shapes {
		if err := s.placeItems(r, at, path, shown, 0); err != nil {
			return err
		}
	}
	s.preferExact(p, first)
	if err := s.step(len(shapes)+len(p.components)+len(path)/pathBytesPerStep, p.from); err != nil {
		return err
	}
	var mapped map[*product]bool // looked for when first wanted
	for _, c := range p.components {
		motion, child, found, err := s.placementOf(p, c)
		if err != nil {
			s.noteAt(c.from, "component %q was left out, for its place could not be read: %v", c.product.name, err)
			continue
		}
		if !found {
			if mapped == nil {
				mapped = s.mappedProducts(shapes)
			}
			if mapped[c.product] {
				continue // placed by a mapped item already
			}
			s.noteAt(c.from, "component %q has no placement and was put where its own origin is", c.product.name)
		}
		if err := s.placeProduct(c.product, child, at.After(motion), path, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// preferExact drops the triangles of a product that shows its exact body as well: they are the
// same metal twice.
func (s *structure) preferExact(p *product, first int) {
	exact, facets := 0, 0
	for _, o := range s.model.Occurrences[first:] {
		if s.model.Bodies[o.Body].Facets != nil {
			facets++
		} else {
			exact++
		}
	}
	if exact == 0 || facets == 0 {
		return
	}
	kept := s.model.Occurrences[:first]
	for _, o := range s.model.Occurrences[first:] {
		if s.model.Bodies[o.Body].Facets == nil {
			kept = append(kept, o)
		}
	}
	s.model.Occurrences = kept
	s.noteAt(p.from, "product %q has exact bodies and tessellated ones; the %d tessellated were left out as the same metal twice", p.name, facets)
}

// mappedProducts are the products that mapped items among the shapes show.
func (s *structure) mappedProducts(shapes []*representation) map[*product]bool {
	shown := map[*product]bool{}
	for _, r := range shapes {
		for _, i := range r.items {
			if i.Type() != typeMappedItem {
				continue
			}
			if source, _, _, err := s.mapping(i); err == nil && s.owner[source] != nil {
				shown[s.owner[source]] = true
			}
		}
	}
	return shown
}

// placementOf is the motion of a component in its parent, and the representation on the
// component's side of the relation.
//
// ISO 10303-43 fixes neither which of rep_1 and rep_2 is the component nor, as writers read it,
// which item lies in which; so the side is found by whose representations they are and the
// items by who lists them. Where neither tells, rep_1 is the component and item 1 its own.
func (s *structure) placementOf(parent *product, c *component) (m geom.Motion, child *representation, found bool, err error) {
	if c.relation.File() == nil {
		return geom.Identity(), nil, false, nil
	}
	a, b, err := s.related(c.relation)
	if err != nil {
		return m, nil, false, err
	}
	if s.belongs(b, c.product) && s.belongs(a, parent) && !(s.belongs(a, c.product) && s.belongs(b, parent)) {
		a, b = b, a
		m, err = s.transformation(c.relation, a, b, true)
	} else {
		m, err = s.transformation(c.relation, a, b, false)
	}
	return m, a, true, err
}

func (s *structure) belongs(r *representation, p *product) bool {
	if r == nil {
		return false
	}
	for _, q := range p.reps {
		if q == r {
			return true
		}
		for _, l := range q.linked {
			if l == r {
				return true
			}
		}
	}
	return false
}

// transformation is the motion that carries child into parent by a relation. swapped says that
// the relation has the parent as its first.
func (s *structure) transformation(relation part21.Instance, child, parent *representation, swapped bool) (geom.Motion, error) {
	rec := relation.Record(typeRepresentationRelationshipWithTransformation)
	if rec.Absent() {
		return geom.Identity(), nil // a plain relation: both share their origin
	}
	p := rec.Params()
	if !relation.Complex() {
		for range 4 {
			p.Skip()
		}
	}
	operator := p.Instance()
	if err := p.Err(); err != nil {
		return geom.Motion{}, err
	}
	return s.operator(operator, child, parent, swapped)
}

func (s *structure) operator(operator part21.Instance, child, parent *representation, swapped bool) (geom.Motion, error) {
	if child == nil || parent == nil {
		return geom.Motion{}, operator.Errorf("the representations it relates could not be read")
	}
	inChild, inParent := builder{scale: s.scaleFor(child)}, builder{scale: s.scaleFor(parent)}
	if operator.Is(typeTransformation3D) {
		m, err := inParent.transformation(operator)
		if err == nil && swapped {
			m = m.Inverse()
		}
		return m, err
	}
	if operator.Type() != typeItemDefinedTransformation {
		return geom.Motion{}, notUnderstood(operator, "placement")
	}
	p := operator.Only().Params()
	p.Skip()
	p.Skip()
	item1, item2 := p.Instance(), p.Instance()
	if err := p.Err(); err != nil {
		return geom.Motion{}, err
	}
	of, to := item1, item2
	if swapped {
		of, to = item2, item1
	}
	if !child.lists(of) && !parent.lists(to) && child.lists(to) && parent.lists(of) {
		of, to = to, of
	}
	if of.Is(typeTransformation3D) || to.Is(typeTransformation3D) {
		return geom.Motion{}, notUnderstood(operator, "placement")
	}
	m, err := inChild.placement(of)
	if err != nil {
		return m, err
	}
	n, err := inParent.placement(to)
	if err != nil {
		return n, err
	}
	return n.After(m.Inverse()), nil
}

// lists says whether an item is one of the representation's own.
func (r *representation) lists(i part21.Instance) bool {
	if r.listed == nil {
		r.listed = make(map[int]bool, len(r.items))
		for _, item := range r.items {
			r.listed[item.Index()] = true
		}
	}
	return r.listed[i.Index()]
}

// mapping reads a mapped item: what it shows, its origin there, and its target here.
func (s *structure) mapping(i part21.Instance) (source *representation, origin, target part21.Instance, err error) {
	p := i.Only().Params()
	p.Skip()
	from, target := p.Instance(), p.Instance()
	if err := p.Err(); err != nil {
		return nil, origin, target, err
	}
	q := from.Record(typeRepresentationMap).Params()
	origin = q.Instance()
	shown := q.Instance()
	if err := q.Err(); err != nil {
		return nil, origin, target, err
	}
	source = s.representation(shown)
	if source == nil {
		return nil, origin, target, shown.Errorf("the mapped representation could not be read")
	}
	return source, origin, target, nil
}

// placeItems adds the bodies of a representation. shown are those that the product shows at
// this place already, by another of its representations.
func (s *structure) placeItems(r *representation, at geom.Motion, path string, shown map[int]bool, depth int) error {
	if r.onPath || depth > depthLimit {
		s.noteAt(r.from, "a representation is shown within itself and was left out there")
		return nil
	}
	r.onPath = true
	defer func() { r.onPath = false }()
	if s.count++; s.count > s.most.occurrences {
		return r.from.Errorf("the file places more than %d representations", s.most.occurrences)
	}
	if err := s.step(len(r.items)+len(r.placed), r.from); err != nil {
		return err
	}
	for _, i := range r.items {
		switch {
		case i.Type() == typeMappedItem:
			source, origin, target, err := s.mapping(i)
			if err != nil {
				s.noteAt(i, "a mapped item was left out: %v", err)
				continue
			}
			m, err := s.mappedTo(source, r, origin, target)
			if err != nil {
				s.noteAt(i, "a mapped item was left out: %v", err)
				continue
			}
			if err := s.placeItems(source, at.After(m), path, map[int]bool{}, depth+1); err != nil {
				return err
			}
		case isBody(i):
			if shown[i.Index()] {
				continue
			}
			shown[i.Index()] = true
			if s.count++; s.count > s.most.occurrences {
				return r.from.Errorf("the file places more than %d bodies", s.most.occurrences)
			}
			if b, ok := s.body(i, s.scaleFor(r)); ok {
				s.model.Occurrences = append(s.model.Occurrences, Occurrence{Body: b, Path: path, Motion: at})
			}
		case i.Type() == typeAxis2Placement3D:
			s.frame(i, r, at)
		case i.Type() >= typeGeometricSet && i.Type() < typeCount:
			if _, ok := s.refused[i.Type()]; !ok {
				s.refused[i.Type()] = i
			}
		}
	}
	for _, p := range r.placed {
		if s.owner[p.representation] != nil && s.owner[p.representation] != s.owner[r] {
			continue // another product, which has its own place
		}
		a, _, err := s.related(p.relation)
		if err != nil {
			continue // noted when the relation was read
		}
		m, err := s.transformation(p.relation, p.representation, r, a == r)
		if err != nil {
			s.noteAt(p.relation, "a representation was left out, for its place could not be read: %v", err)
			continue
		}
		if err := s.placeItems(p.representation, at.After(m), path, map[int]bool{}, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// mappedTo is the motion of a mapped item: its origin goes to its target.
func (s *structure) mappedTo(source, into *representation, origin, target part21.Instance) (geom.Motion, error) {
	there, here := builder{scale: s.scaleFor(source)}, builder{scale: s.scaleFor(into)}
	from, err := there.placement(origin)
	if err != nil {
		return from, err
	}
	var to geom.Motion
	if target.Is(typeTransformation3D) {
		to, err = here.transformation(target)
	} else {
		to, err = here.placement(target)
	}
	if err != nil {
		return to, err
	}
	return to.After(from.Inverse()), nil
}

// frame keeps a coordinate system that has a name.
func (s *structure) frame(i part21.Instance, r *representation, at geom.Motion) {
	p := i.Only().Params()
	name := tidy(p.String())
	if p.Err() != nil || name == "" {
		return
	}
	b := builder{scale: s.scaleFor(r)}
	m, err := b.placement(i)
	if err != nil {
		s.noteAt(i, "coordinate system %q could not be read: %v", name, err)
		return
	}
	s.model.Frames = append(s.model.Frames, mesh.NamedFrame{Name: name, Motion: at.After(m)})
}

// strayTypes are the bodies looked for outside the product structure, and representationTypes
// where their units are.
var strayTypes = [...]part21.Type{typeManifoldSolidBrep, typeBrepWithVoids, typeFacetedBrep, typeShellBasedSurfaceModel,
	typeFaceBasedSurfaceModel, typeTessellatedSolid, typeTessellatedShell}

var representationTypes = [...]part21.Type{typeAdvancedBrepShapeRepresentation, typeShapeRepresentation,
	typeManifoldSurfaceShapeRepresentation, typeFacetedBrepShapeRepresentation, typeTessellatedShapeRepresentation,
	typeTessellatedShapeRepresentationWithAccuracyParameters, typeGeometricallyBoundedSurfaceShapeRepresentation,
	typeGeometricallyBoundedWireframeShapeRepresentation, typeEdgeBasedWireframeShapeRepresentation,
	typeShellBasedWireframeShapeRepresentation, typeCsgShapeRepresentation, typeCompoundShapeRepresentation, typeRepresentation}

// placeStrays adds the bodies that the product structure did not reach, each once, where its
// own coordinates put it.
func (s *structure) placeStrays() error {
	var strays []part21.Instance
	for _, t := range strayTypes {
		for i := range s.f.Of(t) {
			if _, known := s.bodies[i.Index()]; !known {
				strays = append(strays, i)
				s.bodies[i.Index()] = notYet
			}
		}
	}
	if len(strays) == 0 && len(s.model.Bodies) > 0 {
		return nil
	}
	sortByIndex(strays)
	holder := map[int]*representation{}
	for _, t := range representationTypes {
		for i := range s.f.Of(t) {
			r := s.representation(i)
			if r == nil {
				continue
			}
			for _, item := range r.items {
				if holder[item.Index()] == nil {
					holder[item.Index()] = r
				}
				if t := item.Type(); t >= typeGeometricSet && t < typeCount {
					if _, ok := s.refused[t]; !ok {
						s.refused[t] = item
					}
				}
			}
		}
	}
	for _, i := range strays {
		delete(s.bodies, i.Index())
		units := s.scaleOf(part21.Instance{})
		if r := holder[i.Index()]; r != nil {
			units = s.scaleFor(r)
		} else if len(s.model.Bodies) > 0 {
			units = s.firstScale
		} else {
			for c := range s.f.Of(typeGlobalUnitAssignedContext) {
				units = s.scaleOf(c)
				break
			}
		}
		if b, ok := s.body(i, units); ok {
			path := s.model.Bodies[b].Name
			if path == "" {
				path = "#" + strconv.FormatUint(i.Name(), 10)
			}
			s.model.Occurrences = append(s.model.Occurrences, Occurrence{Body: b, Path: path, Motion: geom.Identity()})
			s.noteAt(i, "this body belongs to no product and was put where its coordinates say")
		}
	}
	return nil
}

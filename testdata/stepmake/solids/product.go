package solids

// context is a representation context with the file's units and uncertainty.
func (f *file) context() id {
	var length id
	metre := func(prefix string) id { return f.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(%s,.METRE.))", prefix) }
	dimensions := func() id { return f.add("DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)") }
	switch f.mm {
	case 1:
		length = metre(".MILLI.")
	case 1000:
		length = metre("$")
	default:
		// Conversion based units as in the units example of ISO 10303-21:2016.
		name := "INCH"
		if f.mm > inch {
			name = "FOOT"
		}
		measure := f.add("LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(%v),%v)", real(f.mm), metre(".MILLI."))
		length = f.add("(CONVERSION_BASED_UNIT('%s',%v)LENGTH_UNIT()NAMED_UNIT(%v))", name, measure, dimensions())
	}
	angle := f.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
	if f.radian != 1 {
		none := f.add("DIMENSIONAL_EXPONENTS(0.,0.,0.,0.,0.,0.,0.)")
		measure := f.add("PLANE_ANGLE_MEASURE_WITH_UNIT(PLANE_ANGLE_MEASURE(%v),%v)", real(f.radian), angle)
		angle = f.add("(CONVERSION_BASED_UNIT('DEGREE',%v)NAMED_UNIT(%v)PLANE_ANGLE_UNIT())", measure, none)
	}
	steradian := f.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
	uncertainty := f.add("UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(%v),%v,'distance_accuracy_value','')", f.length(f.uncertainty), length)
	return f.add("(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((%v))"+
		"GLOBAL_UNIT_ASSIGNED_CONTEXT((%v,%v,%v))REPRESENTATION_CONTEXT('',''))", uncertainty, length, angle, steradian)
}

// product makes a product and gives its definition.
func (f *file) product(name string) id {
	application := f.add("APPLICATION_CONTEXT('mechanical design')")
	p := f.add("PRODUCT('%s','%s','',(%v))", name, name, f.add("PRODUCT_CONTEXT('',%v,'mechanical')", application))
	formation := f.add("PRODUCT_DEFINITION_FORMATION('','',%v)", p)
	return f.add("PRODUCT_DEFINITION('design','',%v,%v)", formation,
		f.add("PRODUCT_DEFINITION_CONTEXT('part definition',%v,'design')", application))
}

// represent says that a representation is the shape of a product.
func (f *file) represent(definition, representation id) id {
	shape := f.add("PRODUCT_DEFINITION_SHAPE('','',%v)", definition)
	return f.add("SHAPE_DEFINITION_REPRESENTATION(%v,%v)", shape, representation)
}

const (
	brepShape  = "ADVANCED_BREP_SHAPE_REPRESENTATION"
	facetShape = "FACETED_BREP_SHAPE_REPRESENTATION"
	sheetShape = "MANIFOLD_SURFACE_SHAPE_REPRESENTATION"
	meshShape  = "TESSELLATED_SHAPE_REPRESENTATION"
	plainShape = "SHAPE_REPRESENTATION"
)

func (f *file) representation(kind string, items ...id) id {
	items = append(items, f.axes(origin, zAxis, xAxis))
	return f.add("%s('',%v,%v)", kind, ids(items), f.context())
}

// part makes a product with a shape of items.
func (f *file) part(name, kind string, items ...id) (definition, representation id) {
	definition = f.product(name)
	representation = f.representation(kind, items...)
	f.represent(definition, representation)
	return definition, representation
}

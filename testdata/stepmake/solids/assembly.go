package solids

import (
	"math"
)

// Assemblies place a box of 6 x 4 x 2 in its own frame; where it lands is worked out by hand.
var brickLo, brickHi = at(0, 0, 0), at(6, 4, 2)

func placed(path string, lo, hi vec) Solid {
	s := boxed(brickLo, brickHi)
	s.Path, s.Min, s.Max = path, lo, hi
	return s
}

// occurrence puts one product into another: the child's frame from goes onto the parent's to.
func (f *file) occurrence(label string, parent, child, parentShape, childShape, to, from id) {
	usage := f.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE('%s','%s','',%v,%v,$)", label, label, parent, child)
	shape := f.add("PRODUCT_DEFINITION_SHAPE('','',%v)", usage)
	transform := f.add("ITEM_DEFINED_TRANSFORMATION('','',%v,%v)", from, to)
	relation := f.add("(REPRESENTATION_RELATIONSHIP('','',%v,%v)REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(%v)SHAPE_REPRESENTATION_RELATIONSHIP())",
		childShape, parentShape, transform)
	f.add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(%v,%v)", relation, shape)
}

// frame is a representation of placements only, of an assembly's product.
func (f *file) frame(name string, places ...id) (definition, representation id) {
	return f.part(name, plainShape, places...)
}

// rack holds two shelves, a shelf two bricks: four occurrences of one solid, at three depths.
func rack(f *file) []Solid {
	brickFrame := f.axes(origin, zAxis, xAxis)
	brick, brickShape := f.part("brick", brepShape, f.solid(f.box(brickLo, brickHi)...), brickFrame)
	// On the shelf: at x = 10; and at y = 20 turned a quarter about z, x to y: its x side of 6 then
	// runs along y and its y side of 4 along -x.
	first, second := f.axes(at(10, 0, 0), zAxis, xAxis), f.axes(at(0, 20, 0), zAxis, yAxis)
	shelfFrame := f.axes(origin, zAxis, xAxis)
	shelf, shelfShape := f.frame("shelf", first, second, shelfFrame)
	f.occurrence("brick one", shelf, brick, shelfShape, brickShape, first, brickFrame)
	f.occurrence("brick two", shelf, brick, shelfShape, brickShape, second, brickFrame)
	// In the rack: at z = 50; and at z = 100 with z turned to x and x to y, hence y to z.
	low, high := f.axes(at(0, 0, 50), zAxis, xAxis), f.axes(at(0, 0, 100), xAxis, yAxis)
	top, topShape := f.frame("rack", low, high)
	f.occurrence("low", top, shelf, topShape, shelfShape, low, shelfFrame)
	f.occurrence("high", top, shelf, topShape, shelfShape, high, shelfFrame)
	return []Solid{
		placed("rack/shelf/brick", at(10, 0, 50), at(16, 4, 52)),
		placed("rack/shelf/brick", at(-4, 20, 50), at(0, 26, 52)),
		// Shelf (x, y, z) -> rack (z, x, y) + (0, 0, 100).
		placed("rack/shelf/brick", at(0, 10, 100), at(2, 16, 104)),
		placed("rack/shelf/brick", at(0, -4, 120), at(2, 0, 126)),
	}
}

// mapped puts a brick into a product twice by MAPPED_ITEM, and that shape once into another.
func mapped(f *file) []Solid {
	source := f.axes(origin, zAxis, xAxis)
	shape := f.representation(brepShape, f.solid(f.box(brickLo, brickHi)...))
	use := func(of, from, to id) id {
		return f.add("MAPPED_ITEM('',%v,%v)", f.add("REPRESENTATION_MAP(%v,%v)", from, of), to)
	}
	one := use(shape, source, f.axes(at(0, 0, 5), zAxis, xAxis))
	two := use(shape, source, f.axes(at(30, 0, 0), zAxis, yAxis))
	pair := f.representation(plainShape, one, two)
	nest := use(pair, f.axes(at(0, 0, 5), zAxis, xAxis), f.axes(at(100, 0, 0), zAxis, xAxis))
	f.part("pair", plainShape, nest)
	// The nest moves by (100, 0, -5).
	return []Solid{
		placed("pair", at(100, 0, 0), at(106, 4, 2)),
		placed("pair", at(126, 0, -5), at(130, 6, -3)),
	}
}

// operator scales and moves by CARTESIAN_TRANSFORMATION_OPERATOR_3D: a mapped item of scale 2 has
// 8 times the volume and 4 times the area.
func scaled(f *file) []Solid {
	source := f.axes(origin, zAxis, xAxis)
	shape := f.representation(brepShape, f.solid(f.box(brickLo, brickHi)...))
	target := f.add("CARTESIAN_TRANSFORMATION_OPERATOR_3D('','','',%v,%v,%v,2.,%v)", f.direction(xAxis), f.direction(yAxis), f.point(at(1, 0, 0)), f.direction(zAxis))
	f.part("double", plainShape, f.add("MAPPED_ITEM('',%v,%v)", f.add("REPRESENTATION_MAP(%v,%v)", source, shape), target))
	s := boxed(brickLo.Mul(2), brickHi.Mul(2))
	s.Path, s.Min, s.Max = "double", at(1, 0, 0), at(13, 8, 4)
	return []Solid{s}
}

// linked has the product's shape in one representation and the solid in another, joined by a plain
// SHAPE_REPRESENTATION_RELATIONSHIP.
func linked(f *file) []Solid {
	definition := f.product("linked")
	place := f.representation(plainShape, f.axes(origin, zAxis, xAxis))
	f.represent(definition, place)
	shape := f.representation(brepShape, f.solid(f.box(brickLo, brickHi)...))
	f.add("SHAPE_REPRESENTATION_RELATIONSHIP('','',%v,%v)", place, shape)
	return []Solid{placed("linked", brickLo, brickHi)}
}

// mixed puts a brick in inches into an assembly in millimetres.
func mixed(f *file) []Solid {
	f.mm = inch
	brickFrame := f.axes(origin, zAxis, xAxis)
	brick, brickShape := f.part("brick", brepShape, f.solid(f.box(brickLo, brickHi)...), brickFrame)
	f.mm = 1
	place := f.axes(at(10, 20, 30), zAxis, xAxis)
	top, topShape := f.frame("holder", place)
	f.occurrence("brick", top, brick, topShape, brickShape, place, brickFrame)
	return []Solid{placed("holder/brick", at(10, 20, 30), at(16, 24, 32))}
}

// several has two solids in one product, and one in a product of its own.
func several(f *file) []Solid {
	far := at(0, 0, 40)
	f.part("two", brepShape, f.solid(f.box(brickLo, brickHi)...), f.solid(f.box(brickLo.Add(far), brickHi.Add(far))...))
	items, s := wholeSphere(3, "")(f)
	f.part("one", brepShape, items...)
	s.Path = "one"
	return []Solid{placed("two", brickLo, brickHi), placed("two", brickLo.Add(far), brickHi.Add(far)), s}
}

// tilted turns a brick about a slanting axis: volume and area stay, bounds are those of its corners.
func tilted(f *file) []Solid {
	brickFrame := f.axes(origin, zAxis, xAxis)
	brick, brickShape := f.part("brick", brepShape, f.solid(f.box(brickLo, brickHi)...), brickFrame)
	z, x := at(1, 2, 2).Mul(1.0/3), at(2, -2, 1).Mul(1.0/3) // of length 1 and at right angles
	y := z.Cross(x)
	place := f.axes(at(5, 6, 7), z, x)
	top, topShape := f.frame("tilted", place)
	f.occurrence("brick", top, brick, topShape, brickShape, place, brickFrame)
	s := placed("tilted/brick", at(math.Inf(1), math.Inf(1), math.Inf(1)), at(math.Inf(-1), math.Inf(-1), math.Inf(-1)))
	for _, c := range boxCorners(brickLo, brickHi) {
		p := at(5, 6, 7).Add(x.Mul(c.X)).Add(y.Mul(c.Y)).Add(z.Mul(c.Z))
		s.Min = at(min(s.Min.X, p.X), min(s.Min.Y, p.Y), min(s.Min.Z, p.Z))
		s.Max = at(max(s.Max.X, p.X), max(s.Max.Y, p.Y), max(s.Max.Z, p.Z))
	}
	return []Solid{s}
}

package solids

import (
	"math"
	"strings"
)

// Cases are all the files, each with a name of its own.
func Cases() []Case {
	var all []Case
	write := func(name, note string, set func(f *file), build func(f *file) []Solid) {
		f := newFile()
		if set != nil {
			set(f)
		}
		solids := build(f)
		all = append(all, Case{Name: name, Text: f.text(name), Solids: solids, Note: note})
	}
	as := func(kind string) func(name, note string, set func(f *file), build func(f *file) (ids, Solid)) {
		return func(name, note string, set func(f *file), build func(f *file) (ids, Solid)) {
			write(name, note, set, func(f *file) []Solid {
				items, s := build(f)
				s.Path = name
				f.part(name, kind, items...)
				return []Solid{s}
			})
		}
	}
	brep, sheets, facets, meshes := as(brepShape), as(sheetShape), as(facetShape), as(meshShape)

	box := func(f *file) (ids, Solid) {
		lo, hi := at(-3, 2, 1), at(9, 7, 21)
		return ids{f.solid(f.box(lo, hi)...)}, boxed(lo, hi)
	}
	brep("box", "planes and lines", nil, box)
	names, prisms := arcs()
	for k, name := range names {
		brep("prism_"+name, "an edge or face by "+name, nil, func(f *file) (ids, Solid) { return prism(f, prisms[k]) })
	}

	for _, seam := range []struct {
		name  string
		seam  bool
		kinds [2]string
	}{
		{"seam", true, [2]string{outer}},
		{"seam_plain_bound", true, [2]string{bound}},
		{"band", false, [2]string{bound, bound}},
		{"band_one_outer", false, [2]string{outer, bound}},
		{"band_two_outer", false, [2]string{outer, outer}},
	} {
		brep("cylinder_"+seam.name, "a periodic face, "+seam.name, nil, frustumCase(6, 6, 9, seam.seam, seam.kinds))
		brep("cone_frustum_"+seam.name, "a periodic face, "+seam.name, nil, frustumCase(7, 3, 5, seam.seam, seam.kinds))
		brep("cone_frustum_widening_"+seam.name, "a periodic face, "+seam.name, nil, frustumCase(3, 7, 5, seam.seam, seam.kinds))
	}
	for _, apex := range []string{"vertex loop", "seam", "radius zero"} {
		brep("cone_"+fileName(apex), "an apex by "+apex, nil, fullCone(5, 12, apex))
	}
	for _, how := range []string{"no bound", "vertex loop", "seam", "offset"} {
		brep("sphere_"+fileName(how), "a whole sphere by "+how, nil, wholeSphere(7, how))
	}
	brep("sphere_halves", "two faces between equator and pole", nil, hemispheres(7))
	brep("spherical_cap", "less than half a sphere", nil, sphericalCap(10, 6))
	brep("spherical_cap_large", "more than half a sphere", nil, sphericalCap(10, -6))
	for _, how := range []string{"no bound", "vertex loop", "seams"} {
		brep("torus_"+fileName(how), "a whole torus by "+how, nil, ringTorus(9, 2.5, how))
	}
	brep("torus_apple", "the outer sheet of a torus that crosses its axis", nil, degenerateTorus(3, 5, true))
	brep("torus_lemon", "the inner sheet of a torus that crosses its axis", nil, degenerateTorus(3, 5, false))

	brep("torus_elbow", "a torus between two circles of its tube", nil, elbow(9, 2.5))
	brep("sphere_zone", "a sphere between two circles", nil, zone(10, -3, 6))
	brep("sphere_lune", "a sphere between two meridians, poles as vertices", nil, lune(6, 2.1))
	brep("sphere_half_lune", "half a sphere, poles as vertices", nil, lune(6, math.Pi))
	brep("cone_half", "an apex as a vertex of two edges", nil, halfCone(5, 12))
	brep("cylinder_b_spline", "a b-spline surface that closes", nil, splineCylinder(6, 9))
	brep("cylinder_slanted", "a slanting extrusion that closes", nil, slanted(4, 5, 11))

	brep("revolution_line_cone", "a line revolved", nil, revolvedLine(6, 4, 7))
	brep("revolution_line_cylinder", "a line revolved", nil, revolvedLine(5, 5, 7))
	brep("revolution_arc", "a circle revolved", nil, revolvedArc(10, 6))
	brep("revolution_b_spline", "a b-spline revolved", nil, paraboloid(2, 6, 8, false))
	brep("revolution_rational_b_spline", "a rational b-spline revolved", nil, paraboloid(2, 6, 8, true))

	lidNames, lidSurfaces := lids()
	for k, name := range lidNames {
		brep("block_"+name, "a lid by "+name, nil, liddedBlock(lidSurfaces[k]))
	}
	brep("octant_rational_b_spline", "a patch with a pole", nil, octant(8))
	brep("block_offset_plane", "an offset surface of a plane", nil, func(f *file) (ids, Solid) {
		lo, hi := at(0, 0, 0), at(5, 6, 7)
		f.lid = func(f *file) (id, bool) {
			return f.add("OFFSET_SURFACE('',%v,%v,.F.)", f.plane(at(0, 0, 4), zAxis, xAxis), f.length(3)), true
		}
		faces := f.polyhedron(boxCorners(lo, hi), boxLoops)
		f.lid = nil
		return ids{f.solid(faces...)}, boxed(lo, hi)
	})
	brep("block_curve_bounded_surface", "a curve bounded surface", nil, curveBounded)

	brep("tube_window", "three loops on a periodic face with a seam", nil, window(5, 8, 20, 6, 13, 0.9, false))
	brep("tube_window_band", "three loops on a periodic face without seam or outer bound", nil, window(5, 8, 20, 6, 13, 0.9, true))
	for _, kind := range []string{"SURFACE_CURVE", "SEAM_CURVE", "INTERSECTION_CURVE", "PCURVE"} {
		brep("cylinder_"+map[string]string{"SURFACE_CURVE": "surface_curve", "SEAM_CURVE": "seam_curve", "INTERSECTION_CURVE": "intersection_curve", "PCURVE": "pcurve_only"}[kind],
			"edges by "+kind, nil, surfaceCurves(kind))
	}

	for _, turn := range []struct {
		name string
		set  func(f *file)
	}{
		{"edge_curve", func(f *file) { f.turnCurves = true }},
		{"oriented_edge", func(f *file) { f.turnEdges = true }},
		{"bound", func(f *file) { f.turnBounds = true }},
		{"face", func(f *file) { f.turnPlanes = true }},
		{"all", func(f *file) { f.turnCurves, f.turnEdges, f.turnBounds, f.turnPlanes = true, true, true, true }},
	} {
		note := "sense flags turned: " + turn.name
		brep("box_turned_"+turn.name, note, turn.set, box)
		brep("prism_turned_"+turn.name, note, turn.set, func(f *file) (ids, Solid) { return prism(f, halfCircle(nil, nil)) })
		brep("tube_turned_"+turn.name, note, turn.set, window(5, 8, 20, 6, 13, 0.9, false))
		brep("cone_turned_"+turn.name, note, turn.set, fullCone(5, 12, "vertex loop"))
	}
	brep("box_turned_shell", "a shell turned by its oriented shell", nil, turnedShell)
	brep("box_loose_vertices", "vertices off their lines by less than the uncertainty", nil, loose)
	all[len(all)-1].LooseMM = looseMM

	brep("box_unsewn", "faces with edges and vertices of their own, which agree to the uncertainty", nil, unsewnBox)
	all[len(all)-1].LooseMM = unsewnMM
	brep("cylinder_unsewn", "caps with circles of their own", nil, unsewnCylinder(6, 9))

	brep("voids_box", "a cavity", nil, hollow("box"))
	brep("voids_inward_box", "a cavity whose shell faces inward already", nil, hollow("inward box"))
	brep("voids_sphere", "a cavity of one face without bounds", nil, hollow("sphere"))
	corners, loops, s := tetrahedron()
	facets("faceted_tetrahedron", "poly loops", nil, faceted(corners, loops, s, true))
	lo, hi := at(1, 2, 3), at(6, 9, 12)
	facets("faceted_box", "poly loops", nil, faceted(boxCorners(lo, hi), boxLoops, boxed(lo, hi), true))
	facets("faceted_box_bare", "poly loops on faces without a surface", nil, faceted(boxCorners(lo, hi), boxLoops, boxed(lo, hi), false))
	sheets("shell_closed", "a surface model that closes", nil, sheet("SHELL_BASED_SURFACE_MODEL", false))
	sheets("shell_open", "a surface model that does not close", nil, sheet("SHELL_BASED_SURFACE_MODEL", true))
	sheets("face_set_closed", "a surface model that closes", nil, sheet("FACE_BASED_SURFACE_MODEL", false))
	sheets("face_set_open", "a surface model that does not close", nil, sheet("FACE_BASED_SURFACE_MODEL", true))
	ap242 := func(f *file) { f.schema = schemaAP242 }
	meshes("tessellated_solid", "AP242 triangles", ap242, tessellated("solid"))
	meshes("tessellated_shell", "AP242 triangles", ap242, tessellated("closed"))
	meshes("tessellated_shell_open", "AP242 triangles that do not close", ap242, tessellated("open"))

	write("assembly_nested", "occurrences nested and repeated", nil, rack)
	write("assembly_mapped", "mapped items nested and repeated", nil, mapped)
	write("assembly_mapped_scaled", "a mapped item of scale 2", nil, scaled)
	write("assembly_linked", "a plain shape representation relationship", nil, linked)
	write("assembly_mixed_units", "a part in inches in an assembly in millimetres", nil, mixed)
	write("assembly_tilted", "a slanting placement", nil, tilted)
	write("several_solids", "solids without an assembly", nil, several)

	for _, unit := range []struct {
		name   string
		mm     float64
		radian float64
		schema string
	}{
		{"inch_degrees", inch, degrees, schemaAP203},
		{"metre_radians", 1000, 1, schemaAP214},
		{"foot_degrees", 12 * inch, degrees, schemaAP242},
		{"millimetre_degrees", 1, degrees, schemaAP242First},
	} {
		set := func(f *file) { f.mm, f.radian, f.schema = unit.mm, unit.radian, unit.schema }
		note := "units and schema: " + unit.name
		brep("unit_"+unit.name+"_box", note, set, box)
		brep("unit_"+unit.name+"_cone", note, set, frustumCase(7, 3, 5, true, [2]string{outer}))
		brep("unit_"+unit.name+"_trimmed_curve", note, set, func(f *file) (ids, Solid) {
			for k, name := range names {
				if name == "composite_curve" {
					return prism(f, prisms[k])
				}
			}
			panic("no such arc")
		})
		brep("unit_"+unit.name+"_trimmed_surface", note, set, func(f *file) (ids, Solid) {
			for k, name := range names {
				if name == "rectangular_trimmed_surface" {
					return prism(f, prisms[k])
				}
			}
			panic("no such arc")
		})
		brep("unit_"+unit.name+"_pcurves", note, set, surfaceCurves("PCURVE"))
		brep("unit_"+unit.name+"_parabola", note, set, func(f *file) (ids, Solid) { return prism(f, prisms[2]) })
		brep("unit_"+unit.name+"_torus", note, set, ringTorus(9, 2.5, "seams"))
		brep("unit_"+unit.name+"_revolution", note, set, revolvedArc(10, 6))
		write("unit_"+unit.name+"_assembly", note, set, rack)
	}

	refuse := func(name, err, note string, build func(f *file)) {
		f := newFile()
		build(f)
		all = append(all, Case{Name: name, Text: f.text(name), Err: err, Note: note})
	}
	refuse("refused_csg", "CSG_SOLID", "constructive geometry", func(f *file) {
		f.part("csg", "CSG_SHAPE_REPRESENTATION", csgSolid(f))
	})
	refuse("refused_wireframe", "GEOMETRIC_CURVE_SET", "wires", func(f *file) {
		f.part("wires", "GEOMETRICALLY_BOUNDED_WIREFRAME_SHAPE_REPRESENTATION", wire(f))
	})
	refuse("refused_external_reference", "gear.stp", "a shape in another file", func(f *file) {
		f.references = "#1000=<gear.stp#shape>;\n"
		f.represent(f.product("gear"), 1000)
	})
	refuse("refused_document_file", "wheel.stp", "a shape in another file, by document", func(f *file) {
		definition := f.product("wheel")
		kind := f.add("DOCUMENT_TYPE('')")
		document := f.add("DOCUMENT_FILE('wheel.stp','','',%v,'',$)", kind)
		f.add("APPLIED_DOCUMENT_REFERENCE(%v,'',(%v))", document, definition)
		external := f.add("EXTERNAL_SOURCE(IDENTIFIER(''))")
		f.add("APPLIED_EXTERNAL_IDENTIFICATION_ASSIGNMENT('wheel.stp',%v,%v,(%v))", f.add("IDENTIFICATION_ROLE('external document id and location',$)"), external, document)
		f.represent(definition, f.representation(plainShape))
	})
	return all
}

// Schema names: those of AP214 and AP242 as the 2016 units example of ISO 10303-21 and AP214 sample
// headers have them; that of AP203 from memory.
const (
	schemaAP203      = "CONFIG_CONTROL_DESIGN"
	schemaAP214      = "AUTOMOTIVE_DESIGN { 1 0 10303 214 2 1 1}"
	schemaAP242      = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 3 1 4 }"
	schemaAP242First = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 1 1 4 }"
)

// fileName is a phrase as part of a file name.
func fileName(phrase string) string { return strings.ReplaceAll(phrase, " ", "_") }

package brep

import "pocketgauge/mesh/step/part21"

// The entities that are read, each with the type that part21 gives it for Keywords.
const (
	typeCartesianPoint part21.Type = iota + 1
	typeDirection
	typeVector
	typeAxis1Placement
	typeAxis2Placement2D
	typeAxis2Placement3D
	typeTransformation3D

	typeLine
	typeCircle
	typeEllipse
	typeParabola
	typeHyperbola
	typePolyline
	typeBSplineCurve
	typeBSplineCurveWithKnots
	typeUniformCurve
	typeQuasiUniformCurve
	typeBezierCurve
	typeRationalBSplineCurve
	typeTrimmedCurve
	typeCompositeCurve
	typeCompositeCurveOnSurface
	typeBoundaryCurve
	typeOuterBoundaryCurve
	typeCompositeCurveSegment
	typeReparametrisedCompositeCurveSegment
	typeOffsetCurve2D
	typeOffsetCurve3D
	typeSurfaceCurve
	typeBoundedSurfaceCurve
	typeSeamCurve
	typeIntersectionCurve
	typePcurve
	typeBoundedPcurve
	typeDegeneratePcurve
	typeDefinitionalRepresentation

	typePlane
	typeCylindricalSurface
	typeConicalSurface
	typeSphericalSurface
	typeToroidalSurface
	typeDegenerateToroidalSurface
	typeSurfaceOfRevolution
	typeSurfaceOfLinearExtrusion
	typeBSplineSurface
	typeBSplineSurfaceWithKnots
	typeUniformSurface
	typeQuasiUniformSurface
	typeBezierSurface
	typeRationalBSplineSurface
	typeRectangularTrimmedSurface
	typeCurveBoundedSurface
	typeOffsetSurface

	typeVertexPoint
	typeEdge
	typeEdgeCurve
	typeSubedge
	typeOrientedEdge
	typeEdgeLoop
	typePolyLoop
	typeVertexLoop
	typeFaceBound
	typeFaceOuterBound
	typeFace
	typeFaceSurface
	typeAdvancedFace
	typeOrientedFace
	typeSubface
	typeConnectedFaceSet
	typeOpenShell
	typeClosedShell
	typeOrientedOpenShell
	typeOrientedClosedShell

	typeManifoldSolidBrep
	typeBrepWithVoids
	typeFacetedBrep
	typeShellBasedSurfaceModel
	typeFaceBasedSurfaceModel
	typeTessellatedSolid
	typeTessellatedShell
	typeTriangulatedFace
	typeComplexTriangulatedFace
	typeTriangulatedSurfaceSet
	typeComplexTriangulatedSurfaceSet
	typeCoordinatesList

	typeMappedItem
	typeRepresentationMap
	typeRepresentation
	typeShapeRepresentation
	typeAdvancedBrepShapeRepresentation
	typeFacetedBrepShapeRepresentation
	typeManifoldSurfaceShapeRepresentation
	typeTessellatedShapeRepresentation
	typeTessellatedShapeRepresentationWithAccuracyParameters
	typeGeometricallyBoundedSurfaceShapeRepresentation
	typeGeometricallyBoundedWireframeShapeRepresentation
	typeEdgeBasedWireframeShapeRepresentation
	typeShellBasedWireframeShapeRepresentation
	typeCsgShapeRepresentation
	typeCompoundShapeRepresentation
	typeShapeRepresentationRelationship
	typeRepresentationRelationship
	typeRepresentationRelationshipWithTransformation
	typeItemDefinedTransformation
	typeShapeDefinitionRepresentation
	typeProductDefinitionShape
	typeContextDependentShapeRepresentation
	typeNextAssemblyUsageOccurrence
	typeProductDefinition
	typeProductDefinitionWithAssociatedDocuments
	typeProductDefinitionFormation
	typeProductDefinitionFormationWithSpecifiedSource
	typeProduct
	typeDocumentFile
	typeExternallyDefinedRepresentation

	typeGlobalUnitAssignedContext
	typeGlobalUncertaintyAssignedContext
	typeUncertaintyMeasureWithUnit
	typeLengthUnit
	typePlaneAngleUnit
	typeSIUnit
	typeConversionBasedUnit
	typeMeasureWithUnit
	typeLengthMeasureWithUnit
	typePlaneAngleMeasureWithUnit

	// Named in an error or a note, for they are no boundary of a body.
	typeGeometricSet
	typeGeometricCurveSet
	typeEdgeBasedWireframeModel
	typeShellBasedWireframeModel
	typeCsgSolid
	typeBooleanResult
	typeBooleanClippingResult
	typeBlock
	typeSphere
	typeRightCircularCylinder
	typeRightCircularCone
	typeRightAngularWedge
	typeTorus
	typeEllipsoid
	typeHalfSpaceSolid
	typeExtrudedAreaSolid
	typeRevolvedAreaSolid
	typeSweptDiskSolid
	typeExtrudedFaceSolid
	typeRevolvedFaceSolid
	typeSolidReplica
	typeSurfaceReplica
	typeTessellatedGeometricSet
	typeRepositionedTessellatedItem
	typeCount
)

var keywords = [...]string{
	typeCartesianPoint:   "CARTESIAN_POINT",
	typeDirection:        "DIRECTION",
	typeVector:           "VECTOR",
	typeAxis1Placement:   "AXIS1_PLACEMENT",
	typeAxis2Placement2D: "AXIS2_PLACEMENT_2D",
	typeAxis2Placement3D: "AXIS2_PLACEMENT_3D",
	typeTransformation3D: "CARTESIAN_TRANSFORMATION_OPERATOR_3D",

	typeLine:                                "LINE",
	typeCircle:                              "CIRCLE",
	typeEllipse:                             "ELLIPSE",
	typeParabola:                            "PARABOLA",
	typeHyperbola:                           "HYPERBOLA",
	typePolyline:                            "POLYLINE",
	typeBSplineCurve:                        "B_SPLINE_CURVE",
	typeBSplineCurveWithKnots:               "B_SPLINE_CURVE_WITH_KNOTS",
	typeUniformCurve:                        "UNIFORM_CURVE",
	typeQuasiUniformCurve:                   "QUASI_UNIFORM_CURVE",
	typeBezierCurve:                         "BEZIER_CURVE",
	typeRationalBSplineCurve:                "RATIONAL_B_SPLINE_CURVE",
	typeTrimmedCurve:                        "TRIMMED_CURVE",
	typeCompositeCurve:                      "COMPOSITE_CURVE",
	typeCompositeCurveOnSurface:             "COMPOSITE_CURVE_ON_SURFACE",
	typeBoundaryCurve:                       "BOUNDARY_CURVE",
	typeOuterBoundaryCurve:                  "OUTER_BOUNDARY_CURVE",
	typeCompositeCurveSegment:               "COMPOSITE_CURVE_SEGMENT",
	typeReparametrisedCompositeCurveSegment: "REPARAMETRISED_COMPOSITE_CURVE_SEGMENT",
	typeOffsetCurve2D:                       "OFFSET_CURVE_2D",
	typeOffsetCurve3D:                       "OFFSET_CURVE_3D",
	typeSurfaceCurve:                        "SURFACE_CURVE",
	typeBoundedSurfaceCurve:                 "BOUNDED_SURFACE_CURVE",
	typeSeamCurve:                           "SEAM_CURVE",
	typeIntersectionCurve:                   "INTERSECTION_CURVE",
	typePcurve:                              "PCURVE",
	typeBoundedPcurve:                       "BOUNDED_PCURVE",
	typeDegeneratePcurve:                    "DEGENERATE_PCURVE",
	typeDefinitionalRepresentation:          "DEFINITIONAL_REPRESENTATION",

	typePlane:                     "PLANE",
	typeCylindricalSurface:        "CYLINDRICAL_SURFACE",
	typeConicalSurface:            "CONICAL_SURFACE",
	typeSphericalSurface:          "SPHERICAL_SURFACE",
	typeToroidalSurface:           "TOROIDAL_SURFACE",
	typeDegenerateToroidalSurface: "DEGENERATE_TOROIDAL_SURFACE",
	typeSurfaceOfRevolution:       "SURFACE_OF_REVOLUTION",
	typeSurfaceOfLinearExtrusion:  "SURFACE_OF_LINEAR_EXTRUSION",
	typeBSplineSurface:            "B_SPLINE_SURFACE",
	typeBSplineSurfaceWithKnots:   "B_SPLINE_SURFACE_WITH_KNOTS",
	typeUniformSurface:            "UNIFORM_SURFACE",
	typeQuasiUniformSurface:       "QUASI_UNIFORM_SURFACE",
	typeBezierSurface:             "BEZIER_SURFACE",
	typeRationalBSplineSurface:    "RATIONAL_B_SPLINE_SURFACE",
	typeRectangularTrimmedSurface: "RECTANGULAR_TRIMMED_SURFACE",
	typeCurveBoundedSurface:       "CURVE_BOUNDED_SURFACE",
	typeOffsetSurface:             "OFFSET_SURFACE",

	typeVertexPoint:         "VERTEX_POINT",
	typeEdge:                "EDGE",
	typeEdgeCurve:           "EDGE_CURVE",
	typeSubedge:             "SUBEDGE",
	typeOrientedEdge:        "ORIENTED_EDGE",
	typeEdgeLoop:            "EDGE_LOOP",
	typePolyLoop:            "POLY_LOOP",
	typeVertexLoop:          "VERTEX_LOOP",
	typeFaceBound:           "FACE_BOUND",
	typeFaceOuterBound:      "FACE_OUTER_BOUND",
	typeFace:                "FACE",
	typeFaceSurface:         "FACE_SURFACE",
	typeAdvancedFace:        "ADVANCED_FACE",
	typeOrientedFace:        "ORIENTED_FACE",
	typeSubface:             "SUBFACE",
	typeConnectedFaceSet:    "CONNECTED_FACE_SET",
	typeOpenShell:           "OPEN_SHELL",
	typeClosedShell:         "CLOSED_SHELL",
	typeOrientedOpenShell:   "ORIENTED_OPEN_SHELL",
	typeOrientedClosedShell: "ORIENTED_CLOSED_SHELL",

	typeManifoldSolidBrep:             "MANIFOLD_SOLID_BREP",
	typeBrepWithVoids:                 "BREP_WITH_VOIDS",
	typeFacetedBrep:                   "FACETED_BREP",
	typeShellBasedSurfaceModel:        "SHELL_BASED_SURFACE_MODEL",
	typeFaceBasedSurfaceModel:         "FACE_BASED_SURFACE_MODEL",
	typeTessellatedSolid:              "TESSELLATED_SOLID",
	typeTessellatedShell:              "TESSELLATED_SHELL",
	typeTriangulatedFace:              "TRIANGULATED_FACE",
	typeComplexTriangulatedFace:       "COMPLEX_TRIANGULATED_FACE",
	typeTriangulatedSurfaceSet:        "TRIANGULATED_SURFACE_SET",
	typeComplexTriangulatedSurfaceSet: "COMPLEX_TRIANGULATED_SURFACE_SET",
	typeCoordinatesList:               "COORDINATES_LIST",

	typeMappedItem:                                           "MAPPED_ITEM",
	typeRepresentationMap:                                    "REPRESENTATION_MAP",
	typeRepresentation:                                       "REPRESENTATION",
	typeShapeRepresentation:                                  "SHAPE_REPRESENTATION",
	typeAdvancedBrepShapeRepresentation:                      "ADVANCED_BREP_SHAPE_REPRESENTATION",
	typeFacetedBrepShapeRepresentation:                       "FACETED_BREP_SHAPE_REPRESENTATION",
	typeManifoldSurfaceShapeRepresentation:                   "MANIFOLD_SURFACE_SHAPE_REPRESENTATION",
	typeTessellatedShapeRepresentation:                       "TESSELLATED_SHAPE_REPRESENTATION",
	typeTessellatedShapeRepresentationWithAccuracyParameters: "TESSELLATED_SHAPE_REPRESENTATION_WITH_ACCURACY_PARAMETERS",
	typeGeometricallyBoundedSurfaceShapeRepresentation:       "GEOMETRICALLY_BOUNDED_SURFACE_SHAPE_REPRESENTATION",
	typeGeometricallyBoundedWireframeShapeRepresentation:     "GEOMETRICALLY_BOUNDED_WIREFRAME_SHAPE_REPRESENTATION",
	typeEdgeBasedWireframeShapeRepresentation:                "EDGE_BASED_WIREFRAME_SHAPE_REPRESENTATION",
	typeShellBasedWireframeShapeRepresentation:               "SHELL_BASED_WIREFRAME_SHAPE_REPRESENTATION",
	typeCsgShapeRepresentation:                               "CSG_SHAPE_REPRESENTATION",
	typeCompoundShapeRepresentation:                          "COMPOUND_SHAPE_REPRESENTATION",
	typeShapeRepresentationRelationship:                      "SHAPE_REPRESENTATION_RELATIONSHIP",
	typeRepresentationRelationship:                           "REPRESENTATION_RELATIONSHIP",
	typeRepresentationRelationshipWithTransformation:         "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION",
	typeItemDefinedTransformation:                            "ITEM_DEFINED_TRANSFORMATION",
	typeShapeDefinitionRepresentation:                        "SHAPE_DEFINITION_REPRESENTATION",
	typeProductDefinitionShape:                               "PRODUCT_DEFINITION_SHAPE",
	typeContextDependentShapeRepresentation:                  "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION",
	typeNextAssemblyUsageOccurrence:                          "NEXT_ASSEMBLY_USAGE_OCCURRENCE",
	typeProductDefinition:                                    "PRODUCT_DEFINITION",
	typeProductDefinitionWithAssociatedDocuments:             "PRODUCT_DEFINITION_WITH_ASSOCIATED_DOCUMENTS",
	typeProductDefinitionFormation:                           "PRODUCT_DEFINITION_FORMATION",
	typeProductDefinitionFormationWithSpecifiedSource:        "PRODUCT_DEFINITION_FORMATION_WITH_SPECIFIED_SOURCE",
	typeProduct:                         "PRODUCT",
	typeDocumentFile:                    "DOCUMENT_FILE",
	typeExternallyDefinedRepresentation: "EXTERNALLY_DEFINED_REPRESENTATION",

	typeGlobalUnitAssignedContext:        "GLOBAL_UNIT_ASSIGNED_CONTEXT",
	typeGlobalUncertaintyAssignedContext: "GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT",
	typeUncertaintyMeasureWithUnit:       "UNCERTAINTY_MEASURE_WITH_UNIT",
	typeLengthUnit:                       "LENGTH_UNIT",
	typePlaneAngleUnit:                   "PLANE_ANGLE_UNIT",
	typeSIUnit:                           "SI_UNIT",
	typeConversionBasedUnit:              "CONVERSION_BASED_UNIT",
	typeMeasureWithUnit:                  "MEASURE_WITH_UNIT",
	typeLengthMeasureWithUnit:            "LENGTH_MEASURE_WITH_UNIT",
	typePlaneAngleMeasureWithUnit:        "PLANE_ANGLE_MEASURE_WITH_UNIT",

	typeGeometricSet:                "GEOMETRIC_SET",
	typeGeometricCurveSet:           "GEOMETRIC_CURVE_SET",
	typeEdgeBasedWireframeModel:     "EDGE_BASED_WIREFRAME_MODEL",
	typeShellBasedWireframeModel:    "SHELL_BASED_WIREFRAME_MODEL",
	typeCsgSolid:                    "CSG_SOLID",
	typeBooleanResult:               "BOOLEAN_RESULT",
	typeBooleanClippingResult:       "BOOLEAN_CLIPPING_RESULT",
	typeBlock:                       "BLOCK",
	typeSphere:                      "SPHERE",
	typeRightCircularCylinder:       "RIGHT_CIRCULAR_CYLINDER",
	typeRightCircularCone:           "RIGHT_CIRCULAR_CONE",
	typeRightAngularWedge:           "RIGHT_ANGULAR_WEDGE",
	typeTorus:                       "TORUS",
	typeEllipsoid:                   "ELLIPSOID",
	typeHalfSpaceSolid:              "HALF_SPACE_SOLID",
	typeExtrudedAreaSolid:           "EXTRUDED_AREA_SOLID",
	typeRevolvedAreaSolid:           "REVOLVED_AREA_SOLID",
	typeSweptDiskSolid:              "SWEPT_DISK_SOLID",
	typeExtrudedFaceSolid:           "EXTRUDED_FACE_SOLID",
	typeRevolvedFaceSolid:           "REVOLVED_FACE_SOLID",
	typeSolidReplica:                "SOLID_REPLICA",
	typeSurfaceReplica:              "SURFACE_REPLICA",
	typeTessellatedGeometricSet:     "TESSELLATED_GEOMETRIC_SET",
	typeRepositionedTessellatedItem: "REPOSITIONED_TESSELLATED_ITEM",
}

// Keywords is the vocabulary that a file has to be parsed with to be read here:
// part21.Parse(text, part21.Limits{Keywords: brep.Keywords()}).
func Keywords() []string { return keywords[1:] }

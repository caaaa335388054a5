"""Solids over the OpenCASCADE kernel of python3-gmsh: a few words of the toolmaker's trade.

Lengths are millimetres. Every function returns a list of (3, tag) pairs. Detail that shapes the
moulded part is tapered by explicit flat faces or cones, so that it has draft as real detail has.
"""

import math
import struct

import gmsh

occ = gmsh.model.occ


def box(lo, hi):
    return [(3, occ.addBox(*lo, *[b - a for a, b in zip(lo, hi)]))]


def cylinder(start, end, diameter):
    return cone(start, end, diameter, diameter)


def cone(start, end, diameter, end_diameter):
    """A round bar from start to end, of two half turns so that no face closes on itself: the mesher
    fails on those, and CAD systems split them too."""
    d = [b - a for a, b in zip(start, end)]
    parts = []
    for _ in range(2):
        if diameter == end_diameter:
            parts.append((3, occ.addCylinder(*start, *d, diameter / 2, angle=math.pi)))
        else:
            parts.append((3, occ.addCone(*start, *d, diameter / 2, end_diameter / 2, angle=math.pi)))
    # The seams are turned away from where another bore's would meet them edge on edge.
    occ.rotate([parts[0]], *start, *d, 0.6)
    occ.rotate([parts[1]], *start, *d, 0.6 + math.pi)
    return occ.fuse([parts[0]], [parts[1]])[0]


def bore(start, end, diameter, point=118):
    """A drilled bore from its mouth to the end of its full diameter, with the drill's point."""
    d = [b - a for a, b in zip(start, end)]
    length = math.sqrt(sum(x * x for x in d))
    tip = diameter / 2 / math.tan(math.radians(point / 2))
    # The point ends in a flat of a tenth: a mesh likes it better than an apex, and so does a drill.
    tip_end = [b + x / length * tip * 0.9 for b, x in zip(end, d)]
    return fuse(cylinder(start, end, diameter), cone(end, tip_end, diameter, diameter * 0.1))


def fuse(*parts):
    parts = [p for p in parts if p]
    first, rest = parts[0], [s for p in parts[1:] for s in p]
    return occ.fuse(first, rest)[0] if rest else first


def cut(body, *tools):
    for tool in tools:
        body = occ.cut(body, tool)[0]
    return body


def flat_loop(points):
    at = [occ.addPoint(*p) for p in points]
    lines = [occ.addLine(a, b) for a, b in zip(at, at[1:] + at[:1])]
    return occ.addPlaneSurface([occ.addCurveLoop(lines)])


def extruded(outline, bottom, top):
    """outline: pieces ('line', (x, y)) or ('arc', centre, (x, y)) after a first point."""
    first, pieces = outline[0], outline[1:]
    p0 = occ.addPoint(*first, bottom)
    at, curves = p0, []
    for i, piece in enumerate(pieces):
        to = p0 if i == len(pieces) - 1 else occ.addPoint(*piece[-1], bottom)
        if piece[0] == 'line':
            curves.append(occ.addLine(at, to))
        else:
            curves.append(occ.addCircleArc(at, occ.addPoint(*piece[1], bottom), to))
        at = to
    face = occ.addPlaneSurface([occ.addCurveLoop(curves)])
    return [s for s in occ.extrude([(2, face)], 0, 0, top - bottom) if s[0] == 3]


def rounded(width, length, radius, bottom, top):
    x, y, r = width / 2, length / 2, radius
    return extruded([
        (x - r, -y), ('arc', (x - r, -y + r), (x, -y + r)), ('line', (x, y - r)),
        ('arc', (x - r, y - r), (x - r, y)), ('line', (-x + r, y)),
        ('arc', (-x + r, y - r), (-x, y - r)), ('line', (-x, -y + r)),
        ('arc', (-x + r, -y + r), (-x + r, -y)), ('line', (x - r, -y)),
    ], bottom, top)


def round_with_flats(diameter, distance, bottom, top):
    """A disc with a flat towards +y and one towards -y."""
    r, d = diameter / 2, distance
    w = math.sqrt(r * r - d * d)
    return extruded([(w, -d), ('arc', (0, 0), (r, 0)), ('arc', (0, 0), (w, d)), ('line', (-w, d)),
                     ('arc', (0, 0), (-r, 0)), ('arc', (0, 0), (-w, -d)), ('line', (w, -d))], bottom, top)


def taper(at, width, length, bottom, top, draft, turn=0.0, corner=0.0):
    """A bar standing from z = bottom to z = top, given at its bottom; its walls lean inwards by draft
    (degrees) on the way up, outwards where draft is negative. corner cuts the four corners off."""
    def ring(z):
        lean = (z - bottom) * math.tan(math.radians(draft))
        x, y, c = width / 2 - lean, length / 2 - lean, corner
        if c:
            flat = [(x - c, -y), (x, -y + c), (x, y - c), (x - c, y), (-x + c, y), (-x, y - c), (-x, -y + c), (-x + c, -y)]
        else:
            flat = [(x, -y), (x, y), (-x, y), (-x, -y)]
        s, k = math.sin(turn), math.cos(turn)
        return [(at[0] + a * k - b * s, at[1] + a * s + b * k, z) for a, b in flat]
    low, high = ring(bottom), ring(top)
    pl = [occ.addPoint(*p) for p in low]
    ph = [occ.addPoint(*p) for p in high]
    n = len(pl)
    ll = [occ.addLine(pl[i], pl[(i + 1) % n]) for i in range(n)]
    lh = [occ.addLine(ph[i], ph[(i + 1) % n]) for i in range(n)]
    up = [occ.addLine(pl[i], ph[i]) for i in range(n)]
    faces = [occ.addPlaneSurface([occ.addCurveLoop(ll)]), occ.addPlaneSurface([occ.addCurveLoop(lh)])]
    for i in range(n):
        faces.append(occ.addPlaneSurface([occ.addCurveLoop([ll[i], up[(i + 1) % n], -lh[i], -up[i]])]))
    return [(3, occ.addVolume([occ.addSurfaceLoop(faces, sewing=True)]))]


def disc(at, diameter, bottom, top, draft):
    """A round taper, given at its bottom."""
    lean = (top - bottom) * math.tan(math.radians(draft))
    return cone((at[0], at[1], bottom), (at[0], at[1], top), diameter, diameter - 2 * lean)


def ring_groove(at, diameter, width, bottom, top, draft):
    """A round groove in a face at z = top, narrowing to its floor at z = bottom."""
    lean = (top - bottom) * math.tan(math.radians(draft))
    outer = cone((*at, bottom), (*at, top), diameter + width - 2 * lean, diameter + width)
    inner = cone((*at, bottom), (*at, top), diameter - width + 2 * lean, diameter - width)
    return cut(outer, inner)


def broken(body, at_z, distance):
    """The straight and round edges that lie wholly at the height are chamfered."""
    occ.synchronize()
    edges = []
    for tag in body:
        for curve in gmsh.model.getBoundary(gmsh.model.getBoundary([tag], oriented=False), combined=False, oriented=False):
            lo_hi = gmsh.model.getBoundingBox(*curve)
            if abs(lo_hi[2] - at_z) < 1e-3 and abs(lo_hi[5] - at_z) < 1e-3 and curve[1] not in edges:
                edges.append(curve[1])
    faces = []
    for e in edges:
        up, _ = gmsh.model.getAdjacencies(1, e)
        level = [f for f in up if abs(gmsh.model.getBoundingBox(2, f)[5] - gmsh.model.getBoundingBox(2, f)[2]) < 1e-3]
        faces.append(level[0])
    return occ.chamfer([t for _, t in body], edges, faces, [distance] * len(edges))


def rounded_floor(body, floor_z, radius, sharp=lambda box: False):
    """The edges at a height are rounded, in metal that is later subtracted as a cavity's shape."""
    occ.synchronize()
    edges = set()
    for tag in body:
        for curve in gmsh.model.getBoundary(gmsh.model.getBoundary([tag], oriented=False), combined=False, oriented=False):
            lo_hi = gmsh.model.getBoundingBox(*curve)
            if abs(lo_hi[2] - floor_z) < 1e-3 and abs(lo_hi[5] - floor_z) < 1e-3 and not sharp(lo_hi):
                edges.add(curve[1])
    return occ.fillet([t for _, t in body], sorted(edges), [radius])


def measured(body):
    """Volume, area and centroid as the kernel integrates them over the exact surfaces."""
    occ.synchronize()
    volume = sum(occ.getMass(3, t) for _, t in body)
    area = sum(occ.getMass(2, f) for _, f in gmsh.model.getBoundary(body, oriented=False))
    moment = [sum(occ.getMass(3, t) * occ.getCenterOfMass(3, t)[i] for _, t in body) for i in range(3)]
    return volume, area, [m / volume for m in moment]


def meshed(body, chord):
    """Triangles of the surface, each a triple of points, turned outwards.

    Curves get the number of pieces that keeps their sagitta under the chord. Flat and conical
    faces are triangulated over their edges alone; only the fillets, curved both ways, get points
    inside.
    """
    occ.synchronize()
    gmsh.option.setNumber('Mesh.MeshSizeFromPoints', 0)
    gmsh.option.setNumber('Mesh.MeshSizeExtendFromBoundary', 1)
    gmsh.option.setNumber('Mesh.MeshSizeMin', 0.01)
    gmsh.option.setNumber('Mesh.MeshSizeMax', 500)
    gmsh.option.setNumber('Mesh.Algorithm', 6)
    gmsh.option.setNumber('Mesh.RandomSeed', 1)
    gmsh.option.setNumber('General.NumThreads', 1)
    count = {}
    for dim, tag in gmsh.model.getEntities(1):
        lo, hi = gmsh.model.getParametrizationBounds(dim, tag)
        lo, hi = lo[0], hi[0]
        curvature = max(gmsh.model.getCurvature(dim, tag, [lo + (hi - lo) * f / 8])[0] for f in range(9))
        pieces = 1
        if curvature > 1e-6:
            radius = 1 / curvature
            step = 2 * math.acos(1 - min(chord / radius, 0.5))
            pieces = max(2, math.ceil(occ.getMass(dim, tag) / (radius * step)))
        count[tag] = pieces
    fillets = [t for d, t in gmsh.model.getEntities(2) if gmsh.model.getType(d, t) == 'Torus']
    across = []
    for tag in fillets:
        around = [abs(t) for _, t in gmsh.model.getBoundary([(2, tag)], combined=False)]
        if len(around) == 4:
            across += [(around[0], around[2]), (around[1], around[3])]
            gmsh.model.mesh.setTransfiniteSurface(tag)
    changed = True
    while changed:      # opposite sides of a fillet get as many pieces as each other
        changed = False
        for a, b in across:
            if count[a] != count[b]:
                count[a] = count[b] = max(count[a], count[b])
                changed = True
    for tag, pieces in count.items():
        gmsh.model.mesh.setTransfiniteCurve(tag, pieces + 1)
    for dim, tag in gmsh.model.getEntities(2):
        if gmsh.model.getType(dim, tag) in ('Plane', 'Cylinder', 'Cone'):
            gmsh.model.mesh.setAlgorithm(2, tag, 3)
    gmsh.model.mesh.generate(2)
    tags, coords, _ = gmsh.model.mesh.getNodes()
    at = {t: tuple(coords[3 * i:3 * i + 3]) for i, t in enumerate(tags)}
    triangles = []
    for _, face in gmsh.model.getBoundary(body, oriented=True):
        _, _, nodes = gmsh.model.mesh.getElements(2, abs(face))
        n = [list(nodes[0][i:i + 3]) for i in range(0, len(nodes[0]), 3)]
        if gmsh.model.getType(2, abs(face)) in ('Cylinder', 'Cone'):
            n = ruled(abs(face), at)
        triangles += [[int(k) for k in t] for t in n]
    triangles = [[at[k] for k in t] for t in oriented(triangles)]
    if mesh_volume(triangles) < 0:
        triangles = [[a, c, b] for a, b, c in triangles]
    return triangles


def oriented(triangles):
    """The triangles turned so that each agrees with its neighbours. The kernel's own sense of a face
    is not always that of its body after a chain of cuts."""
    over = {}
    for i, t in enumerate(triangles):
        for a, b in ((t[0], t[1]), (t[1], t[2]), (t[2], t[0])):
            over.setdefault((min(a, b), max(a, b)), []).append(i)
    bad = [e for e, uses in over.items() if len(uses) != 2]
    if bad:
        raise SystemExit(f'{len(bad)} edges of the mesh are not used twice')
    done, stack = {0}, [0]
    while stack:
        i = stack.pop()
        t = triangles[i]
        for a, b in ((t[0], t[1]), (t[1], t[2]), (t[2], t[0])):
            for j in over[min(a, b), max(a, b)]:
                if j in done:
                    continue
                o = triangles[j]
                if (a, b) in ((o[0], o[1]), (o[1], o[2]), (o[2], o[0])):
                    triangles[j] = [o[0], o[2], o[1]]
                done.add(j)
                stack.append(j)
    if len(done) != len(triangles):
        raise SystemExit('the surface falls apart')
    return triangles


def ruled(face, at):
    """Triangles of a cylinder or cone over the points of its edges alone.

    A triangulation that knows only the edges draws chords through a bore wherever another opens
    into it. Here the face is unrolled, stretched round the axis a thousandfold and triangulated
    flat: what is far apart in angle is then never joined if anything nearer in angle can be.
    """
    (u0, v0), (u1, v1) = gmsh.model.getParametrizationBounds(2, face)
    next_to = {}
    for _, curve in gmsh.model.getBoundary([(2, face)], oriented=False):
        _, _, ends = gmsh.model.mesh.getElements(1, curve)
        for i in range(0, len(ends[0]), 2):
            a, b = int(ends[0][i]), int(ends[0][i + 1])
            next_to.setdefault(a, []).append(b)
            next_to.setdefault(b, []).append(a)
    flat = {}
    tags, _, uv = gmsh.model.mesh.getNodes(2, face, includeBoundary=True, returnParametricCoord=True)
    for i, k in enumerate(tags):
        u, v = uv[2 * i], uv[2 * i + 1]
        while u > u1 + 1e-4:
            u -= 2 * math.pi
        while u < u0 - 1e-4:
            u += 2 * math.pi
        flat[int(k)] = (u * 1000 * (v1 - v0), v)
    loops, seen = [], set()
    for start in sorted(next_to):
        if start in seen:
            continue
        loop, before, here = [], None, start
        while here not in seen:
            seen.add(here)
            loop.append(here)
            ways = [k for k in next_to[here] if k != before and k not in seen]
            before = here
            if ways:
                here = ways[0]
        loops.append(loop)

    def area(loop):
        return sum(flat[a][0] * flat[b][1] - flat[a][1] * flat[b][0] for a, b in zip(loop, loop[1:] + loop[:1])) / 2
    loops.sort(key=lambda l: -abs(area(l)))
    main = gmsh.model.getCurrent()
    gmsh.model.add('flat')
    geo = gmsh.model.geo
    point = {k: geo.addPoint(*flat[k], 0) for loop in loops for k in loop}
    back = {}
    wires = []
    for loop in loops:
        lines = [geo.addLine(point[a], point[b]) for a, b in zip(loop, loop[1:] + loop[:1])]
        for line in lines:
            geo.mesh.setTransfiniteCurve(line, 2)
        wires.append(geo.addCurveLoop(lines))
    plane = geo.addPlaneSurface(wires)
    geo.synchronize()
    gmsh.model.mesh.setAlgorithm(2, plane, 3)
    gmsh.model.mesh.generate(2)
    for k, p in point.items():
        node, _, _ = gmsh.model.mesh.getNodes(0, p)
        back[int(node[0])] = k
    _, _, nodes = gmsh.model.mesh.getElements(2, plane)
    n = [back[int(k)] for k in nodes[0]]
    gmsh.model.remove()
    gmsh.model.setCurrent(main)
    return [n[i:i + 3] for i in range(0, len(n), 3)]


def mesh_volume(triangles):
    total = 0.0
    for a, b, c in triangles:
        total += (a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0])) / 6
    return total


def write_stl(name, title, triangles):
    with open(name, 'wb') as f:
        f.write(title.encode().ljust(80, b' '))
        f.write(struct.pack('<I', len(triangles)))
        for a, b, c in triangles:
            u = [b[i] - a[i] for i in range(3)]
            v = [c[i] - a[i] for i in range(3)]
            n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
            length = math.sqrt(sum(x * x for x in n)) or 1
            f.write(struct.pack('<12fH', *[x / length + 0.0 for x in n], *a, *b, *c, 0))

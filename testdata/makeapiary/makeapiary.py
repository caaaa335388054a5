#!/usr/bin/python3
"""Draws the inserts of the demo shop and writes them as STL, or as STEP where --step names them.

    /usr/bin/python3 testdata/makeapiary/makeapiary.py [--out testdata/apiary] [--step NAME,...] [NAME ...]

Needs Debian's python3-gmsh. What it writes is committed, so that the tests need only Go. The
same version of the kernel writes the same bytes.

Frames: "Brood R164", pocket 164 x 116 with corners of 10, 42 deep; "Smoker D110", pocket of
diameter 110 with two flats, 36 deep. Gaps, heights and zones here are those of rules/*.yaml.
"""

import argparse
import json
import math
import os
import re

import gmsh

from solids import (bore, box, broken, cone, cut, cylinder, disc, fuse, measured, mesh_volume, meshed,
                    occ, ring_groove, rounded, rounded_floor, round_with_flats, taper, write_stl)

CHORD = 0.004    # sagitta of the triangles
PROUD = 0.035    # over the frame's parting face, both frames
BREAK = 1.0      # chamfer of the edge that enters the pocket first, both frames
APART = 0.0      # how far from the first waterline's axis the drilling that joins the two ends

# The brood frame's pocket and what every insert for it has.
R_WIDTH, R_LENGTH, R_CORNER, R_DEPTH, R_GAP = 164.0, 116.0, 10.0, 42.0, 0.012
R_TOP = R_DEPTH + PROUD
R_WATER_Z, R_WATER_X, R_WATER = 20.0, 34.0, 8.0

# The smoker frame's.
S_DIAMETER, S_FLAT, S_DEPTH, S_GAP = 110.0, 51.0, 36.0, 0.022
S_TOP = S_DEPTH + PROUD
S_WATER_Z, S_WATER_X, S_WATER = 12.0, 24.0, 6.0


def brood_block(wider=0.0, top=None, left_slot=True, tie_in=False, cut_pad=False, cut_bench=False):
    top = R_TOP if top is None else top
    w, l = R_WIDTH - 2 * R_GAP + wider, R_LENGTH - 2 * R_GAP
    body = broken(rounded(w, l, R_CORNER - R_GAP, 0, top), 0, BREAK)
    tools = []
    if left_slot:
        tools.append(box((-90, -15, 9.5), (-71.5, 15, 22.5)))
    tools.append(box((71.5, -15, 9.5), (90, 15, 22.5)))
    # Two waterlines from the front, joined by a drilling from the right that is plugged
    # and thinner, so that it ends inside the first line.
    for x in (-R_WATER_X, R_WATER_X):
        tools.append(bore((x, -70, R_WATER_Z), (x, 50, R_WATER_Z), R_WATER))
    tools.append(bore((90, 46, R_WATER_Z), (APART - R_WATER_X, 46, R_WATER_Z), R_WATER - 2))
    # Screws that hold the insert down, from the seat.
    for x in (-60, 60):
        for y in (-44, 44):
            if (x, y) in ((60, 44), (-60, -44)):
                continue  # the frame's pads
            tools.append(bore((x, y, -1), (x, y, 16), 6.8))
    if tie_in:
        tools.append(cylinder((0, 0, -1), (0, 0, 15), 22))
    if cut_pad:
        tools.append(box((50, 39, -1), (90, 49, 5)))
    if cut_bench:
        tools.append(box((-4, 55, 3), (4, 70, 6)))
    return cut(body, *tools)


def smoker_block(top=None, tie_in=False, left_slot=True):
    top = S_TOP if top is None else top
    body = broken(round_with_flats(S_DIAMETER - 2 * S_GAP, S_FLAT - S_GAP, 0, top), 0, BREAK)
    tools = []
    for side in (-1, 1) if left_slot else (1,):
        lo, hi = sorted((side * 45.5, side * 60))
        tools.append(box((lo, -9, 17.5), (hi, 9, 28.5)))
    for x in (-S_WATER_X, S_WATER_X):
        tools.append(bore((x, -60, S_WATER_Z), (x, 36, S_WATER_Z), S_WATER))
    tools.append(bore((60, 31, S_WATER_Z), (APART - S_WATER_X, 31, S_WATER_Z), S_WATER - 1))
    if tie_in:
        tools.append(cylinder((0, 0, -1), (0, 0, 13), 18))
    return cut(body, *tools)


def sprue(at, floor, bush=12.0, bush_to=30.0):
    return fuse(cylinder((*at, -1), (*at, bush_to), bush), cone((*at, bush_to - 1), (*at, floor + 1), 5.0, 3.6))


def pins(places, diameter, top):
    return [cylinder((x, y, -1), (x, y, top + 20), diameter) for x, y in places]


# Detail. Cavities are what is cut away; cores are metal that is left standing in them.

def entrance_disc_cavity(top):
    floor = top - 3.2
    hole = rounded_floor(disc((0, 0), 92 - 2 * 3.2 * math.tan(math.radians(2)), floor, top + 1, -2), floor, 0.8)
    cores = [disc((0, 28), 21, floor - 0.5, top, 1.5), disc((0, 0), 6, floor - 0.5, top, 1.0)]
    for i in range(5):      # slots that let air in and keep bees in
        cores.append(taper((-28, -14 + 7.0 * i), 17, 3.4, floor - 0.5, top, 1.5, corner=0.8))
    for i in range(4):      # wider slots that hold a queen back
        cores.append(taper((28, -11.4 + 7.6 * i), 17, 4.4, floor - 0.5, top, 1.5, corner=0.8))
    return cut(hole, *cores)


def entrance_disc_fixed(**block):
    top = block.pop('top', R_TOP)
    return cut(brood_block(top=top, **block), entrance_disc_cavity(top), sprue((0, -27), top - 3.2))


def entrance_disc_moving():
    top = R_TOP
    tools = [ring_groove((0, 0), 84, 1.6, top - 1.5, top, 3)]
    for i in range(8):      # ribs on the back of the disc
        a = math.radians(22.5 + 45 * i)
        tools.append(taper((23 * math.cos(a), 23 * math.sin(a)), 26, 1.6, top - 1.5, top + 0.5, -3, turn=a))
    for i in range(4):      # vents: a few hundredths, then a groove to the outside
        a = math.radians(90 * i)
        c, s = math.cos(a), math.sin(a)
        tools.append(taper((49 * c, 49 * s), 8, 6, top - 0.03, top + 1, 0, turn=a))
        tools.append(taper((53 * c + 28 * c * abs(c), 53 * s + 6 * s * abs(s)), (56 if abs(c) > 0.5 else 12) + 2, 6, top - 0.6, top + 1, 0, turn=a))
    # Between the ribs, and where the other half does not shut off.
    tools += pins([(-24.5, -25), (24.5, -25), (-24.5, 25), (24.5, 25), (0, -36), (0, -17)], 4.0, top)
    return cut(brood_block(tie_in=True), *tools)


def clip_shape(y, floor, top, draft=1.5):
    return taper((0, y), 88, 20, floor, top, -draft, corner=4)


def queen_clip_fixed(floor=None, draft=1.5):
    top = R_TOP
    floor = R_TOP - 5.0 if floor is None else floor
    tools = []
    for y in (-24, 24):
        hole = rounded_floor(clip_shape(y, floor, top + 1, draft), floor, 0.6)
        cores = [taper((x, y), 3.6, 12, floor - 0.5, floor + 4.4, 1.5, corner=0.6) for x in (-30, -20, -10, 0, 10, 20, 30)]
        cores += [disc((x, y), 7, floor - 0.5, floor + 4.4, 1.5) for x in (-38.2, 38.2)]
        tools.append(cut(hole, *cores))
    tools.append(taper((0, 0), 4, 40, top - 2.5, top + 1, -10))     # runner
    tools.append(sprue((0, 0), top - 2.5))
    return cut(brood_block(), *tools)


def queen_clip_moving(left_slot=True):
    top = R_TOP
    block = brood_block(tie_in=True, left_slot=left_slot)
    cores = [taper((0, y), 82, 14, top - 1, top + 3.2, 1.5, corner=3) for y in (-24, 24)]
    body = fuse(block, *cores)
    tools = []
    for y in (-24, 24):
        for x in (-30, -20, -10, 0, 10, 20, 30):    # slots that the fixed half's bars shut off in
            tools.append(taper((x, y), 5.2, 15, top + 1.2, top + 4, -1.5))
        tools += pins([(-20, y), (0, y), (20, y)], 3.0, top)
    tools.append(taper((0, 0), 4, 26, top - 2.5, top + 1, -10))
    return cut(body, *tools)


def mouse_guard_fixed(wider=0.0):
    top, floor = R_TOP, R_TOP - 4.0
    hole = rounded_floor(taper((0, 0), 126, 34, floor, top + 1, -1.5, corner=5), floor, 0.8)
    cores = [disc((-49 + 14 * i, y), 8.6, floor - 0.5, top, 1.0) for i in range(8) for y in (-8, 8)]
    return cut(brood_block(wider=wider), cut(hole, *cores), sprue((0, 0), floor))


def mouse_guard_moving(cut_pad=False):
    top = R_TOP
    tools = [taper((0, y), 112, 2.0, top - 2.0, top + 0.5, -2, corner=0.4) for y in (-14.5, 0, 14.5)]
    tools += [taper((x, 0), 2.0, 27, top - 2.0, top + 0.5, -2, corner=0.4) for x in (-56, 56)]
    tools += pins([(x, y) for x in (-42.7, -14, 14, 42.7) for y in (-7.2, 7.2)], 3.0, top)
    return cut(brood_block(tie_in=True, cut_pad=cut_pad), *tools)


def frame_spacer_fixed(depth=5.5):
    top, floor = R_TOP, R_TOP - depth
    tools = []
    for x in (-45, -15, 15, 45):
        hole = rounded_floor(taper((x, 0), 16, 60, floor, top + 1, -1.5, corner=3), floor, 0.8)
        tools.append(cut(hole, taper((x, 14), 5, 22, floor - 0.5, top, 1.5, corner=1), taper((x, -14), 5, 22, floor - 0.5, top, 1.5, corner=1)))
    tools.append(taper((0, -44), 96, 5, top - 3, top + 1, -10))
    for x in (-45, -15, 15, 45):
        tools.append(taper((x, -37), 3, 16, top - 1.5, top + 1, -10))
    tools.append(sprue((0, -44), top - 3))
    return cut(brood_block(), *tools)


def feeder_cap_fixed():
    top, floor = S_TOP, S_TOP - 9.0
    hole = rounded_floor(disc((0, 0), 70 - 2 * 9 * math.tan(math.radians(2)), floor, top + 1, -2), floor, 1.2)
    grips = [taper((35.6 * math.cos(math.radians(15 * i)), 35.6 * math.sin(math.radians(15 * i))), 4, 3.4, floor + 3, top + 1, -2, turn=math.radians(15 * i))
             for i in range(24)]
    return cut(smoker_block(), fuse(hole, *grips), sprue((0, 0), floor, bush=10.0, bush_to=20.0))


def feeder_cap_moving(core=7.0, slot=12.0, groove=2.5):
    top = S_TOP
    body = fuse(smoker_block(tie_in=True), disc((0, 0), 64, top - 1, top + core, 2))
    tools = [ring_groove((0, 0), 50, 2.4, top + core - groove, top + core, 3)]
    tools += [taper((13 * math.cos(math.radians(60 * i)), 13 * math.sin(math.radians(60 * i))), slot, 2.4, top + core - 1.6, top + core + 0.5, -3, turn=math.radians(60 * i)) for i in range(6)]
    tools += pins([(17.5 * math.cos(math.radians(30 + 60 * i)), 17.5 * math.sin(math.radians(30 + 60 * i))) for i in range(6)], 3.0, top + core)
    return cut(body, *tools)


def feeder_plug_fixed(top=None):
    top = S_TOP if top is None else top
    floor = top - 6.0
    tools = []
    for x, y in ((-20, 0), (20, 0), (0, -20), (0, 20)):
        hole = rounded_floor(disc((x, y), 18 - 2 * 6 * math.tan(math.radians(2)), floor, top + 1, -2), floor, 0.8)
        tools.append(cut(hole, disc((x, y), 7, floor - 0.5, top - 1.5, 1.5)))
    tools.append(taper((0, 0), 24, 4, top - 2.5, top + 1, -10))
    tools.append(taper((0, 0), 4, 24, top - 2.5, top + 1, -10))
    tools.append(sprue((0, 0), top - 2.5, bush=10.0, bush_to=24.0))
    return cut(smoker_block(top=top), *tools)


def bee_escape_fixed():
    top, floor = S_TOP, S_TOP - 4.0
    hole = rounded_floor(disc((0, 0), 78 - 2 * 4 * math.tan(math.radians(2)), floor, top + 1, -2), floor, 0.8)
    cores = [disc((0, 0), 14, floor - 0.5, top, 1.5)]
    for i in range(6):
        a = math.radians(60 * i)
        cores.append(taper((24 * math.cos(a), 24 * math.sin(a)), 20, 5.0, floor - 0.5, top, 1.5, turn=a, corner=1))
    return cut(smoker_block(), cut(hole, *cores), sprue((0, -22), floor, bush=9.0, bush_to=26.0))


def bee_escape_moving():
    top = S_TOP
    tools = [ring_groove((0, 0), 72, 1.8, top - 2.0, top, 3), ring_groove((0, 0), 18, 1.8, top - 2.0, top, 3)]
    for i in range(6):
        a = math.radians(30 + 60 * i)
        tools.append(taper((22.5 * math.cos(a), 22.5 * math.sin(a)), 27, 1.8, top - 2.0, top + 0.5, -3, turn=a))
    tools += pins([(22 * math.cos(math.radians(a)), 22 * math.sin(math.radians(a))) for a in (75, 105, 255, 285)], 3.0, top)
    return cut(smoker_block(tie_in=True), *tools)


def quarter_turned(body):
    occ.rotate(body, 0, 0, 0, 0, 0, 1, math.pi / 2)
    return body


# name: (frame, half, maker, what was seeded, how the STL differs from the drawn body)
INSERTS = {
    'entrance-disc-fixed': ('Brood R164', 'fixed', entrance_disc_fixed, '', ''),
    'entrance-disc-moving': ('Brood R164', 'moving', entrance_disc_moving, '', ''),
    'feeder-cap-fixed': ('Smoker D110', 'fixed', feeder_cap_fixed, '', ''),
    'feeder-cap-moving': ('Smoker D110', 'moving', feeder_cap_moving, '', ''),
    'queen-clip-fixed': ('Brood R164', 'fixed', lambda: queen_clip_fixed(floor=25.1),
                         'the cavities are drawn 11.9 mm too deep: 1.1 mm of steel is left over the waterlines', ''),
    'queen-clip-moving': ('Brood R164', 'moving', lambda: queen_clip_moving(left_slot=False),
                          'the left clamp slot is not cut', ''),
    'mouse-guard-fixed': ('Brood R164', 'fixed', lambda: mouse_guard_fixed(wider=0.1),
                          'the block is 0.1 mm too wide', ''),
    'mouse-guard-moving': ('Brood R164', 'moving', lambda: mouse_guard_moving(cut_pad=True),
                           'a way for a sensor cable is cut through the rear right pad', ''),
    'frame-spacer-fixed': ('Brood R164', 'fixed', frame_spacer_fixed,
                           'one face was lost on export: the surface is open', 'open'),
    'feeder-plug-fixed': ('Smoker D110', 'fixed', lambda: feeder_plug_fixed(top=S_TOP + 0.3),
                          'the block stands 0.3 mm too proud', ''),
    'feeder-plug-moving': ('Smoker D110', 'moving', lambda: feeder_cap_moving(core=16.0),
                           'the core stands 4.035 mm out of the blank', ''),
    'bee-escape-fixed': ('Smoker D110', 'fixed', bee_escape_fixed, 'exported in inches', 'inches'),
    'bee-escape-moving': ('Smoker D110', 'moving', lambda: quarter_turned(bee_escape_moving()),
                          'drawn a quarter turn round: the flats look left and right', ''),
}

# Revisions of inserts, which are no part of the demo: drawn by name only, and kept beside it.
REVISIONS = {
    'feeder-cap-moving-b': ('Smoker D110', 'moving', lambda: feeder_cap_moving(slot=14.5, groove=2.0),
                            'the slots are 2.5 mm longer and the groove is 0.5 mm less deep', ''),
}


def without_a_face(body, triangles):
    """Drops the triangles of the face whose middle is nearest to the wall of the first cavity."""
    def middle(t):
        return [sum(p[i] for p in t) / 3 for i in range(3)]
    kept = []
    for t in triangles:
        m = middle(t)
        # The long outer wall of the leftmost cavity, at x = -53.
        wall = -53.3 < m[0] < -52.7 and all(abs(p[1]) <= 27.5 and p[2] > R_TOP - 5.0 for p in t)
        if not wall:
            kept.append(t)
    if len(kept) == len(triangles):
        raise SystemExit('no face was dropped')
    return kept


def make(name, out, step):
    frame, half, maker, seeded, change = {**INSERTS, **REVISIONS}[name]
    gmsh.model.add(name)
    body = maker()
    occ.synchronize()
    others = [e for e in gmsh.model.getEntities(3) if e not in body]
    if others or len(body) != 1:
        raise SystemExit(f'{name}: {len(body)} bodies and {len(others)} left over')
    for e in gmsh.model.getEntities(2) + gmsh.model.getEntities(1) + gmsh.model.getEntities(0):
        occ.remove([e])     # construction leftovers; what bounds the body stays
    occ.synchronize()
    volume, area, centroid = measured(body)
    facts = {'frame': frame, 'half': half, 'volume_mm3': round(volume, 4), 'area_mm2': round(area, 4),
             'centroid_mm': [round(c, 6) for c in centroid], 'seeded': seeded}
    if step:
        path = os.path.join(out, 'inserts', name + '.stp')
        raw = path + '.tmp.step'
        gmsh.write(raw)
        with open(raw) as f:
            text = f.read()
        os.remove(raw)
        header = (f"FILE_DESCRIPTION(('mould insert'),'2;1');\n"
                  f"FILE_NAME('{name}.stp','2026-01-01T00:00:00',('apiary'),('apiary'),'','makeapiary','');\n")
        text = re.sub(r"FILE_DESCRIPTION\(.*?\);\s*FILE_NAME\(.*?\);\n", lambda _: header, text, count=1, flags=re.S)
        text = re.sub(r"PRODUCT\('[^']*',\s*'[^']*'", f"PRODUCT('{name}','{name}'", text)
        with open(path, 'w') as f:
            f.write(text)
        facts['file'] = f'inserts/{name}.stp'
    else:
        triangles = meshed(body, CHORD)
        facts['mesh_volume_mm3'] = round(mesh_volume(triangles), 4)
        if change == 'open':
            del facts['mesh_volume_mm3']
            triangles = without_a_face(body, triangles)
        if change == 'inches':
            triangles = [[tuple(x / 25.4 for x in p) for p in t] for t in triangles]
        facts['triangles'] = len(triangles)
        facts['file'] = f'inserts/{name}.stl'
        write_stl(os.path.join(out, facts['file']), f'{name} {half} half', triangles)
    gmsh.model.remove()
    return facts


def main():
    here = os.path.dirname(os.path.abspath(__file__))
    p = argparse.ArgumentParser(description=__doc__.split('\n')[0])
    p.add_argument('--out', default=os.path.join(here, '..', 'apiary'))
    p.add_argument('--step', default='', help='names, comma separated, that are written as STEP')
    p.add_argument('names', nargs='*')
    args = p.parse_args()
    os.makedirs(os.path.join(args.out, 'inserts'), exist_ok=True)
    table = os.path.join(args.out, 'volumes.json')
    facts = {}
    if args.names and os.path.exists(table):
        with open(table) as f:
            facts = json.load(f)
    gmsh.initialize()
    gmsh.option.setNumber('General.Verbosity', 2)
    gmsh.option.setNumber('Geometry.OCCUnionUnify', 0)     # keep the seams of half turns
    for name in args.names or INSERTS:
        facts[name] = make(name, args.out, name in args.step.split(','))
        print(name, facts[name].get('triangles', ''), facts[name]['volume_mm3'], facts[name].get('mesh_volume_mm3', ''), flush=True)
    gmsh.finalize()
    with open(table, 'w') as f:
        json.dump({k: facts[k] for k in {**INSERTS, **REVISIONS} if k in facts}, f, indent=1)
        f.write('\n')


if __name__ == '__main__':
    main()

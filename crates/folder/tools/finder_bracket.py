"""Writes demo/parts/finder-bracket.3mf: a plate 5 x 3.5 x 0.75 in with a round saddle for a finder
tube, two slots' worth of screw holes and a bore, in inches. Needs Python 3 only."""
import math
import pathlib
import zipfile

THICKNESS = 0.75


def circle(x, y, r, n, clockwise):
    turn = -1 if clockwise else 1
    return [(x + r * math.cos(turn * 2 * math.pi * i / n), y + r * math.sin(turn * 2 * math.pi * i / n)) for i in range(n)]


def outline():
    """Counter-clockwise: a rectangle whose top edge holds a saddle of 1.25 in radius."""
    saddle = [(2.5 + 1.25 * math.cos(a), 3.5 + 1.25 * math.sin(a)) for a in (-math.pi * i / 48 for i in range(49))]
    return [(0, 0), (5, 0), (5, 3.5)] + saddle + [(0, 3.5)]


HOLES = [circle(x, y, r, 48, True) for x, y, r in [(0.5, 0.5, 0.133), (4.5, 0.5, 0.133), (0.5, 3.0, 0.133), (4.5, 3.0, 0.133), (2.5, 1.125, 0.5)]]


def cross(o, a, b):
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def meets(a, b, c, d):
    """The open segments cross."""
    return cross(a, b, c) * cross(a, b, d) < 0 and cross(c, d, a) * cross(c, d, b) < 0


def joined(points, loops):
    """One loop of point numbers: each hole joined to the outside by the shortest free bridge."""
    outer, holes = list(loops[0]), [list(h) for h in loops[1:]]
    while holes:
        edges = [(loop[i - 1], loop[i]) for loop in [outer] + holes for i in range(len(loop))]
        bridges = sorted((math.dist(points[a], points[b]), i, j, k) for k, h in enumerate(holes) for i, a in enumerate(outer) for j, b in enumerate(h))
        for _, i, j, k in bridges:
            a, b = points[outer[i]], points[holes[k][j]]
            if not any(meets(a, b, points[c], points[d]) for c, d in edges):
                break
        h = holes.pop(k)
        outer[i:i + 1] = [outer[i]] + h[j:] + h[:j + 1] + [outer[i]]
    return outer


def ears(points, loop):
    triangles = []
    while len(loop) > 3:
        for i in range(len(loop)):
            a, b, c = loop[i - 1], loop[i], loop[(i + 1) % len(loop)]
            pa, pb, pc = points[a], points[b], points[c]
            if cross(pa, pb, pc) <= 1e-12:
                continue
            inside = any(p not in (a, b, c) and cross(pa, pb, points[p]) >= 0 and cross(pb, pc, points[p]) >= 0 and cross(pc, pa, points[p]) >= 0 for p in loop)
            if not inside:
                triangles.append((a, b, c))
                del loop[i]
                break
        else:
            raise SystemExit("no ear left")
    return triangles + [tuple(loop)]


flat, loops = [], []
for loop in [outline()] + HOLES:
    loops.append(range(len(flat), len(flat) + len(loop)))
    flat += loop
n = len(flat)
top = ears(flat, joined(flat, loops))
triangles = [(a + n, b + n, c + n) for a, b, c in top] + [(a, c, b) for a, b, c in top]
for loop in loops:
    for i in range(len(loop)):
        a, b = loop[i - 1], loop[i]
        triangles += [(a, b, b + n), (a, b + n, a + n)]
vertices = [(x, y, 0) for x, y in flat] + [(x, y, THICKNESS) for x, y in flat]
model = ['<?xml version="1.0" encoding="UTF-8"?>', '<model unit="inch" xml:lang="en-US" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">', '<resources><object id="1" type="model"><mesh><vertices>']
model += [f'<vertex x="{x:.6g}" y="{y:.6g}" z="{z:.6g}"/>' for x, y, z in vertices]
model += ['</vertices><triangles>'] + [f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in triangles]
model += ['</triangles></mesh></object></resources><build><item objectid="1"/></build></model>']
types = '<?xml version="1.0" encoding="UTF-8"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'
rels = '<?xml version="1.0" encoding="UTF-8"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
target = pathlib.Path(__file__).parent.parent / "demo" / "parts" / "finder-bracket.3mf"
with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as package:
    for name, text in [("[Content_Types].xml", types), ("_rels/.rels", rels), ("3D/3dmodel.model", "\n".join(model))]:
        info = zipfile.ZipInfo(name, (2026, 11, 1, 0, 0, 0))
        info.compress_type = zipfile.ZIP_DEFLATED
        package.writestr(info, text)

"""Plan areas by shapely (PyPI), built from the definitions in the design alone.

A plain corner: side less the gap, relieved round the vertex by knuckle and
clearance. The board's lattice and a plain plate's wall likewise.
"""

import numpy as np
import shapely
import trimesh
from shapely.geometry import Point, box
from solid_specimens import Tally, folder, record

where = folder()
data = record(where)
s = data["sizes"]
pitch, gap, relief = s["pitch"], s["gap"], s["knuckle"] + s["clearance"]
tally = Tally()


def section(path, z):
    """The section of a file's mesh at a height, as one shapely shape."""
    mesh = trimesh.load(path)
    cut = mesh.section(plane_origin=[0, 0, z], plane_normal=[0, 0, 1])
    loops = [shapely.Polygon(d[:, :2]) for d in cut.discrete]
    shape = shapely.Polygon()
    for loop in sorted(loops, key=lambda p: -p.area):
        shape = shape.symmetric_difference(loop)
    return shape


# Just under the top bevel of the one-level chain every corner is relieved,
# but where a pin's block and eye's room stand only below: the whole plan shows.
for part in data["parts"]:
    if part["name"] != "chain of four":
        continue
    blocks = {tuple(h[k]) for h in part["hinges"] for k in ("leaf", "eye")}
    expected = shapely.Polygon()
    for x, y in blocks:
        low = np.array([x, y]) * pitch
        square = box(low[0] + gap / 2, low[1] + gap / 2, low[0] + pitch - gap / 2, low[1] + pitch - gap / 2)
        for i in (0, 1):
            for j in (0, 1):
                square -= Point(low[0] + i * pitch, low[1] + j * pitch).buffer(relief, quad_segs=256)
        expected = expected.union(square)
    found = section(where / "stl" / part["file"].replace(".3mf", ".stl"), s["height"] - 2.0)
    # Chords of 0.02 mm on 16 quarter circles: at most 0.02 × their length.
    error = 0.02 * len(blocks) * 4 * np.pi / 2 * relief
    tally.close(found.area, expected.area, error, "relieved blocks' plan")
    tally.close(found.symmetric_difference(expected).area, 0, error, "relieved blocks' plan, place by place")

# The barge's plate: 5 × 4 cells, its pockets as drawn, a wall of four lines.
pockets = [(2, 4), (5, 3), (0, 2), (3, 0)]
for part in data["parts"]:
    if part["name"] != "barge":
        continue
    opening = box(0, 0, 5 * pitch, 4 * pitch).buffer(s["fit"], join_style="mitre")
    for x, y in pockets:
        opening = opening.union(Point(x * pitch, y * pitch).buffer(relief, quad_segs=256))
    wall = opening.buffer(1.6, quad_segs=256) - opening
    found = section(where / "stl" / part["file"].replace(".3mf", ".stl"), 6.5)
    # Face down: y is mirrored. The board puts it where the key wants it.
    mirrored = shapely.affinity.scale(found, 1, -1, origin=(0, 0))
    hole = max((shapely.Polygon(r) for r in mirrored.interiors), key=lambda p: p.area)
    dx, dy = (np.array(opening.bounds[:2]) - np.array(hole.bounds[:2]))
    placed = shapely.affinity.translate(mirrored, dx, dy)
    edge = opening.length * 0.02
    inside = shapely.affinity.translate(hole, dx, dy)
    tally.close(inside.area, opening.area, edge, "the barge's opening")
    tally.close(inside.symmetric_difference(opening).area, 0, edge, "the barge's opening, place by place")
    tally.close((wall - placed).area, 0, wall.length * 0.02, "the barge's wall is all there")
    # What is more than the wall are the lugs, one a side of the wall, each about 1.0 × 1.4 mm.
    extra = placed - wall.buffer(0.03)
    lugs = [g for g in getattr(extra, "geoms", [extra]) if g.area > 0.5]
    tally.check(len(lugs) == 18 and all(1.1 < g.area < 1.6 for g in lugs), f"lugs {[g.area for g in lugs]}")

# The board's tiles, above the change of colour: their number and the area of the whole.
for part in data["parts"]:
    if part["kind"] != "Board":
        continue
    tiles = section(where / "stl" / part["file"].replace(".3mf", ".stl"), 2.1)
    w, h = data["board"]
    tally.check(len(tiles.geoms) == w * h + 1, f"{len(tiles.geoms)} tiles instead of {w * h} and the rim")
    inner = [t for t in tiles.geoms if t.area < pitch * pitch]
    tally.check(all(t.area > 0.25 * pitch * pitch for t in inner), "every tile carries a block")
tally.finish()

"""Plan areas by shapely (PyPI), built from the definitions in the design alone.

A plain corner: side less the gap, relieved round the vertex by knuckle and
clearance. The board's lattice and a plain plate's wall likewise.
"""

import tomllib
from pathlib import Path

import numpy as np
import shapely
import trimesh
from shapely.geometry import Point, box

from judging import quayside


def drawn(path):
    """Cells and pockets of an outline file, read by its own rules."""
    drawing = tomllib.loads(path.read_text())["drawing"]
    rows = ["".join(row.split()) for row in drawing.splitlines() if row.strip()][::-1]
    cells = {(x, y // 2) for y, row in enumerate(rows) if y % 2 for x, mark in enumerate(row) if mark == "#"}
    pockets = {(x, y // 2) for y, row in enumerate(rows) if not y % 2 for x, mark in enumerate(row) if mark == "o"}
    return cells, pockets


def judge(where, data, tally):
    s = data["sizes"]
    pitch, gap, relief = s["pitch"], s["gap"], s["knuckle"] + s["clearance"]

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
        if part["name"] != "shackle":
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

    # Every plate: its opening, its wall of four lines all round, its lugs.
    for part in data["parts"]:
        if part["kind"] != "plate":
            continue
        name = part["name"]
        cells, pockets = drawn(quayside.SOURCE / "outlines" / f"{name}.toml")
        squares = [box(x * pitch, y * pitch, (x + 1) * pitch, (y + 1) * pitch) for x, y in cells]
        opening = shapely.union_all(squares).buffer(s["fit"], join_style="mitre")
        rounds = [Point(x * pitch, y * pitch).buffer(relief, quad_segs=256) for x, y in pockets]
        opening = shapely.union_all([opening, *rounds])
        wall = opening.buffer(s["wall_lines"] * s["nozzle"], quad_segs=256) - opening
        # Well above the strips in the grooves and the corbel of the label, or below the label's tab.
        face_down = part["down"] == "face"
        found = section(where / "stl" / part["file"].replace(".3mf", ".stl"), 6.5 if face_down else 1.6)
        if face_down:
            found = shapely.affinity.scale(found, 1, -1, origin=(0, 0))
        outer = max(getattr(found, "geoms", [found]), key=lambda p: p.envelope.area)
        inside = shapely.union_all([shapely.Polygon(r) for r in outer.interiors])
        dx, dy = np.array(opening.bounds[:2]) - np.array(inside.bounds[:2])
        placed = shapely.affinity.translate(found, dx, dy)
        edge = 0.02 * opening.length
        tally.close((placed & opening).area, 0, edge, f"{name}: nothing stands in the opening")
        tally.close((wall - placed).area, 0, 0.02 * wall.length, f"{name}: the wall is all there")
        # What is more than the wall are the lugs, one a side of the wall, each about 1.0 × 1.4 mm.
        sides = sum((x + i, y + j) not in cells for x, y in cells for i, j in ((1, 0), (0, 1), (-1, 0), (0, -1)))
        extra = placed - wall.buffer(0.03)
        lugs = [g.area for g in getattr(extra, "geoms", [extra]) if g.area > 0.5]
        tally.check(part["lugs"] == sides, f"{name}: {part['lugs']} lugs on {sides} sides")
        tally.check(len(lugs) <= sides, f"{name}: {len(lugs)} lugs on {sides} sides, {lugs}")
        tally.check(sum(1.1 < a < 1.6 for a in lugs) >= 0.7 * sides, f"{name}: lugs {lugs}")

    # The board's tiles, above the change of colour: their number and the area of the whole.
    for part in data["parts"]:
        if part["kind"] != "board":
            continue
        tiles = section(where / "stl" / part["file"].replace(".3mf", ".stl"), 2.1)
        w, h = data["board"]
        tally.check(len(tiles.geoms) == w * h + 1, f"{len(tiles.geoms)} tiles instead of {w * h} and the rim")
        inner = [t for t in tiles.geoms if t.area < pitch * pitch]
        tally.check(all(t.area > 0.25 * pitch * pitch for t in inner), "every tile carries a block")

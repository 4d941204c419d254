#!/usr/bin/env python3
"""Judge of sheets of turning squares and of their ornaments.

It asks the example `sheets` of the crate `sheet` and shares nothing with it. Judged,
for both hands of several sizes:

1. The linkage, built here from the squares alone: hinges, vertices where two meet
   and where one is alone at both ends, and the nullity of its rigidity matrix by
   numpy (singular values), closed, between and turned.
2. The motion: squares never overlap at 181 angles (shapely); the extent, Poisson's
   ratio −1 and area 1 + sin 2θ at each (Grima & Evans 2000, J. Mater. Sci. Lett. 19,
   1563–1565; there the angle between squares is twice ours).
3. Ornaments: each is drawn here closed, panel by panel; the turned picture is made
   by turning the crops of the closed one; parts and holes of both are counted by
   scipy.ndimage.
4. Optima: CP-SAT proves, on a model of its own (flows for the one part turned,
   labels for holes), that no ornament has more holes closed, up to 5 × 5; for
   6 × 6 what it finds in two minutes and its bound must hold ours between them.
   Aims loops and contrast follow from Euler's number and are held to it.
5. Pieces left of a sheet: spanning trees by the matrix-tree theorem.

Prints one line, exits 1 on disagreement.
"""

import json
import math
import subprocess
import sys

import numpy as np
from ortools.sat.python import cp_model
from scipy import ndimage
from shapely import STRtree
from shapely.geometry import Polygon

from judging.program import example
from judging.tally import Tally

COMMAND = [example("sheets")]

# What each code joins, written down once more: sides east, north, west, south.
CODES = {
    "a": "e n w s", "b": "en w s", "c": "nw s e", "d": "ws e n", "e": "es n w", "f": "ew n s", "g": "ns e w",
    "h": "en ws", "i": "nw es", "j": "enw s", "k": "nws e", "l": "ews n", "m": "ens w", "n": "enws",
}
EAST, NORTH, WEST, SOUTH = range(4)
STEP = [(1, 0), (0, 1), (-1, 0), (0, -1)]


def groups(code):
    return [["enws".index(c) for c in word] for word in CODES[code].split()]


class Sheet:
    """Squares of side 1; everything from the two sentences of the contract."""

    def __init__(self, m, n, h):
        self.m, self.n, self.h = m, n, h
        self.blocks = [(i, j) for j in range(n) for i in range(m)]

    def sigma(self, i, j):
        return self.h * (-1) ** (i + j)

    def inside(self, i, j):
        return 0 <= i < self.m and 0 <= j < self.n

    def hinges(self):
        for i, j in self.blocks:
            s = self.sigma(i, j)
            if self.inside(i + 1, j):
                yield (i, j), (i + 1, j), (0.5, -0.5 * s), (-0.5, -0.5 * s)
            if self.inside(i, j + 1):
                yield (i, j), (i, j + 1), (0.5 * s, 0.5), (0.5 * s, -0.5)

    def square(self, i, j, theta):
        a = math.cos(theta) + math.sin(theta)
        x, y = a * (i - (self.m - 1) / 2), a * (j - (self.n - 1) / 2)
        turn = self.sigma(i, j) * theta
        c, s = math.cos(turn), math.sin(turn)
        return x, y, np.array([[c, -s], [s, c]])

    def bears(self, i, j, side):
        """A side has a band if a neighbour is across it at both ends."""
        turned = STEP[(side + self.sigma(i, j)) % 4]
        return all(self.inside(i + dx, j + dy) for dx, dy in (STEP[side], turned))

    def seam(self, i, j, side, turned):
        """The same for both panels of a seam: middle of the seam, in half sides."""
        dx, dy = STEP[(side + self.sigma(i, j)) % 4 if turned else side]
        return (2 * i + dx, 2 * j + dy)

    def vertex(self, i, j, corner, turned):
        """Corner k lies between side k and the next."""
        corner = (corner + self.sigma(i, j)) % 4 if turned else corner
        dx, dy = [(1, 1), (0, 1), (0, 0), (1, 0)][corner]
        x, y = i + dx, j + dy
        return (x, y) if 0 < x < self.m and 0 < y < self.n else None


def judge_linkage(tally, sheet, told, name):
    hinges = list(sheet.hinges())
    tally.check(told["hinges"] == len(hinges), f"{name}: hinges")
    for end, theta in enumerate((0, math.pi / 2)):
        at = {}
        for one, two, own, other in hinges:
            points = []
            for block, corner in ((one, own), (two, other)):
                x, y, turn = sheet.square(*block, theta)
                points.append(np.array([x, y]) + turn @ corner)
            tally.check(np.abs(points[0] - points[1]).max() < 1e-12, f"{name}: a hinge comes apart")
            key = tuple(np.round(2 * points[0]).astype(int))
            at[key] = at.get(key, 0) + 1
        counts = list(at.values())
        tally.check(told["coincident"][end] == counts.count(2), f"{name}: coincident at end {end}")
        tally.check(told["alone"][end] == counts.count(1), f"{name}: alone at end {end}")
    for where, theta in enumerate((0, 0.6, math.pi / 2)):
        rows = []
        for one, two, own, other in hinges:
            for axis in range(2):
                row = np.zeros(3 * len(sheet.blocks))
                for block, corner, sign in ((one, own, 1), (two, other, -1)):
                    arm = sheet.square(*block, theta)[2] @ corner
                    k = 3 * sheet.blocks.index(block)
                    row[k + axis] = sign
                    row[k + 2] = sign * (-arm[1] if axis == 0 else arm[0])
                rows.append(row)
        values = np.linalg.svd(np.array(rows), compute_uv=False)
        rank = int((values > 1e-9).sum())
        gap = values[rank - 1]
        tally.check(gap > 1e-3, f"{name}: the rank is not clear ({gap})")
        tally.check(told["nullity"][where] == 3 * len(sheet.blocks) - rank, f"{name}: nullity {where}")


def judge_motion(tally, sheet, told, name):
    tally.check(len(told["poses"]) == 181, f"{name}: 181 angles")
    before = None
    for pose in told["poses"]:
        theta = math.radians(pose["degrees"])
        squares = []
        for x, y, turn in pose["blocks"]:
            c, s = math.cos(turn), math.sin(turn)
            corners = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]
            squares.append(Polygon([(x + c * u - s * v, y + s * u + c * v) for u, v in corners]))
        tree = STRtree(squares)
        for a, b in zip(*tree.query(squares)):
            if a < b:
                shared = squares[a].intersection(squares[b]).area
                tally.check(shared < 1e-12, f"{name}: {pose['degrees']}°: blocks {a} and {b} share {shared}")
        width, height = pose["extent"]
        area = width * height / len(squares)
        tally.close(area, 1 + math.sin(2 * theta), 1e-12, f"{name}: area a block at {pose['degrees']}°")
        if before:
            # Strains of one step: minus their ratio is Poisson's.
            across, along = math.log(width / before[0]), math.log(height / before[1])
            if abs(along) > 1e-9:
                tally.close(-across / along, -1, 1e-6, f"{name}: Poisson's ratio at {pose['degrees']}°")
        before = (width, height)


PIXELS = 24


def panel(sheet, i, j, code):
    """A panel as pixels, row 0 on top: bands a third wide from each side, joined by groups."""
    shape = np.zeros((PIXELS, PIXELS), bool)
    third = PIXELS // 3
    middle = slice(third, 2 * third)
    depth = PIXELS // 6
    # Where a band ends inside, as a box (rows from the top).
    boxes = {
        EAST: (middle, slice(PIXELS - depth, PIXELS)),
        NORTH: (slice(0, depth), middle),
        WEST: (middle, slice(0, depth)),
        SOUTH: (slice(PIXELS - depth, PIXELS), middle),
    }
    for group in groups(code):
        for side in group:
            if sheet.bears(i, j, side):
                shape[boxes[side]] = True
    # Corner squares join two neighbours along the outside, a bar joins opposite sides.
    for group in groups(code):
        if len(group) == 2 and (group[0] - group[1]) % 2 == 0:
            if EAST in group:
                shape[middle, :] = True
            else:
                shape[:, middle] = True
        elif len(group) >= 3:
            for side in group:
                if side in (EAST, WEST):
                    part = slice(PIXELS // 2, PIXELS) if side == EAST else slice(0, PIXELS // 2)
                    shape[middle, part] = True
                else:
                    part = slice(0, PIXELS // 2) if side == NORTH else slice(PIXELS // 2, PIXELS)
                    shape[part, middle] = True
            shape[middle, middle] = True
        elif len(group) == 2:
            # A thin path round the corner: out of each box by a third of its depth.
            line = 3
            lo, hi = third, third + line
            rows = (lo, hi) if NORTH in group else (PIXELS - hi, PIXELS - lo)
            cols = (PIXELS - hi, PIXELS - lo) if EAST in group else (lo, hi)
            if NORTH in group:
                shape[0 : rows[1], cols[0] : cols[1]] = True
            else:
                shape[rows[0] : PIXELS, cols[0] : cols[1]] = True
            if EAST in group:
                shape[rows[0] : rows[1], cols[0] : PIXELS] = True
            else:
                shape[rows[0] : rows[1], 0 : cols[1]] = True
    return shape


def judge_ornament(tally, sheet, told, name):
    pictures = [np.zeros((sheet.n * PIXELS, sheet.m * PIXELS), bool) for _ in range(2)]
    for (i, j), code in zip(sheet.blocks, told["panels"]):
        rows = slice((sheet.n - 1 - j) * PIXELS, (sheet.n - j) * PIXELS)
        cols = slice(i * PIXELS, (i + 1) * PIXELS)
        pictures[0][rows, cols] = panel(sheet, i, j, code)
    for i, j in sheet.blocks:
        rows = slice((sheet.n - 1 - j) * PIXELS, (sheet.n - j) * PIXELS)
        cols = slice(i * PIXELS, (i + 1) * PIXELS)
        # numpy turns anticlockwise.
        pictures[1][rows, cols] = np.rot90(pictures[0][rows, cols], sheet.sigma(i, j))
    for end, picture in enumerate(pictures):
        _, parts = ndimage.label(picture)
        ground, regions = ndimage.label(np.pad(~picture, 1, constant_values=True))
        holes = regions - 1
        tally.check(parts == told["parts"][end], f"{name}: {parts} parts drawn at end {end}, told {told['parts'][end]}")
        tally.check(holes == told["holes"][end], f"{name}: {holes} holes drawn at end {end}, told {told['holes'][end]}")
        tally.check(parts + holes == told["loops"][end], f"{name}: loops at end {end}")
        islands = 0
        for hole in set(np.unique(ground)) - {0, ground[0, 0]}:
            filled = ndimage.binary_fill_holes(ground == hole)
            islands += ndimage.label(filled & (ground != hole) & np.pad(picture, 1))[1]
        if not told["islands"]:
            tally.check(islands == 0 and told["islands_seen"][end] == 0, f"{name}: islands at end {end}")
    if told["symmetry"] == "quarter":
        for picture in pictures:
            tally.check(np.array_equal(picture, np.rot90(picture)), f"{name}: no quarter turn")
    if told["symmetry"] == "mirror":
        for picture in pictures:
            tally.check(
                np.array_equal(picture, picture[::-1]) or np.array_equal(picture, picture[:, ::-1]),
                f"{name}: no mirror",
            )


def most_holes(sheet, islands, quarter, seconds=120):
    """The most holes closed with one part without a hole turned, by CP-SAT.

    Without islands holes are trees of ground, counted as vertices less joints by
    labels, an upper bound that the found ornament must meet. With islands, the same
    with parts counted through a forest: parts closed = 2V − joins that keep a forest.
    """
    model = cp_model.CpModel()
    use = {}
    may = {}
    for i, j in sheet.blocks:
        fits = [
            c for c in CODES
            if all([s] in groups(c) for s in range(4) if not sheet.bears(i, j, s))
        ]
        may[i, j] = fits
        for c in CODES:
            use[i, j, c] = model.new_bool_var("") if c in fits else model.new_constant(0)
        model.add_exactly_one(use[i, j, c] for c in CODES)
    if quarter:
        last = sheet.n - 1
        for i, j in sheet.blocks:
            for c in CODES:
                turned = sorted(sorted((s + 1) % 4 for s in g) for g in groups(c))
                other = next(d for d in CODES if sorted(sorted(g) for g in groups(d)) == turned)
                model.add(use[last - j, i, other] == use[i, j, c])
    seams = sorted({sheet.seam(i, j, s, True) for i, j in sheet.blocks for s in range(4) if sheet.bears(i, j, s)})
    number = {s: k for k, s in enumerate(seams)}
    # Turned: a tree. As many joins as seams less one, and every seam reached by a flow from the first.
    joins = []
    flows = {s: [] for s in seams}
    for i, j in sheet.blocks:
        for c in may[i, j]:
            for group in groups(c):
                if len(group) < 2:
                    continue
                joins.append((len(group) - 1) * use[i, j, c])
                ends = [sheet.seam(i, j, s, True) for s in group]
                for s in ends[1:]:
                    flow = model.new_int_var(-len(seams), len(seams), "")
                    model.add(flow <= len(seams) * use[i, j, c])
                    model.add(flow >= -len(seams) * use[i, j, c])
                    flows[ends[0]].append(-flow)
                    flows[s].append(flow)
    model.add(sum(joins) == len(seams) - 1)
    for s in seams:
        model.add(sum(flows[s]) == (1 if number[s] else 1 - len(seams)))
    if not islands:
        inner = [(x, y) for x in range(1, sheet.m) for y in range(1, sheet.n)]
        hole = {v: model.new_bool_var("") for v in inner}
        lost = []
        for i, j in sheet.blocks:
            joined = {}
            for c in may[i, j]:
                parted = lambda a, b: any(len({a < s <= b for s in g}) == 2 for g in groups(c))
                left = list(range(4))
                while left:
                    ground = [k for k in left if k == left[0] or not parted(left[0], k)]
                    left = [k for k in left if k not in ground]
                    for pair in zip(ground, ground[1:]):
                        joined.setdefault(pair, []).append(use[i, j, c])
            for pair, uses in joined.items():
                v, w = (hole.get(sheet.vertex(i, j, k, False), 0) for k in pair)
                join = sum(uses)
                model.add(v - w <= 1 - join)
                model.add(w - v <= 1 - join)
                if not isinstance(v, int) and not isinstance(w, int):
                    both = model.new_bool_var("")
                    model.add(both >= join + v - 1)
                    lost.append(both)
        # Nothing new, but it helps: no vertex is a hole turned, so one of its corners is open.
        corners = {}
        for i, j in sheet.blocks:
            for k in range(4):
                v = sheet.vertex(i, j, k, True)
                if v:
                    cut = [use[i, j, c] for c in may[i, j] if any({k, (k + 1) % 4} <= set(g) for g in groups(c))]
                    corners.setdefault(v, []).append(sum(cut))
        for cuts in corners.values():
            model.add(sum(cuts) <= 3)
        model.maximize(sum(hole.values()) - sum(lost))
    else:
        # Parts closed: as many seams as can have numbers of their own, one a part, equal over joins.
        closed = sorted({sheet.seam(i, j, s, False) for i, j in sheet.blocks for s in range(4) if sheet.bears(i, j, s)})
        name = {s: model.new_int_var(0, k, "") for k, s in enumerate(closed)}
        first = {}
        for k, s in enumerate(closed):
            first[s] = model.new_bool_var("")
            model.add(name[s] == k).only_enforce_if(first[s])
            model.add(name[s] < k).only_enforce_if(first[s].negated())
        for i, j in sheet.blocks:
            for c in may[i, j]:
                for group in groups(c):
                    if len(group) < 2:
                        continue
                    ends = [sheet.seam(i, j, s, False) for s in group]
                    for a, b in zip(ends, ends[1:]):
                        model.add(name[a] == name[b]).only_enforce_if(use[i, j, c])
        model.maximize(sum(first.values()) - 1)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, None
    return round(solver.objective_value), math.floor(solver.best_objective_bound + 1e-6)


def trees(sheet):
    """Kirchhoff: any cofactor of the Laplacian of the blocks and hinges."""
    laplacian = np.zeros((len(sheet.blocks),) * 2)
    for one, two, _, _ in sheet.hinges():
        a, b = sheet.blocks.index(one), sheet.blocks.index(two)
        laplacian[a, a] += 1
        laplacian[b, b] += 1
        laplacian[a, b] -= 1
        laplacian[b, a] -= 1
    return round(np.linalg.det(laplacian[1:, 1:]))


def main():
    ran = subprocess.run(COMMAND, capture_output=True, text=True)
    if ran.returncode != 0:
        sys.exit(f"the sheets broke off: {ran.stderr}")
    tally = Tally()
    for told in json.loads(ran.stdout):
        sheet = Sheet(told["columns"], told["rows"], told["hand"])
        name = f"{sheet.m} × {sheet.n} hand {sheet.h}"
        judge_linkage(tally, sheet, told, name)
        judge_motion(tally, sheet, told, name)
        if told["trees"] is not None:
            tally.check(told["trees"] == trees(sheet), f"{name}: {told['trees']} trees, not {trees(sheet)}")
        for ornament in told["ornaments"]:
            words = [ornament["aim"], ornament["symmetry"], "islands" if ornament["islands"] else "no islands"]
            which = f"{name}, {', '.join(words)}"
            judge_ornament(tally, sheet, ornament, which)
            tally.check(ornament["proven"], f"{which}: not proven")
        if sheet.h == 1 and min(sheet.m, sheet.n) > 2:
            for quarter in (False, True):
                for islands in (False, True):
                    wanted = [
                        o for o in told["ornaments"]
                        if o["symmetry"] == ("quarter" if quarter else "none") and o["islands"] == islands
                    ]
                    if not wanted or (islands and sheet.m > 4):
                        continue
                    low, high = most_holes(sheet, islands, quarter)
                    # Up to 5 × 5 it must have a proof; beyond, what it found and its bound hold ours.
                    tally.check(low == high or sheet.m > 5, f"{name}: CP-SAT has no proof: {low} to {high}")
                    if low is None or low != high:
                        print(f"{name}: CP-SAT says {low} to {high}, without a proof", file=sys.stderr)
                    for o in wanted:
                        which = f"{name}, {o['aim']}, {'quarter' if quarter else 'none'}, islands {islands}"
                        holes = o["holes"][0]
                        if o["aim"] == "loops":
                            tally.check(o["loops"] == [1, 1], f"{which}: loops {o['loops']}")
                            continue
                        tally.check(o["loops"] == [2 * holes + 1, 1], f"{which}: loops {o['loops']}")
                        if low is not None:
                            tally.check(low <= holes <= high, f"{which}: {holes} holes, CP-SAT {low} to {high}")
    print(f"sheets: {tally.passed} passed, {tally.failed} failed")
    sys.exit(tally.failed > 0 or tally.passed == 0)


if __name__ == "__main__":
    main()

#!/usr/bin/env python3
"""Judge of swing graphs, by sampling angles with Shapely (PyPI shapely 2.2, GEOS).

It reads what the example `dump_swings` of the crate `reach` writes, from standard
input or, with none, by running that itself, and shares no geometry with it:
bodies are built as polygons in millimetres and turned in steps of 2 degrees,
halved (to 0.25 degrees and far below) wherever they come near each other, and
the whole graph is walked again from home.

Judged, for each piece: the swings tried and the verdict on each, the distance
of each pose, the number of folds reached, the farthest, and the hinges that
are part of a loop.

A verdict is certain outside a band of 0.02 mm. "Blocked" is certain when
bodies cut back by the band overlap at some angle. "Clear" is certain when the
distance of the true bodies, each sample's less what a point can move until the
next, never falls to nothing; steps are halved where that needs it, down to a
movement of the band. Swings between the two are counted apart as "near"; the
walk then takes the dumped verdict.

Source of what a swing and a body are: the project's own model; no outside
source knows these pieces. Prints one line, exits 1 on disagreement.
"""

import json
import math
import subprocess
import sys
from collections import deque
from functools import cache

import numpy as np
import shapely
from shapely.geometry import Point, box

from judging.program import example

STEP = math.radians(2)
BAND = 0.02
QUADRANTS = [(0, 0), (-1, 0), (-1, -1), (0, -1)]
CORNERS = [(1, 1), (0, 1), (0, 0), (1, 0)]


def turned(point, quarters):
    """A lattice point turned about the origin, anticlockwise."""
    x, y = point
    for _ in range(quarters % 4):
        x, y = -y, x
    return x, y


@cache
def body(sizes, cell, knuckled, bare, widened):
    """A block's plan on one level; `bare` corners keep their whole quadrant and no knuckle."""
    pitch, gap, knuckle, clearance = sizes
    inset = gap / 2 - widened
    x, y = cell[0] * pitch, cell[1] * pitch
    plan = box(x + inset, y + inset, x + pitch - inset, y + pitch - inset)
    for k, (cx, cy) in enumerate(CORNERS):
        vertex = Point(x + cx * pitch, y + cy * pitch)
        if k in bare:
            continue
        if k in knuckled:
            plan = plan.union(vertex.buffer(knuckle + widened, quad_segs=48))
        else:
            plan = plan.difference(vertex.buffer(knuckle + clearance - widened, quad_segs=48))
    assert plan.geom_type == "Polygon" and not plan.interiors
    return plan


def spun(plan, angles):
    """The polygon at each of the angles, turned about the origin."""
    ring = shapely.get_coordinates(plan.exterior)
    z = (ring[:, 0] + 1j * ring[:, 1])[None, :] * np.exp(1j * np.asarray(angles))[:, None]
    return shapely.polygons(np.stack([z.real, z.imag], axis=-1))


def spread(plan):
    """Least and largest distance from the origin."""
    return plan.distance(Point(0, 0)), np.hypot(*shapely.get_coordinates(plan).T).max()


@cache
def verdict(sizes, moving, standing, way):
    """'clear', 'blocked' or 'near' for two (cell, knuckled, bare) with the pin at the origin."""
    a, b = body(sizes, *moving, 0.0), body(sizes, *standing, 0.0)
    (low_a, high_a), (low_b, high_b) = spread(a), spread(b)
    if low_a > high_b + BAND or low_b > high_a + BAND:
        return "clear"
    thin_a, thin_b = body(sizes, *moving, -BAND), body(sizes, *standing, -BAND)
    shapely.prepare(thin_b)
    shapely.prepare(b)
    middles, half = way * STEP * (np.arange(round(math.pi / 2 / STEP)) + 0.5), STEP / 2
    while True:
        far = shapely.distance(spun(a, middles), b)
        middles = middles[far <= high_a * half]
        if not len(middles):
            return "clear"
        if shapely.intersects(spun(thin_a, middles), thin_b).any():
            return "blocked"
        if high_a * half < BAND:
            return "near"
        half /= 2
        middles = np.concatenate([middles - half, middles + half])


class Piece:
    """A dumped piece, and what this judge makes of it."""

    def __init__(self, record):
        self.record = record
        self.sizes = tuple(record["sizes"][k] for k in ("pitch", "gap", "knuckle", "clearance"))
        self.blocks = [tuple(c) for c in record["blocks"]]
        self.hinges = [(tuple(h["pin"]), tuple(h["joins"]), h["level"]) for h in record["hinges"]]
        self.levels = sorted({level for _, _, level in self.hinges} | {-1})
        # The block's own corner at each of its hinges.
        self.own = [
            {b: CORNERS.index((pin[0] - self.blocks[b][0], pin[1] - self.blocks[b][1])) for b in joins}
            for pin, joins, _ in self.hinges
        ]
        self.far = [self.far_side(h) for h in range(len(self.hinges))]

    def far_side(self, without):
        """Blocks cut off from block 0 when a hinge is taken out, or nothing."""
        near = {0}
        while True:
            more = {
                b
                for h, (_, joins, _) in enumerate(self.hinges)
                if h != without and near & set(joins)
                for b in joins
            } - near
            if not more:
                return frozenset(range(len(self.blocks))) - near
            near |= more

    def corner(self, pose, hinge, block):
        """The geometric corner that a block has at a hinge."""
        return (self.own[hinge][block] + pose[block][1]) % 4

    def pin(self, pose, hinge, block=None):
        block = self.hinges[hinge][1][0] if block is None else block
        (x, y), _ = pose[block]
        cx, cy = CORNERS[self.corner(pose, hinge, block)]
        return x + cx, y + cy

    def swing(self, pose, hinge, quarters):
        """The pose after a swing of the far side, and the verdict; None through the partner."""
        px, py = self.pin(pose, hinge)
        level = self.hinges[hinge][2]
        after = list(pose)
        for b in self.far[hinge]:
            (x, y), turn = pose[b]
            # The middle of the cell, doubled to stay whole.
            mx, my = turned((2 * (x - px) + 1, 2 * (y - py) + 1), quarters)
            after[b] = (((mx - 1) // 2 + px, (my - 1) // 2 + py), (turn + quarters) % 4)
        p, q = self.hinges[hinge][1]
        if after[p][0] == after[q][0]:
            return None
        worst = "clear"
        for a in self.far[hinge]:
            for b in set(range(len(pose))) - self.far[hinge]:
                for on in self.levels:
                    shapes = []
                    for block in (a, b):
                        knuckled = frozenset(
                            self.corner(pose, h, block)
                            for h, (_, joins, at) in enumerate(self.hinges)
                            if at == on and block in joins
                        )
                        bare = frozenset()
                        if {a, b} == {p, q} and on == level:
                            bare = frozenset({self.corner(pose, hinge, block)})
                        (x, y), _ = pose[block]
                        shapes.append(((x - px, y - py), knuckled, bare))
                    found = verdict(self.sizes, *shapes, 1 if quarters == 1 else -1)
                    if found == "blocked":
                        return tuple(after), found
                    worst = found if found == "near" else worst
        return tuple(after), worst

    def folds(self, pose):
        """The fold that each quarter turn of a pose takes: cells and pins, lower left at the origin."""
        for quarters in range(4):
            middles = [turned((2 * x + 1, 2 * y + 1), quarters) for (x, y), _ in pose]
            pins = [turned(self.pin(pose, h), quarters) for h in range(len(self.hinges))]
            cells = [((x - 1) // 2, (y - 1) // 2) for x, y in middles]
            dx, dy = min(x for x, _ in cells), min(y for _, y in cells)
            yield (
                frozenset((x - dx, y - dy) for x, y in cells),
                frozenset((x - dx, y - dy, h[2]) for (x, y), h in zip(pins, self.hinges)),
            )


def judge(record, tally):
    """Compare one piece; returns what is wrong."""
    piece = Piece(record)
    name = f"{record['name']} at {piece.sizes}"
    wrong = []

    def check(ok, what):
        tally["passed" if ok else "failed"] += 1
        if not ok:
            wrong.append(f"{name}: {what}")

    def told(pose):
        return tuple((tuple(c), t) for c, t in zip(pose["cells"], pose["turns"]))

    poses = [told(p) for p in record["poses"]]
    check(len(set(poses)) == len(poses), "a pose comes twice")
    dumped = {}
    for s in record["swings"]:
        key = (poses[s["from"]], s["hinge"], s["quarters"])
        check(key not in dumped, f"swing {s} comes twice")
        dumped[key] = None if s["to"] is None else poses[s["to"]]
    looped = [h for h, far in enumerate(piece.far) if not far]
    check(looped == record["looped"], f"hinges in loops are {looped}, not {record['looped']}")

    home = tuple((c, 0) for c in piece.blocks)
    distance, queue = {home: 0}, deque([home])
    while queue:
        pose = queue.popleft()
        for hinge in (h for h in range(len(piece.hinges)) if piece.far[h]):
            for quarters in (1, 3):
                key, mine = (pose, hinge, quarters), piece.swing(pose, hinge, quarters)
                check((mine is not None) == (key in dumped), f"swing {key} tried by one side alone")
                if mine is None or key not in dumped:
                    continue
                after, found = mine
                theirs = dumped.pop(key)
                if found == "near":
                    tally["near"] += 1
                    found = "blocked" if theirs is None else "clear"
                expected = after if found == "clear" else None
                check(theirs == expected, f"swing {key} is {found}, dumped as {theirs}")
                if found == "clear" and after not in distance:
                    distance[after] = distance[pose] + 1
                    queue.append(after)
    check(not dumped, f"{len(dumped)} dumped swings start where no swing leads")
    check(set(poses) == set(distance), f"{len(poses)} poses dumped, {len(distance)} found")
    for pose, entry in zip(poses, record["poses"]):
        check(distance.get(pose) == entry["distance"], f"pose {pose} is at {distance.get(pose)}")
    folds = {}
    for pose, d in distance.items():
        for fold in piece.folds(pose):
            folds[fold] = min(d, folds.get(fold, d))
    check(len(folds) == record["reached"], f"{len(folds)} folds reached, not {record['reached']}")
    check(max(folds.values()) == record["farthest"], f"the farthest is at {max(folds.values())}")
    return wrong


def main():
    text = "" if sys.stdin.isatty() else sys.stdin.read()
    if not text.strip():
        command = [example("dump_swings")]
        text = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout
    tally = {"passed": 0, "failed": 0, "near": 0}
    for record in json.loads(text)["pieces"]:
        for line in judge(record, tally):
            print(line, file=sys.stderr)
    # A dump without pieces agrees with everything; that is no agreement.
    if not tally["passed"]:
        tally["failed"] += 1
    print("swings: {passed} passed, {failed} failed ({near} swings within 0.02 mm of touching)".format(**tally))
    return 1 if tally["failed"] else 0


if __name__ == "__main__":
    sys.exit(main())

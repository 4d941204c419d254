#!/usr/bin/env python3
"""Judge of planned motions: replays them with Shapely (PyPI shapely 2.2, GEOS).

It reads what the example `dump_courses` of the crate `motion` writes,
from standard input or, with none, by running that itself, and shares no
geometry with it: bodies are polygons in millimetres, put where chains of
hinges carry them, at every half degree of the hinge that turns most.

Judged, for each course: it starts at home; between two turning points all
openings change evenly (with a loop, those of a spanning tree, the rest
following); no opening leaves 90 to 270 degrees; a hinge that closes a loop is
torn by less than a thousandth of the pitch; no two bodies overlap on a common
level by more than chords of arcs explain; it ends in the fold's cells and pins.

Source of what a hinge and a body are: the project's own model; no outside
source knows these pieces. Prints one line, exits 1 on disagreement.
"""

import json
import math
import subprocess
import sys

import numpy as np
import shapely
from shapely.geometry import Point, box

from judging.program import example

STEP = math.radians(0.5)
CORNERS = [(1, 1), (0, 1), (0, 0), (1, 0)]
QUADRANTS = [(0, 0), (-1, 0), (-1, -1), (0, -1)]
QUARTER = math.pi / 2


class Piece:
    def __init__(self, record):
        self.blocks = [tuple(c) for c in record["blocks"]]
        self.hinges = [(tuple(h["pin"]), tuple(h["joins"]), h["level"]) for h in record["hinges"]]
        self.sizes = record["sizes"]
        self.levels = sorted({level for _, _, level in self.hinges})
        self.home = []
        for (x, y), (a, b), _ in self.hinges:
            q = [QUADRANTS.index((self.blocks[i][0] - x, self.blocks[i][1] - y)) for i in (a, b)]
            self.home.append((q[1] - q[0]) % 4 * QUARTER)
        # A spanning tree, nearest first.
        self.tree, stands = [], {0}
        while len(stands) < len(self.blocks):
            for h, (_, (a, b), _) in enumerate(self.hinges):
                if (a in stands) != (b in stands):
                    self.tree.append((h, a, b) if a in stands else (h, b, a))
                    stands |= {a, b}
                    break
        n = len(self.blocks)
        self.pairs = []
        for a in range(n):
            for b in range(a + 1, n):
                for level in self.levels:
                    self.pairs.append((a, b, self.body(a, b, level), self.body(b, a, level)))

    def body(self, block, other, level):
        """The block's plan at home, in pitches, without the knuckles it shares with the other."""
        s = self.sizes
        pitch, inset = s["pitch"], s["gap"] / s["pitch"] / 2
        x, y = self.blocks[block]
        plan = box(x + inset, y + inset, x + 1 - inset, y + 1 - inset)
        for cx, cy in CORNERS:
            v = (x + cx, y + cy)
            on = [j for pin, j, at in self.hinges if at == level and pin == v and block in j]
            if any(other not in j for j in on):
                plan = plan.union(Point(v).buffer(s["knuckle"] / pitch, quad_segs=32))
            else:
                plan = plan.difference(Point(v).buffer((s["knuckle"] + s["clearance"]) / pitch, quad_segs=32))
        return plan

    def stand(self, opens):
        """Rotation (as a complex number) and shift of each block; openings by tree hinge."""
        spin, shift = {0: 1 + 0j}, {0: 0j}
        for h, a, b in self.tree:
            pin = complex(*self.hinges[h][0])
            by = (opens[h] - self.home[h]) * (1 if self.hinges[h][1][1] == b else -1)
            spin[b] = spin[a] * complex(math.cos(by), math.sin(by))
            shift[b] = spin[a] * pin + shift[a] - spin[b] * pin
        return spin, shift

    def torn(self, spin, shift):
        worst = 0.0
        for pin, (a, b), _ in self.hinges:
            p = complex(*pin)
            worst = max(worst, abs(spin[a] * p + shift[a] - spin[b] * p - shift[b]))
        return worst

    def overlap(self, spin, shift):
        """The largest overlap of two bodies."""
        worst = 0.0
        for a, b, one, two in self.pairs:
            near = [spin[i] * (complex(*self.blocks[i]) + 0.5 + 0.5j) + shift[i] for i in (a, b)]
            if abs(near[0] - near[1]) > 2:
                continue
            put = []
            for i, plan in ((a, one), (b, two)):
                m = spin[i]
                move = lambda p, m=m, t=shift[i]: np.column_stack(
                    [p[:, 0] * m.real - p[:, 1] * m.imag + t.real, p[:, 0] * m.imag + p[:, 1] * m.real + t.imag]
                )
                put.append(shapely.transform(plan, move))
            worst = max(worst, put[0].intersection(put[1]).area)
        return worst

    def fold(self, spin, shift, quarters):
        """Cells and pins with the whole turned, the lower left at the origin; None off the lattice."""
        turn = 1j**quarters
        whole = []
        for i, c in enumerate(self.blocks):
            m = turn * (spin[i] * (complex(*c) + 0.5 + 0.5j) + shift[i])
            whole.append((m.real - 0.5, m.imag - 0.5))
        pins = []
        for pin, (a, _), level in self.hinges:
            v = turn * (spin[a] * complex(*pin) + shift[a])
            pins.append((v.real, v.imag, level))
        if any(abs(x - round(x)) > 1e-6 for p in whole + [q[:2] for q in pins] for x in p):
            return None
        dx, dy = round(min(x for x, _ in whole)), round(min(y for _, y in whole))
        return (
            sorted((round(x) - dx, round(y) - dy) for x, y in whole),
            sorted((round(x) - dx, round(y) - dy, level) for x, y, level in pins),
        )


def judge(piece, course):
    knots = course["knots"]
    if max(abs(a - b) for a, b in zip(knots[0], piece.home)) > 1e-9:
        return "it does not start at home"
    tree = [h for h, _, _ in piece.tree]
    for one, two in zip(knots, knots[1:]):
        steps = max(1, math.ceil(max(abs(a - b) for a, b in zip(one, two)) / STEP))
        for i in range(steps + 1):
            opens = {h: one[h] + (two[h] - one[h]) * i / steps for h in tree}
            if any(not QUARTER - 1e-6 <= o <= 3 * QUARTER + 1e-6 for o in list(opens.values()) + one + two):
                return f"a hinge is open beyond its range: {opens}"
            spin, shift = piece.stand(opens)
            if piece.torn(spin, shift) > 1e-3:
                return f"a hinge is torn by {piece.torn(spin, shift)}"
            if piece.overlap(spin, shift) > 1e-6:
                return f"bodies overlap at {opens}"
    cells = sorted(tuple(c) for c in course["cells"])
    pins = sorted(tuple(p) for p in course["pins"])
    if not any(piece.fold(spin, shift, q) == (cells, pins) for q in range(4)):
        return "it does not end in its fold"
    return None


def main():
    text = "" if sys.stdin.isatty() else sys.stdin.read()
    if not text.strip():
        command = [example("dump_courses")]
        text = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout
    passed = failed = 0
    for record in json.loads(text)["pieces"]:
        piece = Piece(record)
        for number, course in enumerate(record["courses"]):
            wrong = judge(piece, course)
            if wrong:
                failed += 1
                print(f"{record['name']}, course {number}: {wrong}", file=sys.stderr)
            else:
                passed += 1
    # Nothing to replay is no agreement.
    if not passed:
        failed += 1
    print(f"courses: {passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

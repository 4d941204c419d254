#!/usr/bin/env python3
"""Judge of scouted outlines: rows of catalogues recomputed with CP-SAT (PyPI
ortools 9.15).

It makes random sets from seeds (`judging/instances.py`), asks `pinfold scout` for
a catalogue of each, draws 200 rows at random, most of 8 to 12 cells and some of
16, reads them with duckdb, and finds everything in them anew from the cells
alone. It shares no code with the search: folds are reckoned from the definitions
(`judging/folds.py`), foldings with a pocket everywhere are all solutions of a
model of booleans (`judging/constraints.py`), and the pocket sets are solutions of
a second model (`judging/pockets.py`).

Judged, for each row: layouts, essentially different ones, those that drop in;
the fewest pockets that leave one layout, how many sets of that size do, that
the set in the row is one of them; the most pockets, where the row says that this
is proven, and the set; width, height, symmetry, holes, how the cells hang
together, the drawing.

That it can fail is judged too: rows are spoiled one field at a time, and each
must be found wrong.

Source of the rules: `docs/model.md`; no outside source knows these pieces.
Takes the program from the variable PINFOLD, or builds it. A number as argument
is the count of rows, a second one the first seed.
"""

import json
import os
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import duckdb

from judging import constraints
from judging.constraints import drops_in, layout_of, solve
from judging.instances import Instance, around, vertices, write_project
from judging.pockets import Pockets
from judging.program import build
from judging.shapes import carries, holes, hangs_together, symmetry

ROWS = 200
LARGE = 12
ROWS_A_SET = 10
# Rows with more layouts than this are passed over, and counted: their foldings
# are too many to list one by one.
MOST_LAYOUTS = {False: 160, True: 200}
# And those with more foldings than this.
constraints.MOST_FOLDINGS = 1200


class Opened:
    """What `solve` needs of an outline with a pocket everywhere."""

    def __init__(self, instance, cells):
        self.kinds, self.class_of, self.folds = instance.kinds, instance.class_of, instance.folds
        self.cells, self.spare = frozenset(cells), 0
        self.pockets = frozenset(v for v in vertices(cells) if around(self.cells, v) < 4)


def cells_of(code):
    rows = code.split("/")
    return frozenset((x, len(rows) - 1 - y) for y, row in enumerate(rows) for x, mark in enumerate(row) if mark == "#")


def vertices_of(text):
    return frozenset(tuple(map(int, pair.split(","))) for pair in text.split())


def truth(instance, code):
    """Everything in a row but the place and the score, from the cells alone; None if too much."""
    cells = cells_of(code)
    opened = Opened(instance, cells)
    foldings = solve(opened)
    if foldings is None:
        return None
    layouts = {}
    for folding in foldings:
        feet = frozenset((x, y) for _, _, pins in folding for x, y, _ in pins if (x, y) in opened.pockets)
        both = layouts.setdefault(layout_of(folding), (set(), set()))
        both[0].add(feet)
        if drops_in(folding):
            both[1].add(feet)
    turns = carries(cells)
    pockets = Pockets(opened.pockets, layouts, turns, instance.interlocked)
    smallest, sets = pockets.fewest()
    return {
        "cells": len(cells),
        "width": max(x for x, _ in cells) + 1,
        "height": max(y for _, y in cells) + 1,
        "symmetry": symmetry(cells),
        "holes": holes(cells),
        "joined": "sides" if hangs_together(cells) else "corners",
        "layouts": len(layouts),
        "different": len(set(pockets.essential.values())),
        "drop_in": sum(bool(dropping) for _, dropping in layouts.values()),
        "complete": True,
        "smallest": smallest,
        "smallest_sets": sets,
        "pockets": pockets,
    }


def faults(row, known):
    """What is wrong with a row, given the truth."""
    wrong = [
        f"{name} is {row[name]}, judge {value}"
        for name, value in known.items()
        if name != "pockets" and row[name] != value
    ]
    pockets = known["pockets"]
    if known["smallest"] is None:
        none = ["smallest_proven", "smallest_pockets", "largest", "largest_sets", "largest_proven", "largest_pockets"]
        return wrong + [f"{name} is {row[name]}, judge nothing" for name in none if row[name] is not None]
    if not row["smallest_proven"]:
        wrong.append("the smallest is not said to be proven")
    for end in ["smallest", "largest"]:
        own = vertices_of(row[f"{end}_pockets"] or "")
        if len(own) != row[end]:
            wrong.append(f"{end}_pockets are {len(own)}, not {row[end]}")
        if not pockets.alone(own):
            wrong.append(f"{end}_pockets do not leave one layout")
    most = pockets.most()
    if row["largest"] is not None and (row["largest"] > most or row["largest_proven"] and row["largest"] != most):
        wrong.append(f"largest is {row['largest']}, judge {most}")
    drawn = [line.split() for line in row["drawing"].splitlines()]
    rows = "/".join("".join(line) for line in drawn[1::2])
    marks = {(x, len(drawn) // 2 - y) for y, line in enumerate(drawn[::2]) for x, m in enumerate(line) if m == "o"}
    if rows != row["code"] or marks != vertices_of(row["smallest_pockets"]):
        wrong.append("the drawing shows another outline")
    return wrong


def spoiled(row):
    """The row with one field made wrong, one way after another."""
    for name in ["layouts", "different", "drop_in", "width", "holes", "smallest", "smallest_sets"]:
        if row[name] is not None:
            yield name, {**row, name: row[name] + 1}
    if row["smallest"]:
        yield "smallest_pockets", {**row, "smallest_pockets": row["smallest_pockets"].rpartition(" ")[0]}
    yield "symmetry", {**row, "symmetry": "full" if row["symmetry"] != "full" else "none"}


def pinfold(words, folder):
    ran = subprocess.run(
        [os.environ["PINFOLD"], *words, "--json", "--threads", "1", "--project", str(folder)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode in (0, 1), ran.stdout[-400:] + ran.stderr[-400:]
    return json.loads(ran.stdout)


def judge(seed):
    """Faults of some rows of the set of a seed, how many were judged, passed over, and what they were like."""
    instance = Instance(seed)
    size = sum(len(piece.blocks) * copies for piece, copies in instance.kinds)
    large = size == 16
    if not 8 <= size <= 12 and not large or len(instance.kinds) < 2:
        return None
    dice = random.Random(seed)
    box = dice.choice(["4x4", "5x4", "5x5", "6x4"] if not large else ["5x5", "6x4"])
    want = ["--joined", dice.choice(["sides", "corners"]), "--holes", dice.choice(["none", "any"])]
    # Outlines that turns keep are rare, and have rules of their own.
    if dice.random() < 0.4:
        want += ["--symmetry", "half-turn,quarter-turn,mirrors,diagonals,full"]
    with tempfile.TemporaryDirectory(prefix="judged-") as top:
        top = Path(top)
        write_project(instance, top / "set")
        # The outline of the instance is of no account here, and may have cells to spare.
        for path in (top / "set/outlines").iterdir():
            path.unlink()
        call = ["scout", "--thorough", "--box", box, *want, "--sample", "100", "--seed", str(seed), "--show", "0"]
        pinfold([*call, "--limit", "500", "--catalogue", str(top / "all")], top / "set")
        base = duckdb.connect()
        table = base.execute(f"SELECT * FROM read_parquet('{top}/all/outlines.parquet') ORDER BY place")
        names = [column[0] for column in table.description]
        rows = [dict(zip(names, row)) for row in table.fetchall()]
    dice.shuffle(rows)
    # Outlines that nothing fills are judged too, but some are enough.
    empty = [row for row in rows if row["layouts"] == 0][:2]
    filled = [row for row in rows if row["layouts"]]
    wrong, judged, over, caught, missed = [], [], 0, 0, []
    for row in empty + filled:
        if len(judged) == (ROWS_A_SET if not large else 3):
            break
        if not row["complete"] or row["layouts"] > MOST_LAYOUTS[large]:
            over += 1
            continue
        known = truth(instance, row["code"])
        if known is None:
            over += 1
            continue
        found = faults(row, known)
        wrong += [f"seed {seed}, {row['code']}: {fault}" for fault in found]
        judged.append((len(found) == 0, row["smallest"], row["symmetry"], row["joined"], row["holes"], large))
        if len(judged) % 5 == 1:
            for name, bad in spoiled(row):
                caught += bool(faults(bad, known))
                if not faults(bad, known):
                    missed.append(f"seed {seed}, {row['code']}: a wrong {name} is not seen")
    return wrong, judged, over, caught, missed


def safe(seed):
    try:
        return judge(seed)
    except Exception as e:  # a judge that breaks off is a fault of one set
        return [f"seed {seed}: {type(e).__name__}: {e}"], [(False, None, "", "", 0, False)], 0, 0, []


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    build()
    judged, over, caught, missed = [], 0, 0, []
    with ProcessPoolExecutor() as pool:
        for result in pool.map(safe, range(first, first + 4 * count), chunksize=2):
            if len(judged) >= count:
                break
            if result is None:
                continue
            # Sets of 16 cells take long: a handful is enough.
            if result[1] and result[1][0][5] and sum(row[5] for row in judged) >= LARGE:
                continue
            wrong, rows, passed_over, seen, unseen = result
            for fault in wrong[:6]:
                print(fault, file=sys.stderr)
            judged += rows
            over += passed_over
            caught += seen
            missed += unseen
        pool.shutdown(cancel_futures=True)
    for fault in missed[:10]:
        print(fault, file=sys.stderr)
    like = {
        "settled by some pockets": sum(row[1] is not None for row in judged),
        "symmetric": sum(row[2] != "none" for row in judged),
        "joined by corners": sum(row[3] == "corners" for row in judged),
        "with holes": sum(row[4] > 0 for row in judged),
        "of 16 cells": sum(row[5] for row in judged),
    }
    good = sum(row[0] for row in judged)
    print(f"{len(judged)} rows, {over} passed over (too many layouts); {caught} spoiled rows found, {len(missed)} not")
    print("of these: " + ", ".join(f"{n} {what}" for what, n in like.items()))
    failed = len(judged) - good + bool(missed)
    thin = [what for what, n in like.items() if n < 3] if count >= 100 else []
    if thin or len(judged) < count or not caught:
        failed += 1
        print(f"the sample is too thin: {len(judged)} of {count} judged, few {thin}", file=sys.stderr)
    print(f"scout: {good} passed, {failed} failed")
    return 1 if failed or not good else 0


if __name__ == "__main__":
    sys.exit(main())

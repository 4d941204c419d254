#!/usr/bin/env python3
"""Judge of fillings, by constraints with CP-SAT (PyPI ortools 9.15).

It makes random sets and outlines from seeds, writes each as a project folder,
asks `pinfold fill NAME --json --answers all --turns`, and finds every folding
of the same instance by itself. It shares no code with the search: the folds
are reckoned here from the definitions in `docs/model.md`, and the foldings are
all solutions of a model of booleans:

- a boolean for each class of pieces that fold alike, fold, and shift that lies
  on the outline with every hinge inside or at a pocket;
- as many true ones in a class as it has pieces;
- for each cell, exactly one true one that covers it (at most one where cells
  stay empty: areas leave the right number);
- for each vertex and level, at most one true one with a hinge there.

Pieces are hinged or rigid, with loops, in copies, or drawn in two ways but
alike; on one to three levels; turned over or not. Outlines are grown round a
filling, have holes, corners, spare cells, and pockets where the filling needs
them and elsewhere; in some a pocket that was needed is missing.

Judged, for each instance: the folds and shapes of each piece; the layouts, one
by one, and how many foldings each has; that each folding shown is one of these;
which layouts drop in, and the order shown; how many are essentially different;
the sums, and the exit status.

Source of the rules: the project's own model; no outside source knows these
pieces. Takes the program from the variable PINFOLD, or builds it. A number as
argument is the count of instances, a second one the first seed.
"""

import json
import os
import random
import subprocess
import sys
import tempfile
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from ortools.sat.python import cp_model

INSTANCES = 320
# Instances with more foldings than this are passed over, and counted.
MOST_FOLDINGS = 2000

# The four quadrants of a vertex, and the four corners of a cell, anticlockwise.
QUADRANTS = [(0, 0), (-1, 0), (-1, -1), (0, -1)]
CORNERS = [(1, 1), (0, 1), (0, 0), (1, 0)]


# ---- pieces and folds, from the definitions ----


class Piece:
    """Blocks and hinges as drawn: cells, and (pin, (block, block), level)."""

    def __init__(self, blocks, hinges, rigid=False):
        self.blocks, self.hinges, self.rigid = blocks, hinges, rigid

    def mirrored(self, levels):
        """Lying on its face: x becomes -x, the lowest level the highest."""
        return Piece(
            [(-1 - x, y) for x, y in self.blocks],
            [((-x, y), joins, levels - 1 - level) for (x, y), joins, level in self.hinges],
            self.rigid,
        )


def corner_of(cell, vertex):
    """Which geometric corner of a cell a vertex is."""
    return CORNERS.index((vertex[0] - cell[0], vertex[1] - cell[1]))


def vertex_at(cell, corner):
    return cell[0] + CORNERS[corner][0], cell[1] + CORNERS[corner][1]


def turned_cell(cell, quarters):
    x, y = cell
    for _ in range(quarters % 4):
        x, y = -1 - y, x
    return x, y


def turned_vertex(vertex, quarters):
    x, y = vertex
    for _ in range(quarters % 4):
        x, y = -y, x
    return x, y


def settled(cells, pins):
    """Cells and pins shifted so that the lower left of the cells is the origin."""
    dx, dy = min(x for x, _ in cells), min(y for _, y in cells)
    return (
        tuple((x - dx, y - dy) for x, y in cells),
        tuple((x - dx, y - dy, level) for x, y, level in pins),
    )


def poses(piece):
    """Every pose up to shifting: cells in block order, pins in hinge order."""
    if piece.rigid:
        for quarters in range(4):
            yield [turned_cell(c, quarters) for c in piece.blocks], []
        return
    own = [
        {block: corner_of(piece.blocks[block], pin) for block in joins} for pin, joins, _ in piece.hinges
    ]
    order = [0]
    while len(order) < len(piece.blocks):
        order.append(
            next(b for _, joins, _ in piece.hinges if len(set(joins) & set(order)) == 1 for b in joins if b not in order)
        )

    def stand(placed):
        if len(placed) == len(order):
            yield dict(placed)
            return
        block = order[len(placed)]
        # One hinge to a block that stands gives the three states to try;
        # the others must then hold.
        ties = [
            (own[h][block], joins[1] if joins[0] == block else joins[0], h)
            for h, (_, joins, _) in enumerate(piece.hinges)
            if block in joins and (joins[0] in placed or joins[1] in placed)
        ]
        corner, partner, h = ties[0]
        cell, turn = placed[partner]
        pin = vertex_at(cell, (own[h][partner] + turn) % 4)
        quadrant = next(q for q in range(4) if (pin[0] + QUADRANTS[q][0], pin[1] + QUADRANTS[q][1]) == cell)
        for step in (1, 2, 3):
            q = (quadrant + step) % 4
            new = pin[0] + QUADRANTS[q][0], pin[1] + QUADRANTS[q][1]
            if any(new == c for c, _ in placed.values()):
                continue
            new_turn = (q + 2 - corner) % 4
            placed[block] = new, new_turn
            holds = all(
                vertex_at(new, (c + new_turn) % 4)
                == vertex_at(placed[p][0], (own[other][p] + placed[p][1]) % 4)
                for c, p, other in ties[1:]
            )
            if holds:
                yield from stand(placed)
            del placed[block]

    for turn in range(4):
        for pose in stand({0: ((0, 0), turn)}):
            cells = [pose[b][0] for b in range(len(piece.blocks))]
            pins = [
                (*vertex_at(pose[joins[0]][0], (own[h][joins[0]] + pose[joins[0]][1]) % 4), level)
                for h, (_, joins, level) in enumerate(piece.hinges)
            ]
            if len(set(pins)) == len(pins):
                yield cells, pins


def all_poses(piece, levels, turn_over):
    for drawn in [piece] + ([piece.mirrored(levels)] if turn_over else []):
        for cells, pins in poses(drawn):
            yield settled(cells, pins)


def folds(piece, levels, turn_over):
    """Every fold: its cells and its (x, y, level)."""
    return frozenset((frozenset(c), frozenset(p)) for c, p in all_poses(piece, levels, turn_over))


# ---- instances ----


class Instance:
    """A set with its rules, and an outline."""

    def __init__(self, seed):
        dice = self.dice = random.Random(seed)
        self.seed = seed
        self.levels = dice.choice([1, 2, 2, 3, 3])
        self.turn_over = dice.random() < 0.25
        self.interlocked = dice.random() < 0.2
        self.kinds = []  # (piece, copies)
        room = dice.choice([4, 6, 8, 10, 12, 14, 16])
        while room > 0:
            piece, copies = self.some_piece(min(room, 5))
            copies = min(copies, room // len(piece.blocks))
            if copies:
                self.kinds.append((piece, copies))
                room -= copies * len(piece.blocks)
        self.folds = [folds(p, self.levels, self.turn_over) for p, _ in self.kinds]
        # Pieces with the same folds are one class.
        self.class_of = [self.folds.index(f) for f in self.folds]
        self.grow()

    def some_piece(self, most):
        dice = self.dice
        if self.kinds and dice.random() < 0.15:
            return self.redrawn(dice.choice(self.kinds)[0]), 1
        size = dice.randint(1, most)
        rigid = size > 1 and dice.random() < 0.15
        blocks, hinges = [(0, 0)], []
        while len(blocks) < size:
            at = dice.randrange(len(blocks))
            corner = dice.randrange(4)
            pin = vertex_at(blocks[at], corner)
            sides = [(1, 0), (0, 1), (-1, 0), (0, -1)]
            steps = sides if rigid else sides * 3 + [(1, 1), (-1, 1), (-1, -1), (1, -1)]
            step = dice.choice(steps)
            cell = blocks[at][0] + step[0], blocks[at][1] + step[1]
            level = dice.randrange(self.levels)
            if cell in blocks or (pin[0] - cell[0], pin[1] - cell[1]) not in CORNERS:
                continue
            if any((p, l) == (pin, level) for p, _, l in hinges):
                continue
            hinges.append((pin, (at, len(blocks)), level))
            blocks.append(cell)
        if rigid:
            return Piece(blocks, [], True), dice.choice([1, 1, 2])
        if dice.random() < 0.3:
            self.close_loops(blocks, hinges)
        return Piece(blocks, hinges), dice.choice([1, 1, 1, 2, 3])

    def close_loops(self, blocks, hinges):
        """Some hinges more, between blocks that share a corner."""
        for _ in range(6):
            a, b = self.dice.randrange(len(blocks)), self.dice.randrange(len(blocks))
            pin = vertex_at(blocks[a], self.dice.randrange(4))
            level = self.dice.randrange(self.levels)
            shares = a != b and (pin[0] - blocks[b][0], pin[1] - blocks[b][1]) in CORNERS
            if shares and all((p, l) != (pin, level) for p, _, l in hinges):
                hinges.append((pin, (a, b), level))

    def redrawn(self, piece):
        """The same piece drawn in another pose, its blocks in another order."""
        cells, pins = self.dice.choice(list(all_poses(piece, self.levels, False)))
        names = list(range(len(cells)))
        self.dice.shuffle(names)
        blocks = [cells[names.index(b)] for b in range(len(cells))]
        hinges = [
            ((x, y), (names[joins[0]], names[joins[1]]), level)
            for (x, y, level), (_, joins, _) in zip(pins, piece.hinges)
        ]
        return Piece(blocks, hinges, piece.rigid)

    def grow(self):
        """An outline round a filling, or one that hardly has any."""
        dice = self.dice
        cells, pins = set(), set()
        for (_, copies), own in zip(self.kinds, self.folds):
            listed = sorted((sorted(c), sorted(p)) for c, p in own)
            for _ in range(copies):
                self.add(cells, pins, listed)
        cells, pins = map(set, settled_sets(cells, pins))
        blocks = sum(len(p.blocks) * n for p, n in self.kinds)
        assert len(cells) == blocks
        self.spare = dice.choice([0, 0, 0, 1, 2])
        while len(cells) < blocks + self.spare:
            x, y = dice.choice(sorted(cells))
            dx, dy = dice.choice([(1, 0), (0, 1), (-1, 0), (0, -1), (1, 1)])
            cells.add((x + dx, y + dy))
        cells, pins = settled_sets(cells, pins)
        self.cells = frozenset(cells)
        edge = sorted(v for v in vertices(self.cells) if around(self.cells, v) < 4)
        # Pockets all round a large outline let in too many to list.
        odds = dice.choice([0, 0, 0.1, 0.3, 0.6, 1] if blocks < 9 else [0, 0, 0.1, 0.2, 0.3])
        needed = {(x, y) for x, y, _ in pins}
        pockets = {v for v in edge if v in needed or dice.random() < odds}
        if dice.random() < 0.2 and pockets & needed:
            pockets.discard(dice.choice(sorted(pockets & needed)))
        self.pockets = frozenset(pockets)

    def add(self, cells, pins, listed):
        """Puts one more piece beside those that stand, rather close to them."""
        dice = self.dice
        best = None
        for attempt in range(400):
            fold_cells, fold_pins = dice.choice(listed)
            x, y = dice.choice(sorted(cells)) if cells else (0, 0)
            reach = 3 + attempt // 20
            dx, dy = x + dice.randint(-reach, reach), y + dice.randint(-reach, reach)
            new = {(cx + dx, cy + dy) for cx, cy in fold_cells}
            new_pins = {(vx + dx, vy + dy, level) for vx, vy, level in fold_pins}
            if new & cells or new_pins & pins:
                continue
            touching = sum((cx + sx, cy + sy) in cells for cx, cy in new for sx, sy in [(1, 0), (0, 1), (-1, 0), (0, -1)])
            if best is None or touching > best[0]:
                best = touching, new, new_pins
            if attempt > 30 and best[0] > 1 or not cells:
                break
        if best is None:  # cannot be: far out there is always room
            raise AssertionError("no room for a piece")
        cells |= best[1]
        pins |= best[2]


def settled_sets(cells, pins):
    dx, dy = min(x for x, _ in cells), min(y for _, y in cells)
    return {(x - dx, y - dy) for x, y in cells}, {(x - dx, y - dy, level) for x, y, level in pins}


def vertices(cells):
    return {(x + dx, y + dy) for x, y in cells for dx, dy in CORNERS}


def around(cells, vertex):
    """How many of the four cells round a vertex belong."""
    return sum((vertex[0] + dx, vertex[1] + dy) in cells for dx, dy in QUADRANTS)


# ---- the project folder ----


def write_project(instance, folder):
    flag = lambda b: "true" if b else "false"
    lines = [
        "[set]",
        f'title = "Judged {instance.seed}"',
        f"levels = {instance.levels}",
        f"turn_over = {flag(instance.turn_over)}",
        f"interlocked = {flag(instance.interlocked)}",
    ]
    for k, (piece, copies) in enumerate(instance.kinds):
        lines += [
            "",
            "[[piece]]",
            f'name = "piece-{k}"',
            f'colour = "#{(k * 2236967 + 4210752) % 0xFFFFFF:06X}"',
            f"copies = {copies}",
            f"blocks = {[list(b) for b in piece.blocks]}",
        ]
        if piece.rigid:
            lines.append("rigid = true")
        elif piece.hinges:
            hinges = ", ".join(
                f"{{ pin = {list(pin)}, joins = {list(joins)}, level = {level} }}"
                for pin, joins, level in piece.hinges
            )
            lines.append(f"hinges = [{hinges}]")
    (folder / "outlines").mkdir(parents=True)
    (folder / "pinfold.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    wide, high = max(x for x, _ in instance.cells) + 1, max(y for _, y in instance.cells) + 1
    rows = []
    for y in range(high, -1, -1):
        rows.append(" ".join("o" if (x, y) in instance.pockets else "+" for x in range(wide + 1)))
        if y:
            rows.append(" " + " ".join("#" if (x, y - 1) in instance.cells else "." for x in range(wide)))
    text = f'title = "Judged"\nspare = {instance.spare}\ndrawing = """\n' + "\n".join(rows) + '\n"""\n'
    (folder / "outlines" / "judged.toml").write_text(text, encoding="utf-8")


# ---- every folding, by constraints ----


class Gather(cp_model.CpSolverSolutionCallback):
    """Keeps every solution: which booleans are true, by index."""

    def __init__(self):
        super().__init__()
        self.found = []

    def on_solution_callback(self):
        self.found.append(bytes(self.response_proto.solution))
        if len(self.found) > MOST_FOLDINGS:
            self.stop_search()


def solve(instance):
    """Every folding as a set of places (class, cells, pins), or None if there are too many."""
    allowed = {v for v in vertices(instance.cells) if around(instance.cells, v) == 4} | instance.pockets
    wide, high = max(x for x, _ in instance.cells) + 1, max(y for _, y in instance.cells) + 1
    wanted = defaultdict(int)
    for (_, copies), kind in zip(instance.kinds, instance.class_of):
        wanted[kind] += copies
    places = []
    for kind in wanted:
        for cells, pins in sorted(instance.folds[kind], key=lambda f: (sorted(f[0]), sorted(f[1]))):
            for dx in range(wide):
                for dy in range(high):
                    here = frozenset((x + dx, y + dy) for x, y in cells)
                    pinned = frozenset((x + dx, y + dy, level) for x, y, level in pins)
                    if here <= instance.cells and all((x, y) in allowed for x, y, _ in pinned):
                        places.append((kind, here, pinned))
    model = cp_model.CpModel()
    booleans = [model.new_bool_var(f"p{i}") for i in range(len(places))]
    by_kind, by_cell, by_pin = defaultdict(list), defaultdict(list), defaultdict(list)
    for boolean, (kind, cells, pins) in zip(booleans, places):
        by_kind[kind].append(boolean)
        for cell in cells:
            by_cell[cell].append(boolean)
        for pin in pins:
            by_pin[pin].append(boolean)
    for kind, count in wanted.items():
        model.add(sum(by_kind[kind]) == count)
    for cell in instance.cells:
        if instance.spare:
            model.add_at_most_one(by_cell[cell])
        else:
            model.add_exactly_one(by_cell[cell])
    for pinned in by_pin.values():
        model.add_at_most_one(pinned)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    gather = Gather()
    status = solver.solve(model, gather)
    if len(gather.found) > MOST_FOLDINGS:
        return None
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), solver.status_name(status)
    return [[place for place, chosen in zip(places, values, strict=True) if chosen] for values in gather.found]


# ---- what follows from the foldings ----


def layout_of(folding):
    """Which class covers which cells."""
    return frozenset((kind, cells) for kind, cells, _ in folding)


def drops_in(folding):
    """Whether the pieces can go in one after the other, the lower hinge first."""
    waits = defaultdict(set)
    for a, (_, _, pins_a) in enumerate(folding):
        for b, (_, _, pins_b) in enumerate(folding):
            if a != b and any((x, y) == (u, v) and low < high for x, y, low in pins_a for u, v, high in pins_b):
                waits[b].add(a)
    left = set(range(len(folding)))
    while left:
        free = {p for p in left if not waits[p] & left}
        if not free:
            return False
        left -= free
    return True


def order_holds(folding):
    """Whether the pieces can go in in just this order."""
    for b, (_, _, pins_b) in enumerate(folding):
        for _, _, pins_a in folding[b + 1 :]:
            if any((x, y) == (u, v) and low < high for x, y, low in pins_a for u, v, high in pins_b):
                return False
    return True


def different(instance, layouts):
    """How many layouts there are when turns of the outline are one."""
    keeping = []
    for quarters in range(4):
        cells = {turned_cell(c, quarters) for c in instance.cells}
        dx, dy = -min(x for x, _ in cells), -min(y for _, y in cells)
        carry_cell = lambda c, q=quarters, dx=dx, dy=dy: tuple(map(sum, zip(turned_cell(c, q), (dx, dy))))
        carry_vertex = lambda v, q=quarters, dx=dx, dy=dy: tuple(map(sum, zip(turned_vertex(v, q), (dx, dy))))
        if {carry_cell(c) for c in instance.cells} == instance.cells and {
            carry_vertex(v) for v in instance.pockets
        } == instance.pockets:
            keeping.append(carry_cell)
    seen, count = set(), 0
    for layout in layouts:
        if layout not in seen:
            count += 1
            for carry in keeping:
                seen.add(frozenset((kind, frozenset(map(carry, cells))) for kind, cells in layout))
    return count


# ---- comparison ----


def ask(words, folder):
    ran = subprocess.run(
        [os.environ["PINFOLD"], *words, "--json", "--project", str(folder)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )
    try:
        return ran.returncode, json.loads(ran.stdout)
    except json.JSONDecodeError:
        raise AssertionError(f"no JSON from {words}, status {ran.returncode}: {ran.stderr[-400:]}") from None


def judge(seed):
    """Faults, how many comparisons were made, and what the instance was like."""
    instance = Instance(seed)
    foldings = solve(instance)
    if foldings is None:
        return None
    faults, made = [], 0

    def check(what, theirs, ours):
        nonlocal made
        made += 1
        if theirs != ours:
            faults.append(f"seed {seed}: {what}: pinfold {theirs}, judge {ours}")

    per_layout = defaultdict(list)
    for folding in foldings:
        per_layout[layout_of(folding)].append(folding)
    dropping = {layout for layout, all_of in per_layout.items() if any(map(drops_in, all_of))}
    with tempfile.TemporaryDirectory(prefix="judged-") as top:
        folder = Path(top) / "set"
        write_project(instance, folder)
        status, told = ask(["fill", "judged", "--answers", "all", "--turns", "--threads", "1"], folder)
        if "layouts" not in told:
            return [f"seed {seed}: {json.dumps(told)[:400]}"], 1, {}
        folded = {p["name"]: p for p in ask(["folds"], folder)[1]["pieces"]}
    for k, own in enumerate(instance.folds):
        theirs = folded[f"piece-{k}"]
        check(f"folds of piece-{k}", theirs["folds"], len(own))
        check(f"shapes of piece-{k}", theirs["shapes"], len({cells for cells, _ in own}))
    names = [f"piece-{k}" for k, (_, copies) in enumerate(instance.kinds) for _ in range(copies)]
    shown = {}
    for answer in told["answers"]:
        # Copies may be told apart by a number after the name.
        parts = [
            (p["piece"], frozenset(map(tuple, p["cells"])), frozenset(map(tuple, p["pins"]))) for p in answer["pieces"]
        ]
        folding = []
        for (name, cells, pins), kind in zip(parts, names, strict=True):
            assert name.startswith(kind), f"{name} is not in the order of the set"
            folding.append((instance.class_of[int(kind[6:])], cells, pins))
        layout = layout_of(folding)
        check("a layout comes twice", layout in shown, False)
        shown[layout] = answer["foldings"]
        known = {frozenset(f) for f in per_layout.get(layout, [])}
        check("the folding shown is one", frozenset(folding) in known, True)
        check("drops in", answer["drop_in"] is not None, layout in dropping)
        check("interlocked is told", answer["interlocked"] is None, layout in dropping)
        if answer["drop_in"] is not None:
            check("a folding that drops in is shown", drops_in(folding), True)
            at = {name: place for (name, _, _), place in zip(parts, folding)}
            if len(at) == len(parts):
                check("the drop-in order holds", order_holds([at[name] for name in answer["drop_in"]]), True)
        covered = frozenset().union(*(cells for _, cells, _ in parts))
        check("empty cells", frozenset(map(tuple, answer["empty"])), instance.cells - covered)
    check("layouts one by one", shown, {layout: len(all_of) for layout, all_of in per_layout.items()})
    check("layouts", told["layouts"], len(per_layout))
    check("foldings", told["foldings"], len(foldings))
    check("drop_in_layouts", told["drop_in_layouts"], len(dropping))
    check("different", told["different"], different(instance, per_layout))
    check("complete", told["complete"], True)
    check("cells", told["cells"], len(instance.cells))
    check("pockets", sorted(map(tuple, told["pockets"])), sorted(instance.pockets))
    valid = len(per_layout) if instance.interlocked else len(dropping)
    check("exit status", status, 0 if valid else 1)
    like = {
        "filled": bool(per_layout),
        "several layouts": len(per_layout) > 1,
        "many foldings a layout": len(foldings) > len(per_layout),
        "interlocked layouts": len(dropping) < len(per_layout),
        "loops": any(len(p.hinges) >= len(p.blocks) for p, _ in instance.kinds),
        "rigid pieces": any(p.rigid for p, _ in instance.kinds),
        "pieces alike": len(set(instance.class_of)) < sum(n for _, n in instance.kinds),
        "drawn in two ways": len(set(instance.class_of)) < len(instance.kinds),
        "turned over": instance.turn_over,
        "spare cells": instance.spare > 0,
        "turns of the outline": different(instance, per_layout) < len(per_layout),
    }
    return faults, made, like


def safe(seed):
    try:
        return judge(seed)
    except Exception as e:  # a judge that breaks off is a fault of one instance
        return [f"seed {seed}: {type(e).__name__}: {e}"], 1, {}


def build():
    """The program: from the variable PINFOLD, or built here."""
    if "PINFOLD" not in os.environ:
        subprocess.run(["cargo", "build", "--quiet", "--package", "pinfold"], check=True)
        target = Path(os.environ.get("CARGO_TARGET_DIR", "target"))
        os.environ["PINFOLD"] = str(target.resolve() / "debug" / "pinfold")


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else INSTANCES
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    build()
    judged, passed_over, failed, made = 0, 0, 0, 0
    kinds = defaultdict(int)
    with ProcessPoolExecutor() as pool:
        seeds = range(first, first + count + count // 4)
        for result in pool.map(safe, seeds, chunksize=4):
            if result is None:
                passed_over += 1
                continue
            if judged == count:
                break
            faults, compared, like = result
            judged += 1
            made += compared
            failed += bool(faults)
            for fault in faults[:5]:
                print(fault, file=sys.stderr)
            for what, is_so in like.items():
                kinds[what] += is_so
        pool.shutdown(cancel_futures=True)
    print(f"{judged} instances, {made} comparisons; {passed_over} passed over (more than {MOST_FOLDINGS} foldings)")
    print("of these: " + ", ".join(f"{n} {what}" for what, n in kinds.items()))
    # A sample that lacks a kind does not judge it.
    missing = [what for what, n in kinds.items() if n < 3] if count >= 100 else []
    if missing or judged < count:
        failed += 1
        print(f"the sample is too thin: {judged} of {count} judged, few with {missing}", file=sys.stderr)
    print(f"fillings: {judged - failed} passed, {failed} failed")
    return 1 if failed or not judged else 0


if __name__ == "__main__":
    sys.exit(main())

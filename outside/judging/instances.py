"""Random sets and outlines from seeds, and the project folders that tell of them.

Outlines are grown round a filling, so most can be filled; in some a pocket that
the filling needed is missing.
"""

import random

from judging.folds import CORNERS, QUADRANTS, Piece, all_poses, folds, vertex_at

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

"""Pieces and their folds, reckoned from the definitions in `docs/model.md`.

Shares nothing with the crates: a pose is built by trying, for each block, the
three quadrants that one hinge leaves it, and the other hinges must then hold.
"""

# The four quadrants of a vertex, and the four corners of a cell, anticlockwise.
QUADRANTS = [(0, 0), (-1, 0), (-1, -1), (0, -1)]
CORNERS = [(1, 1), (0, 1), (0, 0), (1, 0)]


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

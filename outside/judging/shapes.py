"""Cells as shapes: their turns, their class of symmetry, their holes."""

from judging.folds import turned_cell, turned_vertex


def settled(cells):
    dx, dy = min(x for x, _ in cells), min(y for _, y in cells)
    return frozenset((x - dx, y - dy) for x, y in cells)


def carries(cells):
    """For each quarter turn that keeps the cells: how it carries cells and vertices."""
    found = []
    for quarters in range(4):
        turned = {turned_cell(c, quarters) for c in cells}
        dx = min(x for x, _ in cells) - min(x for x, _ in turned)
        dy = min(y for _, y in cells) - min(y for _, y in turned)
        if {(x + dx, y + dy) for x, y in turned} == set(cells):
            cell = lambda c, q=quarters, dx=dx, dy=dy: tuple(map(sum, zip(turned_cell(c, q), (dx, dy))))
            vertex = lambda v, q=quarters, dx=dx, dy=dy: tuple(map(sum, zip(turned_vertex(v, q), (dx, dy))))
            found.append((cell, vertex))
    return found


def symmetry(cells):
    """The class by the motions that keep the cells."""
    plain = settled(cells)
    keeps = lambda image: settled(set(map(image, cells))) == plain
    straight = keeps(lambda c: (-c[0], c[1])) + keeps(lambda c: (c[0], -c[1]))
    slanting = keeps(lambda c: (c[1], c[0])) + keeps(lambda c: (-c[1], -c[0]))
    half, quarter = keeps(lambda c: turned_cell(c, 2)), keeps(lambda c: turned_cell(c, 1))
    return {
        (0, 0, False, False): "none",
        (1, 0, False, False): "mirror",
        (0, 1, False, False): "diagonal",
        (0, 0, True, False): "half-turn",
        (2, 0, True, False): "mirrors",
        (0, 2, True, False): "diagonals",
        (0, 0, True, True): "quarter-turn",
        (2, 2, True, True): "full",
    }[straight, slanting, half, quarter]


def parts(cells):
    """Parts that hang together by whole sides."""
    left, found = set(cells), []
    while left:
        part = [left.pop()]
        for x, y in part:
            for near in [(x + 1, y), (x, y + 1), (x - 1, y), (x, y - 1)]:
                if near in left:
                    left.remove(near)
                    part.append(near)
        found.append(set(part))
    return found


def hangs_together(cells):
    return len(parts(cells)) == 1


def holes(cells):
    """Parts of the wall, by whole sides, that do not reach the outside."""
    wide, high = max(x for x, _ in cells) + 2, max(y for _, y in cells) + 2
    wall = {(x, y) for x in range(-1, wide) for y in range(-1, high)} - set(cells)
    return len(parts(wall)) - 1

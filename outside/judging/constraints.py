"""Every folding of an instance, as all solutions of a model of booleans.

- a boolean for each class of pieces that fold alike, fold, and shift that lies
  on the outline with every hinge inside or at a pocket;
- as many true ones in a class as it has pieces;
- for each cell, exactly one true one that covers it (at most one where cells
  stay empty: areas leave the right number);
- for each vertex and level, at most one true one with a hinge there.

A folding is a list of places: (class, cells, pins).
"""

from collections import defaultdict

from ortools.sat.python import cp_model

from judging.folds import turned_cell, turned_vertex
from judging.instances import around, vertices

# Instances with more foldings than this are passed over, and counted.
MOST_FOLDINGS = 1000


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

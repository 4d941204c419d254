"""Pocket sets that leave one essentially different layout, by CP-SAT.

A boolean for each edge vertex says whether it has a pocket. A layout is let in
when the pockets hold one of its footprints. One class of layouts that turns of
the cells carry into each other may be let in, and two layouts of it only if a
turn that keeps the pockets carries one to the other. Unless interlocked layouts
are valid, one that is let in must drop in.
"""

from ortools.sat.python import cp_model


class Pockets:
    def __init__(self, edge, layouts, turns, interlocked):
        """`layouts`: for each its footprints, and those of its foldings that drop in."""
        self.edge, self.turns, self.interlocked = sorted(edge), turns, interlocked
        least = lambda feet: [f for f in feet if not any(g < f for g in feet)]
        self.layouts = {layout: (least(all_of), least(dropping)) for layout, (all_of, dropping) in layouts.items()}
        # The number of its essentially different layout, for each layout.
        self.essential = {}
        for number, layout in enumerate(self.layouts):
            if layout not in self.essential:
                self.essential.update((image, number) for image in self.images(layout))

    def images(self, layout):
        return [frozenset((kind, frozenset(map(cell, cells))) for kind, cells in layout) for cell, _ in self.turns]

    def alone(self, pockets):
        """Whether just one essentially different layout is let in, and a good one: by looking, without a solver."""
        let_in = [layout for layout, (feet, _) in self.layouts.items() if any(f <= pockets for f in feet)]
        if not let_in or len({self.essential[layout] for layout in let_in}) > 1:
            return False
        keeping = [n for n, (_, vertex) in enumerate(self.turns) if set(map(vertex, pockets)) == set(pockets)]
        images = self.images(let_in[0])
        if any(layout not in [images[n] for n in keeping] for layout in let_in):
            return False
        good = 0 if self.interlocked else 1
        return any(f <= pockets for layout in let_in for f in self.layouts[layout][good])

    def model(self):
        model = cp_model.CpModel()
        has = {v: model.new_bool_var(f"v{v}") for v in self.edge}
        held = {}

        def holds(feet):
            """A boolean that is true just when the pockets hold a footprint."""
            if feet not in held:
                held[feet] = model.new_bool_var("")
                for v in feet:
                    model.add_implication(held[feet], has[v])
                model.add_bool_or([has[v].Not() for v in feet] + [held[feet]])
            return held[feet]

        def any_of(booleans):
            true = model.new_bool_var("")
            for boolean in booleans:
                model.add_implication(boolean, true)
            model.add_bool_or([*booleans, true.Not()])
            return true

        keeps = []
        for _, vertex in self.turns:
            same = []
            for v in self.edge:
                equal = model.new_bool_var("")
                model.add(has[v] == has[vertex(v)]).only_enforce_if(equal)
                model.add(has[v] != has[vertex(v)]).only_enforce_if(equal.Not())
                same.append(equal)
            kept = model.new_bool_var("")
            model.add_bool_and(same).only_enforce_if(kept)
            model.add_bool_or([e.Not() for e in same] + [kept])
            keeps.append(kept)
        let_in = {layout: any_of([holds(f) for f in feet]) for layout, (feet, _) in self.layouts.items()}
        classes = {}
        for layout, number in self.essential.items():
            classes.setdefault(number, []).append(layout)
        model.add_exactly_one(any_of([let_in[layout] for layout in some]) for some in classes.values())
        for some in classes.values():
            for layout in some:
                images = self.images(layout)
                for other in some:
                    if other != layout:
                        carrying = [keeps[n] for n, image in enumerate(images) if image == other]
                        model.add_bool_or([let_in[layout].Not(), let_in[other].Not(), *carrying])
        if not self.interlocked:
            model.add_bool_or([holds(f) for _, dropping in self.layouts.values() for f in dropping])
        return model, has

    def solver(self):
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        return solver

    def end(self, most):
        if not self.layouts:
            return None
        model, has = self.model()
        total = sum(has.values())
        model.maximize(total) if most else model.minimize(total)
        solver = self.solver()
        status = solver.solve(model)
        assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), solver.status_name(status)
        return None if status == cp_model.INFEASIBLE else round(solver.objective_value)

    def fewest(self):
        """The fewest pockets, and how many sets of that size there are."""
        size = self.end(False)
        if size is None:
            return None, None
        model, has = self.model()
        model.add(sum(has.values()) == size)
        solver = self.solver()
        solver.parameters.enumerate_all_solutions = True

        class Count(cp_model.CpSolverSolutionCallback):
            sets = set()

            def on_solution_callback(self):
                self.sets.add(frozenset(v for v, boolean in has.items() if self.boolean_value(boolean)))

        count = Count()
        count.sets = set()
        solver.solve(model, count)
        return size, len(count.sets)

    def most(self):
        return self.end(True)

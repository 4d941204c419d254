"""CP-SAT (ortools, from PyPI) beside `pinfold fill`: twelve pentominoes, 6 x 10, all fillings.

Both list all 9,356 fillings (published: 2,339 with symmetric copies identified,
C. B. & J. Haselgrove, Eureka 23, 1960) on one core, and are timed here. The bar
is a hundred times faster. `PINFOLD` names the program, else the release build.
"""

import json
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

from ortools.sat.python import cp_model

DRAWINGS = {
    "f": ".## ##. .#.", "i": "# # # # #", "l": "# # # ##", "n": "# ## .# .#", "p": "## ## #", "t": "### .#. .#.",
    "u": "#.# ###", "v": "# # ###", "w": "# ## .##", "x": ".#. ### .#.", "y": "# ## # #", "z": "## .#. .##",
}
WIDE, HIGH, FILLINGS = 6, 10, 9356
ROOT = pathlib.Path(__file__).resolve().parents[2]


def cells(drawing):
    rows = drawing.split()
    return [(x, y) for y, row in enumerate(reversed(rows)) for x, mark in enumerate(row) if mark == "#"]


def poses(piece):
    found = set()
    for mirrored in (False, True):
        now = [(-x, y) for x, y in piece] if mirrored else list(piece)
        for _ in range(4):
            now = [(-y, x) for x, y in now]
            low_x, low_y = min(x for x, _ in now), min(y for _, y in now)
            found.add(frozenset((x - low_x, y - low_y) for x, y in now))
    return found


class Count(cp_model.CpSolverSolutionCallback):
    def __init__(self):
        super().__init__()
        self.n = 0

    def on_solution_callback(self):
        self.n += 1


def by_constraints():
    model = cp_model.CpModel()
    by_piece, by_cell = {name: [] for name in DRAWINGS}, {}
    for name, drawing in DRAWINGS.items():
        for pose in poses(cells(drawing)):
            for dx in range(WIDE - max(x for x, _ in pose)):
                for dy in range(HIGH - max(y for _, y in pose)):
                    boolean = model.new_bool_var("")
                    by_piece[name].append(boolean)
                    for x, y in pose:
                        by_cell.setdefault((x + dx, y + dy), []).append(boolean)
    for booleans in [*by_piece.values(), *by_cell.values()]:
        model.add_exactly_one(booleans)
    solver = cp_model.CpSolver()
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    count, start = Count(), time.perf_counter()
    solver.solve(model, count)
    return time.perf_counter() - start, count.n


def by_pinfold():
    program = os.environ.get("PINFOLD") or ROOT / "target/release/pinfold"
    with tempfile.TemporaryDirectory() as folder:
        project = pathlib.Path(folder)
        (project / "outlines").mkdir()
        pieces = "".join(
            f'[[piece]]\nname = "{name}"\ncolour = "#777777"\nrigid = true\nblocks = {json.dumps(cells(d))}\n'
            for name, d in DRAWINGS.items()
        )
        (project / "pinfold.toml").write_text('[set]\ntitle = "Pentominoes"\nturn_over = true\n' + pieces)
        rows = "\n".join(["+ " * WIDE + "+", " #" * WIDE] * HIGH + ["+ " * WIDE + "+"])
        (project / "outlines/board.toml").write_text(f'title = "Board"\ndrawing = """\n{rows}\n"""\n')
        call = [program, "fill", "board", "--json", "--answers", "0", "--threads", "1", "--project", folder]
        runs = [json.loads(subprocess.run(call, capture_output=True, check=True).stdout) for _ in range(9)]
    return statistics.median(run["seconds"] for run in runs), runs[0]["layouts"]


def main():
    ours, found = by_pinfold()
    theirs, same = by_constraints()
    if (found, same) != (FILLINGS, FILLINGS):
        print(f"pinfold found {found} and CP-SAT {same} fillings instead of {FILLINGS}")
        return 1
    print(f"pentominoes, 6 x 10, {FILLINGS} fillings: ours {ours:.3f} s, CP-SAT {theirs:.1f} s, ratio {theirs / ours:.0f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())

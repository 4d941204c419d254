#!/usr/bin/env python3
"""Judge of fillings, by constraints with CP-SAT (PyPI ortools 9.15).

It makes random sets and outlines from seeds (`judging/instances.py`), writes
each as a project folder, asks `pinfold fill NAME --json --answers all --turns`,
and finds every folding of the same instance by itself. It shares no code with
the search: the folds are reckoned from the definitions (`judging/folds.py`), and
the foldings are all solutions of a model of booleans (`judging/constraints.py`).

Pieces are hinged or rigid, with loops, in copies, or drawn in two ways but
alike; on one to three levels; turned over or not. Outlines have holes, corners,
spare cells, and pockets where a filling needs them and elsewhere; in some a
pocket that was needed is missing.

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
import subprocess
import sys
import tempfile
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from judging.constraints import MOST_FOLDINGS, different, drops_in, layout_of, order_holds, solve
from judging.instances import Instance, write_project
from judging.program import build

INSTANCES = 320


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


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else INSTANCES
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    build()
    judged, passed_over, failed, made = 0, 0, 0, 0
    kinds = defaultdict(int)
    with ProcessPoolExecutor() as pool:
        seeds = range(first, first + count + count // 2)
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

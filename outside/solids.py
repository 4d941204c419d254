"""The demo project's parts, made by the program and measured by other programs.

`pinfold make --proof --stl --pictures` is run on quayside/; what it wrote is
judged by general libraries that share nothing with ours: the 3MF standard's
reference library, trimesh, manifold3d, python-fcl, shapely, ezdxf, lxml. Each
module in judging/solid says its sources. Of the thirty plates every third by name
is made: they are all made alike, and ten say in a third of the time what can be
said (`cargo xtask demo` makes and proves all). With a folder as the first argument
the files are left there.
"""

import importlib
import json
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path

from judging import quayside
from judging.program import ROOT, build
from judging.tally import Tally

JUDGES = ["threemf", "mesh", "gaps", "plans", "layers", "flat", "filament", "small_parts", "manifest"]

EVERY = 3


def parts() -> list[str]:
    """All pieces, the board, the strips, and every third plate."""
    pieces = tomllib.loads((quayside.SOURCE / "pinfold.toml").read_text())["piece"]
    plates = sorted(path.stem for path in (quayside.SOURCE / "outlines").glob("*.toml"))
    return [piece["name"] for piece in pieces] + ["board", "coupon", "backing"] + plates[::EVERY]


def make(where: Path, *more: str) -> dict:
    """Makes the parts and gives the program's answer."""
    call = [build(), "make", *parts(), "--project", str(quayside.SOURCE), "--out", str(where), "--stl", "--pictures", "--json", *more]
    ran = subprocess.run(call, cwd=ROOT, stdout=subprocess.PIPE, text=True)
    answer = json.loads(ran.stdout)
    if ran.returncode == 2:
        raise SystemExit(f"nothing was made: {answer['errors']}")
    return answer


def main() -> int:
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(tempfile.mkdtemp(prefix="solids-"))
    data = make(where, "--proof")
    data["again"] = make  # for the judge of equal bytes
    passed = failed = 0
    for name in JUDGES:
        start, tally = time.monotonic(), Tally()
        importlib.import_module(f"judging.solid.{name}").judge(where, data, tally)
        # A judge that found nothing to judge has not done its work.
        tally.check(tally.passed + tally.failed > 0, f"{name}: nothing was checked")
        seconds = time.monotonic() - start
        print(f"{name}: {tally.passed} passed, {tally.failed} failed, in {seconds:.1f} s", flush=True)
        passed, failed = passed + tally.passed, failed + tally.failed
    print(f"solids: {passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

"""What the judges of solids share: the specimens, and a tally.

The specimens are made once by the crate's own example and written to a folder;
give that folder as the first argument to use one that is there already.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def folder() -> Path:
    if len(sys.argv) > 1:
        return Path(sys.argv[1])
    out = Path(tempfile.mkdtemp(prefix="specimens-"))
    subprocess.run(
        ["cargo", "run", "--quiet", "--package", "solid", "--example", "specimens", "--", str(out)],
        cwd=ROOT,
        check=True,
    )
    return out


def record(where: Path) -> dict:
    return json.loads((where / "record.json").read_text())


class Tally:
    """Counts checks; the last line is what a runner reads."""

    def __init__(self) -> None:
        self.passed = 0
        self.failed = 0

    def check(self, good: bool, what: str) -> None:
        if good:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED {what}")

    def close(self, found: float, wanted: float, within: float, what: str) -> None:
        self.check(abs(found - wanted) <= within, f"{what}: {found} instead of {wanted} ± {within}")

    def finish(self) -> None:
        if self.passed + self.failed == 0:
            self.check(False, "nothing was checked")
        print(f"{self.passed} passed, {self.failed} failed")
        sys.exit(1 if self.failed else 0)

"""A count of checks, each with a sentence if it fails."""

import sys


class Tally:
    def __init__(self) -> None:
        self.passed = 0
        self.failed = 0

    def check(self, good: bool, what: str) -> None:
        if good:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED {what}", file=sys.stderr)

    def close(self, found: float, wanted: float, within: float, what: str) -> None:
        self.check(abs(found - wanted) <= within, f"{what}: {found} instead of {wanted} ± {within}")

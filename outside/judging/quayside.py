"""The demo project's own files, without what a run leaves behind.

`cargo xtask test` lays a fresh copy and names it in the variable QUAYSIDE.
"""

import os
import shutil
import sys
from pathlib import Path

if "QUAYSIDE" not in os.environ:
    sys.exit("QUAYSIDE names no copy of the demo project; `cargo xtask test NAME` runs a judge with one")
SOURCE = Path(os.environ["QUAYSIDE"])


def copied(into: Path) -> Path:
    """A copy of one's own below a folder."""
    return Path(shutil.copytree(SOURCE, into / "quayside"))

"""The programs that are judged: where the variables PINFOLD and EXAMPLES say,
or built here."""

import os
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
# Of the whole workspace, so that libraries have the features that all else is built with.
BUILD = ["cargo", "build", "--quiet", "--locked", "--workspace"]


def target() -> Path:
    return ROOT / os.environ.get("CARGO_TARGET_DIR", "target") / "debug"


def build() -> str:
    """Sees to it that the variable PINFOLD names the program."""
    if "PINFOLD" not in os.environ:
        subprocess.run([*BUILD, "--bin", "pinfold"], cwd=ROOT, check=True)
        os.environ["PINFOLD"] = str(target() / "pinfold")
    return os.environ["PINFOLD"]


def example(name: str) -> str:
    """An example program of one of our crates."""
    if "EXAMPLES" not in os.environ:
        subprocess.run([*BUILD, "--example", name], cwd=ROOT, check=True)
        os.environ["EXAMPLES"] = str(target() / "examples")
    return str(Path(os.environ["EXAMPLES"]) / name)

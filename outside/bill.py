#!/usr/bin/env python3
"""Judge of the bill of materials: by the schema of CycloneDX 1.5 (ECMA-424) as the
standard's own library brings it (PyPI cyclonedx-python-lib), and by cargo's lock file.

`cargo xtask bill` writes what `cargo xtask dist` ships. Judged: it is valid; every
part is in Cargo.lock with the same digest; the typesetter, the database and the
solid kernel, which are in the program for sure, are named; licences are expressions
that the registry of SPDX knows (PyPI license-expression).
"""

import json
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from license_expression import get_spdx_licensing

from judging.program import ROOT
from judging.tally import Tally

CERTAIN = ["typst", "rusqlite", "manifold-rust", "clap", "parquet"]


def main() -> int:
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "bill.json"
        subprocess.run(["cargo", "xtask", "bill", str(file)], cwd=ROOT, check=True)
        text = file.read_text(encoding="utf-8")
    wrong = JsonStrictValidator(SchemaVersion.V1_5).validate_str(text)
    tally.check(wrong is None, f"the schema refuses it: {wrong}")
    parts = json.loads(text)["components"]
    lock = tomllib.loads((ROOT / "Cargo.lock").read_text(encoding="utf-8"))["package"]
    known = {(p["name"], p["version"]): p.get("checksum") for p in lock}
    licensing = get_spdx_licensing()
    for part in parts:
        name = (part["name"], part["version"])
        tally.check(name in known, f"{name} is not in Cargo.lock")
        digests = [h["content"] for h in part.get("hashes", [])]
        tally.check(digests == [known.get(name)], f"{name}: {digests}, not {known.get(name)}")
        for licence in part.get("licenses", []):
            unknown = licensing.validate(licence["expression"]).invalid_symbols
            tally.check(not unknown, f"{name}: SPDX knows no licence {unknown}")
    names = {part["name"] for part in parts}
    for name in CERTAIN:
        tally.check(name in names, f"{name} is in the program and not in the bill")
    print(f"bill: {tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())

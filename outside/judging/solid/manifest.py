"""The manifest by Python's own hashlib, and equal bytes from a second run.

SHA-256 is that of FIPS 180-4; the lines are those of the usual checksum programs.
"""

import hashlib
import tempfile
from pathlib import Path


def digests(where):
    lines = (where / "manifest.sha256").read_text().splitlines()
    return {name: digest for digest, name in (line.split("  ", 1) for line in lines)}


def judge(where, data, tally):
    told = digests(where)
    for name, digest in told.items():
        tally.check(hashlib.sha256((where / name).read_bytes()).hexdigest() == digest, f"{name}: digest")
    written = {str(p.relative_to(where)) for p in where.rglob("*") if p.is_file()} - {"manifest.sha256"}
    tally.check(written == set(told), f"files beside the manifest: {written ^ set(told)}")
    again = Path(tempfile.mkdtemp(prefix="solids-"))
    data["again"](again)
    for name in sorted(written | {"manifest.sha256"}):
        there = again / name
        same = there.is_file() and there.read_bytes() == (where / name).read_bytes()
        tally.check(same, f"{name}: another run gives other bytes")

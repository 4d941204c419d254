"""The manifest by Python's own hashlib, and equal bytes from a second run.

SHA-256 is that of FIPS 180-4; the lines are those of the usual checksum programs.
"""

import hashlib
import subprocess
import tempfile
from pathlib import Path

from solid_specimens import ROOT, Tally, folder

where = folder()
tally = Tally()
manifest = {}
for line in (where / "manifest.sha256").read_text().splitlines():
    digest, name = line.split("  ", 1)
    manifest[name] = digest
    tally.check(hashlib.sha256((where / name).read_bytes()).hexdigest() == digest, f"{name}: digest")
written = {str(p.relative_to(where)) for p in where.rglob("*") if p.is_file()} - {"manifest.sha256", "record.json"}
tally.check(written == set(manifest), f"files beside the manifest: {written ^ set(manifest)}")
again = Path(tempfile.mkdtemp(prefix="specimens-"))
command = ["cargo", "run", "--quiet", "--package", "solid", "--example", "specimens", "--", str(again)]
subprocess.run(command, cwd=ROOT, check=True)
same = (again / "manifest.sha256").read_bytes() == (where / "manifest.sha256").read_bytes()
tally.check(same, "a second run gives the same bytes")
tally.finish()

#!/usr/bin/env python3
"""Judge of catalogues that last: shards on Dask, rows in DuckDB.

It makes a small project and has its outlines catalogued twice: by one run, and
by `docs/scouting/shards_on_dask.py` on a real scheduler with two worker
processes (PyPI distributed 2026.8), one of which is killed half-way. The two
files must have the same bytes.

Then the file is read by a query engine that shares nothing with us (PyPI duckdb
2.0): its columns must be those in the table of `docs/scouting.md`; the numbers
of outlines by symmetry must be those that the program counted without listing
them; no place and no outline may come twice; and each query in
`docs/scouting.md` must run and give rows.

Takes the program from the variable PINFOLD, or builds it.
"""

import json
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import duckdb

from judging.program import build
from judging.tally import Tally

ROOT = Path(__file__).resolve().parent.parent
DRIVER = ROOT / "docs/scouting/shards_on_dask.py"
PAGE = ROOT / "docs/scouting.md"
# Thorough, so that it takes a while and every column has something.
WANT = ["--box", "5x4", "--joined", "corners", "--holes", "any", "--thorough"]
SHARDS = 12


def pinfold(*words):
    ran = subprocess.run([os.environ["PINFOLD"], *words, "--json"], capture_output=True, text=True, check=False)
    return json.loads(ran.stdout)


class Cluster:
    """A scheduler and two workers, each a process of its own."""

    def __init__(self, folder):
        self.folder = folder
        self.address_file = folder / "scheduler.json"
        quiet = {"stdout": subprocess.DEVNULL, "stderr": open(folder / "cluster.log", "wb")}
        start = lambda module, *words: subprocess.Popen(
            [sys.executable, "-m", f"distributed.cli.{module}", *words], cwd=folder, **quiet
        )
        self.scheduler = start(
            "dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--no-jupyter",
            "--scheduler-file", str(self.address_file),
        )
        self.workers = [
            start(
                "dask_worker", "--scheduler-file", str(self.address_file), "--no-nanny", "--no-dashboard",
                "--nthreads", "1", "--host", "127.0.0.1",
            )
            for _ in range(2)
        ]

    def address(self):
        for _ in range(600):
            try:
                return json.loads(self.address_file.read_text())["address"]
            except (OSError, ValueError, KeyError):
                time.sleep(0.05)
        raise AssertionError("the scheduler did not start")

    def end(self):
        for process in [*self.workers, self.scheduler]:
            process.kill()
            process.wait()


def on_dask(project, catalogue, folder, tally):
    """The catalogue made on the cluster, a worker killed when a quarter of the parts is there."""
    cluster = Cluster(folder)
    try:
        words = [sys.executable, str(DRIVER), cluster.address(), "--shards", str(SHARDS), "--program", os.environ["PINFOLD"]]
        words += ["--project", str(project), "--catalogue", str(catalogue), "--", *WANT]
        driver = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        all_parts = None
        killed = False
        while driver.poll() is None and not killed:
            time.sleep(0.005)
            about = catalogue / "catalogue.json"
            if all_parts is None and about.exists():
                told = json.loads(about.read_text())
                all_parts = -(-told["places"] // told["places_a_part"])
            there = len(list(catalogue.glob("places-*.parquet")))
            if all_parts and there >= all_parts // 4:
                cluster.workers[0].send_signal(signal.SIGKILL)
                killed = there < all_parts
                print(f"killed one of two workers at {there} of {all_parts} parts")
                break
        out, err = driver.communicate(timeout=300)
        tally.check(killed, "a worker is killed half-way")
        tally.check(cluster.workers[0].wait(timeout=20) == -signal.SIGKILL, "the worker that was killed is dead")
        tally.check(driver.returncode == 0, f"the driver ends well: {err[-2000:]}")
        tally.check(err.count("is done") == SHARDS, "every shard is told once")
        return out.strip()
    finally:
        cluster.end()


def documented():
    """Name, type and whether a field may be missing, of each column in the page's table."""
    rows = re.findall(r"^\| `(\w+)` \| (\w+)( or nothing)? \|", PAGE.read_text(encoding="utf-8"), re.M)
    kinds = {"number": "BIGINT", "text": "VARCHAR", "truth": "BOOLEAN", "measure": "DOUBLE"}
    return [(name, kinds[kind], "YES" if maybe else "NO") for name, kind, maybe in rows]


def rows(path, counted, tally):
    base = duckdb.connect()
    base.execute(f"CREATE VIEW outlines AS SELECT * FROM read_parquet('{path}')")
    ask = lambda sql: base.execute(sql).fetchall()
    schema = ask(f"SELECT name, type, repetition_type FROM parquet_schema('{path}') WHERE type IS NOT NULL")
    kinds = {"INT64": "BIGINT", "BYTE_ARRAY": "VARCHAR", "BOOLEAN": "BOOLEAN", "DOUBLE": "DOUBLE"}
    found = [(name, kinds[kind], "YES" if repeat == "OPTIONAL" else "NO") for name, kind, repeat in schema]
    tally.check(found == documented(), f"the columns are those of the page: {found} instead of {documented()}")
    by_symmetry = dict(ask("SELECT symmetry, count(*) FROM outlines GROUP BY symmetry"))
    tally.check(by_symmetry == counted["by_symmetry"], f"by symmetry {by_symmetry} instead of {counted['by_symmetry']}")
    [(all_rows, places, codes)] = ask("SELECT count(*), count(DISTINCT place), count(DISTINCT code) FROM outlines")
    tally.check(all_rows == places == codes == counted["outlines_in_all"], f"{all_rows} rows, {places} places, {codes} codes")
    ordered = ask("SELECT bool_and(place > before) FROM (SELECT place, lag(place, 1, -1) OVER () AS before FROM outlines)")
    tally.check(ordered == [(True,)], "rows stand in order of place")
    [(about,)] = ask(f"SELECT decode(value) FROM parquet_kv_metadata('{path}') WHERE decode(key) = 'pinfold.catalogue'")
    tally.check(json.loads(about)["want"]["box"] == "5x4", "the file says what it is of")
    queries = re.findall(r"^```sql\n(.*?)^```", PAGE.read_text(encoding="utf-8"), re.M | re.S)
    tally.check(len(queries) >= 3, f"the page has {len(queries)} queries")
    for query in queries:
        told = ask(query.replace("out/quay/outlines.parquet", str(path)))
        tally.check(bool(told), f"a query of the page gives rows: {query}")


def main():
    build()
    tally = Tally()
    with tempfile.TemporaryDirectory(prefix="judged-") as top:
        top = Path(top)
        project = top / "project"
        pinfold("new", str(project))
        one, many = top / "one", top / "many"
        call = ["scout", "--project", str(project), *WANT, "--show", "0", "--catalogue"]
        counted = pinfold(*call, str(one))
        tally.check(counted["looked_at"] == counted["outlines_in_all"], "one run looks at all")
        whole = on_dask(project, many, top, tally)
        tally.check(Path(whole).read_bytes() == (one / "outlines.parquet").read_bytes(), "the bytes are those of one run")
        left = sorted(p.name for p in many.iterdir())
        tally.check(left == ["catalogue.json", "outlines.parquet"], f"nothing else is left: {left}")
        rows(whole, counted, tally)
    print(f"shards: {tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed or not tally.passed else 0


if __name__ == "__main__":
    sys.exit(main())

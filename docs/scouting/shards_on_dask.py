#!/usr/bin/env python3
"""Runs the shards of a catalogue of outlines on a Dask cluster, then joins them.

For those who outgrow one machine; the makers of most sets never need it. It
asks for `dask` and `distributed` (PyPI), a scheduler and workers that are
running, the program `pinfold` on each worker, and one folder that all of them
see under the same name (a network disk), with the project and the catalogue.

    python shards_on_dask.py tcp://scheduler:8786 --shards 64 \\
        --project /net/quayside --catalogue /net/catalogue -- --box 6x6 --holes any

What stands behind `--` goes to `pinfold scout`. A worker that dies loses no
more than the part it was in: its shard goes to another one, which goes on from
the last whole part. A part is put in its place in one step and never written
twice, so it does no harm if a shard is run by two workers at once. The file
that comes out has the same bytes as one run on one machine.
"""

import argparse
import json
import subprocess
import sys

from distributed import Client, as_completed


def run(words):
    """What pinfold answers; an error with its own words if the call was wrong."""
    ran = subprocess.run(words, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)
    if ran.returncode not in (0, 1):
        raise RuntimeError(f"{' '.join(words)} ended with {ran.returncode}: {ran.stdout}{ran.stderr}")
    return json.loads(ran.stdout)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("scheduler", help="address of the scheduler, such as tcp://host:8786")
    parser.add_argument("--shards", type=int, required=True, help="several times as many as there are workers")
    parser.add_argument("--project", required=True)
    parser.add_argument("--catalogue", required=True)
    parser.add_argument("--program", default="pinfold")
    parser.add_argument("--threads", type=int, default=1, help="threads of one shard")
    parser.add_argument("want", nargs="+", help="what to look for, behind --")
    args = parser.parse_args()
    base = [args.program, "scout", "--json", "--project", args.project, "--catalogue", args.catalogue]

    def shard(number):
        told = run([*base, *args.want, "--show", "0", "--threads", str(args.threads), "--shard", f"{number}/{args.shards}"])
        if told["parts_done"] != told["parts"]:
            raise RuntimeError(f"shard {number} was stopped")
        return number

    with Client(args.scheduler) as client:
        # A shard is not a pure function: nothing that a scheduler remembers may stand for it.
        futures = client.map(shard, range(1, args.shards + 1), pure=False, retries=3)
        for done, future in enumerate(as_completed(futures), 1):
            print(f"shard {future.result()} is done, {done} of {args.shards}", file=sys.stderr)
    whole = run([*base, "--merge"])["catalogue"]["whole"]
    print(whole)


if __name__ == "__main__":
    main()

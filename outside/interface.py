"""The workshop's interface, asked by a program that knows it from its description alone.

The real server runs on a copy of the demo project. schemathesis (a general
tool, from PyPI) reads /api/openapi.json and sends requests made from it, good
and bad ones, from a fixed seed. Judged of every answer: no fault of the server,
a status, a kind of content and a body that the description has. Afterwards
every file of the project must be as it was or a whole outline that the project
still reads, nothing may lie outside the project's folder, and what no page of
ours would send (another host, another origin, no token, ways out of the folder)
must have been turned away.

Streams are left out: they end only when somebody hangs up.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import requests
import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from schemathesis.checks import not_a_server_error
from schemathesis.core.failures import Failure, FailureGroup

from judging import quayside
from judging.program import build
from judging.tally import Tally

# Requests for each operation. The whole run is to stay under a minute.
EXAMPLES = 100
SEED = 20260714
CHECKS = (
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
)
STREAMS = ("/api/events", "/api/jobs/{id}/events")


def served(folder: Path) -> tuple[subprocess.Popen, str, str]:
    call = [build(), "workshop", "--project", str(folder), "--port", "0", "--no-open", "--json"]
    running = subprocess.Popen(call, stdout=subprocess.PIPE, text=True)
    said = ""
    while True:
        line = running.stdout.readline()
        if not line:
            raise SystemExit(f"the workshop did not begin: {said}")
        said += line
        if line.startswith("}"):
            told = json.loads(said)
            return running, told["workshop"].rstrip("/"), told["token"]


def files(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def ask(address: str, token: str, tally: Tally) -> None:
    """Requests made from the description."""
    schema = schemathesis.openapi.from_url(address + "/api/openapi.json")
    session = requests.Session()
    session.headers["x-pinfold-token"] = token
    asked = 0
    for found in schema.get_all_operations():
        operation = found.ok()
        if operation.path in STREAMS:
            continue
        faults = []

        @seed(SEED)
        @settings(
            max_examples=EXAMPLES,
            deadline=None,
            database=None,
            derandomize=False,
            phases=[Phase.explicit, Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(case=operation.as_strategy())
        def each(case):
            nonlocal asked
            asked += 1
            # The token of the session stands; a made-up one would hide everything else.
            case.headers = {k: v for k, v in (case.headers or {}).items() if k.lower() != "x-pinfold-token"}
            # Work that was begun must not outlast the judge.
            if isinstance(case.body, dict) and case.body.get("kind") == "make":
                case.body["parts"] = ["no such part"]
            if isinstance(case.body, dict) and isinstance(case.body.get("how"), dict):
                case.body["how"]["seconds"] = 1
            response = case.call(base_url=address, session=session, timeout=40)
            try:
                case.validate_response(response, checks=CHECKS)
            except (Failure, FailureGroup) as error:
                faults.append(f"{operation.label}: {str(error)[:600]}")

        each()
        tally.check(not faults, f"{operation.label}: {faults[:1]}")
    tally.check(asked > 200, f"only {asked} requests were made")
    over = ("done", "failed", "cancelled")
    for _ in range(200):
        left = [job for job in session.get(address + "/api/jobs", timeout=10).json() if job["stage"] not in over]
        if not left:
            break
        for job in left:
            session.delete(f"{address}/api/jobs/{job['id']}", timeout=10)
        time.sleep(0.1)
    tally.check(not left, f"jobs that do not end: {left}")


def turned_away(address: str, token: str, tally: Tally) -> None:
    """What no page of ours sends."""
    own = {"x-pinfold-token": token}
    begin = {"kind": "make", "parts": ["cleat"]}

    def status(method: str, path: str, headers: dict, **more) -> int:
        prepared = requests.Request(method, address + path, headers=headers, **more).prepare()
        prepared.url = address + path  # as it is: dots and escapes are not tidied away
        with requests.Session() as session:
            return session.send(prepared, timeout=10, allow_redirects=False).status_code

    cases = [
        ("no token", 403, "POST", "/api/jobs", {}, {"json": begin}),
        ("a wrong token", 403, "POST", "/api/jobs", {"x-pinfold-token": "0" * 32}, {"json": begin}),
        ("another host", 421, "GET", "/api/project", {"host": "harbour.example"}, {}),
        ("another origin", 403, "POST", "/api/jobs", own | {"origin": "https://harbour.example"}, {"json": begin}),
        ("another site", 403, "GET", "/api/project", {"sec-fetch-site": "cross-site"}, {}),
        ("a form", 415, "POST", "/api/jobs", own | {"content-type": "text/plain"}, {"data": json.dumps(begin)}),
        ("too much", 413, "POST", "/api/jobs", own | {"content-type": "application/json"}, {"data": b" " * (9 << 20)}),
        ("the folder above", 404, "GET", "/../pinfold.toml", {}, {}),
        ("the folder above, escaped", 404, "GET", "/..%2fpinfold.toml", {}, {}),
        ("an outline above", 404, "GET", "/api/outlines/..%2F..%2Fpinfold", {}, {}),
        ("writing above", 404, "PUT", "/api/outlines/..%2Fx", own | {"if-none-match": "*"},
         {"json": {"title": "x", "opening": {"cells": [[0, 0]], "pockets": []}}}),
        ("a part above", 404, "GET", "/api/parts/..%2F..%2Fetc%2Fpasswd/solid", {}, {}),
        ("a file of no job", 404, "GET", "/api/jobs/999999/files/..%2F..%2Fpinfold.toml", {}, {}),
        ("no version", 428, "PUT", "/api/outlines/tug", own,
         {"json": {"title": "x", "opening": {"cells": [[0, 0]], "pockets": []}}}),
        ("an old version", 412, "PUT", "/api/outlines/tug", own | {"if-match": '"old"'},
         {"json": {"title": "x", "opening": {"cells": [[0, 0]], "pockets": []}}}),
    ]
    for name, wanted, method, path, headers, more in cases:
        found = status(method, path, headers, **more)
        tally.check(found == wanted, f"{name}: {method} {path} gave {found}, not {wanted}")
    heads = requests.get(address + "/", timeout=10).headers
    policy = heads.get("content-security-policy", "")
    tally.check("default-src 'none'" in policy, f"the content policy is {policy!r}")
    tally.check("unsafe-inline" not in policy and "unsafe-eval'" not in policy.replace("wasm-unsafe-eval", ""), policy)
    tally.check("access-control-allow-origin" not in heads, "another site may read the answers")


def main() -> int:
    tally = Tally()
    with tempfile.TemporaryDirectory(prefix="interface-") as above:
        folder = quayside.copied(Path(above))
        before = files(folder)
        running, address, token = served(folder)
        try:
            turned_away(address, token, tally)
            tally.check(files(folder) == before, "what was turned away changed a file")
            ask(address, token, tally)
            project = requests.get(address + "/api/project", timeout=20)
            tally.check(project.status_code == 200, f"the project is no longer read: {project.text[:400]}")
        finally:
            running.kill()
            running.wait()
        after = files(folder)
        hidden = [name for name in after if Path(name).name.startswith(".pinfold")]
        tally.check(not hidden, f"left behind: {hidden}")
        tally.check(set(before) <= set(after), f"gone: {sorted(set(before) - set(after))}")
        strangers = [p.name for p in Path(above).iterdir() if p.name != "quayside"]
        tally.check(not strangers, f"written outside the project: {strangers}")
    print(f"interface: {tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())

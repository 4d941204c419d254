#!/usr/bin/env python3
"""Judge of races: everything that anybody may check without our program.

It opens a race on the demo project by the command line, registers entrants, puts
in right, wrong, late, repeated and withdrawn entries, checks, closes and reveals.
It shares no code with ours. Judged:

- the seal: SHA-256 by hashlib and by the printed recipe (sha256sum, grep, diff),
  and every accepted layout is among the sealed answers where these are all;
- entry marks: python-stdnum's iso7064.mod_37_36 (ISO/IEC 7064:2003), whose own
  published examples it is held to first; every misspelt mark is refused, and a
  well-spelt one that nobody was given, too;
- the log: the chain of hashes by hashlib, persons' and layouts' salted hashes from
  what `race export` gives out, and the standings, reckoned anew from the exported
  log alone with Python's own clock arithmetic;
- RFC 3339 (Klyne and Newman, 2002): its examples in section 5.8 are moments, and
  texts that break its grammar are none;
- race.sqlite by Python's sqlite3: integrity_check, foreign_key_check, and a log
  that can be neither changed nor shortened; once its triggers are taken away and a
  line is touched, `race log --verify` must see it;
- standings.csv by Python's csv: the same as the JSON, and no cell is a formula;
- after an erasure neither name nor contact nor mark is in any of the files.

Layouts come from `pinfold fill`, which other judges judge; wrong ones are right
ones with two cells swapped. Takes the program from the variable PINFOLD, or builds it.
"""

import csv
import hashlib
import io
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from datetime import datetime, timedelta, timezone
from html.parser import HTMLParser
from pathlib import Path

from stdnum.iso7064 import mod_37_36

from judging import quayside
from judging.program import build
from judging.tally import Tally

# ISO/IEC 7064 MOD 37,36: the examples that python-stdnum's documentation publishes.
PUBLISHED = [("A12425GABC1234002", "M"), ("123AB", "X"), ("DADPIDA3897722461", "J")]
# RFC 3339, section 5.8.
MOMENTS = [
    "1985-04-12T23:20:50.52Z",
    "1996-12-19T16:39:57-08:00",
    "1990-12-31T23:59:60Z",
    "1990-12-31T15:59:60-08:00",
    "1937-01-01T12:00:27.87+00:20",
]
# RFC 3339, sections 5.6 and 5.7: no zone, a zone without a colon, no such day, hour, second.
NO_MOMENTS = [
    "1985-04-12T23:20:50.52",
    "1985-04-12T23:20:50+0100",
    "1985-04-31T23:20:50Z",
    "1985-04-12T24:20:50Z",
    "1985-04-12T23:20:61Z",
    "1985-04-12",
    "85-04-12T23:20:50Z",
    "1985-W15-5T23:20:50Z",
]
NAMES = ["Ines", "Tamsin", "Okko", "Jörg", "نورة", "=SUM(A1:A9)", "@Juno", "Zoë <b>", "美咲", "Pip, the 2nd"]


class Race:
    def __init__(self, folder):
        self.folder = folder

    def run(self, *words):
        return subprocess.run(
            [os.environ["PINFOLD"], *words, "--json", "--project", str(self.folder)],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
        )

    def ask(self, *words, status=0):
        ran = self.run(*words)
        if ran.returncode != status:
            sys.exit(f"{' '.join(words)} ended with {ran.returncode}: {ran.stdout}{ran.stderr}")
        return json.loads(ran.stdout)


def moment(text):
    """An instant, by Python's own reading; no leap second comes up in what is compared."""
    return datetime.fromisoformat(text.replace("Z", "+00:00"))


def layouts(race, outline, letters):
    """The rows of letters of every layout of an outline, turns included."""
    answer = race.ask("fill", outline, "--answers", "all", "--turns")
    found = []
    for shown in answer["layouts_shown"] if "layouts_shown" in answer else answer["answers"]:
        owner = {}
        for piece in shown["pieces"]:
            for cell in piece["cells"]:
                owner[tuple(cell)] = letters[piece["piece"]]
        for cell in shown["empty"]:
            owner[tuple(cell)] = "-"
        rows = {}
        for (x, y), letter in owner.items():
            rows.setdefault(-y, []).append((x, letter))
        found.append("/".join("".join(letter for _, letter in sorted(rows[y])) for y in sorted(rows)))
    return found


def spoiled(rows):
    """The same with two cells of different pieces swapped."""
    cells = [i for i, c in enumerate(rows) if c != "/"]
    first, last = cells[0], next(i for i in reversed(cells) if rows[i] != rows[cells[0]])
    swapped = list(rows)
    swapped[first], swapped[last] = swapped[last], swapped[first]
    return "".join(swapped)


def standings(lines):
    """Who is where, from the lines of the log alone."""
    opened = lines[0]
    until, shared = moment(opened["until"]), opened["tie"] == "shared"
    in_pack = {o["outline"] for o in opened["outlines"] if o["in_pack"]}
    every = {o["outline"] for o in opened["outlines"]}
    accepted, gone, left, entries = {}, set(), set(), []
    for line in lines:
        if line["act"] == "entered":
            entries.append(line)
        elif line["act"] == "ruled":
            accepted[line["entry"]] = line["accepted"]
        elif line["act"] == "withdrew":
            (gone if "entry" in line else left).add(line.get("entry", line["entrant"]))
    solved = {}
    for entry in sorted(entries, key=lambda e: (moment(e["received"]), e["entry"])):
        counts = accepted.get(entry["entry"]) and entry["entry"] not in gone and entry["entrant"] not in left
        if counts and moment(entry["received"]) <= until:
            solved.setdefault(entry["entrant"], {}).setdefault(entry["outline"], entry)
    goals = {}
    for goal in [g["goal"] for g in opened["goals"]]:
        wanted = in_pack if goal == "all" else every
        rows = []
        for entrant, by_outline in solved.items():
            mine = [e for o, e in by_outline.items() if o in wanted]
            if mine and (goal == "most" or len(mine) == len(wanted)):
                rows.append((-len(mine), moment(mine[-1]["received"]), mine[-1]["entry"], entrant))
        rows.sort()
        level = (lambda r: r[0]) if goal == "most" else (lambda r: r[:2])
        places = []
        for i, row in enumerate(rows):
            together = shared and i > 0 and level(row) == level(rows[i - 1])
            places.append(places[-1] if together else i + 1)
        goals[goal] = [(place, row[3], -row[0], row[2]) for place, row in zip(places, rows)]
    return goals


def judge_moments(tally, race, mark, outline):
    for text in MOMENTS:
        ran = race.run("race", "enter", mark, outline, "A", "--received", text)
        told = ran.stdout + ran.stderr
        tally.check(ran.returncode == 2 and "opened later" in told, f"{text} is a moment, but: {told}")
    for text in NO_MOMENTS:
        ran = race.run("race", "enter", mark, outline, "A", "--received", text)
        told = ran.stdout + ran.stderr
        tally.check(ran.returncode == 2 and "opened later" not in told, f"{text} is no moment, but: {told}")


def judge_marks(tally, race, marks, outline):
    for front, check in PUBLISHED:
        tally.check(mod_37_36.calc_check_digit(front) == check, f"python-stdnum itself on {front}")
    for mark in marks:
        bare = mark.replace("-", "")
        tally.check(mod_37_36.is_valid(bare), f"the check symbol of {mark}")
        tally.check(len(bare) == 12 and not set(bare) & set("ILOU"), f"the symbols of {mark}")
    tally.check(len(set(marks)) == len(marks), "two entrants have one mark")
    alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    slips, rows = [], io.StringIO()
    sheet = csv.writer(rows)
    sheet.writerow(["mark", "outline", "layout"])
    for mark in marks[:3]:
        bare = mark.replace("-", "")
        for place in range(12):
            for other in alphabet[(ord(bare[place]) + place) % 4 :: 4]:
                slip = bare[:place] + other + bare[place + 1 :]
                if slip != bare:
                    slips.append((slip, mod_37_36.is_valid(slip)))
        for place in range(11):
            slip = bare[:place] + bare[place + 1] + bare[place] + bare[place + 2 :]
            if slip != bare:
                slips.append((slip, mod_37_36.is_valid(slip)))
    # Well spelt, and nobody's: the check symbol alone keeps no forger out.
    for n in range(60):
        front = "".join(alphabet[(n * 7 + i * i * 5 + i) % 32] for i in range(11))
        slips.append((front + mod_37_36.calc_check_digit(front), True))
    for slip, _ in slips:
        sheet.writerow([slip, outline, "A"])
    file = race.folder / "slips.csv"
    file.write_text(rows.getvalue())
    answer = race.ask("race", "enter", "--from", str(file), status=1)
    told = {row["line"]: row["message"] for row in answer["refused"]}
    tally.check(answer["entries"] == [], "an entry with a misspelt or forged mark was taken")
    for line, (slip, valid) in enumerate(slips, 2):
        tally.check(
            ("nobody" in told[line]) if valid and slip[-1] not in "ILOU" else ("check symbol" in told[line]),
            f"{slip}, {'well spelt' if valid else 'misspelt'} by stdnum: {told[line]}",
        )


def judge_log(tally, race):
    answer = race.ask("race", "log")
    raw = Path(answer["file"]).read_bytes().splitlines()
    before = "0" * 64
    for number, line in enumerate(raw, 1):
        read = json.loads(line)
        tally.check(read["previous"] == before and read["seq"] == number, f"line {number} of the log's chain")
        before = hashlib.sha256(line).hexdigest()
    tally.check(before == answer["head"], "the hash of the log's last line")
    return [json.loads(line) for line in raw], before


def judge_people(tally, race, lines, marks):
    tags = {line["entrant"]: line["person"] for line in lines if line["act"] == "registered"}
    seals = {line["entry"]: line for line in lines if line["act"] == "entered"}
    for number, mark in enumerate(marks, 1):
        given = race.ask("race", "export", mark)
        person = given["person"]
        parts = ["pinfold entrant 1", person["salt"], person["name"], person["contact"] or "-", given["mark"]]
        tag = hashlib.sha256(("\n".join(parts) + "\n").encode()).hexdigest()
        tally.check(tag == tags[number], f"the log's hash of entrant {number}")
        for entry in given["entries"]:
            parts = ["pinfold entry 1", entry["salt"], entry["outline"], entry["layout"]]
            seal = hashlib.sha256(("\n".join(parts) + "\n").encode()).hexdigest()
            tally.check(seal == seals[entry["entry"]]["layout"], f"the log's hash of entry {entry['entry']}")


def judge_standings(tally, race, lines, head):
    told = race.ask("race", "standings")
    tally.check(told["log_head"] == head, "standings are not those of the log")
    wanted = standings(lines)
    for goal in told["goals"]:
        found = [(p["place"], p["entrant"], p["solved"], p["entry"]) for p in goal["places"]]
        tally.check(found == wanted[goal["goal"]], f"goal {goal['goal']}: {found} instead of {wanted[goal['goal']]}")
        tally.check(len(found) > 0, f"nobody has a place in {goal['goal']}: nothing is judged")
    files = {Path(f).name: Path(f) for f in told["files"]}
    rows = list(csv.DictReader(io.StringIO(files["standings.csv"].read_bytes().decode())))
    tally.check(len(rows) == len(told["entrants"]), "rows of the CSV")
    places = {g["goal"]: {p["entrant"]: str(p["place"]) for p in g["places"]} for g in told["goals"]}
    for row, entrant in zip(rows, told["entrants"]):
        guard = "'" if entrant["name"][0] in "=+-@" else ""
        tally.check(row["name"] == guard + entrant["name"], f"name in the CSV: {row['name']}")
        tally.check(all(cell[:1] not in ("=", "+", "-", "@", "\t", "\r") for cell in row.values()), f"a formula: {row}")
        for key in ["solved", "accepted", "rejected", "waiting", "late", "repeated", "taken_back"]:
            tally.check(row[key] == str(entrant[key]), f"{key} in the CSV: {row}")
        for goal, by_entrant in places.items():
            tally.check(row[f"place_{goal}"] == by_entrant.get(entrant["entrant"], ""), f"place_{goal}: {row}")
    judge_page(tally, files["standings.html"].read_text(), told)
    return told


class Page(HTMLParser):
    def __init__(self):
        super().__init__()
        self.text, self.tags, self.links = [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.links += [value for key, value in attrs if key in ("src", "href", "action", "onload", "onclick")]

    def handle_data(self, data):
        self.text.append(data)


def judge_page(tally, html, told):
    page = Page()
    page.feed(html)
    tally.check("script" not in page.tags and "b" not in page.tags and not page.links, "the page has more than text")
    tally.check("://" not in html, "the page names something elsewhere")
    for entrant in told["entrants"]:
        tally.check(entrant["name"] in page.text, f"{entrant['name']} is not on the page")


def judge_file(tally, race):
    path = race.folder / "race.sqlite"
    database = sqlite3.connect(path)
    tally.check(database.execute("PRAGMA integrity_check").fetchall() == [("ok",)], "integrity_check")
    tally.check(database.execute("PRAGMA foreign_key_check").fetchall() == [], "foreign_key_check")
    for act in [
        "UPDATE log SET line = '{}' WHERE seq = 2",
        "DELETE FROM log WHERE seq = 2",
        "REPLACE INTO log SELECT race, seq, '{}', hash FROM log WHERE seq = 2",
        "UPDATE entry SET received_us = 0",
        "DELETE FROM entry",
        "UPDATE ruling SET accepted = 1",
    ]:
        try:
            database.execute(act)
            tally.check(False, f"the file takes: {act}")
        except sqlite3.DatabaseError:
            tally.check(True, act)
        database.rollback()
    database.close()
    tally.check(race.ask("race", "log", "--verify")["whole"], "the log is not whole")
    # A judge of the judge: what was touched by force must be seen.
    kept = path.read_bytes()
    for act in [
        "UPDATE log SET line = replace(line, '\"accepted\":false', '\"accepted\":true')",
        "UPDATE ruling SET accepted = 1",
        "UPDATE entry SET received_us = received_us - 1000000 WHERE number = 2",
        "DELETE FROM log WHERE seq = (SELECT max(seq) FROM log)",
    ]:
        database = sqlite3.connect(path)
        for (name,) in database.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
            database.execute(f"DROP TRIGGER {name}")
        changed = database.execute(act).rowcount
        database.commit()
        database.close()
        seen = race.run("race", "log", "--verify").returncode == 1
        tally.check(seen and changed > 0, f"nobody sees: {act}")
        for beside in ["race.sqlite-wal", "race.sqlite-shm"]:
            (race.folder / beside).unlink(missing_ok=True)
        path.write_bytes(kept)


def judge_seal(tally, race, opened, codes):
    answer = race.ask("race", "reveal")
    rules, sealed = [Path(f) for f in answer["files"]]
    text = sealed.read_bytes()
    tally.check(hashlib.sha256(text).hexdigest() == opened["commitment"], "the hash of the sealed text")
    shell = lambda line: subprocess.run(
        ["bash", "-c", line], cwd=sealed.parent, capture_output=True, text=True
    )
    printed = shell(f"sha256sum {sealed.name}").stdout.split()[:1]
    tally.check(printed == [opened["commitment"]], f"sha256sum prints {printed}")
    recipe = shell(f"grep -Ev '^(salt |  answers? )' {sealed.name} | diff - {rules.name}")
    tally.check(recipe.returncode == 0 and recipe.stdout == "", f"the recipe: {recipe.stdout}{recipe.stderr}")
    lines = text.decode().splitlines()
    tally.check(re.fullmatch(r"salt [0-9a-f]{64}", lines[1]) is not None, f"the salt: {lines[1]}")
    answers, outline = {}, None
    for line in lines:
        if line.startswith("outline "):
            outline = line.split(" ", 1)[1]
        elif line.startswith("  answer "):
            answers.setdefault(outline, set()).add(line.split()[1])
        elif line.startswith("  answers "):
            tally.check(line.endswith(" all"), f"not all answers to {outline} were found: {line}")
    for outline, code in codes:
        tally.check(code in answers[outline], f"an accepted layout of {outline} is not among the sealed answers")
    # Opening and log give none of them away.
    public = (sealed.parent / "opening.md").read_text() + rules.read_text() + (sealed.parent / "log.jsonl").read_text()
    for found in set().union(*answers.values()):
        tally.check(found not in public, "an answer was published at the opening")


def main():
    build()
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder:
        race = Race(Path(folder))
        for part in ["pinfold.toml", "outlines"]:
            source = quayside.SOURCE / part
            (shutil.copytree if source.is_dir() else shutil.copy)(source, race.folder / part)
        until = datetime.now(timezone.utc) + timedelta(seconds=15)
        tie = "shared"
        opened = race.ask(
            "race", "open", "spring-tide", "--pack", "first-tide", "--larger", "members", "--tie", tie,
            "--goal", "all=a poster", "--goal", "larger", "--goal", "most=a coffee", "--without-proof",
            "--no-forecast", "--until", until.astimezone(timezone(timedelta(hours=5, minutes=45))).isoformat(),
        )
        began = moment(opened["opened"])
        rules = (race.folder / "out/race/spring-tide/spring-tide-rules.txt").read_text()
        letters = {m[2]: m[1] for m in re.finditer(r"^  piece (\S) (.+)$", rules, re.M)}
        letters = {name.removesuffix(" rigid"): letter for name, letter in letters.items()}
        outlines = opened["outlines"]
        pack = [line for line in rules.split("\noutline ")[1:] if "\n  pack yes\n" in line]
        pack = [block.splitlines()[0] for block in pack]
        right = {outline: layouts(race, outline, letters) for outline in outlines}
        marks = [
            race.ask("race", "register", name, "--contact", f"c{n}@harbour.example")["mark"]
            for n, name in enumerate(NAMES)
        ]
        race.ask("race", "register", "ines", status=1)

        # Who enters what, and when, in zones all over; each row is received at a stated instant.
        zones = [timezone(timedelta(minutes=m)) for m in (0, 60, -480, 345, -210, 780)]
        rows, clock = [], 0

        def put(entrant, outline, layout, at=None):
            nonlocal clock
            clock += 1
            at = began + timedelta(milliseconds=20 * clock if at is None else at)
            zone = zones[clock % len(zones)]
            rows.append([marks[entrant], outline, layout, at.astimezone(zone).isoformat(timespec="microseconds")])

        for n, outline in enumerate(outlines):
            put(0, outline, right[outline][0])
            put(1, outline, right[outline][-1].lower())
            if outline in pack:
                put(2, outline, spoiled(right[outline][0]))
                # Entrants 3 and 4 finish the pack at one instant.
                put(3, outline, right[outline][0], at=1500)
                put(4, outline, right[outline][0], at=1500)
            if n % 2:
                put(5, outline, right[outline][0])
                put(6, outline, spoiled(right[outline][0]))
                put(6, outline, right[outline][-1].replace("/", " / "))
        # Entered for an outline that counts already; given twice; at the very first instant.
        put(0, outlines[0], right[outlines[0]][-1] + " ")
        rows.append(list(rows[0]))
        put(7, outlines[1], right[outlines[1]][0], at=0)
        put(8, outlines[2], right[outlines[2]][0])
        file = race.folder / "entries.csv"
        with open(file, "w", newline="") as out:
            csv.writer(out).writerows([["mark", "outline", "layout", "received"], *rows])
        while datetime.now(timezone.utc) < began + timedelta(milliseconds=max(20 * clock, 1500) + 50):
            time.sleep(0.05)
        answer = race.ask("race", "enter", "--from", str(file))
        same = len({(row[0], row[1], "".join(row[2].split())) for row in rows})
        tally.check(answer["repeated"] == len(rows) - same, f"{answer['repeated']} of {len(rows)} told as repeated")
        again = race.ask("race", "enter", "--from", str(file))
        tally.check(again["repeated"] == len(rows), "what was put in twice was not told")
        tally.check([e["entry"] for e in again["entries"]] == [e["entry"] for e in answer["entries"]], "other numbers")

        judge_marks(tally, race, marks, outlines[0])
        judge_moments(tally, race, marks[0], outlines[0])
        checked = race.ask("race", "check")
        wrong = sum(1 for row in rows if row[2] not in [w for ws in right.values() for l in ws for w in (l, l.lower(), l + " ", l.replace("/", " / "))])
        tally.check(checked["rejected"] == wrong and wrong > 0, f"{checked['rejected']} rejected, {wrong} are wrong")
        for entry in checked["entries"]:
            tally.check(entry["accepted"] or entry["reasons"], f"entry {entry['entry']} is rejected without a reason")
        race.ask("race", "withdraw", marks[5])
        first = next(e["entry"] for e in answer["entries"] if e["entrant"] == 9)
        race.ask("race", "withdraw", marks[8], "--entry", str(first))
        race.ask("race", "close", status=2)
        time.sleep(max(0, (until - datetime.now(timezone.utc)).total_seconds() + 0.05))
        late = race.ask("race", "enter", marks[8], outlines[0], right[outlines[0]][0])
        tally.check(late["late"], "an entry after the deadline is not late")
        race.ask("race", "check")
        race.ask("race", "close")
        lines, head = judge_log(tally, race)
        told = judge_standings(tally, race, lines, head)
        by_number = {e["entrant"]: e for e in told["entrants"]}
        tally.check(by_number[9]["late"] == 1 and by_number[9]["taken_back"] == 1, f"late: {by_number[9]}")
        tally.check(by_number[6]["withdrawn"] is not None and by_number[6]["solved"] == 0, f"{by_number[6]}")
        tied = [p["entrant"] for g in told["goals"] if g["goal"] == "all" for p in g["places"] if p["shared"]]
        tally.check(tied == [4, 5], f"entrants 4 and 5 finished at one instant: {tied}")
        judge_people(tally, race, lines, marks)
        codes = {(e["outline"], e["code"]) for e in checked["entries"] if e["accepted"]}
        judge_seal(tally, race, opened, codes)
        judge_file(tally, race)

        race.ask("race", "erase", marks[1])
        tally.check(race.ask("race", "log", "--verify")["whole"], "an erasure broke the log")
        for path in race.folder.glob("race.sqlite*"):
            kept = path.read_bytes()
            for secret in ["Tamsin", "tamsin", "c1@harbour.example", marks[1], marks[1].replace("-", "")]:
                tally.check(secret.encode() not in kept, f"{secret} is still in {path.name}")
        lines, head = judge_log(tally, race)
        judge_standings(tally, race, lines, head)
    print(f"race: {tally.passed} passed, {tally.failed} failed")
    sys.exit(1 if tally.failed or not tally.passed else 0)


if __name__ == "__main__":
    main()

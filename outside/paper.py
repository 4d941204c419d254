"""The pages for print of the demo project, as PDF files and as printed sheets.

`pinfold paper` is run on a copy of quayside, twice for A4 and once for US Letter.
Its files are read by pypdf (PyPI pypdf 7) and drawn by pdftoppm (poppler-utils):

- equal bytes from two runs; as many pages as the answer says and as the outlines
  need; every page exactly A4 (ISO 216: 210 by 297 mm) or US Letter (8.5 by 11
  inches; both sizes from memory), 1 point being 1/72 inch (ISO 32000-1, 8.3.2.3);
- every font embedded (FontFile2 or FontFile3) and with a ToUnicode map (ISO
  32000-1, 9.10.3), the text extractable, titles in the order of the pack;
- tagged (ISO 14289-1, PDF/UA-1): StructTreeRoot, marked, a language, a title that
  viewers show, its mark in the metadata, and words (Alt) on every figure;
- nothing but cut marks within 3 mm of an edge of the drawn page;
- true scale: the bar on each sheet of the plan is 100 mm long within 0.2 mm, and
  in each plate the opening is as wide and as high as its cells (15 mm each, 0.15 mm
  air on either side, less the line's own width) within 0.2 mm;
- cards: cut marks stand a card's width and height apart within 0.2 mm, on fronts
  as on backs; turned over the long edge, each back lies on its front: by the
  numbers' places, and by the frame of a card that stands alone on its sheet;
- a title in characters that no font has is refused, and told which.
"""

import math
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

import cv2
import numpy as np
from pypdf import PdfReader
from pypdf.generic import IndirectObject

from judging import quayside
from judging.program import ROOT, build
from judging.tally import Tally

SIZES = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}
CARD = (62.0, 84.0)
POINT = 25.4 / 72
PITCH, FIT, LINE = 15.0, 0.15, 0.2
EDGE = 3.0


def paper(project, *words):
    ran = subprocess.run(
        [os.environ["PINFOLD"], "paper", *words, "--project", str(project), "--json"],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    return ran.returncode, json.loads(ran.stdout or "{}")


def drawn(file, dots, page=None):
    """The pages as arrays of grey, white 255."""
    only = [] if page is None else ["-f", str(page), "-l", str(page)]
    with tempfile.TemporaryDirectory() as folder:
        stem = Path(folder) / "p"
        subprocess.run(["pdftoppm", "-gray", "-r", str(dots), *only, str(file), str(stem)], check=True)
        return [cv2.imread(str(f), cv2.IMREAD_GRAYSCALE) for f in sorted(Path(folder).iterdir())]


def fonts(reader):
    """Every font that a page uses, in forms within it too, each once."""
    seen, waiting, found = set(), [page.get("/Resources") for page in reader.pages], []
    while waiting:
        resources = waiting.pop()
        resources = resources.get_object() if resources is not None else {}
        for kind in ("/Font", "/XObject"):
            for item in (resources.get(kind) or {}).values():
                key = (item.idnum if isinstance(item, IndirectObject) else id(item))
                if key in seen:
                    continue
                seen.add(key)
                item = item.get_object()
                if kind == "/Font":
                    found.append(item)
                elif "/Resources" in item:
                    waiting.append(item["/Resources"])
    return found


def figures(reader):
    """Every figure in the tree of tags."""
    seen, waiting = set(), [reader.trailer["/Root"]["/StructTreeRoot"]]
    while waiting:
        node = waiting.pop()
        if isinstance(node, IndirectObject):
            if node.idnum in seen:
                continue
            seen.add(node.idnum)
            node = node.get_object()
        if isinstance(node, list):
            waiting.extend(node)
        elif isinstance(node, dict):
            if node.get("/S") == "/Figure":
                yield node
            if "/K" in node:
                waiting.append(node["/K"] if isinstance(node["/K"], (list, IndirectObject)) else node.raw_get("/K"))


def sound(tally, name, size, reader, told):
    """What holds of every document."""
    tally.check(len(reader.pages) == told["pages"], f"{name}: {len(reader.pages)} pages, {told['pages']} told")
    for number, page in enumerate(reader.pages, 1):
        box = [float(v) * POINT for v in page.mediabox]
        for found, wanted in zip(box, (0, 0, *SIZES[size])):
            tally.close(found, wanted, 0.005, f"{name}, page {number}: the page's box in mm")
    used = fonts(reader)
    tally.check(bool(used), f"{name}: no fonts")
    for font in used:
        kin = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        file = kin.get("/FontDescriptor", {})
        tally.check("/FontFile2" in file or "/FontFile3" in file, f"{name}: {font['/BaseFont']} is not embedded")
        tally.check("/ToUnicode" in font, f"{name}: {font['/BaseFont']} has no ToUnicode")
    root = reader.trailer["/Root"]
    tally.check("/StructTreeRoot" in root and root["/MarkInfo"].get("/Marked") == True, f"{name}: not tagged")
    tally.check(root.get("/Lang") == "en", f"{name}: language {root.get('/Lang')}")
    tally.check("Quayside" in (reader.metadata.title or ""), f"{name}: title {reader.metadata.title}")
    tally.check(root["/ViewerPreferences"].get("/DisplayDocTitle") == True, f"{name}: the title is not shown")
    marks = root["/Metadata"].get_object().get_data()
    tally.check(re.search(rb"pdfuaid:part>?\s*=?\"?1", marks) is not None, f"{name}: no mark of PDF/UA-1")
    pictures = list(figures(reader))
    tally.check(all(len(p.get("/Alt", "")) > 5 for p in pictures), f"{name}: a figure without words")
    tally.check(bool(pictures) or "makers-sheet" in name, f"{name}: no figures")


def rim(tally, name, pages, dots, cut_marks):
    """Nothing stands near the edges of the page, but for cut marks in the rim of cards."""
    near = math.floor(EDGE / 25.4 * dots)
    for number, page in enumerate(pages, 1):
        ink = page < 250
        inner = ink[near:-near, near:-near]
        tally.check(bool(inner.any()), f"{name}, page {number}: empty")
        outside = int(ink.sum()) - int(inner.sum())
        tally.check(outside == 0 or cut_marks, f"{name}, page {number}: ink within {EDGE} mm of the edge")


def texts(reader):
    return [re.sub(r"\s+", " ", page.extract_text()) for page in reader.pages]


def in_order(tally, name, text, titles):
    at = 0
    for title in titles:
        found = text.find(title, at)
        tally.check(found >= 0, f"{name}: {title} is not in its place")
        at = max(found, at)


def runs(line):
    """Lengths of white between ink, in a line of pixels."""
    ink = np.flatnonzero(line < 160)
    return np.diff(ink) - 1 if len(ink) else np.array([], int)


def lengths(drawing):
    """Runs of cells in the rows of a drawing."""
    rows = [r for r in drawing.strip().splitlines() if "#" in r or "." in r]
    cells = ["".join(r.split()) for r in rows]
    wide = max(map(len, cells))
    cells = [r.ljust(wide, ".") for r in cells]
    across = {len(m) for r in cells for m in re.findall("#+", r)}
    down = {len(m) for c in zip(*cells) for m in re.findall("#+", "".join(c))}
    return across, down


def plan(tally, name, file, records, dots=300):
    mm = dots / 25.4
    pages = drawn(file, dots)
    for page, record in zip(pages, records):
        # The bar: the only black of 3 mm height in the lowest 40 mm.
        band = page[-int(40 * mm) :]
        black = (band < 60).astype(np.uint8)
        thick = cv2.morphologyEx(black, cv2.MORPH_OPEN, np.ones((int(2 * mm), int(2 * mm)), np.uint8))
        rows, columns = np.nonzero(thick)
        tally.check(len(rows) > 0, f"{name}, {record['title']}: no bar")
        if not len(rows):
            continue
        # Its last field is white, closed by thin lines above and below: they reach to its end.
        top = band[rows.min() : rows.min() + 2].min(axis=0) < 160
        reach = np.flatnonzero(top)
        tally.close((reach.max() - reach.min() + 1) / mm, 100.0, 0.2, f"{name}, {record['title']}: the bar in mm")
        fields = np.diff(np.flatnonzero(np.diff((thick[rows.min() + int(mm)] > 0).astype(int)))) / mm
        tally.check(bool(np.all(np.abs(fields - 10) < 0.2)), f"{name}, {record['title']}: fields of {fields} mm")
        drawing = page[int(26 * mm) - 2 : -int(40 * mm)]
        across, down = lengths(record["drawing"])
        for lines, wanted, way in ((drawing, across, "across"), (drawing.T, down, "down")):
            found = np.concatenate([runs(line) for line in lines]) / mm
            for cells in wanted:
                size = cells * PITCH + 2 * FIT - LINE
                # At least 4 mm of the opening's side of 15 mm, whatever pockets cut into it.
                fits = int((np.abs(found - size) < 0.2).sum())
                tally.check(fits > 4 * mm, f"{name}, {record['title']}: no opening of {size:.2f} mm {way}")


def places(page):
    """Where each number of a card stands, in mm from the upper left."""
    found = {}
    height = float(page.mediabox.height)

    def visit(text, matrix, place, font, size):
        if re.fullmatch(r"\d+", text.strip()):
            x = place[4] * matrix[0] + place[5] * matrix[2] + matrix[4]
            y = place[4] * matrix[1] + place[5] * matrix[3] + matrix[5]
            found.setdefault(int(text), (x * POINT, (height - y) * POINT))

    page.extract_text(visitor_text=visit)
    return found


def cards(tally, name, size, reader, file, numbers, dots=200):
    mm = dots / 25.4
    width, height = SIZES[size]
    left, top = (width - 3 * CARD[0]) / 2, (height - 3 * CARD[1]) / 2
    tally.check(len(reader.pages) == 2 * math.ceil(len(numbers) / 9), f"{name}: {len(reader.pages)} pages")
    pages = drawn(file, dots)
    for sheet in range(len(pages) // 2):
        mine = numbers[9 * sheet : 9 * sheet + 9]
        front, back = (places(reader.pages[2 * sheet + k]) for k in (0, 1))
        for number in mine:
            tally.check(number in front and number in back, f"{name}: {number} is not on both sides")
            if number in front and number in back:
                cell = lambda p: (math.floor((p[0] - left) / CARD[0]), math.floor((p[1] - top) / CARD[1]))
                turned = (width - back[number][0], back[number][1])
                tally.check(cell(front[number]) == cell(turned), f"{name}: the back of {number} is not behind it")
        for side, page in zip(("front", "back"), pages[2 * sheet : 2 * sheet + 2]):
            # Marks: columns of ink in a strip above the cards, rows of ink left of them.
            above = (page[int((top - 5) * mm) : int((top - 3) * mm)] < 160).all(axis=0)
            beside = (page[:, int((left - 5) * mm) : int((left - 3) * mm)] < 160).all(axis=1)
            for ink, start, step, way in ((above, left, CARD[0], "x"), (beside, top, CARD[1], "y")):
                at = np.flatnonzero(ink)
                marks = [g.mean() / mm for g in np.split(at, np.flatnonzero(np.diff(at) > 1) + 1)] if len(at) else []
                tally.check(len(marks) == 4, f"{name}, sheet {sheet + 1} {side}: {len(marks)} marks in {way}")
                for k, mark in enumerate(marks[:4]):
                    tally.close(mark, start + k * step, 0.2, f"{name}, sheet {sheet + 1} {side}: mark {k} in {way}")
        if len(mine) == 1:
            # The frame of the back, seen through the paper, lies 5 mm within the first card.
            through = pages[2 * sheet + 1][:, ::-1] < 200
            inside = through[int((top + 1) * mm) : int((top + 3 * CARD[1] - 1) * mm)]
            inside = inside[:, int((left + 1) * mm) : int((left + 3 * CARD[0] - 1) * mm)]
            rows, columns = np.nonzero(inside)
            ends = [v / mm + 1 for v in (columns.min(), columns.max() + 1, rows.min(), rows.max() + 1)]
            for found, wanted in zip(ends, (5, CARD[0] - 5, 5, CARD[1] - 5)):
                tally.close(found, wanted, 0.3, f"{name}: the frame behind the first card")


def refused(tally, project):
    file = project / "outlines" / "crab.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(r'title = ".*"', 'title = "Crab 港"', text), encoding="utf-8")
    status, told = paper(project, "plan", "first-tide", "--out", str(project / "none"))
    said = json.dumps(told, ensure_ascii=False)
    tally.check(status == 2 and "U+6E2F" in said and "Crab 港" in said, f"a missing glyph: {status}, {said}")
    tally.check(not (project / "none").exists(), "a refused page was written")
    file.write_text(text, encoding="utf-8")


def main():
    if not shutil.which("pdftoppm"):
        raise SystemExit("pdftoppm is missing; on Debian and its kin the package poppler-utils brings it")
    build()
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        project = quayside.copied(folder)
        packs = {p["name"]: p["outlines"] for p in tomllib.loads((project / "pinfold.toml").read_text())["pack"]}
        read = lambda o: tomllib.loads((project / "outlines" / f"{o}.toml").read_text())
        records = [read(o) for o in packs["first-tide"]]
        titles = [r["title"] for r in records]
        for size in SIZES:
            out = folder / size
            words = ("first-tide", "--paper", size, "--date", "2026-11-25", "--out", str(out))
            status, told = paper(project, "all", *words)
            tally.check(status == 0 and len(told.get("documents", [])) == 5, f"{size}: {status}, {told.get('errors')}")
            for document in told.get("documents", []):
                file, name = Path(document["file"]), f"{document['page']} on {size}"
                reader = PdfReader(file)
                sound(tally, name, size, reader, document)
                in_order(tally, name, " ".join(texts(reader)), titles)
                rim(tally, name, drawn(file, 60), 60, document["page"] == "cards")
                if document["page"] == "plan":
                    tally.check(len(reader.pages) == len(titles), f"{name}: {len(reader.pages)} pages")
                    plan(tally, name, file, records)
                if document["page"] == "booklet":
                    count = 3 + math.ceil(len(titles) / 2)
                    tally.check(len(reader.pages) == count, f"{name}: {len(reader.pages)} pages instead of {count}")
                    tally.check("Drop in:" not in " ".join(texts(reader)), f"{name}: an answer")
            ten = [read(o)["number"] for o in packs["members"]]
            status, told = paper(project, "cards", "members", "--paper", size, "--out", str(out))
            tally.check(status == 0, f"cards on {size}: {told}")
            file = Path(told["documents"][0]["file"])
            cards(tally, f"cards on {size}", size, PdfReader(file), file, ten)
        again = folder / "again"
        words = ("first-tide", "--date", "2026-11-25", "--out", str(again))
        paper(project, "all", *words)
        for file in sorted(again.iterdir()):
            tally.check(file.read_bytes() == (folder / "a4" / file.name).read_bytes(), f"{file.name}: other bytes")
        refused(tally, project)
    print(f"paper: {tally.passed} passed, {tally.failed} failed")
    sys.exit(tally.failed > 0)


main()

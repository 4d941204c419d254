"""Packs and pictures, by Python's own zipfile, hashlib and zlib, and by Pillow.

Runs `pinfold pack` for every pack of the demo project, in a copy of it, and
recomputes all that a pack says of itself: sizes, SHA-256, the lines of digests,
the seal. Opens every 3MF and STL. Adds up the numbers of outlines over the
nested packs. Looks for the answers, which it works out anew from
`pinfold fill --json`, in every byte of the archive, unpacked as far as it goes.
Makes the pack a second time: the same bytes. Then spoils a small pack in some
forty ways: `pinfold pack --verify` must refuse each, and take the same pack
rebuilt by zipfile without a fault.

The text of PDFs is read by pypdf.

Of pictures: sizes and grounds of PNG and the frames of animated PNG by Pillow
(PyPI pillow 13.0; APNG: PNG third edition, W3C 2025): moving, for ever round,
the last frame the first again, the inked area the same in every frame (a block
that overlaps another or leaves the paper would take some away); SVG by
ElementTree; no colour of a piece where no answer was asked for.
"""

import hashlib
import io
import json
import os
import re
import struct
import subprocess
import sys
import tempfile
import tomllib
import warnings
import xml.etree.ElementTree as ElementTree
import zipfile
import zlib
from pathlib import Path

import numpy as np
from PIL import Image
from pypdf import PdfReader

from judging import quayside
from judging.program import build
from judging.tally import Tally

EPOCH = (1980, 1, 1, 0, 0, 0)
PLAIN = 0o100644 << 16
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


def pinfold(*words, status=0):
    """A call; its JSON if it has any."""
    ran = subprocess.run([os.environ["PINFOLD"], *map(str, words), "--json"], capture_output=True, text=True)
    if status is not None and ran.returncode != status:
        sys.exit(f"pinfold {' '.join(map(str, words))} ended with {ran.returncode}\n{ran.stdout}{ran.stderr}")
    return ran.returncode, json.loads(ran.stdout)


def sha(data):
    return hashlib.sha256(data).hexdigest()


def pack(project, name):
    """Makes a pack; what the program says, and the entries of its zip."""
    said = pinfold("pack", name, "--project", project)[1]
    with zipfile.ZipFile(said["zip"]) as zip_file:
        entries = [(info, zip_file.read(info)) for info in zip_file.infolist()]
    return said, entries


def is_sound(tally, name, said, entries):
    """Everything that a pack says of itself."""
    tally.check(zipfile.ZipFile(said["zip"]).testzip() is None, f"{name}: CRC")
    names = [info.filename for info, _ in entries]
    tally.check(names == sorted(names) and len(set(names)) == len(names), f"{name}: names sorted, each once")
    folder = names[0].split("/")[0]
    tally.check(all(n.startswith(folder + "/") for n in names), f"{name}: one folder")
    fixed = all(i.date_time == EPOCH and i.external_attr == PLAIN and not i.comment for i, _ in entries)
    tally.check(fixed, f"{name}: fixed dates and rights")
    files = {n.removeprefix(folder + "/"): data for n, (_, data) in zip(names, entries)}
    manifest = json.loads(files["MANIFEST.json"])
    listed = {f["path"]: (f["bytes"], f["sha256"]) for f in manifest["files"]}
    found = {n: (len(d), sha(d)) for n, d in files.items() if n not in ("MANIFEST.json", "SHA256SUMS")}
    tally.check(listed == found, f"{name}: the manifest has every file as it is")
    sums = dict(reversed(line.split("  ", 1)) for line in files["SHA256SUMS"].decode().splitlines())
    wanted = {n: sha(d) for n, d in files.items() if n != "SHA256SUMS"}
    tally.check(sums == wanted, f"{name}: SHA256SUMS")
    tally.check(files["VERSION"].decode() == manifest["version"] + "\n", f"{name}: VERSION")
    tally.check(folder == f"{manifest['pack']}-{manifest['version']}", f"{name}: folder")
    tally.check(said["sha256"] == sha(Path(said["zip"]).read_bytes()), f"{name}: digest of the zip")
    on_disk = {str(p.relative_to(said["folder"])): p for p in Path(said["folder"]).rglob("*") if p.is_file()}
    same = on_disk.keys() == files.keys() and all(p.read_bytes() == files[n] for n, p in on_disk.items())
    tally.check(same, f"{name}: the folder has what the zip has")
    readme = files["README.md"].decode()
    titles = all(f"{o['number']}: {o['title']}" in readme for o in manifest["outlines"])
    tally.check(manifest["title"] in readme and titles and "{{" not in readme, f"{name}: README")
    tally.check(manifest["licence"] in files["LICENCE.txt"].decode(), f"{name}: licence")
    return files, manifest


def parts_open(tally, name, files):
    """3MF and STL hold what they must: as many triangles on beds as in parts."""
    triangles = {"beds": 0, "parts": 0}
    for path, data in files.items():
        if path.endswith(".3mf"):
            model = ElementTree.fromstring(zipfile.ZipFile(io.BytesIO(data)).read("3D/3dmodel.model"))
            objects = {o.get("id"): o for o in model.iter(f"{CORE}object")}
            items = [i.get("objectid") for i in model.iter(f"{CORE}item")]
            tally.check(items and all(i in objects for i in items), f"{name}: {path} has build items")
        elif path.endswith(".stl"):
            (count,) = struct.unpack_from("<I", data, 80)
            tally.check(count > 0 and len(data) == 84 + 50 * count, f"{name}: {path} is whole")
            triangles["beds" if "/beds/" in path else "parts"] += count
    tally.check(triangles["beds"] == triangles["parts"] > 0, f"{name}: beds have the triangles of the parts")


def codes_of(project, said):
    """The answers as texts: pieces by number and by letter, cell by cell from the top row."""
    pieces = [p["name"] for p in tomllib.loads((project / "pinfold.toml").read_text())["piece"]]
    for outline in said["outlines"]:
        filling = pinfold("fill", outline["name"], "--project", project)[1]
        for answer in filling["answers"]:
            owner = {}
            for piece in answer["pieces"]:
                for x, y in piece["cells"]:
                    owner[(x, y)] = pieces.index(piece["piece"])
            order = sorted(owner, key=lambda c: (-c[1], c[0]))
            yield outline["name"], "".join(str(owner[c] + 1) for c in order)
            yield outline["name"], "".join(pieces[owner[c]][0].upper() for c in order)


def unpacked(data):
    """A file's bytes, and those of every archive and stream in it that can be unpacked."""
    yield data
    if data[:4] == b"PK\x03\x04":
        with zipfile.ZipFile(io.BytesIO(data)) as inner:
            for info in inner.infolist():
                yield inner.read(info)
    if data[:5] == b"%PDF-":
        for stream in re.finditer(rb"stream\r?\n(.*?)endstream", data, re.DOTALL):
            try:
                yield zlib.decompressobj().decompress(stream[1])
            except zlib.error:
                yield stream[1]
        yield "".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).encode()


def keeps_answers(tally, name, project, said, files):
    """The seal is that of the answers, and they are nowhere in the pack."""
    (kept,) = [p for p in said["answers"] if p.endswith(".txt")]
    sealed = Path(kept).read_bytes()
    tally.check(sha(sealed) == said["seal"], f"{name}: the seal is SHA-256 of the sealed text")
    tally.check(said["seal"] in files["SEAL.txt"].decode(), f"{name}: the seal is in SEAL.txt")
    lines = sealed.decode().splitlines()
    tally.check(re.fullmatch("[0-9a-f]{64}", lines[0]) is not None, f"{name}: a salt of 32 bytes")
    everything = [piece for data in files.values() for piece in unpacked(data)]
    for outline, code in codes_of(project, said):
        if code.isdigit():
            tally.check(code in lines, f"{name}: {outline}'s answer is sealed")
        hidden = not any(code.encode() in piece or code.lower().encode() in piece for piece in everything)
        tally.check(hidden, f"{name}: {outline}'s answer {code} is not in the pack")
    tally.check(not any(lines[0].encode() in piece for piece in everything), f"{name}: the salt is not in it")


# --- spoiled packs -----------------------------------------------------------


def entry(name, data, mode=PLAIN, method=zipfile.ZIP_DEFLATED):
    info = zipfile.ZipInfo(name, EPOCH)
    info.create_system = 3
    info.external_attr = mode
    info.compress_type = method
    return info, data


def rebuilt(entries, comment=b""):
    out = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with zipfile.ZipFile(out, "w") as zip_file:
            for info, data in entries:
                zip_file.writestr(info, data)
            zip_file.comment = comment
    return out.getvalue()


class Small:
    """A small pack: what it takes to be one, and a mesh."""

    def __init__(self, files, manifest):
        keep = ["README.md", "LICENCE.txt", "VERSION", "SEAL.txt", "CAUTIONS.txt", "print/backing.dxf"]
        self.files = {n: files[n] for n in keep}
        self.manifest = manifest
        self.folder = f"{manifest['pack']}-{manifest['version']}"

    def zip(self, files=None, change=lambda m: None, sums=lambda s: s, folder=None, more=(), **named):
        """The pack with digests done anew, so that only what is spoiled is wrong."""
        files = dict(self.files if files is None else files)
        manifest = json.loads(json.dumps(self.manifest))
        manifest["files"] = [
            {"path": n, "bytes": len(d), "sha256": sha(d)} for n, d in sorted(files.items())
        ]
        change(manifest)
        text = json.dumps(manifest, indent=2, ensure_ascii=False) + "\n"
        lines = f"{sha(text.encode())}  MANIFEST.json\n"
        lines += "".join(f"{f['sha256']}  {f['path']}\n" for f in manifest["files"])
        files |= {"MANIFEST.json": text.encode(), "SHA256SUMS": sums(lines).encode()}
        folder = folder or self.folder
        entries = [entry(f"{folder}/{n}", d) for n, d in sorted(files.items()) if d is not None]
        return rebuilt(entries + list(more), **named)

    def with_file(self, name, data):
        return self.files | {name: data}


def patched(data, name, local, central, field, value):
    """The archive with a field of one file's two headers overwritten (APPNOTE.TXT 4.3.7, 4.3.12)."""
    out = bytearray(data)
    for signature, at, where in ((b"PK\x03\x04", 30, local), (b"PK\x01\x02", 46, central)):
        header = 0
        while (header := data.find(signature, header)) >= 0:
            if data[header + at : header + at + len(name)] == name.encode():
                struct.pack_into(field, out, header + where, value)
            header += 4
    return bytes(out)


def spoiled(small, sealed, code):
    """Ways to spoil a pack: what, the bytes, the status, a word of the fault."""
    plain, top = small.zip(), small.folder
    readme = f"{top}/README.md"

    def lie(key, value):
        return lambda manifest: manifest["files"][0].update({key: value})

    yield "a byte changed", small.zip(change=lambda m: m["files"][3].update(sha256=sha(b"other"))), 1, "is not what the manifest has"
    yield "a file missing", small.zip(files=small.files, change=lambda m: m["files"].append(
        {"path": "more.txt", "bytes": 3, "sha256": sha(b"abc")})), 1, "is missing"
    yield "a file more", small.zip(more=[entry(f"{top}/more.txt", b"abc")]), 1, "not in the manifest"
    yield "a file in another folder", small.zip(more=[entry("elsewhere/more.txt", b"abc")]), 1, "not in the manifest"
    yield "a file unlisted", small.zip(change=lambda m: m["files"].pop(0)), 1, "not in the manifest"
    yield "a file listed twice", small.zip(change=lambda m: m["files"].append(m["files"][0])), 1, "twice"
    yield "another size", small.zip(change=lie("bytes", 7)), 1, "by the manifest it has 7"
    yield "a huge size listed", small.zip(change=lie("bytes", 1 << 62)), 1, "by the manifest it has"
    yield "a digest in capitals", small.zip(change=lambda m: lie("sha256", m["files"][0]["sha256"].upper())(m)), 1, "is not what"
    yield "a line of digests changed", small.zip(sums=lambda s: s.replace("README", "README2")), 1, "SHA256SUMS"
    yield "no lines of digests", small.zip(sums=lambda s: ""), 1, "SHA256SUMS"
    yield "another version", small.zip(small.with_file("VERSION", b"9.9\n")), 1, "VERSION"
    yield "no VERSION", small.zip({n: d for n, d in small.files.items() if n != "VERSION"}), 1, "'VERSION' is missing"
    yield "another seal", small.zip(change=lambda m: m.update(seal="0" * 64)), 1, "SEAL.txt"
    yield "another folder", small.zip(folder="first-tide-9.9"), 1, "stands in the folder"
    yield "a number twice", small.zip(change=lambda m: m["outlines"][1].update(number=m["outlines"][0]["number"])), 1, "number"
    for way in ("../evil.txt", "/etc/evil.txt", f"{top}/../../evil.txt", f"{top}\\evil.txt", "C:/evil.txt",
                f"{top}/.hidden", f"{top}//twice", f"{top}/é.txt", f"{top}/nul\u0001.txt", f"{top}/a. "):
        yield f"a path {way!r}", small.zip(more=[entry(way, b"abc")]), 1, "outside the pack's folder"
    yield "a path in the manifest", small.zip(change=lie("path", "../../evil.txt")), 1, "outside the pack's folder"
    yield "a symbolic link", small.zip(more=[entry(f"{top}/link", b"/etc/passwd", 0o120777 << 16)]), 1, "not a plain file"
    yield "a folder", small.zip(more=[entry(f"{top}/more/", b"", 0o40755 << 16 | 16)]), 1, "plain"
    yield "a name twice", small.zip(more=[entry(readme, b"abc")]), 1, "two files have one name"
    yield "a name in capitals", small.zip(more=[entry(f"{top}/Readme.MD", b"abc")]), 1, "capitals do not count"
    yield "a remark", small.zip(comment=b"look here"), 1, "remark"
    extra = entry(f"{top}/more.txt", b"abc")
    extra[0].extra = struct.pack("<HH4s", 0x9999, 4, b"more")
    yield "an extra field", small.zip(more=[extra]), 1, "extra field"
    yield "bytes before", b"#!/bin/sh\n" + plain, 1, "before the first"
    yield "bytes after", plain + b"\0" * 9, 1, "after the last"
    yield "a bomb", small.zip(change=lambda m: None, more=[entry(f"{top}/zeros", b"\0" * 60_000_000)]), 1, "not in the manifest"
    big = patched(plain, readme, 22, 24, "<I", 0xFFFFFF00)
    yield "a size of four gigabytes", big, 1, "unpack to"
    short = small.zip(small.with_file("README.md", b"\0" * 5_000_000), change=lambda m: [f.update(bytes=100) for f in m["files"] if f["path"] == "README.md"])
    yield "a bomb that says it is small", patched(short, readme, 22, 24, "<I", 100), 1, "README.md"
    yield "a broken checksum", patched(plain, readme, 14, 16, "<I", 12345), 1, "unpacked"
    yield "a file with a password", patched(plain, readme, 6, 8, "<H", 1), 1, "password"
    yield "another method", small.zip(more=[entry(f"{top}/more.txt", b"abc" * 99, method=zipfile.ZIP_BZIP2)]), 1, "plain"
    yield "a file called answers", small.zip(small.with_file("Answers.txt", b"abc")), 1, "answers"
    yield "the sealed text under another name", small.zip(small.with_file("notes.txt", sealed)), 1, "sealed text"
    yield "a layout in a text", small.zip(small.with_file("notes.txt", f"try {code}\n".encode())), 1, "code of a layout"
    yield "another form", small.zip(change=lambda m: m.update(form="pinfold pack 99")), 2, "form"
    yield "a key more", small.zip(change=lambda m: m.update(more=1)), 2, "MANIFEST.json cannot be read"
    yield "no manifest", rebuilt([entry(f"{top}/README.md", b"abc")]), 2, "no MANIFEST.json"
    yield "cut off", plain[: len(plain) // 2], 2, "archive"
    yield "no archive", b"hello", 2, "archive"
    yield "nothing", b"", 2, "archive"


def refuses(tally, project, said, files, manifest):
    small = Small(files, manifest)
    sealed = Path(next(p for p in said["answers"] if p.endswith(".txt"))).read_bytes()
    code = next(line for line in sealed.decode().splitlines()[3:] if not line.startswith("outline"))
    path = project / "out/spoiled.zip"

    def verified(data):
        path.write_bytes(data)
        return pinfold("pack", "--verify", path, "--project", project, status=None)

    status, told = verified(small.zip())
    tally.check(status == 0 and told["sound"], f"a small pack by zipfile is sound: {told}")
    kinds = 0
    for what, data, wanted, word in spoiled(small, sealed, code):
        status, told = verified(data)
        sentences = told["faults"] if status == 1 else [e["message"] for e in told["errors"]]
        tally.check(status == wanted and any(word in s for s in sentences),
                    f"{what}: status {status} instead of {wanted}, told {sentences} without {word!r}")
        kinds += 1
    tally.check(kinds >= 20, "twenty kinds of spoiled packs")
    return kinds


# --- pictures ----------------------------------------------------------------


def moving(tally, what, data):
    """Frames: many, for ever, back at the start, the same area of ink."""
    picture = Image.open(io.BytesIO(data))
    tally.check(getattr(picture, "is_animated", False) and picture.n_frames > 20, f"{what} moves")
    tally.check(picture.info.get("loop") == 0, f"{what} goes round for ever")
    frames, areas = [], []
    for n in range(picture.n_frames):
        picture.seek(n)
        frame = np.asarray(picture.convert("RGB")).astype(int)
        frames.append(frame)
        areas.append(int((frame.min(axis=2) < 200).sum()))
    tally.check((frames[0] == frames[-1]).all(), f"{what} ends where it began")
    tally.check(any((f != frames[0]).any() for f in frames), f"{what} shows something else on the way")
    spread = (max(areas) - min(areas)) / max(areas)
    tally.check(spread < 0.03, f"{what}: the inked area changes by {spread:.3f}")
    rim = all((f[[0, -1]] == f[0, 0]).all() and (f[:, [0, -1]] == f[0, 0]).all() for f in frames)
    tally.check(rim, f"{what} stays on its paper")


def swings_back(tally, what, text):
    """The style sheet of a moving SVG: each hinge by quarter turns, home at both ends."""
    root = ElementTree.fromstring(text)
    sheet = "".join(root.itertext())
    rules = re.findall(r"@keyframes (\S+?)\{(.*?\})\}\n", sheet)
    classes = {g.get("class") for g in root.iter("{http://www.w3.org/2000/svg}g")}
    tally.check(rules and all(name in classes for name, _ in rules), f"{what} turns groups that are there")
    for name, body in rules:
        stops = [(float(p), int(a)) for p, a in re.findall(r"([\d.]+)%\{transform:rotate\((-?\d+)deg\)\}", body)]
        quarter = all(b - a in (-90, 0, 90) for (_, a), (_, b) in zip(stops, stops[1:]))
        tally.check(quarter, f"{what}: {name} turns by quarters")
        tally.check(stops[0] == (0.0, 0) and stops[-1] == (100.0, 0), f"{what}: {name} ends at home")
        tally.check([p for p, _ in stops] == sorted(p for p, _ in stops), f"{what}: {name} in order of time")
    tally.check("prefers-reduced-motion:reduce" in sheet, f"{what} heeds less motion")


def pictures(tally, project):
    out = project / "out/shop"
    pinfold("pictures", "set", "--size", "600x315", "--size", "320x320", "--ground", "#102030", "--out", out, "--project", project)
    for size in ((600, 315), (320, 320)):
        picture = Image.open(out / f"set-{size[0]}x{size[1]}.png")
        tally.check(picture.size == size, f"set: {picture.size} instead of {size}")
    pixel = Image.open(out / "set-320x320.png").convert("RGB").getpixel((0, 0))
    tally.check(pixel == (0x10, 0x20, 0x30), f"the ground is {pixel}")
    colours = [p["colour"].lower() for p in tomllib.loads((project / "pinfold.toml").read_text())["piece"]]
    outlines = ("tug", "crane")
    pinfold("pictures", "sheet", *outlines, "--out", out, "--project", project)
    pinfold("pictures", "sheet", *outlines, "--with-answers", "--out", out, "--project", project)
    bare, told = (out / "outlines.svg").read_text(), (out / "outlines-answers.svg").read_text()
    tally.check(not any(c in bare for c in colours), "a sheet without answers has no piece on it")
    tally.check(all(c in told for c in colours), "a sheet with answers has every piece on it")
    pinfold("pictures", "swings", "cleat", "--size", "240x200", "--swings", "10", "--out", out, "--project", project)
    first = (out / "swings-cleat-240x200.png").read_bytes()
    tally.check(Image.open(io.BytesIO(first)).size == (240, 200), "a moving picture of the size asked for")
    moving(tally, "cleat", first)
    pinfold("pictures", "swings", "cleat", "--size", "240x200", "--swings", "10", "--out", out, "--project", project)
    tally.check((out / "swings-cleat-240x200.png").read_bytes() == first, "the same picture again")
    for svg in sorted(out.glob("*.svg")):
        ElementTree.parse(svg)
        tally.check(True, f"{svg.name} is well-formed")


def main():
    build()
    tally = Tally()
    kinds = 0
    with tempfile.TemporaryDirectory() as folder:
        project = quayside.copied(Path(folder))
        numbers = {}
        for name in ("first-tide", "members", "spring-tide"):
            said, entries = pack(project, name)
            files, manifest = is_sound(tally, name, said, entries)
            parts_open(tally, name, files)
            numbers[name] = {o["name"]: o["number"] for o in manifest["outlines"]}
            if name != "first-tide":
                continue
            keeps_answers(tally, name, project, said, files)
            again = Path(said["zip"]).read_bytes()
            pack(project, name)
            tally.check(Path(said["zip"]).read_bytes() == again, f"{name}: the same bytes again")
            for path, data in files.items():
                if path.startswith("pictures/swings/") and path.endswith(".png"):
                    moving(tally, path, data)
                elif path.startswith("pictures/swings/"):
                    swings_back(tally, path, data.decode())
                elif path.endswith(".svg"):
                    ElementTree.fromstring(data)
            kinds = refuses(tally, project, said, files, manifest)
        first, members, spring = (numbers[n] for n in ("first-tide", "members", "spring-tide"))
        tally.check(first.items() <= members.items(), "the free pack has the members' numbers")
        tally.check(min(spring.values()) > max(members.values()), "the later pack goes on where the last ended")
        everything = [*members.values(), *spring.values()]
        tally.check(len(set(everything)) == len(everything) == 30, "thirty outlines, each number once")
        tally.check(sum(everything) == 30 * 31 // 2, "the numbers are 1 to 30")
        pictures(tally, project)
    print(f"packs: {tally.passed} passed, {tally.failed} failed ({kinds} kinds of spoiled packs)")
    sys.exit(tally.failed > 0)


if __name__ == "__main__":
    main()

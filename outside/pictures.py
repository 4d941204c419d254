"""Pictures read as silhouettes, against a general image library.

Silhouettes are drawn here: blobs, rings, bars, letters of strokes, as PNG (grey,
in colour, on clear ground), JPEG and SVG, dark on light and light on dark. Then
`pinfold scout --like … --json` reads them all, and OpenCV (PyPI
opencv-python-headless 5.0) says of the same files:

- area, centre, second moments and the seven invariants (M.-K. Hu, 1962) of the
  ink, from `cv2.moments` and `cv2.HuMoments`, thresholded by its own Otsu;
- for SVG the moments of the polygon itself, without any pixels, by Green's
  theorem (`cv2.moments` of a contour);
- the overlap of each outline that was found with the ink: its cells are drawn
  onto the picture where the answer says that they lie, and the shared and joint
  areas counted.

How near is near enough: PNG exactly, but for rounding (1e-9 of each value).
JPEG decoders may differ by a grey level, so a pixel at an edge may differ: area
and centre to 0.5 % and 0.05 pixels. SVG is drawn as pixels of a side of 1024: area
to 0.3 %, centre to a pixel of those. Overlaps to 0.02: we lay the ink in a grid
of sixteenths of a cell.
"""

import json
import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import cv2
import numpy as np

from judging.program import ROOT, build
from judging.tally import Tally

RANDOM = np.random.default_rng(22)


def shapes():
    """Masks of silhouettes, 255 is ink."""
    for k in range(6):
        mask = np.zeros((160 + 20 * k, 240), np.uint8)
        for _ in range(3 + k):
            centre = tuple(int(v) for v in RANDOM.integers(60, 120, 2))
            axes = tuple(int(v) for v in RANDOM.integers(12, 45, 2))
            cv2.ellipse(mask, centre, axes, float(RANDOM.integers(0, 180)), 0, 360, 255, -1)
        yield f"blob{k}", mask
    ring = np.zeros((200, 200), np.uint8)
    cv2.circle(ring, (90, 110), 70, 255, 22)
    yield "ring", ring
    bar = np.zeros((90, 300), np.uint8)
    cv2.rectangle(bar, (20, 30), (270, 55), 255, -1)
    cv2.rectangle(bar, (200, 5), (220, 80), 255, -1)
    yield "bar", bar
    letter = np.zeros((260, 220), np.uint8)
    cv2.polylines(letter, [np.array([[60, 30], [60, 220], [160, 220], [160, 160]])], False, 255, 24)
    yield "hook", letter


def written(folder):
    """Each file with what OpenCV reads of it: a mask, or a polygon in its own units."""
    for k, (name, mask) in enumerate(shapes()):
        ink, ground = [(20, 235), (240, 15), (90, 170)][k % 3]
        grey = np.where(mask > 0, ink, ground).astype(np.uint8)
        path = folder / f"{name}-grey.png"
        cv2.imwrite(str(path), grey)
        yield path, "PNG", otsu(cv2.imread(str(path), cv2.IMREAD_GRAYSCALE))
        # Light grey on lighter ground would be hard to tell in colour; here ink is red, the ground pale blue.
        colour = np.where(mask[:, :, None] > 0, np.uint8([30, 20, 170]), np.uint8([250, 235, 215]))
        path = folder / f"{name}-colour.png"
        cv2.imwrite(str(path), colour)
        yield path, "PNG", mask > 0
        path = folder / f"{name}-clear.png"
        cv2.imwrite(str(path), np.dstack([colour, mask]))
        yield path, "PNG", cv2.imread(str(path), cv2.IMREAD_UNCHANGED)[:, :, 3] > 127
        path = folder / f"{name}.jpg"
        cv2.imwrite(str(path), grey, [cv2.IMWRITE_JPEG_QUALITY, 90])
        yield path, "JPEG", otsu(cv2.imread(str(path), cv2.IMREAD_GRAYSCALE))
    for k in range(6):
        # A star-shaped polygon, so that its edge does not cross itself.
        angles = np.sort(RANDOM.uniform(0, 2 * math.pi, 9 + k))
        radii = RANDOM.uniform(25, 60, len(angles))
        points = np.stack([100 + radii * np.cos(angles), 80 + radii * np.sin(angles)], 1).astype(np.float32)
        path = folder / f"polygon{k}.svg"
        listed = " ".join(f"{x:.4f},{y:.4f}" for x, y in points)
        paper = '<rect width="200" height="160" fill="#eee"/>' if k % 2 else ""
        path.write_text(
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 160">{paper}<polygon points="{listed}"/></svg>'
        )
        yield path, "SVG", points


def otsu(grey):
    """The ink by OpenCV's threshold; the ground is what most of the border is."""
    _, light = cv2.threshold(grey, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    border = np.concatenate([light[0], light[-1], light[1:-1, 0], light[1:-1, -1]])
    ground = 255 if (border > 0).sum() * 2 > len(border) else 0
    return light != ground


def pinfold(*words):
    ran = subprocess.run([os.environ["PINFOLD"], *words, "--json"], cwd=ROOT, stdout=subprocess.PIPE, text=True)
    return json.loads(ran.stdout)


def answer(folder, files):
    """What is said of all files at once, for the small set that every project starts with."""
    project = str(folder / "project")
    pinfold("new", project)
    likes = [word for file in files for word in ("--like", str(file))]
    told = pinfold("scout", "--project", project, "--show", "2", "--tries", "64", *likes)
    if "errors" in told:
        raise SystemExit(f"the pictures were not read: {told['errors']}")
    return told


def near(a, b, share, least=0.0):
    return abs(a - b) <= max(share * max(abs(a), abs(b)), least)


def judge_pixels(name, kind, ours, mask, tally):
    theirs = cv2.moments(mask.astype(np.uint8), True)
    hu = cv2.HuMoments(theirs).flatten()
    area, (x, y) = theirs["m00"], (theirs["m10"] / theirs["m00"] + 0.5, theirs["m01"] / theirs["m00"] + 0.5)
    exact = kind == "PNG"
    tally.check(near(ours["area"], area, 1e-9 if exact else 0.005), f"{name}: area {ours['area']}, not {area}")
    for got, right in zip(ours["centroid"], (x, y)):
        tally.check(near(got, right, 1e-9, 0 if exact else 0.05), f"{name}: centre {got}, not {right}")
    share = 1e-9 if exact else 0.01
    for got, key in zip(ours["second"], ("mu20", "mu11", "mu02")):
        # mu11 may all but vanish: it is held against the others.
        size = max(theirs["mu20"], theirs["mu02"])
        tally.check(abs(got - theirs[key]) <= share * size, f"{name}: {key} {got}, not {theirs[key]}")
    for k, (got, right) in enumerate(zip(ours["hu"], hu)):
        # The higher ones are products of small numbers: differences are held against the first.
        power = [1, 2, 3, 3, 6, 4, 6][k]
        tally.check(abs(got - right) <= share * hu[0] ** power, f"{name}: invariant {k + 1} is {got}, not {right}")


def judge_polygon(name, picture, points, tally):
    theirs = cv2.moments(points)
    scale = picture["width"] / 200
    ours = picture["moments"]
    area = abs(theirs["m00"]) * scale**2
    tally.check(near(ours["area"], area, 0.003), f"{name}: area {ours['area']}, not {area}")
    centre = [theirs["m10"] / theirs["m00"] * scale, theirs["m01"] / theirs["m00"] * scale]
    for got, right in zip(ours["centroid"], centre):
        tally.check(abs(got - right) <= 1, f"{name}: centre {got}, not {right}")
    theirs = {key: theirs[key] * math.copysign(scale**4, theirs["m00"]) for key in ("mu20", "mu11", "mu02")}
    for got, key in zip(ours["second"], theirs):
        size = max(theirs["mu20"], theirs["mu02"])
        tally.check(abs(got - theirs[key]) <= 0.006 * size, f"{name}: {key} {got}, not {theirs[key]}")


def judge_overlap(name, near_one, mask, tally):
    """Draws the cells onto the picture, eight times as fine, and counts."""
    fine = 8
    ink = cv2.resize(mask.astype(np.uint8), None, fx=fine, fy=fine, interpolation=cv2.INTER_NEAREST)
    room = 60 * fine
    ink = cv2.copyMakeBorder(ink, room, room, room, room, cv2.BORDER_CONSTANT, value=0)
    turn = math.radians(near_one["degrees"])
    right = np.array([math.cos(turn), math.sin(turn)]) * near_one["pitch"]
    up = np.array([math.sin(turn), -math.cos(turn)]) * near_one["pitch"]
    cells = np.zeros_like(ink)
    for x, y in near_one["cells"]:
        corner = np.array(near_one["origin"]) + x * right + y * up
        square = np.stack([corner, corner + right, corner + right + up, corner + up]) * fine + room
        # A sixteenth of these pixels is as fine as a corner can be told.
        cv2.fillConvexPoly(cells, np.round(square * 16).astype(np.int32), 1, shift=4)
    shared, joint = (ink & cells).sum(), (ink | cells).sum()
    tally.check(
        abs(near_one["overlap"] - shared / joint) <= 0.02,
        f"{name}: overlap {near_one['overlap']:.4f}, not {shared / joint:.4f}",
    )
    share = shared / ink.sum()
    tally.check(abs(near_one["share"] - share) <= 0.02, f"{name}: share {near_one['share']:.4f}, not {share:.4f}")


def main() -> int:
    build()
    tally = Tally()
    with tempfile.TemporaryDirectory(prefix="pictures-") as folder:
        files = list(written(Path(folder)))
        told = answer(Path(folder), [path for path, _, _ in files])
        found = 0
        for (path, kind, right), picture in zip(files, told["pictures"], strict=True):
            if kind == "SVG":
                judge_polygon(path.name, picture, right, tally)
                continue
            size = (picture["height"], picture["width"])
            tally.check(size == right.shape, f"{path.name}: size {size}, not {right.shape}")
            judge_pixels(path.name, kind, picture["moments"], right, tally)
            for near_one in [picture["wish"], *picture["nearest"]]:
                found += 1
                judge_overlap(path.name, near_one, right, tally)
        tally.check(found > len(files), "outlines were found")
    print(f"pictures: {tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())

"""Filament length and mass from density and diameter, by hand.

A 1.75 mm filament has a section of 2.40528 mm² (π d² / 4); PLA weighs
1.24 g/cm³, so a metre weighs 2.9825 g (makers' data sheets give 1.24 to 1.26).
"""

import math
from pathlib import Path

OUTLINES = Path(__file__).resolve().parents[3] / "quayside/outlines"


def wall_sides(name):
    """Sides of cells that face the wall, from the outline's drawing."""
    text = (OUTLINES / f"{name}.toml").read_text()
    rows = [line.split() for line in text.split('"""')[1].strip("\n").splitlines()][1::2]
    cells = {(x, y) for y, row in enumerate(rows) for x, mark in enumerate(row) if mark == "#"}
    steps = [(1, 0), (-1, 0), (0, 1), (0, -1)]
    return sum((x + dx, y + dy) not in cells for x, y in cells for dx, dy in steps)


def judge(where, data, tally):
    section = math.pi * data["printer"]["filament_diameter"] ** 2 / 4
    tally.close(section, 2.40528, 1e-5, "section of 1.75 mm")
    for part in data["parts"]:
        tally.close(part["metres"], part["filament_mm3"] / section / 1000, 1e-9, f"{part['name']}: metres")
        tally.close(part["grams"], part["filament_mm3"] / 1000 * data["printer"]["density"], 1e-9, f"{part['name']}: grams")
        tally.close(part["grams"] / part["metres"], 2.9825, 1e-4, f"{part['name']}: grams a metre")
        if part["kind"] == "plate":
            # A quarter of an hour to twenty minutes for a plate round twenty cells (common
            # practice, no source): a compact one, 4 by 5, has a wall of 18 sides, so about a
            # minute a side. Ragged outlines have more wall round the same cells, holed ones strips that tie.
            sides = wall_sides(part["name"])
            tally.check(0.6 < part["minutes"] / sides < 1.4, f"{part['name']}: {part['minutes']} minutes, {sides} sides")

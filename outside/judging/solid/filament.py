"""Filament length and mass from density and diameter, by hand.

A 1.75 mm filament has a section of 2.40528 mm² (π d² / 4); PLA weighs
1.24 g/cm³, so a metre weighs 2.9825 g (makers' data sheets give 1.24 to 1.26).
"""

import math


def judge(where, data, tally):
    section = math.pi * data["printer"]["filament_diameter"] ** 2 / 4
    tally.close(section, 2.40528, 1e-5, "section of 1.75 mm")
    for part in data["parts"]:
        tally.close(part["metres"], part["filament_mm3"] / section / 1000, 1e-9, f"{part['name']}: metres")
        tally.close(part["grams"], part["filament_mm3"] / 1000 * data["printer"]["density"], 1e-9, f"{part['name']}: grams")
        tally.close(part["grams"] / part["metres"], 2.9825, 1e-4, f"{part['name']}: grams a metre")
        if part["kind"] == "plate":
            # A plate for twenty cells takes 15 to 20 minutes (common practice, no source): five
            # by four cells have 18 sides of wall. A label on its tab adds up to 4 minutes.
            minutes = part["minutes"] * 18 / part["lugs"]
            tally.check(15 < minutes < 24, f"{part['name']}: {minutes} minutes for 18 sides of wall")

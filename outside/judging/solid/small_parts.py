"""Small parts: what fits the cylinder of 16 CFR 1501.4 must be named in the cautions.

The rule (U.S. Code of Federal Regulations, title 16, part 1501.4): an article
that fits entirely in the cylinder, in any orientation and uncompressed, is a
small part. Figure 1's inches, 1.25 across and 1.00 to 2.25 deep, are from
memory. Here the upright cylinder of the shallow depth is enough to prove a fit.
"""

import trimesh


def judge(where, data, tally):
    ACROSS, SHALLOW = 31.75, 25.4
    cautions = (where / "cautions.txt").read_text()
    tally.check("16 CFR 1501" in cautions and "Local rules" in cautions, "the cautions name the rule and defer to local ones")
    for part in data["parts"]:
        # The board's tiles stand on its base: no part of it comes loose.
        if not part["file"] or part["kind"] == "board":
            continue
        mesh = trimesh.load(where / "stl" / part["file"].replace(".3mf", ".stl"))
        fits = False
        for body in mesh.split(only_watertight=False):
            fit = trimesh.bounds.minimum_cylinder(body.convex_hull)
            fits |= 2 * fit["radius"] <= ACROSS and fit["height"] <= SHALLOW
        if fits:
            tally.check(part["small_part"], f"{part['name']} holds a small part that the record does not name")
            tally.check(part["name"] in cautions, f"{part['name']} is missing from the cautions")
        elif part["kind"] == "plate":
            tally.check(not part["small_part"], f"{part['name']} is too large for the cylinder")

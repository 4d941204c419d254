"""Layer sections by trimesh: the filament of plates from sections cut by another program.

A plate's wall is four lines wide and printed solid, so its filament is the sum
of its layers' areas times the layer; for every part the layers add up to the
volume as far as a midpoint sum can.
"""

import numpy as np
import shapely
import trimesh


def judge(where, data, tally):
    layer = data["sizes"]["layer"]

    def area(mesh, z):
        cut = mesh.section(plane_origin=[0, 0, z], plane_normal=[0, 0, 1])
        if cut is None:
            return 0.0
        shape = shapely.Polygon()
        for loop in sorted((shapely.Polygon(d[:, :2]) for d in cut.discrete), key=lambda p: -p.area):
            shape = shape.symmetric_difference(loop)
        return shape.area

    for part in data["parts"]:
        if not part["file"]:
            tally.check(False, f"{part['name']} was not written")
            continue
        mesh = trimesh.load(where / "stl" / part["file"].replace(".3mf", ".stl"))
        top = part["size_mm"][2]
        layers = round(top / layer)
        tally.check(layers == part["layers"], f"{part['name']}: {part['layers']} layers instead of {layers}")
        laid = sum(area(mesh, (n + 0.5) * layer) * layer for n in range(layers))
        tally.close(laid, part["volume_mm3"], 0.004 * part["volume_mm3"], f"{part['name']}: layers against volume")
        if part["kind"] == "plate":
            tally.close(part["filament_mm3"], laid, 0.01 * laid, f"{part['name']}: filament")
        else:
            tally.check(0.3 * laid < part["filament_mm3"] <= laid + 1e-6, f"{part['name']}: filament beyond the solid")

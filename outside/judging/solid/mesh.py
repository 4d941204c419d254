"""Closed, volume, body count and bounds by trimesh (PyPI), from the STL files.

STL has no indices and single precision, so this also shows that merging equal
points, as any program does on reading, ties nothing together and opens nothing.
"""

import re
import zipfile
import numpy as np
import trimesh


def judge(where, data, tally):
    for part in data["parts"]:
        if not part["file"]:
            tally.check(False, f"{part['name']} was not written")
            continue
        mesh = trimesh.load(where / "stl" / part["file"].replace(".3mf", ".stl"))
        name = part["name"]
        if part["kind"] != "board":
            tally.check(mesh.is_watertight, f"{name}: not watertight")
            tally.check(mesh.is_winding_consistent, f"{name}: winding")
            tally.check(mesh.body_count == part["bodies"], f"{name}: {mesh.body_count} bodies")
        tally.close(mesh.volume, part["volume_mm3"], 1e-4 * part["volume_mm3"], f"{name}: volume")
        size = mesh.bounds[1] - mesh.bounds[0]
        for axis, found, wanted in zip("xyz", size, part["size_mm"]):
            tally.close(found, wanted, 1e-3, f"{name}: size along {axis}")
        tally.check(abs(mesh.bounds[0][2]) < 1e-4, f"{name}: stands on the bed")
        # The same mesh from the 3MF, read plainly and by index.
        xml = zipfile.ZipFile(where / part["file"]).read("3D/3dmodel.model").decode()
        for block in re.findall(r"<mesh>.*?</mesh>", xml, re.S):
            points = np.array(re.findall(r'<vertex x="(.*?)" y="(.*?)" z="(.*?)"/>', block), float)
            faces = np.array(re.findall(r'<triangle v1="(\d+)" v2="(\d+)" v3="(\d+)"/>', block), int)
            plain = trimesh.Trimesh(points, faces, process=False)
            tally.check(plain.is_watertight and plain.is_winding_consistent, f"{name}: 3MF mesh")
            tally.check(plain.volume > 0, f"{name}: 3MF mesh inside out")

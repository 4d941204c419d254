"""Least gaps of every hinge at every 5°, by manifold3d and by python-fcl (PyPI).

Two libraries that share nothing with each other measure what the records say.
The limit, 0.9 × clearance, is the project's own.
"""

import re
import zipfile
import fcl
import manifold3d
import numpy as np
import trimesh


def judge(where, data, tally):
    pitch, clearance = data["sizes"]["pitch"], data["sizes"]["clearance"]

    def bodies(path):
        xml = zipfile.ZipFile(path).read("3D/3dmodel.model").decode()
        points = np.array(re.findall(r'<vertex x="(.*?)" y="(.*?)" z="(.*?)"/>', xml), float)
        faces = np.array(re.findall(r'<triangle v1="(\d+)" v2="(\d+)" v3="(\d+)"/>', xml), int)
        whole = trimesh.Trimesh(points, faces, process=False)
        return whole.split(only_watertight=True)

    def in_cell(found, cell):
        middle = (np.array(cell) + 0.5) * pitch
        # A body stands in the cell that its own middle is nearest to.
        return min(found, key=lambda b: np.hypot(*(b.bounds.mean(axis=0)[:2] - middle)))

    def turned(mesh, pin, degrees):
        turn = trimesh.transformations.rotation_matrix(np.radians(degrees), [0, 0, 1], [pin[0], pin[1], 0])
        other = mesh.copy()
        other.apply_transform(turn)
        return other

    def gap_manifold(a, b):
        solid = [manifold3d.Manifold(manifold3d.Mesh(m.vertices.astype(np.float32), m.faces.astype(np.uint32))) for m in (a, b)]
        assert all(s.status() == manifold3d.Error.NoError for s in solid)
        return solid[0].min_gap(solid[1], 2.0)

    def gap_fcl(a, b):
        objects = []
        for mesh in (a, b):
            model = fcl.BVHModel()
            model.beginModel(len(mesh.faces), len(mesh.vertices))
            model.addSubModel(mesh.vertices, mesh.faces)
            model.endModel()
            objects.append(fcl.CollisionObject(model, fcl.Transform()))
        return max(0.0, fcl.distance(*objects, fcl.DistanceRequest(), fcl.DistanceResult()))

    for part in data["parts"]:
        if part["kind"] != "piece" or not part["file"]:
            continue
        found = bodies(where / part["file"])
        tally.check(len(found) == part["bodies"], f"{part['name']}: {len(found)} bodies")
        for number, hinge in enumerate(part["hinges"]):
            pin = np.array(hinge["pin"]) * pitch
            leaf, eye = in_cell(found, hinge["leaf"]), in_cell(found, hinge["eye"])
            quadrant = lambda c: {(0, 0): 0, (-1, 0): 1, (-1, -1): 2, (0, -1): 3}[tuple(np.array(c) - hinge["pin"])]
            ahead = (quadrant(hinge["eye"]) - quadrant(hinge["leaf"])) % 4
            start = (1 - ahead) * 90
            for step, wanted in enumerate(hinge["gaps_mm"]):
                other = turned(eye, pin, start + 5 * step)
                what = f"{part['name']} hinge {number} at {5 * step}°"
                by_manifold = gap_manifold(leaf, other)
                tally.close(by_manifold, wanted, 2e-3, what + " (manifold3d)")
                tally.check(by_manifold >= 0.9 * clearance, f"{what}: {by_manifold}")
                if step % 3 == 0:
                    tally.close(gap_fcl(leaf, other), wanted, 2e-3, what + " (fcl)")

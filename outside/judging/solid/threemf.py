"""3MF by the standard's reference library (PyPI lib3mf, 3MF Consortium), strict mode.

Source: 3MF Core Specification 1.4.0 (repository 3MFConsortium/spec_core).
Every file must be read without an error or a warning, in millimetres, with
registered metadata, one object a piece, every mesh closed and oriented, and
every build item in the positive octant and on the bed.
"""

import lib3mf
from lib3mf import get_wrapper


def judge(where, data, tally):
    REGISTERED = {
        "Title", "Designer", "Description", "Copyright", "LicenseTerms",
        "Rating", "CreationDate", "ModificationDate", "Application",
    }
    parts = data["parts"]
    wrapper = get_wrapper()

    def read(path):
        model = wrapper.CreateModel()
        reader = model.QueryReader("3mf")
        reader.SetStrictModeActive(True)
        try:
            reader.ReadFromFile(str(path))
        except Exception as error:  # the library's own exception type varies by release
            tally.check(False, f"{path.name}: not read: {error}")
            return None
        for n in range(reader.GetWarningCount()):
            print(path.name, reader.GetWarning(n))
        tally.check(reader.GetWarningCount() == 0, f"{path.name}: {reader.GetWarningCount()} warnings")
        return model

    def one(path, names, colours=None):
        model = read(path)
        if model is None:
            return
        tally.check(model.GetUnit() == lib3mf.ModelUnit.MilliMeter, f"{path.name}: unit")
        group = model.GetMetaDataGroup()
        meta = {group.GetMetaData(i).GetName(): group.GetMetaData(i).GetValue() for i in range(group.GetMetaDataCount())}
        tally.check(set(meta) <= REGISTERED and "Title" in meta, f"{path.name}: metadata {meta}")
        tally.check(meta.get("Title", "").startswith("Quayside"), f"{path.name}: title {meta.get('Title')}")
        meshes = model.GetMeshObjects()
        while meshes.MoveNext():
            mesh = meshes.GetCurrentMeshObject()
            tally.check(mesh.IsManifoldAndOriented(), f"{path.name}: {mesh.GetName()} not closed and oriented")
            tally.check(mesh.GetName() != "", f"{path.name}: an object without a name")
        items = model.GetBuildItems()
        found = []
        while items.MoveNext():
            item = items.GetCurrent()
            found.append(item.GetObjectResource().GetName())
            box = item.GetOutbox()
            low, high = list(box.MinCoordinate), list(box.MaxCoordinate)
            tally.check(min(low) >= -1e-4, f"{path.name}: {found[-1]} outside the positive octant: {low}")
            tally.check(abs(low[2]) < 1e-4, f"{path.name}: {found[-1]} does not stand on the bed")
            tally.check(max(high[0], high[1]) <= 220 + 1e-4, f"{path.name}: {found[-1]} beyond the bed: {high}")
        tally.check(sorted(found) == sorted(names), f"{path.name}: items {found} instead of {names}")
        materials = model.GetBaseMaterialGroups()
        count = 0
        while materials.MoveNext():
            count += materials.GetCurrentBaseMaterialGroup().GetCount()
        if colours:
            tally.check(count == colours, f"{path.name}: {count} colours instead of {colours}")

    for part in parts:
        tally.check(bool(part["file"]), f"{part['name']} was not written: {part['failures']}")
        if part["file"]:
            one(where / part["file"], [part["name"]], 2 if part["kind"] == "board" else 1)
    on_beds = []
    for path in sorted((where / "beds").glob("*.3mf")):
        model = read(path)
        items = model.GetBuildItems() if model else None
        while items and items.MoveNext():
            on_beds.append(items.GetCurrent().GetObjectResource().GetName())
        one(path, on_beds[-(model.GetBuildItems().Count() if model else 0):])
    tally.check(sorted(on_beds) == sorted(p["name"] for p in parts if p["file"]), "every part stands on one bed")

"""SVG and DXF of the backing, read back by general libraries, sizes in millimetres.

DXF by ezdxf (PyPI), with its own audit; SVG by lxml (PyPI). Figures from the
sizes alone: rim, pitch and half a kerf outside the finished edge.
"""

import re
import ezdxf
from ezdxf import bbox
from lxml import etree


def judge(where, data, tally):
    s, (w, h) = data["sizes"], data["board"]
    # Relief, two walls of so many lines and the seat make the rim; the sheet ends 1 mm within it.
    rim = s["knuckle"] + s["clearance"] + 2 * s["wall_lines"] * s["nozzle"] + s["seat"]
    width, height = (n * s["pitch"] + 2 * (rim - 1) + s["kerf"] for n in (w, h))

    drawing = ezdxf.readfile(where / "backing.dxf")
    audit = drawing.audit()
    tally.check(not audit.has_errors and not audit.has_fixes, f"DXF audit: {audit.errors} {audit.fixes}")
    tally.check(drawing.header.get("$INSUNITS") == 4, "DXF in millimetres ($INSUNITS = 4)")
    layers = {"CUT": [], "ENGRAVE": []}
    for entity in drawing.modelspace():
        layers[entity.dxf.layer].append(entity)
    tally.check(len(layers["CUT"]) == 1 and layers["CUT"][0].is_closed, "one closed cut line")
    tally.check(len(layers["ENGRAVE"]) == w + 1 + h + 1, f"{len(layers['ENGRAVE'])} lattice lines")
    box = bbox.extents(layers["CUT"])
    tally.close(box.size.x, width, 1e-3, "DXF cut width")
    tally.close(box.size.y, height, 1e-3, "DXF cut height")
    box = bbox.extents(layers["ENGRAVE"])
    tally.close(box.size.x, w * s["pitch"], 1e-6, "DXF lattice width")
    tally.close(box.size.y, h * s["pitch"], 1e-6, "DXF lattice height")

    svg = etree.parse(str(where / "backing.svg")).getroot()
    space = {"s": "http://www.w3.org/2000/svg"}
    tally.check(svg.get("width").endswith("mm") and svg.get("height").endswith("mm"), "SVG sizes in mm")
    tally.close(float(svg.get("width")[:-2]), width, 1e-3, "SVG width")
    tally.close(float(svg.get("height")[:-2]), height, 1e-3, "SVG height")
    view = [float(v) for v in svg.get("viewBox").split()]
    tally.close(view[2], float(svg.get("width")[:-2]), 1e-9, "one user unit is a millimetre")
    cut = svg.find("s:g[@id='cut']", space)
    numbers = [tuple(map(float, p)) for p in re.findall(r"[ML](\S+?) (\S+?)(?=[MLZ]|$)", cut[0].get("d"))]
    tally.close(max(p[0] for p in numbers) - min(p[0] for p in numbers), width, 1e-3, "SVG cut width")
    engraved = svg.find("s:g[@id='engrave']", space)
    tally.check(len(engraved) == w + 1 + h + 1, "SVG lattice lines")
    for name in ("pictures/board.svg", "pictures/pieces/grapnel.svg"):
        picture = etree.parse(str(where / name)).getroot()
        tally.check(len(picture) > 20 and picture.find("s:title", space) is not None, f"{name}: titled and drawn")

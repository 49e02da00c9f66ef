"""The drawings of a graded style, one of three, read by general-purpose tools; each is in the manifest.

ezdxf loads each DXF strictly and audits it; area, length and box are reckoned from the vertices and bulges by the textbook
formulas and compared with what GDAL reads from the same file (its arcs stepped at 0.05 degrees) and with the SVG of the same
piece, whose arcs are reckoned again from their radii. With TESTS_LONG=1 every one is read. usage: check_demo_drawings.py FOLDER LEAST_COUNT
"""
import hashlib
import json
import math
import os
import pathlib
import re
import sys
import xml.etree.ElementTree as ElementTree

import ezdxf
from osgeo import gdal, ogr

gdal.UseExceptions()
share = 1 if os.environ.get("TESTS_LONG") else 3
gdal.SetConfigOption("OGR_ARC_STEPSIZE", "0.05")


def bulge_segment(a, b, bulge):
    """Length, signed area of the bow, box points."""
    chord = math.dist(a, b)
    if bulge == 0:
        return chord, 0.0, [a, b]
    sweep = 4 * math.atan(bulge)
    radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    reach = (1 - bulge * bulge) / (4 * bulge)
    centre = (middle[0] - (b[1] - a[1]) * reach, middle[1] + (b[0] - a[0]) * reach)
    start = math.atan2(a[1] - centre[1], a[0] - centre[0])
    points = [a, b]
    for k in range(-8, 9):
        angle = k * math.pi / 2
        if min(start, start + sweep) < angle < max(start, start + sweep):
            points.append((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)))
    return radius * abs(sweep), 0.5 * radius * radius * (sweep - math.sin(sweep)), points


def measure(points):
    """points: (x, y, bulge) of a closed polyline."""
    length = area = 0.0
    box = []
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1]):
        part, bow, at = bulge_segment((x0, y0), (x1, y1), bulge)
        length += part
        area += 0.5 * (x0 * y1 - x1 * y0) + bow
        box += at
    xs, ys = [p[0] for p in box], [p[1] for p in box]
    return length, area, (min(xs), min(ys), max(xs), max(ys))


def svg_area(path):
    """Area of the first cut path of an SVG, arcs from their radii."""
    numbers = re.findall(r"[MLAZ]|-?[0-9.]+(?:e-?\d+)?", path)
    at, start, area, i = None, None, 0.0, 0
    while i < len(numbers):
        command = numbers[i]
        if command == "M":
            at = start = (float(numbers[i + 1]), float(numbers[i + 2]))
            i += 3
        elif command == "L":
            to = (float(numbers[i + 1]), float(numbers[i + 2]))
            area += 0.5 * (at[0] * to[1] - to[0] * at[1])
            at, i = to, i + 3
        elif command == "A":
            radius, large, sweep = float(numbers[i + 1]), int(numbers[i + 4]), int(numbers[i + 5])
            to = (float(numbers[i + 6]), float(numbers[i + 7]))
            half = min(1.0, math.dist(at, to) / (2 * radius))
            angle = 2 * math.asin(half)
            if large:
                angle = 2 * math.pi - angle
            area += 0.5 * (at[0] * to[1] - to[0] * at[1]) + (1 if sweep else -1) * 0.5 * radius**2 * (angle - math.sin(angle))
            at, i = to, i + 8
        elif command == "Z":
            area += 0.5 * (at[0] * start[1] - start[0] * at[1])
            return area
        else:
            raise ValueError("unexpected path command " + command)
    raise ValueError("the cut path is not closed")


def check_dxf(file):
    faults = []
    document = ezdxf.readfile(file)
    auditor = document.audit()
    if auditor.has_errors or auditor.has_fixes:
        faults.append("audit: " + "; ".join(e.message for e in auditor.errors + auditor.fixes))
    if document.header.get("$INSUNITS") != 4 or document.header.get("$MEASUREMENT") != 1:
        faults.append("units are not millimetres")
    cuts, seen = [], set()
    for entity in document.modelspace():
        if entity.dxf.layer == "0":
            faults.append("an entity on layer 0")
        if entity.dxftype() not in ("LWPOLYLINE", "CIRCLE", "TEXT", "POINT", "LINE"):
            faults.append("unexpected " + entity.dxftype())
        if entity.dxftype() == "LWPOLYLINE":
            points = [(x, y, b) for x, y, b in entity.get_points("xyb")]
            key = (entity.dxf.layer, tuple(points))
            if key in seen:
                faults.append("a duplicate polyline on " + entity.dxf.layer)
            seen.add(key)
            pairs = list(zip(points, points[1:] + (points[:1] if entity.closed else [])))
            if any(math.dist(a[:2], b[:2]) < 0.05 for a, b in pairs):
                faults.append("a segment shorter than 0.05 mm")
            if entity.dxf.layer == "CUT":
                if not entity.closed:
                    faults.append("the cut line is open")
                cuts.append(points)
    if len(cuts) != 1:
        return faults + [f"{len(cuts)} cut lines"], None
    length, area, box = measure(cuts[0])

    source = ogr.Open(str(file))  # a layer lives no longer than its source
    layer = source.GetLayer(0)
    layer.SetAttributeFilter("Layer = 'CUT'")
    ring = None
    for feature in layer:
        geometry = feature.GetGeometryRef().GetLinearGeometry(0.01)
        ring = geometry.GetGeometryRef(0).Clone() if geometry.GetGeometryName() == "POLYGON" else geometry
        if abs(ring.Length() - length) > 1e-5 * length:
            faults.append(f"GDAL measures {ring.Length():.5f} mm round it, the formula {length:.5f}")
        points = [ring.GetPoint_2D(i) for i in range(ring.GetPointCount())]
        shoelace = 0.5 * sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:]))
        if abs(abs(shoelace) - abs(area)) > 1e-5 * abs(area):
            faults.append(f"GDAL measures {shoelace:.5f} mm2, the formula {area:.5f}")
        envelope = ring.GetEnvelope()
        for mine, theirs in zip(box, (envelope[0], envelope[2], envelope[1], envelope[3])):
            if abs(mine - theirs) > 0.01:
                faults.append("GDAL finds another box")
    if ring is None:
        faults.append("GDAL finds no cut line")
    if area <= 0:
        faults.append("the cut line runs clockwise")
    return faults, area


def check_svg(file, area):
    root = ElementTree.parse(file).getroot()
    faults = []
    width, view = root.get("width", ""), [float(v) for v in root.get("viewBox", "0 0 0 0").split()]
    if not width.endswith("mm") or abs(float(width[:-2]) - view[2]) > 1e-6:
        faults.append("the physical width is not the view box in millimetres")
    paths = [p.get("d") for g in root.iter("{http://www.w3.org/2000/svg}g") if (g.get("id") or "").upper() == "CUT"
             for p in g.iter("{http://www.w3.org/2000/svg}path")]
    if not paths:
        return faults + ["no cut path"]
    drawn = abs(svg_area(paths[0]))
    if abs(drawn - abs(area)) > 2e-5 * abs(area):
        faults.append(f"its cut path holds {drawn:.4f} mm2, the DXF {area:.4f}")
    return faults


def main(folder, least):
    folder = pathlib.Path(folder)
    manifest = json.loads((folder / "manifest.json").read_text())
    listed = {entry["name"]: entry for entry in manifest["files"]}
    bad = count = read = 0
    for file in sorted(folder.rglob("*.dxf")):
        # One of three is read: of each piece a third, all sizes and widths among them.
        faults, area = check_dxf(file) if count % share == 0 else ([], None)
        if area is not None:
            faults += check_svg(file.with_suffix(".svg"), area)
            read += 1
        for name in (file, file.with_suffix(".svg")):
            entry = listed.get(str(name.relative_to(folder)))
            if entry is None or entry["sha256"] != hashlib.sha256(name.read_bytes()).hexdigest():
                faults.append("not in the manifest with its SHA-256")
        count += 1
        if faults:
            bad += 1
            print(f"{file.relative_to(folder)}: {'; '.join(faults)}")
    for file in sorted((folder / "nests").glob("*.svg")):
        ElementTree.parse(file)
    print(f"{read} of {count} drawings read, {bad} with faults")
    return 1 if bad or count < int(least) or read * share < count else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2]))

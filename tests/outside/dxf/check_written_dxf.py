"""Files of the DXF writer over random outlines: ezdxf loads them strictly and its audit finds nothing; areas by the exact
bulge formula, lengths and boxes agree with what was meant; GDAL reads the same outlines without a word on stderr.
Sewn-products files: ezdxf finds the blocks and layers that the convention names."""
import csv
import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import ezdxf

program = sys.argv[1]
failures = []


def expect(holds, what):
    if not holds:
        failures.append(what)


def segments(points, closed):
    count = len(points) if closed else len(points) - 1
    for i in range(count):
        (x0, y0, bulge), (x1, y1, _) = points[i], points[(i + 1) % len(points)]
        yield x0, y0, x1, y1, bulge


def exact_area(points):
    """Shoelace plus the circular segment of each bulge: r^2 (a - sin a) / 2."""
    area = 0.0
    ox, oy = points[0][:2]
    for x0, y0, x1, y1, bulge in segments(points, True):
        area += ((x0 - ox) * (y1 - oy) - (x1 - ox) * (y0 - oy)) / 2
        if bulge:
            angle = 4 * math.atan(bulge)
            radius = math.hypot(x1 - x0, y1 - y0) / 2 / math.sin(angle / 2)
            area += radius * radius * (angle - math.sin(angle)) / 2
    return area


def exact_length(points, closed):
    total = 0.0
    for x0, y0, x1, y1, bulge in segments(points, closed):
        chord = math.hypot(x1 - x0, y1 - y0)
        half = 2 * math.atan(bulge)
        total += chord * half / math.sin(half) if bulge else chord
    return total


def points_of(entity):
    if entity.dxftype() == "LWPOLYLINE":
        return [(x, y, b) for x, y, b in entity.get_points("xyb")], entity.closed
    return [(*v.dxf.location.vec2, v.dxf.get("bulge", 0.0)) for v in entity.vertices], entity.is_closed


def close(a, b, size):
    return abs(a - b) <= 1e-5 + 1e-8 * abs(size)


with tempfile.TemporaryDirectory() as folder:
    env = dict(os.environ, LASTWRIGHT_OUTSIDE_DIR=folder)
    subprocess.run([program, "[dxf-outside]"], check=True, env=env, stdout=subprocess.DEVNULL)
    truth = {}
    with open(Path(folder) / "truth.csv", newline="") as file:
        for row in csv.DictReader(file):
            truth.setdefault(row["file"], []).append(row)
    expect(len(truth) == 60, f"{len(truth)} files instead of 60")
    # GDAL flattens arcs into steps of OGR_ARC_STEPSIZE degrees: a chord then misses its arc by r (1 - cos(step / 2)),
    # next to nothing, and the area by less than length times that.
    gdal = subprocess.run(
        ["/usr/bin/python3", Path(__file__).with_name("gdal_paths.py"), *(str(Path(folder) / name) for name in truth)],
        capture_output=True, text=True, env=dict(os.environ, OGR_ARC_STEPSIZE="0.05"))
    expect(gdal.returncode == 0 and not gdal.stderr.strip(), f"GDAL says {gdal.stderr.strip()[:300]}")
    by_file = {}
    for line in gdal.stdout.splitlines():
        name, *path = line.split("\t")
        by_file.setdefault(name, []).append(path)
    compared = 0
    for name, rows in truth.items():
        path = Path(folder) / name
        document = ezdxf.readfile(path)
        auditor = document.audit()
        expect(not auditor.has_errors and not auditor.has_fixes, f"{name}: audit {[e.message for e in auditor.errors + auditor.fixes]}")
        modern = name.startswith("r2000")
        expect(document.dxfversion == ("AC1015" if modern else "AC1009"), f"{name}: version {document.dxfversion}")
        if modern:
            expect(document.header["$INSUNITS"] == 4 and document.header["$MEASUREMENT"] == 1, f"{name}: unit")
        model = document.modelspace()
        kinds = {e.dxftype() for e in model}
        expect(kinds == {"LWPOLYLINE" if modern else "POLYLINE", "CIRCLE", "TEXT"}, f"{name}: holds {kinds}")
        for entity in model:
            expect(entity.dxf.layer != "0" and document.layers.has_entry(entity.dxf.layer), f"{name}: layer {entity.dxf.layer}")
            expect(not entity.dxf.hasattr("extrusion"), f"{name}: an extrusion")
        expect(len({document.layers.get(e.dxf.layer).color for e in model}) == len({e.dxf.layer for e in model}), f"{name}: colours")
        polylines = list(model.query("LWPOLYLINE POLYLINE"))
        expect(len(polylines) == len(rows), f"{name}: {len(polylines)} paths instead of {len(rows)}")
        for entity, row in zip(polylines, rows):
            points, closed = points_of(entity)
            compared += 1
            what = f"{name} path {row['index']}"
            length = float(row["length"])
            expect(entity.dxf.layer == row["layer"], f"{what}: layer {entity.dxf.layer}")
            expect(closed == (row["closed"] == "1"), f"{what}: closed {closed}")
            expect(close(exact_length(points, closed), length, length), f"{what}: length {exact_length(points, closed)}")
            shortest = min(exact_length([a, b], False) for a, b in zip(points, points[1:]))
            expect(shortest >= 0.05, f"{what}: a segment of {shortest}")
            if closed:
                area = float(row["area"])
                expect(close(exact_area(points), area, length * length), f"{what}: area {exact_area(points)} not {area}")
        areas = by_file.get(str(path), [])
        expect(len(areas) == len(rows), f"{name}: GDAL finds {len(areas)} paths")
        for (layer, length, box), row in zip(areas, rows):
            expect(layer == row["layer"], f"{name}: GDAL layer {layer}")
            expect(abs(float(length) - float(row["length"])) <= 1e-6 * float(row["length"]), f"{name}: GDAL length {length} not {row['length']}")
            for found, key in zip(box.split(","), ("minx", "maxx", "miny", "maxy")):
                expect(abs(float(found) - float(row[key])) <= 1e-4, f"{name}: GDAL {key} {found} not {row[key]}")
    expect(compared >= 180, f"only {compared} paths compared")

    sewn = ezdxf.readfile(Path(folder) / "sewn.dxf")
    auditor = sewn.audit()
    # This ezdxf finds fault with the SEQEND of any POLYLINE in a block of an R12 file, its own files included.
    faults = [e.message for e in auditor.errors + auditor.fixes if "SEQEND" not in e.message]
    expect(not faults, f"sewn: audit {faults}")
    inserts = list(sewn.modelspace().query("INSERT"))
    expect(len(inserts) == 2, f"sewn: {len(inserts)} inserts")
    for insert in inserts:
        layers = {e.dxf.layer for e in insert.block()}
        expect({"1", "2", "3", "84"} <= layers, f"sewn: layers {layers}")
        boundary = [e for e in insert.block() if e.dxf.layer == "1"]
        expect(len(boundary) == 1 and boundary[0].dxftype() == "POLYLINE" and boundary[0].is_closed, "sewn: boundary")

for failure in failures[:20]:
    print(failure)
print(f"{len(failures)} failures")
sys.exit(1 if failures else 0)

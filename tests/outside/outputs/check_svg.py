#!/usr/bin/python3
"""Reads the sample SVGs by the SVG 1.1 rules and measures them again; xmllint judges the XML."""
import json
import math
import pathlib
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as tree

NS = "{http://www.w3.org/2000/svg}"
folder = pathlib.Path(sys.argv[1])
expected = json.loads((folder / "expected.json").read_text())
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)


def arc_centre(x1, y1, r, large, sweep, x2, y2):
    """SVG 1.1 appendix F.6.5 for circles: centre from end points; and F.6.6: a radius too small is grown."""
    dx, dy = (x1 - x2) / 2, (y1 - y2) / 2
    half = math.hypot(dx, dy)
    r = max(r, half)
    k = math.sqrt(max(0.0, r * r - half * half)) / half
    if large == sweep:
        k = -k
    cx, cy = k * dy, -k * dx
    return cx + (x1 + x2) / 2, cy + (y1 + y2) / 2, r


def area_and_arcs(d):
    tokens = re.findall(r"[MLAZ]|-?\d+(?:\.\d+)?", d)
    check(re.sub(r"[MLAZ \d.\-]", "", d) == "", f"unexpected characters in {d[:60]}")
    i, arcs, area = 0, 0, 0.0
    x = y = sx = sy = 0.0
    while i < len(tokens):
        c = tokens[i]
        i += 1
        if c == "M":
            x, y = sx, sy = [float(t) for t in tokens[i:i + 2]]
            i += 2
        elif c == "L" or c == "Z":
            nx, ny = (sx, sy) if c == "Z" else map(float, tokens[i:i + 2])
            i += 0 if c == "Z" else 2
            area += (x * ny - nx * y) / 2
            x, y = nx, ny
        elif c == "A":
            r, ry, rotation, large, sweep, nx, ny = map(float, tokens[i:i + 7])
            i += 7
            arcs += 1
            check(r == ry and rotation == 0, "an arc is not circular")
            cx, cy, r = arc_centre(x, y, r, int(large), int(sweep), nx, ny)
            a0, a1 = math.atan2(y - cy, x - cx), math.atan2(ny - cy, nx - cx)
            turn = a1 - a0
            if sweep and turn < 0:
                turn += 2 * math.pi
            if not sweep and turn > 0:
                turn -= 2 * math.pi
            check(abs(turn) <= math.pi or large, "the large-arc flag is wrong")
            # Green's theorem along the arc: exact.
            area += 0.5 * (r * r * turn + r * cx * (math.sin(a1) - math.sin(a0)) - r * cy * (math.cos(a1) - math.cos(a0)))
            x, y = nx, ny
    return -area, arcs  # the page's y runs down


for name in ("sheet.svg", "piece.svg", "nest.svg"):
    path = folder / name
    if shutil.which("xmllint"):
        lint = subprocess.run(["xmllint", "--noout", path], capture_output=True, text=True)
        check(lint.returncode == 0 and not lint.stderr, f"{name}: xmllint: {lint.stderr[:200]}")
    else:
        print("xmllint is not installed: well-formedness judged by Python alone")
    root = tree.parse(path).getroot()
    width, height = root.get("width"), root.get("height")
    box = [float(v) for v in root.get("viewBox").split()]
    check(width.endswith("mm") and height.endswith("mm"), f"{name}: the physical size is not in millimetres")
    check(abs(float(width[:-2]) - box[2]) < 1e-9 and abs(float(height[:-2]) - box[3]) < 1e-9,
          f"{name}: one unit of the viewBox is not one millimetre")
    check(root.find(NS + "title") is not None and root.find(NS + "desc") is not None, f"{name}: no title or description")
    check(all(e.tag != NS + "script" for e in root.iter()), f"{name}: markup came through")
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    check(len(ids) == len(set(ids)), f"{name}: an id stands twice")

root = tree.parse(folder / "sheet.svg").getroot()
page = [float(root.get("width")[:-2]), float(root.get("height")[:-2])]
check(all(abs(a - b) < 1e-3 for a, b in zip(page, expected["svg_page"])), f"page {page}, wanted {expected['svg_page']}")
arcs_seen = 0
for group, areas in expected["areas"].items():
    for file in ("sheet.svg", "piece.svg"):
        node = next((g for g in tree.parse(folder / file).getroot().iter(NS + "g") if g.get("id") == group), None)
        check(node is not None, f"{file}: no group {group}")
        if node is None:
            continue
        measured = []
        for e in node:
            if e.tag == NS + "path":
                area, arcs = area_and_arcs(e.get("d"))
                arcs_seen += arcs
                measured.append(area)
            elif e.tag == NS + "circle":
                measured.append(math.pi * float(e.get("r")) ** 2)
        check(len(measured) == len(areas), f"{file}, {group}: {len(measured)} outlines, wanted {len(areas)}")
        for got, want in zip(measured, areas):
            # each of some 20 points may be 0.00005 mm off
            check(abs(got - want) < 0.002, f"{file}, {group}: area {got:.5f}, wanted {want:.5f}")
            print(f"{file} {group}: area {got:.4f} mm2, engine {want:.4f}, difference {got - want:.5f}")
check(arcs_seen > 10, "no arcs were met")
for failure in failures:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

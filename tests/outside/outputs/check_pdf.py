#!/usr/bin/python3
"""Measures the sample PDFs with poppler: page sizes, the check square, the outline against the engine's points; and the
structure with qpdf where it is installed."""
import json
import math
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree

if not shutil.which("pdftocairo") or not shutil.which("pdfinfo"):
    print("skipped: poppler-utils is not installed")
    sys.exit(77)
try:
    from shapely.geometry import LinearRing, Point
except ImportError:
    print("skipped: shapely is not installed")
    sys.exit(77)

folder = pathlib.Path(sys.argv[1])
expected = json.loads((folder / "expected.json").read_text())
MM = 25.4 / 72
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)


def matrix_of(element):
    m = re.match(r"matrix\(([^)]*)\)", element.get("transform") or "")
    return [float(v) for v in re.split(r"[ ,]+", m.group(1).strip())] if m else [1, 0, 0, 1, 0, 0]


def points_of(element):
    """End points and Bezier samples of a path, in millimetres of the page, y down."""
    a, b, c, d, e, f = matrix_of(element)
    points, at = [], (0.0, 0.0)
    for command, rest in re.findall(r"([MLCZ])([^MLCZ]*)", element.get("d")):
        v = [float(n) for n in rest.split()]
        if command in "ML" and v:
            at = (v[0], v[1])
            points.append(at)
        elif command == "C":
            p = [at, (v[0], v[1]), (v[2], v[3]), (v[4], v[5])]
            for k in range(1, 9):
                t = k / 8
                w = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3]
                points.append((sum(w[i] * p[i][0] for i in range(4)), sum(w[i] * p[i][1] for i in range(4))))
            at = p[3]
    return [((a * x + c * y + e) * MM, (b * x + d * y + f) * MM) for x, y in points]


def stroke_of(element):
    style = {k.strip(): v.strip() for k, _, v in (s.partition(":") for s in (element.get("style") or "").split(";"))}
    style.update({k: v for k, v in element.attrib.items() if k.startswith("stroke")})
    return style.get("stroke", "none"), float(style.get("stroke-width", 0))


ring = LinearRing(expected["outline"])
worst, squares, on_pages = 0.0, 0, 0
for name, wanted in expected["pdf"].items():
    pdf = folder / f"{name}.pdf"
    info = subprocess.run(["pdfinfo", "-f", "1", "-l", "999", pdf], capture_output=True, text=True)
    check(info.returncode == 0 and not info.stderr, f"{name}: pdfinfo: {info.stderr}")
    sizes = re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", info.stdout)
    check(len(sizes) == len(wanted["tiles"]), f"{name}: {len(sizes)} pages, wanted {len(wanted['tiles'])}")
    for w, h in sizes:
        check(abs(float(w) * MM - wanted["page"][0]) < 0.01 and abs(float(h) * MM - wanted["page"][1]) < 0.01,
              f"{name}: a page of {float(w) * MM:.3f} x {float(h) * MM:.3f} mm, wanted {wanted['page']}")
    if shutil.which("qpdf"):
        qpdf = subprocess.run(["qpdf", "--check", pdf], capture_output=True, text=True)
        check(qpdf.returncode == 0 and "WARNING" not in qpdf.stdout + qpdf.stderr, f"{name}: qpdf: {qpdf.stdout}{qpdf.stderr}")
        rewritten = subprocess.run(["qpdf", "--qdf", "--object-streams=disable", pdf, "-"], capture_output=True).stdout
        check(re.search(rb"/PrintScaling\s+/None", rewritten), f"{name}: the catalog in force does not ask for no scaling")
    else:
        print("qpdf is not installed: structure judged by poppler alone")
    for number, tile in enumerate(wanted["tiles"], 1):
        with tempfile.TemporaryDirectory() as scratch:
            svg = pathlib.Path(scratch) / "page.svg"
            subprocess.run(["pdftocairo", "-svg", "-noshrink", "-nocenter", "-origpagesizes", "-f", str(number), "-l", str(number), pdf, svg], check=True)
            root = tree.parse(svg).getroot()
        text = subprocess.run(["pdftotext", "-f", str(number), "-l", str(number), pdf, "-"], capture_output=True, text=True).stdout
        check(tile["name"] in " ".join(text.split()), f"{name} page {number}: its name {tile['name']} is not on it")
        found_square = found_outline = False
        x0 = tile["shown"][0] - wanted["margin"]
        y0 = tile["shown"][3] + wanted["margin"]
        for e in root.iter("{http://www.w3.org/2000/svg}path"):
            stroke, width = stroke_of(e)
            if stroke == "none":
                continue
            points = points_of(e)
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            size = (max(xs) - min(xs), max(ys) - min(ys))
            if abs(size[0] - 100) < 2 and abs(size[1] - 100) < 2:
                found_square = True
                squares += 1
                check(abs(size[0] - 100) < 0.01 and abs(size[1] - 100) < 0.01, f"{name} page {number}: check square {size}")
            drawing = [(x0 + x, y0 - y) for x, y in points]
            if len(points) > 20 and size[0] > 200 and size[1] > 200:
                found_outline = True
                on_pages += 1
                off = max(ring.distance(Point(p)) for p in drawing)
                worst = max(worst, off)
                check(off < 0.005, f"{name} page {number}: the outline is {off:.4f} mm off")
        check(found_square or "four corner marks must measure 100 mm" in " ".join(text.split()), f"{name} page {number}: no check square")
        check(found_outline, f"{name} page {number}: no outline")

check(squares >= 4 and on_pages >= 4, "too little was measured")
print(f"{squares} check squares within 0.01 mm, outline on {on_pages} pages, worst {worst:.5f} mm off")
for failure in failures:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

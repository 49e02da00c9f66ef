"""Seams and girths of a graded style, reckoned again by shapely (GEOS) from the written drawings and the style's tables alone.

Net lines are read from the DXF files with ezdxf and flattened; a seam edge is the stretch of its outline between its two corners, whose
places stand in grade-sheet.csv; its length is compared with seams.csv. The widths that pieces put round the
last are intersections of the graded girth lines with the union of the net polygons of each layer; they are compared with
girths-in-pieces.csv and with the girth that the style's increments give. usage: check_demo_seams.py STYLE.json FOLDER
"""
import csv
import pathlib
import sys

from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from check_demo_grade import Table, number
from graded_style import GradedStyle

style_file, folder = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
graded = GradedStyle(style_file, folder)
style, points = graded.style, graded.points
table = Table(style)


def rows(name):
    return list(csv.DictReader(open(folder / name, encoding="utf-8")))


written = {(r["size"], r["width"]) for r in rows("seams.csv")}
cells = [(s, w) for s, w in [("5", "D"), ("8", "F"), ("10.5", "E"), ("13", "H")] if (s, w) in written]
assert len(cells) == 4

worst_length, seams = 0.0, 0
for row in rows("seams.csv"):
    if (row["size"], row["width"]) not in cells:
        continue
    for side, column in (("one", "length of one, mm"), ("other", "length of other, mm")):
        piece, edge = row[side].split(": ")
        again = graded.edge(piece, edge, row["size"], row["width"]).length
        off = abs(again - float(row[column]))
        if off > worst_length:
            worst_length, where = off, (row["seam"], side, row["size"], row["width"])
        seams += 1
    assert abs(float(row["beyond the base, mm"])) < 0.1 or row["sizes tied on"], row
print(f"{seams} seam edges, lengths at most {worst_length:.4f} mm from shapely ({where})")

girth_lines = {}
for name, forme in style["formes"].items():
    for rule in forme["rules"]:
        key = rule.get("measure_line") or rule.get("check_line")
        if key:
            girth_lines[(name, key)] = (rule["from"], rule["to"])

worst_width = worst_girth = 0.0
checked = 0
for row in rows("girths-in-pieces.csv"):
    size, width = row["size"], row["width"]
    if (size, width) not in cells:
        continue
    total = 0.0
    for part in style["girths"][row["girth"]]:
        a, b = (points[(part["forme"], n, size, width)] for n in girth_lines[(part["forme"], part["line"])])
        layers = {p.get("layer", "") for p in style["pieces"] if p["forme"] == part["forme"]} - {""}
        mine = [p["name"] for p in style["pieces"] if p["forme"] == part["forme"] and (not layers or p.get("layer", row["layer"]) == row["layer"])]
        union = unary_union([Polygon(graded.net_ring(name, size, width)) for name in mine]).buffer(1e-4)
        total += float(number(part.get("times", 1))) * LineString([a, b]).intersection(union).length
    base = float(style["measures"][row["girth"]]["base"].split()[0])
    asked = base + table.at(size, width)[0][row["girth"]]
    worst_width = max(worst_width, abs(total - float(row["in pieces, mm"])))
    worst_girth = max(worst_girth, abs(total - asked), abs(float(row["asked, mm"]) - asked))
    checked += 1
print(f"{checked} girths in pieces: at most {worst_width:.4f} mm from shapely, at most {worst_girth:.4f} mm from what the last asks")
sys.exit(0 if seams > 100 and checked >= 12 and worst_length < 0.01 and worst_width < 0.02 and worst_girth < 0.1 else 1)

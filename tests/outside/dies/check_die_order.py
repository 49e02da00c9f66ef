"""A written die order, added up again and compared with its drawings.

Totals and prices from the XLSX by openpyxl against the totals stated there, in the JSON and in the CSV; every die's DXF
loaded strictly by ezdxf, its rule length from vertices and bulges against the order; the smallest box of a die of every piece
without a fold by shapely (GEOS); every size and width of every piece served exactly once. usage: check_die_order.py FOLDER
"""
import collections
import csv
import json
import math
import pathlib
import sys

import ezdxf
import openpyxl
from ezdxf.math import bulge_to_arc
from shapely.geometry import MultiPoint


def rule_length(polyline):
    vertices = list(polyline.get_points("xyb"))
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        chord = math.dist((x0, y0), (x1, y1))
        total += chord if bulge == 0 else chord * (1 + bulge * bulge) / (4 * abs(bulge)) * abs(4 * math.atan(bulge))
    return total


def stepped(polyline):
    """Points on the outline, so dense that a chord's bow is below 0.001 mm at any radius above 2 mm."""
    vertices = list(polyline.get_points("xyb"))
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        yield x0, y0
        if bulge == 0:
            continue
        centre, start, end, radius = bulge_to_arc((x0, y0), (x1, y1), bulge)
        sweep = (end - start) % (2 * math.pi)
        count = max(2, math.ceil(radius * sweep / 0.1))
        for k in range(count + 1):
            angle = start + sweep * k / count
            yield centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)


def smallest_box(polyline):
    corners = list(MultiPoint(list(stepped(polyline))).minimum_rotated_rectangle.exterior.coords)
    sides = sorted(math.dist(a, b) for a, b in zip(corners, corners[1:3]))
    return sides[1], sides[0]


def main(folder):
    order = json.loads((folder / "die-order.json").read_text(encoding="utf-8"))
    book = openpyxl.load_workbook(folder / "die-order.xlsx")
    rows = list(book["dies"].iter_rows(values_only=True))
    head = {title: k for k, title in enumerate(rows[0])}
    lines = rows[1:]
    totals = {row[0]: row[1] for row in book["totals"].iter_rows(min_row=2, values_only=True)}
    assert len(lines) == len(order["dies"]), "one row a die"

    def total(column):
        return sum((line[head[column]] or 0) * line[head["dies to make"]] for line in lines)

    assert sum(line[head["dies to make"]] for line in lines) == totals["dies to make"] == order["totals"]["dies_to_make"]
    for column, name, key in (("rule outside, mm", "rule outside", "rule_outside_mm"), ("rule inside, mm", "rule inside", "rule_inside_mm"),
                              ("corners", "corners", "corners"), ("punches", "punches", "punches")):
        assert math.isclose(total(column), totals[name], rel_tol=1e-9, abs_tol=1e-6), (column, total(column), totals[name])
        assert math.isclose(total(column), order["totals"][key], rel_tol=1e-9, abs_tol=1e-3 * len(lines)), column
    if "price" in totals:
        price = sum(line[head["price"]] for line in lines)
        assert math.isclose(price, totals["price"], rel_tol=1e-9), (price, totals["price"])

    with open(folder / "die-order.csv", newline="", encoding="utf-8") as file:
        table = list(csv.reader(file))
    assert len(table) == len(rows) and table[0] == list(rows[0])
    for row, line in zip(table[1:], lines):
        assert row[head["die"]] == line[head["die"]]
        assert abs(float(row[head["rule outside, mm"]]) - line[head["rule outside, mm"]]) <= 0.0501

    served = collections.defaultdict(collections.Counter)
    drawings, worst, boxes, boxed = 0, 0.0, {}, 0.0
    for die in order["dies"]:
        for at in die["serves"]:
            served[die["piece"]][at["size"], at["width"]] += 1
        files = [die[key] for key in ("file", "file_mirrored") if key in die]
        assert len(files) == die["dies_to_make"] or die["owned"], die["die"]
        for name in files:
            space = ezdxf.readfile(folder / name).modelspace()
            outlines = [e for e in space if e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "CUT"]
            assert len(outlines) == 1 and outlines[0].closed, name
            inner = sum(rule_length(e) for e in space if e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "CUT_OUT")
            worst = max(worst, abs(rule_length(outlines[0]) - die["rule_outside_mm"]), abs(inner - die["rule_inside_mm"]))
            if die["hands"].startswith("pair") and die["piece"] not in boxes:  # what is cut double is symmetric
                boxes[die["piece"]] = smallest_box(outlines[0])
                boxed = max(boxed, abs(math.prod(die["box_mm"]) / math.prod(boxes[die["piece"]]) - 1))
            drawings += 1
    assert drawings > 0 or all(die["owned"] for die in order["dies"]), "no drawing was checked"
    assert worst <= 1e-3, worst
    assert len(boxes) > 0 and boxed <= 1e-4, boxed  # two boxes of nearly one area may have other sides
    run = {at for piece in served.values() for at in piece}
    for piece, count in served.items():
        assert set(count) == run, f"{piece} is not served in every size and width"
        assert set(count.values()) == {1}, f"{piece} is served twice somewhere"
    print(f"{len(lines)} lines, {drawings} drawings, {len(served)} pieces x {len(run)} sizes and widths; "
          f"worst rule length difference {worst:.2e} mm; {len(boxes)} boxes within {boxed:.1e} of the smallest's area")


main(pathlib.Path(sys.argv[1]))

"""A written die order, added up again and compared with its drawings.

Totals and prices from the XLSX by openpyxl against the totals stated there, in the JSON and in the CSV; every die's DXF
loaded strictly by ezdxf, its rule length from vertices and bulges against the order; the smallest box of a die of every piece
without a fold by shapely (GEOS); every size and width of every piece served exactly once; of every forty-first drawing what the order says of punches, nicks, special
punches, corners, joint, bridges and stamp, measured by shapely. The numbers of dies
by tolerance are those of the guide's page. usage: check_die_order.py FOLDER GUIDE
"""
import collections
import csv
import html
import json
import math
import pathlib
import re
import sys

import ezdxf
import numpy as np
import openpyxl
from ezdxf.math import bulge_to_arc
from shapely.geometry import LineString, MultiPoint, Point, Polygon


def rule_length(polyline):
    vertices = list(polyline.get_points("xyb"))
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        chord = math.dist((x0, y0), (x1, y1))
        total += chord if bulge == 0 else chord * (1 + bulge * bulge) / (4 * abs(bulge)) * abs(4 * math.atan(bulge))
    return total


def stepped(polyline, closed=True):
    """Points on the outline, so dense that a chord's bow is below 0.001 mm at any radius above 2 mm."""
    vertices = list(polyline.get_points("xyb"))
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + (vertices[:1] if closed else [])):
        yield x0, y0
        if bulge == 0:
            continue
        centre, start, end, radius = bulge_to_arc((x0, y0), (x1, y1), bulge)
        sweep = (end - start) % (2 * math.pi)
        count = max(2, math.ceil(radius * sweep / 0.1))
        for k in range(count + 1):
            angle = start + sweep * (k if bulge > 0 else count - k) / count
            yield centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)
    if not closed:
        yield vertices[-1][:2]


def smallest_box(polyline):
    """One side of the smallest rectangle lies along an edge of the convex hull."""
    hull = np.array(MultiPoint(list(stepped(polyline))).convex_hull.exterior.coords)
    along = np.diff(hull, axis=0)
    along = along[np.hypot(*along.T) > 1e-9]
    along /= np.hypot(*along.T)[:, None]
    across = np.column_stack((-along[:, 1], along[:, 0]))
    lengths, widths = np.ptp(hull @ along.T, axis=0), np.ptp(hull @ across.T, axis=0)
    least = np.argmin(lengths * widths)
    return max(lengths[least], widths[least]), min(lengths[least], widths[least])


def punch_size(polyline, area):
    """Greatest length and the width square to it; of what fills nine tenths of its smallest box the sides of that."""
    box = smallest_box(polyline)
    if area >= 0.9 * box[0] * box[1]:
        return box
    hull = np.array(MultiPoint(list(stepped(polyline))).convex_hull.exterior.coords)
    apart = hull[:, None] - hull[None]
    tips = apart.reshape(-1, 2)[np.argmax(np.hypot(*apart.reshape(-1, 2).T))]
    tips = tips / np.hypot(*tips)
    return np.ptp(hull @ tips), np.ptp(hull @ np.array([-tips[1], tips[0]]))


def turns(polyline):
    """At each vertex: the angle the rule turns by, and the length along the outline to it."""
    vertices = list(polyline.get_points("xyb"))
    found, run = [], 0.0
    for k, (x, y, bulge) in enumerate(vertices):
        xp, yp, before = vertices[k - 1]
        xn, yn, _ = vertices[(k + 1) % len(vertices)]
        arriving = math.atan2(y - yp, x - xp) + 2 * math.atan(before)
        leaving = math.atan2(yn - y, xn - x) - 2 * math.atan(bulge)
        found.append((math.degrees(abs((leaving - arriving + math.pi) % (2 * math.pi) - math.pi)), run))
        chord = math.dist((x, y), (xn, yn))
        run += chord if bulge == 0 else chord * (1 + bulge * bulge) / (4 * abs(bulge)) * abs(4 * math.atan(bulge))
    return found, run


def check_work(die, row, space, outline, name, mirrored):
    """What the order says of punches, nicks, corners, special punches, joint and stamp, measured on the drawing."""
    area = Polygon(list(stepped(outline)))
    ring = area.exterior
    side = -1 if mirrored else 1
    circles = collections.Counter(round(2 * e.dxf.radius, 2) for e in space if e.dxftype() == "CIRCLE" and e.dxf.layer == "HOLE")
    assert circles == {p["diameter_mm"]: p["count"] for p in die["punches_by_diameter"]}, (name, circles, die["punches_by_diameter"])
    assert sum(circles.values()) == die["punches"], name

    nicks = [LineString(list(stepped(e, False)) if e.dxftype() == "LWPOLYLINE" else [e.dxf.start[:2], e.dxf.end[:2]])
             for e in space if e.dxf.layer == "NICK"]
    assert len(nicks) == len(die["nicks_told"]) == die["nicks"], name
    for told in die["nicks_told"]:
        mouth = Point(side * told["at"][0], told["at"][1])
        nick = min(nicks, key=mouth.distance)
        assert mouth.distance(nick) < 0.3 and mouth.distance(ring) < 0.3, (name, told)
        ends = nick.coords[0], nick.coords[-1]
        base = Point(ends[0]) if told["form"] == "slit" else LineString(ends)
        depth = max(base.distance(Point(p)) for p in nick.coords)
        assert abs(depth - told["depth_mm"]) <= 0.0501, (name, depth, told)
        tip = max(nick.coords, key=lambda p: base.distance(Point(p)))
        half = Point((tip[0] + mouth.x) / 2, (tip[1] + mouth.y) / 2)
        assert area.contains(half) == (told["direction"] == "into the piece"), (name, told)

    cut_outs = [e for e in space if e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "CUT_OUT"]
    bent, special, inner_corners = 0.0, collections.Counter(), 0
    for e in cut_outs:
        shape = Polygon(list(stepped(e))).buffer(0)  # arcs stepped meet within rounding
        if rule_length(e) < 40 or shape.buffer(-1.2).is_empty:  # no circle of 2.4 mm goes in
            long, across = punch_size(e, shape.area)
            special[round(long, 1)] += 1
            told = [p for p in die["special_punches"] if abs(p["length_mm"] - long) < 0.06 and abs(p["width_mm"] - across) < 0.06]
            assert told, (name, long, across, die["special_punches"])
        else:
            bent += rule_length(e)
            inner_corners += sum(turn >= 20.0 for turn, _ in turns(e)[0])
    assert sum(special.values()) == sum(p["count"] for p in die["special_punches"]), name
    assert abs(bent - die["rule_inside_mm"]) <= 1e-3, (name, bent)

    bends, whole = turns(outline)
    corners = sum(turn >= 20.0 for turn, _ in bends) + inner_corners
    assert corners == die["corners"], (name, corners, die["corners"])
    joint = die["joint"]
    at = Point(side * joint["at"][0], joint["at"][1])
    assert at.distance(ring) < 2e-3, (name, joint)
    share = ring.project(at) / ring.length * whole
    apart = lambda s: min(abs(s - share), whole - abs(s - share))
    hazards = [run for turn, run in bends if turn >= 0.6]
    hazards += [ring.project(Point(side * n["at"][0], n["at"][1])) / ring.length * whole for n in die["nicks_told"]]
    assert min(map(apart, hazards), default=whole) >= joint["clear_mm"] - 0.5, (name, joint, min(map(apart, hazards)))
    strokes = [LineString([e.dxf.start[:2], e.dxf.end[:2]]) if e.dxftype() == "LINE" else LineString(list(stepped(e, False)))
               for e in space if e.dxf.layer == "GUIDE"]
    assert sum(at.distance(s) < 0.8 and abs(s.length - 8) < 1e-3 for s in strokes) == 2, (name, "the joint's two strokes")
    for bridge in die["bridges"]:
        drawn = LineString([(side * x, y) for x, y in (bridge["from"], bridge["to"])])
        assert area.buffer(0.2).contains(drawn), (name, "a bridge leaves the die")
        assert any(s.hausdorff_distance(drawn) < 1e-3 for s in strokes), (name, "a bridge is not drawn")
    texts = [e.dxf.text if e.dxftype() == "TEXT" else e.text for e in space if e.dxf.layer == "TEXT"]
    stamp = die["stamp_mirrored" if mirrored else "stamp"]
    assert any(stamp in text for text in texts), (name, stamp, texts)
    hand = die["hand_mirrored" if mirrored else "hand"]
    assert stamp.endswith(die["die"]) and (f" / {hand} / " in stamp if hand else stamp.count(" / ") == 3), stamp
    for fact in ("material", "rule height", "rule thickness", "bevel", "handle", "cutting edges", "making tolerance, either way", "layers under a stroke", "where bridges lie", "quantity of each die", "order number", "date", "contact", "delivery wanted"):
        cell = row.get(fact, row.get(fact + ", mm"))
        said = [text.split(": ", 1)[1] for text in texts if text.startswith(fact + ": ")]
        if fact == "where bridges lie" and not die["bridges"]:
            assert cell == "none is proposed" and not said, (name, cell, said)
            continue
        assert cell and said == [cell], (name, fact, cell, said)
    assert row["order number"] == "17-A" and row["contact"] == "not stated" and row["rule thickness, mm"].startswith("not stated"), row
    assert {"rule height", "rule thickness", "bevel", "handle", "quantity of each die", "making tolerance, either way", "layers under a stroke"} == set(die["not_stated"]), die["not_stated"]
    assert {e.dxf.layer for e in space} <= {"CUT", "CUT_OUT", "HOLE", "NICK", "PRICK", "TEXT", "GUIDE"}, name


def main(folder, guide):
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
        assert math.isclose(total(column), order["totals"][key], rel_tol=1e-9, abs_tol=1e-4), column  # exact values, rounded once
    if "price" in totals:
        price = sum(line[head["price"]] for line in lines)
        assert math.isclose(price, totals["price"], rel_tol=1e-9), (price, totals["price"])

    with open(folder / "die-order.csv", newline="", encoding="utf-8") as file:
        table = list(csv.reader(file))
    assert len(table) == len(rows) and table[0] == list(rows[0])
    for row, line in zip(table[1:], lines):
        assert row[head["die"]] == line[head["die"]]
        assert abs(float(row[head["rule outside, mm"]]) - line[head["rule outside, mm"]]) <= 0.0501

    rows_of = {row[0]: row for row in table[1:]}
    with open(folder / "die-punches.csv", newline="", encoding="utf-8") as file:
        punches = list(csv.DictReader(file))
    assert sum(int(row["punches in all"]) for row in punches) == totals["punches"] + totals["special punches"], "punches by diameter"
    with open(folder / "die-notes.csv", newline="", encoding="utf-8") as file:
        notes = list(csv.DictReader(file))
    assert [tuple(row.values()) for row in notes] == list(book["notes"].iter_rows(min_row=2, values_only=True))
    page = html.unescape((folder / "die-order.html").read_text(encoding="utf-8"))
    said = [row["note"] for row in notes if row["kind"] in ("not stated", "note", "caution", "how to read it")]
    assert len(said) > 15 and all(words in page for words in said), "what the notes say stands on the page"
    paragraphs = re.findall(r"<p class=.how.>([^<]*)</p>|<li>([^<]*)</li>", page)
    spoken = " ".join(row["note"] for row in notes)
    assert all(note in spoken for note in order["notes"] + order["order_notes"] + order["not_stated"]), "what the JSON says stands in the notes"
    assert sum((one or other) in spoken for one, other in paragraphs) >= 14, "what the page says stands in the notes"
    assert all(row[head["notes of the order"]].startswith("in die-notes.csv") and row[head["checks of the style"]] == "passed" for row in table[1:])
    assert any(note.startswith("special punches of the toe cap are not the same in every size: 2 shapes grow in length from ") for note in order["order_notes"]), order["order_notes"]

    served = collections.defaultdict(collections.Counter)
    drawings, worked, worst, boxes, boxed = 0, 0, 0.0, {}, 0.0
    for die in order["dies"]:
        for at in die["serves"]:
            served[die["piece"]][at["size"], at["width"]] += 1
        files = [die[key] for key in ("file", "file_mirrored") if key in die]
        assert len(files) == die["dies_to_make"] or die["owned"], die["die"]
        for name in files:
            unboxed = die["hands"].startswith("pair") and die["piece"] not in boxes
            if drawings % 8 != 0 and not unboxed:  # an eighth of them is read, and one of each piece
                assert (folder / name).is_file(), name
                drawings += 1
                continue
            space = ezdxf.readfile(folder / name).modelspace()
            outlines = [e for e in space if e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "CUT"]
            assert len(outlines) == 1 and outlines[0].closed, name
            worst = max(worst, abs(rule_length(outlines[0]) - die["rule_outside_mm"]))
            if drawings % 80 == 0:
                check_work(die, dict(zip(table[0], rows_of[die["die"]])), space, outlines[0], name, name == die.get("file_mirrored"))
                worked += 1
            if die["hands"].startswith("pair") and die["piece"] not in boxes:  # what is cut double is symmetric
                boxes[die["piece"]] = smallest_box(outlines[0])
                boxed = max(boxed, abs(math.prod(die["box_mm"]) / math.prod(boxes[die["piece"]]) - 1))
            drawings += 1
    curve = order["tolerance_curve"]
    assert [point["tolerance_mm"] for point in curve] == [0.3, 0.5], "the curve is that of short_curve.json"
    assert all(more["dies"] <= less["dies"] for less, more in zip(curve, curve[1:])), "more dies at a larger tolerance"
    assert all(point["bound"] <= point["dies"] and point["proven"] == (point["bound"] == point["dies"]) for point in curve), "bounds of the curve"
    guided = [[cell.strip() for cell in line.strip("|\n").split("|")] for line in guide.read_text(encoding="utf-8").splitlines()
            if line.startswith(("| tolerance for all edges, mm |", "| dies |", "| at least, by the proof |"))]
    printed = {float(tolerance): (dies, least) for tolerance, dies, least in zip(*(row[1:] for row in guided))}
    for point in curve:
        dies, least = (cell.replace(",", "") for cell in printed[point["tolerance_mm"]])
        assert point["dies"] == int(dies), f"the guide says {dies} dies at {point['tolerance_mm']} mm, the order {point['dies']}"
        assert point["bound"] == int(dies if least == "the same" else least), f"the guide's proof at {point['tolerance_mm']} mm"
    assert order["totals"]["dies_to_make"] == curve[0]["dies"], "the order is made at the curve's first tolerance"
    page = (folder / "die-order.html").read_text(encoding="utf-8")
    heads = re.findall(r"<th[^>]*>([^<]*)</th>", page[page.index('class="dies'):])
    for column in ("punches", "nicks"):  # the long ones, which would make the rows tall
        assert re.search(rf"\.dies td:nth-child\({heads.index(column) + 1}\)[^}}]*{{min-width:20ch}}", page), f"the column {column} has no width of its own"
    assert drawings > 0 or all(die["owned"] for die in order["dies"]), "no drawing was checked"
    assert worst <= 1e-3, worst
    assert len(boxes) > 0 and boxed <= 1e-4, boxed  # two boxes of nearly one area may have other sides
    run = {at for piece in served.values() for at in piece}
    for piece, count in served.items():
        assert set(count) == run, f"{piece} is not served in every size and width"
        assert set(count.values()) == {1}, f"{piece} is served twice somewhere"
    # Drawn on each other with the toe to the right, the inside of a left boot is the outside of a right one.
    hands = {die["piece"]: (die["drawn_foot"], die["hand"], die.get("hand_mirrored")) for die in order["dies"] if die["hands"].startswith("pair")}
    for piece, foot in {"outside quarter": ("right", "R", "L"), "inside quarter": ("left", "L", "R"), "counter": ("both", "", "M")}.items():
        assert hands.get(piece, foot) == foot, (piece, hands[piece])
    print(f"{len(lines)} lines, {drawings} drawings, the work of {worked} measured, {len(served)} pieces x {len(run)} sizes and widths; "
          f"worst rule length difference {worst:.2e} mm; {len(boxes)} boxes within {boxed:.1e} of the smallest's area")


main(pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]))

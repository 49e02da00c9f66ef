#!/usr/bin/python3
"""The sewn-products drawing as another program would take it: read by ezdxf, its base graded by the text table alone.

Compared are the lines and the splines (scipy) through the points of the base as moved by the rules with the true arcs,
both ways (0.1 mm), every numbered point of every block with base + move (1e-6 mm grid: 3e-6 mm), the dense curve on layer 84
with the true arcs of the R12 file for the die, both ways, and the structure: R12, audit, layers by number, one block a
piece, size and width.
What the texts must say is read from the style, whichever it is.
usage: check_sewn.py FOLDER STYLE.json DATE
"""
import json
import math
import os
import pathlib
import sys

try:
    import ezdxf
    import numpy
    from scipy.interpolate import CubicSpline
    from shapely.geometry import LinearRing, LineString, Point
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

folder, date = pathlib.Path(sys.argv[1]), sys.argv[3]
style = json.loads(pathlib.Path(sys.argv[2]).read_text(encoding="utf-8"))
per_pair = {piece["name"]: piece.get("per_pair", 2) for piece in style["pieces"]}
written = sorted(path.name for path in (folder / "pieces").iterdir() if path.is_dir())  # the pieces of this set
failures = []
# Layers by number as published for ASTM D6673: boundary, turn and curve points, notches, mirror, grain, internal lines,
# cut-outs, drill holes, sew lines, text; 84 to 87 the dense curves.
LAYERS = {"1", "2", "3", "4", "6", "7", "8", "11", "13", "14", "15", "84", "85", "86", "87"}


def expect(holds, what):
    if not holds:
        failures.append(what)


def read_table(path):
    """{(piece, rule): {size: (dx, dy)}}, base"""
    moves, base, sizes = {}, None, None
    for line in path.read_text(encoding="utf-8").splitlines():
        if not line or line.startswith("#"):
            continue
        cells = line.split("\t")
        if cells[0] == "base" and base is None:
            base = cells[1]
        elif cells[0] == "columns" and sizes is None:
            sizes = [c[:-3] for c in cells[4::2]]
        elif cells[0] == "end" and len(cells) == 2:
            expect(int(cells[1]) == len(moves), f"the end speaks of {cells[1]} rules, {len(moves)} are there")
        else:
            numbers = [float(c) for c in cells[3:]]
            key = (cells[0], int(cells[2]))
            expect(key not in moves, f"rule {key} twice")
            moves[key] = dict(zip(sizes, zip(numbers[0::2], numbers[1::2])))
    return moves, base, sizes


def ring_of(entity):
    """The true arcs of a polyline with bulges as a fine ring: chords within 1e-4 mm."""
    vertices = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    points = []
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        if bulge == 0.0:
            points.append((x0, y0))
            continue
        sweep = 4.0 * math.atan(bulge)
        cx = (x0 + x1) / 2 - (y1 - y0) * (1 - bulge * bulge) / (4 * bulge)
        cy = (y0 + y1) / 2 + (x1 - x0) * (1 - bulge * bulge) / (4 * bulge)
        r = math.hypot(x0 - cx, y0 - cy)
        n = max(1, math.ceil(abs(sweep) / (2 * math.acos(max(-1.0, 1 - 1e-4 / r))))) if r > 1e-4 else 1
        start = math.atan2(y0 - cy, x0 - cx)
        points += [(cx + r * math.cos(start + sweep * k / n), cy + r * math.sin(start + sweep * k / n)) for k in range(n)]
    return LinearRing(points)


moves, base, sizes = read_table(folder / "sewn" / "grade-rules.txt")
document = ezdxf.readfile(folder / "sewn" / "pieces.dxf")
expect(document.dxfversion == "AC1009", f"version {document.dxfversion}")
auditor = document.audit()
# This ezdxf finds fault with the SEQEND of any POLYLINE in a block of an R12 file, its own files included.
faults = [e.message for e in auditor.errors + auditor.fixes if "SEQEND" not in e.message]
expect(not faults, f"audit: {faults[:3]}")
inserts = list(document.modelspace())
said = dict(e.dxf.text.split(": ", 1) for e in inserts if e.dxftype() == "TEXT")
inserts = [e for e in inserts if e.dxftype() != "TEXT"]
wanted = {"STYLE NAME": style["name"], "PRODUCT": "Lastwright", "UNITS": "METRIC", "SAMPLE SIZE": base, "GRADE RULE TABLE": "grade-rules.txt",
          "CREATION DATE": date, **({"AUTHOR": style["works"]} if style.get("works") else {})}
expect(said == wanted, f"texts of the style: {said} instead of {wanted}")
stated = f"{style['base']['size']} {style['base']['width']}"
expect(base == stated or stated not in sizes, f"the sample is {base}, and the style's base {stated}")
expect(all(e.dxftype() == "INSERT" and e.dxf.insert.isclose((0, 0, 0)) for e in inserts), "more than inserts and texts in the model space")
expect(len(inserts) == len(written) * len(sizes), f"{len(inserts)} blocks of {len(written)} pieces in {len(sizes)} sizes and widths")

places, dense, turns, boundary, seen = {}, {}, {}, {}, set()
for insert in inserts:
    label, numbered, point, turn, corners = {}, {}, None, set(), []
    for e in insert.block():
        expect(e.dxf.layer in LAYERS, f"{insert.dxf.name}: layer {e.dxf.layer}")
        if e.dxf.layer == "84":
            dense[insert.dxf.name] = [(v.dxf.location.x, v.dxf.location.y) for v in e.vertices]
        if e.dxf.layer == "1" and e.dxftype() == "POLYLINE":
            corners = [(v.dxf.location.x, v.dxf.location.y) for v in e.vertices]
        if e.dxftype() == "POINT":
            point = e.dxf.location
        if e.dxftype() != "TEXT":
            continue
        text = e.dxf.text
        if text.startswith("# "):
            expect(point is not None and e.dxf.insert.isclose(point), f"{insert.dxf.name}: {text} stands beside no point")
            numbered[int(text[2:])] = (point.x, point.y)
            if e.dxf.layer == "2":
                turn.add(int(text[2:]))
        elif ": " in text:
            key, value = text.split(": ", 1)
            label.setdefault(key, value)
    key = (label["PIECE NAME"], label["SIZE"])
    expect(label["SIZE"].endswith(" " + label["ANNOTATION"].removeprefix("WIDTH ")), f"{key}: the width is {label['ANNOTATION']}")
    expect(label["QUANTITY"] == str(per_pair.get(label["PIECE NAME"])), f"{key}: quantity {label.get('QUANTITY')}")
    expect(key not in seen, f"{key} twice")
    seen.add(key)
    places[key] = numbered
    dense[key] = dense.pop(insert.dxf.name)
    boundary[key], turns[key] = corners, turn
expect({size for _, size in seen} == set(sizes), "the table's sizes are not the drawing's")

compared, worst = 0, 0.0
for (piece, size), numbered in places.items():
    rules = {r for p, r in moves if p == piece}
    expect(rules == set(numbered), f"{piece} {size}: {len(numbered)} numbered points, {len(rules)} rules")
    for rule in rules & set(numbered):
        x, y = places[piece, base][rule]
        dx, dy = moves[piece, rule][size]
        worst = max(worst, math.hypot(x + dx - numbered[rule][0], y + dy - numbered[rule][1]))
        compared += 1
expect(worst <= 3e-6, f"a point graded by its rule is {worst} mm off")
expect(compared >= 8 * len(places), f"only {compared} points compared in {len(places)} blocks")
movers = sum(1 for by_size in moves.values() if any(math.hypot(*m) > 1.0 for m in by_size.values()))
expect(movers > len(moves) / 2, f"only {movers} of {len(moves)} rules move their point")

def along(points):
    """The spline between corners through the points, finely."""
    first = next((i for i, (_, turn) in enumerate(points) if turn), None)
    if first is None:
        p = numpy.array([xy for xy, _ in points] + [points[0][0]])
        t = numpy.r_[0, numpy.cumsum(numpy.hypot(*numpy.diff(p, axis=0).T))]
        return [tuple(q) for q in CubicSpline(t, p, bc_type="periodic")(numpy.linspace(0, t[-1], 20 * len(points)))][:-1]
    points, run, out = points[first:] + points[:first + 1], [], []
    for xy, turn in points:
        run.append(xy)
        if not turn or len(run) < 2:
            continue
        p = numpy.array(run)
        t = numpy.r_[0, numpy.cumsum(numpy.hypot(*numpy.diff(p, axis=0).T))]
        fine = numpy.linspace(0, t[-1], 20 * len(run))
        places = CubicSpline(t, p, bc_type="natural")(fine) if len(run) > 2 else p
        out += [tuple(q) for q in places[:-1]]
        run = [xy]
    return out


STEP = 0.2 if os.environ.get("TESTS_LONG") else 0.6  # millimetres between the points that are measured; corners are met in any case


def both_ways(ring, other):
    fine = [other.interpolate(STEP * k) for k in range(int(other.length / STEP))]
    return max(max(ring.distance(p) for p in fine), max(other.distance(Point(p)) for p in ring.coords))


farthest, outlines, straight, smooth = 0.0, 0, 0.0, 0.0
for (piece, size), curve in dense.items():
    if size not in (sizes[0], base, sizes[-1]):
        continue
    path = folder / "pieces" / piece / f"{piece} {size}.dxf"
    die = ezdxf.readfile(path)
    expect(die.dxfversion == "AC1009" and not die.audit().errors, f"{path.name}: not sound R12")
    expect({e.dxftype() for e in die.modelspace()} <= {"POLYLINE", "CIRCLE", "POINT", "TEXT"}, f"{path.name}: not R12 entities")
    cuts = [e for e in die.modelspace() if e.dxf.layer == "CUT"]
    expect(len(cuts) == 1 and cuts[0].is_closed, f"{path.name}: {len(cuts)} cut lines")
    ring, chords = ring_of(cuts[0]), LinearRing(curve)
    on = max(ring.distance(Point(p)) for p in curve)
    expect(on < 1.1e-4, f"{piece} {size}: a point of the dense curve is {on} mm off the true arcs")
    # The boundary's points are the first rules of the piece; those of the base, moved by their rules.
    rules = sorted(moves_of for p, moves_of in moves if p == piece)[:len(boundary[piece, base])]
    graded = []
    for rule, corner in zip(rules, boundary[piece, base]):
        (x, y), (dx, dy) = places[piece, base][rule], moves[piece, rule][size]
        expect(math.dist((x, y), corner) < 1e-5, f"{piece}: rule {rule} is not that of its corner")
        graded.append(((x + dx, y + dy), rule in turns[piece, base]))
    expect(len(graded) >= 8, f"{piece}: {len(graded)} points")
    straight = max(straight, both_ways(ring, LinearRing([p for p, _ in graded])))
    smooth = max(smooth, both_ways(ring, LinearRing(along(graded))))
    farthest = max(farthest, max(chords.distance(Point(p)) for p in ring.coords))
    outlines += 1
expect(outlines == len({sizes[0], base, sizes[-1]}) * len(written), f"{outlines} outlines compared of {len(written)} pieces")
expect(straight <= 0.101, f"lines through the points leave the true arcs by {straight} mm")
expect(smooth <= 0.101, f"splines through the points leave the true arcs by {smooth} mm")
expect(farthest <= 0.0201, f"the dense curve leaves the true arcs by {farthest} mm")

print(f"{len(places)} blocks, {compared} points graded by their rules, worst {worst:.7f} mm; "
      f"{outlines} dense curves within {farthest:.4f} mm of the R12 arcs, lines through the points within {straight:.4f} mm, splines within {smooth:.4f} mm")
for failure in failures[:20]:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

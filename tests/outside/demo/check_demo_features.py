"""Features of the graded demo, measured in the written DXF files by shapely (GEOS) and ezdxf against what the style states.

Their size never changes: diameters, slot, nick depths, distances of rows and stitch lines from the finished edge. Their number is what the
style asks for in that size, and the size marks read back by the code table give the size and width of the file. Gaps between holes and to
the edges are measured again in every file that is read: one of three, with TESTS_LONG=1 all. usage: check_demo_features.py STYLE.json FOLDER
"""
import math
import os
import pathlib
import sys

import ezdxf
from shapely.geometry import LineString, Point, Polygon

from check_demo_allowances import flattened
from graded_style import GradedStyle

graded = GradedStyle(pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]))
codes = graded.style["codes"]
one_of = 1 if os.environ.get("TESTS_LONG") else 3  # of each piece a third, all sizes and widths among them
worst = {}
seen = {}


def note(what, off, limit, where):
    worst[what] = max(worst.get(what, 0.0), off)
    seen[what] = seen.get(what, 0) + 1
    assert off <= limit, f"{where}: {what} off by {off:.4f}"


class Drawing:
    def __init__(self, file, *cell):
        space = ezdxf.readfile(file).modelspace()
        graded.keep_outlines(*cell, space)
        self.holes = [(e.dxf.center.x, e.dxf.center.y, e.dxf.radius) for e in space.query("CIRCLE") if e.dxf.layer == "HOLE"]
        self.pricks = [(e.dxf.center.x, e.dxf.center.y) for e in space.query("CIRCLE") if e.dxf.layer == "PRICK"]
        self.lines, self.cut_outs = {}, []
        for e in space.query("LWPOLYLINE"):
            points = flattened([(x, y, b) for x, y, b in e.get_points("xyb")])
            if e.dxf.layer == "CUT_OUT":
                self.cut_outs.append(Polygon(points))
            elif not e.closed:
                # Of an open line no arc closes it, and its last point counts.
                points = flattened([(x, y, b) for x, y, b in e.get_points("xyb")][:-1] + [(*list(e.get_points("xy"))[-1], 0.0)])
                self.lines.setdefault(e.dxf.layer, []).append(LineString(points))
        for e in space.query("LINE"):
            self.lines.setdefault(e.dxf.layer, []).append(LineString([(e.dxf.start.x, e.dxf.start.y), (e.dxf.end.x, e.dxf.end.y)]))
        self.texts = [e.dxf.text for e in space.query("TEXT")]


def count_asked(feature, size):
    for change in feature.get("counts", []):
        if float(change["from"]) <= float(size) <= float(change["to"]):
            return change["count"]
    return feature["count"]


def check_eyelets(drawing, piece, feature, size, width):
    where = f"{piece} {size} {width}"
    edge = graded.edge(piece, feature["edges"][0], size, width)
    mine = [h for h in drawing.holes if abs(2 * h[2] - feature["diameter"]) < 1e-6]
    assert len(mine) == count_asked(feature, size), f"{where}: {len(mine)} eyelets"
    places = sorted(edge.project(Point(h[:2])) for h in mine)
    for h in mine:
        note("eyelet from the finished edge", abs(edge.distance(Point(h[:2])) - feature["inset"]), 0.01, where)
    pitches = [b - a for a, b in zip(places, places[1:])]
    note("eyelet pitch, unevenness", max(pitches) - min(pitches), 0.02, where)
    # The line of the row starts and ends square to the ends of its edge, which is straight.
    for end in (places[0], edge.length - places[-1]):
        note("eyelet row's margin", abs(end - feature["margin"]), 0.02, where)


def check_stitches(drawing, piece, feature, size, width):
    where = f"{piece} {size} {width}"
    for row in range(feature.get("rows", 1)):
        inset = feature["inset"] + row * feature.get("row_gap", 0)
        for edge_name in feature["edges"]:
            edge = graded.edge(piece, edge_name, size, width)
            # The middle half of the edge: near the corners the line follows the neighbour.
            for share in (0.3, 0.4, 0.5, 0.6, 0.7):
                a, b = edge.interpolate(share - 0.001, normalized=True), edge.interpolate(share + 0.001, normalized=True)
                at = edge.interpolate(share, normalized=True)
                step = math.dist(a.coords[0], b.coords[0])
                place = Point(at.x - (b.y - a.y) / step * inset, at.y + (b.x - a.x) / step * inset)
                near = min(line.distance(place) for line in drawing.lines["STITCH"])
                note("stitch line from the finished edge", near, 0.02, f"{where}, {edge_name}")


def marks_read(drawing, piece, feature, code, size, width):
    """The marks found along the cut line at the places of the code, as their numbers."""
    ring = Polygon(graded.outlines(piece, size, width)["CUT"]).exterior
    edge = graded.edge(piece, feature["edge"], size, width)
    allowance = max(float(e.get("allowance", 0)) for e in graded.pieces[piece]["edges"] if e["name"] == feature["edge"])
    found = []
    highest = max(max(m) for m in codes[code]["marks"].values() if m)
    for number in range(1, highest + 1):
        s = feature["distance"] + (number - 1) * feature["pitch"]
        at = edge.interpolate(edge.length - s if feature.get("from_end") else s)
        close = [n for n in drawing.lines.get("NICK", []) if min(Point(c).distance(at) for c in n.coords) < allowance + 3 and edge.distance(Point(n.coords[0])) > 1]
        close = [n for n in close if abs(edge.project(Point(n.coords[0])) - edge.project(at)) < 0.45 * feature["pitch"]]
        if close:
            found.append(number)
            nick = close[0]
            note("size mark's depth", abs(nick.length - feature.get("depth", 3)), 1e-3, f"{piece} {size} {width}")
            note("size mark's mouth from the cut line", ring.distance(Point(nick.coords[0])), 5e-3, f"{piece} {size} {width}")
    return found


def check_gaps(drawing, piece, size, width, limits):
    where = f"{piece} {size} {width}"
    ring = graded.net_ring(piece, size, width)
    inside = Polygon(ring)
    for i, (x, y, r) in enumerate(drawing.holes):
        assert inside.contains(Point(x, y)), f"{where}: a hole lies outside the finished edge"
        assert ring.distance(Point(x, y)) - r >= limits[0] - 1e-3 or graded.pieces[piece].get("fold"), f"{where}: hole {r} at {x:.2f}, {y:.2f} close to the edge"
        for x2, y2, r2 in drawing.holes[:i]:
            gap = math.dist((x, y), (x2, y2)) - r - r2
            worst["least gap between holes"] = min(worst.get("least gap between holes", 99.0), gap)
            assert gap >= limits[1] - 1e-3, f"{where}: {gap:.3f} mm between holes"


def check_grain(drawing, piece, size, width):
    """Its direction is that of the sample: to the fold where there is one, else to the base line, the x axis."""
    spec = graded.pieces[piece]
    (x0, y0), (x1, y1) = drawing.lines["GRAIN"][0].coords
    angle = math.atan2(y1 - y0, x1 - x0)
    if spec.get("fold"):
        fold = next(e for e in spec["edges"] if e["name"] == spec["fold"])
        a, b = (graded.points[(piece, fold[end], size, width)] for end in ("from", "to"))
        angle -= math.atan2(b[1] - a[1], b[0] - a[0])
    grains.setdefault(piece, []).append(angle)


files, cells = 0, set()
grains = {}
kinds = set()
for piece, spec in graded.pieces.items():
    for file in sorted((graded.folder / "pieces" / piece).glob("*.dxf")):
        size, width = file.stem[len(piece) + 1:].split(" ")
        files += 1
        if files % one_of != 0:
            continue
        cells.add((size, width))
        drawing = Drawing(file, piece, size, width)
        check_gaps(drawing, piece, size, width, (2.4, 0.8))
        check_grain(drawing, piece, size, width)
        for feature in spec.get("features", []):
            kind = next(iter(feature))
            kinds.add(kind)
            if kind == "eyelets":
                check_eyelets(drawing, piece, feature, size, width)
            elif kind == "stitch_line" and not spec.get("fold"):
                check_stitches(drawing, piece, feature, size, width)
            elif kind == "size_marks":
                code = codes[feature["code"]]
                read = marks_read(drawing, piece, feature, feature["code"], size, width)
                assert read == code["marks"][size if code["of"] == "size" else width], f"{piece} {size} {width}: {feature['size_marks']} read {read}"
                seen["size marks read"] = seen.get("size marks read", 0) + 1
            elif kind == "perforation":
                for hole in feature["unit"]:
                    mine = [h for h in drawing.holes if abs(2 * h[2] - hole["diameter"]) < 1e-6]
                    assert len(mine) >= 10, f"{piece} {size} {width}: {len(mine)} holes of {hole['diameter']}"
                edge = graded.edge(piece, feature["edges"][0], size, width)
                smallest = min(h["diameter"] for h in feature["unit"])
                for x, y, r in drawing.holes:
                    near = edge.distance(Point(x, y))
                    if abs(2 * r - smallest) < 1e-6 and edge.project(Point(x, y)) > 0.1 * edge.length and near < 20:
                        note("perforation from the finished edge", abs(near - feature["inset"]), 0.01, f"{piece} {size} {width}")
            elif kind == "slot":
                area = (feature["length"] - feature["width"]) * feature["width"] + math.pi * feature["width"] ** 2 / 4
                assert len(drawing.cut_outs) == 2, f"{piece} {size} {width}: {len(drawing.cut_outs)} slots"
                for slot in drawing.cut_outs:
                    note("slot's area, mm2", abs(slot.area - area), 0.02, f"{piece} {size} {width}")
            elif kind == "prick":
                place = graded.points[(spec["forme"], feature["at"]["point"], size, width)]
                wanted = Point(place[0] + feature["at"]["by"][0], place[1] + feature["at"]["by"][1])
                note("prick from its point", min(wanted.distance(Point(p)) for p in drawing.pricks), 1e-4, f"{piece} {size} {width}")
            elif kind == "text":
                text = feature["says"].replace("{size}", size).replace("{width}", width)
                assert text in drawing.texts, f"{piece} {size} {width}: no text {text} in {drawing.texts}"
                seen["texts"] = seen.get("texts", 0) + 1
for piece, angles in grains.items():
    for angle in angles:
        note("grain's direction, degrees", math.degrees(abs(math.remainder(angle - angles[0], 2 * math.pi))), 1e-3, piece)
for what in sorted(seen):
    print(f"{what}: {seen[what]} measured, at most {worst.get(what, 0.0):.4f} mm off")
print(f"{files} files, least gap between holes {worst['least gap between holes']:.3f} mm; kinds in the style: {', '.join(sorted(kinds))}")
assert files >= 300 and len(seen) >= 9 and min(seen.values()) >= 40 // one_of and len(cells) == 20

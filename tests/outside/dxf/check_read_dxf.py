"""Files that ezdxf makes, of every kind of entity, R12 to R2018, text and binary, with nested, mirrored, uneven and arrayed
inserts and object coordinate systems that look down: the reader's curves against geometry that ezdxf works out."""
import math
import os
import random
import subprocess
import sys
import tempfile
import warnings
from pathlib import Path

import ezdxf
from ezdxf.math import Vec2
from shapely.geometry import LineString, Point
from shapely.strtree import STRtree

warnings.filterwarnings("ignore", module="shapely")
warnings.filterwarnings("ignore", message="STRtree")
program = sys.argv[1]
failures = []
SAGITTA = 1e-4
DOWN = (0, 0, -1)


def expect(holds, what):
    if not holds:
        failures.append(what)


def fill(space, rnd, modern, layer):
    """One of each kind with random figures."""
    def number(low=-50.0, high=50.0):
        return rnd.uniform(low, high)

    def at():
        return (number(), number())

    for extrusion in ((0, 0, 1), DOWN):
        attribs = {"layer": layer, "extrusion": extrusion}
        space.add_line(at(), at(), dxfattribs=attribs)
        space.add_circle(at(), number(1, 20), dxfattribs=attribs)
        space.add_arc(at(), number(1, 20), number(0, 360), number(0, 360), dxfattribs=attribs)
        space.add_point(at(), dxfattribs=attribs)
        space.add_text("vamp 8½ ä", height=number(1, 5), dxfattribs={**attribs, "insert": at(), "rotation": number(0, 360)})
        vertices = [(*at(), number(-2, 2)) for _ in range(5)]
        space.add_polyline2d(vertices, format="xyb", close=rnd.random() < 0.5, dxfattribs=attribs)
        if not modern:
            continue
        space.add_lwpolyline(vertices, format="xyb", close=rnd.random() < 0.5, dxfattribs=attribs)
        space.add_ellipse((*at(), 0), (*at(), 0), number(0.1, 1.0), number(0, 6), number(0, 6), dxfattribs=attribs)
    if not modern:
        return
    plain = {"layer": layer}
    space.add_ellipse((*at(), 0), (*at(), 0), number(0.1, 1.0), 0, math.tau, dxfattribs=plain)
    space.add_open_spline([(*at(), 0) for _ in range(7)], degree=3, dxfattribs=plain)
    for rational in (False, True):
        control = [(*at(), 0) for _ in range(6)]
        weights = [number(0.3, 3) for _ in control]
        closed = space.add_spline(dxfattribs=plain)
        opened = space.add_spline(dxfattribs=plain)
        if rational:
            closed.set_closed_rational(control, weights, 3)
            opened.set_open_rational(control, weights, 2)
        else:
            closed.set_closed(control, 3)
            opened.set_uniform(control, 2)
    space.add_mtext("size {\\C1;8}\\Pwidth F", dxfattribs={**plain, "insert": at(), "char_height": 2.5})


def make(version, seed):
    document = ezdxf.new(version, units=4)
    rnd = random.Random(seed)
    modern = version != "R12"
    for name in ("cut", "holes"):
        document.layers.add(name)
    model = document.modelspace()
    fill(model, rnd, modern, "cut")
    inner = document.blocks.new("inner", base_point=(3, -2))
    fill(inner, rnd, modern, "0")
    # Splines and ellipses take long to be taken apart finely: each way to insert them in one of the two newer versions, with TESTS_LONG=1 in both.
    every = bool(os.environ.get("TESTS_LONG")) or not modern
    if every or version == "R2018":
        model.add_blockref("inner", (-100, 20), dxfattribs={"xscale": 2, "yscale": 0.7, "rotation": 40, "layer": "cut"})
        model.add_blockref("inner", (-100, 120), dxfattribs={"xscale": -2, "yscale": 3, "rotation": 10, "extrusion": DOWN, "layer": "cut"})
    if not every and version == "R2018":
        model.add_blockref("inner", (100, 20), dxfattribs={"rotation": -15, "layer": "holes"})
        return document
    outer = document.blocks.new("outer", base_point=(1, 1))
    outer.add_blockref("inner", (10, 5), dxfattribs={"xscale": 1.5, "yscale": 1.5, "rotation": 33, "layer": "holes"})
    outer.add_blockref("inner", (-10, 5), dxfattribs={"xscale": -1, "yscale": 1, "rotation": 90, "extrusion": DOWN, "layer": "0"})
    model.add_blockref("outer", (100, 20), dxfattribs={"rotation": -15, "layer": "cut"})
    array = model.add_blockref("inner", (0, 300), dxfattribs={"rotation": 20, "layer": "holes", "xscale": 0.5, "yscale": 0.5})
    # Rows and columns at once where there are no splines.
    array.grid(size={"R12": (2, 3), "R2000": (2, 1)}.get(version, (1, 2)), spacing=(100, 150))
    return document


def expanded(entities, layer=None):
    """ezdxf's own expansion; layer 0 inside a block takes the insert's layer."""
    for entity in entities:
        own = layer if layer and entity.dxf.layer == "0" else entity.dxf.layer
        if entity.dxftype() == "INSERT":
            copies = entity.multi_insert() if entity.mcount > 1 else [entity]
            for copy in copies:
                yield from expanded(copy.virtual_entities(), own)
        elif entity.dxftype() in ("LWPOLYLINE", "POLYLINE"):
            for part in entity.virtual_entities():
                yield own, part, flat(part)
        else:
            yield own, entity, flat(entity)


def flat(entity):
    kind = entity.dxftype()
    if kind == "LINE":
        return [Vec2(entity.dxf.start), Vec2(entity.dxf.end)]
    if kind in ("ARC", "CIRCLE"):
        return [Vec2(p) for p in entity.flattening(SAGITTA)]
    if kind == "ELLIPSE":
        return [Vec2(p) for p in entity.flattening(SAGITTA, segments=64)]
    if kind == "SPLINE":
        return [Vec2(p) for p in entity.flattening(SAGITTA, segments=64)]
    return []


def length(points):
    return sum(a.distance(b) for a, b in zip(points, points[1:]))


def tree_of(polylines):
    """A search tree over short pieces of the lines."""
    pieces = []
    for points in polylines:
        for i in range(0, len(points) - 1, 8):
            part = points[i:i + 9]
            if len(part) > 1:
                pieces.append(LineString([(p.x, p.y) for p in part]))
    return STRtree(pieces)


def farthest(points, tree):
    worst = 0.0
    for p in points:
        point = Point(p.x, p.y)
        nearest = tree.nearest(point)
        worst = max(worst, nearest.distance(point))
    return worst


with tempfile.TemporaryDirectory() as folder:
    documents = {}
    for seed, version in enumerate(("R12", "R2000", "R2018")):
        document = make(version, seed)
        for fmt in ("asc", "bin"):
            name = f"{version}-{fmt}"
            document.saveas(Path(folder) / f"{name}.dxf", fmt=fmt)
            documents[name] = document
    env = dict(os.environ, LASTWRIGHT_OUTSIDE_DIR=folder)
    subprocess.run([program, "[dxf-dump]"], check=True, env=env, stdout=subprocess.DEVNULL)
    compared = 0
    worst = 0.0
    for name, document in documents.items():
        text = (Path(folder) / f"{name}.dump").read_text()
        if name.endswith("bin"):
            expect(text == (Path(folder) / f"{name[:-3]}asc.dump").read_text(), f"{name}: differs from the text file")
            continue
        rows = [line.split("\t") for line in text.splitlines()]
        expect(rows and rows[0][0] != "refused", f"{name}: {rows[:1]}")
        expect(not [r for r in rows if r[0] == "left-out"], f"{name}: something was left out")
        wanted = list(expanded(document.modelspace()))
        points = [r for r in rows if r[0] == "point"]
        texts = [r for r in rows if r[0] == "text"]
        expect(len(points) == sum(w[1].dxftype() == "POINT" for w in wanted), f"{name}: points")
        wanted_texts = [w for w in wanted if w[1].dxftype() in ("TEXT", "MTEXT")]
        expect(len(texts) == len(wanted_texts), f"{name}: {len(texts)} texts instead of {len(wanted_texts)}")
        for row, (layer, entity, _) in zip(texts, wanted_texts):
            expect(row[6] == ("size 8\\nwidth F" if entity.dxftype() == "MTEXT" else "vamp 8½ ä"), f"{name}: text {row[6]!r}")
        # ezdxf takes polylines apart where an insert scales them unevenly, so curves are compared layer by layer.
        for layer in ("cut", "holes"):
            ours = [[Vec2(*map(float, pair.split(","))) for pair in r[5].split(";") if pair]
                    for r in rows if r[0] == "path" and r[1] == layer]
            our_length = sum(float(r[4]) for r in rows if r[0] == "path" and r[1] == layer)
            for r in rows:
                if r[0] == "circle" and r[1] == layer:
                    x, y, radius = map(float, r[3:6])
                    ours.append([Vec2(x + radius * math.cos(math.tau * i / 256), y + radius * math.sin(math.tau * i / 256))
                                 for i in range(257)])
                    our_length += math.tau * radius
            theirs = [w[2] for w in wanted if w[0] == layer and w[2]]
            their_length = sum(length(points) for points in theirs)
            what = f"{name} layer {layer}"
            expect(abs(our_length - their_length) <= 1e-5 * their_length, f"{what}: length {our_length} instead of {their_length}")
            off = farthest([p for points in ours for p in points[::23]], tree_of(theirs))
            back = farthest([p for points in theirs for p in points[::37]], tree_of(ours))
            worst = max(worst, off)
            compared += len(theirs)
            expect(off < 3 * SAGITTA, f"{what}: a point lies {off} off")
            expect(back < 0.05, f"{what}: a curve is missing, the nearest is {back} away")  # our samples are coarse
    expect(compared > (500 if os.environ.get("TESTS_LONG") else 400), f"only {compared} curves compared")
    print(f"{len(documents)} files, {compared} curves, worst distance {worst:.2e}")

for failure in failures[:25]:
    print(failure)
print(f"{len(failures)} failures")
sys.exit(1 if failures else 0)

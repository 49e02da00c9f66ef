"""Lattices of the demo's pieces: the pieces of the DXF laid as the JSON says do not overlap, keep their gap, and take
the area that is stated. For some of them the forbidden offsets are drawn as a Minkowski sum by shapely.

usage: check_scale_areas.py LASTWRIGHT STYLE FOLDER"""
import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

import ezdxf
from shapely import affinity
from shapely.geometry import MultiPoint, Polygon
from shapely.ops import unary_union

from few_sizes import few_sizes

kept = tempfile.TemporaryDirectory(dir=sys.argv[3], prefix="scale-areas-")  # its own in each run
lastwright, folder = sys.argv[1], Path(kept.name)
style = str(few_sizes(sys.argv[2], folder, by="1", widths=["F", "G"]))
SIZES, WIDTHS, GAP = ["5", "13"], ["G"], 1.5


def run(*words):
    done = subprocess.run([lastwright, *words], capture_output=True, text=True)
    assert done.returncode == 0, (words, done.returncode, done.stderr)


def arc_points(a, b, bulge, error):
    if abs(bulge) < 1e-12:
        return [a]
    sweep = 4 * math.atan(bulge)
    chord = math.dist(a, b)
    radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
    n = max(1, math.ceil(abs(sweep) / (2 * math.acos(max(0.0, 1 - error / radius)))))
    h = (1 - bulge * bulge) / (4 * bulge)
    cx = (a[0] + b[0]) / 2 - h * (b[1] - a[1])
    cy = (a[1] + b[1]) / 2 + h * (b[0] - a[0])
    start = math.atan2(a[1] - cy, a[0] - cx)
    return [(cx + radius * math.cos(start + sweep * k / n), cy + radius * math.sin(start + sweep * k / n))
            for k in range(n)]


def outline(path, error=0.005):
    found = [e for e in ezdxf.readfile(path).modelspace().query("LWPOLYLINE") if e.dxf.layer == "CUT"]
    assert len(found) == 1, path
    points = [tuple(p) for p in found[0].get_points("xyb")]
    ring = []
    for (x, y, bulge), (u, v, _) in zip(points, points[1:] + points[:1]):
        ring += arc_points((x, y), (u, v), bulge, error)
    polygon = Polygon(ring)
    assert polygon.is_valid
    return polygon


def second(shape, kind):
    turned = {"half turned": (-1, -1), "mirrored": (-1, 1), "mirrored and half turned": (1, -1)}[kind]
    return affinity.scale(shape, turned[0], turned[1], origin=(0, 0))


def minkowski(one, other):
    """The sum of two polygons: hulls of the sums of their edges, and the one laid at the corners of the other."""
    a, b = list(one.exterior.coords), list(other.exterior.coords)
    parts = [affinity.translate(one, *p) for p in b[:-1]]
    for p, q in zip(a, a[1:]):
        for r, s in zip(b, b[1:]):
            parts.append(MultiPoint([(u[0] + v[0], u[1] + v[1]) for u in (p, q) for v in (r, s)]).convex_hull)
    return unary_union([p for p in parts if p.area > 0])


def steps(a, b, start, reach):
    area = abs(a[0] * b[1] - a[1] * b[0])
    wide, high = reach * math.hypot(*b) / area, reach * math.hypot(*a) / area
    det = a[0] * b[1] - a[1] * b[0]
    i0 = -(start[0] * b[1] - start[1] * b[0]) / det
    j0 = -(a[0] * start[1] - a[1] * start[0]) / det
    for i in range(math.ceil(i0 - wide), math.floor(i0 + wide) + 1):
        for j in range(math.ceil(j0 - high), math.floor(j0 + high) + 1):
            yield i, j, (start[0] + i * a[0] + j * b[0], start[1] + i * a[1] + j * b[1])


for gap in (0.0, GAP):
    out = folder / f"areas-{gap}"
    run("areas", style, "--out", str(out), "--force", "--gap", str(gap), "--sizes", ",".join(SIZES), "--widths",
        ",".join(WIDTHS))
    graded = folder / "graded"
    run("grade", style, "--out", str(graded), "--force", "--pictures", "none", "--sizes", ",".join(SIZES), "--widths",
        ",".join(WIDTHS))
    data = json.loads((out / "scale-areas.json").read_text())
    assert len(data["pieces"]) == 17
    looked, sums = 0, 0
    for piece in data["pieces"]:
        assert len(piece["sizes"]) == len(SIZES) * len(WIDTHS)
        for entry in piece["sizes"]:
            files = list(graded.glob(f"pieces/{piece['piece']}/*{entry['size']} {entry['width']}.dxf"))
            assert len(files) == 1, (piece["piece"], entry, files)
            shape = outline(files[0])
            assert abs(shape.area - entry["net_mm2"]) < 0.02 * shape.length, piece["piece"]
            lattice = entry["lattice"]
            shape = affinity.rotate(shape, lattice["turned_deg"], origin=(0, 0))
            x0, y0, x1, y1 = shape.bounds
            shape = affinity.translate(shape, -(x0 + x1) / 2, -(y0 + y1) / 2)
            a, b = lattice["a"], lattice["b"]
            shapes = 1 if lattice["kind"] == "translated" else 2
            cell = abs(a[0] * b[1] - a[1] * b[0])
            assert abs(cell / shapes - entry["scale_mm2"]) < 0.01, piece["piece"]
            assert entry["at_least_mm2"] <= entry["scale_mm2"] + 1e-3
            assert not (gap and entry["exact"]), "with a gap no lattice is the densest by theorem"
            assert entry["scale_mm2"] >= shape.area - 0.01
            other = second(shape, lattice["kind"]) if shapes == 2 else None
            reach = 2 * max(math.hypot(*p) for p in shape.exterior.coords) + gap
            neighbours = [(shape, v) for i, j, v in steps(a, b, (0, 0), reach) if (i, j) > (0, 0)]
            if other is not None:
                neighbours += [(other, v) for _, _, v in steps(a, b, lattice["second"], reach)]
                assert any(True for _ in neighbours)
            least = 1e9
            for there, v in neighbours:
                placed = affinity.translate(there, *v)
                assert shape.intersection(placed).area < 0.01, (piece["piece"], entry["size"], v)
                least = min(least, shape.distance(placed))
            # They touch, or stand the gap apart, as closely as the polygon drawn round them allows.
            assert gap - 0.01 < least < gap + 0.25, (piece["piece"], least, gap)
            looked += 1
            if gap == 0.0 and entry["size"] == "13" and entry["width"] == "G":
                rough = shape.simplify(0.3)
                mirror = affinity.scale(rough, -1, -1, origin=(0, 0))
                forbidden = minkowski(rough, mirror)
                for i, j, v in steps(a, b, (0, 0), reach):
                    if (i, j) != (0, 0):
                        assert not forbidden.buffer(-0.7).intersects(MultiPoint([v])), (piece["piece"], v)
                sums += 1
    assert looked == 17 * 2 and (gap > 0.0 or sums == 17), (looked, sums)
# A piece whose knobs fit its own dents tiles when all lie alike, and no two half turned ones do: the better of both is taken,
# and it is said which.
slipper = Path(__file__).parents[2] / "golden/slipper"
made = json.loads((slipper / "style.json").read_text())
knob = [(100, 0), (117, 0), (124, 15), (136, 15), (143, 0), (160, 0), (160, 17), (175, 24), (175, 36), (160, 43), (160, 60), (143, 60), (136, 75), (124, 75),
        (117, 60), (100, 60), (100, 43), (115, 36), (115, 24), (100, 17)]
doc = ezdxf.new("R2000")
doc.header["$INSUNITS"] = 4
doc.modelspace().add_lwpolyline(knob, close=True)
own = folder / "knob"
own.mkdir(exist_ok=True)
doc.saveas(own / "knob.dxf")
made.update(run={"from": "8", "to": "8", "widths": ["F"]}, drawings={"knob": {"file": "knob.dxf", "layers": {"0": "boundary"}}}, seams=[],
            pieces=[{"name": "knob", "forme": "shell", "outline": {"drawing": "knob"}, "drawn": "cut", "corners": {"a": [100, 0], "b": [160, 0]}, "hand": "symmetric",
                     "edges": [{"name": "one", "from": "a", "to": "b", "treatment": "raw"}, {"name": "other", "from": "b", "to": "a", "treatment": "raw"}]}])
(own / "style.json").write_text(json.dumps(made))
subprocess.run([lastwright, "areas", str(own / "style.json"), "--out", str(own / "areas"), "--force"], capture_output=True)
(found,) = json.loads((own / "areas/scale-areas.json").read_text())["pieces"][0]["sizes"]
assert found["lattice"]["kind"] == "translated" and abs(found["scale_mm2"] - 3600) < 1 and found["at_least_mm2"] > 3000, found
print("scale areas: every lattice is free of overlap and keeps its gap")

#!/usr/bin/python3
"""Random holes, slots, stitch lines and pricks on random pieces, as `lastwright check --all` measures them and as shapely does.

The pieces are polygons with an allowance of 6 mm or none, drawn in millimetres and once more in inches: the same findings.
Round things are circles of 1024 chords here, so a distance agrees to 2e-3 mm; how far something stands out to 0.02 mm.
usage: check_features.py LASTWRIGHT FOLDER
"""
import json
import math
import os
import pathlib
import random
import re
import subprocess
import sys

try:
    import ezdxf
    from shapely.geometry import LineString, Point, Polygon
    from shapely import affinity
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
failures, compared = [], {}
QUARTER = 256


def draw(path, polygon, inches):
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 1 if inches else 4
    document.layers.add("1")
    scale = 25.4 if inches else 1.0
    document.modelspace().add_lwpolyline([(x / scale, y / scale) for x, y in polygon], close=True, dxfattribs={"layer": "1"})
    document.saveas(path)


def style(polygon, features, allowance):
    names = [f"c{i}" for i in range(len(polygon))]
    return {
        "lastwright_style": 1, "name": "Random panel", "scale": "english", "ladder": "english-letters",
        "base": {"size": "8", "width": "F"}, "run": {"from": "8", "to": "8", "widths": ["F"]},
        "measures": {"stick length": {"from_scale": True}, "ball girth": {"base": 246, "per_size": 6, "per_width": 6}},
        "drawings": {"drawing": {"file": "panel.dxf"}},
        "formes": {"shell": {
            "points": {"heel": [-150, 0], "toe": [150, 0], "top": [0, 80], "foot": [0, -80]},
            "base_line": ["heel", "toe"], "fixed": "heel", "length_line": "stick", "girth_line": "ball line",
            "rules": [{"measure_line": "stick", "from": "heel", "to": "toe", "carries": {"stick length": 1}},
                      {"measure_line": "ball line", "from": "foot", "to": "top", "carries": {"ball girth": "1/2"}}]}},
        "pieces": [{
            "name": "panel", "forme": "shell", "outline": {"drawing": "drawing"},
            "corners": {n: list(p) for n, p in zip(names, polygon)},
            "edges": [{"name": f"e{i}", "from": n, "to": names[(i + 1) % len(names)], "treatment": "raw", "allowance": allowance}
                      for i, n in enumerate(names)],
            "features": features}]}


def run(polygon, features, allowance, inches):
    draw(folder / "panel.dxf", polygon, inches)
    (folder / "style.json").write_text(json.dumps(style(polygon, features, allowance)))
    done = subprocess.run([program, "check", str(folder / "style.json"), "--all"], capture_output=True, text=True)
    if done.returncode not in (0, 1):
        failures.append(f"exit {done.returncode}: {done.stderr[:300]}")
        return {}
    found = {}
    for line in done.stdout.splitlines():
        match = re.match(r"^  (?:ok  |FAIL|    ) (\S.*?)\s+panel: (.+?)\s{2,}(-?[\d.]+) mm", line)
        if match:
            found[match[1], match[2]] = float(match[3])
    return found


def shapes(features):
    made = {}
    for f in features:
        if "hole" in f:
            made[f["hole"]] = ("hole", Point(f["at"]).buffer(f["diameter"] / 2, resolution=QUARTER))
        elif "slot" in f:
            half = (f["length"] - f["width"]) / 2
            line = affinity.rotate(LineString([(-half, 0), (half, 0)]), f["angle"], origin=(0, 0))
            made[f["slot"]] = ("slot", affinity.translate(line, *f["at"]).buffer(f["width"] / 2, resolution=QUARTER))
        elif "prick" in f:
            made[f["prick"]] = ("prick", Point(f["at"]))
        else:
            made[f["stitch_line"]] = ("stitch", LineString(f["through"]))
    return made


def compare(what, mine, theirs, tolerance):
    compared[what[0]] = compared.get(what[0], 0) + 1
    if mine is None or abs(mine - theirs) > tolerance:
        failures.append(f"{what}: {mine} against {theirs:.4f} by shapely")


STEP = 0.05 if os.environ.get("TESTS_LONG") else 0.2  # mm; of a hole 2 mm wide, within 0.005 mm


def out_of(shape, polygon):
    outline = shape.boundary if shape.geom_type == "Polygon" else shape
    if outline.is_empty:  # a point
        outline = shape
    points = list(outline.coords)
    if outline.geom_type != "Point":  # this shapely cannot cut chords finer itself
        points += [outline.interpolate(STEP * k).coords[0] for k in range(int(outline.length / STEP))]
    return max((polygon.distance(Point(p)) for p in points), default=0.0)


dice = random.Random(20)
for trial in range(24):
    n = dice.randint(5, 9)
    polygon = [(round(r * math.cos(a), 3), round(0.7 * r * math.sin(a), 3)) for r, a in
               ((dice.uniform(60, 95), 2 * math.pi * (i + dice.uniform(-0.25, 0.25)) / n) for i in range(n))]
    net, allowance = Polygon(polygon), dice.choice([0, 6])
    features = []
    for i in range(6):
        at = [round(dice.uniform(-75, 75), 2), round(dice.uniform(-50, 50), 2)]
        kind = dice.choice(["hole", "hole", "slot", "slot", "stitch", "prick"])
        if kind == "hole":
            features.append({"hole": f"f{i}", "at": at, "diameter": round(dice.uniform(2, 9), 2)})
        elif kind == "slot":
            width = round(dice.uniform(1, 5), 2)
            features.append({"slot": f"f{i}", "at": at, "length": round(width + dice.uniform(3, 25), 2), "width": width,
                             "angle": round(dice.uniform(0, 180), 1)})
        elif kind == "prick":
            features.append({"prick": f"f{i}", "at": at})
        else:
            features.append({"stitch_line": f"f{i}", "through": [at, [round(dice.uniform(-60, 60), 2), round(dice.uniform(-40, 40), 2)]]})
    found = run(polygon, features, allowance, False)
    if found != run(polygon, features, allowance, True):
        failures.append(f"trial {trial}: the drawing in inches has other findings")
    made = shapes(features)
    removed = {k: s for k, (kind, s) in made.items() if kind in ("hole", "slot")}
    for name, (kind, shape) in made.items():
        if kind in ("hole", "slot") and shape.distance(net) == 0:
            check = "hole to edge" if kind == "hole" else "cut-out to edge"
            inside = shape.within(net)
            theirs = net.exterior.distance(shape) if inside else -out_of(shape, net)
            compare((check, trial, name), found.get((check, name)), theirs, 2e-3 if inside else 0.02)
        others = [s for k, s in removed.items() if k != name and (kind == "hole" or kind != "slot" or made[k][0] == "slot")]
        if others:
            check = {"hole": "hole to hole", "slot": "cut-out gap"}.get(kind, "mark to hole")
            mine = found.get((check, name))
            theirs = min(shape.distance(s) for s in others)
            if theirs > 0:
                compare((check, trial, name), mine, theirs, 2e-3)
            elif mine is None or mine >= 2e-3:
                failures.append(f"{check} of {name} in {trial}: {mine}, and shapely has them overlap")
        if allowance == 0:
            compare(("feature inside", trial, name), found.get(("feature inside", name)), out_of(shape, net), 0.02)

for check, least in {"hole to edge": 15, "cut-out to edge": 15, "hole to hole": 15, "cut-out gap": 10, "mark to hole": 15,
                     "feature inside": 30}.items():
    if compared.get(check, 0) < least:
        failures.append(f"only {compared.get(check, 0)} of {check} compared")
print(", ".join(f"{count} of {check}" for check, count in compared.items()), "agree" if not failures else "")
for failure in failures[:20]:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

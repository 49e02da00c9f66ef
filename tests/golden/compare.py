#!/usr/bin/python3
"""Compares new pictures with the golden ones beside their input, as geometry and not as bytes.

Elements are compared group by group in the order of drawing: the same kind with the same strokes, outlines within 0.02 mm
of each other both ways, circles and rectangles likewise, texts word for word within 0.1 mm. A picture that differs is
written again as an overlay: the golden one in grey, the new one over it in colour.

usage: compare.py GOLDEN_FOLDER NEW_FOLDER OVERLAY_FOLDER
       compare.py --accept GOLDEN_FOLDER NEW_FOLDER      after looking at them: the new pictures become golden
"""
import math
import pathlib
import re
import shutil
import sys
import xml.etree.ElementTree as tree

OUTLINE, TEXT = 0.02, 0.1  # mm: a pen is ten times as wide; letters may move with their estimated width
SVG = "{http://www.w3.org/2000/svg}"
PLACES = {"d", "x", "y", "cx", "cy", "r", "width", "height", "transform", "viewBox"}


def arc_points(a, b, r, sweep_flag):
    """Points on the arc, about a degree apart; the writer makes quarter turns at most: never the large arc."""
    chord = math.dist(a, b)
    if chord == 0.0:
        return []
    rise = math.sqrt(max(r * r - chord * chord / 4, 0.0))
    side = 1.0 if sweep_flag else -1.0  # y down: a positive sweep keeps its centre to the right of the way, as seen
    cx = (a[0] + b[0]) / 2 - side * rise * (b[1] - a[1]) / chord
    cy = (a[1] + b[1]) / 2 + side * rise * (b[0] - a[0]) / chord
    start, end = (math.atan2(p[1] - cy, p[0] - cx) for p in (a, b))
    turn = math.remainder(end - start, 2 * math.pi)
    n = max(1, math.ceil(abs(turn) / math.radians(1.0)))
    return [(cx + r * math.cos(start + turn * k / n), cy + r * math.sin(start + turn * k / n)) for k in range(1, n + 1)]


def path_points(d):
    points, start = [], None
    for command, rest in re.findall(r"([MLAZ])([^MLAZ]*)", d):
        v = [float(n) for n in rest.split()]
        if command == "M":
            start = (v[0], v[1])
            points.append(start)
        elif command == "L":
            points.append((v[0], v[1]))
        elif command == "A":
            assert v[0] == v[1] and v[3] == 0, f"an arc this comparison does not know: {rest}"
            points += arc_points(points[-1], (v[5], v[6]), v[0], v[4] == 1)
        elif points[-1] != start:
            points.append(start)
    return points


def distance_to(points, p):
    best = min(math.dist(p, q) for q in points)
    for a, b in zip(points, points[1:]):
        dx, dy = b[0] - a[0], b[1] - a[1]
        length = dx * dx + dy * dy
        t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length if length else 0.0
        if 0.0 < t < 1.0:
            best = min(best, math.dist(p, (a[0] + t * dx, a[1] + t * dy)))
    return best


def apart(one, other):
    """How far two outlines lie apart: the farthest vertex or edge middle of either from the other."""
    def farthest(points, line):
        middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in zip(points, points[1:])]
        return max(distance_to(line, p) for p in points + middles)
    return max(farthest(one, other), farthest(other, one))


def numbers(element, keys):
    return [float(element.get(k, "0").removesuffix("mm")) for k in keys]


def difference(old, new):
    """What is different about two elements of the same place, or None."""
    if old.tag == new.tag and old.attrib == new.attrib and old.text == new.text:
        return None
    if old.tag != new.tag:
        return f"a {new.tag.removeprefix(SVG)} where a {old.tag.removeprefix(SVG)} was"
    style = [{k: v for k, v in e.attrib.items() if k not in PLACES} for e in (old, new)]
    if style[0] != style[1]:
        return f"{style[1]} where {style[0]} was"
    kind = old.tag.removeprefix(SVG)
    if kind == "path":
        off, limit = apart(path_points(old.get("d")), path_points(new.get("d"))), OUTLINE
    elif kind in ("circle", "rect", "svg"):
        keys = {"circle": ("cx", "cy", "r"), "rect": ("x", "y", "width", "height"), "svg": ("width", "height")}[kind]
        off, limit = max(abs(a - b) for a, b in zip(numbers(old, keys), numbers(new, keys))), OUTLINE
    elif kind == "text":
        if old.text != new.text:
            return f"'{new.text}' where '{old.text}' was"
        turn = [[float(n) for n in re.findall(r"[-\d.]+", e.get("transform", "rotate(0)"))][0] for e in (old, new)]
        if abs(math.remainder(turn[0] - turn[1], 360.0)) > 0.5:
            return f"'{old.text}' is turned by {turn[1]} degrees, not {turn[0]}"
        off, limit = max(abs(a - b) for a, b in zip(numbers(old, ("x", "y")), numbers(new, ("x", "y")))), TEXT
    else:
        return None if (old.text or "").strip() == (new.text or "").strip() else f"'{new.text}' where '{old.text}' was"
    return f"{off:.3f} mm apart" if off > limit else None


def elements(root, place=""):
    """Every element with the group it is in."""
    yield place, root
    for child in root:
        inner = f"{place}/{child.get('id')}" if child.tag == SVG + "g" else place
        yield from elements(child, inner)


def compare(old, new):
    mine, theirs = (list(elements(tree.parse(p).getroot())) for p in (old, new))
    found = []
    for (where, a), (place, b) in zip(mine, theirs):
        if where != place:
            found.append(f"{place or 'the page'} where {where or 'the page'} was")
            break
        if what := difference(a, b):
            found.append(f"{where or 'the page'}: {what}")
    if len(mine) != len(theirs):
        found.append(f"{len(theirs)} elements where {len(mine)} were")
    return found


def overlay(old, new, out):
    """Both pictures over each other; the golden one all in grey."""
    ground, top = tree.parse(old).getroot(), tree.parse(new).getroot()
    for e in ground.iter():
        for key in ("stroke", "fill"):
            if e.get(key) not in (None, "none", "#ffffff"):
                e.set(key, "#b0b0b0")
    group = tree.SubElement(ground, SVG + "g", {"id": "new", "style": "mix-blend-mode: multiply"})
    group.extend(list(top))
    out.parent.mkdir(parents=True, exist_ok=True)
    tree.register_namespace("", "http://www.w3.org/2000/svg")
    tree.ElementTree(ground).write(out, encoding="utf-8", xml_declaration=True)


accept = "--accept" in sys.argv
folders = [pathlib.Path(a) for a in sys.argv[1:] if a != "--accept"]
golden, fresh = folders[0], folders[1]
pictures = sorted(golden.rglob("*.svg"))
if len(pictures) < 8:
    print(f"FAILED: only {len(pictures)} golden pictures in {golden.name}")
    sys.exit(1)
failed, compared = 0, 0
for picture in pictures:
    name = picture.relative_to(golden)
    new = fresh / name
    if not new.exists():
        failed += 1
        print(f"FAILED: {name}: it was not drawn")
        continue
    if accept:
        shutil.copyfile(new, picture)
        continue
    compared += 1
    if found := compare(picture, new):
        failed += 1
        overlay(picture, new, folders[2] / name)
        print(f"FAILED: {name}; both over each other: {folders[2].name}/{name}")
        for what in found[:5]:
            print("   ", what)
print(f"{compared} pictures compared" if not accept else f"{len(pictures)} pictures accepted")
sys.exit(1 if failed else 0)

#!/usr/bin/python3
"""What a person would trip over in a picture: words on words, words off the page, lines too thin to print; on piece sheets
names of edges and labels of skive bands on stitch rows, slots, eyelets or any other line.

The boxes of the words come from the metrics of the font itself (DejaVu Sans, read by Pillow), not from the estimate
the program places them by. Strokes: at least 0.09 mm, which an office printer still shows (common practice).
usage: check_look.py FOLDER LEAST_PICTURES
"""
import math
import pathlib
import re
import sys
import xml.etree.ElementTree as tree

try:
    from PIL import ImageFont
    from shapely.affinity import rotate
    from shapely.geometry import LineString, Point, box
    FONTS = {w: ImageFont.truetype(f"/usr/share/fonts/truetype/dejavu/DejaVuSans{w}.ttf", 1000) for w in ("", "-Bold")}
except (ImportError, OSError) as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

SVG = "{http://www.w3.org/2000/svg}"
folder, least = pathlib.Path(sys.argv[1]), int(sys.argv[2])
failures, words, pictures = [], 0, 0


def word_box(e):
    """The ink of a text, turned as it stands on the page."""
    size = float(e.get("font-size"))
    left, top, right, bottom = (v * size / 1000 for v in FONTS["-Bold" if e.get("font-weight") == "bold" else ""].getbbox(e.text, anchor="ls"))
    x, y = float(e.get("x")), float(e.get("y"))
    shift = {"middle": -(left + right) / 2, "end": -right}.get(e.get("text-anchor"), 0.0)
    ink = box(x + left + shift, y + top, x + right + shift, y + bottom)
    turn = re.match(r"rotate\((-?[\d.]+) ", e.get("transform") or "")
    return rotate(ink, float(turn.group(1)), origin=(x, y)) if turn else ink


def line_of(d):
    """A path of moves, lines and arcs of at most a quarter turn; arcs as points 0.1 rad apart."""
    points, numbers = [], re.findall(r"[MLAZ]|-?[\d.]+(?:e-?\d+)?", d)
    while numbers:
        command = numbers.pop(0)
        if command == "Z":
            points.append(points[0])
        elif command in "ML":
            points.append((float(numbers.pop(0)), float(numbers.pop(0))))
        else:
            radius, _, _, _, sweep, x, y = (float(numbers.pop(0)) for _ in range(7))
            (px, py), half = points[-1], math.dist(points[-1], (x, y)) / 2
            away = math.sqrt(max(0.0, radius * radius - half * half)) * (1 if sweep else -1) / (2 * half)
            cx, cy = (px + x) / 2 - (y - py) * away, (py + y) / 2 + (x - px) * away
            start, turn = math.atan2(py - cy, px - cx), 2 * math.asin(min(1.0, half / radius)) * (1 if sweep else -1)
            count = max(1, math.ceil(abs(turn) / 0.1))
            points += [(cx + radius * math.cos(start + turn * k / count), cy + radius * math.sin(start + turn * k / count)) for k in range(1, count)] + [(x, y)]
    return LineString(points)


def names_on_lines(root):
    """Names of edges and labels of skive bands that lie on a line, a hole or a cut-out of the piece."""
    groups = {g.get("id"): g for g in root.iter(SVG + "g")}
    names = [e for key in ("edge-names", "skive") if key in groups for e in groups[key].iter(SVG + "text")]
    drawn = [e for key in ("cut", "cut-out", "hole", "nick", "stitch", "skive", "lap-guide", "grain", "guide", "fold", "net-line") if key in groups
             for e in groups[key].iter() if e.tag in (SVG + "path", SVG + "circle")]
    shapes = [line_of(e.get("d")) if e.get("d") else Point(float(e.get("cx")), float(e.get("cy"))).buffer(float(e.get("r"))) for e in drawn]
    for name in names:
        ink = word_box(name)
        if any(ink.intersects(shape) for shape in shapes):
            yield name.text
    named.extend(e.text for e in names)


named = []  # names and labels that were looked at
for picture in sorted([*folder.glob("nests/*.svg"), *folder.glob("sheets/*.svg")]):
    pictures += 1
    root = tree.parse(picture).getroot()
    page = box(0, 0, *(float(v) for v in root.get("viewBox").split()[2:]))
    texts = [(e.text, word_box(e)) for e in root.iter(SVG + "text") if e.text and e.text.strip()]
    words += len(texts)
    for i, (text, ink) in enumerate(texts):
        if not page.contains(ink):
            failures.append(f"{picture.name}: '{text}' leaves the page")
        for other, under in texts[:i]:
            if ink.intersection(under).area > 0.05 * min(ink.area, under.area):
                failures.append(f"{picture.name}: '{text}' lies on '{other}'")
    if picture.parent.name == "sheets":
        failures += [f"{picture.name}: '{text}' lies on a line or a hole" for text in names_on_lines(root)]
    for e in root.iter():
        width = e.get("stroke-width")
        if width and e.get("stroke") != "none" and float(width) < 0.09:
            failures.append(f"{picture.name}: a line of {width} mm")

if pictures < least:
    failures.append(f"only {pictures} pictures in {folder.name}, wanted {least}")
print(f"{pictures} pictures, {words} words, {len(named)} names of edges and labels of skive bands")
for failure in failures[:30]:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

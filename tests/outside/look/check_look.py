#!/usr/bin/python3
"""What a person would trip over in a picture: words on words, words off the page, lines too thin to print.

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
    from shapely.geometry import box
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
    for e in root.iter():
        width = e.get("stroke-width")
        if width and e.get("stroke") != "none" and float(width) < 0.09:
            failures.append(f"{picture.name}: a line of {width} mm")

if pictures < least:
    failures.append(f"only {pictures} pictures in {folder.name}, wanted {least}")
print(f"{pictures} pictures, {words} words")
for failure in failures[:30]:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

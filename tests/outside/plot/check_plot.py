#!/usr/bin/python3
"""Puts plotted sheets together as a person would: by their names and overlap marks, nothing else.

poppler turns every page into SVG; the check square is measured; sheets that join are laid mark on mark; what each sheet
shows of the cut line is then compared with the true arcs of the DXF for the die, both ways: nothing may lie more than
0.05 mm off, and nothing may be missing.
usage: check_plot.py FOLDER
"""
import math
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree

if not shutil.which("pdftocairo") or not shutil.which("pdftotext"):
    print("skipped: poppler-utils is not installed")
    sys.exit(77)
try:
    import ezdxf
    from shapely.geometry import LinearRing, LineString, MultiLineString, Point, box
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

folder = pathlib.Path(sys.argv[1])
MM = 25.4 / 72
LIMIT = 0.05
PAPERS = {"A4": (210, 297), "A3": (297, 420), "Letter": (215.9, 279.4), "roll 300": (300, None)}
PIECES = ["outsole", "outside quarter"]
SVG = "{http://www.w3.org/2000/svg}"
failures = []


def expect(holds, what):
    if not holds:
        failures.append(what)


def path_points(element):
    """The path in millimetres of the page, y up, curves as 16 chords; and its stroke: colour and width in millimetres."""
    m = re.match(r"matrix\(([^)]*)\)", element.get("transform") or "")
    a, b, c, d, e, f = [float(v) for v in re.split(r"[ ,]+", m.group(1).strip())] if m else (1, 0, 0, 1, 0, 0)
    points, at = [], (0.0, 0.0)
    for command, rest in re.findall(r"([MLCZ])([^MLCZ]*)", element.get("d")):
        v = [float(n) for n in rest.split()]
        if command in "ML" and v:
            at = (v[0], v[1])
            points.append(at)
        elif command == "C":
            p = [at, (v[0], v[1]), (v[2], v[3]), (v[4], v[5])]
            for k in range(1, 17):
                t = k / 16
                w = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3]
                points.append(tuple(sum(w[i] * p[i][j] for i in range(4)) for j in (0, 1)))
            at = p[3]
        elif command == "Z" and points:
            points.append(points[0])
    points = [p for k, p in enumerate(points) if k == 0 or p != points[k - 1]]  # a closed path ends with a move to its start
    style = dict((k.strip(), s.strip()) for k, _, s in (s.partition(":") for s in (element.get("style") or "").split(";")))
    style.update({k: v for k, v in element.attrib.items() if k.startswith("stroke")})
    scale = math.sqrt(abs(a * d - b * c))
    width = float(style.get("stroke-width", 0)) * scale * MM
    return [((a * x + c * y + e) * MM, -(b * x + d * y + f) * MM) for x, y in points], style.get("stroke", "none"), width


def is_black(stroke):
    return re.sub(r"\s", "", stroke) in ("rgb(0%,0%,0%)", "#000000", "black")


class Sheet:
    def __init__(self, pdf, number):
        # Without these options poppler fits every page to a paper of its own.
        with tempfile.TemporaryDirectory() as scratch:
            svg = pathlib.Path(scratch) / "page.svg"
            subprocess.run(["pdftocairo", "-svg", "-noshrink", "-nocenter", "-origpagesizes", "-f", str(number), "-l", str(number), pdf, svg], check=True)
            root = tree.parse(svg).getroot()
        words = subprocess.run(["pdftotext", "-f", str(number), "-l", str(number), pdf, "-"], capture_output=True, text=True).stdout
        self.title = next((p for p in PIECES if re.search(rf"\b{p}, size 11\.5, width H\b", words)), None)
        # The names this sheet speaks of are its neighbours' and, alone, its own.
        words = " ".join(words.split())
        own = re.search(r"row (\d+) of \d+, column (\d+) of \d+", words)
        self.name = (int(own[1]), int(own[2])) if own else (1, 1) if "one sheet" in words else None
        self.corner_marks = "four corner marks must measure 100 mm" in words and "Do not cut along them" in words
        self.joins = {(int(r), int(c)) for r, c in re.findall(r"joins row (\d+), column (\d+)", words)}
        self.size = tuple(float(re.match(r"[\d.]+", root.get(k)).group()) * MM for k in ("width", "height"))
        self.marks, self.cut, self.squares, self.outlined, self.shown = [], [], [], [], None
        for e in root.iter(SVG + "path"):
            points, stroke, width = path_points(e)
            if stroke == "none" or len(points) < 2:
                continue
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            w, h = max(xs) - min(xs), max(ys) - min(ys)
            if len(points) > 30 and abs(w - 3.0) < 0.05 and abs(h - 3.0) < 0.05 and is_black(stroke) and abs(width - 0.15) < 0.02:
                self.marks.append(((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2))
            elif len(points) == 5 and abs(w - 100) < 3 and abs(h - 100) < 3:
                self.squares.append((w, h))
                self.outlined.append(LineString(points))
            elif len(points) == 5 and abs(width - 0.1) < 0.02 and (self.shown is None or w * h > self.shown.area):
                self.shown = box(min(xs), min(ys), max(xs), max(ys))
            elif is_black(stroke) and abs(width - 0.5) < 0.02:
                self.cut.append(LineString(points))


def shift_between(one, other, way):
    """What moves `other` so that its marks near one side fall on those of `one` near the other side."""
    middle = lambda s: ((s.shown.bounds[0] + s.shown.bounds[2]) / 2, (s.shown.bounds[1] + s.shown.bounds[3]) / 2)
    axis = 0 if way[0] else 1
    edge = lambda s, sign: max((m[axis] - middle(s)[axis]) * sign for m in s.marks)
    side = lambda s, sign: sorted(m for m in s.marks if (m[axis] - middle(s)[axis]) * sign > edge(s, sign) - 1.0)
    sign = way[0] or way[1]
    mine, theirs = side(one, sign), side(other, -sign)
    if len(mine) != 3 or len(theirs) != 3:
        return None
    shifts = [(a[0] - b[0], a[1] - b[1]) for a, b in zip(mine, theirs)]
    mean = tuple(sum(s[k] for s in shifts) / 3 for k in (0, 1))
    if max(math.dist(s, mean) for s in shifts) > 0.01:
        return None
    return mean


def put_together(sheets, what):
    """Where each sheet's page lies, by its name: the first at the origin."""
    grid = {s.name: s for s in sheets}
    at, todo = {(1, 1): (0.0, 0.0)}, [(1, 1)]
    while todo:
        r, c = todo.pop()
        for dr, dc in ((0, 1), (0, -1), (1, 0), (-1, 0)):
            n = (r + dr, c + dc)
            if n not in grid or n in at:
                continue
            expect(grid[n].name in grid[r, c].joins, f"{what}: {grid[r, c].name} does not say that it joins {grid[n].name}")
            shift = shift_between(grid[r, c], grid[n], (dc, -dr))
            if shift is None:
                failures.append(f"{what}: the marks of {grid[r, c].name} and {grid[n].name} do not match")
                continue
            at[n] = (at[r, c][0] + shift[0], at[r, c][1] + shift[1])
            todo.append(n)
    expect(len(at) == len(sheets), f"{what}: only {len(at)} of {len(sheets)} sheets could be put together")
    return [(grid[k], at[k]) for k in at]


def ring_of(path):
    """The true arcs of the cut line, chords within 1e-4 mm."""
    (entity,) = [e for e in ezdxf.readfile(path).modelspace() if e.dxf.layer == "CUT"]
    vertices = [(p[0], p[1], p[4]) for p in entity.get_points()]
    points = []
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        points.append((x0, y0))
        if bulge == 0.0:
            continue
        sweep = 4.0 * math.atan(bulge)
        cx = (x0 + x1) / 2 - (y1 - y0) * (1 - bulge * bulge) / (4 * bulge)
        cy = (y0 + y1) / 2 + (x1 - x0) * (1 - bulge * bulge) / (4 * bulge)
        r, start = math.hypot(x0 - cx, y0 - cy), math.atan2(y0 - cy, x0 - cx)
        n = max(1, math.ceil(abs(sweep) / (2 * math.acos(max(0.0, 1 - 1e-4 / r)))))
        points += [(cx + r * math.cos(start + sweep * k / n), cy + r * math.sin(start + sweep * k / n)) for k in range(1, n)]
    return LinearRing(points)


worst, most, squares = 0.0, 0, 0
for paper, (short, long) in PAPERS.items():
    pdf = folder / f"{paper}.pdf"
    pages = int(re.search(r"Pages:\s+(\d+)", subprocess.run(["pdfinfo", pdf], capture_output=True, text=True).stdout).group(1))
    sheets = [Sheet(pdf, n) for n in range(1, pages + 1)]
    for s in sheets:
        expect(s.name and s.title and s.shown is not None, f"{paper}: a sheet without a name, a title or a frame: {s.name} {s.title}")
        sides = sorted(s.size)
        if long:
            expect(abs(sides[0] - short) < 0.01 and abs(sides[1] - long) < 0.01, f"{paper}: a page of {s.size}")
        else:
            expect(min(abs(v - short) for v in s.size) < 0.01, f"{paper}: a page of {s.size} on a roll of {short}")
        expect(len(s.squares) == (0 if s.corner_marks else 1), f"{paper} {s.name}: {len(s.squares)} check squares")
        # A side of the square that a piece's line meets would be cut along by somebody.
        for square in s.outlined:
            for line in s.cut:
                expect(not square.intersects(line), f"{paper} {s.name}: the check square crosses a cut line")
        for w, h in s.squares:
            squares += 1
            expect(abs(w - 100) < LIMIT and abs(h - 100) < LIMIT, f"{paper} {s.name}: check square {w:.4f} x {h:.4f}")
    if failures:
        break
    for piece in PIECES:
        what = f"{paper}, {piece}"
        own = [s for s in sheets if s.title == piece]
        expect(own, f"{what}: no sheet")
        if not own:
            continue
        most = max(most, len(own))
        parts = []
        for s, (dx, dy) in put_together(own, what):
            for line in s.cut:
                seen = line.intersection(s.shown)
                for part in getattr(seen, "geoms", [seen]):
                    if part.geom_type == "LineString" and not part.is_empty:
                        parts.append(LineString([(x + dx, y + dy) for x, y in part.coords]))
        ring = ring_of(folder / "graded" / "pieces" / piece / f"{piece} 11.5 H.dxf")
        plotted = MultiLineString(parts)
        sx, sy = ring.bounds[0] - plotted.bounds[0], ring.bounds[1] - plotted.bounds[1]
        parts = [LineString([(x + sx, y + sy) for x, y in p.coords]) for p in parts]
        plotted = MultiLineString(parts)
        off = max(ring.distance(Point(p)) for part in parts for p in part.coords)
        count = 2000 if os.environ.get("TESTS_LONG") else 600
        missing = max(plotted.distance(ring.interpolate(ring.length / count * k)) for k in range(count))
        worst = max(worst, off, missing)
        expect(off < LIMIT, f"{what}: a plotted point is {off:.4f} mm off the true outline")
        expect(missing < LIMIT, f"{what}: {missing:.4f} mm from the outline to what is plotted of it")

# On a roll drawings lie side by side, each with its title, and the page ends where they end.
wide = folder / "roll 900.pdf"
on_roll = Sheet(wide, 1)
words = " ".join(subprocess.run(["pdftotext", wide, "-"], capture_output=True, text=True).stdout.split())
expect("Pages:           1\n" in subprocess.run(["pdfinfo", wide], capture_output=True, text=True).stdout, "roll 900: the pieces are not on one page")
expect(min(abs(v - 900) for v in on_roll.size) < 0.01 and max(on_roll.size) < 901, f"roll 900: a page of {on_roll.size}")
rings = [ring_of(folder / "graded" / "pieces" / piece / f"{piece} 11.5 H.dxf") for piece in PIECES]
for piece, ring in zip(PIECES, rings):
    w, h = ring.bounds[2] - ring.bounds[0], ring.bounds[3] - ring.bounds[1]
    same = [line for line in on_roll.cut if abs(line.bounds[2] - line.bounds[0] - w) < 2 * LIMIT and abs(line.bounds[3] - line.bounds[1] - h) < 2 * LIMIT]
    expect(len(same) == 1, f"roll 900, {piece}: {len(same)} cut lines of its size")
    expect(f"{piece}, size 11.5, width H" in words, f"roll 900: no title of {piece}")
expect(not any(one.intersects(other) for one in on_roll.cut for other in on_roll.cut if one is not other), "roll 900: two drawings lie on each other")

expect(most >= 2 and squares >= 8, f"too little: at most {most} sheets a piece, {squares} squares")
print(f"{squares} check squares; outlines put together from up to {most} sheets, worst {worst:.4f} mm off")
for failure in failures[:20]:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

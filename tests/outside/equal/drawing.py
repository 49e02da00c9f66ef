"""A style as its user has it: DXF drawings and a style file in a folder, drawn in one of many ways.

A way is a dict; unset keys mean: {"unit": "mm", "layout": "blocks" | "layers" | "one layer" | "open", "entities": "each" | "polyline",
"splines": "plain" | "long" | "bezier chain", "arcs": "arc" | "spline", "cut": an edge cut into this many entities,
"shuffle": seed, "insert": seed of places for the blocks, "header": unit the file claims, "files": further files by name}.
The pieces are in the forme's frame, unless a piece has "lies" (a Motion from there to the sheet).
"""
import cmath
import json
import math
import random

from curves import Motion, centre, ends, split

UNIT = {"mm": (1.0, 4), "cm": (10.0, 5), "in": (25.4, 1)}


def num(x):
    return repr(float(x))


class Tags:
    def __init__(self, unit):
        self.lines, self.per = [], UNIT[unit][0]

    def add(self, *pairs):
        for code, value in pairs:
            self.lines.append(f"{code}\n{value}")

    def xy(self, z, code=10):
        z = z / self.per
        self.add((code, num(z.real)), (code + 10, num(z.imag)))

    def seg(self, seg, layer, way):
        if seg[0] == "line":
            self.add((0, "LINE"), (8, layer))
            self.xy(seg[1])
            self.xy(seg[2], 11)
        elif seg[0] == "arc" and way.get("arcs") != "spline":
            c, r = centre(seg)
            a, b = (seg[1], seg[2]) if seg[3] > 0 else (seg[2], seg[1])
            self.add((0, "ARC"), (8, layer))
            self.xy(c)
            self.add((40, num(r / self.per)), (50, num(math.degrees(cmath.phase(a - c)) % 360)), (51, num(math.degrees(cmath.phase(b - c)) % 360)))
        elif seg[0] == "arc":
            c, r = centre(seg)  # an arc of less than half a circle is one rational Bezier of the second degree
            bulge = seg[3]
            half = (seg[2] - seg[1]) / 2
            turn = 2 * math.atan(bulge)
            tip = (seg[1] + seg[2]) / 2 - 1j * half * math.tan(turn)
            self.spline(2, [0, 0, 0, 1, 1, 1], [seg[1], tip, seg[2]], [1, math.cos(turn), 1], layer)
        else:
            self.spline(3, [0] * 4 + [1] * 4, seg[1:], None, layer)

    def spline(self, degree, knots, points, weights, layer):
        self.add((0, "SPLINE"), (8, layer), (70, 12 if weights else 8), (71, degree), (72, len(knots)), (73, len(points)), (74, 0))
        self.add(*((40, num(k)) for k in knots))
        if weights:
            self.add(*((41, num(w)) for w in weights))
        for p in points:
            self.xy(p)
            self.add((30, "0.0"))

    def polyline(self, segs, layer, closed, old=False):
        points = [ends(s)[0] for s in segs] + ([] if closed else [ends(segs[-1])[1]])
        bulges = [s[3] if s[0] == "arc" else 0.0 for s in segs] + ([] if closed else [0.0])
        if old:
            self.add((0, "POLYLINE"), (8, layer), (66, 1), (70, int(closed)))
        else:
            self.add((0, "LWPOLYLINE"), (8, layer), (90, len(points)), (70, int(closed)))
        for p, b in zip(points, bulges):
            if old:
                self.add((0, "VERTEX"), (8, layer))
            self.xy(p)
            self.add((42, num(b)))
        if old:
            self.add((0, "SEQEND"), (8, layer))


def knots_inserted(seg, parts):
    """A Bezier as a B-spline of `parts` Beziers with the full knots between them."""
    pieces, rest = [], seg
    for k in range(parts, 1, -1):
        first, rest = split(rest, 1 / k)
        pieces.append(first)
    pieces.append(rest)
    points = [pieces[0][1]] + [p for piece in pieces for p in piece[2:]]
    knots = [0] * 4 + [k / parts for k in range(1, parts) for _ in range(3)] + [1] * 4
    return knots, points


def smooth_knots(seg, at=0.4):
    """The same Bezier with one knot inserted once: five control points."""
    _, p, a, b, q = seg
    return [0] * 4 + [at] + [1] * 4, [p, p + (a - p) * at, a + (b - a) * at, b + (q - b) * at, q]


def draw_piece(tags, piece, way, layer, rng):
    """Outline and marks; `layer` maps a published layer number to the one it is drawn on."""
    lies = piece.get("lies") or (lambda seg: seg)
    place = piece.get("lies") or (lambda p: p)
    put = lies.seg if piece.get("lies") else (lambda seg: seg)
    jobs, outline = [], []
    for edge in piece["edges"]:
        for seg in edge:
            parts, rest = [], put(seg)
            for k in range(way.get("cut", 1), 1, -1):
                first, rest = split(rest, 1 / k)
                parts.append(first)
            outline += parts + [rest]
    if way.get("entities") in ("polyline", "old polyline"):
        whole = all(s[0] != "bez" for s in outline)
        old = way["entities"] == "old polyline"
        if whole:
            shift = rng.randrange(len(outline))
            jobs.append(lambda t, o=outline[shift:] + outline[:shift]: t.polyline(o, layer("1"), True, old))
            outline = []
        else:  # runs of lines and arcs between the splines
            run, rest = [], []
            first = next(i for i, s in enumerate(outline) if s[0] == "bez")
            for seg in outline[first:] + outline[:first] + [("bez",)]:
                if seg[0] != "bez":
                    run.append(seg)
                    continue
                if run:
                    jobs.append(lambda t, r=run: t.polyline(r, layer("1"), False, old))
                run = []
                rest.append(seg)
            outline = rest[:-1]
    for seg in outline:
        if way.get("reverse") and rng.random() < 0.5:
            seg = ("arc", seg[2], seg[1], -seg[3]) if seg[0] == "arc" else (seg[0], *seg[:0:-1])
        if seg[0] == "bez" and way.get("splines") in ("long", "smooth"):
            knots, points = knots_inserted(seg, 3) if way["splines"] == "long" else smooth_knots(seg)
            jobs.append(lambda t, k=knots, p=points: t.spline(3, k, p, None, layer("1")))
        else:
            jobs.append(lambda t, s=seg: t.seg(s, layer("1"), way))
    for mark in piece["marks"]:
        on = layer(mark["layer"])
        if "seg" in mark:
            jobs.append(lambda t, m=mark, on=on: t.seg(put(m["seg"]), on, way))
        elif "circle" in mark:
            def circle(t, m=mark, on=on):
                t.add((0, "CIRCLE"), (8, on))
                t.xy(place(m["circle"][0]))
                t.add((40, num(m["circle"][1] / t.per)))
            jobs.append(circle)
        elif "point" in mark:
            def dot(t, m=mark, on=on):
                t.add((0, "POINT"), (8, on))
                t.xy(place(m["point"]))
            jobs.append(dot)
        else:
            def text(t, m=mark, on=on):
                at, says, height = m["text"]
                t.add((0, "TEXT"), (8, on))
                t.xy(place(at))
                t.add((40, num(height / t.per)), (1, says), (50, num(math.degrees(m.get("angle", 0.0) + (lies.angle if piece.get("lies") else 0.0)))))
            jobs.append(text)
    if way.get("shuffle"):
        rng.shuffle(jobs)
    for job in jobs:
        job(tags)


ROLES = {"1": "boundary", "4": "notches", "7": "grain line", "8": "internal lines", "11": "cut-outs", "13": "drill holes", "14": "sew lines", "15": "text"}


def draw(pieces, way, path):
    """One drawing; returns the "layers" of its entry in the style."""
    unit, layout = way.get("unit", "mm"), way.get("layout", "blocks")
    blocks, open_part, layers = Tags(unit), Tags(unit), {}
    order = list(pieces)
    if way.get("shuffle"):
        random.Random(f"{way['shuffle']} order").shuffle(order)
    for piece in order:
        name = piece["entry"]["name"]
        rng = random.Random(f"{way.get('shuffle', 0)} {name}")
        key = name.upper().replace(" ", "_")
        if layout == "blocks":
            blocks.add((0, "BLOCK"), (8, "0"), (2, key), (70, 0))
            blocks.xy(0j)
            motion = Motion()
            if way.get("insert"):
                there = random.Random(f"{way['insert']} {name}")
                motion = Motion(there.choice((0, 0.5, math.pi / 2, there.uniform(-3, 3))), complex(there.uniform(-400, 400), there.uniform(-90, 90)), there.random() < 0.3)
                piece = {**piece, "lies": motion.inverse()}
            draw_piece(blocks, piece, way, str, rng)
            blocks.add((0, "ENDBLK"), (8, "0"))
            open_part.add((0, "INSERT"), (8, "0"), (2, key))
            open_part.xy(motion.shift)
            # INSERT scales, then turns: a mirror in the x axis first.
            open_part.add((41, "1.0"), (42, "-1.0" if motion.mirrored else "1.0"), (50, num(math.degrees(motion.angle))))
        elif layout == "layers":
            def own(number):
                layers[f"{key} {number}"] = ROLES[number]
                return f"{key} {number}"
            draw_piece(open_part, piece, way, own, rng)
        elif layout == "one layer":
            layers[key] = ROLES["1"]
            draw_piece(open_part, piece, way, lambda number: key, rng)
        else:
            draw_piece(open_part, piece, way, str, rng)
    head = f"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n{UNIT[way.get('header', unit)][1]}\n0\nENDSEC\n"
    body = "0\nSECTION\n2\nBLOCKS\n" + "\n".join(blocks.lines + ["0\nENDSEC"]) + "\n0\nSECTION\n2\nENTITIES\n" + "\n".join(open_part.lines + ["0\nENDSEC\n0\nEOF\n"])
    path.write_text(head + body, encoding="utf-8")
    return layers


def plain(value):
    """Complex numbers and Fractions as JSON has them."""
    if isinstance(value, complex):
        return [value.real, value.imag]
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(v) for v in value]
    return value


def write_style(make, way, folder):
    """Writes drawings and style.json; the style's path."""
    folder.mkdir(parents=True, exist_ok=True)
    style = plain(make["style"])
    style["drawings"], style["pieces"] = {}, []
    formes = list(style["formes"])
    for forme in formes:
        pieces = [p for p in make["pieces"] if p["entry"]["forme"] == forme]
        layers = draw(pieces, way, folder / f"{forme}.dxf")
        style["drawings"][forme] = {"file": f"{forme}.dxf", **({"layers": layers} if layers else {}), **({"units": way["unit"]} if "header" in way else {}),
                                    **({"inside": ROLES["13"]} if way.get("layout") == "one layer" else {})}
        for piece in pieces:
            entry = plain(piece["entry"])
            key = entry["name"].upper().replace(" ", "_")
            outline, lies = {"drawing": forme}, piece.get("lies", Motion())
            if way.get("layout", "blocks") == "blocks":
                outline["block"] = key
            elif way["layout"] == "layers":
                outline["layer"] = f"{key} 1"
            elif way["layout"] == "one layer":
                outline["layer"] = key
            else:
                outline["at"] = plain(lies(piece["middle"]))
            corners = {}
            for corner, edge in zip(piece["corners"], piece["edges"]):
                at = corner.get("point") or plain(lies(ends(edge[0])[0]))
                corners[corner["name"]] = {"at": at, "form": corner["form"]} if "form" in corner else at
            style["pieces"].append({**entry, "outline": outline, "corners": corners, "features": plain(piece["features"])})
    for name, content in way.get("files", {}).items():
        (folder / name).write_text(json.dumps(content), encoding="utf-8")
    text = json.dumps(style, indent=1)
    if way.get("keys"):
        text = json.dumps(reordered(style, random.Random(way["keys"])), indent=1)
    path = folder / "style.json"
    path.write_text(text, encoding="utf-8")
    return path


def reordered(value, rng):
    """The same JSON with its keys in another order; what follows the file's order is put back by the caller's eyes."""
    if isinstance(value, dict):
        keys = list(value)
        rng.shuffle(keys)
        return {k: reordered(value[k], rng) for k in keys}
    if isinstance(value, list):
        return [reordered(v, rng) for v in value]
    return value

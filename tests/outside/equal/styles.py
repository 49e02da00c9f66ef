"""Random but sound styles: a shell forme cut into neighbouring pieces, a bottom forme with an insole and what lies on it.

A style is {"style": what stands in the style file but for outlines and corners, "pieces": {name: {"edges": net edges in
the forme's frame, "corners": [{"name", "form" or "point"}], "marks": what is drawn with the piece}}}. All is in the
frame of the formes, in millimetres; drawing.py draws it.
"""
import random

from curves import end, point, start
from features import features_of, marks_of
from parts import FOOT, curved, forme, piece_of, run_of
from shell import Shell, shell_forme, shell_pieces


def sole(rng, length, scale):
    """A sole's outline as (heel, inside joint, toe, outside joint) smooth Beziers, grown by `scale` about its middle."""
    wide = length * rng.uniform(0.33, 0.36)
    x = lambda s: s * length
    nodes = [0j, complex(x(0.68), -0.46 * wide), complex(length, 0.02 * wide), complex(x(0.64), 0.54 * wide)]
    tangents = [-1j, 1 + 0.05j, 1j, -1 + 0.03j]
    pulls = [(0.30, 0.42), (0.22, 0.42), (0.42, 0.22), (0.42, 0.30)]
    about = complex(length / 2, 0)
    grow = lambda z: about + (z - about) * scale
    out = []
    for i in range(4):
        p, q = nodes[i], nodes[(i + 1) % 4]
        d = abs(q - p)
        out.append([("bez", grow(p), grow(p + tangents[i] * d * pulls[i][0]), grow(q - tangents[(i + 1) % 4] * d * pulls[i][1]), grow(q))])
    return out


def bottom_pieces(rng, length):
    insole = sole(rng, length * 0.97, 1.0)
    pieces = []

    def plain(name, edges, treatment, add, forms=False):
        spec = [{"name": f"e{i}", "treatment": treatment, "allowance": add} for i in range(len(edges))]
        pieces.append(piece_of(rng, name, "bottom", edges, spec))
    plain("insole", insole, rng.choice(("raw", "trim")), 0)
    if rng.random() < 0.6:
        plain("outsole", insole, "trim", rng.choice((2, 3)))
    if rng.random() < 0.6:
        w, x = rng.uniform(5, 9), length * 0.2
        box = [complex(x, -w), complex(length * 0.55, -w), complex(length * 0.55, w), complex(x, w)]
        kinds = [("line", "arc"), ("line",)]
        edges = [[curved(rng, box[i], box[(i + 1) % 4], 0.05, kinds[i % 2])] for i in range(4)]
        plain("shank", edges, "trim", rng.choice((0, 1.5)))
    if rng.random() < 0.4:
        pieces.append(half(rng, length))
    return pieces, insole


def half(rng, length):
    """A piece that is cut double, folded on the base line."""
    a, b, w = length * rng.uniform(0.1, 0.2), length * rng.uniform(0.4, 0.6), rng.uniform(22, 30)
    box = [complex(a, 0), complex(b, 0), complex(b - rng.uniform(0, 5), w), complex(a + rng.uniform(0, 5), w)]
    edges = [[("line", box[0], box[1])]] + [[curved(rng, box[i], box[(i + 1) % 4], 0.05)] for i in (1, 2, 3)]
    treatment = rng.choice(("raw", "trim", "lap"))
    spec = [{"name": "fold", "treatment": "fold", "allowance": 0, "straight": True}]
    spec += [{"name": f"e{i}", "treatment": treatment, "allowance": 0 if treatment == "raw" else rng.choice((2, 6))} for i in (1, 2, 3)]
    return piece_of(rng, "half", "bottom", edges, spec, "fold")


def make_style(seed):
    rng = random.Random(seed)
    head, length, (girth_size, girth_width, tread_size, tread_width), sizes = run_of(rng)
    kind = rng.choice(("upper", "upper", "upper", "bottom", "both"))
    style = {"lastwright_style": 1, "name": f"Style {seed}", **head, "measures": {"length": {"from_scale": True}}, "formes": {}, "pieces": [], "seams": []}
    if head["scale"] in FOOT:  # the scale sizes the foot: the last is longer and has its own figures
        length += 15
        style["measures"]["length"] = {"base": round(length, 4), "per_size": FOOT[head["scale"]]}
        style["measures"]["length"]["per_width"] = 0
    if rng.random() < 0.2:
        style["measures"]["length"]["per_width"] = "0.5 mm"
    pieces, measures = [], style["measures"]
    tread_base = length * 0.33
    if kind != "upper":
        made, insole = bottom_pieces(rng, length)
        pieces += made
        a, b = start(insole[1]), start(insole[3])
        tread_base = abs(b - a)
        points = {"heel": 0j, "toe": start(insole[2]), "inside joint": a, "outside joint": b, "seat in": point(insole[0][0], 0.35), "seat out": point(insole[3][0], 0.65)}
        points["end"] = complex(length, 0)
        rules = [{"measure_line": "length", "from": "heel", "to": "end", "carries": {"length": 1}},
                 {"measure_line": "tread line", "from": "inside joint", "to": "outside joint", "carries": {"tread": 1}}]
        if rng.random() < 0.5:
            measures["seat"] = {"base": round(abs(points["seat in"] - points["seat out"]), 4), "per_size": "1/16 in", "per_width": "1/18 in"}
            rules.append({"measure_line": "seat line", "from": "seat in", "to": "seat out", "carries": {"seat": 1}})
        style["formes"]["bottom"] = forme(rng, points, ("heel", "end"), "tread line", rules)
    measures["tread"] = {"base": round(tread_base, 4), "per_size": tread_size, "per_width": tread_width}
    if kind != "bottom":
        shell = Shell(rng, length, rng.randint(2, 6))
        made, seams = shell_pieces(rng, shell, sizes)
        pieces += made
        style["seams"] = seams
        style["formes"]["shell"] = shell_forme(rng, shell, measures, length, (girth_size, girth_width, tread_base))
        if rng.random() < 0.3:
            for p in made:
                p["entry"]["layer"] = "uppers"
        if rng.random() < 0.12:  # one short edge keeps its shape
            p = rng.choice(made)
            short = [e for e, edge in zip(p["entry"]["edges"], p["edges"]) if 8 < abs(end(edge) - start(edge)) < 45 and e["name"] != p["entry"].get("fold")]
            if short:
                rng.choice(short)["held"] = True
    if rng.random() < 0.15 and measures["tread"]["per_size"]:
        measures["tread"]["breaks"] = [{"from": sizes[0], "to": sizes[1], "per_size": "1 mm"}]
    for p in pieces:
        features_of(rng, p, sizes)
        marks_of(rng, p)
    if any("size_marks" in f for p in pieces for f in p["features"]):
        style["codes"] = {"sizes": {"of": "size", "marks": {s: [k for k in range(1, 4) if (i + 1) >> (k - 1) & 1] for i, s in enumerate(sizes)}}}
    if rng.random() < 0.15 and len(sizes) > 3:
        p = rng.choice(pieces)
        p["entry"]["sizes_tied"] = [{"from": sizes[0], "to": sizes[1], "as": sizes[0]}]
    return {"style": style, "pieces": pieces, "sizes": sizes}

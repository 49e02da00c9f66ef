"""Random but sound styles: a shell forme cut into neighbouring pieces, a bottom forme with an insole and what lies on it.

A style is {"style": what stands in the style file but for outlines and corners, "pieces": {name: {"edges": net edges in
the forme's frame, "corners": [{"name", "form" or "point"}], "marks": what is drawn with the piece}}}. All is in the
frame of the formes, in millimetres; drawing.py draws it.
"""
import math
import random
from fractions import Fraction

from curves import end, inside_angle, point, split, start
from features import features_of, marks_of

# key, ladder, length of a size in mm, labels to choose a run from, widths, the step of the run, what a girth and a tread
# grow by for a size and a width. Lengths after reference-tables/scale-*.json; the increments are of the usual order.
INCH = Fraction(254, 10)
SCALES = [
    ("english", "english-letters", lambda n: INCH * (25 + n) / 3, (3, 12), "DEFGH", ("1", "1/2"), ("1/4 in", "1/4 in", "1/12 in", "1/9 in")),
    ("american-men", "american-letters", lambda n: INCH * (24 + n) / 3, (5, 13), ["B", "C", "D", "E", "EE"], ("1", "1/2"), ("1/4 in", "1/4 in", "1/12 in", "3/32 in")),
    ("american-women", "american-letters", lambda n: 2 * INCH * (22 + n) / 6 + INCH / 6, (4, 11), ["AA", "A", "B", "C", "D"], ("1", "1/2"), ("1/4 in", "3/16 in", "1/12 in", "1/12 in")),
    ("paris-point", "french-types", lambda n: Fraction(20, 3) * n, (30, 46), "12345", ("1", "1/2"), ("5 mm", "5 mm", "5/3 mm", "1.5 mm")),
    ("mondopoint-5", "english-numbers", lambda n: Fraction(n), (210, 290), "45678", ("1",), ("4 mm", "6 mm", 1.25, "2 mm")),
    ("chinese", "chinese-types", lambda n: Fraction(n), (200, 280), ["1.5", "2", "2.5", "3"], ("1", "1/2"), ("7 mm", "3.5 mm", "2.6 mm", "1.3 mm")),
    ("jis-men", "jis-letters", lambda n: Fraction(10) * n, (22, 29), ["D", "E", "EE", "EEE"], ("1",), ("3 mm", "6 mm", "1.2 mm", "2.2 mm")),
]
LABEL_STEP = {"mondopoint-5": Fraction(5), "chinese": Fraction(10), "jis-men": Fraction(1, 2)}
FOOT = {"mondopoint-5": "5 mm", "chinese": "10 mm", "jis-men": "5 mm"}
TREATMENTS = {"lasting": (12, 20), "lap": (6, 10), "fold": (4, 6), "closed seam": (1.5, 3), "open seam": (1.5, 4),
              "bound": (0, 0), "raw": (0, 0), "bagged": (2, 4), "trim": (2, 5)}


def label(number):
    return str(number.numerator) if number.denominator == 1 else str(float(number))


def run_of(rng):
    """The keys scale, ladder, base and run of a style, the base's length, the increments and the labels of its sizes."""
    key, ladder, length, (low, high), widths, steps, grows = rng.choice(SCALES)
    by = Fraction(rng.choice(steps))
    step = LABEL_STEP.get(key, Fraction(1)) * by
    count = rng.randint(3, 5)
    first = low + step * rng.randint(0, max(0, int((high - low) / step) - count))
    sizes = [Fraction(first) + step * i for i in range(count)]
    some = sorted(rng.sample(range(len(widths)), rng.randint(1, 3)))
    base = rng.choice(sizes)
    run = {"from": label(sizes[0]), "to": label(sizes[-1]), "by": str(by), "widths": [widths[i] for i in some]}
    head = {"scale": key, "ladder": ladder, "base": {"size": label(base), "width": rng.choice(run["widths"])}, "run": run}
    return head, float(length(base)), grows, [label(s) for s in sizes]


def curved(rng, p, q, most=0.12, kinds=("line", "arc", "bez")):
    """A random gentle edge from p to q."""
    kind = rng.choice(kinds)
    if kind == "line" or abs(q - p) < 15:
        return ("line", p, q)
    if kind == "arc":
        return ("arc", p, q, rng.choice((-1, 1)) * rng.uniform(0.02, most))
    side = 1j * (q - p)
    return ("bez", p, p + (q - p) / 3 + side * rng.uniform(-most, most), p + (q - p) * 2 / 3 + side * rng.uniform(-most, most), q)


def allowance(rng, treatment):
    low, high = TREATMENTS[treatment]
    return round(rng.uniform(low, high) * 2) / 2


class Shell:
    """Columns between heel and toe, each cut into one to three rows; what two cells share is one line."""

    def __init__(self, rng, length, columns):
        self.rng, self.length, self.columns = rng, length, columns
        self.height = rng.choice((58, 75, 130)) * length / 280
        xs = [0.0]
        for i in range(1, columns):
            xs.append(length * i / columns + rng.uniform(-0.04, 0.04) * length)
        self.bottom = [complex(x, rng.uniform(-6, -1)) for x in xs] + [complex(length * rng.uniform(0.93, 0.97), -6)]
        self.bottom[0] = 0j
        self.toe = complex(length, 30 * length / 280)
        # Where the throat lies: from here on the upper ends in a straight fold that runs down to the toe.
        self.throat = max(1, columns - rng.choice((1, 1, 2)))
        throat_x = xs[self.throat] - rng.uniform(0, 8)
        peak = complex(throat_x, self.toe.imag + (length - throat_x) * 0.46)
        back = complex(rng.uniform(-2, 4), self.height)
        self.top = []
        for i in range(columns + 1):
            if i == 0:
                self.top.append(back)
            elif i <= self.throat:
                s = i / self.throat
                self.top.append(back + (peak - back) * s if i < self.throat else peak)
            else:
                s = (xs[i] - throat_x) / (length - throat_x) if i < columns else 1.0
                self.top.append(peak + (self.toe - peak) * s)
        self.cuts = []  # of each column the shares of its height at its left and its right side
        for i in range(columns):
            low = min(abs(self.top[i] - self.bottom[i]), abs(self.top[i + 1] - self.bottom[i + 1]))
            n = rng.choice((0, 1)) if low > 50 else 0
            n = 2 if n == 1 and low > 100 and rng.random() < 0.4 else n
            self.cuts.append([((k + 1) / (n + 1) + rng.uniform(-.06, .06), (k + 1) / (n + 1) + rng.uniform(-.06, .06)) for k in range(n)])
        self.sides = [self._side(i) for i in range(columns + 1)]

    def _side(self, i):
        """Side i from bottom to top as [(share, point)], and the segments between."""
        rng = self.rng
        shares = [c[1] for c in self.cuts[i - 1]] if i > 0 else []
        merged = list(shares)
        for cut, (left, _) in enumerate(self.cuts[i] if i < self.columns else []):
            near = [s for s in shares if abs(s - left) < 0.2]
            if near:  # one node for both neighbours
                self.cuts[i][cut] = (near[0], self.cuts[i][cut][1])
            else:
                merged.append(left)
        kinds = ("arc",) if i == self.columns else ("line", "arc", "bez")
        whole = curved(rng, self.bottom[i], self.top[i], 0.10, kinds)
        if i == self.columns:
            whole = ("arc", self.bottom[i], self.top[i], rng.uniform(0.1, 0.3))
        parts, rest, done = [], whole, 0.0
        for s in sorted(merged):
            first, rest = split(rest, (s - done) / (1 - done))
            parts.append((done, s, first))
            done = s
        return parts + [(done, 1.0, rest)]

    def side(self, i, low, high):
        return [seg for a, b, seg in self.sides[i] if a >= low - 1e-12 and b <= high + 1e-12]

    def cells(self):
        """(column, row, {"bottom", "right", "top", "left"}: lists of edges, counter-clockwise)."""
        rng, out = self.rng, []
        for i in range(self.columns):
            levels = [(0.0, 0.0), *self.cuts[i], (1.0, 1.0)]
            lines = []
            for k, (left, right) in enumerate(levels):
                p = start([self.side(i, left, 1.0)[0]]) if left < 1 else self.top[i]
                q = start([self.side(i + 1, right, 1.0)[0]]) if right < 1 else self.top[i + 1]
                on_fold = k == len(levels) - 1 and i >= self.throat
                lines.append(("line", p, q) if on_fold else curved(rng, p, q, 0.08))
            for k in range(len(levels) - 1):
                (l0, r0), (l1, r1) = levels[k], levels[k + 1]
                backward = lambda segs: [_reversed(s) for s in reversed(segs)]
                out.append((i, k, {"bottom": [lines[k]], "right": self.side(i + 1, r0, r1), "top": backward([lines[k + 1]]),
                                   "left": backward(self.side(i, l0, l1))}, k == 0, k == len(levels) - 2))
        return out


def _reversed(seg):
    if seg[0] == "arc":
        return ("arc", seg[2], seg[1], -seg[3])
    return (seg[0], *seg[:0:-1])


def shell_pieces(rng, shell, sizes):
    pieces, edges_at, seams = [], {}, []
    lasting = allowance(rng, "lasting")
    grows = {rng.choice(sizes[1:]): lasting + 1} if rng.random() < 0.3 else {}
    for i, k, sides, lowest, highest in shell.cells():
        name = f"upper {i} {k}"
        on_fold = highest and i >= shell.throat
        edges, spec, corners = [], [], []
        for side in ("bottom", "right", "top", "left"):
            outer = {"bottom": lowest, "top": highest, "left": i == 0, "right": i == shell.columns - 1}[side]
            if side == "top" and on_fold:
                treatment, add = "fold", 0
            elif outer and side != "top" and side != "left":
                treatment, add = "lasting", lasting
            elif outer and side == "top":
                treatment = rng.choice(("fold", "bound", "raw", "bagged", "trim"))
                add = allowance(rng, treatment)
            elif outer:
                treatment, add = "closed seam", 1.5
            else:
                treatment = rng.choice(("lap", "raw", "fold", "closed seam", "open seam"))
                add = allowance(rng, treatment)
            for j, seg in enumerate(sides[side]):
                one = {"name": side if len(sides[side]) == 1 else f"{side} {j}", "treatment": treatment, "allowance": add}
                if side == "top" and on_fold:
                    one["straight"] = True
                if treatment == "lasting" and grows:
                    one["allowance_from"] = dict(grows)
                if seg[0] == "line" and not outer and rng.random() < 0.05:
                    one["straight"] = True
                spec.append(one)
                edges.append([seg])
                key = tuple(sorted((round(z.real, 6), round(z.imag, 6)) for z in (start([seg]), end([seg]))))
                if key in edges_at:
                    other = edges_at[key]
                    seams.append({"name": f"{other[0]} {other[1]} to {name} {one['name']}", "one": {"piece": other[0], "edge": other[1]},
                                  "other": {"piece": name, "edge": one["name"]}})
                edges_at[key] = (name, one["name"])
        folded = on_fold and rng.random() < 0.75
        pieces.append(piece_of(rng, name, "shell", edges, spec, "top" if folded else None))
    return pieces, seams


def piece_of(rng, name, forme, edges, spec, fold=None, double=2):
    """The style's entry, the geometry, and the corners with their forms."""
    corners = []
    for i in range(len(edges)):
        corner = {"name": f"c{i}"}
        angle = inside_angle(edges[i - 1], edges[i])
        pair = (spec[i - 1]["allowance"], spec[i]["allowance"])
        on_fold = fold is not None and fold in (spec[i - 1]["name"], spec[i]["name"])
        if not on_fold and 50 < angle < 130 and max(pair) > 0:
            chance = rng.random()
            if chance < 0.3:
                corner["form"] = rng.choice(("square", "step", "round"))
            elif chance < 0.6:
                corner["form"] = "mitre"
        corners.append(corner)
        spec[i]["from"], spec[i]["to"] = f"c{i}", f"c{(i + 1) % len(edges)}"
    entry = {"name": name, "forme": forme, "edges": spec, "hand": rng.choice(("handed", "handed", "reversible")), "per_pair": double,
             "material": "calf"}
    if fold:
        entry["fold"], entry["hand"] = fold, "symmetric"
    return {"entry": entry, "edges": [list(edge) for edge in edges], "corners": corners, "features": [], "marks": []}


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
    return pieces, insole


def forme(rng, points, length_line, girth_line, rules):
    return {"points": points, "base_line": list(length_line), "fixed": length_line[0], "length_line": "length", "girth_line": girth_line, "rules": rules}


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


def shell_forme(rng, shell, measures, length, girth):
    points = {"heel": 0j, "stick end": complex(length, 0), "toe": shell.toe}
    for i in range(1, shell.columns):
        points[f"low {i}"], points[f"high {i}"] = shell.bottom[i], shell.top[i]
    points["back top"] = shell.top[0]
    ball = min(range(1, shell.columns), key=lambda i: abs(shell.bottom[i].real - 0.68 * length))
    span = abs(shell.top[ball] - shell.bottom[ball])
    girth_size, girth_width, tread = girth
    measures["ball girth"] = {"base": round(2 * span + tread, 4), "per_size": girth_size, "per_width": girth_width}
    rules = [{"measure_line": "length", "from": "heel", "to": "stick end", "carries": {"length": 1}},
             {"measure_line": "ball line", "from": f"high {ball}", "to": f"low {ball}", "carries": {"ball girth": "1/2", "tread": "-1/2"}}]
    if rng.random() < 0.5:
        measures["back height"] = {"base": round(abs(shell.top[0]), 4), "per_size": "1/12 in", "per_width": 0}
        rules.append({"measure_line": "back", "from": "heel", "to": "back top", "carries": {"back height": 1}})
    fold = [f"high {i}" for i in range(shell.throat, shell.columns)] + ["toe"]
    if rng.random() < 0.6:
        rules.append({"measure_line": "vamp", "from": "toe", "to": fold[0], "carries": {"length": "3/8"}})
    if len(fold) > 2:
        rules.append({"straight": fold})
    others = [i for i in range(1, shell.columns) if i != ball]
    if others and rng.random() < 0.4:
        i = rng.choice(others)
        x = round(shell.bottom[i].real / length * 7, 3)
        rules.append({"point": f"low {i}", "per_size": [x, rng.choice((-0.2, -0.1, 0))], "per_width": [0, rng.choice((0, -0.1))]})
    if others and rng.random() < 0.3:
        i = rng.choice(others)
        rules.append({"check_line": "check", "from": "heel", "to": f"high {i}", "carries": {"ball girth": "1/4"}})
    if rng.random() < 0.15:
        points["hold one"] = complex(0.3 * length, 20)
        points["hold two"] = points["hold one"] + complex(12, rng.uniform(-6, 6))
        rules.append({"hold": ["hold one", "hold two"]})
    return forme(rng, points, ("heel", "stick end"), "ball line", rules)

"""What styles are made of: runs of sizes, gentle edges, allowances, pieces."""
from fractions import Fraction

from curves import inside_angle


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


def forme(rng, points, length_line, girth_line, rules):
    return {"points": points, "base_line": list(length_line), "fixed": length_line[0], "length_line": "length", "girth_line": girth_line, "rules": rules}

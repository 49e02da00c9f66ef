"""The grade of a style, reckoned again from the style file by numpy and scipy.

Written from the statement of the model alone (two-axis stretch, least-norm Matern 5/2 correction mirrored in the base line, every
rule exact; what keeps its shape by local fields of Wendland's kernel, see held_sets.py): the kernel system is solved by scipy.linalg, the small second-order part by scipy.optimize.root. Compared are every named
point in every fourth size and width (with TESTS_LONG=1 in every one) with grade-sheet.csv, and, for some sizes and widths, points along the curves of the drawing (evaluated by
ezdxf) with the outlines in the written DXF files, by exact distance to their arcs.
usage: check_demo_grade.py STYLE.json FOLDER [LEAST_POINTS LEAST_SAMPLES]
"""
import csv
import json
import math
import os
import pathlib
import sys
from fractions import Fraction

import ezdxf
import numpy as np
from scipy.linalg import solve, solve_triangular
from scipy.optimize import root

from held_sets import LOCAL_COST, HeldSet, held_edges, local_product, local_values

UNITS = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10)}


def number(text):
    return sum((Fraction(part) for part in str(text).split()), Fraction(0))


def quantity(text):
    parts = str(text).split()
    unit = UNITS[parts.pop()] if parts[-1] in UNITS else Fraction(1)
    return number(" ".join(parts)) * unit


class Table:
    """Increments from the base; English sizes are 1/3 in apart. Breaks are not used by the demo."""

    def __init__(self, style):
        self.steps = {}
        for name, m in style["measures"].items():
            if m.get("from_scale"):
                self.steps[name] = (quantity("1/3 in"), Fraction(0))
            else:
                assert "breaks" not in m and m.get("law", "arithmetic") == "arithmetic"
                self.steps[name] = (quantity(m["per_size"]), quantity(m["per_width"]))
        self.size = number(style["base"]["size"])
        self.width = style["run"]["widths"].index(style["base"]["width"])
        self.widths = style["run"]["widths"]

    def at(self, size, width):
        ds, dw = number(size) - self.size, self.widths.index(width) - self.width
        return {n: float(s * ds + w * dw) for n, (s, w) in self.steps.items()}, float(ds), float(dw)


class Forme:
    def __init__(self, spec, held=()):
        """held: curves of edges that keep their shape, as dense points."""
        p = {n: np.array(v, float) for n, v in spec["points"].items()}
        self.points = p
        a, b = (p[n] for n in spec["base_line"])
        self.e = (b - a) / np.linalg.norm(b - a)
        self.n = np.array([-self.e[1], self.e[0]])
        self.o = p[spec["fixed"]]
        self.held, self.straight = [], []  # sets that keep their shape, with the conditions of each; straight lines
        self.conditions = [([self.o], lambda q, s: (q[0] - self.o) @ self.e, [(self.o, self.e)])]
        lines = {}
        for rule in spec["rules"]:
            if "measure_line" in rule:
                lines[rule["measure_line"]] = rule
                f, t = p[rule["from"]], p[rule["to"]]
                along = (t - f) / np.linalg.norm(t - f)
                self.conditions.append(([f, t], lambda q, s, r=rule, f=f, t=t: np.linalg.norm(q[1] - q[0]) - self.wanted(r, s),
                                        [(t, along), (f, -along)]))
            elif "point" in rule:
                at = p[rule["point"]]
                for k, way in enumerate((self.e, self.n)):
                    self.conditions.append(([at], lambda q, s, at=at, way=way, k=k, r=rule:
                                            (q[0] - at) @ way - r["per_size"][k] * s[1] - r["per_width"][k] * s[2], [(at, way)]))
            elif "hold" in rule:
                self.hold_together(np.array([p[n] for n in rule["hold"]]))
            elif "straight" in rule:
                names = rule["straight"]
                f, t = p[names[0]], p[names[-1]]
                length = np.linalg.norm(t - f)
                n = np.array([-(t - f)[1], (t - f)[0]]) / length
                self.straight.append((f, t))
                count = int(length / 8.0)  # the model states: points at most 8 mm apart
                for at in [p[m] for m in names[1:-1]] + [f + (t - f) * k / (count + 1) for k in range(1, count + 1)]:
                    share = (at - f) @ (t - f) / length**2
                    off = n @ (at - f)

                    def residual(q, s, off=off):
                        d = (q[2] - q[1]) / np.linalg.norm(q[2] - q[1])
                        return d[0] * (q[0] - q[1])[1] - d[1] * (q[0] - q[1])[0] - off

                    self.conditions.append(([at, f, t], residual, [(at, n), (f, -(1 - share) * n), (t, -share * n)]))
            elif "square" in rule:
                f, t = (p[n] for n in rule["to"])
                length = np.linalg.norm(t - f)
                e, n = (t - f) / length, np.array([-(t - f)[1], (t - f)[0]]) / length
                for at in (p[m] for m in rule["square"]):  # the model states: a millimetre to either side
                    self.conditions.append(([at + n, at - n, f, t], lambda q, s: (q[0] - q[1]) @ (q[3] - q[2]) / np.linalg.norm(q[3] - q[2]),
                                            [(at + n, e), (at - n, -e), (t, 2 / length * n), (f, -2 / length * n)]))
        stick = lines[spec["length_line"]]
        for points in held:
            self.hold_together(points)
        self.scale = 0.4 * np.linalg.norm(p[stick["to"]] - p[stick["from"]])
        self.axes = (stick, lines[spec["girth_line"]])
        self.still = []  # what the local fields leave as it is: conditions with the target 0 that the wide field does not feel
        held = {j for one in self.held for j in one.conditions}
        for one in self.held:
            one.reach = min(1.5 * one.size, 1.5 * self.scale)
            others = [c[2] for j, c in enumerate(self.conditions) if j not in held]
            one.still = one.keeps_still(others, self.straight)
            one.first_still = len(self.conditions) + len(self.still)
            self.still += one.still
        wide = len(self.conditions)
        self.gram = np.zeros((wide + len(self.still),) * 2)
        half = np.array([[self.inner(a[2], b[2]) if k <= j else 0.0 for k, b in enumerate(self.conditions)] for j, a in enumerate(self.conditions)])
        self.gram[:wide, :wide] = half + np.tril(half, -1).T  # the product of two conditions is the same either way round
        for one in self.held:
            at = one.conditions + list(range(one.first_still, one.first_still + len(one.still)))
            terms = [self.terms(j) for j in at]
            self.gram[np.ix_(at, at)] += local_product(terms, terms, one.reach, self) / LOCAL_COST
        keep, factor = [], np.zeros((0, 0))  # conditions that say something new, in order: a Cholesky factor that skips the others
        scaled = self.gram / np.sqrt(np.outer(np.diag(self.gram), np.diag(self.gram)))
        for j in list(range(wide, len(self.gram))) + list(range(wide)):
            row = solve_triangular(factor, scaled[keep, j], lower=True) if keep else np.zeros(0)
            pivot = 1 - row @ row
            if pivot > 1e-10:
                keep.append(j)
                factor = np.block([[factor, np.zeros((len(row), 1))], [row[None, :], np.array([[math.sqrt(pivot)]])]])
        self.keep = keep
        self.ruled = [j for j in keep if j < wide]
        self.moves = None

    def terms(self, j):
        return self.conditions[j][2] if j < len(self.conditions) else self.still[j - len(self.conditions)]

    def hold_together(self, points):
        """A similarity of the plane is z -> a z + b: two points settle it, the third's place follows from theirs. The distance of
        the two is kept, so it is a rigid motion."""
        first = points[0]
        last = points[np.argmax(np.linalg.norm(points - first, axis=1))]
        whole = np.linalg.norm(last - first)
        along = (last - first) / whole
        one = HeldSet(points)
        one.conditions.append(len(self.conditions))
        self.conditions.append(([first, last], lambda q, s: np.linalg.norm(q[1] - q[0]) - whole, [(last, along), (first, -along)]))
        for p in points:
            if (p == first).all() or (p == last).all():
                continue
            ratio = complex(*(p - first)) / complex(*(last - first))
            turn = np.array([[ratio.real, -ratio.imag], [ratio.imag, ratio.real]])
            for way in (self.e, self.n):
                one.conditions.append(len(self.conditions))
                self.conditions.append(([p, first, last], lambda q, s, way=way, turn=turn: (q[0] - q[1] - turn @ (q[2] - q[1])) @ way,
                                        [(p, way), (first, turn.T @ way - way), (last, -turn.T @ way)]))
        self.held.append(one)

    def wanted(self, rule, step):
        base = np.linalg.norm(self.points[rule["to"]] - self.points[rule["from"]])
        return base + sum(float(number(share)) * step[0][m] for m, share in rule["carries"].items())

    def kernel(self, r):
        a = math.sqrt(5) * r / self.scale
        return (1 + a + a * a / 3) * np.exp(-a)

    def frame(self, q):
        d = np.atleast_2d(q) - self.o
        return np.stack([d @ self.e, d @ self.n], axis=1)

    def pair(self, p, q):
        a, b = self.frame(p)[:, None, :], self.frame(q)[None, :, :]
        near = self.kernel(np.linalg.norm(a - b, axis=2))
        far = self.kernel(np.linalg.norm(a - b * [1, -1], axis=2))
        return near + far, near - far

    def inner(self, a, b):
        even, odd = self.pair(np.array([t[0] for t in a]), np.array([t[0] for t in b]))
        wa = np.array([[t[1] @ self.e, t[1] @ self.n] for t in a])
        wb = np.array([[t[1] @ self.e, t[1] @ self.n] for t in b])
        return float((np.outer(wa[:, 0], wb[:, 0]) * even + np.outer(wa[:, 1], wb[:, 1]) * odd).sum())

    def displacement(self, q, stretch, weights):
        f = self.frame(q)
        x, y = stretch[0] * f[:, 0], stretch[1] * f[:, 1]
        of = dict(zip(self.keep, weights))

        def sites(conditions):
            rows = np.array([(*at, *(of.get(j, 0.0) * way)) for j in conditions for at, way in self.terms(j)])
            return rows[:, :2], rows[:, 2:] @ self.e, rows[:, 2:] @ self.n

        at, along, across = sites(self.ruled)
        even, odd = self.pair(q, at)
        x, y = x + even @ along, y + odd @ across
        for one in self.held:
            at, along, across = sites(one.conditions + list(range(one.first_still, one.first_still + len(one.still))))
            even, odd = local_values(f, self.frame(at), one.reach)
            x, y = x + even @ along / LOCAL_COST, y + odd @ across / LOCAL_COST
        return np.outer(x, self.e) + np.outer(y, self.n)

    def solve(self, step):
        matrix, right = [], []
        for rule in self.axes:
            d = self.points[rule["to"]] - self.points[rule["from"]]
            matrix.append([(d @ self.e) ** 2, (d @ self.n) ** 2])
            right.append(self.wanted(rule, step) ** 2)
        stretch = np.sqrt(np.linalg.solve(matrix, right)) - 1
        gram = self.gram[np.ix_(self.keep, self.keep)]
        sites = np.array([at for j in self.ruled for at in self.conditions[j][0]])
        fixed = sites + self.displacement(sites, stretch, np.zeros(len(self.keep)))
        unit = solve(gram, np.eye(len(self.keep)), assume_a="pos")[:, [k for k, j in enumerate(self.keep) if j < len(self.conditions)]]
        if self.moves is None:  # what one unit of each target moves every site by; the same for every size and width
            self.moves = np.stack([self.displacement(sites, (0.0, 0.0), column) for column in unit.T], axis=2)

        def left(targets):
            moved, out, i = fixed + self.moves @ targets, [], 0
            for j in self.ruled:
                count = len(self.conditions[j][0])
                out.append(self.conditions[j][1](moved[i:i + count], step))
                i += count
            return np.array(out)

        found = root(left, np.zeros(len(self.ruled)), jac=lambda t: np.eye(len(t)), tol=1e-12)  # a unit of a target moves its rule by one
        assert np.abs(left(found.x)).max() < 1e-9, found.message
        return stretch, unit @ found.x


def arc_distance(points, a, b, bulge):
    """Distance of many points from one segment."""
    chord = b - a
    if abs(bulge) < 1e-12:
        t = np.clip(((points - a) @ chord) / (chord @ chord), 0, 1)
        return np.linalg.norm(points - a - t[:, None] * chord, axis=1)
    c = (a + b) / 2 + np.array([-chord[1], chord[0]]) * (1 - bulge**2) / (4 * bulge)
    r, sweep = np.linalg.norm(a - c), 4 * math.atan(bulge)
    turn = np.arctan2(points[:, 1] - c[1], points[:, 0] - c[0]) - math.atan2(a[1] - c[1], a[0] - c[0])
    turn = np.mod(turn if sweep > 0 else -turn, 2 * np.pi)
    ends = np.minimum(np.linalg.norm(points - a, axis=1), np.linalg.norm(points - b, axis=1))
    return np.where(turn <= abs(sweep), np.abs(np.linalg.norm(points - c, axis=1) - r), ends)


def outline_of(file):
    for layer in ("NET_LINE", "CUT"):
        for line in ezdxf.readfile(file).modelspace().query(f'LWPOLYLINE[layer=="{layer}"]'):
            if line.closed:
                return [(np.array([x, y]), b) for x, y, b in line.get_points("xyb")]
    raise ValueError(f"no outline in {file}")


def made_as(piece, size):
    """The size whose outline a piece takes: another one where sizes are tied on it."""
    for tie in piece.get("sizes_tied", []):
        if number(tie["from"]) <= number(size) <= number(tie["to"]):
            return tie["as"]
    return size


def drawn_points(block):
    for entity in block.query('*[layer=="1"]'):
        if entity.dxftype() == "SPLINE":
            curve = entity.construction_tool()
            yield np.array([[v.x, v.y] for v in curve.points(np.linspace(0, curve.max_t, 250))])
        elif entity.dxftype() == "LINE":
            a, b = entity.dxf.start, entity.dxf.end
            yield np.array([[a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t] for t in np.linspace(0, 1, 60)])
        elif entity.dxftype() == "ARC":
            sweep = (entity.dxf.end_angle - entity.dxf.start_angle) % 360
            angles = np.radians(entity.dxf.start_angle + np.linspace(0, sweep, 60))
            c, r = entity.dxf.center, entity.dxf.radius
            yield np.stack([c.x + r * np.cos(angles), c.y + r * np.sin(angles)], axis=1)


def main(style_file, folder, least_points=1000, least_samples=10000):
    style_file, folder = pathlib.Path(style_file), pathlib.Path(folder)
    style = json.loads(style_file.read_text())
    table = Table(style)
    drawings = {key: ezdxf.readfile(style_file.parent / d["file"]) for key, d in style["drawings"].items()}
    formes = {name: Forme(spec, held_edges(style, name, drawings)) for name, spec in style["formes"].items()}
    solved = {}

    def at(forme, size, width):
        key = (forme, size, width)
        if key not in solved:
            solved[key] = formes[forme].solve(table.at(size, width))
        return solved[key]

    worst_point, count, met = 0.0, 0, set()
    cells_of_sheet = {}  # the points of a forme in one size and width are reckoned together
    for row in csv.reader(open(folder / "grade-sheet.csv", encoding="utf-8")):
        if row[0] in formes:
            cells_of_sheet.setdefault((row[0], row[2], row[3]), []).append((formes[row[0]].points[row[1]], float(row[4]), float(row[5])))
    for key in list(cells_of_sheet)[:: 1 if os.environ.get("TESTS_LONG") else 4]:  # over the formes in turn: all sizes and widths are met
        rows = cells_of_sheet[key]
        met.update((("size", key[1]), ("width", key[2])))
        base, written = np.array([r[0] for r in rows]), np.array([r[1:] for r in rows])
        moved = base + formes[key[0]].displacement(base, *at(*key))
        worst_point = max(worst_point, np.abs(moved - written).max())
        count += len(rows)
    assert len(met) == 17 + 5, f"not every size and every width was met: {sorted(met)}"
    print(f"{count} named points in the grade sheet, farthest from the second solution: {worst_point:.6f} mm")

    run = style["run"]
    cells = [(run["from"], run["widths"][0]), ("10.5", run["widths"][0]), (run["to"], run["widths"][-1])]
    worst_outline, sampled = 0.0, 0
    for piece in style["pieces"]:
        block = drawings[piece["outline"]["drawing"]].blocks[piece["outline"]["block"]]
        fold = next((e for e in piece["edges"] if e["name"] == piece.get("fold")), None)
        forme = formes[piece["forme"]]
        points = np.concatenate([np.zeros((0, 2)), *drawn_points(block)])  # all curves of a piece at once
        if fold is not None:
            ends = [piece["corners"][fold[end]] for end in ("from", "to")]
            ends = [c["at"] if isinstance(c, dict) else c for c in ends]
            a, b = (np.array(forme.points[c] if isinstance(c, str) else c) for c in ends)
            n = np.array([-(b - a)[1], (b - a)[0]]) / np.linalg.norm(b - a)
            points = points[np.abs((points - a) @ n) > 0.01]
        if len(points) == 0:
            continue
        for size, width in cells:
            outline = outline_of(folder / "pieces" / piece["name"] / f"{piece['name']} {size} {width}.dxf")
            moved = points + forme.displacement(points, *at(piece["forme"], made_as(piece, size), width))
            nearest = np.full(len(moved), np.inf)
            for (p, bulge), (q, _) in zip(outline, outline[1:] + outline[:1]):
                nearest = np.minimum(nearest, arc_distance(moved, p, q, bulge))
            sampled += len(moved)
            if nearest.max() > worst_outline:
                worst_outline, where = nearest.max(), f"{piece['name']} {size} {width}"
    print(f"{sampled} points of the drawn curves, farthest from the written outlines: {worst_outline:.6f} mm ({where})")
    return 0 if worst_point <= 0.0001 and worst_outline <= 0.005 and count > least_points and sampled > least_samples else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:3], *map(int, sys.argv[3:])))

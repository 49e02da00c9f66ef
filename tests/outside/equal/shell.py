"""A shell forme cut into neighbouring pieces."""
from curves import end, split, start
from parts import allowance, curved, forme, piece_of


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
        edges, spec = [], []
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
        share = max(1, round(16 * abs(points[fold[0]] - shell.toe) / length))  # grows as the length does, about
        rules.append({"measure_line": "vamp", "from": "toe", "to": fold[0], "carries": {"length": f"{share}/16"}})
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

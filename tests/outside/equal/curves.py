"""Lines, arcs and cubic Beziers of the plane, points as complex numbers, and the cut line of an outline by own arithmetic.

A segment is ("line", p, q), ("arc", p, q, bulge) or ("bez", p, a, b, q). An edge is a list of segments, an outline a
list of edges, counter-clockwise.
"""
import cmath
import math


def ends(seg):
    return (seg[1], seg[4]) if seg[0] == "bez" else (seg[1], seg[2])


def start(edge):
    return ends(edge[0])[0]


def end(edge):
    return ends(edge[-1])[1]


def centre(seg):
    """Centre and radius (positive) of an arc."""
    _, p, q, bulge = seg
    middle, half = (p + q) / 2, (q - p) / 2
    c = middle + half * 1j * (1 - bulge * bulge) / (2 * bulge)
    return c, abs(p - c)


def tangent(seg, at_end):
    """Unit tangent at the start or the end."""
    if seg[0] == "line":
        d = seg[2] - seg[1]
    elif seg[0] == "arc":
        turn = 2 * math.atan(seg[3])
        d = (seg[2] - seg[1]) * cmath.exp(1j * (turn if at_end else -turn))
    else:
        d = seg[4] - seg[3] if at_end else seg[2] - seg[1]
    return d / abs(d)


def point(seg, t):
    if seg[0] == "line":
        return seg[1] + (seg[2] - seg[1]) * t
    if seg[0] == "arc":
        c, _ = centre(seg)
        return c + (seg[1] - c) * cmath.exp(4j * math.atan(seg[3]) * t)
    _, p, a, b, q = seg
    u = 1 - t
    return p * u**3 + 3 * a * u * u * t + 3 * b * u * t * t + q * t**3


def split(seg, t):
    """The two parts of a segment cut at its parameter t."""
    m = point(seg, t)
    if seg[0] == "line":
        return ("line", seg[1], m), ("line", m, seg[2])
    if seg[0] == "arc":
        quarter = math.atan(seg[3])
        return ("arc", seg[1], m, math.tan(quarter * t)), ("arc", m, seg[2], math.tan(quarter * (1 - t)))
    _, p, a, b, q = seg
    pa, ab, bq = p + (a - p) * t, a + (b - a) * t, b + (q - b) * t
    left, right = pa + (ab - pa) * t, ab + (bq - ab) * t
    m = left + (right - left) * t
    return ("bez", p, pa, left, m), ("bez", m, right, bq, q)


def backwards(edge):
    def turned(seg):
        if seg[0] == "line":
            return ("line", seg[2], seg[1])
        if seg[0] == "arc":
            return ("arc", seg[2], seg[1], -seg[3])
        return ("bez", *seg[:0:-1])
    return [turned(seg) for seg in reversed(edge)]


class Motion:
    """Mirrored in the x axis (if asked), turned, moved: p -> turn * p + shift, or turn * conj(p) + shift."""

    def __init__(self, angle=0.0, shift=0j, mirrored=False):
        shift = complex(*shift) if isinstance(shift, (list, tuple)) else shift
        self.turn, self.angle, self.shift, self.mirrored = cmath.exp(1j * angle), angle, shift, mirrored

    def __call__(self, p):
        return self.turn * (p.conjugate() if self.mirrored else p) + self.shift

    def vector(self, v):
        return self.turn * (v.conjugate() if self.mirrored else v)

    def said(self):
        """As JSON has it: Motion(*said) is the same."""
        return [self.angle, [self.shift.real, self.shift.imag], self.mirrored]

    def inverse(self):
        back = Motion(self.angle if self.mirrored else -self.angle, 0j, self.mirrored)
        back.shift = -back(self.shift)
        return back

    def seg(self, seg):
        if seg[0] == "arc":
            return ("arc", self(seg[1]), self(seg[2]), -seg[3] if self.mirrored else seg[3])
        return (seg[0], *map(self, seg[1:]))


def flattened(edges, chord=0.02):
    points = []
    for seg in (s for edge in edges for s in edge):
        if seg[0] == "line":
            n = 1
        elif seg[0] == "arc":
            n = max(2, math.ceil(4 * abs(math.atan(seg[3])) / (2 * math.acos(max(0.0, 1 - chord / centre(seg)[1])))))
        else:
            n = 24
        points += [point(seg, k / n) for k in range(n)]
    return points


def inside_angle(before, after):
    """Between two edges at their common corner, in degrees: below 180 is convex."""
    turn = cmath.phase(tangent(after[0], False) / tangent(before[-1], True))
    return 180 - math.degrees(turn)


# The cut line: each edge moved outward, neighbours run on along their tangents or cut back to where they meet.

def moved(seg, d):
    """To its right by d: outward of a counter-clockwise outline."""
    n0, n1 = -1j * tangent(seg, False) * d, -1j * tangent(seg, True) * d
    if seg[0] == "line":
        return ("line", seg[1] + n0, seg[2] + n1)
    assert seg[0] == "arc" or d == 0, "no exact parallel of a Bezier"
    if seg[0] == "bez":
        return seg
    radius = centre(seg)[1] + (d if seg[3] > 0 else -d)
    if radius < 1:
        raise ValueError("an arc vanishes")
    return ("arc", seg[1] + n0, seg[2] + n1, seg[3])


def _crossings(one, other):
    """Points where two lines or arcs meet, as (parameter of one, parameter of other)."""
    if one[0] == "line" and other[0] == "line":
        d, e, w = one[2] - one[1], other[2] - other[1], other[1] - one[1]
        det = d.real * e.imag - d.imag * e.real
        if abs(det) < 1e-9 * abs(d) * abs(e):
            return []
        return [((w.real * e.imag - w.imag * e.real) / det, (w.real * d.imag - w.imag * d.real) / det)]
    if one[0] == "line":
        return [(s, t) for t, s in _crossings(other, one)]
    c, r = centre(one)
    if other[0] == "line":
        d, w = other[2] - other[1], other[1] - c
        a, b, k = abs(d) ** 2, (w * d.conjugate()).real, abs(w) ** 2 - r * r
        root = b * b - a * k
        hits = [] if root < 0 else [other[1] + d * ((-b + s * math.sqrt(root)) / a) for s in (1, -1)]
    else:
        c2, r2 = centre(other)
        d = abs(c2 - c)
        if d == 0 or d > r + r2 or d < abs(r - r2):
            return []
        x = (d * d + r * r - r2 * r2) / (2 * d)
        y = math.sqrt(max(0.0, r * r - x * x))
        hits = [c + (c2 - c) / d * complex(x, s * y) for s in (1, -1)]
    return [(parameter(one, hit), parameter(other, hit)) for hit in hits]


def parameter(seg, p):
    if seg[0] == "line":
        d = seg[2] - seg[1]
        return ((p - seg[1]) * d.conjugate()).real / abs(d) ** 2
    c, _ = centre(seg)
    angle = cmath.phase((p - c) / (seg[1] - c))
    sweep = 4 * math.atan(seg[3])
    if angle * sweep < 0 and abs(angle) > 1e-9:
        angle += math.copysign(2 * math.pi, sweep)
    return angle / sweep


def joined(before, after, corner, reach):
    """Two neighbouring moved edges, run on or cut back to the crossing nearest to the corner they come from."""
    p, q = end(before), start(after)
    if abs(p - q) < 1e-9:
        return before, after
    run_on = lambda at, along: ("line", at, at + along * reach)
    first = before + [run_on(p, tangent(before[-1], True))]
    second = backwards([run_on(q, -tangent(after[0], False))]) + after
    best = None
    for i, one in enumerate(first):
        for k, other in enumerate(second):
            if "bez" in (one[0], other[0]):
                continue
            for s, t in _crossings(one, other):
                if -1e-9 <= s <= 1 + 1e-9 and -1e-9 <= t <= 1 + 1e-9:
                    far = abs(point(one, s) - corner)
                    if best is None or far < best[0]:
                        best = far, i, s, k, t
    if best is None or best[0] > reach:
        raise ValueError("neighbours do not meet")
    _, i, s, k, t = best
    head = first[:i] + ([split(first[i], s)[0]] if s > 1e-9 else [])
    tail = ([split(second[k], t)[1]] if t < 1 - 1e-9 else []) + second[k + 1:]
    if not head or not tail:
        raise ValueError("an edge is cut away")
    return head, tail


def cut_line(edges, allowances):
    """The edges of the cut line with mitred corners; ValueError where there is none that is exact."""
    if any(d and seg[0] == "bez" for edge, d in zip(edges, allowances) for seg in edge):
        raise ValueError("no exact parallel")
    out = [[moved(seg, d) for seg in edge] for edge, d in zip(edges, allowances)]
    for i in range(len(edges)):
        k = (i + 1) % len(edges)
        reach = 3.9 * max(allowances[i], allowances[k], 1e-6)
        out[i], out[k] = joined(out[i], out[k], end(edges[i]), reach)
    return out

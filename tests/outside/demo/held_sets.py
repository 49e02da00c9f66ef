"""What keeps its shape in a grade, for the second solution of check_demo_grade.py.

Stated by the model: a set of points that keeps its shape has a space of local fields, of Wendland's function (1 - s)^4 (4 s + 1) with the
reach of one and a half times the set's size, tied across the base line by a window on both sides of the product. Together with the wide
field they are the least of |wide|^2 + cost |local|^2 under the rules, where the local ones are zero on every place of another rule. By
the representer theorem that is one linear system: the places that are to keep still are conditions that the wide field does not feel.
"""
import numpy as np

LOCAL_COST = 1e-4


def window(y, reach):
    t = np.clip(3 * y / reach, -1, 1)
    return t * (15 - 10 * t**2 + 3 * t**4) / 8


def local_values(p, q, reach):
    """p, q: places in the frame. Along the axis and across it."""
    s = np.linalg.norm(p[:, None, :] - q[None, :, :], axis=2) / reach
    k = np.where(s < 1, np.clip(1 - s, 0, 1) ** 4 * (4 * s + 1), 0.0)
    return k, np.outer(window(p[:, 1], reach), window(q[:, 1], reach)) * k


def local_product(a, b, reach, forme):
    def flat(conditions):
        rows = [(i, *forme.frame(at)[0], way @ forme.e, way @ forme.n) for i, terms in enumerate(conditions) for at, way in terms]
        return np.array(rows)

    p, q = flat(a), flat(b)
    along, across = local_values(p[:, 1:3], q[:, 1:3], reach)
    each = np.outer(p[:, 3], q[:, 3]) * along + np.outer(p[:, 4], q[:, 4]) * across
    out = np.zeros((len(a), len(b)))
    np.add.at(out, (p[:, 0].astype(int)[:, None], q[:, 0].astype(int)[None, :]), each)
    return out


class HeldSet:
    def __init__(self, points):
        self.points = points
        self.size = max(np.linalg.norm(points[:, None] - points[None], axis=2).flat)
        self.conditions = []
        self.reach, self.still, self.first_still = 0.0, [], 0

    def away(self, at):
        return np.linalg.norm(self.points - at, axis=1).min()

    def keeps_still(self, others, straight):
        """Every place of another rule, one by one, in the direction in which it is ruled; straight lines on their whole length."""
        still = []
        for terms in others:
            for at, way in terms:
                assert self.away(at) > 1e-6, "a place of the set itself is ruled: not in this test"
                if np.linalg.norm(way) > 1e-12 and self.away(at) < 3 * self.reach:
                    still.append([(at, way / np.linalg.norm(way))])
        for a, b in straight:
            n = np.array([-(b - a)[1], (b - a)[0]]) / np.linalg.norm(b - a)
            parts = int(np.ceil(np.linalg.norm(b - a) * 16 / self.reach))
            still += [[(a + (b - a) * k / parts, n)] for k in range(1, parts) if self.away(a + (b - a) * k / parts) < 2 * self.reach]
        return still


def held_edges(style, forme, drawings):
    """For every held edge that is one whole spline of its piece's drawing: points at the stated shares of its length, each 1 / parts of
    half a turn of a circle over it, parts a multiple of 8."""
    sets = []
    for piece in style["pieces"]:
        if piece["forme"] != forme:
            continue
        block = drawings[piece["outline"]["drawing"]].blocks[piece["outline"]["block"]]
        for edge in piece["edges"]:
            if not edge.get("held"):
                continue
            ends = [np.array(piece["corners"][edge[end]], float) for end in ("from", "to")]
            for entity in block.query("SPLINE"):
                curve = entity.construction_tool()
                if any(np.linalg.norm([v.x - at[0], v.y - at[1]]) > 1e-6 for v, at in zip(curve.points([0, curve.max_t]), ends)):
                    continue
                t = np.linspace(0, curve.max_t, 20001)
                dense = np.array([[v.x, v.y] for v in curve.points(t)])
                run = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(dense, axis=0), axis=1))])
                size = max(np.linalg.norm(dense[::100][:, None] - dense[::100][None], axis=2).flat)
                parts = max(16, 8 * int(np.ceil(max(2 * run[-1] / size, run[-1] / 40) - 1e-3)))
                shares = 0.5 - 0.5 * np.cos(np.pi * np.arange(parts + 1) / parts)
                at = np.array([[v.x, v.y] for v in curve.points(np.interp(shares * run[-1], run, t))])
                sets.append(at)
                break
            else:
                raise AssertionError(f"the held edge {edge['name']} is not one spline")
    return sets

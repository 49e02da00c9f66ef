"""Changes of a drawing, each with the places where every corner then is: what redraw must find, or refuse.

A change takes (rng, make, way, key) - a style of tests/outside/equal/styles.py, the way it is drawn and the forme whose drawing changes -
and alters them in place; it returns whether anybody would see that nothing of the pattern has changed ("harmless") or None where it
does not apply. The coordinates of `make` stay in the frame of the formes: a moved sheet is in the pieces' "lies".
"""
import cmath
import copy
import math

from curves import Motion, end, flattened, start, tangent


def pieces_on(make, key):
    return [p for p in make["pieces"] if p["entry"]["forme"] == key]


def nodes(piece):
    return [start(edge) for edge in piece["edges"]]


def shift_nodes(piece, old, by):
    """Every end of a segment at `old` moves; a Bezier's handle there moves with it."""
    at = lambda z: abs(z - old) < 1e-6
    for edge in piece["edges"]:
        for i, seg in enumerate(edge):
            if seg[0] == "bez":
                _, p, a, b, q = seg
                edge[i] = ("bez", p + by * at(p), a + by * at(p), b + by * at(q), q + by * at(q))
            else:
                edge[i] = (seg[0], seg[1] + by * at(seg[1]), seg[2] + by * at(seg[2]), *seg[3:])


def a_step(rng, most=8.0):
    return cmath.rect(rng.choice((rng.uniform(0.08, 0.9), rng.uniform(0.9, most))), rng.uniform(-math.pi, math.pi))


def corner_moved(rng, make, way, key):
    """A corner that pieces share, moved in all of them."""
    node = rng.choice(nodes(rng.choice(pieces_on(make, key))))
    by = a_step(rng)
    for piece in pieces_on(make, key):
        shift_nodes(piece, node, by)
    make["moved"].append((key, node, node + by))
    return False


def corner_moved_in_one(rng, make, way, key):
    piece = rng.choice(pieces_on(make, key))
    node = rng.choice(nodes(piece))
    by = a_step(rng)
    shift_nodes(piece, node, by)
    make["torn"].append((piece["entry"]["name"], node, node + by))
    return False


def corners_moved(rng, make, way, key):
    for _ in range(rng.randint(2, 4)):
        corner_moved(rng, make, way, key)
    return False


def edge_bent(rng, make, way, key):
    """An edge between the same corners takes another course."""
    piece = rng.choice(pieces_on(make, key))
    edge = rng.choice(piece["edges"])
    old = list(edge)
    p, q = start(edge), end(edge)
    across = 1j * (q - p) * rng.uniform(0.02, 0.08) * rng.choice((-1, 1))
    edge[:] = [("bez", p, p + (q - p) / 3 + across, p + 2 * (q - p) / 3 + across, q)]
    for other in pieces_on(make, key):
        for there in other["edges"]:
            if there is not edge and len(there) == len(old) and abs(start(there) - q) < 1e-6 and abs(end(there) - p) < 1e-6:
                there[:] = [("bez", q, p + 2 * (q - p) / 3 + across, p + (q - p) / 3 + across, p)]
    return False


def corner_cut_off(rng, make, way, key):
    """A corner is drawn as two: nobody can say which is meant."""
    piece = rng.choice(pieces_on(make, key))
    i = rng.randrange(len(piece["edges"]))
    before, after = piece["edges"][i - 1], piece["edges"][i]
    if before[-1][0] != "line" or after[0][0] != "line" or abs(end(before) - start(before)) < 20 or abs(end(after) - start(after)) < 20:
        return None
    turn = abs(math.degrees(cmath.phase(tangent(after[0], False) / tangent(before[-1], True))))
    if turn < 20:
        return None
    node = start(after)
    a, b = node - 4 * tangent(before[-1], True), node + 4 * tangent(after[0], False)
    before[-1] = ("line", before[-1][1], a)
    after[0] = ("line", b, after[0][2])
    after.insert(0, ("line", a, b))
    make["gone"].append((piece["entry"]["name"], i))
    return False


def sheet_moved(rng, make, way, key):
    motion = Motion(rng.choice((0, math.pi / 2, math.pi, rng.uniform(-3, 3))), complex(rng.uniform(-500, 500), rng.uniform(-300, 300)), rng.random() < 0.5)
    for piece in pieces_on(make, key):
        piece["lies"] = motion
    return True


def sheet_nudged(rng, make, way, key):
    motion = Motion(rng.uniform(-0.01, 0.01), a_step(rng, 3.0), False)
    for piece in pieces_on(make, key):
        piece["lies"] = motion
    return True


def vertices_added(rng, make, way, key):
    way["cut"] = rng.randint(2, 4)
    return True


def other_curves(rng, make, way, key):
    way["arcs"], way["splines"] = "spline", rng.choice(("long", "smooth", "plain"))
    return True


def short_lines(rng, make, way, key):
    """Every curve becomes a polyline that leaves it by a hundredth at most."""
    for piece in pieces_on(make, key):
        for edge in piece["edges"]:
            points = flattened([edge], 0.01) + [end(edge)]
            if any(abs(b - a) < 1e-4 for a, b in zip(points, points[1:])):
                return None
            edge[:] = [("line", a, b) for a, b in zip(points, points[1:])]
    return True


def other_order(rng, make, way, key):
    way["shuffle"], way["reverse"] = rng.randint(1, 999), True
    return True


def other_unit(rng, make, way, key):
    way["unit"] = rng.choice(("cm", "in"))
    return True


def piece_renamed(rng, make, way, key):
    piece = rng.choice(pieces_on(make, key))
    piece["entry"]["name"] += " b"
    make["renamed"][piece["entry"]["name"]] = piece["entry"]["name"][:-2]
    return True


def piece_gone(rng, make, way, key):
    piece = rng.choice(pieces_on(make, key))
    if len(pieces_on(make, key)) < 2:
        return None
    make["dropped"].append(piece["entry"]["name"])
    make["pieces"].remove(piece)
    return False


def piece_more(rng, make, way, key):
    piece = copy.deepcopy(rng.choice(pieces_on(make, key)))
    piece["entry"]["name"] = "another"
    piece["marks"] = []
    piece["lies"] = Motion(0.4, 700 + 300j)
    make["extra"].append(piece)
    return True


def piece_put_elsewhere(rng, make, way, key):
    """One piece is drawn elsewhere on the sheet."""
    if len(pieces_on(make, key)) < 2:
        return None
    rng.choice(pieces_on(make, key))["lies"] = Motion(rng.uniform(-1, 1), complex(rng.uniform(150, 400), rng.uniform(-200, 200)), rng.random() < 0.3)
    make["apart"] = True
    return False


CHANGES = {f.__name__: f for f in (corner_moved, corner_moved_in_one, corners_moved, edge_bent, corner_cut_off, sheet_moved, sheet_nudged, vertices_added,
                                   other_curves, short_lines, other_order, other_unit, piece_renamed, piece_gone, piece_more, piece_put_elsewhere)}

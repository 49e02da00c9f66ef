"""What is punched, marked and drawn on a piece: placed where there is room for it, so that a style stays sound."""
import cmath
import math

from shapely.geometry import Polygon
from shapely.ops import polylabel

from curves import flattened, inside_angle, point, tangent

ROOM = 9.0  # mm from a middle to the net line that a piece with anything in its middle has


def length(edge, n=24):
    return sum(abs(point(seg, (k + 1) / n) - point(seg, k / n)) for seg in edge for k in range(n))


def middle(piece):
    """The place farthest from the net line, and how far."""
    polygon = Polygon([(z.real, z.imag) for z in flattened(piece["edges"], 0.1)])
    if not polygon.is_valid:
        return 0j, 0.0
    spot = polylabel(polygon, 0.5)
    return complex(spot.x, spot.y), polygon.exterior.distance(spot)


def room_at(inset, angle):
    """What a line at this inset keeps off a corner, so that it does not leave the piece at a sharp one."""
    return 0 if angle >= 89 else round(inset / math.tan(math.radians(max(20, angle))) + 1, 1)


def place(rng, at):
    chance = rng.random()
    if chance < 0.7:
        return at
    by = complex(rng.randint(-4, 4), rng.randint(-4, 4))
    return {"point": at - by, "by": by}


def features_of(rng, piece, sizes):
    piece["middle"], piece["room"] = middle(piece)
    spec, edges = piece["entry"]["edges"], piece["edges"]
    features, at, room = piece["features"], piece["middle"], piece["room"]
    chance = rng.random()
    if room > ROOM and chance < 0.25:
        features.append({"hole": "hole", "at": place(rng, at), "diameter": rng.choice((2, 3, 4.5))})
    elif room > ROOM and chance < 0.4:
        features.append({"slot": "slot", "at": place(rng, at), "length": 10, "width": 3, "angle": rng.choice((0, 30, 90, -45))})
    elif room > ROOM and chance < 0.5:
        features.append({"prick": "prick", "at": place(rng, at)})
    elif room > 14 and chance < 0.6:
        features.append({"text": "text", "at": at, "says": "{size} {width}", "height": 3})
    elif room > 14 and chance < 0.65:
        features.append({"pair_number": "pair", "at": at, "width": 10, "height": 5, "angle": rng.choice((0, 30))})
    elif room > 14 and chance < 0.7:
        features.append({"buckle_bar": "bar", "at": at, "bar": 12, "slot_length": 8, "slot_width": 3, "angle": rng.choice((0, 20))})
    elif room > 14 and chance < 0.8:
        features.append({"stitch_line": "through", "through": [at - 10, at + 9 + 2j], "rows": rng.choice((1, 2)), "row_gap": 2})
    if room < 7:
        return
    rows = 0
    for i, edge in enumerate(edges):
        far, name, add = length(edge), spec[i]["name"], spec[i]["allowance"]
        if piece["entry"].get("fold") == name or far < 25:
            continue
        chance = rng.random()
        angles = inside_angle(edges[i - 1], edge), inside_angle(edge, edges[(i + 1) % len(edges)])
        sharp = min(angles) < 60
        if chance < 0.12:
            features.append({"stitch_line": f"row {name}", "edges": [name], "inset": 2, "margin": [room_at(2, a) for a in angles]})
        elif chance < 0.2 and far > 45 and room > 16 and not rows and not sharp:
            rows = 1
            row = rng.choice((
                {"eyelets": "eyelets", "diameter": 2.5, "count": rng.randint(3, 5), "counts": [{"from": sizes[0], "to": sizes[1], "count": 3}]},
                {"eyelets": "eyelets", "diameter": 2.5, "pitch": 9, "anchor": rng.choice(("start", "middle", "end"))},
                {"pricks": "pricks", "pitch": 7, "fill": True},
                {"perforation": "holes", "pitch": 8, "fill": True, "unit": [{"diameter": 1.8}, {"along": 2.6, "across": 0.5, "diameter": 0.9}]}))
            features.append({**row, "edges": [name], "inset": 6, "margin": rng.choice((10, [9, 12]))})
        elif chance < 0.28 and add >= 4:
            features.append({"skive": f"skive {name}", "edges": [name], "width": add, "depth": 0.8})
        elif chance < 0.33:
            features.append({"lap_guide": f"guide {name}", "edges": [name], "inset": 3, "margin": [room_at(3, a) for a in angles]})
        elif chance < 0.42 and add >= 1.5 and not sharp:
            features.append({"nick": f"nick {name}", "edge": name, "share": rng.choice(("1/2", "2/5")), "depth": 1, "form": rng.choice(("slit", "vee", "round")), "width": 1.5})
        elif chance < 0.5 and add >= 8 and far > 60 and not sharp:
            features.append({"size_marks": f"size {name}", "code": "sizes", "edge": name, "distance": 14, "pitch": 5, "depth": 1.5,
                             **({"both_halves": True} if "fold" in piece["entry"] else {})})
        elif chance < 0.55 and room > 12 and not sharp and not rows:
            features.append({"hole": f"at {name}", "at": {"edge": name, "share": rng.choice(("1/3", "1/2")), "inset": 5}, "diameter": 2})
        elif chance < 0.6 and add >= 1.5 and not sharp:
            features.append({"nick": f"nick {name}", "edge": name, "distance": 10, "from_end": rng.random() < 0.5, "depth": 1})


def marks_of(rng, piece):
    """Grain, holes, lines and texts that are drawn with the outline: {"layer", and "seg", "circle", "point" or "text"}."""
    at, room, marks = piece["middle"], piece["room"], piece["marks"]
    if room < 7:
        return
    turn = cmath.exp(1j * rng.uniform(-0.5, 0.5))
    off = 4 * 1j * turn
    if rng.random() < 0.6:
        marks.append({"layer": "7", "seg": ("line", at + off - 2.5 * turn, at + off + 2.5 * turn)})
    taken = any(isinstance(f.get("at"), (complex, dict)) or "through" in f for f in piece["features"])
    if not taken and rng.random() < 0.3:
        marks.append({"layer": rng.choice(("11", "13")), "circle": (at, rng.choice((1.0, 1.5)))})
    if rng.random() < 0.2:
        marks.append({"layer": rng.choice(("8", "14")), "seg": rng.choice((("line", at - 5 - 4j, at + 5 - 4j), ("bez", at - 5 - 4j, at - 2 - 6j, at + 2 - 2j, at + 5 - 4j),
                                                                            ("arc", at - 5 - 4j, at + 5 - 4j, 0.2)))})
    if rng.random() < 0.3:
        marks.append({"layer": "15", "text": (at - 5, piece["entry"]["name"].upper(), 2.5)})
    if rng.random() < 0.15:
        edge = rng.choice(piece["edges"])
        if len(edge) == 1 and length(edge) > 30 and all(e["allowance"] >= 4 for e in piece["entry"]["edges"] if e["name"] == piece["entry"]["edges"][piece["edges"].index(edge)]["name"]):
            at, along = point(edge[0], 0.5), tangent(split_at_half(edge[0]), True)
            marks.append({"layer": "4", "point": at - 1j * along * 0})


def split_at_half(seg):
    from curves import split
    return split(seg, 0.5)[0]

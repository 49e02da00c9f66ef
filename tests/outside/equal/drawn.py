"""Changes of how a style is drawn: net or cut, here or there, in this unit, with these entities."""
import math

from shapely.geometry import Point, Polygon

from changes import MIRRORED, TWICE, UPRIGHT, change
from curves import Motion, cut_line, flattened, point
from mirror import carried, carried_piece


@change
def drawn_cut(rng, make, _):
    """The cut line of the base by own arithmetic where it is exact: lines and arcs with mitred corners."""
    done = 0
    base = make["sizes"].index(make["style"]["base"]["size"])
    for piece in make["pieces"]:
        entry, specs = piece["entry"], piece["entry"]["edges"]
        if any(m["layer"] == "4" for m in piece["marks"]):
            continue
        adds = []
        for spec in specs:
            steps = [a for size, a in spec.get("allowance_from", {}).items() if make["sizes"].index(size) <= base]
            adds.append(steps[-1] if steps else spec["allowance"])
        if not any(adds):
            continue
        try:
            cut = cut_line(piece["edges"], adds)
        except ValueError:
            continue
        piece["edges"], entry["drawn"] = cut, "cut"
        done += 1
    return {} if done else None


def exactly_parallel(make):
    """What both styles of drawn_cut have: stated mitres, and on the shell arcs for Beziers, the same for both neighbours."""
    for piece in make["pieces"]:
        for corner in piece["corners"]:
            corner["form"] = "mitre"
        if piece["entry"]["forme"] == "shell":
            piece["edges"] = [[bowed(s) if s[0] == "bez" else s for s in edge] for edge in piece["edges"]]


def bowed(seg):
    """The arc through the ends of a Bezier, with its bow in the middle."""
    chord = seg[4] - seg[1]
    bow = ((point(seg, 0.5) - (seg[1] + seg[4]) / 2) / chord).imag
    return ("arc", seg[1], seg[4], -2 * bow) if abs(bow) > 1e-6 else ("line", seg[1], seg[4])


drawn_cut.prepare = exactly_parallel


@change
def moved(rng, make, _):
    motion = Motion(0.0, complex(rng.uniform(-2000, 2000), rng.uniform(-900, 900)))
    carried(make, motion)
    return {"motion": motion.said()}


@change
def turned(rng, make, _):
    motion = Motion(rng.choice((math.pi / 2, math.pi, rng.uniform(-3, 3))), complex(rng.uniform(-300, 300), 40))
    carried(make, motion)
    return {"motion": motion.said(), "skip": UPRIGHT}


@change
def mirrored(rng, make, _):
    motion = Motion(0.0, 0j, True)
    carried(make, motion)
    return {"motion": motion.said(), "skip": MIRRORED, "ignore": ("feature inside",)}  # words run the other way


@change
def mirrored_and_turned(rng, make, _):
    motion = Motion(rng.uniform(-3, 3), complex(rng.uniform(-300, 300), -100), True)
    carried(make, motion)
    return {"motion": motion.said(), "skip": MIRRORED, "ignore": ("feature inside",)}  # words run the other way


@change
def centimetres(rng, make, _):
    return {"way": {"unit": "cm"}}


@change
def inches(rng, make, _):
    return {"way": {"unit": "in"}}


@change
def unit_stated(rng, make, _):
    """The file says millimetres and means inches; the style says so."""
    return {"way": {"unit": "in", "header": "mm"}}


@change
def inserted_elsewhere(rng, make, _):
    """Blocks drawn about an origin of their own and inserted moved, turned and mirrored to where they lie."""
    return {"way": {"insert": rng.randint(1, 10**6)}}


@change
def layers(rng, make, _):
    """Every kind of thing of every piece on a layer of its own."""
    return {"way": {"layout": "layers"}}


def held_by_one(make):
    """What both styles of layers have: no notches, which neighbours share, and nothing that lies in two outlines."""
    outlines = [(p, Polygon([(z.real, z.imag) for z in flattened(p["edges"], 0.1)])) for p in make["pieces"]]
    for piece in make["pieces"]:
        others = [o for p, o in outlines if p is not piece and p["entry"]["forme"] == piece["entry"]["forme"]]
        # The marks of a piece lie round its middle.
        alone = all(o.distance(Point(piece["middle"].real, piece["middle"].imag)) > 8 for o in others)
        piece["marks"] = [m for m in piece["marks"] if m["layer"] != "4"] if alone else []


layers.prepare = held_by_one


@change
def shuffled(rng, make, _):
    return {"way": {"shuffle": rng.randint(1, 10**6)}}


@change
def shuffled_and_reversed(rng, make, _):
    return {"way": {"shuffle": rng.randint(1, 10**6), "reverse": True}}


@change
def entities_split(rng, make, _):
    return {"way": {"cut": rng.choice((2, 3)), "shuffle": 1}, "limit": TWICE}


@change
def polylines(rng, make, _):
    return {"way": {"entities": "polyline", "shuffle": rng.randint(1, 99)}}


@change
def old_polylines(rng, make, _):
    return {"way": {"entities": "old polyline", "shuffle": rng.randint(1, 99), "cut": rng.choice((1, 2))}, "limit": TWICE}


@change
def full_knots(rng, make, _):
    return {"way": {"splines": "long"}, "limit": TWICE} if any_seg(make, "bez") else None


@change
def knots_inserted(rng, make, _):
    return {"way": {"splines": "smooth"}, "limit": TWICE} if any_seg(make, "bez") else None


@change
def rational_arcs(rng, make, _):
    return {"way": {"arcs": "spline"}, "limit": TWICE} if any_seg(make, "arc") else None


def any_seg(make, kind):
    return any(s[0] == kind for p in make["pieces"] for e in p["edges"] for s in e)


@change
def one_layer_a_piece(rng, make, _):
    """Outline, texts and holes of a piece on one layer that no other has."""
    return {"way": {"layout": "one layer", "shuffle": rng.randint(1, 10**6)}}


def told_by_layer(make):
    """What both styles of one_layer_a_piece have: circles of one kind, and no other lines that a layer cannot tell."""
    for piece in make["pieces"]:
        piece["marks"] = [{**m, "layer": "13"} if "circle" in m else m for m in piece["marks"] if "circle" in m or "text" in m]


one_layer_a_piece.prepare = told_by_layer


@change
def fold_on_the_other_side(rng, make, _):
    """The other half of a piece that is folded on the base line: the map grades both sides of that line alike."""
    folded = [p for p in make["pieces"] if p["entry"]["name"].startswith("half")]
    if not folded:
        return None
    motion = Motion(0.0, 0j, True)
    for piece in folded:
        carried_piece(piece, motion)
    return {"motion": motion.said(), "pieces": [p["entry"]["name"] for p in folded], "skip": MIRRORED, "ignore": True}

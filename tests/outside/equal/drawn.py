"""Changes of how a style is drawn: net or cut, here or there, in this unit, with these entities."""
import math
import pathlib

from changes import MIRRORED, TWICE, UPRIGHT, change
from curves import Motion, cut_line, point, start
from mirror import carried, carried_feature


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
    return {"way": {"layout": "layers"}}


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
    return {"way": {"arcs": "spline"}} if any_seg(make, "arc") else None


def any_seg(make, kind):
    return any(s[0] == kind for p in make["pieces"] for e in p["edges"] for s in e)


SCHEMA = pathlib.Path(__file__).resolve().parents[3] / "grading" / "style" / "style.schema.json"
LIES = '"lies"' in SCHEMA.read_text(encoding="utf-8")  # whether a style can say it


def laid(rng, piece, number, mirrored):
    """Draws a piece elsewhere on the sheet, far from all others, and says where it lies."""
    motion = Motion(rng.choice((0.0, math.pi / 2, rng.uniform(-3, 3))), complex(500 * (number % 7 + 1), 500 * (number // 7 + 1)), mirrored)
    piece["lies"] = motion
    meets = [{"corner": c["name"], "on": start(edge)} for c, edge in zip(piece["corners"], piece["edges"])]
    if len(meets) > 2 and rng.random() < 0.5:
        meets = rng.sample(meets, 2)
    piece["entry"]["lies"] = {"meets": meets, **({"mirrored": True} if mirrored else {})}
    for feature in piece["features"]:
        carried_feature(feature, motion)


@change
def laid_apart(rng, make, _):
    """Some pieces drawn elsewhere on the sheet, each said to lie where it was."""
    if not LIES:
        return None
    for number, piece in enumerate(make["pieces"]):
        if rng.random() < 0.6:
            laid(rng, piece, number, False)
    return {"skip": UPRIGHT}


@change
def laid_apart_in_the_open(rng, make, _):
    """All pieces drawn apart from each other in one space, each told by a point inside it."""
    if not LIES:
        return None
    for number, piece in enumerate(make["pieces"]):
        laid(rng, piece, number, False)
    return {"way": {"layout": "open", "shuffle": rng.randint(1, 10**6)}, "skip": UPRIGHT}


@change
def laid_mirrored(rng, make, _):
    """One piece drawn as the other hand."""
    if not LIES:
        return None
    number = rng.randrange(len(make["pieces"]))
    laid(rng, make["pieces"][number], number, True)
    return {"skip": MIRRORED, "ignore": ("feature inside",)}

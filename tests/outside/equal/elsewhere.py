"""Changes of where a piece is drawn on its sheet, with the places of its forme that its corners meet."""
import cmath
import math

from changes import change
from curves import Motion, end, start
from drawn import drawn_cut
from mirror import carried_drawing, carried_feature, carried_piece


def anywhere(rng, mirrored=False):
    return Motion(rng.uniform(-3, 3), complex(rng.uniform(-3000, 3000), rng.uniform(-3000, 3000)), mirrored)


def laid(make, p, corners):
    """Lets these corners of a piece, {index: place on the forme}, meet points of the forme."""
    entry, meets = make["pieces"][p]["entry"], []
    for i, at in corners.items():
        make["style"]["formes"][entry["forme"]]["points"][f"piece {p} corner {i}"] = at
        meets.append({"corner": f"c{i}", "on": f"piece {p} corner {i}"})
    entry["lies"] = {"meets": meets}


@change
def drawn_elsewhere(rng, make, _):
    """Each piece anywhere, turned; two of its corners or more tell where it belongs."""
    for p, piece in enumerate(make["pieces"]):
        some = rng.sample(range(len(piece["edges"])), min(len(piece["edges"]), rng.randint(2, 4)))
        laid(make, p, {i: start(piece["edges"][i]) for i in some})
        carried_piece(piece, anywhere(rng))
    return {}


@change
def drawn_apart_in_the_open(rng, make, _):
    """All pieces drawn apart from each other, turned, in one space: a place inside tells which is which."""
    for p, piece in enumerate(make["pieces"]):
        laid(make, p, {i: start(edge) for i, edge in enumerate(piece["edges"])})
        row, column = divmod(p, 6)
        turn = Motion(rng.choice((0.0, math.pi / 2, rng.uniform(-3, 3))), 0j)
        carried_piece(piece, Motion(turn.angle, complex(700 * column, 700 * row) - turn(piece["middle"])))
    return {"way": {"layout": "open", "shuffle": rng.randint(1, 10**6)}}


@change
def half_laid_over(rng, make, _):
    """The other half of a piece that is cut double, drawn beyond its fold and said to be turned over."""
    done = 0
    for p, piece in enumerate(make["pieces"]):
        names = [spec["name"] for spec in piece["entry"]["edges"]]
        if not piece["entry"].get("fold") or not turns_over(piece):
            continue
        fold = piece["edges"][names.index(piece["entry"]["fold"])]
        along = end(fold) - start(fold)
        turn = 2 * cmath.phase(along)
        turned_over(make, p, Motion(turn, start(fold) - cmath.exp(1j * turn) * start(fold).conjugate(), True))
        done += 1
    return {} if done else None


def turns_over(piece):
    """Words and lines through places have a hand: pieces with them stay where they are."""
    return not any("text" in m for m in piece["marks"]) and not any(k in f for f in piece["features"] for k in ("text", "through"))


def turned_over(make, p, motion):
    piece = make["pieces"][p]
    laid(make, p, {i: start(edge) for i, edge in enumerate(piece["edges"])})
    piece["entry"]["lies"]["mirrored"] = True
    carried_drawing(piece, motion)
    for feature in piece["features"]:
        carried_feature(feature, motion)


@change
def drawn_as_the_other_hand(rng, make, _):
    """The same turned over."""
    done = [p for p, piece in enumerate(make["pieces"]) if turns_over(piece)]
    for p in done:
        turned_over(make, p, anywhere(rng, True))
    return {} if done else None


@change
def drawn_cut_elsewhere(rng, make, graded):
    """Drawn cut and elsewhere: what meets its places is the net line."""
    net = [{i: start(edge) for i, edge in enumerate(piece["edges"])} for piece in make["pieces"]]
    expected = drawn_cut(rng, make, graded)
    for p, piece in enumerate(make["pieces"] if expected is not None else []):
        laid(make, p, net[p])
        carried_piece(piece, anywhere(rng))
    return expected


drawn_cut_elsewhere.prepare = drawn_cut.prepare

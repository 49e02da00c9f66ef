"""Changes of where a piece is drawn on its sheet, with the places of its forme that its corners meet."""
from changes import change
from curves import Motion, start
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
def drawn_as_the_other_hand(rng, make, _):
    """The same turned over. Words and lines through places have a hand: pieces with them stay where they are."""
    done = 0
    for p, piece in enumerate(make["pieces"]):
        if any("text" in m for m in piece["marks"]) or any(k in f for f in piece["features"] for k in ("text", "through")):
            continue
        laid(make, p, {i: start(edge) for i, edge in enumerate(piece["edges"])})
        piece["entry"]["lies"]["mirrored"] = True
        motion = anywhere(rng, True)
        carried_drawing(piece, motion)
        for feature in piece["features"]:
            carried_feature(feature, motion)
        done += 1
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

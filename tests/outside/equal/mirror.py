"""A style carried to another place of its sheet, formes and all; also its mirror image."""
import cmath


def carried(make, motion):
    for forme in make["style"]["formes"].values():
        forme["points"] = {k: motion(p) for k, p in forme["points"].items()}
        if motion.mirrored:  # point rules are in the base line's frame: along it, and to its left
            for rule in forme["rules"]:
                if "point" in rule:
                    rule["per_size"] = [rule["per_size"][0], -rule["per_size"][1]]
                    rule["per_width"] = [rule["per_width"][0], -rule["per_width"][1]]
    for piece in make["pieces"]:
        carried_piece(piece, motion)


def carried_drawing(piece, motion):
    """What is drawn, each edge in its order: turned over the outline runs clockwise."""
    piece["edges"] = [[motion.seg(s) for s in edge] for edge in piece["edges"]]
    piece["middle"] = motion(piece["middle"])
    for mark in piece["marks"]:
        if "seg" in mark:
            mark["seg"] = motion.seg(mark["seg"])
        elif "circle" in mark:
            mark["circle"] = (motion(mark["circle"][0]), mark["circle"][1])
        elif "point" in mark:
            mark["point"] = motion(mark["point"])
        else:
            at, says, height = mark["text"]
            mark["text"], mark["angle"] = (motion(at), says, height), motion.angle


def carried_piece(piece, motion):
    carried_drawing(piece, motion)
    for feature in piece["features"]:
        carried_feature(feature, motion)
    if motion.mirrored:
        against_the_clock(piece)


def carried_feature(feature, motion):
    at = feature.get("at")
    if isinstance(at, complex):
        feature["at"] = motion(at)
    elif isinstance(at, dict) and "point" in at:
        feature["at"] = {"point": motion(at["point"]), "by": motion.vector(at["by"])}
    if any(key in feature for key in ("slot", "text", "pair_number", "buckle_bar")):
        angle = feature.get("angle", 0)
        feature["angle"] = (-angle if motion.mirrored else angle) + cmath.phase(motion.turn) * 180 / cmath.pi
    if "through" in feature:
        feature["through"] = [motion(p) for p in feature["through"]]
        if motion.mirrored:  # rows lie to the left of the line
            feature["through"].reverse()


def against_the_clock(piece):
    """The edges of a mirrored piece run the other way: each from its last corner to its first."""
    entry = piece["entry"]
    piece["edges"] = [[turned(s) for s in reversed(edge)] for edge in reversed(piece["edges"])]
    piece["corners"] = piece["corners"][:1] + piece["corners"][:0:-1]
    for spec in entry["edges"]:
        spec["from"], spec["to"] = spec["to"], spec["from"]
    entry["edges"].reverse()
    for feature in piece["features"]:
        turned_feature(feature)
        if isinstance(feature.get("at"), dict) and "edge" in feature["at"]:
            turned_feature(feature["at"])


def turned(seg):
    return ("arc", seg[2], seg[1], -seg[3]) if seg[0] == "arc" else (seg[0], *seg[:0:-1])


def turned_feature(feature):
    if "share" in feature:
        top, _, bottom = feature["share"].partition("/")
        feature["share"] = f"{int(bottom) - int(top)}/{bottom}"
    elif "distance" in feature:
        feature["from_end"] = not feature.get("from_end", False)
    if "edges" in feature:
        feature["edges"] = feature["edges"][::-1]
    if isinstance(feature.get("margin"), list):
        feature["margin"] = feature["margin"][::-1]
    if "anchor" in feature:
        feature["anchor"] = {"start": "end", "end": "start"}.get(feature["anchor"], feature["anchor"])
    for hole in feature.get("unit", []):
        if "along" in hole:
            hole["along"] = -hole["along"]

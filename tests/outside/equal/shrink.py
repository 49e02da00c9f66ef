"""Makes a style for which a change fails smaller, as long as it still fails in the same way."""
import copy


def smaller(make):
    """Simpler styles, the boldest first: thunks that give a copy or None."""
    pieces = make["pieces"]
    n = len(pieces)
    if n > 1:
        for keep in (pieces[: n // 2], pieces[n // 2:]):
            yield lambda keep=keep: with_pieces(make, {p["entry"]["name"] for p in keep})
        for piece in pieces:
            yield lambda gone=piece: with_pieces(make, {p["entry"]["name"] for p in pieces if p is not gone})
    if make["style"]["seams"]:
        yield lambda: edited(make, lambda m: m["style"]["seams"].clear())
    for i, piece in enumerate(pieces):
        for key in ("features", "marks"):
            if piece[key]:
                yield lambda i=i, key=key: edited(make, lambda m: m["pieces"][i][key].clear())
                for k in range(len(piece[key]) if len(piece[key]) > 1 else 0):
                    yield lambda i=i, key=key, k=k: edited(make, lambda m: m["pieces"][i][key].pop(k))
        for key in ("sizes_tied", "layer"):
            if key in piece["entry"]:
                yield lambda i=i, key=key: edited(make, lambda m: m["pieces"][i]["entry"].pop(key))
        if "fold" in piece["entry"]:
            yield lambda i=i: edited(make, lambda m: (m["pieces"][i]["entry"].pop("fold"), m["pieces"][i]["entry"].update(hand="handed")))
        for k, corner in enumerate(piece["corners"]):
            if corner.get("form", "mitre") != "mitre":
                yield lambda i=i, k=k: edited(make, lambda m: m["pieces"][i]["corners"][k].pop("form"))
        for k, spec in enumerate(piece["entry"]["edges"]):
            for key in ("allowance_from", "straight", "held"):
                if key in spec:
                    yield lambda i=i, k=k, key=key: edited(make, lambda m: m["pieces"][i]["entry"]["edges"][k].pop(key))
            if spec["allowance"]:
                yield lambda i=i, k=k: edited(make, lambda m: m["pieces"][i]["entry"]["edges"][k].update(allowance=0))
            edge = piece["edges"][k]
            if len(edge) > 1 or edge[0][0] != "line":
                yield lambda i=i, k=k: edited(make, lambda m: straightened(m["pieces"][i]["edges"], k))
    for name, forme in make["style"]["formes"].items():
        if not any(p["entry"]["forme"] == name for p in pieces) and len(make["style"]["formes"]) > 1:
            yield lambda name=name: edited(make, lambda m: m["style"]["formes"].pop(name))
        for k, rule in enumerate(forme["rules"]):
            if rule.get("measure_line") not in (forme["length_line"], forme["girth_line"]):
                yield lambda name=name, k=k: edited(make, lambda m: m["style"]["formes"][name]["rules"].pop(k))
    if len(make["style"]["run"]["widths"]) > 1:
        yield lambda: edited(make, lambda m: m["style"]["run"].update(widths=[m["style"]["base"]["width"]]))
    for measure in make["style"]["measures"].values():
        for key in ("breaks",):
            if key in measure:
                yield lambda key=key: edited(make, lambda m: [x.pop(key, None) for x in m["style"]["measures"].values()])


def edited(make, edit):
    made = copy.deepcopy(make)
    edit(made)
    return made


def with_pieces(make, names):
    made = copy.deepcopy(make)
    made["pieces"] = [p for p in made["pieces"] if p["entry"]["name"] in names]
    made["style"]["seams"] = [s for s in made["style"]["seams"] if {s["one"]["piece"], s["other"]["piece"]} <= names]
    return made


def straightened(edges, k):
    edge = edges[k]
    last = edge[-1][4] if edge[-1][0] == "bez" else edge[-1][2]
    edges[k] = [("line", edge[0][1], last)]


def shrunk(make, fails, most=150):
    """The smallest style found for which fails(make) is still true, within `most` tries."""
    tries, again = 0, True
    while again:
        again = False
        for smaller_one in smaller(make):
            if tries >= most:
                return make
            tries += 1
            candidate = smaller_one()
            if candidate["pieces"] and fails(candidate):
                make, again = candidate, True
                break
    return make

"""Changes of a style that must not change what is cut, or change it in a known way.

A change takes (rng, make, graded): a style of its own, which it may change in place, and the set graded before. It gives
what is expected, or None where it does not apply. With a `prepare`, both styles go through that first. The expectation
says how to draw and grade the changed style, and how its set lies to the first one:
  way        how it is drawn (drawing.py)           options   further options of `grade`
  motion     where the forme went (Motion.said)     names     new names of pieces, by the old ones
  cells      (size, width) to compare, or           pieces    pieces to compare, all unless given
  against    [cell of one, cell of the other]
  skip       (layer, kind) not compared             ignore    checks whose failing may differ
  limit      mm; 0.005 unless given                told      a check that tells of how much more it may be
"""
import copy
import json
import pathlib

from curves import split, start

CHANGES = {}
# Where the spans of an outline are cut elsewhere, each of two sets may be 0.005 mm from the exact map.
TWICE = 0.01
# Words that the program puts beside a skive stay upright on the sheet, and words are never mirrored.
UPRIGHT = [["SKIVE", "text"]]
MIRRORED = [["SKIVE", "text"], ["TEXT", "text"]]

SCHEMA = json.loads((pathlib.Path(__file__).resolve().parents[3] / "grading/style/style.schema.json").read_text())


def kind_of(rule):
    """What the schema says of rules of this kind."""
    return next(kind for kind in SCHEMA["$defs"]["rule"]["oneOf"] if set(kind["required"]) <= rule.keys() <= kind["properties"].keys())


def holds(rule, key):
    """What stands under a key of a rule: "name", "names", "carries", "shift", "quantity"."""
    said = kind_of(rule)["properties"][key]
    return said["$ref"].rpartition("/")[2] if "$ref" in said else said["items"]["$ref"].rpartition("/")[2] + "s"


def change(function):
    CHANGES[function.__name__] = function
    return function


@change
def bystanders(rng, make, _):
    """A point, a measure and a piece that nothing refers to."""
    style = make["style"]
    forme = rng.choice(list(style["formes"].values()))
    forme["points"]["bystander"] = rng.choice(list(forme["points"].values())) + complex(rng.uniform(-9, 9), 11)
    style["measures"]["bystander"] = {"base": 300, "per_size": "7 mm", "per_width": "1 mm"}
    compared = [p["entry"]["name"] for p in make["pieces"]]
    extra = copy.deepcopy(rng.choice(make["pieces"]))
    extra["entry"]["name"] = "bystander"
    make["pieces"].insert(0, extra)
    return {"pieces": compared, "ignore": True}


@change
def renamed(rng, make, _):
    """Every name that only refers: pieces, edges, corners, points, lines, measures, formes."""
    style, names = make["style"], {}
    new = lambda old: "Ü" + old[::-1].replace(" ", "-")
    points = lambda names: [new(n) for n in names]
    style["measures"] = {new(k): v for k, v in style["measures"].items()}
    for forme in style["formes"].values():
        forme["points"] = {new(k): v for k, v in forme["points"].items()}
        for key in ("base_line",):
            forme[key] = points(forme[key])
        for key in ("fixed", "length_line", "girth_line"):
            forme[key] = new(forme[key])
        for rule in forme["rules"]:
            for key, value in rule.items():
                what = holds(rule, key)
                if what == "name":
                    rule[key] = new(value)
                elif what == "names":
                    rule[key] = points(value)
                elif what == "carries":
                    rule[key] = {new(k): v for k, v in value.items()}
                else:
                    assert what in ("shift", "quantity"), (key, what)
    roles = {"shell": "shell", "bottom": "bottom"} if rng.random() < 0.5 else {"shell": "above", "bottom": "under"}
    style["formes"] = {roles[k]: v for k, v in style["formes"].items()}
    for piece in make["pieces"]:
        entry = piece["entry"]
        names[entry["name"]] = new(entry["name"])
        entry["name"] = new(entry["name"])
        entry["forme"] = roles[entry["forme"]]
        for spec in entry["edges"]:
            for key in ("name", "from", "to"):
                spec[key] = new(spec[key])
        if "fold" in entry:
            entry["fold"] = new(entry["fold"])
        for corner in piece["corners"]:
            corner["name"] = new(corner["name"])
        for feature in piece["features"]:
            if "edges" in feature:
                feature["edges"] = points(feature["edges"])
            for holder in (feature, feature.get("at")):
                if isinstance(holder, dict) and "edge" in holder:
                    holder["edge"] = new(holder["edge"])
    for seam in style["seams"]:
        seam["name"] = new(seam["name"])
        for side in ("one", "other"):
            seam[side] = {"piece": new(seam[side]["piece"]), "edge": new(seam[side]["edge"])}
    return {"names": names}


@change
def edge_cut_in_two(rng, make, _):
    """One edge becomes two of the same treatment; one that is straight, held or measured along stays whole."""
    found = []
    for piece in make["pieces"]:
        whole = {f["edge"] for f in piece["features"] if "edge" in f} | {f["at"]["edge"] for f in piece["features"] if isinstance(f.get("at"), dict) and "edge" in f["at"]}
        for i, spec in enumerate(piece["entry"]["edges"]):
            if spec["name"] not in whole and not spec.get("held") and not spec.get("straight") and spec["name"] != piece["entry"].get("fold"):
                found.append((piece, i))
    if not found:
        return None
    piece, i = rng.choice(found)
    spec, edge = piece["entry"]["edges"][i], piece["edges"][i]
    first, second = split(edge[0], rng.uniform(0.3, 0.7))
    piece["edges"][i:i + 1] = [[first], [second] + edge[1:]]
    piece["corners"].insert(i + 1, {"name": "cut here"})
    piece["entry"]["edges"][i:i + 1] = [{**spec, "name": "first half", "to": "cut here"}, {**spec, "name": "second half", "from": "cut here"}]
    for feature in piece["features"]:
        if spec["name"] in feature.get("edges", []):
            at = feature["edges"].index(spec["name"])
            feature["edges"][at:at + 1] = ["first half", "second half"]
    make["style"]["seams"] = [s for s in make["style"]["seams"] if (piece["entry"]["name"], spec["name"]) not in ((x["piece"], x["edge"]) for x in (s["one"], s["other"]))]
    # A skive writes its words at the middle of its first edge.
    return {"limit": TWICE, "skip": UPRIGHT, "ignore": ("seam", "seam, base", "seam nicks", "seam end, smooth", "seam, shared", "seam allowances", "lap width", "eyelets meet")}


@change
def one_width(rng, make, _):
    run = make["style"]["run"]
    width = rng.choice(run["widths"])
    run["widths"] = [width]
    return {"cells": [(s, width) for s in make["sizes"]], "ignore": True, "limit": TWICE, "skip": UPRIGHT}


@change
def one_size(rng, make, _):
    if tied(make) or any(size_labels(p) for p in make["pieces"]):
        return None
    run = make["style"]["run"]
    size = make["style"]["base"]["size"]
    run["from"] = run["to"] = size
    return {"cells": [(size, w) for w in run["widths"]], "ignore": True, "limit": TWICE, "skip": UPRIGHT}


def tied(make):
    return any("sizes_tied" in p["entry"] for p in make["pieces"])


def size_labels(piece):
    return any("size_marks" in f or "counts" in f for f in piece["features"]) or any("allowance_from" in e for e in piece["entry"]["edges"])


@change
def only_some(rng, make, _):
    """--sizes, --widths and --pieces."""
    sizes = sorted(rng.sample(make["sizes"], rng.randint(1, len(make["sizes"]))), key=make["sizes"].index)
    width = rng.choice(make["style"]["run"]["widths"])
    piece = rng.choice(make["pieces"])["entry"]["name"]
    return {"options": ["--sizes", ",".join(sizes), "--widths", width, "--pieces", piece], "cells": [(s, width) for s in sizes], "pieces": [piece]}


@change
def one_piece(rng, make, _):
    piece = rng.choice(make["pieces"])
    if any("held" in e for p in make["pieces"] for e in p["entry"]["edges"] if p is not piece):
        return None  # an edge held in one piece is held in those that share it
    make["pieces"] = [piece]
    make["style"]["seams"] = []
    return {"pieces": [piece["entry"]["name"]], "ignore": True}


@change
def rule_twice(rng, make, _):
    forme = rng.choice(list(make["style"]["formes"].values()))
    rule = dict(rng.choice(forme["rules"]))
    key = kind_of(rule)["required"][0]
    if key.endswith("_line"):  # its own name
        rule[key] = "the same again"
        if rng.random() < 0.5:
            rule["from"], rule["to"] = rule["to"], rule["from"]
    forme["rules"].insert(rng.randint(0, len(forme["rules"])), rule)
    return {}


@change
def orders(rng, make, _):
    """Rules, points, pieces and seams in another order, and every piece's edges from another corner on."""
    style = make["style"]
    for forme in style["formes"].values():
        rng.shuffle(forme["rules"])
        items = list(forme["points"].items())
        rng.shuffle(items)
        forme["points"] = dict(items)
    rng.shuffle(make["pieces"])
    rng.shuffle(style["seams"])
    for piece in make["pieces"]:
        k = rng.randrange(len(piece["edges"]))
        for holder, key in ((piece, "edges"), (piece, "corners"), (piece["entry"], "edges")):
            holder[key] = holder[key][k:] + holder[key][:k]
    return {}


@change
def key_order(rng, make, _):
    return {"way": {"keys": rng.randint(1, 10**6)}}


@change
def one_thread(rng, make, _):
    return {"options": ["--threads", "1"]}


@change
def both_profiles(rng, make, _):
    return {"options": ["--profile", "both"], "ignore": True}


@change
def corners_as_points(rng, make, _):
    for p, piece in enumerate(make["pieces"]):
        forme = make["style"]["formes"][piece["entry"]["forme"]]
        for i, corner in enumerate(piece["corners"]):
            forme["points"][f"piece {p} corner {i}"] = start(piece["edges"][i])
            corner["point"] = f"piece {p} corner {i}"
    return {}


@change
def finer_steps(rng, make, _):
    run = make["style"]["run"]
    if run["by"] != "1" or make["style"]["scale"] in ("mondopoint-5", "jis-men", "chinese"):
        return None
    if tied(make) or any("size_marks" in f for p in make["pieces"] for f in p["features"]):
        return None
    run["by"] = "1/2"
    return {"ignore": True, "limit": TWICE, "skip": UPRIGHT}


@change
def other_units_of_lengths(rng, make, _):
    for piece in make["pieces"]:
        for spec in piece["entry"]["edges"]:
            spec["allowance"] = f"{round(spec['allowance'] / 10, 6)} cm"
    return {}

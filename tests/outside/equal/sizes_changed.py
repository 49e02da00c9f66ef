"""Changes of what the sizes are: others beside them, nearly the same ones, another one as the base."""
import csv
import json
import pathlib
from fractions import Fraction

import numpy

from changes import TWICE, change
from curves import start

TABLES = pathlib.Path(__file__).resolve().parents[3] / "reference-tables"


def without_labels(make):
    """What hangs on the labels of sizes is taken off both styles."""
    make["style"].pop("codes", None)
    for piece in make["pieces"]:
        piece["entry"].pop("sizes_tied", None)
        piece["features"] = [f for f in piece["features"] if "size_marks" not in f]
        for feature in piece["features"]:
            feature.pop("counts", None)
        for spec in piece["entry"]["edges"]:
            spec.pop("allowance_from", None)
    for measure in make["style"]["measures"].values():
        measure.pop("breaks", None)


@change
def hardly_graded(rng, make, _):
    """Sizes a thousandth of a millimetre apart: no outline jumps from one to the next."""
    style = make["style"]
    style["tables"] = ["fine.json"]
    table = {"lastwright_table": 1, "kind": "scale", "key": "fine", "title": "Fine", "source": {"text": "invented", "provenance": "common practice"},
             "sizes": "foot", "zero_length": "200 mm", "step": "0.001 mm", "runs": [{"from": 1, "to": 6}]}
    length = style["formes"][next(iter(style["formes"]))]
    line = [r for r in length["rules"] if r.get("measure_line") == "length"][0]
    drawn = abs(length["points"][line["to"]] - length["points"][line["from"]])
    for name, measure in style["measures"].items():
        if "from_scale" in measure:
            style["measures"][name] = {"base": round(drawn, 4), "per_size": 0, "per_width": measure.get("per_width", 0)}
        style["measures"][name]["per_size"] = "0.001 mm"
    for forme in style["formes"].values():
        for rule in forme["rules"]:
            if "point" in rule:
                rule["per_size"] = [round(x * 0.0001, 6) for x in rule["per_size"]]
    style["scale"] = "fine"
    width = style["base"]["width"]
    cell = (style["base"]["size"], width)
    style["base"]["size"] = "3"
    style["run"].update({"from": "1", "to": "5", "by": "1"})
    against = [[cell, (size, width)] for size in "12345"]
    return {"way": {"files": {"fine.json": table}}, "against": against, "skip": [["TEXT", "text"]], "ignore": True, "limit": TWICE + 0.005}


hardly_graded.prepare = without_labels


def millimetres(quantity):
    if not isinstance(quantity, str):
        return Fraction(quantity).limit_denominator(10**6)
    number, _, unit = quantity.partition(" ")
    return Fraction(number) * {"mm": 1, "cm": 10, "in": Fraction(254, 10), "": 1}[unit]


def for_another_base(make):
    """What both styles of other_base have: corners that are points of the forme, no fold, nothing at a bare place, no rules
    about the size they are written for."""
    with_rules_about_the_base(make)
    for forme in make["style"]["formes"].values():
        forme["rules"] = [r for r in forme["rules"] if "point" not in r and "hold" not in r]
    for piece in make["pieces"]:
        piece["features"] = [f for f in piece["features"] if "hole" in f]
        for spec in piece["entry"]["edges"]:
            spec.pop("held", None)


def with_rules_about_the_base(make):
    """No allowances, which would make more of a difference at sharp corners, and no rows of as many holes as there is room for."""
    without_labels(make)
    for p, piece in enumerate(make["pieces"]):
        if piece["entry"].pop("fold", None):
            piece["entry"]["hand"] = "handed"
        for spec in piece["entry"]["edges"]:
            spec["allowance"] = 0
        piece["marks"] = []
        piece["features"] = [f for f in piece["features"] if "through" not in f and "pitch" not in f and (not "at" in f or isinstance(f["at"], dict) and "edge" in f["at"])]
        points = make["style"]["formes"][piece["entry"]["forme"]]["points"]
        for i, corner in enumerate(piece["corners"]):
            points[f"piece {p} corner {i}"] = start(piece["edges"][i])
            corner["point"] = f"piece {p} corner {i}"


@change
def other_base(rng, make, graded):
    """The set's own outlines in another size and width become the drawing, and its measures the base's."""
    style = make["style"]
    size = rng.choice([s for s in make["sizes"] if s != style["base"]["size"]])
    width = rng.choice(style["run"]["widths"])
    if any("from_scale" in m and millimetres(m.get("per_width", 0)) for m in style["measures"].values()):
        width = style["base"]["width"]
    moves = {}
    with open(graded.folder / "grade-sheet.csv", encoding="utf-8") as sheet:
        for row in csv.DictReader(sheet):
            if row["size"] == size and row["width"] == width:
                moves[row["on"], row["point"]] = complex(float(row["x, mm"]), float(row["y, mm"]))
    sizes_up = (make["sizes"].index(size) - make["sizes"].index(style["base"]["size"])) * Fraction(style["run"]["by"])
    ladder = json.loads((TABLES / f"ladder-{style['ladder']}.json").read_text(encoding="utf-8"))["labels"]
    widths_up = ladder.index(width) - ladder.index(style["base"]["width"])
    for measure in style["measures"].values():
        if "from_scale" not in measure:
            measure["base"] = round(float(Fraction(measure["base"]).limit_denominator(10**6) + sizes_up * millimetres(measure["per_size"]) +
                                          widths_up * millimetres(measure["per_width"])), 5)
    for piece in make["pieces"]:
        drawing = graded.piece(piece["entry"]["name"], size, width)
        outline = (drawing.get("NET_LINE") or drawing["CUT"])[0][2]
        places = outline[:, 0] + 1j * outline[:, 1]
        first = [int(numpy.argmin(numpy.abs(places - moves[piece["entry"]["forme"], c["point"]]))) for c in piece["corners"]]
        piece["edges"] = []
        for i, at in enumerate(first):
            n = (first[(i + 1) % len(first)] - at) % len(places) or len(places)
            segs = [(places[(at + k) % len(places)], places[(at + k + 1) % len(places)], outline[(at + k) % len(places), 2]) for k in range(n)]
            piece["edges"].append([("arc", p, q, b) if abs(b) > 1e-9 else ("line", p, q) for p, q, b in ((complex(p), complex(q), float(b)) for p, q, b in segs)])
        for i, corner in enumerate(piece["corners"]):
            moves[piece["entry"]["forme"], corner["point"]] = complex(places[first[i]])
    for name, forme in style["formes"].items():
        forme["points"] = {point: moves[name, point] for point in forme["points"]}
    style["base"] = {"size": size, "width": width}
    # The new drawing is within 0.005 mm of the map, and it is graded to within as much again, in both sets. What rules that are
    # not proportional put elsewhere is no more than the program tells.
    return {"ignore": True, "limit": 2 * TWICE, "told": "another base"}


other_base.prepare = for_another_base


@change
def other_base_with_its_rules(rng, make, graded):
    """The same with point rules, holds and held edges."""
    return other_base(rng, make, graded)


other_base_with_its_rules.prepare = with_rules_about_the_base

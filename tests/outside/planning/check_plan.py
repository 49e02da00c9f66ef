"""An order of pairs as the report's JSON: it keeps its schema, has the figures that needs, dates and the page have, and each
number stands under the data it rests on: where one thing of the user's is changed, no figure changes but those that name it.

usage: check_plan.py LASTWRIGHT STYLE FOLDER"""
import copy
import json
import shutil
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from pathlib import Path

import ezdxf
import jsonschema

kept = tempfile.TemporaryDirectory(dir=sys.argv[3], prefix="plan-")  # its own in each run
lastwright, style, folder = sys.argv[1], Path(sys.argv[2]), Path(kept.name)
root = style.parent.parent.parent.parent
for file in ("shell.dxf", "style.json"):
    shutil.copy(style.parent / file, folder)
spec = json.loads(style.read_text())
pieces = {p["name"]: p for p in spec["pieces"]}
materials = sorted({p["material"] for p in spec["pieces"]})
felt = pieces["vamp"]["material"]
doc = ezdxf.new("R2000")
doc.header["$INSUNITS"] = 4
doc.modelspace().add_lwpolyline([(0, 0), (700, 20), (800, 400), (60, 440)], close=True, dxfattribs={"layer": "hide"})
doc.saveas(folder / "hide.dxf")
works = {"lastwright_works": 1, "styles": {"slipper": "style.json"}, "pairs_per_case": 5, "currency": "EUR",
         "materials": {felt: {"kind": "textile", "gap": 1, "hide": {"outline": "hide.dxf"}, "usable_to_total": 0.9, "price": {"amount": 3.5, "per": "dm2"},
                              "past": [{"scale_dm2": 100, "used_dm2": 130}, {"scale_dm2": 80, "used_dm2": 101}, {"scale_dm2": 90, "used_dm2": 120}]}},
         "labels": {"made": "2031-04", "parts": {"upper": ["vamp"]}}, "cutting": {"vamp": {"within_degrees": 2}},
         "supplies": {felt: {"unit": "dm2", "lead": 2, "stock": 40}, "cartons": {"unit": "each", "per_case": 1, "lead": 1, "multiple": 4}, "laces": {"unit": "pairs", "per_pair": 1}}}
order = [["7", "F", 7, 6], ["8", "F", 4, 7]]
runs = 0


def run(*words, code=0, says=""):
    done = subprocess.run([lastwright, *map(str, words)], capture_output=True, text=True)
    assert done.returncode == code and says in done.stdout + done.stderr, (words, done.returncode, done.stdout, done.stderr)
    return done.stdout


def plan(works, order, code=0):
    global runs
    runs += 1
    (folder / "works.json").write_text(json.dumps(works))
    (folder / "order.csv").write_text("size,width,pairs,period\n" + "".join(",".join(map(str, row)) + "\n" for row in order))
    run("report", folder / "style.json", "--pairs", folder / "order.csv", "--works", folder / "works.json", "--out", folder / f"{runs}.html", "--json", folder / f"{runs}.json", code=code)
    return json.loads((folder / f"{runs}.json").read_text())


def numbers(value, path=""):
    for key, under in value.items() if isinstance(value, dict) else ((None, v) for v in value) if isinstance(value, list) else ():
        yield from numbers(under, path if key is None else f"{path}/{key}")
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        yield path, value


first = plan(works, order)
jsonschema.Draft202012Validator(json.loads((root / "cli/planning/plan.schema.json").read_text())).validate(first)
# The figures of needs and dates, to the last digit; and of the page.
run("needs", folder / "order.csv", "--works", folder / "works.json", "--out", folder / "needs")
run("dates", folder / "works.json", "--order", folder / "order.csv", "--out", folder / "dates")
for name in ("needs", "dates"):
    alone = json.loads((folder / name / f"{name}.json").read_text())
    assert alone.pop("checks_failed") == []
    for told in ("rows_left_out", "doubts") if name == "dates" else ():
        assert alone.pop(told) == first["needs"][told]
    assert alone.pop(f"lastwright_{name}") == 1 and first[name] == alone, name
# What the leather ordered rests on is said where it is ordered too.
assert "second waste by area and edge" in (folder / "dates/dates.html").read_text()
page = (folder / "1.html").read_text().split('id="plan"')[1]
for need in first["needs"]["materials"]:
    for area in ("net_mm2", "scale_mm2"):
        assert f"{need[area] / 1e4:.2f}" in page, (need, area)
assert f"{first['pairs']} pairs in {first['cases']} cases; 0 rows of the order left out, {first['supplies_late']} supplies late" in page
assert first["checks_failed"] == []
# Pieces counted again from the style and the order.
wanted = Counter({(name, size, width): n * p["per_pair"] for name, p in pieces.items() for size, width, n, _ in order})
assert Counter({(c["piece"], c["size"], c["width"]): c["wanted"] for c in first["components"]}) == wanted
assert first["pairs"] == 11 and first["cases"] == len(first["tickets"]["cases"]) == 3 and len(first["hides"]) == 1
assert first["tickets"]["pieces_counted_again"] == sum(wanted.values())
assert {"order.csv", "works.json", "style.json", "shell.dxf"} <= {f["file"] for f in first["files"]}

# Every number stands under its data, once.
rests = {figure: set(one["data"]) for one in first["rests_on"] for figure in one["figures"]}
assert sum(len(one["figures"]) for one in first["rests_on"]) == len(rests)


def data_of(path):
    return rests.get(path) or rests.get(path.rsplit("/", 1)[0])


for path, _ in numbers(first):
    assert path == "/lastwright_plan" or data_of(path), f"{path} rests on nothing"


def changed(more):
    one, other = defaultdict(list), defaultdict(list)
    for into, of in ((one, first), (other, more)):
        for path, value in numbers(of):
            into[path].append(value)
    return {path for path in one.keys() | other.keys() if one[path] != other[path]}


def of_felt(key, value):
    more = copy.deepcopy(works)
    more["materials"][felt][key] = value
    return more


stocked = copy.deepcopy(works)
stocked["supplies"][felt]["stock"] = 10
for data, more, rows in (("works: materials, measured_to_invoiced, usable_to_total", of_felt("usable_to_total", 0.8), order),
                         ("works: materials, past", of_felt("past", works["materials"][felt]["past"][:2]), order),
                         ("works: materials, price; supplies, price, per_pair, per_case, styles", of_felt("price", {"amount": 5, "per": "dm2"}), order),
                         ("works: materials, gap, half_turned, mixed_hands, grain", of_felt("gap", 3), order),
                         ("works: pairs_per_case", dict(works, pairs_per_case=4), order), ("works: cutting", dict(works, cutting={"vamp": {"within_degrees": 9}}), order),
                         ("works: supplies", stocked, order), ("the order's rows", works, [["7", "F", 9, 6], order[1]]), ("the order's periods", works, [["7", "F", 7, 5], order[1]])):
    found = changed(plan(more, rows))
    assert found, f"{data}: no figure rests on it"
    for path in found:
        assert data in data_of(path), f"{path} changes with {data}"

# A row without a period, sizes that the page leaves out, an order of another file or of none of it: each is told, on page and in JSON.
def told(code, says, *more):
    run("report", folder / "style.json", "--pairs", folder / "order.csv", "--works", folder / "works.json", "--out", folder / "told.html", "--json", folder / "told.json", "--force", *more,
        code=code, says=says)
    page = (folder / "told.html").read_text()
    assert any(says in note for note in json.loads((folder / "told.json").read_text())["notes"]) and says.replace('"', "&quot;") in page or says in page, says


plan(works, [["7", "F", 7, ""], order[1]], code=1)
told(1, "1 row of the order lies in no period (line 2)")
assert json.loads((folder / "told.json").read_text())["dates"]["without_period"] == [2]
plan(works, order)
told(0, "7 pairs of the order, in 7 F, are of sizes and widths that this report leaves out", "--sizes", "8")
shutil.copy(folder / "style.json", folder / "other.json")
plan(dict(works, styles={"slipper": "other.json"}), order)
told(0, "is read from another file than the one reported")

# A supply that nearly bears a material's name, which then has none: its stock would count for nothing.
misspelt = copy.deepcopy(works)
misspelt["supplies"][felt.capitalize()] = misspelt["supplies"].pop(felt)
(folder / "misspelt.json").write_text(json.dumps(misspelt))
run("dates", folder / "misspelt.json", "--order", folder / "order.csv", "--out", folder / "misspelt", code=3, says="has no supply: are they one?")
run("report", folder / "style.json", "--out", folder / "none.html", "--json", folder / "none.json", code=2)
done = subprocess.run([lastwright, "report", folder / "style.json", "--pairs", folder / "order.csv", "--works", folder / "works.json", "--out", folder / "same",
                       "--json", f"{folder}/./same"], capture_output=True, text=True)
assert done.returncode != 0 and "name the same file" in done.stderr and not (folder / "same").exists(), done
assert not (folder / "none.html").exists()
print(f"{sum(1 for _ in numbers(first))} numbers under {len(rests)} names, {runs} reports")

"""What the demo's order takes, reckoned again: pieces counted from the style, areas and hulls from the DXF by ezdxf and
shapely, sums of the workbook by openpyxl.

usage: check_needs.py LASTWRIGHT STYLE FOLDER"""
import csv
import json
import math
import subprocess
import sys
from collections import Counter, defaultdict
from pathlib import Path

import openpyxl

lastwright, style, folder = sys.argv[1:4]
folder = Path(folder)
demo = Path(style).parent
spec = json.loads(Path(style).read_text())
works = json.loads((demo / "works.json").read_text())


def run(*words, code=0):
    done = subprocess.run([lastwright, *words], capture_output=True, text=True)
    assert done.returncode == code, (words, done.returncode, done.stdout, done.stderr)
    return done


pairs = Counter()
for row in csv.DictReader((demo / "order.csv").open()):
    if row["assortment"]:
        for part in works["assortments"][row["assortment"]]:
            pairs[part["size"], part["width"]] += int(row["cases"]) * part["pairs"]
    else:
        pairs[row["size"], row["width"]] += int(row["pairs"])

out, areas = folder / "needs", folder / "needs-areas"
run("needs", str(demo / "order.csv"), "--works", str(demo / "works.json"), "--out", str(out), "--force")
needs = json.loads((out / "needs.json").read_text())
assert needs["pairs"] == sum(pairs.values()) == 72
assert not needs["rows_left_out"]

per_pair = {p["name"]: p["per_pair"] for p in spec["pieces"]}
material = {p["name"]: p["material"] for p in spec["pieces"]}
count, net, scale, bought = Counter(), defaultdict(float), defaultdict(float), defaultdict(float)
for piece in needs["pieces"]:
    at = piece["size"], piece["width"]
    assert piece["pairs"] == pairs[at]
    assert piece["pieces"] == pairs[at] * per_pair[piece["piece"]]
    assert piece["material"] == material[piece["piece"]]
    assert piece["scale_mm2"] >= piece["net_mm2"] > 0
    count[piece["material"]] += piece["pieces"]
    net[piece["material"]] += piece["pieces"] * piece["net_mm2"]
    scale[piece["material"]] += piece["pieces"] * piece["scale_mm2"]
    bought[piece["material"]] += piece["pieces"] * (piece["material_mm2"] or math.nan)
assert len(needs["pieces"]) == len(pairs) * len(per_pair)
for need in needs["materials"]:
    name = need["material"]
    assert need["pieces"] == count[name]
    assert abs(need["net_mm2"] - net[name]) < 0.06 * count[name]
    assert abs(need["scale_mm2"] - scale[name]) < 0.06 * count[name]
    stated = works["materials"].get(name, {})
    if need["material_mm2"] is None:
        assert math.isnan(bought[name]), name
        assert need["to_buy_mm2"] is None
        continue
    assert abs(need["material_mm2"] - bought[name]) < 0.06 * count[name]
    whole = need["material_mm2"] / stated.get("measured_to_invoiced", 1) / stated.get("usable_to_total", 1)
    assert abs(need["to_buy_mm2"] - whole) < 1
    if "past" in stated:
        import numpy as np
        from scipy import stats
        ratios = np.array([p["used_dm2"] / p["scale_dm2"] for p in stated["past"]])
        half = stats.t.ppf(0.975, len(ratios) - 1) * ratios.std(ddof=1) / math.sqrt(len(ratios))
        assert abs(need["used_over_scale"]["mean"] - ratios.mean()) < 1e-6
        assert abs(need["used_over_scale"]["low"] - (ratios.mean() - half)) < 1e-6

# The law of the edges, with hulls by shapely.
source = Path(__file__).with_name("check_scale_areas.py").read_text().split("\nfor gap in")[0]
tools = {}
exec(compile(source, "check_scale_areas", "exec"), tools)
graded = folder / "graded-needs"
run("grade", style, "--out", str(graded), "--force", "--pictures", "none", "--sizes", "8", "--widths", "F")
looked = 0
for piece in needs["pieces"]:
    hide = works["materials"].get(piece["material"], {}).get("hide")
    if hide is None or (piece["size"], piece["width"]) != ("8", "F"):
        continue
    shape = tools["outline"](next(graded.glob(f"pieces/{piece['piece']}/*8 F.dxf")))
    hull = shape.convex_hull
    held = (hide["area_dm2"] * 1e4 - hide["perimeter_mm"] * hull.length / (2 * math.pi) + hull.area) / piece["scale_mm2"]
    assert abs(held - piece["per_unit"]) < 2e-3 * held, (piece["piece"], held, piece["per_unit"])
    looked += 1
assert looked == 7, looked

# Every figure of the workbook, by another library.
book = openpyxl.load_workbook(out / "needs.xlsx", data_only=True)
sheet = book["materials"]
titles = [c.value for c in sheet[1]]
total = sum(r[titles.index("scale, dm2")].value for r in sheet.iter_rows(min_row=2))
assert abs(total - sum(scale.values()) / 1e4) < 0.01, total
assert sum(r[4].value for r in book["order"].iter_rows(min_row=2)) == 72

# One more pair: what the order takes for that size, by the pair.
more = {(m["size"], m["width"], m["material"]): m for m in needs["one_more_pair"]}
again = defaultdict(float)
for (size, width, name), m in more.items():
    again[name] += pairs[size, width] * m["scale_mm2"]
for name in scale:
    assert abs(again[name] - scale[name]) < 0.06 * count[name] + 0.1 * 72

# Rows that are not understood are told, and the exit code says so.
bad = folder / "bad-order.csv"
bad.write_text("size,width,pairs\n8,F,1\n8,Q,1\n")
done = run("needs", str(bad), "--works", str(demo / "works.json"), "--out", str(folder / "needs-bad"), "--force", code=1)
assert "bad-order.csv:3" in done.stderr and "width" in done.stderr
left = json.loads((folder / "needs-bad" / "needs.json").read_text())
assert left["pairs"] == 1 and left["rows_left_out"][0]["line"] == 3
print("needs: counts, sums, the law of the edges and the workbook agree")

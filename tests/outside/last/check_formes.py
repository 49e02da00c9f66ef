#!/usr/bin/python3
"""Checks formes from lasts with ezdxf and shapely, and closes the loop: rules fitted to them are given to the style, which is
compared with its last again.

usage: check_formes.py LASTWRIGHT DEMO_FOLDER WORK_FOLDER
"""
import collections
import csv
import json
import math
import os
import re
import shutil
import subprocess
import sys

try:
    import ezdxf
    from shapely.geometry import Polygon
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

program, demo, work = sys.argv[1:4]
shutil.rmtree(work, ignore_errors=True)
shutil.copytree(demo, os.path.join(work, "style"))
failures = []


def check(good, text):
    print(("ok    " if good else "FAIL  ") + text)
    if not good:
        failures.append(text)


def run(*words):
    done = subprocess.run([program, *words], capture_output=True, text=True)
    return done.returncode, done.stdout + done.stderr


def rows(folder, name):
    with open(os.path.join(work, folder, name), encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def formes(folder, *options):
    return run("last", "formes", os.path.join(work, "style", "last.json"), "--out", os.path.join(work, folder), "--skin", "0.1", *options)


def length(polyline):
    points = list(polyline.get_points("xyb"))
    if polyline.closed:
        points.append(points[0])
    total = 0.0
    for (x, y, bulge), (u, v, _) in zip(points, points[1:]):
        chord = math.hypot(u - x, v - y)
        turn = 4.0 * math.atan(abs(bulge))
        total += chord if turn < 1e-9 else chord * turn / (2.0 * math.sin(turn / 2.0))
    return total


code, said = formes("formes", "--sizes", "7,9", "--widths", "E,F")
check(code == 0, "the demo's formes are made")
tables = [name for name in os.listdir(os.path.join(work, "formes")) if name.endswith(".csv")]
signed = [(name, key) for name in tables for row in rows("formes", name) for key, value in row.items() if value in ("-0.0", "-0.00", "-0.0000")]
check(len(tables) > 5 and not signed, f"what is rounded to nothing has no sign in {len(tables)} tables {signed[:3]}")
# No name of a point lies on another: boxes of the letters, taken as 0.42 of the font's size wide on the average.
with open(os.path.join(work, "formes", "rules.svg"), encoding="utf-8") as file:
    names = re.findall(r'<text class="small" x="([\d.]+)" y="([\d.]+)">([^<]+)</text>', file.read())
spans = [(float(x), float(y), float(x) + 0.42 * 2.8 * len(text), text) for x, y, text in names]
over = [(a[3], b[3]) for n, a in enumerate(spans) for b in spans[:n] if abs(a[1] - b[1]) < 2.0 and a[0] < b[2] and b[0] < a[2]]
check(len(spans) > 40 and not over, f"{len(spans)} names of points lie off each other {over[:3]}")
lines = rows("formes", "lines.csv")
check(len(lines) == 4 * (7 + 7 + 7 + 9), f"{len(lines)} lines in the table")
check(all(abs(float(r["difference_mm"])) < 0.05 for r in lines if r["kept"] == "yes"), "kept lines are as long as on the last")
rims = {"feather", "front line", "top line", "back curve", "inside feather", "outside feather"}
areas = {(r["size"], r["width"], r["forme"]): float(r["flat_mm2"]) for r in rows("formes", "strain.csv") if r["zone"] == "all"}
for forme in ("outside", "inside", "mean", "bottom"):
    for size, width in (("7", "E"), ("9", "F")):
        drawing = ezdxf.readfile(os.path.join(work, "formes", forme, f"{size} {width}.dxf")).modelspace()
        mine = [r for r in lines if (r["size"], r["width"], r["forme"]) == (size, width, forme)]
        outline, = drawing.query('LWPOLYLINE[layer=="CUT"]')
        around = sum(float(r["flat_mm"]) for r in mine if r["line"] in rims)
        check(outline.closed and abs(length(outline) - around) < 0.02, f"{forme} {size} {width}: outline {length(outline):.3f}, rims {around:.3f} mm")
        drawn = sorted(length(line) for line in drawing.query('LWPOLYLINE[layer=="GUIDE"]'))
        told = sorted(float(r["flat_mm"]) for r in mine if r["line"] not in rims)
        check(len(drawn) == len(told) and all(abs(a - b) < 0.02 for a, b in zip(drawn, told)), f"{forme} {size} {width}: {len(told)} lines as told")
        polygon = Polygon([(x, y) for x, y, _ in outline.get_points("xyb")])
        check(polygon.is_valid and abs(polygon.area / areas[size, width, forme] - 1.0) < 0.003, f"{forme} {size} {width}: simple, {polygon.area:.0f} mm2")
        names = collections.Counter(text.dxf.text for text in drawing.query("TEXT"))
        check(all(names[name] == 1 for name in ("heel", "toe")) and len(drawing.query("CIRCLE")) == sum(names.values()) - 1, f"{forme} {size} {width}: its points are named")

# Conservation: what one size has, every size has, in the table, in the JSON and in the drawing; and of the style every point,
# line and forme is in the tables or is named as not compared.
table = collections.defaultdict(dict)
for row in rows("formes", "points.csv"):
    table[row["size"], row["width"], row["forme"]][row["point"]] = (float(row["x_mm"]), float(row["y_mm"]))
lengths = collections.defaultdict(set)
for row in lines:
    lengths[row["size"], row["width"], row["forme"]].add(row["line"])
for (size, width, forme), points in sorted(table.items()):
    check(set(points) == set(table["7", "E", forme]) and lengths[size, width, forme] == lengths["7", "E", forme], f"{forme} {size} {width}: {len(points)} points and {len(lengths[size, width, forme])} lines, as in 7 E")
    stated = json.load(open(os.path.join(work, "formes", "points", f"{size} {width}.json"), encoding="utf-8"))
    stated = stated.get("formes", stated)[forme]
    stated = stated.get("points", stated)
    drawing = ezdxf.readfile(os.path.join(work, "formes", forme, f"{size} {width}.dxf")).modelspace()
    drawn = {text.dxf.text: (text.dxf.insert.x, text.dxf.insert.y) for text in drawing.query("TEXT")}
    circles = [(c.dxf.center.x, c.dxf.center.y) for c in drawing.query("CIRCLE")]
    check(set(stated) == set(points) and all(math.dist(stated[n], p) < 1e-3 for n, p in points.items()), f"{forme} {size} {width}: the JSON has the points of the table")
    check(set(points) <= set(drawn) and all(any(math.dist(c, p) < 1e-3 for c in circles) for p in points.values()), f"{forme} {size} {width}: all its points are drawn and named")
girths = {"ball line", "waist line", "instep line"}
check(all(girths <= found for found in lengths.values()), "each forme has its girth lines")
check(all("front line" in found and "back curve" in found for (_, _, forme), found in lengths.items() if forme != "bottom"), "each upper forme has its centre lines")
style = json.load(open(os.path.join(work, "style", "style.json"), encoding="utf-8"))
for forme, spec in style["formes"].items():
    part = said.split(f"forme {forme} on the last's")[1].split("\nforme ")[0].split("\n")
    named = {word: {name for line in part if line.strip().startswith(word) for name in line.split(": ", 1)[1].split(", ")} for word in ("points beyond", "lines that end")}
    of_lines = {r.get("measure_line") or r.get("check_line") for r in spec["rules"]} - {None}
    for what, stated, file, column, word in (("points", set(spec["points"]), "rule_points.csv", "point", "points beyond"), ("lines", of_lines, "rule_lines.csv", "line", "lines that end")):
        for size, width in (("7", "E"), ("7", "F"), ("9", "E"), ("9", "F")):
            found = {r[column] for r in rows("formes", file) if (r["forme"], r["size"], r["width"]) == (forme, size, width)}
            check(found | named[word] == stated and not found & named[word], f"{forme} {size} {width}: its {len(stated)} {what} are compared, or {len(named[word])} named as left out")

# What the table's shares say is what the style of the demo was written with.
shares = {r["girth"]: float(r["bottom_grows_by_share_of_tread"]) for r in rows("formes", "shares.csv")}
for girth, share in (("ball girth", 1.0), ("waist girth", 0.75), ("instep girth", 2.0 / 3.0)):
    check(abs(shares[girth] - share) < 0.005, f"{girth}: the bottom takes {shares[girth]:.4f} of the tread's growth, {share:.4f} by the style")


# The loop: the style's points follow the last.
def apart(folder, names):
    found = [float(r["apart_mm"]) for r in rows(folder, "rule_points.csv") if r["forme"] == "shell" and r["point"] in names]
    assert len(found) == 4 * len(names)
    return max(found)


followers = ["joint", "wing foot", "cap foot", "puff foot", "waist feather", "instep feather"]
path = os.path.join(work, "style", "style.json")
style = json.load(open(path, encoding="utf-8"))
shell = style["formes"]["shell"]
shell["rules"] = [r for r in shell["rules"] if "point" not in r]
shell["rules_from_last"] = {"file": "../formes/rules.json", "points": followers}
json.dump(style, open(path, "w", encoding="utf-8"))
before = apart("formes", followers)
code, said = formes("again", "--sizes", "7,9", "--widths", "E,F")
check(code == 0, "formes are made for a style that follows its last" + ("" if code == 0 else ": " + said))
rules = json.load(open(os.path.join(work, "formes", "rules.json"), encoding="utf-8"))["formes"]["shell"]["points"]
residual = max(rules[name]["residual"] for name in followers)
if code == 0:
    after = apart("again", followers)
    check(before > 0.4 and after < residual + 0.001, f"rules and last were {before:.2f} mm apart, now {after:.3f}, and {residual:.3f} is stated")
code, said = run("check", path)
check("6 points follow the last" in said and "cannot say" not in said, f"check tells what follows the last (exit {code})")
# The table and the base that the rules were fitted to are the style's, and each measure of them that is changed is told.
table = json.load(open(os.path.join(work, "formes", "rules.json"), encoding="utf-8"))["table"]
check(set(table) == {"stick length", "ball girth", "waist girth", "instep girth", "tread", "seat"}, f"the last was graded by {sorted(table)}")
for name in table:
    other = json.loads(json.dumps(style))
    other["measures"][name]["per_width"] = "1.234 mm"
    json.dump(other, open(path, "w", encoding="utf-8"))
    code, said = run("check", path)
    check(code == 3 and f"({name}: " in said and "here 1.234 mm" in said, f"another {name} than the rules were fitted to is refused")
other = json.loads(json.dumps(style))
other["base"]["width"] = "G"
json.dump(other, open(path, "w", encoding="utf-8"))
code, said = run("check", path)
check(code == 3 and "for the base 8 F" in said, "another base than the rules were fitted for is refused")

shell["rules_from_last"]["points"] = ["joint", "tongue top"]
json.dump(style, open(path, "w", encoding="utf-8"))
code, said = run("check", path)
check(code == 3 and "no rule for the point 'tongue top'" in said, "a point beyond the last has no rule there")
shell["rules_from_last"]["points"] = ["joint"]
shell["points"]["joint"][0] += 0.5
json.dump(style, open(path, "w", encoding="utf-8"))
code, said = run("check", path)
check(code == 3 and "drawn elsewhere" in said, "a point that was moved since is refused")
sys.exit(1 if failures else 0)

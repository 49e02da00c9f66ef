"""Pairs on a hide: a hide with holes, zones and directions is drawn by ezdxf, and what was laid on it is read back from
hide.dxf and measured by shapely: whole pairs, no overlap, nothing off the hide, zones and directions kept, mates near.

usage: check_hide.py LASTWRIGHT STYLE FOLDER"""
import json
import math
import re
import shutil
import subprocess
import sys
from collections import Counter, defaultdict
from pathlib import Path

import ezdxf
from ezdxf import path as dxf_path
from shapely.geometry import Point, Polygon, box

from few_sizes import few_sizes

lastwright, style, folder = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]) / "hide"
shutil.rmtree(folder, ignore_errors=True)
folder.mkdir(parents=True)
source, style = style, few_sizes(style, folder, **{"from": "7.5", "to": "9.5", "widths": ["F"]})
spec = json.loads(style.read_text())
uppers = {p["name"]: p for p in spec["pieces"] if p["material"] == "box calf 1.8 mm"}
assert {"vamp", "outside quarter", "inside quarter", "toe cap", "counter"} <= set(uppers)

# An invented half hide, 1.3 m by 0.9 m: hollow at the flanks, scars as holes, the best zone along the back.
edge = [(0, 60), (150, 0), (420, 40), (640, 10), (900, 60), (1150, 0), (1300, 120), (1270, 420), (1300, 640), (1200, 860), (950, 800),
        (700, 880), (420, 810), (180, 890), (30, 760), (70, 420)]
scar = [(600, 520), (690, 500), (720, 600), (640, 640)]
best = [(120, 60), (1180, 60), (1180, 400), (120, 400)]
slope = math.radians(8)


def drawing(name, *, zones=True, directions=True, unit=4):
    doc = ezdxf.new("R2000")
    doc.header["$INSUNITS"] = unit
    space = doc.modelspace()
    space.add_lwpolyline(edge, close=True, dxfattribs={"layer": "HIDE"})
    space.add_lwpolyline(scar, close=True, dxfattribs={"layer": "Hole"})
    space.add_circle((300, 300), 15, dxfattribs={"layer": "holes"})
    if zones:
        space.add_lwpolyline(best, close=True, dxfattribs={"layer": "Zone Best"})
    if directions:
        space.add_line((100, 200), (1200, 200), dxfattribs={"layer": "direction"})
        space.add_line((9000, 0), (9000, 500), dxfattribs={"layer": "direction"})
        space.add_line((100, 700), (100 + 1000 * math.cos(slope), 700 + 1000 * math.sin(slope)), dxfattribs={"layer": "direction"})
    space.add_text("a note", dxfattribs={"layer": "notes"})
    # None of these is in a figure, and each is told.
    space.add_lwpolyline(best, close=True, dxfattribs={"layer": "hole 2"})
    space.add_hatch(dxfattribs={"layer": "Hole"}).paths.add_polyline_path(scar)
    space.add_circle((9000, 300), 15, dxfattribs={"layer": "hole"})
    doc.saveas(folder / name)
    return folder / name


def run(*words, code=0, says=""):
    done = subprocess.run([lastwright, *map(str, words)], capture_output=True, text=True)
    assert done.returncode in (code if isinstance(code, tuple) else (code,)) and says in done.stdout + done.stderr, (words, done.returncode, done.stdout, done.stderr)
    return done.stdout


works = {"lastwright_works": 1, "materials": {"box calf 1.8 mm": {"gap": 1}},
         "cutting": {"vamp": {"zones": ["best"]}, "toe cap": {"zones": ["best"], "direction": "across"}, "counter": {"direction": "any"},
                     "outside quarter": {"within_degrees": 5}}}
(folder / "works.json").write_text(json.dumps(works))
hide = drawing("hide.dxf")
out = folder / "out"
told = run("hide", style, "--hide", hide, "--material", "box calf 1.8 mm", "--works", folder / "works.json", "--sizes", "8,9", "--widths", "F", "--out", out)
data = json.loads((out / "hide.json").read_text())
region = Polygon(edge).difference(Polygon(scar)).difference(Point(300, 300).buffer(15, 64))
assert abs(data["usable_mm2"] - region.area) < 3.0 and abs(data["hide_mm2"] - Polygon(edge).area) < 0.01
drawn = [Polygon([(p.x, p.y) for p in dxf_path.make_path(e).flattening(0.0005)]) for e in ezdxf.readfile(out / "hide.dxf").modelspace()
         if e.dxf.layer == "CUT" and e.dxftype() == "LWPOLYLINE"]
assert len(drawn) == len(data["pieces"]) and data["pairs"] >= 3
assert abs(sum(p.area for p in drawn) / data["pieces_mm2"] - 1.0) < 1e-5
assert abs(data["used_of_usable"] - sum(p.area for p in drawn) / region.area) < 1e-4
def beside(one, other):
    """Whether their boxes come within 2 mm of each other: what lies farther apart need not be measured."""
    (a, b, c, d), (e, f, g, h) = one.bounds, other.bounds
    return a < g + 2 and e < c + 2 and b < h + 2 and f < d + 2


# No overlap, the gap kept, nothing off the hide or in a hole.
for i, one in enumerate(drawn):
    assert one.difference(region.buffer(0.06)).area < 1e-3, data["pieces"][i]
    for other in drawn[:i]:
        assert not beside(one, other) or one.distance(other) > 1.0 - 0.01, (data["pieces"][i], one.distance(other))
# Whole pairs, the sizes in turn, hands as many as there are.
count = Counter((p["pair"], p["piece"], p["hand"]) for p in data["pieces"])
sizes = defaultdict(set)
for p in data["pieces"]:
    sizes[p["pair"]].add((p["size"], p["width"]))
for pair in range(1, data["pairs"] + 1):
    assert sizes[pair] == {("8" if pair % 2 else "9", "F")}
    for name, piece in uppers.items():
        hands = {"as drawn": piece["per_pair"] // 2, "mirrored": piece["per_pair"] // 2} if piece["hand"] == "handed" else {"either": piece["per_pair"]}
        for hand, wanted in hands.items():
            assert count[pair, name, hand] == wanted
assert sum(count.values()) == data["pairs"] * sum(p["per_pair"] for p in uppers.values())
told_beside = ["the direction from x 9000, y 0 mm lies wholly off the hide", "the layer hole 2 is not used", "1 HATCH (", "on the layer Hole not used", "the hole about x 9000, y 300 mm lies wholly off the hide"]
assert all(any(words in note for note in data["notes"]) for words in told_beside), data["notes"]
assert data["drawn_foot"] == "by piece" and data["drawn_feet"] == {"outside quarter": "right", "inside quarter": "left", "counter": "both"}, data["drawn_feet"]
assert any("the right foot is drawn of outside quarter: as drawn is R, mirrored L; each shoe takes as many of counter as drawn as mirrored" in note for note in data["notes"]), data["notes"]
# What each die cuts, and the groups of like pieces that lie together, by shapely's own counting.
kinds = defaultdict(list)
for p, shape in zip(data["pieces"], drawn):
    kinds[p["piece"], p["size"], p["width"], p["hand"]].append((p["at"], shape))
assert len(data["by_die"]) == len(kinds)
for die in data["by_die"]:
    like = kinds[die["piece"], die["size"], die["width"], die["hand"]]
    assert die["cuts"] == len(like) == sum(die["together"])
    x0, y0, x1, y1 = like[0][1].bounds
    near, groups = 1.1 * max(x1 - x0, y1 - y0), [{k} for k in range(len(like))]
    for a in range(len(like)):
        for b in range(a):
            one, other = (next(g for g in groups if k in g) for k in (a, b))
            if one is not other and math.dist(like[a][0], like[b][0]) <= near:
                groups = [g for g in groups if g is not one and g is not other] + [one | other]
    assert sorted(map(len, groups), reverse=True) == die["together"], die
# Zones, and the direction of the nearest line.
zone = Polygon(best)
lines = [((100, 200), (1200, 200), 0.0), ((100, 700), (100 + 1000 * math.cos(slope), 700 + 1000 * math.sin(slope)), slope)]


def off(p, a, b):
    t = max(0.0, min(1.0, ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2)))
    return math.dist(p, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))


used = Counter()
for placed, shape in zip(data["pieces"], drawn):
    rule = works["cutting"].get(placed["piece"], {})
    if "zones" in rule:
        assert shape.difference(zone.buffer(0.06)).area < 1e-3, placed
    angle = min(lines, key=lambda line: off(placed["at"], line[0], line[1]))[2]
    used[angle] += 1
    turn = (placed["turned_deg"] - math.degrees(angle) - (90 if rule.get("direction") == "across" else 0)) % 180
    step = {"any": 45}.get(rule.get("direction"), 180)
    turn = min(turn % step, step - turn % step)
    assert min(abs(turn), abs(turn - rule.get("within_degrees", 0))) < 1e-4, (placed, turn)
assert len(used) == 2, "both directions are used"
# Mates: the two hands, or the two of a kind, of one pair.
where = defaultdict(list)
for p in data["pieces"]:
    where[p["pair"], p["piece"]].append(p["at"])
apart = max(math.dist(a[k], a[k + 1]) for a in where.values() for k in range(0, len(a) - 1, 2))
assert abs(apart - data["mates_apart_mm"]) < 1e-3
# Pairs by area and edge are a figure to compare with: an upper one for what is taken, so a lower one for the count.
assert 0.7 * data["pairs_by_law"] <= data["pairs"], told
assert "measured by clipping: no two pieces overlap, and no piece lies off the hide, in a hole or beyond the zones it comes from\n" in told and "notes is not used" not in told
page, svg = (out / "hide.html").read_text(), (out / "hide.svg").read_text()
assert svg.count("<g><title>") == len(drawn) and "guards" in page
# Each pair's number lies in its piece (a digit is 0.64 of the size wide and 0.73 high) and its size is two thirds of the radius of the widest room there or more.
numbers = re.findall(r'<g><title>.*?<path d="M([^Z]*)Z".*?<text x="([^"]*)" y="([^"]*)".*?font:([\d.]+)px.*?>(\d+)</text>', svg)
assert len(numbers) == len(drawn)
for path, x, y, size, number in numbers:
    x, y, size = float(x), float(y), float(size)
    points = [float(v) for v in re.findall(r"-?[\d.]+", path)]
    piece = Polygon(list(zip(points[::2], points[1::2])))
    text = box(x - 0.32 * size * len(number), y - 0.73 * size, x + 0.32 * size * len(number), y)
    assert piece.contains(text) and piece.buffer(-1.5 * size).is_empty, (number, size)
# True size in its own file; in a page as wide as the page, and looking the same whatever rules the page has for pictures.
assert f'width="{1300 + 40:.1f}mm"' in svg and "width:100%" in page and 'mm" height=' not in page.split("<svg")[1].split(">")[0]
assert " fill=" not in svg and " stroke=" not in svg and svg.count("style=") > len(drawn)

# As many as were asked for, or exit code 1; the same bytes in every run and with other threads.
run("hide", style, "--hide", hide, "--material", "box calf 1.8 mm", "--pairs", "1", "--pieces", "vamp,toe cap", "--out", folder / "one")
assert json.loads((folder / "one/hide.json").read_text())["pairs"] == 1
run("hide", style, "--hide", hide, "--material", "box calf 1.8 mm", "--pairs", "1", "--pieces", "vamp,toe cap", "--threads", "1", "--out", folder / "again")
assert (folder / "one/hide.json").read_bytes() == (folder / "again/hide.json").read_bytes()
run("hide", style, "--hide", hide, "--material", "box calf 1.8 mm", "--pairs", "60", "--pieces", "vamp", "--out", folder / "many", code=1,
    says="whole pairs that were asked for lie on the hide")
many = json.loads((folder / "many/hide.json").read_text())
fewer = f"{many['pairs']} of the 60 whole pairs that were asked for lie on the hide"
assert many["pairs_asked"] == 60 and many["notes"][0] == fewer and "pairs_asked" not in data
assert f"{fewer}." in (folder / "many/hide.html").read_text()

# Where no place is near enough for the other hand, that is said and counted.
far = run("hide", style, "--hide", hide, "--material", "box calf 1.8 mm", "--pairs", "1", "--pieces", "vamp", "--mates", "0.05", "--out", folder / "far")
assert json.loads((folder / "far/hide.json").read_text())["mates_far"] == 1 and "lies farther apart than was asked for" in far

# Like pieces in rows, each behind the one before by the same step (or two steps back, where they interlock), the others singly.
def check_rows(out):
    rowed = json.loads((out / "hide.json").read_text())
    shapes = [Polygon([(p.x, p.y) for p in dxf_path.make_path(e).flattening(0.01)]) for e in ezdxf.readfile(out / "hide.dxf").modelspace() if e.dxf.layer == "CUT" and e.dxftype() == "LWPOLYLINE"]
    assert all(one.difference(region.buffer(0.06)).area < 1e-3 for one in shapes) and all(one.intersection(other).area < 0.01 for i, one in enumerate(shapes) for other in shapes[:i] if beside(one, other))
    rows = defaultdict(list)
    for p in rowed["pieces"]:
        if "row" in p:
            rows[p["row"]].append(p)
    for row in rows.values():
        assert len(row) >= 3 and len({(p["piece"], p["size"], p["width"], p["hand"]) for p in row}) == 1, row
        turns = defaultdict(list)
        for p in row:
            turns[round(p["turned_deg"]) % 360].append(p["at"])
        assert len(turns) <= 2
        for line in turns.values():
            steps = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(line, line[1:])]
            assert all(math.dist(step, steps[0]) < 1e-3 for step in steps), line
    assert rowed["rows"] == {"rows": len(rows), "pieces": sum(map(len, rows.values())), "pairs_without": rowed["rows"]["pairs_without"]} and len(rows) > 1
    return rowed, shapes, rows


bare = drawing("bare.dxf", zones=False, directions=False)
told = run("hide", style, "--hide", bare, "--material", "box calf 1.8 mm", "--pieces", "vamp", "--pairs", "9", "--rows", "--out", folder / "rows")
rowed, _, rows = check_rows(folder / "rows")
assert f"{len(rows)} rows; the others singly" in told and f"without rows {rowed['rows']['pairs_without']} pairs were found to lie" in told, told
# The works' zones and both directions hold for rows too: a row lies in one zone, and along the line that is nearest to each of its pieces.
run("hide", style, "--hide", hide, "--material", "box calf 1.8 mm", "--works", folder / "works.json", "--pieces", "vamp,outside quarter", "--pairs", "4", "--rows", "--out", folder / "zoned rows")
rowed, shapes, rows = check_rows(folder / "zoned rows")
for placed, shape in zip(rowed["pieces"], shapes):
    rule = works["cutting"][placed["piece"]]
    assert "zones" not in rule or shape.difference(zone.buffer(0.06)).area < 1e-3, placed
    angle = min(lines, key=lambda line: off(placed["at"], line[0], line[1]))[2]
    turn = (placed["turned_deg"] - math.degrees(angle) - (90 if rule.get("direction") == "across" else 0)) % 180
    assert min(abs(min(turn, 180 - turn) - within) for within in (0, rule.get("within_degrees", 0))) < 1e-4, (placed, turn)
assert "vamp" in {p["piece"] for row in rows.values() for p in row} and rowed["beyond_zone_mm2"] < 1e-3

# A bent direction line counts leg by leg, and an arc by its nearest part, not by the chord between their ends.
doc = ezdxf.new("R2000")
doc.header["$INSUNITS"] = 4
doc.modelspace().add_lwpolyline([(0, 0), (900, 0), (900, 900), (600, 900), (600, 320), (0, 320)], close=True, dxfattribs={"layer": "hide"})
doc.modelspace().add_lwpolyline([(20, 100), (300, 100), (560, 240)], dxfattribs={"layer": "direction"})
doc.modelspace().add_arc((-750, 450), 1500, -10, 17, dxfattribs={"layer": "direction"})
doc.saveas(folder / "bent.dxf")
run("hide", style, "--hide", folder / "bent.dxf", "--material", "box calf 1.8 mm", "--pieces", "counter", "--hide-units", "cm", "--pairs", "1", "--out", folder / "cm")
notes = json.loads((folder / "cm/hide.json").read_text())["notes"]
assert any("the drawing itself that it is 1 mm" in note for note in notes) and any("is the drawing's unit right?" in note for note in notes), notes
run("hide", style, "--hide", folder / "bent.dxf", "--material", "box calf 1.8 mm", "--pieces", "vamp", "--pairs", "6", "--out", folder / "bent", code=(0, 1))
legs, slant = Counter(), math.degrees(math.atan2(140, 260))
for p in json.loads((folder / "bent/hide.json").read_text())["pieces"]:
    (x, y) = p["at"]
    round_at = max(-10.0, min(17.0, math.degrees(math.atan2(y - 450, x + 750))))
    nearest = (-750 + 1500 * math.cos(math.radians(round_at)), 450 + 1500 * math.sin(math.radians(round_at)))
    ways = sorted([(off((x, y), (20, 100), (300, 100)), 0.0, 1e-4, "first leg"), (off((x, y), (300, 100), (560, 240)), slant, 1e-4, "second leg"),
                   (math.dist((x, y), nearest), round_at + 90, 5.0, "arc")])
    turn = (p["turned_deg"] - ways[0][1]) % 180
    if ways[1][0] - ways[0][0] > 1.0:
        legs[ways[0][3]] += 1
        assert min(turn, 180 - turn) <= ways[0][2], (p, ways)
assert "arc" in legs and len(legs) >= 2, legs

# What is wrong is named.
run("hide", style, "--hide", hide, "--out", folder / "none", code=2, says="several materials")
run("hide", style, "--hide", hide, "--material", "box calf", "--out", folder / "none", code=2, says='no piece is of "box calf"')
run("hide", style, "--hide", drawing("plain.dxf", zones=False), "--material", "box calf 1.8 mm", "--works", folder / "works.json", "--out", folder / "none", code=3, says='no zone "best"')
run("hide", style, "--hide", drawing("unit.dxf", unit=0), "--material", "box calf 1.8 mm", "--out", folder / "none", code=3, says="with --hide-units")
doc = ezdxf.new("R2000")
doc.header["$INSUNITS"] = 4
doc.modelspace().add_lwpolyline([(0, 0), (500, 500), (500, 0), (0, 500)], close=True, dxfattribs={"layer": "hide"})
doc.saveas(folder / "crossed.dxf")
run("hide", style, "--hide", folder / "crossed.dxf", "--material", "box calf 1.8 mm", "--out", folder / "none", code=4)
doc = ezdxf.new("R2000")
doc.header["$INSUNITS"] = 4
doc.modelspace().add_lwpolyline([(0, 0), (200, 0), (200, 90), (0, 90)], close=True)
doc.saveas(folder / "scrap.dxf")
run("hide", style, "--hide", folder / "scrap.dxf", "--material", "box calf 1.8 mm", "--out", folder / "none", code=4, says="; is the unit of the hide's drawing right?")
assert not (folder / "none").exists()

# The works file may give its usual hide by a drawing: area and edge are measured on it.
slipper = source.parent.parent.parent / "tests/golden/slipper"
(folder / "needs.json").write_text(json.dumps({"lastwright_works": 1, "styles": {"slipper": str((slipper / "style.json").resolve())}, "materials": {"felt 3 mm": {"hide": {"outline": "hide.dxf"}}}}))
(folder / "order.csv").write_text("size,width,pairs\n8,F,2\n")
run("needs", folder / "order.csv", "--works", folder / "needs.json", "--out", folder / "needs")
felt = json.loads((folder / "needs/needs.json").read_text())["materials"][0]
bounded = Polygon(edge).length + Polygon(scar).length + 64 * 15 * math.tan(math.pi / 32)
assert f"{region.area / 1e4:.0f} dm2 with an edge of {bounded:.0f} mm, that of 2 holes in it" in json.dumps(felt), felt
assert f"; with its holes it is {Polygon(edge).area / 1e4:.2f} dm2: " in json.dumps(felt), felt
assert any(f"{bounded:.0f} mm of edge, that of 2 holes" in note for note in data["notes"]) and any("half the gap, 0.5 mm" in note for note in data["notes"]), data["notes"]
assert all(any(words in doubt for doubt in json.loads((folder / "needs/needs.json").read_text())["doubts"]) for words in told_beside)
# A zone that the hide does not have is refused here too.
(folder / "needs.json").write_text((folder / "needs.json").read_text()[:-1] + ', "cutting": {"vamp": {"zones": ["bset"]}}}')
run("needs", folder / "order.csv", "--works", folder / "needs.json", "--out", folder / "none", code=3, says='no zone "bset", which vamp comes from (did you mean "best"?)')
print(f"{data['pairs']} pairs, {len(drawn)} pieces, {100 * data['used_of_usable']:.1f} % of the usable hide; {data['pairs_by_law']:.1f} by area and edge")

#!/usr/bin/python3
"""Named cases of redraw and compare on the demo's drawing, changed tag by tag.

usage: check_cases.py PROGRAM DEMO
"""
import json
import math
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "planning"))
from few_sizes import few_sizes

program, demo = sys.argv[1], pathlib.Path(sys.argv[2])
scratch = tempfile.TemporaryDirectory()
folder = pathlib.Path(scratch.name)
# In five sizes and three widths, which takes less time than in seventeen and five.
STYLE = json.loads(few_sizes(demo / "style.json", folder, **{"from": "7", "to": "9", "by": "1/2", "widths": ["D", "F", "H"]}).read_text())
(folder / "style.json").write_text(json.dumps(STYLE, indent=1))
POINTS = STYLE["formes"]["shell"]["points"]


def run(*words, code=0):
    done = subprocess.run([program, *map(str, words)], capture_output=True, text=True, cwd=folder, timeout=300)
    assert code is None or done.returncode == code, (words, done.returncode, done.stdout[-2000:], done.stderr)
    return done


def moved(at, by, blocks=None, name="shell.dxf"):
    """The drawing with every coordinate at `at` moved, in all blocks or in some."""
    lines = (folder / name).read_text().splitlines()
    block, entity, out, hits = "", "", [], 0
    i = 0
    while i + 1 < len(lines):
        code, value = lines[i].strip(), lines[i + 1]
        if code == "0":
            entity = value.strip()
        if code == "2" and entity == "BLOCK":
            block = value.strip()
        out += [lines[i], value]
        if code in ("20", "21") and out[-4].strip() in ("10", "11") and (blocks is None or block in blocks):
            x, y = float(out[-3]), float(value)
            if abs(x - at[0]) < 1e-3 and abs(y - at[1]) < 1e-3:
                out[-3], out[-1] = repr(x + by[0]), repr(y + by[1])
                hits += 1
        i += 2
    assert hits > 0, "nothing is drawn there"
    return "\n".join(out) + "\n"


def put(text, name="new.dxf"):
    (folder / name).write_text(text)
    return name


def corner(style, piece, name):
    spot = next(p for p in style["pieces"] if p["name"] == piece)["corners"][name]
    spot = spot["at"] if isinstance(spot, dict) else spot
    return style["formes"]["shell"]["points"][spot] if isinstance(spot, str) else spot


# A drawing that has not changed changes nothing but its name, to the byte.
put((folder / "shell.dxf").read_text(), "same.dxf")
run("redraw", "style.json", "shell=same.dxf", "--out", "same.json")
assert (folder / "same.json").read_text() == (folder / "style.json").read_text().replace('"shell.dxf"', '"same.dxf"')
assert "what is cut and marked is the same" in run("compare", "style.json", "same.json").stdout

# A corner that several pieces share, moved by less than a millimetre, is followed and told.
was = POINTS["facing top"]
put(moved(was, (0.4, 0.5)))
unsure = run("redraw", "style.json", "shell=new.dxf", "--out", "moved.json", code=4).stderr  # a point between corners, on the line that moved
assert "/formes/shell/points/facing middle" in unsure and unsure.count("\n") == 1 and not (folder / "moved.json").exists(), unsure
told = run("redraw", "style.json", "shell=new.dxf", "--slide", "--out", "moved.json", "--svg", "moved.svg").stdout
found = json.loads((folder / "moved.json").read_text())
assert abs(corner(found, "outside quarter", "facing top")[0] - was[0] - 0.4) < 1e-6, corner(found, "outside quarter", "facing top")
assert "outside quarter, corner facing top" in told and "0.640 mm" in told, told
assert "0.64" in (folder / "moved.svg").read_text()
changed = {k: at for k, at in found["formes"]["shell"]["points"].items() if POINTS[k] != at}
assert set(changed) == {"facing top", "facing middle"}, changed
assert abs(changed["facing middle"][0] - POINTS["facing middle"][0] - 0.2) < 1e-3 and abs(changed["facing middle"][1] - POINTS["facing middle"][1] - 0.25) < 1e-3
assert "slid to the same share of its line" in told

# Compared: the pieces that have the corner, those that lie beside it on the forme by what its rules move them, and no others.
page = run("compare", "style.json", "moved.json", "--out", "page.html", "--json").stdout
for name in ("style.json", "moved.json"):  # likewise in one width, which takes less time
    short = json.loads((folder / name).read_text())
    short["run"]["widths"] = ["F"]
    (folder / f"short-{name}").write_text(json.dumps(short))
    short["run"] = {**short["run"], "from": "8", "to": "8.5"}
    (folder / f"shorter-{name}").write_text(json.dumps(short))
shorter = [run("compare", "shorter-style.json", "shorter-moved.json", "--json", "--threads", threads).stdout for threads in "12"]
assert shorter[0] == shorter[1]
compared = {p["piece"]: p for p in json.loads(page)["pieces"]}
for piece, one in compared.items():
    worst = max(c["cut_line"] for c in one["cells"])
    has = piece in ("outside quarter", "inside quarter", "facing")
    below = piece in ("insole", "outsole", "shank", "heel lift")
    assert len(one["cells"]) == 15 and (worst > 0.25) == has and (worst < 1e-6) == below, (piece, worst)
    assert one["dies_good"] == (0 if has else 15), (piece, one["dies_good"])
    at_base = next(c for c in one["cells"] if (c["size"], c["width"]) == ("8", "F"))
    # The base is drawn as it is: what has not got the corner is the same there.
    assert has or at_base["cut_line"] < 1e-4, (piece, at_base)
assert json.loads(page)["stated"][0]["where"] == "drawings, shell, file"
html = (folder / "page.html").read_text()
assert "outside quarter" in html and html.count("<svg") == 13
run("compare", "style.json", "moved.json", "--out", "page.html", code=5)
farthest = max((c for c in compared["outside quarter"]["cells"] if c["width"] == "F"), key=lambda c: c["cut_line"])
assert (f"outside quarter: the cut line differs by up to {farthest['cut_line']:.3f} mm, in {farthest['size']} {farthest['width']}; every die stays good"
        in run("compare", "short-style.json", "short-moved.json", "--tolerance", "5").stdout), farthest

# The same corner moved in one piece alone: the pieces no longer meet, and nothing is written.
put(moved(was, (0.4, 0.5), ("FACING",)))
refused = run("redraw", "style.json", "shell=new.dxf", "--out", "torn.json", code=4)
assert "/formes/shell/points/facing top" in refused.stderr and "0.640 mm apart" in refused.stderr, refused.stderr
assert not (folder / "torn.json").exists()

# What is stated by what it is lives with the drawing by itself.
lives = json.loads((folder / "style.json").read_text())
quarter = next(p for p in lives["pieces"] if p["name"] == "outside quarter")
quarter["corners"]["facing top"]["at"] = was
lives["formes"]["shell"]["points"]["facing middle"] = {"along": "facing", "of": "outside quarter", "share": "1/2"}
lives["formes"]["shell"]["points"]["facing top"] = {"corner": "facing top", "of": "outside quarter"}
(folder / "lives.json").write_text(json.dumps(lives, indent=1))
put(moved(was, (2, 1)))
run("redraw", "lives.json", "shell=new.dxf", "--out", "lived.json")
lived = json.loads((folder / "lived.json").read_text())
assert lived["formes"]["shell"]["points"]["facing top"] == {"corner": "facing top", "of": "outside quarter"}
assert abs(corner(lived, "outside quarter", "facing top")[0] - was[0] - 2) < 1e-6

# A renamed block, a piece that is gone, a drawing of something else.
text = (folder / "shell.dxf").read_text()
put(re.sub(r"(?m)^TONGUE$", "TONGUE_B", text))
assert "block TONGUE_B" in run("redraw", "style.json", "shell=new.dxf", "--out", "renamed.json").stdout
assert next(p for p in json.loads((folder / "renamed.json").read_text())["pieces"] if p["name"] == "tongue")["outline"]["block"] == "TONGUE_B"
tags = text.splitlines()
starts = [i for i in range(0, len(tags) - 1, 2) if tags[i].strip() == "0"]
insert = next((a, b) for a, b in zip(starts, starts[1:]) if tags[a + 1].strip() == "INSERT" and "TONGUE" in [t.strip() for t in tags[a:b]])
put("\n".join(tags[:insert[0]] + tags[insert[1]:]) + "\n", "gone.dxf")
gone = run("redraw", "style.json", "shell=gone.dxf", "--out", "gone.json", code=4)
assert "/pieces/5/outline" in gone.stderr and "piece tongue" in gone.stderr, gone.stderr
other = run("redraw", "style.json", "shell=bottom.dxf", "--out", "other.json", code=4)
assert not (folder / "other.json").exists()

# What is drawn in a piece besides its outline: a hole is put two millimetres on, another unit.
plain = "\n".join(line.strip() for line in text.splitlines()) + "\n"
entities = plain.rindex("0\nENDSEC\n", 0, plain.index("2\nOBJECTS\n") if "2\nOBJECTS\n" in plain else plain.rindex("0\nEOF"))


def with_circle(x, y):
    return plain[:entities] + f"0\nCIRCLE\n8\n13\n10\n{x}\n20\n{y}\n40\n1.5\n" + plain[entities:]


one = put(with_circle(43, 25), "hole.dxf")
told = run("redraw", "style.json", f"shell={one}", "--out", "hole.json").stdout
assert "a hole of 3.00 mm is drawn at (43.000, 25.000), which is new" in told, told
put(with_circle(43, 27), "hole-2.dxf")
told = run("redraw", "hole.json", "shell=hole-2.dxf").stdout
assert "the hole of 3.00 mm that was drawn at (43.000, 25.000) is at (43.000, 27.000) now, 2.000 mm" in told, told
assert "is gone" in run("redraw", "hole.json", "shell=same.dxf").stdout
# A line that is bent, a grain line that is turned: they start where they did, or nothing else shows them.
def of_block(block, layer, kind):
    """Where the tags of the first such entity of a block are in the lines of the drawing."""
    lines = plain.splitlines()
    start = next(i for i in range(0, len(lines) - 1, 2) if lines[i] == "2" and lines[i + 1] == block and lines[i - 4:i].count("BLOCK") + lines[i - 20:i].count("BLOCK"))
    heads = [i for i in range(start - start % 2, len(lines) - 1, 2) if lines[i] == "0"]
    return next((a, b) for a, b in zip(heads, heads[1:]) if lines[a + 1] == kind and any(lines[j] == "8" and lines[j + 1] == layer for j in range(a, b, 2)))


def put_moved(block, layer, kind, code, which, by, name):
    lines = plain.splitlines()
    first, last = of_block(block, layer, kind)
    at = [i for i in range(first, last, 2) if lines[i] == code][which]
    lines[at + 1] = str(float(lines[at + 1]) + by)
    return put("\n".join(lines) + "\n", name)


told = run("redraw", "style.json", f"shell={put_moved('QUARTER_OUTSIDE', '8', 'SPLINE', '20', 2, 6.0, 'bent.dxf')}").stdout
assert re.search(r"outside quarter: the line on 8 at .* is drawn differently now, by up to \d", told), told
told = run("redraw", "style.json", f"shell={put_moved('COUNTER', '7', 'LINE', '21', 0, 9.0, 'grain.dxf')}").stdout
assert "counter: the grain line at" in told and "is drawn differently now, by up to 9.000 mm" in told, told
# A slot that is turned on its place is another die, though its middle and its size are the same.
for name, turn in (("slot.json", 0), ("turned.json", 40)):
    slotted = json.loads((folder / "style.json").read_text())
    next(p for p in slotted["pieces"] if p["name"] == "counter")["features"].append(
        {"slot": "slot", "at": [40, 25], "length": 12, "width": 3, "angle": turn})
    (folder / name).write_text(json.dumps(slotted))
dies = run("compare", "slot.json", "turned.json").stdout
assert "counter: the cut line is the same; no die stays good" in dies and "turned" in dies, dies

run("redraw", "hole.json", "shell=hole-2.dxf", "--out", "hole-2.json")
holes = run("compare", "hole.json", "hole-2.json").stdout
assert "stiffener: the cut line is the same; no die stays good (7 D: a hole is 1.9" in holes, holes
# A place by coordinates at which a circle is drawn goes with it, and is refused where it is gone.
marked = json.loads((folder / "hole.json").read_text())
marked["formes"]["shell"]["points"]["eye"] = [43, 25]
(folder / "marked.json").write_text(json.dumps(marked))
told = run("redraw", "marked.json", "shell=hole-2.dxf", "--out", "eye.json").stdout
assert "point eye of the forme shell: (43.000, 25.000) is now (43.000, 27.000)" in told, told
assert json.loads((folder / "eye.json").read_text())["formes"]["shell"]["points"]["eye"] == [43, 27]
assert "/formes/shell/points/eye" in run("redraw", "marked.json", "shell=same.dxf", code=4).stderr
put(re.sub(r"(?m)^(9\n\$INSUNITS\n70\n)4$", r"\g<1>5", plain), "cm.dxf")
assert "10 times as large" in run("redraw", "style.json", "shell=cm.dxf", code=4).stderr

# One panel, its corner drawn otherwise: what it becomes, or what is said of it.
def panel(*points):
    body = "".join(f"10\n{x}\n20\n{y}\n42\n{more[0] if more else 0}\n" for x, y, *more in points)
    return ("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
            f"0\nLWPOLYLINE\n8\n1\n90\n{len(points)}\n70\n1\n{body}0\nENDSEC\n0\nEOF\n")


LINE = lambda name, a, b: {"measure_line": name, "from": a, "to": b, "carries": {name: 1}}
(folder / "panel.json").write_text(json.dumps({
    "lastwright_style": 1, "name": "panel", "scale": "english", "ladder": "english-letters", "base": {"size": "8", "width": "F"},
    "run": {"from": "8", "to": "9", "widths": ["F"]}, "drawings": {"d": {"file": "panel.dxf"}},
    "measures": {"long": {"base": 100, "per_size": 4, "per_width": 0}, "wide": {"base": 40, "per_size": 2, "per_width": 2}},
    "formes": {"f": {"points": {"a": [0, 0], "b": [100, 0], "c": [0, 40]}, "base_line": ["a", "b"], "fixed": "a", "length_line": "long",
                     "girth_line": "wide", "rules": [LINE("long", "a", "b"), LINE("wide", "a", "c")]}},
    "pieces": [{"name": "p", "forme": "f", "outline": {"drawing": "d"}, "corners": {"sw": "a", "se": "b", "ne": [100, 40], "nw": "c"},
                "edges": [{"name": n, "from": a, "to": b} for n, a, b in (("s", "sw", "se"), ("e", "se", "ne"), ("n", "ne", "nw"), ("w", "nw", "sw"))]}]}))
put(panel((0, 0), (100, 0), (100, 40), (0, 40)), "panel.dxf")
for what, points, says in (
        ("moved", [(0, 0), (103, 1), (100, 40), (0, 40)], None),
        ("an edge in two", [(0, 0), (50, 0), (100, 0), (100, 40), (0, 40)], None),
        ("from another vertex, the other way round", [(100, 40), (100, 0), (0, 0), (0, 40)], None),
        ("cut off", [(0, 0), (96, 0), (100, 4), (100, 40), (0, 40)], "has no corner for it"),
        ("rounded", [(0, 0), (97, 0, 0.41421356), (100, 3), (100, 40), (0, 40)], "has no corner for it"),
        ("a step beside it", [(0, 0), (97, 0), (97, -3), (100, -3), (100, 40), (0, 40)], "or the one at"),
        ("beyond reach", [(0, 0), (113, 0), (100, 40), (0, 40)], "within 12 mm")):
    put(panel(*points), "panel-2.dxf")
    done = subprocess.run([program, "redraw", "panel.json", "panel-2.dxf", "--out", f"panel {what}.json"], capture_output=True, text=True, cwd=folder)
    assert done.returncode == (4 if says else 0), (what, done.stdout, done.stderr)
    assert (folder / f"panel {what}.json").exists() == (not says), what
    if says:
        assert says in done.stderr and "/pieces/0/corners/se" in done.stderr, (what, done.stderr)
    else:
        at = json.loads((folder / f"panel {what}.json").read_text())["formes"]["f"]["points"]["b"]
        assert at == ([103, 1] if what == "moved" else [100, 0]), (what, at)

# The sheet mirrored and turned by a quarter, one corner moved on it: laid back, and the corner followed.
tapered = json.loads((folder / "panel.json").read_text())
tapered["drawings"]["d"]["file"] = "tapered.dxf"
tapered["pieces"][0]["corners"]["ne"] = [85, 40]
(folder / "tapered.json").write_text(json.dumps(tapered))
put(panel((0, 0), (100, 0), (85, 40), (0, 40)), "tapered.dxf")
put(panel(*[(-y + 7, -x - 9) for x, y in ((0, 0), (100, 0), (88, 40), (0, 40))]), "tapered-2.dxf")
run("redraw", "tapered.json", "tapered-2.dxf", "--out", "laid back.json")
laid = json.loads((folder / "laid back.json").read_text())
sheet = laid["drawings"]["d"]["sheet"]
assert sheet["mirrored"] and sheet["turn"] == 90 and max(abs(a - b) for a, b in zip(sheet["by"], (-9, 7))) < 1e-6, sheet
assert max(abs(a - b) for a, b in zip(laid["pieces"][0]["corners"]["ne"], (88, 40))) < 1e-5, laid["pieces"][0]["corners"]
assert laid["formes"] == tapered["formes"]

# How the command may be used.
assert "without the one it was made from" in run("redraw", "style.json", "shell.dxf", "--out", "x.json", code=2).stderr
run("redraw", "style.json", "new.dxf", "--out", "x.json", code=2)  # of two drawings none is named
run("redraw", "style.json", "sole=new.dxf", "--out", "x.json", code=2)
run("redraw", "style.json", "shell=none.dxf", "--out", "x.json", code=6)
# With the panel, which takes a tenth of the time.
for name in ("same-panel.dxf", "old-panel.dxf"):
    shutil.copy(folder / "panel.dxf", folder / name)
run("redraw", "panel.json", "d=same-panel.dxf", "--out", "same.json", code=5)
before = (folder / "panel.json").read_text()
run("redraw", "panel.json", "d=same-panel.dxf")
assert (folder / "panel.json").read_text() == before and not (folder / "x.json").exists()
(folder / "below").mkdir()
run("redraw", "panel.json", "d=same-panel.dxf", "--out", "below/panel.json")
assert json.loads((folder / "below/panel.json").read_text())["drawings"]["d"]["file"] == "../same-panel.dxf"
run("redraw", "below/panel.json", "d=panel.dxf")  # it loads
run("redraw", "panel.json", "panel.dxf", "--was", "d=old-panel.dxf", "--out", "again.json")
answer = json.loads(run("redraw", "panel.json", "d=same-panel.dxf", "--json").stdout)
assert answer["found"] and answer["moved"] == [] and answer["problems"] == []
# What is marked in a cut line that has stayed: a hole of another size, a text that says something else, a line that lies differently.
other = json.loads((folder / "style.json").read_text())
named = {p["name"]: p for p in other["pieces"]}
eyelets = next(f for f in named["outside quarter"]["features"] if "eyelets" in f)
eyelets["diameter"] += 1
texts = [(p["name"], f) for p in other["pieces"] for f in p.get("features", []) if "text" in f and p["name"] != "outside quarter"]
texts[0][1]["says"] = "x" + texts[0][1]["says"]
stitched = next((p["name"], f) for p in other["pieces"] for f in p.get("features", []) if "stitch_line" in f and p["name"] not in ("outside quarter", texts[0][0]))
stitched[1]["inset"] += 0.25
(folder / "other.json").write_text(json.dumps(other))
said = run("compare", "style.json", "other.json").stdout
assert re.search(r"outside quarter: the cut line is the same; no die stays good \(7 D: a hole is [\d.]+ mm wide, and was [\d.]+ mm wide\)", said), said
assert re.search(texts[0][0] + r": the cut line is the same and every die stays good; what is marked in it is not: a text says x", said), said
assert stitched[0] + ": the cut line is the same and every die stays good; what is marked in it is not: a stitch line lies differently" in said, said
assert "what is cut and marked is the same" not in said

# A notch drawn to another depth is told, and what the draft said of it is no longer proposed.
def notched(depth):
    return put(panel((0, 0), (100, 0), (100, 40), (0, 40)).replace("0\nENDSEC\n0\nEOF", f"0\nLINE\n8\n4\n10\n50\n20\n0\n11\n50\n21\n{depth}\n0\nENDSEC\n0\nEOF"), f"notch-{depth}.dxf")


nicked = json.loads((folder / "panel.json").read_text())
nicked["drawings"]["d"]["file"] = notched(4)
nicked["pieces"][0]["edges"][0]["allowance"] = 14
keep, drop = ({"sure": "sure", "what": what, "at": "/pieces/0"} for what in ("p: a plain panel", "p, s: a nick is drawn 4 mm deep, and cut 4 mm deep"))
nicked["proposed"] = [keep, drop]
(folder / "nicked.json").write_text(json.dumps(nicked))
told = run("redraw", "nicked.json", notched(12), "--out", "deeper.json").stdout
assert "p: the notch at (50.000, 0.000): it is drawn 12.000 mm deep, and was 4.000 mm deep; its nick is now cut 12 mm deep" in told, told
assert json.loads((folder / "deeper.json").read_text())["proposed"] == [keep], told
# It is the same nick, longer, though its middle has moved by four millimetres.
told = run("compare", "nicked.json", "deeper.json").stdout
assert "a nick is 12.000 mm long, and was 4.000 mm long" in told, told
assert "a plain panel" not in told and "proposed" in told and "cut 4 mm deep" in told, told

# A style that no command could grade is not written: an edge that is said to be straight, drawn bent.
put(panel((0, 0), (60, 0), (120, 0), (120, 70), (0, 70)), "flat.dxf")
run("new", "flat.dxf", "--scale", "paris-point", "--size", "18", "--out", "flat.json", code=None)
flat = json.loads((folder / "flat.json").read_text())
for edge in flat["pieces"][0]["edges"]:
    edge["straight"] = True
(folder / "flat.json").write_text(json.dumps(flat))
put(panel((0, 0), (60, 0.4), (120, 0), (120, 70), (0, 70)), "bent.dxf")
assert "declared straight but is drawn off its chord" in run("redraw", "flat.json", "flat=bent.dxf", "--out", "bent.json", code=4).stderr
assert not (folder / "bent.json").exists()

# A unit is said of the new drawing: the style states it, and the old one is read as it was.
inches = panel(*[(x / 25.4, y / 25.4) for x, y in ((0, 0), (60, 0), (120, 0), (120, 70), (0, 70))]).replace("9\n$INSUNITS\n70\n4\n", "")
put(inches, "inches.dxf")
run("redraw", "flat.json", "flat=inches.dxf", "--units", "in", "--out", "inches.json")
stated = json.loads((folder / "inches.json").read_text())["drawings"]["flat"]
assert stated["units"] == "in", stated
run("check", "inches.json", code=None)

# A corner of a piece that is laid onto its forme takes the point with it on which it lies there, as one drawn in place does.
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "open"))
import shoes  # noqa: E402
upper = {name: shoes.COURT_UPPER[name] for name in ("VAMP", "QUARTER OUTSIDE")}
heel, strokes, text = upper["QUARTER OUTSIDE"]
raised = [*strokes[:2], (90, 34.6, 32, 55, 3, 62), (1.55, 40, -3, 15, *heel)]
for name, drawn in (("was", strokes), ("now", raised)):
    pieces = {**upper, "QUARTER OUTSIDE": (heel, drawn, text)}
    shoes.write(folder / f"place-{name}.dxf", pieces)
    shoes.write(folder / f"apart-{name}.dxf", pieces, shoes.side_by_side(pieces))
shoes.write(folder / "court-bottom.dxf", shoes.COURT_BOTTOM)
back = {}
for way in ("place", "apart"):
    run("new", f"{way}-was.dxf", "court-bottom.dxf", "--lay", "--scale", "paris-point", "--size", "37", "--out", f"{way}.json", code=None)
    run("redraw", f"{way}.json", f"{way}-was={way}-now.dxf", "--out", f"{way}-2.json")
    found = [json.loads((folder / f"{way}{which}.json").read_text())["formes"]["shell"]["points"] for which in ("", "-2")]
    # Whichever piece the forme is drawn round.
    back[way] = [math.dist(points["back top"], points[end]) for points in found for end in ("heel", "toe")]
assert 5.9 < back["place"][2] - back["place"][0] < 6.1 and max(abs(a - b) for a, b in zip(back["place"], back["apart"])) < 0.02, back

print("every case as it should be")

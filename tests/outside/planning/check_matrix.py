"""A run in which not every size is made in every width, by every command that knows of runs.

A run that is stated in parts which together name every cell gives the bytes of the plain run. A true matrix gives
exactly the cells that its parts name, counted here from the parts, and each piece lies where the plain run has it (by
ezdxf and shapely; the curves are parted elsewhere, so not to the byte).

usage: check_matrix.py LASTWRIGHT SLIPPER FOLDER"""
import csv
import html
import json
import shutil
import subprocess
import sys
from pathlib import Path

import ezdxf
from ezdxf import path as dxf_path
from shapely.geometry import Polygon

lastwright, slipper, folder = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]) / "matrix"
shutil.rmtree(folder, ignore_errors=True)
folder.mkdir(parents=True)
shutil.copy(slipper.parent / "shell.dxf", folder)
plain = json.loads(slipper.read_text())
plain["run"] = {"from": "6", "to": "9", "by": "1/2", "widths": ["E", "F", "G"]}
# Halves to 8, then whole; E only from 7 to 8; G not below 7.
parts = [({"from": "6", "to": "8", "by": "1/2", "widths": ["F"]}, [6, 6.5, 7, 7.5, 8]),
         ({"from": "7", "to": "8", "by": "1/2", "widths": ["G", "E"]}, [7, 7.5, 8]),
         ({"from": "8", "to": "9", "widths": ["F", "G"]}, [8, 9])]
cells = {(f"{size:g}", width) for part, sizes in parts for size in sizes for width in part["widths"]}
assert len(cells) == 5 + 6 + 2


def write(name, run):
    path = folder / f"{name}.json"
    path.write_text(json.dumps({**plain, "run": run}))
    return str(path)


def run(*words, code=0, says=""):
    done = subprocess.run([lastwright, *map(str, words)], capture_output=True, text=True)
    assert done.returncode == code and says in done.stdout + done.stderr, (words, done.returncode, done.stdout, done.stderr)
    return done.stdout


def together(parts):
    first, *rest = parts
    return {**first, "also": rest}


whole = write("whole", plain["run"])
named = write("named", together([{"from": "6", "to": "7", "by": "1/2", "widths": ["E", "G"]},
                                 {"from": "7.5", "to": "9", "by": "1/2", "widths": ["G", "E", "F"]},
                                 {"from": "6", "to": "7.5", "by": "1/2", "widths": ["F"]}]))
matrix = write("matrix", together([part for part, _ in parts]))


def files(root):
    return {str(p.relative_to(root)): p.read_bytes() for p in root.rglob("*") if p.is_file()}


# Every cell by its parts: the same bytes.
for name, style in (("g-whole", whole), ("g-named", named)):
    run("grade", style, "--out", folder / name)
assert files(folder / "g-whole") == files(folder / "g-named")
for name, style in (("d-whole", whole), ("d-named", named)):
    run("dies", style, "--out", folder / name)
for name in ("die-order.csv", "die-findings.csv"):
    assert (folder / "d-whole" / name).read_bytes() == (folder / "d-named" / name).read_bytes(), name
assert run("girths", whole, "--format", "csv") == run("girths", named, "--format", "csv")

# Only what is approved: the same verdict and dies as of a style whose run is that part, and it is said.
approved = ["--sizes", "7,7.5", "--widths", "F,E"]
narrow = write("narrow", {"from": "7", "to": "7.5", "by": "1/2", "widths": ["E", "F"]})
said = "only a part of the style's run: sizes 7, 7.5 in widths E, F, 4 of 21 sizes and widths"
told = run("check", whole, *approved, says=said + "; of the others nothing is said")
assert "2 pieces, 2 sizes, 2 widths\n" in told and said not in run("check", whole, "--sizes", "6,6.5,7,7.5,8,8.5,9")
run("dies", whole, *approved, "--out", folder / "d-part", says=said)
run("dies", narrow, "--out", folder / "d-narrow")
orders = [json.loads((folder / name / "die-order.json").read_text()) for name in ("d-part", "d-narrow", "d-whole")]
assert [note for note in orders[0]["order_notes"] if note not in orders[1]["order_notes"]] == [f"for {said}; for the others there is no die in it"]
# A part is graded with the whole run, whose places are tried too: its dies are those of the order of the whole, but for
# their numbers, and those of the narrow style but for where the curves are parted.
within = {"rule_outside_mm": 1e-3, "area_mm2": 0.1}
ours, narrow_ones = ([{key: value for key, value in die.items() if key not in within} for die in order["dies"]] for order in orders[:2])
assert ours == narrow_ones and len(ours) > 1
assert all(abs(one[key] - other[key]) < most for one, other in zip(orders[0]["dies"], orders[1]["dies"]) for key, most in within.items())
numbered = ("die", "stamp", "stamp_mirrored", "file", "file_mirrored")
unnumbered = [[{key: value for key, value in die.items() if key not in numbered} for die in order["dies"]] for order in orders]
assert all(die in unnumbered[2] for die in unnumbered[0])
assert said in (folder / "d-part/die-notes.csv").read_text()
run("report", whole, *approved, "--order", folder / "d-part", "--out", folder / "part.html", says=f"This is said of {said}; nothing is said of the others.")
page = html.unescape((folder / "part.html").read_text())
assert "the die order has no die for" not in page
run("report", whole, "--order", folder / "d-part", "--out", folder / "more.html", says="Not with the dies of this order alone in 17 sizes and widths")
assert "the die order has no die for vamp, quarter in 6 E, 6 F, " in html.unescape((folder / "more.html").read_text())
assert page.count(said) >= 3 and f"over {said}." in page and "over the whole run" not in page
run("report", narrow, "--order", folder / "d-whole", "--out", folder / "none.html", code=3, says="the run does not have this")
for words, says in ((("--sizes", "7.25"), "7.25"), (("--widths", "Q"), "Q")):
    for command in (("check",), ("dies", "--out", folder / "none"), ("report", "--out", folder / "none.html")):
        assert says in subprocess.run([lastwright, command[0], whole, *map(str, command[1:]), *words], capture_output=True, text=True).stderr
assert not (folder / "none").exists() and not (folder / "none.html").exists()

# The matrix: what is made is its cells and nothing else.
assert f"{len(cells)} of them made" in run("check", matrix)
told = run("grade", matrix, "--out", folder / "g-matrix", "--sheets", "all")
assert f"2 pieces x 6 sizes x 3 widths, of which {len(cells)} are made, = {2 * len(cells)} graded pieces" in told, told
set_of = files(folder / "g-matrix")
for piece in ("vamp", "quarter"):
    wanted = {f"pieces/{piece}/{piece} {size} {width}.dxf" for size, width in cells}
    assert {n for n in set_of if n.startswith(f"pieces/{piece}/") and n.endswith(".dxf")} == wanted
    assert {n for n in set_of if n.startswith(f"sheets/{piece} ")} == {f"sheets/{piece} {s} {w}.svg" for s, w in cells}
rows = list(csv.DictReader((folder / "g-matrix/grade-sheet.csv").open()))
assert {(r["size"], r["width"]) for r in rows} == cells
# From 8 the next size is 9 in F and G, and none in E.
for row in rows:
    if row["size"] == "8":
        assert (float(row["dx to next size, mm"]) != 0.0 or row["point"] == "heel") == (row["width"] != "E") or row["dx from base, mm"] == "0.0000", row


def outline(path):
    drawn = next(e for e in ezdxf.readfile(path).modelspace() if e.dxf.layer == "CUT")
    return Polygon([(p.x, p.y) for p in dxf_path.make_path(drawn).flattening(0.002)])


plain_made = {(s, w) for s in ("6", "6.5", "7", "7.5", "8", "8.5", "9") for w in "EFG"}
assert cells < plain_made
for piece in ("vamp", "quarter"):
    for size, width in sorted(cells):
        name = f"pieces/{piece}/{piece} {size} {width}.dxf"
        apart = outline(folder / "g-matrix" / name).hausdorff_distance(outline(folder / "g-whole" / name))
        assert apart < 0.03, (name, apart)

# Dies serve each cell once, and no other.
run("dies", matrix, "--out", folder / "d-matrix")
order = json.loads((folder / "d-matrix/die-order.json").read_text())
for piece in ("vamp", "quarter"):
    served = [tuple(one) if isinstance(one, list) else (one["size"], one["width"])
              for die in order["dies"] if die["piece"] == piece for one in die["serves"]]
    assert sorted(served) == sorted(cells), (piece, served)

# Tables, plots, areas, files for a table: cells that are not made are in none.
girths = run("girths", matrix, "--format", "csv")
table = [line for line in girths.split("# Increments")[0].splitlines() if line and not line.startswith("#")]
assert {(r["size"], r["width"]) for r in csv.DictReader(table)} == cells, girths
run("areas", matrix, "--out", folder / "areas")
areas = json.loads((folder / "areas/scale-areas.json").read_text())
for piece in areas["pieces"]:
    assert {(s["size"], s["width"]) for s in piece["sizes"]} == cells
run("plot", matrix, "--out", folder / "plot.pdf", "--sizes", "all", "--widths", "all", "--together")
run("cut", matrix, "--out", folder / "cut", "--as", "dxf", "--roll", "1400", "--sizes", "6,9", "--widths", "F")
run("report", matrix, "--order", folder / "d-matrix", "--out", folder / "report.html")
page = (folder / "report.html").read_text()
data = json.loads(page.split('id="data"', 1)[1].split(">", 1)[1].split("</script>", 1)[0])
assert sum(1 for at in data["made"] if at >= 0) == len(cells) and len(data["made"]) == 6 * 3
assert all(len(piece["cells"]) == len(cells) for piece in data["pieces"])

# What is not made is refused by name.
run("grade", matrix, "--out", folder / "none", "--sizes", "9", "--widths", "E", code=2, says="size 9 is not made in these widths; it is made in F, G")
run("grade", matrix, "--out", folder / "none", "--widths", "E", "--sizes", "8.5", code=2, says="the run has no size")
(folder / "works.json").write_text(json.dumps({"lastwright_works": 1, "styles": {"slipper": "matrix.json"}}))
(folder / "order.csv").write_text("size,width,pairs\n9,E,3\n8,E,4\n")
run("needs", folder / "order.csv", "--works", folder / "works.json", "--out", folder / "needs", code=1, says="is not made in 9 E: size 9 is made in F, G")
assert json.loads((folder / "needs/needs.json").read_text())["pairs"] == 4
(folder / "readings.csv").write_text("id,size,width,hand,measure,value,unit\na,9,E,left,ball girth,250,mm\nb,8,E,left,ball girth,240,mm\n")
run("girths", matrix, "--readings", folder / "readings.csv", code=3, says="the run does not make 9 E; size 9 is made in F, G")
tied = json.loads(Path(matrix).read_text())
tied["pieces"][1]["sizes_tied"] = [{"from": "8", "to": "9", "as": "9"}]
(folder / "tied.json").write_text(json.dumps(tied))
run("check", folder / "tied.json", code=3, says="the run does not hold 9 E, which 8 E is made as")

# Added to: what is there stays to the byte, also when the run has grown meanwhile; nothing is lost, nothing changed unseen.
run("grade", whole, "--out", folder / "grown", "--sizes", "8", "--widths", "F")
before = files(folder / "grown")
run("grade", whole, "--out", folder / "grown", "--sizes", "7", code=5, says="--force")
run("grade", whole, "--out", folder / "grown", "--sizes", "7", "--add", says="2 drawings of the set are kept as they were")
after = files(folder / "grown")
dxf = lambda names: {n for n in names if n.startswith("pieces/") and n.endswith(".dxf")}
assert dxf(after) == dxf(before) | {f"pieces/{p}/{p} 7 {w}.dxf" for p in ("vamp", "quarter") for w in "EFG"}
assert all(after[n] == before[n] for n in before if n.startswith("pieces/"))
larger = write("larger", {"from": "3", "to": "11", "by": "1/2", "widths": ["D", "E", "F", "G", "H"]})
told = run("grade", larger, "--out", folder / "grown", "--sizes", "11", "--widths", "H", "--add")
again = files(folder / "grown")
assert all(again[n] == after[n] for n in after if n.startswith("pieces/")) and "pieces/vamp/vamp 11 H.dxf" in again
nest = again["nests/vamp sizes in F.svg"].decode()
assert ">7<" in nest and ">8<" in nest
changed = json.loads(Path(whole).read_text())
changed["pieces"][0]["edges"][1]["allowance"] = 9
(folder / "changed.json").write_text(json.dumps(changed))
run("grade", folder / "changed.json", "--out", folder / "grown", "--sizes", "9", "--add", code=5, says="it was changed since")
assert files(folder / "grown") == again
run("grade", whole, "--out", folder / "grown", "--sizes", "9", "--pieces", "vamp", "--add", code=2, says="the set holds quarter too")
(folder / "grown/pieces/vamp/vamp 7 E.dxf").write_text("not a drawing")
run("grade", whole, "--out", folder / "grown", "--sizes", "9", "--add", code=3, says="somebody has changed it since")
print(f"{len(cells)} of {len(plain_made)} cells, by every command")

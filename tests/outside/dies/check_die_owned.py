"""Orders that begin with dies that are there already, and orders for a style that fails, by the program itself.

The demo in three sizes: the whole order owned leaves nothing to make, its size marks read back from the drawings;
one drawing of a handed pair leaves the other foot's die to make, and only that; both drawings leave none. A drawing that
fits nothing is listed with a reason, everywhere. A style whose eyelets stand too close, gets an order and exit code 1, the check
named on the terminal, the page, the XLSX and the JSON; a counter tied over three sizes against its seams is reported only, as by
`check`. An owned die keeps the rule height its order says.
usage: check_die_owned.py PROGRAM STYLE FOLDER
"""
import json
import pathlib
import re
import shutil
import subprocess
import sys

import ezdxf
import openpyxl


def main(program, style, folder):
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(style.parent, folder, ignore=shutil.ignore_patterns("last*", "out"))
    content = json.loads(style.read_text(encoding="utf-8"))
    content["run"] = {"from": "8", "to": "9", "by": "1/2", "widths": ["F"]}
    for piece in content["pieces"]:
        piece.pop("sizes_tied", None)
        for feature in piece.get("features", []):
            feature.pop("counts", None)

    def order(name, *options, code=0):
        (folder / "style.json").write_text(json.dumps(content), encoding="utf-8")
        if name != "first" and "--rules" not in options:  # its curve is looked at in the first alone: two tolerances take less time
            options += ("--rules", folder / "two.json")
        run = subprocess.run([program, "dies", folder / "style.json", "--out", folder / name, *options], capture_output=True, text=True)
        assert run.returncode == code, (name, run.returncode, run.stdout, run.stderr)
        return json.loads((folder / name / "die-order.json").read_text(encoding="utf-8")), run.stdout + "\n" + run.stderr

    curve = {"lastwright_die_rules": 1, "curve": [0.1, 1.5]}
    (folder / "two.json").write_text(json.dumps(curve))
    first, _ = order("first")
    made = first["totals"]["dies_to_make"]
    told = [point["tolerance_mm"] for point in first["tolerance_curve"]]
    assert told[0] == 0.1 and told[-1] == 1.5, f"the curve goes from 0.1 to 1.5 mm unless rules say otherwise: {told}"
    nicks = 0
    for die in first["dies"]:
        space = ezdxf.readfile(folder / "first" / die["file"]).modelspace()
        drawn = sum(1 for e in space if e.dxf.layer == "NICK")
        assert drawn == die["nicks"], (die["die"], drawn, die["nicks"])
        nicks += drawn
    assert nicks > 0
    again, _ = order("again", "--owned", folder / "first")
    assert again["totals"]["dies_to_make"] == 0 and again["owned_not_used"] == [], again["totals"]

    # A folder that is not as it was written is refused, with the file; without its manifest that is told.
    touched = folder / "touched"
    for change, code, words in ((lambda f: f.write_bytes(f.read_bytes() + b" "), 3, "the file is not the one"), (pathlib.Path.unlink, 3, "the file is missing"), (None, 0, "manifest.json of the die order is missing")):
        shutil.rmtree(touched, ignore_errors=True)
        shutil.copytree(folder / "first", touched)
        change(touched / first["dies"][0]["file"]) if change else (touched / "manifest.json").unlink()
        run = subprocess.run([program, "dies", folder / "style.json", "--out", folder / "of-touched", "--force", "--no-ties", "--owned", touched], capture_output=True, text=True)
        assert run.returncode == code and words in run.stderr and (code == 0 or first["dies"][0]["file"] in run.stderr), (words, run.returncode, run.stderr)

    pair = next(die for die in first["dies"] if die["piece"] == "outside quarter" and "file_mirrored" in die)
    for keys in (["file"], ["file_mirrored"], ["file", "file_mirrored"]):
        options = [word for key in keys for word in ("--owned", folder / "first" / pair[key])]
        some, _ = order("some", "--force", *options)
        line = next(die for die in some["dies"] if die["owned"])
        assert some["totals"]["dies_to_make"] == made - len(keys), (keys, some["totals"])
        assert line["owned_as"] == pair["die"], (line["owned_as"], "the number that its drawing shows")
        assert [die for die in some["dies"] if die["die"] == pair["die"]] == [line], "both dies of the pair have it, and no other die"
        assert line["serves"] == pair["serves"] and line["dies_to_make"] == 2 - len(keys)
        assert {"file", "file_mirrored"} & set(line) == {"file", "file_mirrored"} - set(keys), "the other foot's is made"

    other = ezdxf.new("R2000", units=4)
    other.modelspace().add_lwpolyline([(0, 0), (400, 0), (400, 10), (0, 10)], close=True, dxfattribs={"layer": "CUT"})
    other.saveas(folder / "lath.dxf")
    # One that says inches but is drawn in millimetres, one with other holes; and a layer of the style that has no role.
    holed = next(die for die in first["dies"] if die["punches"] > 0 and die["pricks"] > 0 and len(die["serves"]) == 1)
    for name in ("lie", "holes"):
        drawing = ezdxf.readfile(folder / "first" / (holed.get("file") or holed["file_mirrored"]))
        if name == "lie":
            drawing.units = 1
        for hole in drawing.modelspace().query('CIRCLE[layer=="HOLE"]') if name == "holes" else ():
            hole.dxf.radius += 0.4
        drawing.saveas(folder / f"{name}.dxf")
    shell = ezdxf.readfile(folder / "shell.dxf")
    shell.modelspace().add_circle((-5000, -5000), 2, dxfattribs={"layer": "DRILL"})
    shell.saveas(folder / "shell.dxf")
    odd, said = order("odd", *(word for name in ("lath", "lie", "holes") for word in ("--owned", folder / f"{name}.dxf")))
    left_out = "left out: 1 CIRCLE on the layer DRILL"
    # A line for each drawing, where its things are counted.
    in_short = "left out: 1 entity: 1 CIRCLE on the layer DRILL; "
    assert any(in_short in note for note in odd["order_notes"]) and any("lastwright: warning: " in line and in_short in line for line in said.splitlines()), said
    for command, out in (("plot", "plot.pdf"), ("cut", "cut"), ("areas", "areas")):
        width = ["--roll", "1400"] if command == "cut" else []
        run = subprocess.run([program, command, folder / "style.json", "--out", folder / out, "--sizes", "8", "--widths", "F", "--pieces", "tongue", *width], capture_output=True, text=True)
        assert run.returncode == 0 and left_out in run.stderr, (command, run.returncode, run.stdout, run.stderr)
    unknown = [note for note in odd["order_notes"] if note.startswith("the numbers of these dies")]
    assert len(unknown) == 1 and "lath: its drawing shows none" in unknown[0] and "lie: " + holed["die"] + ", which its drawing shows, is that of another" in unknown[0], odd["order_notes"]
    why = {die["die"]: die["why"] for die in odd["owned_not_used"]}
    assert "25.4 times larger than the " + holed["piece"] in why["lie"] and "drawn in millimetres, read as inches?" in why["lie"], why
    assert "not its work: it has " in why["holes"] and f"{holed['pricks']} prick" in why["holes"], why
    had, wanted = why["holes"].split("; wanted are ")
    assert had.split(", not its work: ")[-1] != wanted and " mm" in had and all(f"of {group['diameter_mm']:g} mm" in wanted and f"of {group['diameter_mm'] + 0.8:g} mm" in had for group in holed["punches_by_diameter"]), why
    assert odd["totals"]["dies_to_make"] == made
    assert list(why) == ["lath", "lie", "holes"] and "lath: its outline deviates" in said
    assert "lath" in (folder / "odd" / "die-order.html").read_text(encoding="utf-8")
    assert "lath" in (folder / "odd" / "owned-not-used.csv").read_text(encoding="utf-8")
    book = openpyxl.load_workbook(folder / "odd" / "die-order.xlsx")
    assert book["owned, not used"]["A2"].value == "lath"
    assert book["dies"].auto_filter.ref == book["dies"].dimensions

    counter = next(piece for piece in content["pieces"] if piece["name"] == "counter")
    counter["sizes_tied"] = [{"from": "8", "to": "9", "as": "8.5"}]
    tied, said = order("tied")
    checked = subprocess.run([program, "check", folder / "style.json"], capture_output=True, text=True)
    assert checked.returncode == 0, (checked.stdout, "check and dies say the same of whole sizes that are tied")
    worst = tied["seams_of_tied_pieces"][0]
    seen = re.search(r"seam, tied piece.*?([\d.]+) mm +at size (\S+), width (\S+)", checked.stdout)
    assert seen and abs(float(seen[1]) - worst["difference_mm"]) < 6e-4 and seen[2] == worst["size"] and seen[3] == worst["width"], (worst, checked.stdout)
    stated = re.search(re.escape(worst["seam"]) + r" ([\d.]+) mm at", said)
    assert stated and abs(float(stated[1]) - worst["difference_mm"]) < 6e-4, said
    assert tied["checks_failed"] == [] and "reported only: whole sizes are tied on a piece" in said, said
    assert tied["totals"]["greatest_seam_difference_mm"] < tied["totals"]["seam_limit_mm"]
    del counter["sizes_tied"]

    # In a second width, so that a die is there for a part of what it serves.
    content["run"]["also"] = [{"from": "8", "to": "8", "by": "1/2", "widths": ["G"]}]
    # A rule height, what is stated of its making and of the layers stay those of the die that is there; a plain drawing tells them by its texts, or not.
    (folder / "high.json").write_text(json.dumps({**curve, "two_edged_nicks": True, "layers_per_stroke": 4, "pieces": {"outsole": {"rule_height": 32, "quantity": 2, "making_tolerance": 0.2, "layers_per_stroke": 1}, "facing": {"two_edged": True}}}))
    high, _ = order("high", "--rules", folder / "high.json")
    # For a part of the sizes, with other rules: two edges and stamps stay as they are, and what is short of the quantity is told.
    (folder / "later.json").write_text(json.dumps({**curve, "pieces": {"outsole": {"quantity": 3}}}))
    later, said = order("later", "--owned", folder / "high", "--rules", folder / "later.json", "--sizes", "8", "--widths", "F")
    facing = next(die for die in later["dies"] if die["piece"] == "facing")
    assert facing["cutting_edges"] == 2 and facing["hand"] == "L R" and facing["dies_to_make"] == 0, facing
    there = [one for die in later["dies"] for one in die["there_already"]]
    assert there and not any(one["restamp"] for one in there) and any("keep their stamp" in note for note in later["order_notes"]), there
    assert later["totals"]["dies_to_make"] == 0 and "weight_kg" not in later["totals"]
    short = [line for line in said.splitlines() if line.startswith("lastwright: warning: the quantity is not met: 1 die fewer") or line.startswith("lastwright: warning: the quantity is not met: 2 dies fewer")]
    assert len(short) == 1 and "(outsole): 2 of 3" in short[0] and short[0].split("warning: ")[1] in later["order_notes"], said
    assert any("the bevel of these dies" in note and "but taken" in note for note in later["order_notes"]) and all(one["bevel"] == "on the waste" and not one["bevel_stated"] for one in there), there
    heights = {(die["piece"], die["rule_height_mm"]) for die in later["dies"]}
    assert ("outsole", 32) in heights and ("outsole", 19) not in heights and ("vamp", 19) in heights, heights
    made = {(die["piece"], die["making_tolerance_mm"], die["layers_per_stroke"]) for die in later["dies"]}
    assert ("outsole", 0.2, 1) in made and ("vamp", None, 4) in made, made
    outsole = next(die for die in high["dies"] if die["piece"] == "outsole")
    alone, _ = order("alone", "--owned", folder / "high" / outsole["file"])
    there = next(die for die in alone["dies"] if die["owned"])["there_already"][0]
    assert there["rule_height_mm"] == 32 and there["making_tolerance_mm"] == 0.2 and there["bears"] == outsole["stamp"] and not there["restamp"], (there, "its own texts")
    silent = ezdxf.readfile(folder / "high" / outsole["file"])
    for entity in silent.modelspace().query("TEXT"):
        silent.modelspace().delete_entity(entity)
    silent.saveas(folder / "silent.dxf")
    bare, said = order("bare", "--owned", folder / "silent.dxf")
    line = next(die for die in bare["dies"] if die["owned"])
    assert line["rule_height_mm"] == 19 and line["there_already"][0]["rule_height_mm"] is None, line
    assert "rule height of the die that is there" in line["not_stated"], line["not_stated"]
    for words in (said, (folder / "bare" / "die-order.html").read_text(encoding="utf-8")):
        assert "is not known: measure" in words or "is not known of these dies" in words, "a caution"

    for piece in content["pieces"]:
        for feature in piece.get("features", []):
            if "eyelets" in feature:
                feature["count"] = 40
    failed, said = order("failed", code=1)
    assert any("hole" in check["check"] for check in failed["checks_failed"]), failed["checks_failed"]
    assert "CHECKS FAILED" in said and "CHECKS FAILED" in openpyxl.load_workbook(folder / "failed" / "die-order.xlsx").sheetnames
    assert "Checks failed" in (folder / "failed" / "die-order.html").read_text(encoding="utf-8")
    print(f"{made} dies for the three, none with all owned; {len(failed['checks_failed'])} failed checks named")


main(sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3]))

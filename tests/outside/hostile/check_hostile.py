#!/usr/bin/python3
"""Hostile bytes into every reader of the program: check_hostile.py LASTWRIGHT DEMO-FOLDER [PART ...]

Every run must end as runner.py says. Parts: drawings, styles, tables, readings, rules, orders, options, lasts, places, names, planning.
"""
import csv
import json
import math
import os
import pathlib
import re
import shutil
import socket
import sys
import tempfile
import xml.etree.ElementTree

import drawings
import json_files
import rows
import solids
from runner import Judge, run
from wrong_types import WRONG_TYPES

program = pathlib.Path(sys.argv[1]).resolve()
demo = pathlib.Path(sys.argv[2]).resolve()
judge = Judge(program)


def feed(scratch, what, ending, cases, arguments):
    """Each case as a file into a command; arguments(file) gives the command line."""
    file = scratch / f"input{ending}"
    for name, (data, codes, words) in cases:
        file.write_bytes(data)
        judge.expect(f"{what}: {name}", run([program, *arguments(file)], cwd=scratch), len(data), codes, words)
        for left in scratch.glob("out*"):
            shutil.rmtree(left) if left.is_dir() else left.unlink()


LONG = bool(os.environ.get("TESTS_LONG"))


def one_of(step, cases, first=0):
    """Every so many of the cases, where the same reader meets all of them elsewhere; with TESTS_LONG=1 all."""
    return list(cases) if LONG else list(cases)[first::step]


def few_of_each(step, cases):
    """Every so many of each kind of case, in their order, all of a kind that has fewer; a kind is what a name says but for its numbers."""
    met, kept = {}, []
    for case in cases:
        kind = re.sub(r"\d+", "#", case[0])
        met[kind] = met.get(kind, -1) + 1
        if LONG or met[kind] % step == 0:
            kept.append(case)
    return kept


def wrong_types(natural=()):
    return [(f"in truth {kind}", (data, {3}, [word])) for kind, (data, word) in WRONG_TYPES.items() if kind not in natural]


def small_style(scratch):
    """The demo with two pieces, two sizes and one width: quick, and every part of a style is there."""
    style = json.loads((demo / "style.json").read_text())
    style["run"] = {"from": "8", "to": "8.5", "by": "1/2", "widths": ["F"]}
    style["pieces"] = style["pieces"][:2]
    kept = {piece["name"] for piece in style["pieces"]}
    style["seams"] = [s for s in style["seams"] if s["one"]["piece"] in kept and s["other"]["piece"] in kept]
    for drawing in style["drawings"].values():
        shutil.copy(demo / drawing["file"], scratch)
    (scratch / "style.json").write_text(json.dumps(style))
    return style


def drawing_part(scratch):
    command = lambda file: ["new", file, "--out", scratch / "out.json"]
    feed(scratch, "drawing", ".dxf", drawings.cases(), command)
    feed(scratch, "drawing", ".dxf", wrong_types(), command)
    good = drawings.GOOD
    end = len(good.rstrip())
    cuts = [(f"cut off after {cut} bytes", (good[:cut], {3}, [])) for cut in range(1, end, 7)]
    feed(scratch, "drawing", ".dxf", few_of_each(4, cuts), command)
    feed(scratch, "owned die", ".dxf", wrong_types(), lambda file: ["dies", scratch / "style.json", "--owned", file, "--out", scratch / "out"])


def style_part(scratch):
    style = small_style(scratch)
    good = json.dumps(style).encode()
    command = lambda file: ["check", file]
    feed(scratch, "style", ".json", few_of_each(5, json_files.syntax_cases(good)), command)
    feed(scratch, "style", ".json", wrong_types(), command)
    # Some places of the document, so that the test stays quick; the step is coprime to the list of values.
    chosen = {p for i, p in enumerate(list(json_files.paths(style))) if i % (11 if LONG else 23) == 3}
    feed(scratch, "style", ".json", json_files.value_cases(style, lambda p: p in chosen), command)
    runs = [{"from": "1", "to": "15", "by": "1/1000000"}, {"from": "15", "to": "1", "by": "1/2"}, {"from": "8", "to": "8", "by": "0"},
            {"from": "8", "to": "9", "by": "-1/2"}, {"from": "1/2", "to": "99999999999", "by": "1/2"}]
    for change in runs:
        feed(scratch, "style", ".json", [(f"run {change}", (json.dumps({**style, "run": {**style["run"], **change}}).encode(), {3}, []))], command)
    many = {**style, "pieces": [{**style["pieces"][0], "name": f"p{i}"} for i in range(3000)], "seams": []}
    feed(scratch, "style", ".json", [("3,000 pieces", (json.dumps(many).encode(), {0, 3}, []))], command)
    wide = {**style, "measures": {**style["measures"], **{f"m{i}": style["measures"]["seat"] for i in range(3000)}}}
    feed(scratch, "style", ".json", [("3,000 measures", (json.dumps(wide).encode(), {0, 3}, []))], command)
    many = drawings.drawing("".join(drawings.line(100 * (i % 200), i // 200, 100 * (i % 200) + 1, i // 200) for i in range(20_000)))
    (scratch / "many.dxf").write_bytes(many)
    often = {**style, "drawings": {**style["drawings"], **{f"d{i}": {**style["drawings"]["shell"], "file": "many.dxf"} for i in range(90)}}}
    (scratch / "input.json").write_text(json.dumps(often))
    judge.expect("one large drawing named 90 times", run([program, "check", "input.json"], cwd=scratch), len(many), {3}, ["share one budget"])
    shell = (scratch / "shell.dxf").read_text()
    start = shell.index("ENTITIES\n") + len("ENTITIES\n")
    stray = lambda layer: "".join(drawings.polyline([(9e4 + 50 * (i % 60) + x, 50 * (i // 60) + y) for x, y in ((0, 0), (9, 0), (9, 9), (0, 9))], layer(i)) for i in range(3000))
    loose, layers = stray(lambda i: "1"), stray(lambda i: f"L{i}")
    (scratch / "shell.dxf").write_text(shell[:start] + loose + shell[start:])
    ended = run([program, "check", "style.json"], cwd=scratch)
    judge.expect("3,000 outlines that no piece uses", ended, len(shell) + len(loose), {0, 1}, ["left out: 3000 LWPOLYLINE", "and 2997 more"])
    if len(ended.out) > 100_000:
        judge.fail("3,000 outlines that no piece uses", f"{len(ended.out)} bytes of warnings")
    (scratch / "shell.dxf").write_text(shell[:start] + layers + shell[start:])
    ended = run([program, "check", "style.json"], cwd=scratch)
    judge.expect("3,000 outlines on a layer each", ended, len(shell) + len(layers), {0, 1}, ["left out: 3046 more, of 2992 other"])
    if len(ended.out) > 100_000:
        judge.fail("3,000 outlines on a layer each", f"{len(ended.out)} bytes of warnings")
    (scratch / "shell.dxf").write_text(shell)
    itself = {**style, "tables": ["input.json"]}
    feed(scratch, "style", ".json", [("names itself as a table", (json.dumps(itself).encode(), {3}, []))], command)


def table_part(scratch):
    tables = demo.parents[1] / "reference-tables"
    for name in ("scale-english", "ladder-english-letters", "measures-jis-men", "printed-jis-men"):
        text = (tables / f"{name}.json").read_bytes()
        command = lambda file: ["sizes", "--table", file, "--list"]
        own = json.loads(text)
        own["key"] = "own"
        good = json.dumps(own).encode()
        feed(scratch, f"table {name}", ".json", [("good", (good, {0}, []))], command)
        if name == "scale-english":
            feed(scratch, f"table {name}", ".json", json_files.kind_cases(good), command)
            feed(scratch, f"table {name}", ".json", wrong_types(), command)
        chosen = {p for i, p in enumerate(list(json_files.paths(own))) if i % 5 == 1}
        feed(scratch, f"table {name}", ".json", list(json_files.value_cases(own, lambda p: p in chosen))[:120], command)


def readings_part(scratch):
    small_style(scratch)
    command = lambda file: ["girths", scratch / "style.json", "--readings", file]
    feed(scratch, "readings", ".csv", few_of_each(5, rows.cases()), command)
    feed(scratch, "readings", ".csv", wrong_types(), command)


def rules_part(scratch):
    small_style(scratch)
    command = lambda file: ["dies", scratch / "style.json", "--rules", file, "--out", scratch / "out"]
    good = b'{"lastwright_die_rules": 1, "ties": true}'
    feed(scratch, "rules", ".json", json_files.kind_cases(good), command)
    feed(scratch, "rules", ".json", wrong_types(), command)
    groups = [{"name": "a", "from": "8", "to": "8"}, {"name": "b", "from": "8.5", "to": "8.5"}]
    every = {"lastwright_die_rules": 1, "tolerance": 0.3, "tolerance_by_kind": {"lasting": 0.6}, "minimise": "cost", "two_edged": True,
             "rates": {"currency": "EUR", "per_mm": 0.06, "per_corner": 0.5, "per_punch": 1.8, "fixed": 9.5, "two_edged": 1.4},
             "pieces": {"vamp": {"ties": False, "rule_height": 32}, "toe cap": {"groups": groups}}}
    feed(scratch, "rules", ".json", [("good", (json.dumps(every).encode(), {0, 1}, []))], command)
    feed(scratch, "rules", ".json", one_of(3, json_files.value_cases(every, lambda p: True)), command)
    order = scratch / "rules-order"
    judge.expect("the order of a report", run([program, "dies", scratch / "style.json", "--out", order], cwd=scratch), 0, {0, 1})
    put = json.loads((order / "die-order.json").read_text(encoding="utf-8"))
    put["dies"] = put["dies"][:2]
    page = lambda file: ["report", scratch / "style.json", "--order", file, "--out", scratch / "out", "--force"]
    feed(scratch, "order of a report", ".json", [("good", (json.dumps(put).encode(), {0, 1}, ["cutting may"]))], page)
    feed(scratch, "order of a report", ".json", wrong_types(), page)
    feed(scratch, "order of a report", ".json", list(json_files.value_cases(put, lambda p: True))[:: 13 if LONG else 29], page)


def order_part(scratch):
    """What lies in folders: an earlier die order with its drawings, and the manifests of earlier sets."""
    small_style(scratch)
    order = scratch / "order"
    order.mkdir()
    die = drawings.drawing(drawings.polyline(drawings.SQUARE, layer="CUT"))
    (order / "d.dxf").write_bytes(die)
    command = ["dies", "style.json", "--owned", "order", "--out", "out"]

    def expect(name, data, codes=None, words=(), more=0):
        (order / "die-order.json").write_bytes(data)
        judge.expect(f"order: {name}", run([program, *command], cwd=scratch), len(data) + more, codes, words)
        if (scratch / "out").exists():
            check_files(f"order: {name}", scratch / "out")
            shutil.rmtree(scratch / "out")

    def of(*dies):
        return json.dumps({"lastwright_die_order": 1, "dies": [{"die": "n", "piece": "vamp", "file": "d.dxf", "hands": "pair", **d} for d in dies]}).encode()

    expect("good", of({}), {0, 1})
    for name, (data, codes, words) in (*json_files.kind_cases(of({})), *wrong_types()):
        expect(name, data, codes, words)
    for file in (".", "..", "./", "//", "/etc/passwd", "../in/style.json", "a/../../x", "\0", "x" * 5000, "die-order.json", 5, None, ["d.dxf"]):
        expect(f"names the drawing {str(file)[:20]!r}", of({"file": file, "file_mirrored": file}), {0, 1, 3, 6})
    for kind, name in NAMES.items():
        expect(f"a die called {kind}", of({"die": name}), {0, 1, 3})
        if kind in one_of(3, NAMES):
            expect(f"a die of a piece called {kind}", of({"piece": name}), {0, 1, 3})
    expect("one drawing for 20,000 dies", of(*[{"die": f"n{i}"} for i in range(20_000)]), {3}, ["two dies"])
    array = drawings.drawing(drawings.polyline(drawings.SQUARE, layer="CUT") + drawings.insert("A", (70, 150), (71, 150), (44, 1), (45, 1)), drawings.block("A", drawings.line(0, 0, 1, 0)))
    for i in range(200):
        (order / f"{i}.dxf").write_bytes(array)
    expect("200 drawings of 22,500 lines in an array each", of(*[{"die": f"n{i}", "file": f"{i}.dxf"} for i in range(200)]), {3}, ["budget"], 200 * len(array))

    bombs = {"20 MB of brackets": b"[" * 20_000_000, "200,000 files": b'{"lastwright_manifest":1,"files":[' + b'{"name":"","size":1},' * 200_000 + b"1]}", "none": b"{}"}
    for name, data in bombs.items():
        for folder, codes in (("out", {5}), (".out.lastwright-1", {0, 1})):
            (scratch / folder).mkdir()
            (scratch / folder / "manifest.json").write_bytes(data)
            judge.expect(f"manifest in {folder}: {name}", run([program, "grade", "style.json", "--out", "out", "--force"], cwd=scratch), len(data), codes)
            for left in (*scratch.glob("out*"), *scratch.glob(".out*")):
                shutil.rmtree(left)


def option_part(scratch):
    """Numbers that are none, and options without those they belong to."""
    small_style(scratch)
    for name in ("last.json", "last.step"):
        shutil.copy(demo / name, scratch)
    shutil.copy(demo / "readings.csv", scratch)
    numbers = ["nan", "-nan", "inf", "1e999", "-1", "1,5", "", "x"]
    readings = ["girths", "style.json", "--readings", "readings.csv"]
    verify = ["last", "verify", "last.json", "last.step", "--size", "8", "--width", "F"]
    for command, options in ((readings, ("--confidence", "--sure")), (["dies", "style.json", "--out", "out"], ("--seam-limit", "--tolerance")),
                             (["new", "shell.dxf", "--out", "out"], ("--gap",)), (["last", "grade", "last.json", "--out", "out"], ("--refit", "--threads")),
                             (verify, ("--tolerance", "--scanner")), (["last", "measure", "last.step"], ("--heel-height",))):
        for option in options:
            for number in numbers[:4] if option == "--heel-height" else one_of(3, numbers) if command[0] == "last" else numbers:
                judge.expect(f"{' '.join(command[:2])} {option} {number!r}", run([program, *command, f"{option}={number}"], cwd=scratch), 0, {2})
    for command in (["girths", "style.json", "--width", "F"], ["check", "style.json", "--width", "F"], ["last", "measure", "last.step", "--size", "8"],
                    ["last", "measure", "last.step", "--width", "F"], ["report", "style.json", "--out", ""]):
        judge.expect(" ".join(command), run([program, *command], cwd=scratch), 0, {2})
    for by in ("1/1000000", "1/999999937", "1/1000000000000", "0", "-1/2", "1e-9"):
        judge.expect(f"sizes in steps of {by}", run([program, "sizes", "--by", by], cwd=scratch), 0, {2})


def one_of_kernel(cases):
    """Without the poles that a long search of the kernel ends at, all but one."""
    return [case for case in cases if LONG or case[0] not in ("a pole at 1.E30", "a pole at 9.E8")]


def last_part(scratch):
    step = (demo / "last.step").read_bytes()
    feed(scratch, "STEP", ".step", one_of_kernel(solids.step_cases(step)), lambda file: ["last", "measure", file])
    # Each start of the program with the solid kernel takes as long as ten of the other: what tells files of another kind is the same code
    # for all that it reads, and each kind is met by one of its readers.
    feed(scratch, "STEP", ".step", one_of(2, wrong_types()), lambda file: ["last", "measure", file])
    for name in ("last.json", "style.json", "last.step"):
        shutil.copy(demo / name, scratch)
    good = (demo / "last.json").read_bytes()
    command = lambda file: ["last", "grade", file, "--out", scratch / "out"]
    # The parser and what tells files of another kind are those of styles.
    feed(scratch, "last file", ".json", one_of(6, json_files.kind_cases(good)), command)
    feed(scratch, "last file", ".json", one_of(12, wrong_types()), command)
    document = json.loads(good)
    document["landmarks"] = {"seat outside": 0.2, "ankle top": {"face": 0, "u": 0.5, "v": 0.5}}
    document["bases"][0]["heel_height"] = "20 mm"
    one = lambda file: [*command(file), "--sizes", "8", "--widths", "F"]
    feed(scratch, "last file", ".json", one_of(6, list(json_files.value_cases(document, lambda p: True))[::5], 2), one)
    # Lists and words where a length should stand.
    for value in one_of(2, ([[]], {"a": {}}, True, None)):
        bad = json_files.put(document, ("rules", "toe spring", "per_size"), value)
        feed(scratch, "last file", ".json", [(f"a rule of {value}", (json.dumps(bad).encode(), {3}, []))], one)
    for face in one_of(3, (-1, 4, 2**40, 1e300)):
        document["landmarks"]["ankle top"]["face"] = face
        feed(scratch, "last file", ".json", [(f"a landmark on face {face}", (json.dumps(document).encode(), {3}, []))], one)
    often = {**json.loads(good), "bases": json.loads(good)["bases"] * 60}
    feed(scratch, "last file", ".json", [("one base named 60 times", (json.dumps(often).encode(), {3}, ["two base lasts"]))], command)
    feed(scratch, "landmarks", ".json", one_of(20, wrong_types(), 1), lambda file: ["last", "measure", scratch / "last.step", "--landmarks", file])
    (scratch / "scan.stl").write_bytes(solids.binary_stl(solids.tetrahedron(300.0)))
    mate = lambda file: ["last", "verify", scratch / "last.json", scratch / "scan.stl", "--size", "8", "--width", "F", "--unit", "mm", "--pair", file]
    feed(scratch, "mate", ".stl", [("a tetrahedron", (solids.binary_stl(solids.tetrahedron()), {3}, [])), *one_of(2, wrong_types()[:2]), *(solids.large_scan() if LONG else ())], mate)
    feed(scratch, "STL to measure", ".stl", [*solids.stl_cases(), *one_of(2, wrong_types(), 1)], lambda file: ["last", "measure", file, "--unit", "mm"])
    verify = lambda file: ["last", "verify", scratch / "last.json", file, "--size", "8", "--width", "F", "--unit", "mm"]
    feed(scratch, "STL", ".stl", [*one_of(6, solids.stl_cases()), *solids.large_scan()], verify)
    feed(scratch, "STL", ".stl", one_of(12, wrong_types(), 3), verify)


def planning_part(scratch):
    """Orders, works files and drawings of hides; two pieces alone close no girth, which is told. (Workbooks: tests/outside/planning/check_orders.py, which packs them.)"""
    small_style(scratch)
    works = {"lastwright_works": 1, "styles": {"boot": "style.json"}, "assortments": {"two": [{"size": "8", "width": "F", "pairs": 2}]}, "pairs_per_case": 6,
             "materials": {"box calf 1.8 mm": {"gap": 1, "hide": {"area_dm2": 200, "perimeter_mm": 6000}, "measured_to_invoiced": 0.9, "past": [{"scale_dm2": 3, "used_dm2": 4}]}},
             "cutting": {"vamp": {"zones": ["best"], "direction": "any", "within_degrees": 5}}, "calendar": {"first": "2031-03-03", "days": 7},
             "supplies": {"laces": {"per_pair": 1, "lead": 2, "stock": 1, "multiple": 5, "receipts": [{"period": 1, "quantity": 2}], "needed": [{"period": 3, "quantity": 4}]}}}
    (scratch / "works.json").write_text(json.dumps(works))
    command = lambda file: ["needs", file, "--works", scratch / "works.json", "--out", scratch / "out"]
    head, row = b"size,width,pairs,assortment,cases,case,period\n", b"8,F,3,,,C1,2\n"
    pairs = [(f"pairs {v!r}", (head + b"8,F," + v + b",,,,\n", {3}, ["no row"])) for v in (b"0", b"-1", b"1e3", b"nan", b"1.0", b"9999999999", b"=1", b"x" * 5000, b"\xff")]
    cases = [(f"cases {v!r}", (head + b",,,two," + v + b",,\n", {3}, ["no row"])) for v in (b"0", b"10001", b"-2", b"")]
    odd = [("no header", (row * 3, {3}, [])), ("only the header", (head, {3}, ["no row"])), ("nothing", (b"", {3}, ["empty"])), ("a column twice", (b"size,size\n", {3}, ["twice"])),
           ("10,000 columns", (b"7 F," * 10_000 + b"\n", {3}, ["columns"])), ("200 columns, 20,000 rows", (b",".join(b"%d F" % i for i in range(200)) + b"\n" + b"," * 199 + b"\n" * 1, {3}, [])),
           ("too many fields", ((b",".join(b"%d F" % i for i in range(200)) + b"\n") + (b"1" + b"," * 199 + b"\n") * 10_001, {3}, ["fields"])),
           ("a quote that does not close", (head + b'"8,F,3,,,,\n' + row, {1}, ["quote"])), ("10,000 cases", (head + b",,,two,10000,,\n", {1}, ["girth in pieces"])),
           ("100,000,000 pairs and more", (head + b"8,F,1000000,,,,\n" * 101, {1}, ["more than"]))]
    feed(scratch, "order", ".csv", [*pairs, *cases, *odd, ("good", (head + row, {1}, ["girth in pieces"]))], command)
    feed(scratch, "order", ".csv", wrong_types(), command)
    good = head + row
    feed(scratch, "order", ".csv", [(f"cut off after {cut} bytes", (good[:cut], {0, 1, 3}, [])) for cut in range(1, len(good), 5 if LONG else 15)], command)
    dates = lambda file: ["dates", file, "--out", scratch / "out"]
    text = json.dumps(works).encode()
    feed(scratch, "works", ".json", json_files.kind_cases(text), dates)
    feed(scratch, "works", ".json", list(json_files.value_cases(works, lambda p: True))[:: 5 if LONG else 11], dates)
    hide = lambda file: ["hide", scratch / "style.json", "--hide", file, "--pieces", "toe cap", "--pairs", "1", "--out", scratch / "out"]
    feed(scratch, "hide", ".dxf", wrong_types(), hide)
    around = lambda n, size: [(size * math.cos(2 * math.pi * k / n), size * math.sin(2 * math.pi * k / n)) for k in range(n)]
    comb = [(0, 0)] + [p for k in range(400) for p in ((k, 900), (k + 0.5, 1))] + [(400, 0)]
    shapes = {"a triangle": ([(0, 0), (900, 0), (0, 900)], {1}), "no area": ([(0, 0), (900, 0), (400, 0)], {3, 4}), "a comb": (comb, {0, 1, 3, 4}),
              "too many corners": (around(9000, 4000.0), {3}), "as large as a field": (around(40, 4e5), {0, 1}), "huge": (around(8, 1e11), {0, 1, 3, 4}), "tiny": (around(8, 1.0), {4})}
    feed(scratch, "hide", ".dxf", [(name, (drawings.drawing(drawings.polyline(points, layer="hide")), codes, [])) for name, (points, codes) in shapes.items()], hide)


def place_part(scratch):
    """What is no file at all, and a file that is too large, wherever a file is named."""
    style = small_style(scratch)
    for name in ("last.json", "last.step"):
        shutil.copy(demo / name, scratch)
    os.mkfifo(scratch / "fifo")
    (scratch / "folder").mkdir()
    (scratch / "loop").symlink_to("loop")
    (scratch / "nowhere").symlink_to("not there")
    plug = socket.socket(socket.AF_UNIX)
    plug.bind(str(scratch / "socket"))
    with open(scratch / "huge", "wb") as huge:
        huge.truncate(3 << 30)
    places = {"fifo": {6}, "folder": {6}, "loop": {6}, "nowhere": {6}, "socket": {6}, "/dev/zero": {6}, "/dev/tty": {6}, "missing": {6}, "huge": {3}}
    good = scratch / "style.json"
    commands = {
        "check": lambda f: ["check", f], "grade": lambda f: ["grade", f, "--out", "out"], "new": lambda f: ["new", f, "--out", "out.json"],
        "girths": lambda f: ["girths", f], "readings": lambda f: ["girths", good, "--readings", f], "table": lambda f: ["sizes", "--table", f, "--list"],
        "plot": lambda f: ["plot", f, "--out", "out.pdf"], "dies": lambda f: ["dies", f, "--out", "out"],
        "rules": lambda f: ["dies", good, "--rules", f, "--out", "out"], "owned": lambda f: ["dies", good, "--owned", f, "--out", "out"],
        "order": lambda f: ["report", good, "--order", f, "--out", "out"],
        "last measure": lambda f: ["last", "measure", f], "last grade": lambda f: ["last", "grade", f, "--out", "out"],
        "scan": lambda f: ["last", "verify", "last.json", f, "--size", "8", "--width", "F", "--unit", "mm"],
    }
    for what, command in commands.items():
        # What opens a file is the same in both programs.
        for place, codes in one_of(3, places.items()) if what.startswith(("last", "scan")) else places.items():
            expected = {3, 6} if what == "owned" and place == "folder" else {6} if what == "order" else codes  # an order is a file in that folder
            judge.expect(f"{what} of {place}", run([program, *command(place)], cwd=scratch), 0, expected)
    for place in places:
        for key, change in (("drawing", {"drawings": {**style["drawings"], "shell": {"file": place}}}), ("table", {"tables": [place]})):
            (scratch / "input.json").write_text(json.dumps({**style, **change}))
            judge.expect(f"{key} named {place}", run([program, "check", "input.json"], cwd=scratch), 0, {3, 6})
    left = [p.name for p in scratch.glob("out*")]
    if left:
        judge.fail("places", f"left behind: {left}")


NAMES = {"path": "../../escape", "absolute": "/etc/x", "backslash": "..\\x", "markup": "<script>alert(1)</script>&\"'>", "escape": "a\x1b[2Jb",
         "direction": "abc\u202ecod.exe", "formula": "=1+1", "at": "@SUM(A1)", "device": "CON", "dot": ".", "dots": "..", "hidden": ".hidden",
         "percent": "100%", "newline": "a\nb", "long": "n" * 300, "wide": "型紙 ñ ß", "quote": "a\"b,c"}
PLAIN = re.compile(r"^[^\x00-\x1f\x7f/\\:*?\"<>|]{1,255}$")


def check_files(name, folder):
    for file in folder.rglob("*"):
        if not PLAIN.match(file.name) or file.name.startswith(".") or len(os.fsencode(file.name)) > 255:
            judge.fail(name, f"the name {file.name!r} of a file")
        if file.suffix == ".svg":
            try:
                tree = xml.etree.ElementTree.parse(file)
            except xml.etree.ElementTree.ParseError as broken:
                judge.fail(name, f"{file.name}: {broken}")
                continue
            if any(element.tag.endswith("script") for element in tree.iter()):
                judge.fail(name, f"{file.name} holds a script")
        if file.suffix == ".csv":
            for record in csv.reader(file.open(newline="", encoding="utf-8")):
                for cell in record:
                    if cell[:1] in "=+-@\t\r" and cell and not re.fullmatch(r"[+-]?[0-9.]+(e[+-]?[0-9]+)?", cell):
                        judge.fail(name, f"{file.name} holds the formula {cell!r}")


def name_part(scratch):
    """Names that a style may hold, in what the program writes."""
    style = small_style(scratch)
    text = (scratch / "style.json").read_text()
    every = ("text", "csv", "json", "html", "xlsx")
    for number, (kind, hostile) in enumerate(NAMES.items()):
        # What is dangerous to a kind of table meets each of them, other names one in turn; with TESTS_LONG=1 all.
        forms = every if LONG or kind in ("markup", "formula", "at", "quote") else every[number % 5:][:1]
        piece = style["pieces"][0]["name"]
        changed = json.loads(text)
        changed["name"] = changed["works"] = changed["note"] = hostile
        changed["pieces"][0]["name"] = hostile
        changed["pieces"][0]["material"] = hostile
        for seam in changed["seams"]:
            for side in ("one", "other"):
                if seam[side]["piece"] == piece:
                    seam[side]["piece"] = hostile
        changed["measures"][hostile] = changed["measures"]["seat"]
        (scratch / "input.json").write_text(json.dumps(changed))
        name = f"named {kind}"
        for command, out in (("grade", "out"), ("dies", "out dies")):
            ended = run([program, command, "input.json", "--out", out], cwd=scratch)
            judge.expect(f"{name}, {command}", ended, len(text), {0, 1, 3, 4})
            if (scratch / out).exists():
                check_files(f"{name}, {command}", scratch / out)
                shutil.rmtree(scratch / out)
        judge.expect(f"{name}, plot", run([program, "plot", "input.json", "--out", "out.pdf", "--force"], cwd=scratch), len(text), {0, 1, 3, 4})
        for form in forms:
            out = scratch / f"list.{form}"
            ended = run([program, "girths", "input.json", "--format", form, "--out", out, "--force"], cwd=scratch)
            judge.expect(f"{name}, girths as {form}", ended, len(text), {0, 3})
            if ended.code != 0:
                continue
            if form == "html" and (b"<script" in out.read_bytes() or b"\x1b" in out.read_bytes()):
                judge.fail(name, "the HTML holds it as markup")
            if form == "csv":
                check_files(name, scratch)
            if form == "xlsx":
                check_workbook(name, out)
        for extra in scratch.parent.glob("escape*"):
            judge.fail(name, f"{extra} was written outside")


def check_workbook(name, file):
    try:
        import openpyxl
    except ImportError:
        return
    for sheet in openpyxl.load_workbook(file).worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    judge.fail(name, f"the workbook holds the formula {cell.value!r}")


PARTS = {"drawings": drawing_part, "styles": style_part, "tables": table_part, "readings": readings_part, "rules": rules_part, "orders": order_part, "options": option_part, "lasts": last_part,
         "places": place_part, "names": name_part, "planning": planning_part}
sound = True
for part in sys.argv[3:] or PARTS:
    judge = Judge(program)
    with tempfile.TemporaryDirectory(dir="/dev/shm" if os.access("/dev/shm", os.W_OK) else None) as folder:
        inner = pathlib.Path(folder) / "in"
        inner.mkdir()
        small_style(inner)
        PARTS[part](inner)
    sound = judge.report(part) and sound
sys.exit(0 if sound else 1)

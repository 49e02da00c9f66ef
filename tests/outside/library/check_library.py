#!/usr/bin/python3
"""The installed library, as its user meets it: check_library.py CMAKE BUILD PROJECT GRADED

Installs the build into a folder of its own, copies the examples elsewhere, configures, builds and runs them there, and compares what
they say with the files that the program wrote: drawings byte by byte, the count of segments of every cut line by ezdxf, girths by
the program's own table, findings by the lines of lastwright check; the same through the Python module. Nothing of the project but the installed copy is in sight of the compiler.
"""
import csv
import io
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time

import ezdxf

cmake, build, project, graded = sys.argv[1], *map(pathlib.Path, sys.argv[2:5])
style = project / "demo-patterns/cindergarth/style.json"


def run(*words, wanted=0):
    done = subprocess.run([str(word) for word in words], capture_output=True, text=True)
    assert done.returncode == wanted, f"{words}: exit {done.returncode}\n{done.stdout[-2000:]}{done.stderr[-2000:]}"
    return done.stdout


def changed(folder, change):
    """The demo style in one width, its drawings beside it, with a change."""
    folder.mkdir()
    for drawing in style.parent.glob("*.dxf"):
        shutil.copy(drawing, folder)
    data = json.loads(style.read_text())
    data["run"]["widths"] = ["F"]
    change(data)
    (folder / "style.json").write_text(json.dumps(data))
    return folder / "style.json"


def fault_of(work, *given, **named):
    try:
        work(*given, **named)
    except ValueError as fault:
        return str(fault)
    raise AssertionError("no ValueError")


def check_names_of_files(module, program, place):
    """What the name of a file may be: any path of Python, no standard input; and what is said of it is fit to be printed."""
    style = changed(place / "names", lambda data: None)
    odd = os.fsencode(place / "names") + "/a\u202e\u200b".encode() + b"\xe9\x1b[31m\n"
    os.mkdir(odd)
    for file in ("style.json", "shell.dxf", "bottom.dxf"):
        shutil.copy(style.parent / file, odd + b"/" + os.fsencode(file))
    girths = module.Style(str(style)).girths()
    for path in (style, os.fsencode(style), odd + b"/style.json", os.fsdecode(odd) + "/style.json", pathlib.Path(os.fsdecode(odd)) / "style.json"):
        assert module.Style(path).girths() == girths, path
    for name in (odd + b"/none.json", odd, b"/dev/null", b"\xff\xfe.json", "\u2028\u2066\ufeff\t".encode()):
        said = fault_of(module.Style, name)
        told = subprocess.run([program, "check", name], capture_output=True, text=True).stderr
        assert said.isprintable() and "lastwright: " + said + "\n" == told.replace("; on the command line - is standard input", ""), (said, told)
        assert "standard input" not in said, said
    zero = fault_of(module.Style, b"be\0hind.json")
    assert zero.startswith("be\\x00hind.json: there is no such file"), zero
    loaded = module.Style(style)
    for given, where in ((lambda name: module.Style(name), "parameter file"), (lambda name: module.Style(style, tables=[style, name]), "parameter tables[1]"),
                         (lambda name: loaded.dies(owned=[name]), "parameter owned[0]")):
        assert fault_of(given, "") == where + ": the name of a file is empty [bad value]", fault_of(given, "")
        assert where + ": the library reads no standard input" in fault_of(given, "-"), fault_of(given, "-")
    assert "parameter rules: the library reads" in fault_of(loaded.dies, rules="-")
    said = fault_of(loaded.dies, tolerance=12)
    assert said.startswith("parameter tolerance: ") and "(found 12, limit 10)" in said, said
    # Nor does a name within a style lead there.
    inside = changed(place / "inside", lambda data: data["drawings"]["shell"].update(file="-"))
    before = os.getcwd()
    os.chdir(inside.parent)
    try:
        assert fault_of(module.Style, "style.json").startswith("./-: there is no such file"), fault_of(module.Style, "style.json")
    finally:
        os.chdir(before)


def no_pieces(data):
    for key in ("pieces", "seams", "proposed"):
        data.pop(key, None)


def check_table_of_measures(module, program, place):
    """A style without pieces gives its girths, and says why it gives nothing else."""
    file = changed(place / "table", no_pieces)
    table = module.Style(file)
    rows = list(csv.reader(line for line in run(program, "girths", file, "--format", "csv").splitlines() if not line.startswith("#")))
    girths = table.girths()
    wanted = {(row[2], row[0], row[1]): float(row[3]) for row in rows[1 : 1 + len(girths)]}
    assert len(girths) > 50 and all(abs(wanted[key] - mm) < 0.006 for key, mm in girths.items()), len(girths)
    for work in (table.grade, table.dies):
        assert 'the style has no "pieces"' in fault_of(work) and str(file) in fault_of(work), fault_of(work)


def look(data):  # the lasted edge of the vamp unlike its neighbours': cannot be known to be wrong
    next(edge for edge in data["pieces"][0]["edges"] if edge.get("name") == "feather")["allowance"] = 19


def contradicts(data):
    rule = {"measure_line": "too much", "from": "heel", "to": "joint", "carries": {"stick length": "1/39"}}
    data["formes"]["shell"]["rules"].append(rule)


def seen_at_work(work):
    begun, ended = [], []

    def other():
        begun.append(True)
        work()
        ended.append(True)

    thread = threading.Thread(target=other)
    thread.start()
    while not begun:
        time.sleep(0)
    seen = not ended
    thread.join()
    return seen


def compare_findings(findings, printed):
    """Every finding is a line of lastwright check --all, with its verdict, its place in parts and the way of its limit."""
    lines = iter(printed.splitlines())
    assert len(findings) > 100 and sum(one["look"] for one in findings) == printed.count("\n  LOOK ")
    least = points = 0
    for one in findings:
        verdict = "FAIL" if not one["passed"] else "LOOK" if one["look"] else "ok  " if one["limit"] is not None else "    "
        head = f"  {verdict} {one['check']:<16} {one['subject']:<44} "
        line = next((line for line in lines if line.startswith(head)), None)  # in the same order
        assert line, one
        assert line.endswith("  at " + one["where"] if one["where"] else ""), (one, line)
        if "(at least " in line or "(must stay above " in line:
            assert one["limit_is_least"], (one, line)
        if one["limit"] is not None and not one["look"]:
            held = one["worst"] >= one["limit"] if one["limit_is_least"] else one["worst"] <= one["limit"]
            assert held == one["passed"], one
        least += one["limit_is_least"]
        # The parts make up the words again.
        words = ", ".join(f"{what} {one[what]}" for what in ("size", "width") if one[what])
        if one["piece"]:
            words += ", of %s, at (%.1f, %.1f)" % (one["piece"], *one["point"])
            points += 1
        assert one["where"].startswith(words) and not re.match(r", of .*, at \(", one["where"][len(words):]), one
        assert bool(one["size"]) == one["where"].startswith("size "), one
    assert least > 10 and points > 10, (least, points)


with tempfile.TemporaryDirectory(prefix="lastwright-library-") as name:
    place = pathlib.Path(name)
    prefix = place / "installed"
    run(cmake, "--install", build, "--prefix", prefix)
    # What is not built yet: the install says which command builds it, the guide's own, and leaves nothing behind.
    script = (build / "cmake_install.cmake").read_text()
    library = re.search(r'"([^"]*liblastwright\.so[^"]*)"', script)[1]
    (place / "half.cmake").write_text(script.replace(library, library + " that is not there"))
    half = subprocess.run([cmake, f"-DCMAKE_INSTALL_PREFIX={place / 'half'}", "-P", place / "half.cmake"], capture_output=True, text=True)
    wanted = re.search(r"cmake --build build/release --target .*", (project / "cli/guide/80-library.md").read_text())[0]
    assert half.returncode != 0 and wanted in " ".join(half.stderr.split()), half
    assert not (place / "half").exists(), "half a copy was left"
    headers = sorted(path.name for path in prefix.rglob("*.hpp"))
    assert headers == ["lastwright.hpp"], headers
    program = prefix / "bin/lastwright"
    version = run(program, "--version").split()[-1]

    source = place / "examples"
    shutil.copytree(project / "demo-patterns/library", source)
    shutil.copy(project / "tests/outside/library/same_bytes.cpp", source)
    lists = source / "CMakeLists.txt"
    lists.write_text(lists.read_text().replace("all_outlines dies_to_make", "all_outlines dies_to_make same_bytes"))
    quick = ("-DCMAKE_BUILD_TYPE=Debug", "-DCMAKE_CXX_FLAGS_DEBUG=-O0")  # what takes the compiler the least time: nobody debugs these
    run(cmake, "-S", source, "-B", place / "made", f"-DCMAKE_PREFIX_PATH={prefix}", *quick)
    run(cmake, "--build", place / "made")
    cache = (place / "made/CMakeCache.txt").read_text()
    assert str(prefix) in cache and f"lastwright_DIR:PATH={prefix}" in cache, "another copy was found"

    # Every outline once, with as many segments as its drawing has (the graded folder holds some of the sizes).
    rows = {tuple(row[:3]): int(row[3]) for row in csv.reader(io.StringIO(run(place / "made/all_outlines", style)))}
    assert len(rows) == 17 * 17 * 5, len(rows)
    files = sorted(graded.glob("pieces/*/*.dxf"))
    assert len(files) == 340, len(files)
    for file in files[::9]:
        cut = ezdxf.readfile(file).modelspace().query('LWPOLYLINE[layer=="CUT"]')
        assert len(cut) == 1 and rows[file.parent.name, *file.stem.rsplit(" ", 2)[1:]] == len(cut[0]), file.name

    # The same bytes as the program wrote, and the same girths.
    own = place / "own"
    own.mkdir()
    said = run(place / "made/same_bytes", style, own)
    assert said.count("refused: ") == 5, said
    # A fault of the grade names the style, and holds the figures that the program prints.
    faulty = changed(place / "contradicts", contradicts)
    said = run(place / "made/same_bytes", style, own, faulty)
    assert "(found -16.3" in said and ", limit 0.001)" in said, said
    drawings = sorted(own.glob("*.dxf"))
    assert len(drawings) == 34, len(drawings)
    for drawing in drawings:
        twin = next(graded.glob(f"pieces/*/{drawing.name}"))
        assert drawing.read_bytes() == twin.read_bytes(), drawing.name
    table = run(program, "girths", style, "--format", "csv")
    got = [line.split(";") for line in (own / "girths.txt").read_text().splitlines()]
    count = len(got)
    lines = [line for line in table.splitlines() if line and not line.startswith("#")]
    wanted = {tuple(row[k] for k in (2, 0, 1)): float(row[3]) for row in csv.reader(lines[1 : 1 + count]) if len(row) == 5}
    assert count >= 5 * 85 and count == len(wanted), (count, len(wanted))
    for measure, size, width, mm in got:
        assert abs(wanted[measure, size, width] - float(mm)) < 0.006, (measure, size, width, mm)

    # The Python module: every cut line as the drawing has it, every girth, and faults as exceptions.
    run(cmake, "-S", source / "python", "-B", place / "module", f"-DCMAKE_PREFIX_PATH={prefix}", "-DPYTHON_EXECUTABLE=/usr/bin/python3",
        *quick)
    run(cmake, "--build", place / "module")
    sys.path.insert(0, str(place / "module"))
    import lastwright as module

    assert module.__version__ == version
    style_in_python = module.Style(str(style))
    graded_in_python = style_in_python.grade()
    cut_lines = graded_in_python.cut_lines()
    assert len(cut_lines) == len(rows) and graded_in_python.failed() == []
    for file in files[::9]:
        drawn = ezdxf.readfile(file).modelspace().query('LWPOLYLINE[layer=="CUT"]')[0].get_points("xyb")
        key = (file.parent.name, *file.stem.rsplit(" ", 2)[1:])
        ours = cut_lines[key]
        assert ours.shape == (len(drawn), 3) and abs(ours - drawn).max() < 1e-6, key
        piece = graded_in_python.piece(*key)
        assert (piece["cut"] == ours).all() and len(piece["net"]) > 2, key
    measured = style_in_python.girths()
    assert len(measured) >= count and all(abs(measured[m, s, w] - float(mm)) < 1e-6 for m, s, w, mm in got)
    for broken in (lambda: module.Style("nowhere.json"), lambda: graded_in_python.piece("vamp", "8", "no width")):
        try:
            broken()
        except ValueError as fault:
            assert "nowhere.json" in str(fault) or "no width" in str(fault), fault
        else:
            raise AssertionError("no ValueError")

    # The same by Python: drawings, outlines, findings with all that the program tells of them, and dies.
    assert graded_in_python.dxf("vamp", "5", "H") == (own / "vamp 5 H.dxf").read_bytes()
    to_look_at = changed(place / "look", look)
    looked = module.Style(str(to_look_at)).grade()
    findings = looked.findings()
    compare_findings(findings, run(program, "check", to_look_at, "--all"))
    looks = [one for one in findings if one["look"]]
    assert len(looks) == 3 and all(one["passed"] and one["note"] for one in looks) and looked.failed() == [], looks
    told = subprocess.run([place / "made/all_outlines", to_look_at], capture_output=True, text=True)
    assert told.returncode == 0 and told.stderr.count("look: ") == 3, told.stderr
    some = looked.outlines()["vamp", "8", "F"]
    same = looked.piece("vamp", "8", "F")
    assert (some["cut"] == same["cut"]).all() and [name for name, _ in some["lines"]] == [name for name, _ in same["lines"]]
    order = module.Style(str(to_look_at)).dies(tolerance=0)
    assert order["to_make"] == sum(die["to_make"] for die in order["dies"]) and order["failed"] == [] and len(order["dies"]) > 17
    assert {"number", "piece", "drawn_as", "serves", "to_make", "shape"} == set(order["dies"][0]), order["dies"][0].keys()
    assert style_in_python.notes == [] and len(order["dies"][0]["shape"]["cut"]) > 2
    for wrong in (lambda: module.Style(str(faulty)).grade(), lambda: module.Style(str(faulty)).dies()):
        try:
            wrong()
        except ValueError as fault:
            assert str(fault).startswith(str(faulty)), fault
        else:
            raise AssertionError("no ValueError")

    check_names_of_files(module, program, place)
    check_table_of_measures(module, program, place)

    # The lock of the interpreter is given up while the work is done: another thread sees it begun and not yet done.
    sys.setswitchinterval(1e6)  # never taken away
    for work in (lambda: module.Style(str(to_look_at)), lambda: looked.piece("vamp", "8", "F"), lambda: looked.dxf("vamp", "8", "F")):
        assert any(seen_at_work(work) for _ in range(300)), "the lock is held"
    sys.setswitchinterval(0.005)

    # Dies at a tolerance; 0 makes one for each size and width, which needs no proof.
    said = run(place / "made/dies_to_make", to_look_at, 0)
    assert " dies to make, at least " in said and "FAILED" not in said, said
    print(f"version {version}: {len(rows)} outlines, {len(drawings)} drawings of the same bytes, {count} girths; {said.strip()}")

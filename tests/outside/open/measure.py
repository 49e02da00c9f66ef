"""How long a change takes until its picture is there, measured through the server: by hand, on a release build.
usage: measure.py LASTWRIGHT STYLE-FOLDER [ROUNDS]
"""
import os
import pathlib
import shutil
import statistics
import sys
import time

from opened import Opened

program, folder, rounds = sys.argv[1], pathlib.Path(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 9

# What is changed, the piece whose nest is asked for, and two values to go between.
CHANGES = [
    ("an allowance", "outside quarter", "/pieces/2/edges/2/allowance", (4, 4.5)),
    ("a feature's inset", "outside quarter", "/pieces/2/features/0/inset", (11, 11.5)),
    ("a corner's form", "outside quarter", "/pieces/2/corners/facing top/form", ("square", "round")),
    ("a corner moved", "vamp", "/pieces/0/corners/cap foot", ("cap foot", [216.3, -8.47])),
    ("a seam's ease", "vamp", "/seams/0/ease", (0, 0.05)),
    ("a limit", "vamp", "/limits/hole_to_edge", (2.4, 2.3)),
    ("an edge held", "vamp", "/pieces/0/edges/1/held", (False, True)),
    ("a point of the forme", "outside quarter", "/formes/shell/points/instep top", ([166, 88.504452], [166.2, 88.5])),
    ("a step of a measure", "outside quarter", "/measures/ball girth/per_size", ("1/4 in", "6 mm")),
    ("a step of the bottom", "outsole", "/measures/seat/per_size", ("1/16 in", "1/15 in")),
]



def spent(opened):
    """Processor time of the server so far, ms: what a change costs however busy the machine is, in steps of the system's clock."""
    fields = pathlib.Path(f"/proc/{opened.process.pid}/stat").read_text().rpartition(")")[2].split()
    return 1000 * (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


with Opened(program, folder) as opened:
    opened.enter()
    opened.ask("/state", piece="vamp")
    opened.ask("/checks")
    print(f"{'what is changed':24} {'to picture, ms':>20} {'to checks, ms':>20}   median (least) of {rounds}; processor time of both, a mean")
    for name, piece, pointer, values in CHANGES:
        picture, checks, seen, judged = [], [], 0.0, 0.0
        for i in range(rounds + 1):
            began, start = time.perf_counter(), spent(opened)
            status, state = opened.ask("/change", piece=piece, cell=32, sheet="after", says=name, edits=[{"do": "set", "at": pointer, "to": values[(i + 1) % 2]}])
            shown, drawn = time.perf_counter(), spent(opened)
            if status != 200 or state["problems"]:
                sys.exit(f"{name}: {status} {state.get('problems')}")
            if state.get("sheet_after") and opened.ask("/sheet", cell=32)[1]["problems"]:
                sys.exit(f"{name}: what was made for the sheet")
            answer = opened.ask("/checks")[1]
            if "findings" not in answer:
                sys.exit(f"{name}: {answer}")
            if i:  # the first change of a kind may find more to do
                seen += (drawn - start) / rounds
                judged += (spent(opened) - start) / rounds
                picture.append(1000 * (shown - began))
                checks.append(1000 * (time.perf_counter() - began))
        print(f"{name:24} {statistics.median(picture):11.0f} ({min(picture):5.0f}) {statistics.median(checks):11.0f} ({min(checks):5.0f}) {seen:8.0f} {judged:8.0f}")
    print(f"memory: {opened.memory():.0f} MB at most")
shutil.rmtree(opened.folder)

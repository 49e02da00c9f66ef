#!/usr/bin/python3
"""The comparison must see damage, and must not see what is no damage.

usage: compare_test.py COMPARE.py GOLDEN_FOLDER SCRATCH_FOLDER
"""
import pathlib
import re
import shutil
import subprocess
import sys

compare, golden, scratch = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
NAME = "nests/vamp sizes in F.svg"


def run(name, change):
    folder = scratch / name
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(golden, folder / "new")
    picture = folder / "new" / NAME
    text = picture.read_text(encoding="utf-8")
    changed = change(text)
    picture.write_text(changed, encoding="utf-8")
    done = subprocess.run([sys.executable, compare, golden, folder / "new", folder / "overlays"], capture_output=True, text=True)
    return done.returncode, done.stdout, changed != text, (folder / "overlays" / NAME).exists()


def nudge(by):
    """Moves one point of the first outline."""
    return lambda text: re.sub(r'(id="outline-1"[^>]*>\s*<path d="M[\d.]+ [\d.]+ [AL][^A-Z]* )([\d.]+)( )([\d.]+)(?= [ALZ])',
                               lambda m: f"{m[1]}{float(m[2]) + by:.4f}{m[3]}{float(m[4]) + by:.4f}", text, count=1)


failures = []
for name, change, wanted in (
    ("same", lambda t: t, 0),
    ("hair", nudge(0.002), 0),
    ("moved", nudge(0.05), 1),
    ("word", lambda t: t.replace(">throat<", ">toe<"), 1),
    ("colour", lambda t: t.replace("#0072b2", "#0072b3", 1), 1),
    ("lost", lambda t: re.sub(r'\n    <path[^\n]*', "", t, count=1), 1),
):
    code, said, changed, overlay = run(name, change)
    if changed != (name != "same"):
        failures.append(f"{name}: nothing was changed")
    if code != wanted or overlay != bool(wanted):
        failures.append(f"{name}: exit {code}, wanted {wanted}; overlay {overlay}; {said}")
for failure in failures:
    print("FAILED:", failure)
print("the comparison sees damage" if not failures else "")
sys.exit(1 if failures else 0)

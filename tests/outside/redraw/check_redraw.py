#!/usr/bin/python3
"""Changed drawings: lastwright redraw finds every corner and point again or refuses; it is never wrong.

usage: check_redraw.py PROGRAM [--count DRAWINGS] [--seed FIRST] [--keep DIR]

Random sound styles (tests/outside/equal) are drawn, then drawn again with one to three changes (changed.py), and redraw gets both.
Where each corner then is, is known: what redraw writes is measured against it. Prints how often each change was found, refused or wrong.
Fails where anything is wrong, where a written style does not load, and where too many changes that alter nothing are refused.
"""
import argparse
import collections
import copy
import json
import pathlib
import random
import shutil
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "equal"))
try:
    import shapely  # noqa: F401  the styles' makers measure with it
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

from changed import CHANGES, nodes, pieces_on
from drawing import draw, write_style
from styles import make_style

SAME = 0.06  # mm: what redraw calls drawn at the same place, and the rounding of a style
LAYOUTS = ({}, {}, {"layout": "layers"}, {"layout": "one layer"}, {"layout": "open"})


def run(program, *words):
    done = subprocess.run([program, *map(str, words)], capture_output=True, text=True, timeout=120)
    assert done.returncode in (0, 1, 2, 3, 4, 5, 6), (words, done.returncode, done.stderr)
    return done


def place_of(style, piece, spot):
    """Coordinates of a corner as the style gives it."""
    spot = spot["at"] if isinstance(spot, dict) else spot
    return complex(*(style["formes"][piece["forme"]]["points"][spot] if isinstance(spot, str) else spot))


def wrongs(style, make, key):
    """What the written style has elsewhere than it is drawn."""
    out = []
    drawn = {make["renamed"].get(p["entry"]["name"], p["entry"]["name"]): p for p in pieces_on(make, key)}
    for entry in style["pieces"]:
        if entry["forme"] != key:
            continue
        if entry["name"] not in drawn:
            out.append(f"{entry['name']} is no longer drawn")
            continue
        piece = drawn[entry["name"]]
        gone = {i for name, i in make["gone"] if name == piece["entry"]["name"]}
        for i, (corner, there) in enumerate(zip(piece["corners"], nodes(piece))):
            at = place_of(style, entry, entry["corners"][corner["name"]])
            if i in gone:
                out.append(f"{entry['name']} {corner['name']} is cut off, and was taken for {at}")
            elif abs(at - there) > SAME:
                out.append(f"{entry['name']} {corner['name']} at {at} is drawn at {there}")
    for forme, was, now in make["moved"]:
        for name, at in style["formes"][forme]["points"].items():
            if abs(complex(*at) - was) < 1e-6 and abs(now - was) > SAME:
                out.append(f"point {name} stays at {was}, and what was drawn there is at {now}")
    return out


def trial(program, folder, seed):
    """(changes, verdict, harmless, why)."""
    rng = random.Random(f"redraw {seed}")
    make = make_style(rng.randrange(10**6))
    way = dict(rng.choice(LAYOUTS))
    shutil.rmtree(folder, ignore_errors=True)
    style = write_style(make, way, folder)
    if run(program, "check", style).returncode not in (0, 1):
        return [], "unsound", False, ""
    key = rng.choice(list(make["style"]["formes"]))
    changed, new_way = copy.deepcopy(make), dict(way)
    changed.update(moved=[], torn=[], gone=[], renamed={}, dropped=[], extra=[], apart=False)
    names, harmless = [], True
    for name in rng.sample(list(CHANGES), rng.choice((1, 1, 1, 2, 3))):
        if name == "piece_renamed" and way.get("layout") == "one layer":
            continue
        said = CHANGES[name](rng, changed, new_way, key)
        if said is None:
            continue
        names.append(name)
        harmless = harmless and said
    if not names:
        return [], "does not apply", False, ""
    there = folder / "new.dxf"
    draw(pieces_on(changed, key) + changed["extra"], new_way, there)
    out = folder / "redrawn.json"
    done = run(program, "redraw", style, f"{key}={there}", "--out", out)
    if done.returncode != 0:
        if out.exists():
            return names, "wrong", harmless, "refused, and a style is written"
        if done.returncode != 4 and done.returncode != 3 or not done.stderr:
            return names, "wrong", harmless, f"exit code {done.returncode}: {done.stderr}"
        return names, "refused", harmless, done.stderr
    found = wrongs(json.loads(out.read_text()), changed, key)
    if not found and run(program, "check", out).returncode not in (0, 1, 4):
        found.append("the written style does not load: " + run(program, "check", out).stderr)
    return names, "wrong" if found else "found", harmless, "; ".join(found[:3])


def main():
    asked = argparse.ArgumentParser()
    asked.add_argument("program")
    asked.add_argument("--count", type=int, default=200)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--keep")
    asked.add_argument("--tell", action="store_true", help="print what was refused")
    asked = asked.parse_args()
    table, harmless_table, wrong = collections.defaultdict(collections.Counter), collections.Counter(), []
    with tempfile.TemporaryDirectory() as scratch:
        done, seed = 0, asked.seed
        while done < asked.count:
            folder = pathlib.Path(asked.keep or scratch) / (str(seed) if asked.keep else "one")
            names, verdict, harmless, why = trial(asked.program, folder, seed)
            if names:
                done += 1
                for name in names:
                    table[name][verdict] += 1
                table["all"][verdict] += 1
                if harmless:
                    harmless_table[verdict] += 1
                if verdict == "wrong":
                    wrong.append(f"{seed} {'+'.join(names)}: {why}")
                if asked.tell and verdict == "refused" and not any(n in ("piece_gone", "piece_put_elsewhere", "corner_moved_in_one", "corner_cut_off") for n in names):
                    print(seed, "+".join(names), why.strip()[:600])
            seed += 1
    print(f"{'change':24}{'found':>8}{'refused':>8}{'wrong':>8}")
    for name in [*CHANGES, "all"]:
        row = table[name]
        print(f"{name:24}{row['found']:8}{row['refused']:8}{row['wrong']:8}")
    print(f"of those that alter nothing: {harmless_table['found']} found, {harmless_table['refused']} refused")
    for line in wrong:
        print("WRONG", line)
    assert not wrong, f"{len(wrong)} wrong"
    assert harmless_table["found"] >= 0.8 * sum(harmless_table.values()), "too much is refused that alters nothing"
    assert table["all"]["refused"] > 0, "nothing was refused: the changes are too small to tell anything"


main()

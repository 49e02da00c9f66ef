#!/usr/bin/python3
"""Equal styles, equal sets: random sound styles graded before and after changes that must not change what is cut.

usage: check_equal.py PROGRAM [--count STYLES] [--seconds S] [--seed FIRST] [--each CHANGES] [--changes A,B] [--keep DIR] [--all]

Grades the named cases, then each style and CHANGES of its changes (all unless given), compares the sets (compare.py), and
prints a table: how often each change was equal, unequal, refused. What fails is made smaller and kept in DIR as
change-seed, with both styles and what was expected: moved to cases/ under a name of its own it is a named case. --all
compares every size and width, not only the ends of the run and the base. Fails where anything is unequal that known.txt
does not name.
"""
import argparse
import collections
import copy
import json
import pathlib
import random
import shutil
import sys
import tempfile
import time

try:
    import numpy
    import shapely
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

import drawn  # noqa: F401  these changes join the others
import elsewhere  # noqa: F401
import sizes_changed  # noqa: F401
from changes import CHANGES
from curves import Motion
from compare import FAR, Graded, refusal, sets_gap
from drawing import write_style
from shrink import shrunk
from styles import make_style

LIMIT = 0.005  # mm: what an outline may leave the exact map by, tolerance::kMapped


class Trial:
    """One style and one change: both graded and compared in a folder."""

    def __init__(self, program, folder, all_cells):
        self.program, self.folder, self.all_cells, self.before = program, folder, all_cells, "one"

    def base(self, make, name="one"):
        return Graded(self.program, write_style(make, {}, self.folder / name), self.folder / name / "out")

    def cells(self, make):
        sizes, widths = make["sizes"], make["style"]["run"]["widths"]
        if self.all_cells:
            return [(s, w) for s in sizes for w in widths]
        base = make["style"]["base"]
        return list(dict.fromkeys([(base["size"], base["width"]), (sizes[0], widths[0]), (sizes[-1], widths[-1])]))

    def run(self, make, name, seed, base=None):
        """(verdict, distance, where or why): verdict is equal, unequal, refused, unsound or does not apply."""
        before = copy.deepcopy(make)
        made = CHANGES[name]
        self.before = "one"
        if hasattr(made, "prepare"):
            made.prepare(before)
            self.before, base = "prepared", None
        base = base or self.base(before, self.before)
        if not base.made:
            return "unsound", 0.0, refusal(base.said)
        after = copy.deepcopy(before)
        self.expected = made(random.Random(f"{seed} {name}"), after, base)
        if self.expected is None:
            return "does not apply", 0.0, ""
        style = write_style(after, self.expected.pop("way", {}), self.folder / "other")
        some = self.expected.get("cells")
        self.expected["cells"] = [c for c in self.cells(make) if not some or c in some] or some[:2]
        self.expected.setdefault("pieces", [p["entry"]["name"] for p in make["pieces"]])
        return judged(base, self.graded(style), self.expected)

    def graded(self, style):
        return Graded(self.program, style, style.parent / "out", self.expected.get("options", ()))


def judged(base, other, expected):
    if not other.made:
        return "refused", FAR, f"exit {other.code}: {refusal(other.said)}"
    cells = expected.get("against") or [[cell, cell] for cell in expected["cells"]]
    motion = Motion(*expected["motion"]) if "motion" in expected else None
    gap, where = sets_gap(base, other, cells, expected["pieces"], motion, expected.get("names"), expected.get("skip", ()))
    limit = expected.get("limit", LIMIT)
    if gap > limit and gap > limit + (base.told(expected["told"]) if "told" in expected else 0.0):
        return "unequal", gap, where
    ignored = expected.get("ignore", ())
    if ignored is not True:
        differ = [c for c in set(base.failed) ^ set(other.failed) if c not in ignored]
        if differ or (not ignored and base.code != other.code):
            return "unequal", FAR, f"exit {base.code} and {other.code}; failed in one only: {', '.join(sorted(differ))}"
    return "equal", gap, where


def named_cases(trial):
    """(name, verdict, distance, where) of every folder in cases/."""
    for case in sorted(pathlib.Path(__file__).with_name("cases").glob("*/expected.json")):
        trial.expected = json.loads(case.read_text(encoding="utf-8"))
        for part in ("one", "other"):
            shutil.copytree(case.parent / part, trial.folder / part, dirs_exist_ok=True)
        base = Graded(trial.program, trial.folder / "one" / "style.json", trial.folder / "one" / "out")
        yield (case.parent.name, *judged(base, trial.graded(trial.folder / "other" / "style.json"), trial.expected))


def keep(trial, options, make, name, seed, verdict, where):
    """The smallest style for which it still fails in the same layer or with the same words; the pieces it has."""
    way = where.rpartition(", ")[2]

    def fails(m):
        again, _, there = trial.run(m, name, seed)
        return again == verdict and there.rpartition(", ")[2] == way

    small = shrunk(make, fails)
    _, gap, where = trial.run(small, name, seed)
    place = pathlib.Path(options.keep) / f"{name}-{seed}"
    shutil.rmtree(place, ignore_errors=True)
    for part, called in ((trial.before, "one"), ("other", "other")):
        shutil.copytree(trial.folder / part, place / called, ignore=shutil.ignore_patterns("out"))
    amount = "refused" if gap >= FAR else f"{gap:.4f} mm"
    text = f"{name}: {amount}: {where}\nstyle {seed} made smaller; both are graded with --pictures none and should be equal\n"
    (place / "README").write_text(text, encoding="utf-8")
    (place / "expected.json").write_text(json.dumps(trial.expected), encoding="utf-8")
    return len(small["pieces"])


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--count", type=int, default=10**9)
    parser.add_argument("--seconds", type=float, default=10**9)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--each", type=int, default=0)
    parser.add_argument("--changes", default="")
    parser.add_argument("--keep", default="")
    parser.add_argument("--all", action="store_true")
    options = parser.parse_args()
    names = options.changes.split(",") if options.changes else list(CHANGES)
    table = {name: collections.Counter() for name in names}
    worst, unsound, failing, bad = {}, collections.Counter(), collections.Counter(), []
    known = known_finds()
    started = time.monotonic()
    styles = 0
    with tempfile.TemporaryDirectory() as scratch:
        trial = Trial(options.program, pathlib.Path(scratch), options.all)
        for name, verdict, gap, where in named_cases(trial):
            print(f"case {name}: {verdict} {'' if gap >= FAR else f'{gap:.6f} mm '}{where}")
            if verdict != "equal" and not is_known(known, f"case {name} {where}", gap):
                bad.append(f"case {name}: {verdict} {where}")
        for seed in range(options.seed, options.seed + options.count):
            if time.monotonic() - started > options.seconds:
                break
            styles += 1
            make = make_style(seed)
            base = trial.base(make)
            if not base.made:
                unsound[refusal(base.said)] += 1
                continue
            failing.update(base.failed)
            # In turn, so that few styles try every change.
            each = min(options.each or len(names), len(names))
            some = [names[(seed * each + k) % len(names)] for k in range(each)]
            for name in some:
                verdict, gap, where = trial.run(make, name, seed, base)
                table[name][verdict] += 1
                if verdict == "equal":
                    worst[name] = max(worst.get(name, 0.0), gap)
                elif verdict in ("unequal", "refused"):
                    if not is_known(known, f"{name} {where}", gap):
                        bad.append(f"style {seed}, {name}: {verdict} {'' if gap >= FAR else f'{gap:.4f} mm '}{where}")
                    if options.keep and table[name][verdict] <= 3:
                        pieces = keep(trial, options, make, name, seed, verdict, where)
                        base = trial.base(make)
                        bad[-1:] = [f"{line} (kept with {pieces} pieces)" for line in bad[-1:]]
    report(table, worst, styles, unsound, failing, bad)
    sys.exit(1 if bad or styles > 0 and sum(c["equal"] for c in table.values()) == 0 else 0)


def known_finds():
    """(parts of what is said, how far it may be), as known.txt has them."""
    lines = pathlib.Path(__file__).with_name("known.txt").read_text(encoding="utf-8").splitlines()
    halves = [line.removesuffix(" mm").rpartition(" up to ") for line in lines if line and not line.startswith("#")]
    return [(text.split(" ... "), float(most)) for text, _, most in halves]


def is_known(known, said, gap):
    return any(all(part in said for part in parts) and gap <= most for parts, most in known)


def report(table, worst, styles, unsound, failing, bad):
    print(f"{'change':<24}{'equal':>7}{'unequal':>9}{'refused':>9}{'unsound':>9}   worst of the equal, mm")
    for name, counts in table.items():
        print(f"{name:<24}{counts['equal']:>7}{counts['unequal']:>9}{counts['refused']:>9}{counts['unsound']:>9}   {worst.get(name, 0.0):.6f}")
    total = sum(table.values(), collections.Counter())
    compared = total["equal"] + total["unequal"] + total["refused"]
    print(f"{styles} styles, {sum(unsound.values())} refused; {total['equal']} of {compared} styles and changes equal")
    for words, count in unsound.most_common():
        print(f"  refused {count} times: {words}")
    for words, count in failing.most_common():
        print(f"  checks failed in {count} styles: {words}")
    for line in bad[:60]:
        print("FAILED:", line)


if __name__ == "__main__":
    main()

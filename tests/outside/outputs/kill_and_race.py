#!/usr/bin/python3
"""Kills runs at random moments, and lets runs race for one folder: afterwards the old set or a new one, whole."""
import hashlib
import json
import os
import pathlib
import random
import signal
import subprocess
import sys
import tempfile
import time

program = sys.argv[1]
failures = []
seed = 20240229
random.seed(seed)
FILES, BYTES = 150, 4000


def run(folder, mark, *more):
    return subprocess.Popen([program, "set", str(folder), str(FILES), str(BYTES), mark, *more], stderr=subprocess.PIPE, text=True)


def state_of(folder):
    """The mark of the whole set in the folder, None for no folder, or a word that says what is wrong."""
    if not folder.exists():
        return None
    try:
        manifest = json.loads((folder / "manifest.json").read_text())
    except (OSError, ValueError) as trouble:
        return f"no manifest: {trouble}"
    listed = {f["name"]: f for f in manifest["files"]}
    found = {str(p.relative_to(folder)): p for p in folder.rglob("*") if p.is_file() and p.name != "manifest.json"}
    if set(listed) != set(found):
        return f"{len(found)} files, {len(listed)} listed"
    marks = set()
    for name, path in found.items():
        data = path.read_bytes()
        if len(data) != listed[name]["size"] or hashlib.sha256(data).hexdigest() != listed[name]["sha256"]:
            return f"{name} is not what the manifest says"
        marks.add(data[:1].decode())
    return marks.pop() if len(marks) == 1 and len(found) == FILES else f"mixed: {marks}, {len(found)} files"


def check(holds, what):
    if not holds:
        failures.append(what)


# In memory where there is such a disk: the same calls, and no waiting for a real one.
MEMORY = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
with tempfile.TemporaryDirectory(dir=MEMORY) as scratch:
    out = pathlib.Path(scratch) / "out"
    started = time.monotonic()
    check(run(out, "a").wait() == 0, "the first run failed")
    takes = time.monotonic() - started
    check(state_of(out) == "a", f"after the first run: {state_of(out)}")

    outcomes = {"old": 0, "new": 0}
    for attempt in range(20):
        old = state_of(out)
        new = "b" if old == "a" else "a"
        process = run(out, new, "--force")
        time.sleep(random.random() * takes * 2)
        process.send_signal(signal.SIGKILL)
        process.wait()
        now = state_of(out)
        check(now in (old, new), f"killed run {attempt}: {now}")
        outcomes["new" if now == new else "old"] += 1
    print(f"20 killed runs of {takes:.2f} s: the old set {outcomes['old']} times, the new one {outcomes['new']} times")
    check(outcomes["old"] > 0, "no run was killed before it was done")
    check(run(out, "c", "--force").wait() == 0 and state_of(out) == "c", "the run after the killed ones")
    left = [p.name for p in pathlib.Path(scratch).iterdir() if p != out]
    check(not left, f"left behind: {left}")

    # Two without force into a folder that is not there: one wins, the other is told.
    for attempt in range(6):
        folder = pathlib.Path(scratch) / f"race {attempt}"
        both = [run(folder, mark) for mark in "ab"]
        codes = [p.wait() for p in both]
        check(sorted(codes) == [0, 5], f"race {attempt}: exit codes {codes}")
        check(state_of(folder) == "ab"[codes.index(0)], f"race {attempt}: {state_of(folder)}")
    # Three with force: all may win, the last stays.
    for attempt in range(6):
        many = [run(out, mark, "--force") for mark in "xyz"]
        for process in many:
            errors = process.communicate()[1]
            check(process.returncode in (0, 5, 6), f"forced race {attempt}: {process.returncode} {errors}")
        check(state_of(out) in ("x", "y", "z", "c"), f"forced race {attempt}: {state_of(out)}")
    left = [p.name for p in pathlib.Path(scratch).iterdir() if p.name.startswith(".")]
    check(not left, f"left behind by the races: {left}")

print(f"seed {seed}")
for failure in failures:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

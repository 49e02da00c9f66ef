#!/usr/bin/python3
"""The same input gives the same bytes: check_same_bytes.py LASTWRIGHT [ANOTHER BUILD] [--threads SHIM]

Every command that writes, under other locales, time zones, thread counts, umasks, working folders, dates and environments:
all of them at once, which costs two runs a command; only where the bytes differ each is tried alone, to name the one that
did it. (Meshes of lasts: tests/outside/last.) With SHIM (thread_shim.cpp): and `--threads` is kept, by counting the threads that are started.
"""
import hashlib
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

arguments = sys.argv[1:]
shim = pathlib.Path(arguments[arguments.index("--threads") + 1]).resolve() if "--threads" in arguments else None
programs = [pathlib.Path(a).resolve() for a in (arguments[:arguments.index("--threads")] if shim else arguments)]
project = pathlib.Path(__file__).resolve().parents[3]
demo = project / "demo-patterns" / "cindergarth"
slipper = project / "tests" / "golden" / "slipper"
failures = []
LONG = bool(os.environ.get("TESTS_LONG"))  # the demo itself, of which the short run takes some sizes of one width, or a slipper


def locales():
    said = subprocess.run(["locale", "-a"], capture_output=True, text=True).stdout.split() if shutil.which("locale") else []
    # One with a decimal comma where there is one; otherwise the name alone, which must not matter either.
    comma = [name for name in said if name.lower().startswith(("de_", "fr_", "ru_", "tr_", "pl_"))]
    return comma[:2] or ["de_DE.UTF-8"]


SETTINGS = {"plain": {}, "another time zone": {"TZ": "Pacific/Chatham"}, "no home": {"HOME": "/nowhere", "USER": "somebody", "HOSTNAME": "elsewhere"},
            "SOURCE_DATE_EPOCH": {"SOURCE_DATE_EPOCH": "1"}, "memory filled": {"MALLOC_PERTURB_": "165"},
            **{f"locale {name}": {"LC_ALL": name, "LANG": name} for name in locales()}}
DATED = ("plot", "xlsx", "dies")
THREADED = ("grade", "grade, both profiles", "plot", "report", "report with dies", "dies", "check", "last grade", "compare")
COMMANDS = {
    "grade": lambda out: ["grade", demo / "style.json", "--out", out, "--sizes", "5,13", "--widths", "D"] if LONG else ["grade", small / "style.json", "--out", out],
    "grade, both profiles": lambda out: ["grade", (demo if LONG else small) / "style.json", "--out", out, "--sizes", "8", "--widths", "F", "--profile", "both"],
    "plot": lambda out: ["plot", slipper / "style.json", "--out", out],
    "xlsx": lambda out: ["girths", demo / "style.json", "--format", "xlsx", "--out", out],
    "html": lambda out: ["girths", demo / "style.json", "--format", "html", "--out", out],
    "new": lambda out: ["new", (demo if LONG else slipper) / "shell.dxf", "--out", out],
    "report": lambda out: ["report", small / "style.json", "--out", out],
    "readings": lambda out: ["girths", demo / "style.json", "--readings", demo / "readings.csv"],
    "dies": lambda out: ["dies", slipper / "style.json", "--out", out],
    "report with dies": lambda out: ["report", slipper / "style.json", "--order", order, "--date", "3 June", "--out", out],
    "check": lambda out: ["check", slipper / "style.json"],
    "last grade": lambda out: ["last", "grade", demo / "last.json", "--out", out, "--sizes", "5,8", "--widths", "F"],
    "last measure": lambda out: ["last", "measure", demo / "last.step"],
    "sizes": lambda out: ["sizes", "--list"],
    "redraw": lambda out: ["redraw", small / "style.json", f"shell={demo / 'shell.dxf'}", "--was", f"shell={demo / 'shell.dxf'}", "--out", out],
    "compare": lambda out: ["compare", slipper / "style.json", slipper / "style.json", "--out", out],
}


def digest(program, command, environment, umask=0o022, more=()):
    with tempfile.TemporaryDirectory(dir="/dev/shm" if os.access("/dev/shm", os.W_OK) else None) as folder:
        out = pathlib.Path(folder) / "out"
        counts = pathlib.Path(folder) / "threads"
        counted = {"LD_PRELOAD": str(shim), "THREAD_COUNT": str(counts)} if shim and more else {}
        ended = subprocess.run([program, *COMMANDS[command](out), *more], cwd=folder, env={**os.environ, **environment, **counted}, capture_output=True,
                               preexec_fn=lambda: os.umask(umask))
        if ended.returncode not in (0, 1):
            failures.append(f"{command}: exit code {ended.returncode} {ended.stderr.decode(errors='replace')[:300]}")
        if counted:
            started = sum(int(line) for line in counts.read_text().split())
            if more == ONE_THREAD and started > 0 or more != ONE_THREAD and started == 0:
                failures.append(f"{command} {' '.join(more)}: {started} threads were started besides the first")
        files = sorted(p for p in out.rglob("*") if p.is_file()) if out.is_dir() else [out] if out.exists() else []
        total = hashlib.sha256(b"" if files else ended.stdout)
        for file in files:
            total.update(str(file.relative_to(folder)).encode() + b"\0" + file.read_bytes())
        return total.hexdigest()


ONE_THREAD = ("--threads", "1")
OTHER_UMASK = 0o077

# The demo in a few sizes of one width, which takes less time.
smaller = tempfile.TemporaryDirectory()
small = pathlib.Path(smaller.name)
style = json.loads((demo / "style.json").read_text())
style["run"] = {**style["run"], "from": "7.5", "to": "8.5", "widths": ["F"]}
for piece in style["pieces"]:
    piece.pop("sizes_tied", None)
    for feature in piece.get("features", []):
        feature.pop("counts", None)
for drawing in style["drawings"].values():
    shutil.copy(demo / drawing["file"], small)
(small / "style.json").write_text(json.dumps(style))
ordered = tempfile.TemporaryDirectory()
order = pathlib.Path(ordered.name) / "order"
put = subprocess.run([programs[0], "dies", slipper / "style.json", "--out", order], capture_output=True, text=True)
if put.returncode != 0:
    failures.append(f"the order of a report: {put.returncode} {put.stderr}")

for command in COMMANDS:
    wanted = digest(programs[0], command, {}, more=ONE_THREAD if command in THREADED else ())
    settings = dict(SETTINGS)
    if command in DATED:  # the date stands in these files: the same date, the same bytes
        epoch = settings.pop("SOURCE_DATE_EPOCH")
        if digest(programs[0], command, epoch) != digest(programs[0], command, {**epoch, "TZ": "Pacific/Chatham"}):
            failures.append(f"{command}: other bytes with one SOURCE_DATE_EPOCH")
    threads = [("--threads", "7")] if command in THREADED else [()]
    at_once = {key: value for setting in settings.values() for key, value in setting.items()}
    tried = [("all settings at once and " + " ".join(more), programs[0], at_once, OTHER_UMASK, more) for more in threads]
    tried += [(f"built as {program}", program, {}, 0o022, ()) for program in programs[1:]]
    differ = [name for name, program, environment, umask, more in tried if digest(program, command, environment, umask, more) != wanted]
    if differ:
        alone = [(name, environment, 0o022, ()) for name, environment in settings.items()]
        alone += [("umask 077", {}, OTHER_UMASK, ()), *((" ".join(more), {}, 0o022, more) for more in threads if more)]
        differ += [name for name, environment, umask, more in alone if digest(programs[0], command, environment, umask, more) != wanted]
        failures.append(f"{command}: other bytes with {', '.join(differ)}")
    print(f"{command:<22} {wanted[:16]} the same in {len(tried)} other runs" if not failures else f"{command}: see below")
for failure in failures:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

#!/usr/bin/python3
"""Every command that writes, on a disk that fails: check_faults.py LASTWRIGHT DEMO-FOLDER FAULT-SHIM GRADED-LASTS [COMMAND ...]

Afterwards there is what was there before, or the whole new output, nothing between and nothing beside it; the exit code is a
documented one and the message says what to do.
"""
import errno
import hashlib
import json
import os
import pathlib
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time

program, demo, shim, graded_lasts = (pathlib.Path(a).resolve() for a in sys.argv[1:5])
LONG = bool(os.environ.get("TESTS_LONG"))  # every command through everything; otherwise what writes by the same code takes turns
failures = []
runs = 0
order = None  # the die order that a report shows
random.seed(20240229)
DONE = (0, 1)  # two pieces are not a boot: a check of the whole may fail, and the files are written all the same
# Calls tried of each command: all when there are no more, else evenly spread, first and last among them. The faults take turns, so
# that each meets calls early and late; tests/cli/output_faults_test goes through every call with every fault.
CALLS_TRIED = 6
FAULTS = (errno.ENOSPC, errno.EIO, errno.EINTR)


def check(holds, what):
    if not holds:
        failures.append(what)


def snapshot(folder):
    """Every file below the folder with its digest; links and folders by name."""
    state = {}
    for path in sorted(folder.rglob("*")):
        name = str(path.relative_to(folder))
        if path.is_symlink():
            state[name] = "-> " + os.readlink(path)
        elif path.is_file():
            state[name] = hashlib.sha256(path.read_bytes()).hexdigest()
    return state


def run(arguments, cwd, environment=None, **more):
    global runs
    runs += 1
    return subprocess.run([program, *arguments], cwd=cwd, env={**os.environ, **(environment or {})}, stdin=subprocess.DEVNULL,
                          stdout=more.pop("stdout", subprocess.PIPE), stderr=more.pop("stderr", subprocess.PIPE), text=True, errors="replace", **more)


def inputs(folder):
    style = json.loads((demo / "style.json").read_text())
    style["run"] = {"from": "7", "to": "8", "by": "1", "widths": ["F"]}
    style["pieces"] = style["pieces"][:2]
    kept = {piece["name"] for piece in style["pieces"]}
    style["seams"] = [s for s in style["seams"] if s["one"]["piece"] in kept and s["other"]["piece"] in kept]
    for drawing in style["drawings"].values():
        shutil.copy(demo / drawing["file"], folder)
    (folder / "style.json").write_text(json.dumps(style))
    for name in ("last.json", "last.step", "readings.csv"):
        shutil.copy(demo / name, folder)
    table = json.loads((demo.parents[1] / "reference-tables" / "ladder-english-letters.json").read_text())
    (folder / "panel.dxf").write_text(PANEL)
    (folder / "own.json").write_text(json.dumps({**table, "key": "own"}))
    shutil.copy(scan, folder / "scan.stl")
    if order:
        shutil.copy(order, folder / "order.json")


# The drawing of a die, a square.
OWNED = "\n".join("0 SECTION 2 ENTITIES 0 LWPOLYLINE 8 CUT 90 4 70 1 10 0 20 0 10 90 20 0 10 90 20 60 10 0 20 60 0 ENDSEC 0 EOF".split()) + "\n"
# A drawing of one panel: what `new` makes of a whole shoe is written by the same code.
PANEL = "\n".join("0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC".split()) + "\n" + OWNED.replace("CUT", "1")
# Every command that writes, its output last.
COMMANDS = {
    "grade": ["grade", "style.json", "--out", "out"],
    "dies": ["dies", "style.json", "--out", "out"],
    "plot": ["plot", "style.json", "--out", "out"],
    "girths": ["girths", "style.json", "--format", "xlsx", "--out", "out"],
    "report": ["report", "style.json", "--order", "order.json", "--date", "3 June", "--out", "out"],
    "new": ["new", "panel.dxf", "--out", "out"],
    "last grade": ["last", "grade", "last.json", "--sizes", "8", "--widths", "F", "--out", "out"],
    "last verify": ["last", "verify", "last.json", "scan.stl", "--unit", "mm", "--size", "7", "--width", "F", "--picture", "out"],
}
FOLDERS = ("grade", "dies", "last grade")  # the others write one file
SLOW = ("last grade", "last verify")
EVERY_TARGET = ("grade", "girths")  # a folder and a file: what writes and what refuses a target is the same code for all of either kind
FAULTS_OF_SLOW = {"last grade": (errno.ENOSPC, errno.EINTR), "last verify": (errno.ENOSPC,)}  # a picture goes through the calls of a plot


# What makes an earlier output that differs from the one that is to replace it.
EARLIER = {"grade": ["--dxf", "R12"], "dies": ["--dxf", "R12"], "plot": ["--paper", "A3"], "girths": ["--inches", "32"], "report": ["--table", "own.json"],
           "new": ["--name", "Earlier"], "last verify": []}


def earlier(name):
    if name == "last grade":
        return ["7" if word == "8" else word for word in COMMANDS[name]]
    return COMMANDS[name] + EARLIER[name]


def seen(folder):
    """Without hidden leftovers: a replaced set stays under one when the disk did not confirm the new set; the next run removes it."""
    return {name: what for name, what in snapshot(folder).items() if not name.startswith(".out.lastwright-")}


def put_earlier(name, folder, arguments):
    """An output to be replaced. A picture of another verdict would take as long as the verdict, and it is replaced unread."""
    if name == "last verify":
        (folder / "out").write_text("<svg/>\n")
    else:
        check(run(arguments, folder).returncode in DONE, f"{name}: the earlier run")


def clear(folder):
    for left in folder.glob("out*"):
        shutil.rmtree(left) if left.is_dir() else left.unlink()


def turns(calls, fault):
    """The calls that this fault meets; a command of few calls meets every fault at each."""
    return calls[FAULTS.index(fault)::len(FAULTS)] if len(calls) >= 2 * len(FAULTS) else calls


def faults_of(name, command, scratch):
    """Each fault at calls spread over the run, where nothing was and over an earlier output."""
    for over in (False, True) if name in EVERY_TARGET or LONG and name not in SLOW else (True,):
        folder = scratch / f"{name} {over}"
        folder.mkdir()
        inputs(folder)
        arguments = command + (["--force"] if over else [])
        before = [*earlier(name), "--force"]
        (scratch / "count").unlink(missing_ok=True)
        counted = run(command, folder, {"LD_PRELOAD": str(shim), "FAULT_COUNT": str(scratch / "count")})
        check(counted.returncode in DONE, f"{name}: {counted.returncode} {counted.stderr}")
        check("NOT what it is claimed" not in counted.stdout, f"{name}: a thin scan of 7 F, which fits every width, is said to be of another: {counted.stdout}")
        calls = int((scratch / "count").read_text())
        check(calls >= 4, f"{name}: only {calls} calls were seen")
        new = seen(folder)
        clear(folder)
        if over:
            put_earlier(name, folder, before)
        old = seen(folder)
        check(old != new, f"{name}: the earlier output is the same as the new one")
        calls += 2 if over else 0  # the exchange, and letting the replaced one go
        chosen = sorted({round(i * (calls - 1) / (CALLS_TRIED - 1)) for i in range(CALLS_TRIED)}) if calls > CALLS_TRIED else range(calls)
        for fault in FAULTS_OF_SLOW[name] if name in SLOW else FAULTS:
            # What measures a last first takes long: one call a fault. tests/cli/output_faults_test goes through every call.
            few = {errno.ENOSPC: [calls // 2], errno.EINTR: [calls - 2]}
            for call in few[fault] if name in SLOW else turns(chosen, fault):
                if seen(folder) != old:
                    clear(folder)
                    if over:
                        put_earlier(name, folder, before)
                ended = run(arguments, folder, {"LD_PRELOAD": str(shim), "FAULT_CALL": str(call), "FAULT_ERRNO": str(fault)})
                where = f"{name}{' over an earlier one' if over else ''}, {errno.errorcode[fault]} at call {call} of {calls}"
                now = seen(folder)
                check(now in (old, new), f"{where}: neither the old output nor the new one")
                check(ended.returncode in (*DONE, 5, 6), f"{where}: exit code {ended.returncode} {ended.stderr}")
                check(ended.returncode not in DONE or now == new, f"{where}: said done, and it is not there")
                if ended.returncode not in DONE:
                    check("; " in ended.stderr or "in place" in ended.stderr, f"{where}: does not say what to do: {ended.stderr.strip()}")
                if fault == errno.EINTR:
                    check(ended.returncode in DONE, f"{where}: an interruption is no failure: {ended.stderr.strip()}")
        if name in SLOW:
            killed_early(name, folder)
        if name == "last verify" and not LONG:
            return  # as after a plot
        check(run(command + ["--force"], folder).returncode in DONE and snapshot(folder) == new, f"{name}: the run after the failed ones leaves something")


def killed_early(name, folder):
    """Killed much too early to be done, unless the helper that measures lasts goes on by itself."""
    before = seen(folder)
    process = start([*earlier(name), "--force"], folder)
    time.sleep(0.05)
    end(process)
    check(seen(folder) == before, f"{name}: went on after it was killed")


def small_files(name, command, scratch):
    """A limit on the size of files: an error like a full disk, not a signal."""
    folder = scratch / f"{name} limit"
    folder.mkdir()
    inputs(folder)
    clean = snapshot(folder)
    ended = run(command, folder, preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000)))
    check(ended.returncode == 6, f"{name} with a limit of 1000 bytes: exit code {ended.returncode} {ended.stderr}")
    # The library that writes spreadsheets says only that a temporary file failed.
    check("ulimit" in ended.stderr or (name == "girths" and ended.stderr.strip()), f"{name} with a limit of 1000 bytes: {ended.stderr.strip()}")
    check(snapshot(folder) == clean, f"{name} with a limit of 1000 bytes: something is left")


def full_output(scratch):
    """What goes to standard output, onto a full device and into a pipe that nobody reads."""
    folder = scratch / "full"
    folder.mkdir()
    inputs(folder)
    said = [["check", "style.json"], ["sizes", "--list"], ["girths", "style.json"], ["girths", "style.json", "--format", "xlsx"], ["new", "panel.dxf", "--out", "-"],
            ["new", "--explain"], ["--help"], ["grade", "--help"], ["last", "verify", "--help"], ["--version"], ["plot", "style.json", "--out", "-"], ["grade", "style.json", "--out", "out"]]
    for command in said:
        with open("/dev/full", "w") as full:
            ended = run(command, folder, stdout=full)
        check(ended.returncode == 6 and ended.stderr.strip(), f"{command} onto a full device: {ended.returncode} {ended.stderr}")
        read, write = os.pipe()
        os.close(read)
        ended = run(command, folder, stdout=write)
        os.close(write)
        check(ended.returncode in (5, 6), f"{command} into a closed pipe: {ended.returncode} {ended.stderr}")
    # Nor does a warning get lost in silence.
    note = "0\nTEXT\n8\nREMARKS\n10\n-900.0\n20\n0.0\n30\n0.0\n40\n5.0\n1\nOLD\n"
    (folder / "noted.dxf").write_text(PANEL.replace("2\nENTITIES\n", "2\nENTITIES\n" + note))
    command = ["new", "noted.dxf", "--out", "noted.json"]
    ended = run(command, folder)
    check(ended.returncode == 0 and "warning" in ended.stderr, f"{command}: {ended.returncode} {ended.stderr}")
    with open("/dev/full", "w") as full:
        ended = run([*command, "--force"], folder, stderr=full)
    check(ended.returncode == 6, f"{command} with its warnings onto a full device: {ended.returncode}")


def targets(name, command, scratch):
    """Targets that must not be written: an input, a link, a folder of somebody's, a parent that is not there or may not be written."""
    folder = scratch / f"{name} targets"
    folder.mkdir()
    inputs(folder)
    (folder / "mine").mkdir()
    (folder / "mine" / "letter.txt").write_text("keep me")
    (folder / "file").write_text("keep me too")
    (folder / "to folder").symlink_to("mine")
    (folder / "to file").symlink_to("file")
    (folder / "to nothing").symlink_to("nothing")
    source = next(word for word in command if word.endswith((".json", ".dxf")))
    os.link(folder / source, folder / "other name")
    before = snapshot(folder)
    few = ("mine", "file", "to file", source, "missing/out", "other name")
    for target in ("mine", "file", "to folder", "to file", "to nothing", source, ".", "..", "/", "", "missing/out", "file/out", "other name", f"./{source}"):
        for force in ([], ["--force"]):
            if target == "" and name in ("girths", "new", "last verify"):
                continue  # standard output, the name of the drawing, and no picture
            if target == "file" and force and name not in FOLDERS:
                continue  # a plain file may be replaced when it is asked for
            if name not in EVERY_TARGET and target not in few and not os.environ.get("TESTS_LONG"):
                continue
            if name in SLOW and not (force and target == "mine" and (name in FOLDERS or LONG)):
                continue  # the same code as for the others
            ended = run([*command[:-1], target, *force], folder)
            # 2 only for what is no name: a command line with another fault in it would be refused without a look at its target.
            check(ended.returncode in ((2, 5, 6) if target in ("", ".", "..", "/") else (5, 6)), f"{name} onto {target!r} {force}: exit code {ended.returncode} {ended.stderr}")
            check(snapshot(folder) == before, f"{name} onto {target!r} {force}: something changed")
    if name in SLOW and not LONG:
        return
    if os.getuid() == 0:  # root may write anywhere: as somebody else
        os.chmod(folder, 0o755)
        ended = run(command, folder, user=65534, group=65534, extra_groups=[])
    else:
        os.chmod(folder, 0o555)
        ended = run(command, folder)
        os.chmod(folder, 0o755)
    check(ended.returncode == 6 and "may write" in ended.stderr, f"{name} in a folder that may not be written: {ended.returncode} {ended.stderr}")
    check(snapshot(folder) == before, f"{name} in a folder that may not be written: something changed")


def over_inputs(name, scratch):
    """No input of a run is ever an output of it, whatever the run reads: neither the file itself nor the folder that holds it."""
    folder = scratch / f"{name} inputs"
    inner = folder / "set"
    inner.mkdir(parents=True)
    inputs(inner)
    style = json.loads((inner / "style.json").read_text())
    (inner / "style.json").write_text(json.dumps({**style, "tables": ["own.json"]}))
    shutil.copy(inner / "own.json", inner / "typed.json")
    (inner / "typed.json").write_text((inner / "own.json").read_text().replace('"own"', '"typed"'))
    (inner / "rules.json").write_text('{"lastwright_die_rules": 1}')
    shutil.copy(inner / "scan.stl", inner / "mate.stl")
    (inner / "owned.dxf").write_text(OWNED)
    # As if a run had written all of it: nothing but its being an input protects it.
    files = [{"name": path.name, "size": path.stat().st_size} for path in sorted(inner.iterdir())]
    (inner / "manifest.json").write_text(json.dumps({"lastwright_manifest": 1, "files": files}))
    more = {"dies": ["--rules", "set/rules.json", "--owned", "set/owned.dxf", "--table", "set/typed.json"], "report": ["--table", "set/typed.json"],
            "girths": ["--readings", "set/readings.csv", "--table", "set/typed.json"], "last verify": ["--pair", "set/mate.stl"], "new": []}
    if name not in more and name != "last grade":
        more[name] = ["--table", "set/typed.json"]
    command = [f"set/{word}" if (inner / word).exists() else word for word in COMMANDS[name][:-1]]
    read = ["panel.dxf"] if name == "new" else ["style.json", "own.json"]
    read += [] if name in ("new", "girths", *SLOW) else ["shell.dxf", "bottom.dxf"]
    read += ["last.json", "last.step"] if name in SLOW else []
    read += ["scan.stl"] if name == "last verify" else []
    read += ["order.json"] if name == "report" else []
    read += [word.removeprefix("set/") for word in more.get(name, []) if word.startswith("set/")]
    before = snapshot(folder)
    if name in SLOW:
        read = [file for file in read if file not in ("style.json", "last.json") and (LONG or name in FOLDERS or file != "own.json")]
    for target in ["set"] if name in FOLDERS else [f"set/{file}" for file in read]:
        ended = run([*command, target, *more.get(name, []), "--force"], folder)
        check(ended.returncode == 5 and "input" in ended.stderr, f"{name} over its input {target}: exit code {ended.returncode} {ended.stderr}")
        check(snapshot(folder) == before, f"{name} over its input {target}: something changed")
    if name not in FOLDERS:
        return
    for file in ("own.json", "last.step") if name in SLOW else read:  # each alone in the folder that is to be replaced
        alone = folder / "alone"
        alone.mkdir()
        shutil.move(inner / file, alone / file)
        (inner / file).symlink_to(f"../alone/{file}")
        (alone / "manifest.json").write_text(json.dumps({"lastwright_manifest": 1, "files": [{"name": file, "size": 1}]}))
        before = snapshot(folder)
        ended = run([*command, "alone", *more.get(name, []), "--force"], folder)
        check(ended.returncode == 5 and "input" in ended.stderr, f"{name} over the folder of {file}: exit code {ended.returncode} {ended.stderr}")
        check(snapshot(folder) == before, f"{name} over the folder of {file}: something changed")
        (inner / file).unlink()
        shutil.move(alone / file, inner / file)
        shutil.rmtree(alone)


def start(arguments, folder):
    return subprocess.Popen([program, *arguments], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)


def end(process):
    """Killed: only the program itself, whose own helper must not go on. Both hold the pipe."""
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.read()
    process.stdout.close()


def killed(name, command, scratch):
    """Killed at random moments, and two run at once: the old output or the new one. (What takes long: killed_early.)"""
    folder = scratch / f"{name} killed"
    folder.mkdir()
    inputs(folder)
    other = earlier(name)
    started = time.monotonic()
    ended = run(command, folder)
    first = ended.returncode
    check(first in DONE, f"{name}: the first run")
    takes = time.monotonic() - started
    one = snapshot(folder)
    check(run([*other, "--force"], folder).returncode in DONE, f"{name}: the second run")
    two = snapshot(folder)
    whole = {"one": 0, "two": 0}
    for attempt in range((15 if LONG else 8) if name == "grade" else 4 if LONG else 2):
        process = start([*(other if attempt % 2 else command), "--force"], folder)
        time.sleep(random.random() * takes * 1.3)
        end(process)
        now = seen(folder)
        check(now in (one, two), f"{name}, killed run {attempt}: neither output is whole")
        whole["one" if now == one else "two"] += 1
    both = [start([*words, "--force"], folder) for words in (command, other)]
    codes = [(process.stdout.read(), process.wait())[1] for process in both]
    check(set(codes) <= {*DONE, 5}, f"{name}, two that replace at once: exit codes {codes}")
    check(seen(folder) in (one, two), f"{name}, two that replace at once: neither output is whole")
    check(run([*command, "--force"], folder).returncode in DONE, f"{name}: the run after the killed ones")
    check(snapshot(folder) == one, f"{name}: after the killed runs something is left behind")
    clear(folder)
    for _ in range(4 if name == "grade" else 1):
        both = [start(command, folder) for _ in range(2)]
        codes = sorted((process.stdout.read(), process.wait())[1] for process in both)
        check(codes == [first, 5], f"{name}, two at once: exit codes {codes}")
        check(snapshot(folder) == one, f"{name}, two at once: not the one whole output")
        clear(folder)
    return whole


def small_scan(folder):
    """A scan of a graded last with few points, so that verifying takes little time: every so many triangles of its mesh."""
    mesh = (graded_lasts / "meshes" / "7 F.stl").read_bytes()
    triangles = [mesh[at:at + 50] for at in range(84, len(mesh), 50)][::120]
    (folder / "scan.stl").write_bytes(mesh[:80] + len(triangles).to_bytes(4, "little") + b"".join(triangles))
    return folder / "scan.stl"


def die_order(folder):
    """Of the pieces that the runs here are about."""
    folder.mkdir()
    inputs(folder)
    ended = run(["dies", "style.json", "--out", "order"], folder)
    check(ended.returncode in DONE, f"the order of a report: {ended.returncode} {ended.stderr}")
    return folder / "order" / "die-order.json"


memory = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
with tempfile.TemporaryDirectory(dir=memory) as scratch:
    os.chmod(scratch, 0o755)
    scratch = pathlib.Path(scratch)
    # A copy that somebody else may run, when the tests run as root.
    copied = scratch / "program"
    copied.mkdir()
    for part in ("lastwright", "lastwright-last"):
        shutil.copy(program.with_name(part), copied / part)
    program = copied / "lastwright"
    scan = small_scan(copied)
    order = die_order(scratch / "ordered")
    for name in sys.argv[5:] or COMMANDS:
        command = COMMANDS[name]
        started, before = time.monotonic(), runs
        faults_of(name, command, scratch)
        if name not in SLOW or LONG:
            small_files(name, command, scratch)
        targets(name, command, scratch)
        over_inputs(name, scratch)
        ended = killed(name, command, scratch) if name not in SLOW else "none but one early"
        print(f"{name}: killed runs {ended}; {runs - before} runs in {time.monotonic() - started:.1f} s")
    full_output(scratch)
print(f"{runs} runs, {len(failures)} failures")
for failure in failures:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

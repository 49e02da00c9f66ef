#!/usr/bin/python3
"""Every command that writes, on a disk that fails: check_faults.py LASTWRIGHT DEMO-FOLDER FAULT-SHIM

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

program, demo, shim = (pathlib.Path(a).resolve() for a in sys.argv[1:4])
failures = []
runs = 0
random.seed(20240229)
DONE = (0, 1)  # two pieces are not a boot: a check of the whole may fail, and the files are written all the same
CALLS_TRIED = 8  # of each command and fault: all when there are no more, else evenly spread, first and last among them


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
                          stdout=more.pop("stdout", subprocess.PIPE), stderr=subprocess.PIPE, text=True, errors="replace", **more)


def inputs(folder):
    style = json.loads((demo / "style.json").read_text())
    style["run"] = {"from": "8", "to": "8.5", "by": "1/2", "widths": ["F"]}
    style["pieces"] = style["pieces"][:2]
    kept = {piece["name"] for piece in style["pieces"]}
    style["seams"] = [s for s in style["seams"] if s["one"]["piece"] in kept and s["other"]["piece"] in kept]
    for drawing in style["drawings"].values():
        shutil.copy(demo / drawing["file"], folder)
    (folder / "style.json").write_text(json.dumps(style))


COMMANDS = {
    "grade": ["grade", "style.json", "--out", "out"],
    "dies": ["dies", "style.json", "--out", "out"],
    "plot": ["plot", "style.json", "--out", "out"],
    "girths": ["girths", "style.json", "--format", "xlsx", "--out", "out"],
    "new": ["new", "shell.dxf", "--out", "out"],
}


# What makes an earlier output that differs from the one that is to replace it.
EARLIER = {"grade": ["--dxf", "R12"], "dies": ["--dxf", "R12"], "plot": ["--paper", "A3"], "girths": ["--inches", "32"], "new": ["--name", "Earlier"]}


def seen(folder):
    """Without hidden leftovers: a replaced set stays under one when the disk did not confirm the new set; the next run removes it."""
    return {name: what for name, what in snapshot(folder).items() if not name.startswith(".out.lastwright-")}


def clear(folder):
    for left in folder.glob("out*"):
        shutil.rmtree(left) if left.is_dir() else left.unlink()


def faults_of(name, command, scratch):
    """Each fault at calls spread over the run, where nothing was and over an earlier output."""
    for over in (False, True):
        folder = scratch / f"{name} {over}"
        folder.mkdir()
        inputs(folder)
        arguments = command + (["--force"] if over else [])
        earlier = command + EARLIER[name] + ["--force"]
        counted = run(command, folder, {"LD_PRELOAD": str(shim), "FAULT_COUNT": str(scratch / "count")})
        check(counted.returncode in DONE, f"{name}: {counted.returncode} {counted.stderr}")
        calls = int((scratch / "count").read_text())
        check(calls >= 4, f"{name}: only {calls} calls were seen")
        new = seen(folder)
        clear(folder)
        if over:
            check(run(earlier, folder).returncode in DONE, f"{name}: the earlier run")
        old = seen(folder)
        check(old != new, f"{name}: the earlier output is the same as the new one")
        calls += 2 if over else 0  # the exchange, and letting the replaced one go
        chosen = sorted({round(i * (calls - 1) / (CALLS_TRIED - 1)) for i in range(CALLS_TRIED)}) if calls > CALLS_TRIED else range(calls)
        for fault in (errno.ENOSPC, errno.EIO, errno.EINTR):
            for call in chosen:
                if seen(folder) != old:
                    clear(folder)
                    if over:
                        run(earlier, folder)
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
        check(run(command + ["--force"], folder).returncode in DONE and snapshot(folder) == new, f"{name}: the run after the failed ones leaves something")


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
    said = [["check", "style.json"], ["sizes", "--list"], ["girths", "style.json"], ["girths", "style.json", "--format", "xlsx"], ["new", "shell.dxf", "--out", "-"],
            ["new", "--explain"], ["plot", "style.json", "--out", "-"], ["grade", "style.json", "--out", "out"]]
    for command in said:
        with open("/dev/full", "w") as full:
            ended = run(command, folder, stdout=full)
        check(ended.returncode == 6 and ended.stderr.strip(), f"{command} onto a full device: {ended.returncode} {ended.stderr}")
        read, write = os.pipe()
        os.close(read)
        ended = run(command, folder, stdout=write)
        os.close(write)
        check(ended.returncode in (5, 6), f"{command} into a closed pipe: {ended.returncode} {ended.stderr}")


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
    os.link(folder / "style.json", folder / "other name")
    before = snapshot(folder)
    source = command[1]
    for target in ("mine", "file", "to folder", "to file", "to nothing", source, ".", "..", "/", "", "missing/out", "file/out", "other name", "./style.json"):
        for force in ([], ["--force"]):
            if target == "" and name in ("girths", "new"):
                continue  # standard output, and the name of the drawing
            if target == "file" and force and name not in ("grade", "dies"):
                continue  # a plain file may be replaced when it is asked for
            if target == "other name" and source != "style.json" and force:
                continue
            if target == "./style.json" and name == "new" and force:
                continue
            ended = run([*command[:-1], target, *force], folder)
            check(ended.returncode in (2, 5, 6), f"{name} onto {target!r} {force}: exit code {ended.returncode} {ended.stderr}")
            check(snapshot(folder) == before, f"{name} onto {target!r} {force}: something changed")
    if os.getuid() == 0:  # root may write anywhere: as somebody else
        os.chmod(folder, 0o755)
        ended = run(command, folder, user=65534, group=65534, extra_groups=[])
    else:
        os.chmod(folder, 0o555)
        ended = run(command, folder)
        os.chmod(folder, 0o755)
    check(ended.returncode == 6 and "may write" in ended.stderr, f"{name} in a folder that may not be written: {ended.returncode} {ended.stderr}")
    check(snapshot(folder) == before, f"{name} in a folder that may not be written: something changed")


def killed(scratch):
    """grade is killed at random moments, and two run at once: the old set or the new one."""
    folder = scratch / "killed"
    folder.mkdir()
    inputs(folder)
    grade = [program, "grade", "style.json", "--out", "out"]
    started = time.monotonic()
    first = run(grade[1:], folder).returncode
    check(first in DONE, "the first run")
    takes = time.monotonic() - started
    one = snapshot(folder)
    check(run([*grade[1:], "--dxf", "R12", "--force"], folder).returncode in DONE, "the second run")
    two = snapshot(folder)
    seen = {"one": 0, "two": 0}
    for attempt in range(25):
        process = subprocess.Popen([*grade, "--force", *(["--dxf", "R12"] if attempt % 2 else [])], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(random.random() * takes * 1.3)
        process.send_signal(signal.SIGKILL)
        process.wait()
        now = {k: v for k, v in snapshot(folder).items() if not k.startswith(".out.lastwright-")}
        check(now in (one, two), f"killed run {attempt}: neither set is whole")
        seen["one" if now == one else "two"] += 1
    check(run([*grade[1:], "--force"], folder).returncode in DONE, "the run after the killed ones")
    check(snapshot(folder) == one, "after the killed runs something is left behind")
    for attempt in range(4):
        both = [subprocess.Popen([*grade[:-1], f"race {attempt}"], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) for _ in range(2)]
        codes = sorted(process.wait() for process in both)
        check(codes == [first, 5], f"two at once: exit codes {codes}")
    return seen


memory = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
with tempfile.TemporaryDirectory(dir=memory) as scratch:
    os.chmod(scratch, 0o755)
    scratch = pathlib.Path(scratch)
    # A copy that somebody else may run, when the tests run as root.
    copied = scratch / "program"
    copied.mkdir()
    shutil.copy(program, copied / "lastwright")
    program = copied / "lastwright"
    for name, command in COMMANDS.items() if len(sys.argv) < 5 else ():
        faults_of(name, command, scratch)
        small_files(name, command, scratch)
        targets(name, command, scratch)
    full_output(scratch)
    print("killed runs:", killed(scratch))
print(f"{runs} runs, {len(failures)} failures")
for failure in failures:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

#!/usr/bin/python3
"""Times `lastwright grade` on the large style: python3 whole_run.py LASTWRIGHT FOLDER

Wall time, processor time and memory for 1 and all threads, the cost of a quarter and a half of the run beside the whole,
and whether the bytes depend on the threads. On a busy machine the processor time is the figure to read.
"""
import hashlib
import os
import pathlib
import resource
import shutil
import subprocess
import sys
import time

program = pathlib.Path(sys.argv[1]).resolve()
folder = pathlib.Path(sys.argv[2])
here = pathlib.Path(__file__).resolve().parent


def make(name, pieces, sizes, widths):
    subprocess.run([sys.executable, here / "make_style.py", folder / name, str(pieces), str(sizes), str(widths)], check=True, stdout=subprocess.DEVNULL)
    return folder / name / "style.json"


def grade(style, *more):
    out = style.parent / "out"
    shutil.rmtree(out, ignore_errors=True)
    started = time.perf_counter()
    process = subprocess.Popen([program, "grade", style, "--out", out, *more], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    said = process.stdout.read()
    _, status, used = os.wait4(process.pid, 0)
    took = time.perf_counter() - started
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        sys.exit(f"{style}: exit code {os.waitstatus_to_exitcode(status)}\n{said}")
    files = [p for p in out.rglob("*") if p.is_file()]
    return {"wall": took, "user": used.ru_utime, "system": used.ru_stime, "megabytes": used.ru_maxrss / 1024, "files": len(files),
            "bytes": sum(p.stat().st_size for p in files), "manifest": hashlib.sha256((out / "manifest.json").read_bytes()).hexdigest(), "code": status}


def best(style, *more, tries=3):
    """The least of a few runs: what else the machine does only adds."""
    runs = [grade(style, *more) for _ in range(tries)]
    if len({run["manifest"] for run in runs}) != 1:
        sys.exit("FAILED: the same run gave different bytes")
    return min(runs, key=lambda run: run["user"] + run["system"]), min(run["wall"] for run in runs)


def line(what, run, wall):
    print(f"{what:<44} wall {wall:5.2f} s   user {run['user']:5.2f} s + system {run['system']:5.2f} s   {run['megabytes']:4.0f} MB   "
          f"{run['files']} files, {run['bytes'] / 1e6:.0f} MB")


cores = os.cpu_count()
load = os.getloadavg()[0]
print(f"{cores} cores, load before {load:.1f}{'  (busy: read the processor time)' if load > 0.5 else ''}; files into {folder}")
whole = make("whole", 20, 40, 10)
all_threads, wall_all = best(whole)
line("20 pieces x 40 sizes x 10 widths, all threads", all_threads, wall_all)
bare, wall_bare = best(whole, "--pictures", "none", tries=5)
line("the same with DXF alone (--pictures none)", bare, wall_bare)
one_thread, wall_one = best(whole, "--threads", "1", tries=2)
line("the same, one thread", one_thread, wall_one)
print(f"bytes independent of threads: {'yes' if one_thread['manifest'] == all_threads['manifest'] else 'NO'}; "
      f"both cores: {wall_one / wall_all:.2f} times as fast as one")
for name, size in (("quarter", (20, 20, 5)), ("half", (20, 20, 10)), ("half the pieces", (10, 40, 10))):
    run, wall = best(make(name.replace(" ", "-"), *size), tries=2)
    pieces = size[0] * size[1] * size[2]
    line(f"{pieces} graded pieces ({name})", run, wall)
    cost = 1e6 * (run["user"] + run["system"]) / pieces
    print(f"    {cost:.0f} us a piece; the whole run {1e6 * (all_threads['user'] + all_threads['system']) / 8000:.0f} us")
ok = one_thread["manifest"] == all_threads["manifest"] and all_threads["megabytes"] < 300
sys.exit(0 if ok else 1)

#!/usr/bin/python3
"""The progress bar: on a terminal while it lasts and wiped at the end; nothing of it in a pipe or on a dumb terminal.

The standard library's pty stands for the terminal. The summary goes to standard output whatever standard error is.
usage: check_progress.py PROGRAM STYLE FOLDER
"""
import os
import pty
import re
import subprocess
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "planning"))
from few_sizes import few_sizes

program, style, folder = sys.argv[1:4]
command = [program, "grade", style, "--out", folder, "--force", "--threads", "1", "--sheets", "none", "--pictures", "none"]
failures = []


def expect(holds, what):
    if not holds:
        failures.append(what)


def on_terminal(kind):
    """Runs with standard error on a terminal of that kind; gives the terminal's bytes and standard output."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=theirs, env={**os.environ, "TERM": kind})
    os.close(theirs)
    seen = b""
    while True:
        try:
            some = os.read(ours, 65536)
        except OSError:  # the other end is closed
            break
        if not some:
            break
        seen += some
    out = process.stdout.read().decode()
    expect(process.wait() == 0, f"exit {process.returncode}")
    os.close(ours)
    return seen.decode(), out


seen, out = on_terminal("xterm")
counts = [int(n.replace(",", "")) for n in re.findall(r"\rgrading ([\d,]+) of 1,445 ", seen)]
if counts:  # a machine that grades the demo within 0.3 s shows no bar, as it should
    expect(counts == sorted(counts), f"the bar runs backwards: {counts}")
    expect(seen.endswith("\r\x1b[K"), "the bar is not wiped at the end")
expect(re.fullmatch(r"(\r[^\r\n]*\x1b\[K)*", seen) is not None, f"more than a bar on the terminal: {seen[:200]!r}")
summary = out
for words in ("17 pieces x 17 sizes x 5 widths = 1445 graded pieces", "seam", "check line", " warning", " s; "):
    expect(words in summary, f"the summary lacks '{words}'")
few = tempfile.TemporaryDirectory()  # what stands in a pipe is asked of fewer sizes, which takes a tenth of the time
command[2] = str(few_sizes(style, few.name, **{"from": "8", "to": "9", "widths": ["F"]}))
dumb, out = on_terminal("dumb")
expect(dumb == "", f"on a dumb terminal: {dumb[:100]!r}")
piped = subprocess.run(command, capture_output=True, text=True)
expect(piped.returncode == 0 and piped.stderr == "", f"into a pipe: {piped.stderr[:100]!r}")
expect("\r" not in piped.stdout and "\x1b" not in piped.stdout, "control characters in the summary")
steady = lambda text: re.sub(r"[\d.]+ s;", "s;", text)
expect(steady(piped.stdout) == steady(out), "the summary depends on the terminal")

# Work whose amount is known only once it has begun is counted as well.
demo = os.path.dirname(style)
command = [program, "hide", style, "--hide", f"{demo}/hide.dxf", "--material", "box calf 1.8 mm", "--pieces", "vamp,outside quarter", "--pairs", "3",
           "--out", folder + "-hide", "--force"]
seen, out = on_terminal("xterm")
tried = [(int(a), int(b)) for a, b in re.findall(r"\rtrying layouts (\d+) of (\d+) ", seen)]
expect(all(total == 6 and 0 < done <= total for done, total in tried) and tried == sorted(tried), f"layouts of a hide: {tried}")
expect(" of 0 " not in seen, f"a bar without an end: {seen[:120]!r}")
expect("whole pairs" in out, "the hide is not told")

print(f"{len(counts)} steps of the bar seen, {len(tried)} layouts of a hide")
for failure in failures:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)

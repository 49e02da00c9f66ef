#!/usr/bin/python3
"""What `last verify` costs beside reading its files: verify_cost.py LASTWRIGHT DEMO_FOLDER WORK_FOLDER

Processor time on a mesh of 262,144 triangles, the least of three, over that of the same mesh drawn out to 1.4 times its length, which is read
with the last and then refused for its length. The ratio is the figure to read: seconds are the machine's.
"""
import os
import resource
import subprocess
import sys

import numpy as np

program, demo, work = sys.argv[1:4]
os.makedirs(work, exist_ok=True)
last = os.path.join(demo, "last.json")
kind = np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("rest", "<u2")])
subprocess.run([program, "last", "grade", last, "--out", os.path.join(work, "graded"), "--stl", "--force", "--sizes", "9", "--widths", "G"],
               check=True, stdout=subprocess.DEVNULL)
with open(os.path.join(work, "graded", "meshes", "9 G.stl"), "rb") as file:
    corners = np.frombuffer(file.read(), kind, offset=84)["corner"]
a, b, c = (corners[:, k] for k in range(3))
ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
fine = np.zeros(4 * len(a), kind)
fine["corner"] = np.concatenate([np.stack(t, 1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))])


def written(name, stretch):
    out = fine.copy()
    out["corner"] *= np.array([stretch, 1, 1], "f4")
    path = os.path.join(work, name)
    with open(path, "wb") as file:
        file.write(b" " * 80 + len(out).to_bytes(4, "little") + out.tobytes())
    return path


def cost(scan, code, said):
    least = 1e9
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run([program, "last", "verify", last, scan, "--unit", "mm", "--size", "9", "--width", "G"], capture_output=True, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        text = (done.stdout + done.stderr).decode()
        assert done.returncode == code and said in text, text
        least = min(least, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return least


whole = cost(written("scan.stl", 1.0), 0, "the last passes")
reading = cost(written("long.stl", 1.4), 3, "the length of the scan is far from that of the last")
print(f"{len(fine)} triangles: verify {whole:.2f} s, reading {reading:.2f} s of processor time, ratio {whole / reading:.2f}")

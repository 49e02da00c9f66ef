#!/usr/bin/python3
"""How often `last verify` says what it should: verify_rates.py LASTWRIGHT DEMO_FOLDER WORK_FOLDER [CASES [KIND ...]]

Scans are made of graded demo lasts by numpy: noise, holes, parts that are missing, other poses, another size, width or hand than
claimed, a hundredth too large. Prints a table of what was said, CASES (30) of each kind, all from one seed; of the kinds named, or all.
"""
import collections
import json
import os
import subprocess
import sys

import numpy as np

program, demo, work = sys.argv[1:4]
cases = int(sys.argv[4]) if len(sys.argv) > 4 else 30
os.makedirs(work, exist_ok=True)
draw = np.random.default_rng(20)


def run(*words):
    done = subprocess.run([program, "last", *words], capture_output=True, text=True)
    return done.returncode, done.stdout + done.stderr


def grade(name, more_ball=0.0):
    """The lasts 8 F, 8.5 F and 8 G, their ball girth so much larger than the table of the demo says."""
    folder = os.path.join(work, name)
    with open(os.path.join(demo, "style.json"), encoding="utf-8") as file:
        style = json.load(file)
    style["measures"]["ball girth"]["base"] = f"{247 + more_ball} mm"
    with open(os.path.join(demo, "last.json"), encoding="utf-8") as file:
        last = json.load(file)
    last["bases"][0]["file"] = os.path.abspath(os.path.join(demo, "last.step"))
    last["style"] = f"{name}-style.json"
    for path, value in ((f"{name}-style.json", style), (f"{name}.json", last)):
        with open(os.path.join(work, path), "w", encoding="utf-8") as out:
            json.dump(value, out)
    code, said = run("grade", os.path.join(work, f"{name}.json"), "--out", folder, "--stl", "--force", "--sizes", "8,8.5", "--widths", "F,G")
    assert code == 0, said
    return folder


def read_stl(path):
    raw = open(path, "rb").read()
    kind = np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("rest", "<u2")])
    corners = np.frombuffer(raw, kind, offset=84)["corner"].astype(float)
    points, ids = np.unique(corners.reshape(-1, 3).round(4), axis=0, return_inverse=True)
    return points, ids.reshape(-1, 3)


def write_stl(path, points, triangles):
    kind = np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("rest", "<u2")])
    out = np.zeros(len(triangles), kind)
    out["corner"] = points[triangles]
    with open(path, "wb") as file:
        file.write(b" " * 80 + len(triangles).to_bytes(4, "little") + out.tobytes())


def noisy(points, triangles, sigma):
    normals = np.zeros_like(points)
    a, b, c = (points[triangles[:, k]] for k in range(3))
    for k in range(3):
        np.add.at(normals, triangles[:, k], np.cross(b - a, c - a))
    normals /= np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    return points + sigma * draw.normal(size=len(points))[:, None] * normals


def turned(points):
    q = draw.normal(size=4)
    w, x, y, z = q / np.linalg.norm(q)
    turn = np.array([[1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
                     [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
                     [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)]])
    return points @ turn.T + draw.normal(size=3) * 100


def without(points, triangles, radius):
    at = points[draw.integers(len(points))]
    middle = points[triangles].mean(axis=1)
    return triangles[np.linalg.norm(middle - at, axis=1) > radius]


def coarser(points, triangles, side):
    """Of all corners within a cube of this side the one nearest to their middle stays; where the cubes begin is drawn anew."""
    cubes = np.floor((points + draw.random(3) * side) / side).astype(int)
    _, ids = np.unique(cubes, axis=0, return_inverse=True)
    ids = ids.reshape(-1)
    count = np.bincount(ids)
    middles = np.column_stack([np.bincount(ids, points[:, k]) / count for k in range(3)])
    off = np.linalg.norm(points - middles[ids], axis=1)
    order = np.lexsort((off, ids))
    stays = order[np.unique(ids[order], return_index=True)[1]]
    left = ids[triangles]
    left = left[(left[:, 0] != left[:, 1]) & (left[:, 1] != left[:, 2]) & (left[:, 2] != left[:, 0])]
    return points[stays], left


true = grade("true")
meshes = {cell: read_stl(os.path.join(true, "meshes", cell + ".stl")) for cell in ("8 F", "8.5 F", "8 G")}
for more in (1.0, 2.0):
    meshes[f"+{more:g}"] = read_stl(os.path.join(grade(f"more{more:g}", more), "meshes", "8 F.stl"))
p, t = meshes["8 F"]
no_bottom = lambda: (p, t[~((np.cross(p[t[:, 1]] - p[t[:, 0]], p[t[:, 2]] - p[t[:, 0]])[:, 2] < 0) & (p[t].mean(axis=1)[:, 2] < 22))])
kinds = {
    "as made": lambda: (p, t),
    "any pose": lambda: (turned(p), t),
    **{f"noise {s} mm": (lambda s=s: (noisy(p, t, s), t)) for s in (0.05, 0.1, 0.2, 0.3)},
    "decimated to 2 mm": lambda: coarser(p, t, 2.0),
    "decimated to 4 mm": lambda: coarser(p, t, 4.0),
    "a hole of 15 mm": lambda: (p, without(p, t, 7.5)),
    "the bottom missing": no_bottom,
    "the other hand": lambda: (p * [1, -1, 1], t[:, ::-1]),
    "half a size larger": lambda: meshes["8.5 F"],
    "a width larger": lambda: meshes["8 G"],
    "ball girth 1 mm more": lambda: meshes["+1"],
    "ball girth 2 mm more": lambda: meshes["+2"],
    "1 % larger": lambda: (1.01 * p, t),
}
print(f"{'scan':<22} {'n':>3}  said")
asked = sys.argv[5:] or list(kinds)
for kind, make in kinds.items():
    if kind not in asked:
        continue
    said = collections.Counter()
    for _ in range(cases):
        points, triangles = make()
        path = os.path.join(work, "scan.stl")
        write_stl(path, noisy(points, triangles, 0.02) if kind != "as made" else points, triangles)
        code, text = run("verify", os.path.join(work, "true.json"), path, "--unit", "mm", "--size", "8", "--width", "F")
        last = text.strip().splitlines()[-1]
        said["passes" if code == 0 else "FAILS" if "FAILS" in last else "inconclusive" if "inconclusive" in last else f"refused: {last[:60]}"] += 1
    print(f"{kind:<22} {cases:>3}  {', '.join(f'{what} {n}' for what, n in said.most_common())}", flush=True)

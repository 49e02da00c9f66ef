#!/usr/bin/python3
"""Reckons a mesh's maps to the plane again, with scipy: check_flat.py PRINT_FLAT

Mean value coordinates on the square from the published formula; the conformal copy as a dense least-squares problem of the
Cauchy-Riemann equations; as rigid as possible by singular value decompositions and no acceleration, and by the gradient of its
energy, which must vanish.
"""
import subprocess
import sys

import numpy as np
import scipy.sparse as sparse
import scipy.sparse.linalg as solvers

points, triangles, sides = [], [], []
for line in subprocess.run([sys.argv[1]], capture_output=True, text=True, check=True).stdout.splitlines():
    kind, *rest = line.split()
    {"point": lambda: points.append([float(x) for x in rest]),
     "triangle": lambda: triangles.append([int(x) for x in rest]),
     "side": lambda: sides.append([int(x) for x in rest])}[kind]()
data = np.array(points)
p, uv, conformal, flat = data[:, :3], data[:, 3:5], data[:, 5:7], data[:, 7:9]
t = np.array(triangles)
assert len(p) == 17 * 13 and len(t) == 2 * 16 * 12 and [len(s) for s in sides] == [17, 13, 17, 13]
failures = []


def check(what, value, limit):
    print(f"{what}: {value:.3g} (limit {limit:g})")
    if not value <= limit:
        failures.append(what)


# The square.
n = len(p)
boundary = sorted(set(sum(sides, [])))
expected = np.zeros((n, 2))
for s, chain in enumerate(sides):
    steps = np.linalg.norm(np.diff(p[chain], axis=0), axis=1)
    share = np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()
    fixed = np.full_like(share, [0.0, 1.0, 1.0, 0.0][s])
    expected[chain] = np.column_stack([share, fixed] if s % 2 == 0 else [fixed, share])
weights = sparse.lil_matrix((n, n))
for a, b, c in np.concatenate([t, np.roll(t, -1, axis=1), np.roll(t, -2, axis=1)]):
    u, w = p[b] - p[a], p[c] - p[a]
    angle = np.arccos(np.clip(u @ w / np.linalg.norm(u) / np.linalg.norm(w), -1.0, 1.0))
    weights[a, b] += np.tan(angle / 2) / np.linalg.norm(u)
    weights[a, c] += np.tan(angle / 2) / np.linalg.norm(w)
system = (sparse.diags(np.asarray(weights.sum(axis=1)).ravel()) - weights).tolil()
right = np.zeros((n, 2))
for i in boundary:
    system[i, :] = 0.0
    system[i, i] = 1.0
    right[i] = expected[i]
expected = solvers.splu(system.tocsc()).solve(right)
check("mean value map to the square", np.abs(expected - uv).max(), 1e-9)


# Triangles in planes of their own.
def corners(a, b, c):
    x = (b - a) / np.linalg.norm(b - a)
    normal = np.cross(b - a, c - a)
    y = np.cross(normal / np.linalg.norm(normal), x)
    return np.array([[0.0, 0.0], [np.linalg.norm(b - a), 0.0], [(c - a) @ x, (c - a) @ y]])


local = np.array([corners(*p[k]) for k in t])
area = 0.5 * np.array([np.linalg.det(q[1:] - q[0]) for q in local])
assert (area > 0).all()

# Conformal: minimise sum of area * |du/dx - dv/dy|^2 + |du/dy + dv/dx|^2 with two points pinned.
rows = np.zeros((2 * len(t), 2 * n))
for k, (corner, q) in enumerate(zip(t, local)):
    gradient = np.linalg.solve(np.column_stack([q, np.ones(3)]), np.eye(3))[:2]  # of each corner's hat
    rows[2 * k, corner], rows[2 * k, n + corner] = gradient[0], -gradient[1]
    rows[2 * k + 1, corner], rows[2 * k + 1, n + corner] = gradient[1], gradient[0]
    rows[2 * k:2 * k + 2] *= np.sqrt(area[k])
pinned = [0, 16, n, n + 16]
free = [i for i in range(2 * n) if i not in pinned]
solved = np.zeros(2 * n)
solved[16] = 1.0
solved[free] = np.linalg.lstsq(rows[:, free], -rows[:, 16], rcond=None)[0]
copy = np.column_stack([solved[:n], solved[n:]])
spread = 0.5 * sum(np.linalg.det(copy[k][1:] - copy[k][0]) for k in t)
check("conformal copy", np.abs(copy * np.sqrt(area.sum() / spread) - conformal).max(), 1e-7 * np.abs(conformal).max())


# As rigid as possible: sum over triangles and their sides of cotangent / 2 * |side - R side'|^2.
def cotangents(q):
    return np.array([(q[k] - q[k - 1]) @ (q[(k + 1) % 3] - q[k - 1]) / abs(np.linalg.det([q[k] - q[k - 1], q[(k + 1) % 3] - q[k - 1]])) for k in range(3)])


cot = np.array([cotangents(q) for q in local])


def rotations(at):
    result = []
    for corner, q, c in zip(t, local, cot):
        covariance = sum(c[k] * np.outer(at[corner[(k + 1) % 3]] - at[corner[k]], q[(k + 1) % 3] - q[k]) for k in range(3))
        left, _, right = np.linalg.svd(covariance)
        result.append(left @ np.diag([1.0, np.linalg.det(left @ right)]) @ right)
    return result


laplace = sparse.lil_matrix((n, n))
for corner, c in zip(t, cot):
    for k in range(3):
        a, b = corner[k], corner[(k + 1) % 3]
        laplace[a, a] += c[k]
        laplace[b, b] += c[k]
        laplace[a, b] -= c[k]
        laplace[b, a] -= c[k]
laplace = laplace.tocsc()


def pull(turns):
    right = np.zeros((n, 2))
    for corner, q, c, turn in zip(t, local, cot, turns):
        for k in range(3):
            side = c[k] * turn @ (q[(k + 1) % 3] - q[k])
            right[corner[(k + 1) % 3]] += side
            right[corner[k]] -= side
    return right


force = laplace @ flat - pull(rotations(flat))
check("gradient at the flat copy", np.abs(force).max(), 1e-7)
held = solvers.splu(laplace[1:, 1:])
at = copy * np.sqrt(area.sum() / spread)
for _ in range(60):
    at = np.vstack([[0.0, 0.0], held.solve(pull(rotations(at))[1:])])
mine = flat - flat.mean(axis=0)
theirs = at - at.mean(axis=0)
left, _, right = np.linalg.svd(theirs.T @ mine)
check("flat copy by plain steps", np.abs(theirs @ (left @ right) - mine).max(), 0.01)
sys.exit(1 if failures else 0)

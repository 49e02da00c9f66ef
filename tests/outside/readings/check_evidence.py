"""The evidence of a batch of readings against general dense likelihoods of scipy, to 1e-6.

The covariance of all readings is put together here from what the headers state, one dense matrix; nothing is taken over but
the readings. Hardly rounded and normal: the density of a multivariate normal distribution. Rounded and contaminated: the mode
by a general minimiser, then Laplace's formula; and how far that is from the integral, by importance samples: equally far for
every hypothesis.
usage: check_evidence.py EVIDENCE-PROBE
"""
import json
import subprocess
import sys

import numpy as np
from scipy import optimize, special, stats

faults = []
short = {}
batches = json.loads(subprocess.run([sys.argv[1]], capture_output=True, check=True).stdout)
ALL, MEASURE, TAPE, HAND, SIZE, WIDTH, STEP = 0.12, 0.15, 0.12, 0.08, 0.10, 0.10, 0.02


def read_again(rows):
    """Which readings are of a measure of a last that was read more than once."""
    return np.array([((rows[:, 1] == row[1]) & (rows[:, 2] == row[2])).sum() > 1 for row in rows])


def covariance(rows, noise):
    block, last, measure, size, width, tape, foot, girth, size_steps, width_steps = (rows[:, k] for k in range(10))
    same = lambda values: (values[:, None] == values[None, :]).astype(float)
    of_measure, girths = same(measure), np.outer(girth, girth)
    _, pair, one_last, last_pair, own = noise[:5]
    v = same(block) * (pair**2 * of_measure + last_pair**2 * girths)
    v += same(last) * (one_last**2 * girths + np.where(read_again(rows), own, 0.0)[:, None]**2 * of_measure)
    v += ALL**2 + MEASURE**2 * of_measure + TAPE**2 * same(tape) + HAND**2 * of_measure * np.outer(foot, foot)
    v += of_measure * (SIZE**2 * same(size) + WIDTH**2 * same(width))
    v += STEP**2 * of_measure * (np.outer(size_steps, size_steps) + np.outer(width_steps, width_steps))
    return v + np.outer(rows[:, 13], rows[:, 13])


def bell(x):
    return np.exp(-x * x / 2) / np.sqrt(2 * np.pi)


def parts(low, high, f, noise, own):
    s, e, e0 = noise[0], noise[5], noise[6]  # what a measure read once has of its own widens both parts
    shares, slopes, weights = [], [], []
    for part, spread in ((1.0 - e - e0, np.hypot(s, own)), (e, np.hypot(4.0 * s, own))):
        a, b = (low - f) / spread, (high - f) / spread
        flip = a > 0
        a, b = np.where(flip, -b, a), np.where(flip, -a, b)
        p = np.maximum(special.ndtr(b) - special.ndtr(a), 1e-300)
        g = (bell(a) - bell(b)) / (spread * p)
        weights.append(g**2 - (a * bell(a) - b * bell(b)) / (spread**2 * p))
        slopes.append(np.where(flip, -g, g))
        shares.append(part * p)
    p = sum(shares) + e0 * (high - low) / 80.0
    slope = sum(r * g for r, g in zip(shares, slopes)) / p
    weight = np.maximum(sum(r * w for r, w in zip(shares, weights)) / p, 1e-5)
    return np.log(p), slope, weight


def check(name, found, wanted, within):
    print(f"{name}: {found:.9f}, wanted {wanted:.9f}")
    if not abs(found - wanted) <= within:
        faults.append(name)


for name, batch in batches.items():
    rows, noise = np.array(batch["readings"]), batch["noise"]
    low, high, offset = rows[:, 10], rows[:, 11], rows[:, 12]
    n = len(rows)
    v = covariance(rows, noise)
    own = np.where(read_again(rows), 0.0, noise[4])
    if name == "normal":
        middle, step = (low + high) / 2 - offset, high - low
        wanted = stats.multivariate_normal(np.zeros(n), v + np.diag(noise[0]**2 + own**2)).logpdf(middle) + np.log(step).sum()
        check(name, batch["log_evidence"], wanted, 1e-6)
        continue
    root = np.linalg.cholesky(v + 1e-13 * np.eye(n))

    def height(x):
        log_p, slope, _ = parts(low, high, offset + root @ x, noise, own)
        return x @ x / 2 - log_p.sum(), x - root.T @ slope

    x = optimize.minimize(height, np.zeros(n), jac=True, method="BFGS", options={"gtol": 1e-9, "maxiter": 5000}).x
    log_p, _, weight = parts(low, high, offset + root @ x, noise, own)
    half = np.sqrt(weight)
    wanted = log_p.sum() - x @ x / 2 - np.linalg.slogdet(np.eye(n) + half[:, None] * v * half[None, :])[1] / 2
    check(name, batch["log_evidence"], wanted, 1e-6)
    # The integral itself: samples from the normal distribution at the mode with the same weights.
    generator = np.random.default_rng(1)
    spread = np.linalg.cholesky(np.linalg.inv(np.eye(n) + root.T @ (weight[:, None] * root)))
    z = generator.standard_normal((4_000, n))
    at = x + z @ spread.T
    logs = np.array([-height(one)[0] for one in at]) + (z**2).sum(1) / 2 + np.log(np.diag(spread)).sum()
    integral = logs.max() + np.log(np.exp(logs - logs.max()).mean())
    # With heavy tails the formula is some short of it, but equally for every hypothesis: causes are compared.
    check(name + ", integral", batch["log_evidence"], integral, 2.5)
    short[name] = integral - batch["log_evidence"]

check("short of the integral, both hypotheses", short["hypothesis"], short["heavy"], 0.3)
print(f"{len(batches)} batches: {len(faults)} faults {faults}")
sys.exit(1 if faults or len(batches) != 4 else 0)

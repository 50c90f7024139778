"""Depth profiles with SciPy: what `depth_profile` does once, written for `curve_fit` with vectorised means over intervals.

    profile_scipy.py make FILE                 1000 invented timbers: timber,core,from,to,value
    profile_scipy.py time FILE REPLICATES [N]  seconds and depths of the rim for the first N timbers, as JSON

For each timber six models are fitted to means over intervals, weighed by thickness, and compared by AICc; profiles are drawn
from the best one and fitted again. Simpler than ours: one model is drawn from, cores are alike, and no interval of the break is
searched for.
"""

import json
import math
import random
import sys
import time
import warnings

import numpy as np
from scipy.optimize import OptimizeWarning, curve_fit

EDGES = [0, 5, 10, 15, 20, 30, 40]
SOUND = 70.0
WIDTH = 2 * math.log(9)


def make(file):
    rng = random.Random(1)
    with open(file, "w", encoding="utf-8") as out:
        for timber in range(1000):
            outside, inside = rng.uniform(25, 45), rng.uniform(80, 98)
            at, width = rng.uniform(8, 26), rng.choice([1.0, 8.0, 16.0])
            for core in range(2):
                offset = rng.gauss(0, 1)
                for a, b in zip(EDGES, EDGES[1:]):
                    y = float(logistic((np.array([a]), np.array([b])), outside, inside, at, width)[0])
                    out.write(f"{timber},{core},{a},{b},{y + offset + rng.gauss(0, 2):.2f}\n")


def constant(x, level):
    return np.full_like(x[0], level, dtype=float)


def linear(x, surface, slope):
    return surface + slope * (x[0] + x[1]) / 2


def beyond(x, at):
    return np.clip((x[1] - at) / (x[1] - x[0]), 0, 1)


def step(x, outside, inside, at):
    return outside + (inside - outside) * beyond(x, at)


def stick(x, surface, slope, change, at):
    a, b = x
    hinge = np.where(at <= a, (a + b) / 2 - at, np.where(at >= b, 0, (b - at) ** 2 / (2 * (b - a))))
    return surface + slope * (a + b) / 2 + change * hinge


def logistic(x, outside, inside, at, width):
    s = width / WIDTH
    a, b = (x[0] - at) / s, (x[1] - at) / s
    share = s * (np.logaddexp(0, -a) - np.logaddexp(0, -b)) / (x[1] - x[0])
    return inside + (outside - inside) * share


def exponential(x, surface, inside, length):
    share = length * (np.exp(-x[0] / length) - np.exp(-x[1] / length)) / (x[1] - x[0])
    return inside + (surface - inside) * share


MODELS = {
    "constant": (constant, lambda y: [y.mean()], None),
    "linear": (linear, lambda y: [y[0], 1.0], None),
    "step": (step, lambda y: [y.min(), y.max(), 15.0], ([-np.inf, -np.inf, 0], [np.inf, np.inf, 40])),
    "exponential": (exponential, lambda y: [y.min(), y.max(), 10.0], ([-np.inf, -np.inf, 1], [np.inf, np.inf, 160])),
    "broken_stick": (stick, lambda y: [y.min(), 3.0, -3.0, 15.0], ([-np.inf] * 3 + [0], [np.inf] * 3 + [40])),
    "logistic": (logistic, lambda y: [y.min(), y.max(), 15.0, 8.0], ([-np.inf, -np.inf, 0, 0.6], [np.inf, np.inf, 40, 80])),
}


def rim(model, b):
    depths = np.linspace(0, 40, 401)
    fine = np.maximum(depths + 1e-6, depths)
    degraded = model((depths, fine), *b) < SOUND
    if degraded[-1]:
        return math.inf
    return 0.0 if not degraded.any() else float(depths[np.nonzero(degraded)[0][-1]])


def fitted(name, x, y, u, start=None):
    model, begin, bounds = MODELS[name]
    bounds = bounds or (-np.inf, np.inf)
    return curve_fit(model, x, y, p0=begin(y) if start is None else start, sigma=u, bounds=bounds)[0]


def profile(rows, replicates, seed):
    a, b, y = (np.array(column, dtype=float) for column in zip(*rows))
    x, u, n = (a, b), np.sqrt((b - a).mean() / (b - a)), len(rows)
    best = None
    for name in MODELS:
        try:
            found = fitted(name, x, y, u)
        except RuntimeError:
            continue
        rss = float((((y - MODELS[name][0](x, *found)) / u) ** 2).sum())
        k = len(found) + 1
        aicc = n * math.log(rss / n) + 2 * k + 2 * k * (k + 1) / (n - k - 1)
        if best is None or aicc < best[0]:
            best = aicc, name, found, math.sqrt(rss / (n - len(found)))
    _, name, found, scatter = best
    model = MODELS[name][0]
    means, rng, depths = model(x, *found), np.random.default_rng(seed), []
    for _ in range(replicates):
        try:
            depths.append(rim(model, fitted(name, x, means + scatter * u * rng.standard_normal(n), u, found)))
        except (RuntimeError, ValueError):
            pass
    return rim(model, found), np.quantile(depths, [0.025, 0.975], method="higher") if depths else None


def read(file):
    timbers = {}
    with open(file, encoding="utf-8") as lines:
        for line in lines:
            timber, _, a, b, y = line.split(",")
            timbers.setdefault(int(timber), []).append((float(a), float(b), float(y)))
    return [timbers[timber] for timber in sorted(timbers)]


def main():
    warnings.simplefilter("ignore", OptimizeWarning)
    if sys.argv[1] == "make":
        make(sys.argv[2])
        return
    timbers, replicates = read(sys.argv[2]), int(sys.argv[3])
    timbers = timbers[: int(sys.argv[4])] if len(sys.argv) > 4 else timbers
    start = time.perf_counter()
    rims = [profile(rows, replicates, seed)[0] for seed, rows in enumerate(timbers)]
    seconds = time.perf_counter() - start
    print(json.dumps({"seconds": seconds, "rims": [rim if math.isfinite(rim) else None for rim in rims]}))


if __name__ == "__main__":
    main()

"""Freezes depth profiles: curves whose means over intervals are fitted, breaks with their intervals, monotone levels.

Means over intervals come from scipy.integrate.quad, so nothing here shares a formula with woodstate. The cores are invented;
`points` are 60 generated points, y = 100 - 4 x + 2 max(x - 7, 0) with normal noise.
"""

import math
import random

import numpy as np
from frozen import package, plain, write
from scipy.integrate import quad
from scipy.optimize import brentq, isotonic_regression, least_squares, minimize_scalar
from scipy.stats import f as f_distribution

COVERAGE = 0.95


def invented(seed, curve, edges, noise, cores):
    """(core, from, to, value): nothing of this was measured."""
    rng = random.Random(seed)
    rows = []
    for core in range(cores):
        for a, b in zip(edges, edges[1:]):
            value = quad(curve, a, b, epsabs=1e-12, limit=200)[0] / (b - a)
            rows.append((core, a, b, round(value + rng.gauss(0, noise), 2)))
    return rows


THIN = [0, 4, 8, 12, 16, 20, 25, 30, 40, 50]
CORES = {
    "gradual": invented(5, lambda x: 35 + 55 / (1 + math.exp(-(x - 17) / 2.5)), THIN, 1.5, 2),
    "sharp": invented(6, lambda x: 38 if x < 14.3 else 88, THIN, 1.5, 2),
    "levelling": invented(7, lambda x: 90 - 60 * math.exp(-x / 9), THIN, 1.5, 2),
    "bent": invented(8, lambda x: 30 + 3 * x - 2.9 * max(x - 19, 0), THIN, 1.5, 2),
}


def generated():
    rng = random.Random(1)
    rows = []
    for k in range(60):
        x = round(20 * k / 59, 4)
        rows.append((x, round(100 - 4 * x + 2 * max(x - 7, 0) + rng.gauss(0, 1.2), 3)))
    return rows


def mean(curve, a, b, breaks=()):
    inside = [p for p in breaks if a < p < b]
    return quad(curve, a, b, points=inside or None, epsabs=1e-13, epsrel=1e-13, limit=200)[0] / (b - a)


# Each: curve of depth and parameters, where it has corners, a start.
MODELS = {
    "constant": (lambda x, b: b[0], lambda b: [], [60.0]),
    "linear": (lambda x, b: b[0] + b[1] * x, lambda b: [], [40.0, 1.0]),
    "logistic": (
        lambda x, b: b[1] + (b[0] - b[1]) / (1 + math.exp(2 * math.log(9) * (x - b[2]) / b[3])),
        lambda b: [],
        [35.0, 90.0, 17.0, 11.0],
    ),
    "exponential": (lambda x, b: b[1] + (b[0] - b[1]) * math.exp(-x / b[2]), lambda b: [], [30.0, 90.0, 9.0]),
    "broken_stick": (
        lambda x, b: b[0] + b[1] * x + b[2] * max(x - b[3], 0),
        lambda b: [b[3]],
        [30.0, 3.0, -2.9, 19.0],
    ),
    "step": (lambda x, b: b[0] if x < b[2] else b[1], lambda b: [b[2]], [38.0, 88.0, 14.3]),
}
OF_CORES = {
    "gradual": ["constant", "linear", "logistic"],
    "sharp": ["step"],
    "levelling": ["exponential"],
    "bent": ["broken_stick"],
}


def weights(rows):
    thickness = np.array([b - a for _, a, b, _ in rows])
    return thickness / thickness.mean()


def residuals(rows, model, b):
    curve, corners, _ = MODELS[model]
    w = np.sqrt(weights(rows))
    means = np.array([mean(lambda x: curve(x, b), a, c, corners(b)) for _, a, c, _ in rows])
    return w * (np.array([y for *_, y in rows]) - means)


def fitted(rows, model):
    start = MODELS[model][2]
    options = dict(method="trf", x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15, jac="3-point", max_nfev=500)
    found = least_squares(lambda b: residuals(rows, model, b), start, **options)
    n, p = len(rows), len(start)
    rss = float(2 * found.cost)
    covariance = np.linalg.inv(found.jac.T @ found.jac) * rss / (n - p) if model != "step" else None
    k = p + 1
    deviance = n * (math.log(2 * math.pi * rss / n) + 1) - float(np.log(weights(rows)).sum())
    entry = {
        "parameters": listed(found.x),
        "rss": rss,
        "aicc": deviance + 2 * k + 2 * k * (k + 1) / (n - k - 1),
    }
    if covariance is not None:
        entry["u"] = listed(np.sqrt(np.diag(covariance)))
    if model in ("step", "broken_stick"):
        entry["interval"] = interval(rows, model, found.x[-1], rss, n, p)
    return entry


def held(rows, model, at):
    """Least squares with the break held: linear, by numpy.linalg.lstsq."""
    w = np.sqrt(weights(rows))
    if model == "step":
        share = lambda x: 1.0 if x >= at else 0.0
        columns = [[1.0, mean(share, a, b, [at])] for _, a, b, _ in rows]
    else:
        columns = [[1.0, (a + b) / 2, mean(lambda x: max(x - at, 0), a, b, [at])] for _, a, b, _ in rows]
    y = w * np.array([y for *_, y in rows])
    design = w[:, None] * np.array(columns)
    factors, *_ = np.linalg.lstsq(design, y, rcond=None)
    return float(((y - design @ factors) ** 2).sum())


def interval(rows, model, best, rss, n, p):
    limit = rss * (1 + f_distribution.ppf(COVERAGE, 1, n - p) / (n - p))
    step = 0.5
    ends = []
    for sign in (-1, 1):
        here = best
        while held(rows, model, here + sign * step) <= limit:
            here += sign * step
        low, high = sorted([here, here + sign * step])
        ends.append(brentq(lambda at: held(rows, model, at) - limit, low, high, xtol=1e-12))
    return ends


def of_points(points):
    x, y = (np.array(column) for column in zip(*points))

    def squares(at):
        design = np.column_stack([np.ones_like(x), x, np.maximum(x - at, 0)])
        factors, *_ = np.linalg.lstsq(design, y, rcond=None)
        return float(((y - design @ factors) ** 2).sum())

    grid = np.linspace(1, 19, 361)
    near = min(grid, key=squares)
    best = minimize_scalar(squares, bounds=(near - 0.1, near + 0.1), method="bounded", options={"xatol": 1e-12})
    limit = best.fun * (1 + f_distribution.ppf(COVERAGE, 1, len(x) - 4) / (len(x) - 4))
    ends = [brentq(lambda at: squares(at) - limit, best.x - 4, best.x), brentq(lambda at: squares(at) - limit, best.x, best.x + 4)]
    return {"x": listed(x), "y": listed(y), "break": float(best.x), "interval": ends}


def monotone(rows):
    edges = sorted({edge for _, a, b, _ in rows for edge in (a, b)})
    means, w, depths = [], [], []
    for a, b in zip(edges, edges[1:]):
        values = [y for _, c, d, y in rows if c <= a and d >= b]
        if values:
            means.append(np.mean(values))
            w.append((b - a) * len(values))
            depths.append([a, b])
    levels = isotonic_regression(means, weights=w, increasing=True).x
    return {"depths": depths, "levels": listed(levels)}


def listed(numbers):
    return [plain(number) for number in numbers]


cores = {}
for name, rows in CORES.items():
    cores[name] = {
        "rows": [list(row) for row in rows],
        "models": {model: fitted(rows, model) for model in OF_CORES[name]},
        "monotone": monotone(rows),
    }
write(
    "profile.json",
    {
        "packages": [package("numpy"), package("scipy")],
        "call": "scipy.optimize.least_squares(residuals of means by scipy.integrate.quad, jac='3-point', xtol=ftol=gtol=1e-15); "
        "scipy.optimize.isotonic_regression(means, weights=thickness x number); "
        "interval: RSS(break) by numpy.linalg.lstsq <= RSS (1 + F(0.95; 1, n - p)/(n - p)), ends by scipy.optimize.brentq",
        "relative": 1e-6,
        "cores": cores,
        "points": of_points(generated()),
    },
)

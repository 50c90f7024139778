"""Refits a curve to residuals drawn again, with SciPy: 2000 times what `bootstrap_fit` does once.

    fit_scipy.py make FOLDER                       invented readings for every size
    fit_scipy.py check MODEL FILE < OURS           digits of ours and of each way with SciPy, as JSON
    fit_scipy.py time MODEL FILE WAY ROUNDS REFITS seconds of each round, as JSON

Every refit starts at the fit, as ours does. The reference of `check` are Gauss-Newton steps in long double, until nothing moves.
"""

import json
import math
import random
import sys
import time
from pathlib import Path

import numpy as np
from scipy.optimize import curve_fit, leastsq

SIZES = (12, 30, 60, 1000, 100_000)
TIGHT = 1e-15
DEFAULT = 1.49012e-8


def power(log, a, b):
    """a (x/100)^b with ln(x/100) taken once: faster than x**b."""
    return a * np.exp(b * log)


def power_slopes(log, a, b):
    share = np.exp(b * log)
    return np.array([share, a * share * log])


def logistic(x, a, d, m, s):
    return d + (a - d) / (1 + np.exp((x - m) / s))


def logistic_slopes(x, a, d, m, s):
    z = (x - m) / s
    share = 1 / (1 + np.exp(z))
    steep = (a - d) * share * (1 - share) / s
    return np.array([share, 1 - share, steep, steep * z])


MODELS = {
    "power": (power, power_slopes, [50.0, 1.0], lambda x: np.log(x / 100)),
    "logistic": (logistic, logistic_slopes, [5.0, 60.0, 50.0, -10.0], lambda x: x),
}
TRUTH = {
    "power": lambda x: 58 * (x / 100) ** 1.25,
    "logistic": lambda x: 4 + 54 / (1 + math.exp((50 - x) / 9)),
}


def by_curve_fit(model, x, y, start, tolerance):
    return curve_fit(MODELS[model][0], x, y, p0=start, ftol=tolerance, xtol=tolerance, gtol=tolerance)[0]


def by_leastsq(model, x, y, start, tolerance):
    """Without the wrapper, with the slopes written down."""
    value, slopes, _, _ = MODELS[model]
    return leastsq(
        lambda b: value(x, *b) - y, start, Dfun=lambda b: slopes(x, *b), col_deriv=True, ftol=tolerance, xtol=tolerance, gtol=tolerance
    )[0]


WAYS = {
    "curve_fit": (by_curve_fit, TIGHT),
    "leastsq": (by_leastsq, TIGHT),
    "curve_fit default": (by_curve_fit, DEFAULT),
}


def make(folder):
    folder.mkdir(parents=True, exist_ok=True)
    for model, truth in TRUTH.items():
        for n in SIZES:
            rng = random.Random(f"{model}/{n}")
            x = [round(12 + 88 * (k + rng.random()) / n, 3) for k in range(n)]
            lines = [f"{v},{round(truth(v) + rng.gauss(0, 1.5), 3)}\n" for v in x]
            (folder / f"fit_{model}_{n}.csv").write_text("".join(lines), encoding="utf-8")


def read(model, file):
    x, y = np.loadtxt(file, delimiter=",", unpack=True)
    return MODELS[model][3](x), y


def exact(model, x, y, start):
    """The parameters at which the squares are least, in long double."""
    value, slopes, _, _ = MODELS[model]
    x, y, b = np.asarray(x, np.longdouble), np.asarray(y, np.longdouble), np.asarray(start, np.longdouble)
    for _ in range(500):
        j = slopes(x, *b)
        scale = np.sqrt((j * j).sum(axis=1))
        j = j / scale[:, None]
        normal, right = j @ j.T, j @ (y - value(x, *b))
        step = eliminated(normal, right) / scale
        b = b + step
        if np.all(np.abs(step) <= np.abs(b) * 1e-16):
            return b
    sys.exit(f"{model}: no minimum in long double")


def eliminated(matrix, right):
    """Solves a small linear system: NumPy has none for long double."""
    rows = np.column_stack([matrix, right])
    for k in range(len(right)):
        best = k + int(np.argmax(np.abs(rows[k:, k])))
        rows[[k, best]] = rows[[best, k]]
        rows[k] /= rows[k, k]
        for i in range(len(right)):
            if i != k:
                rows[i] -= rows[i, k] * rows[k]
    return rows[:, -1]


def digits(found, reference):
    """Digits of the worst parameter."""
    miss = float(np.max(np.abs((np.asarray(found, np.longdouble) - reference) / reference)))
    return 16.0 if miss == 0 else min(16.0, -math.log10(miss))


def check(model, file):
    ours = json.load(sys.stdin)
    x, y = read(model, file)
    start = exact(model, x, y, ours["parameters"])
    told = {"fit": digits(ours["parameters"], start), "failed": ours["failed"], "ours": [], **{way: [] for way in WAYS}}
    for readings, refit in zip(ours["y"], ours["refits"], strict=True):
        reference = exact(model, x, readings, refit)
        told["ours"].append(digits(refit, reference))
        for way, (solve, tolerance) in WAYS.items():
            told[way].append(digits(solve(model, x, np.array(readings), ours["parameters"], tolerance), reference))
    print(json.dumps(told))


def timed(model, file, way, rounds, refits):
    solve, tolerance = WAYS[way]
    value, slopes, start, _ = MODELS[model]
    x, y = read(model, file)
    start = solve(model, x, y, start, TIGHT)
    # Residuals as large as the scatter: over the root of 1 - leverage, less their mean.
    q, _ = np.linalg.qr(slopes(x, *start).T)
    fitted = value(x, *start)
    residuals = (y - fitted) / np.sqrt(1 - (q * q).sum(axis=1))
    residuals -= residuals.mean()
    rng, seconds = np.random.default_rng(1), []
    for _ in range(rounds):
        begin = time.perf_counter()
        drawn = fitted + residuals[rng.integers(len(x), size=(refits, len(x)))]
        found = np.array([solve(model, x, readings, start, tolerance) for readings in drawn])
        seconds.append(time.perf_counter() - begin)
        del found
    print(json.dumps({"refits": refits, "seconds": seconds}))


def main():
    match sys.argv[1:]:
        case ["make", folder]:
            make(Path(folder))
        case ["check", model, file]:
            check(model, file)
        case ["time", model, file, way, rounds, refits]:
            timed(model, file, way, int(rounds), int(refits))
        case _:
            sys.exit(__doc__)


main()

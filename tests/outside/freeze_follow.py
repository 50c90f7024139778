"""Freezes the following of a treatment: diffusivity from weighings (scipy.optimize.curve_fit, profile limit by brentq), and the water of
a tank that is changed several times, as a system of ordinary equations (scipy.integrate.solve_ivp, cells of equal volume and the bath).

The weighings are a true course with a scatter that is written down here, so nothing is random.
"""

import math

import numpy as np
from frozen import package, plain, write
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, curve_fit
from scipy.special import j0, jn_zeros
from scipy.stats import f as fisher

DAY = 86400.0
ZEROS = jn_zeros(0, 2000)
ODD = np.arange(1, 4001, 2)
# A scatter in kg that sums to nothing in particular.
SCATTER = [0.03, -0.05, 0.02, 0.06, -0.04, -0.01, 0.05, -0.03, 0.04, -0.06, 0.01, -0.02]


def slab_left(t):
    return 1.0 if t <= 0 else 8 / math.pi**2 * math.fsum(np.exp(-((ODD * math.pi / 2) ** 2) * t) / ODD**2)


def round_left(t):
    return 1.0 if t <= 0 else math.fsum(4 / ZEROS**2 * np.exp(-(ZEROS**2) * t))


BODIES = {
    "slab": ([0.03], lambda d, t: 1 - slab_left(d * t / 0.03**2)),
    "beam": ([0.06, 0.04], lambda d, t: 1 - slab_left(d * t / 0.06**2) * slab_left(d * t / 0.04**2)),
    "round": ([0.05], lambda d, t: 1 - round_left(d * t / 0.05**2)),
}


def followed(uptake, d, baths, t):
    """Mean concentration in the wood: the sum over the steps of the bath."""
    steps = zip(baths, [(0.0, 0.0), *baths])
    return sum((c - before) * uptake(d, t - begin) for (begin, c), (_, before) in steps if begin < t)


def weighed(kind, truth, noise):
    """Twelve weighings in three baths, fitted with scipy."""
    sizes, uptake = BODIES[kind]
    baths = [(0.0, 100.0), (120 * DAY, 205.0), (240 * DAY, 315.0)]
    times = [30 * DAY * k for k in range(12)]
    masses = [60 + 0.012 * followed(uptake, truth, baths, t) + noise * s for t, s in zip(times, SCATTER)]

    def model(_, log_d, start, gain):
        return [start + gain * followed(uptake, math.exp(log_d), baths, t) for t in times]

    (log_d, start, gain), _ = curve_fit(model, times, masses, p0=[math.log(truth), 60, 0.012], xtol=1e-15, ftol=1e-15, gtol=1e-15)

    def squares(log):
        design = np.column_stack([np.ones(len(times)), [followed(uptake, math.exp(log), baths, t) for t in times]])
        left = np.array(masses) - design @ np.linalg.lstsq(design, np.array(masses), rcond=None)[0]
        return float(left @ left)

    least, freedom = squares(log_d), len(times) - 3
    limit = least * (1 + fisher.ppf(0.95, 1, freedom) / freedom)
    ends = [brentq(lambda log: squares(log) - limit, log_d, log_d + step, xtol=1e-14) for step in (-3.0, 3.0)]
    return {
        "name": kind,
        "relative": 1e-6,
        "half_sizes": sizes,
        "begins": [begin for begin, _ in baths],
        "concentrations": [c for _, c in baths],
        "times": times,
        "masses": [plain(m) for m in masses],
        "diffusivity": plain(math.exp(log_d)),
        "start": plain(start),
        "gain": plain(gain),
        "interval": [plain(math.exp(end)) for end in ends],
        "scatter": plain(math.sqrt(least / freedom)),
    }


def washed(kind, half, d, ratios, length):
    """The bath at several times: cells of equal width across the half-thickness or radius, and a stirred bath."""
    n, power = 400, {"slab": 0, "round": 1}[kind]
    edges = np.linspace(0, half, n + 1)
    store = np.diff(edges ** (power + 1)) / (power + 1)
    link = d * edges[1:] ** power / (half / n)
    link[-1] *= 2
    state, found = np.append(np.ones(n), 0.0), []
    for bath, ratio in enumerate(ratios):

        def change(_, y):
            flux = np.append(link[:-1] * np.diff(y[:-1]), link[-1] * (y[-1] - y[-2]))
            inner = np.diff(np.append(0.0, flux)) / store
            return np.append(inner, -flux[-1] / (ratio * store.sum()))

        state[-1] = 0.0
        looks = [0.1 * length, 0.4 * length, length]
        solved = solve_ivp(change, (0, length), state, method="LSODA", t_eval=looks, rtol=1e-9, atol=1e-11, lband=1, uband=1)
        found += [[bath, bath * length + t, plain(v)] for t, v in zip(looks, solved.y[-1])]
        state = solved.y[:, -1]
    return {"name": kind, "relative": 1e-6, "half": half, "diffusivity": d, "ratios": ratios, "length": length, "values": found}


write(
    "follow.json",
    {
        "packages": [package("numpy"), package("scipy")],
        "calls": [
            "scipy.optimize.curve_fit(model, times, masses, xtol=1e-15, ftol=1e-15, gtol=1e-15)",
            "scipy.optimize.brentq on squares less their limit by scipy.stats.f.ppf",
            "scipy.integrate.solve_ivp(f, (0, t), y, method='LSODA', rtol=1e-9)",
        ],
        "weighed": [weighed("slab", 2e-11, 0.05), weighed("beam", 3e-11, 0.4), weighed("round", 2e-11, 0.3)],
        "washed": [
            washed("slab", 0.02, 2e-11, [4.0, 4.0, 8.0, 4.0], 60 * DAY),
            washed("round", 0.05, 5e-11, [1.5, 1.5, 1.5], 90 * DAY),
        ],
    },
)

"""Lifts with NumPy: the timber of benches/lift.rs in three ways of support, vectorised over the draws of one timber.

    lift_numpy.py TIMBERS DRAWS    seconds, and weight and probabilities of the first timber, as JSON

Closed forms of a beam of one section: moments over both supports and between them, shear forces at both sides of each. Standard
deviations and quantiles of moments, stresses and margins are taken as ours does.
"""

import json
import sys
import time

import numpy as np

REQUIRED = 4.0
LENGTH = 6.0
WAYS = ((0.207, 0.793, True), (0.0, 1.0, True), (0.0, 0.707, False))


def told(columns):
    return [(np.std(column, ddof=1), np.quantile(column, (0.025, 0.975))) for column in columns]


def timber(seed, n):
    random = np.random.default_rng(seed)
    normal = lambda mean, sd: random.normal(mean, sd, n)
    length = LENGTH * normal(1, 0.005)
    width, height = 0.25 * normal(1, 0.02), 0.20 * normal(1, 0.02)
    rim = np.maximum(normal(0.025, 0.003), 0)
    water, wall, jerk = normal(1005, 1), normal(1500, 30), normal(1.2, 0.05)
    wet = lambda density: density + water * (1 - density / wall)
    core_density, rim_density = normal(480, 25), normal(190, 20)
    bending, compression, shear, bearing = (np.maximum(value * normal(1, 0.25), 0) for value in (20.0, 9.0, 3.0, 0.4))
    w, h = width - 2 * rim, height - 2 * rim
    load = 9.80665 * (wet(rim_density) * (width * height - w * h) + wet(core_density) * w * h)
    weight = load * length
    under = 9.80665 * ((wet(rim_density) - water) * (width * height - w * h) + (wet(core_density) - water) * w * h) * length
    load = load * jerk
    below, parts = [], told([weight, under, weight / under])
    for first, second, is_hung in WAYS:
        a = first * length + normal(0, 0.05) if is_hung else np.zeros(n)
        b = second * length + normal(0, 0.05)
        a, b = np.clip(a, 0, length), np.clip(b, 0, length)
        far = load * length * (length / 2 - a) / (b - a)
        near = load * length - far
        sag = near * near / (2 * load) - near * a
        moment = np.maximum(sag, load * np.maximum(a * a, (length - b) ** 2) / 2)
        force = np.max([load * a, near - load * a, load * (length - b), far - load * (length - b)], axis=0)
        stress = 6 * moment / (w * h * h) / 1e6
        sheared = 1.5 * force / (w * h) / 1e6
        pressed = np.maximum(near, far) / (0.1 * width) / 1e6
        margins = [bending / stress, compression / stress, shear / sheared, bearing / pressed]
        margin = np.min(margins, axis=0)
        below.append(float(np.mean(margin < REQUIRED)))
        parts += told([moment, np.maximum(near, far), stress, sheared, pressed, *margins, margin])
    return float(np.mean(weight)), float(np.std(weight, ddof=1)), below


def main():
    timbers, draws = (int(word) for word in sys.argv[1:3])
    start = time.perf_counter()
    found = [timber(seed, draws) for seed in range(timbers)]
    seconds = time.perf_counter() - start
    weight, u, below = found[0]
    print(json.dumps({"seconds": seconds, "weight": weight, "u": u, "below": below}))


main()

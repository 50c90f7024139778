"""Freezes diffusion: series with many terms (SciPy), stirred baths by their roots, and layers as a system of equations in time.

Values of series are at times at which a thousand terms leave nothing. Layers, and a beam with a rim, are cells of equal width in
each part, whose system of ordinary equations is solved by scipy.integrate.solve_ivp to eleven digits; the steps of time are its own.
Molar masses of agents and bases are those of the package molmass.
"""

import math

import numpy as np
from frozen import package, plain, write
from molmass import Formula
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

TIMES = (0.001, 0.005, 0.01, 0.019, 0.021, 0.05, 0.099, 0.101, 0.2, 0.5, 1.0, 1.5)
PLACES = (0.0, 0.25, 0.5, 0.8, 0.95)
# The values at a place are compared from here on: earlier the centre holds next to nothing.
FIRST_AT = 0.05
# The first takes the short form of a slab beyond 7 in exp(x²) erfc(x) at T = 0.019.
RATIOS = (0.0195, 0.05, 0.2, 1.0, 3.0, 20.0)
ZEROS = jn_zeros(0, 1000)


def slab(t, x=None):
    odd = [2 * n + 1 for n in range(1000)]
    if x is None:
        return 1 - 8 / math.pi**2 * math.fsum(math.exp(-(m * math.pi / 2) ** 2 * t) / m**2 for m in odd)
    terms = ((-1) ** (m // 2) / m * math.exp(-(m * math.pi / 2) ** 2 * t) * math.cos(m * math.pi / 2 * x) for m in odd)
    return 1 - 4 / math.pi * math.fsum(terms)


def cylinder(t, x=None):
    if x is None:
        return 1 - math.fsum(4 / a**2 * math.exp(-(a**2) * t) for a in ZEROS)
    return 1 - math.fsum(2 * j0(a * x) / (a * j1(a)) * math.exp(-(a**2) * t) for a in ZEROS)


def sphere(t, x=None):
    count = range(1, 1001)
    if x is None:
        return 1 - 6 / math.pi**2 * math.fsum(math.exp(-((n * math.pi) ** 2) * t) / n**2 for n in count)
    shape = (lambda n: 1.0) if x == 0 else (lambda n: math.sin(n * math.pi * x) / (n * math.pi * x))
    return 1 + 2 * math.fsum((-1) ** n * shape(n) * math.exp(-((n * math.pi) ** 2) * t) for n in count)


def root(f, low, high):
    return brentq(f, low, high, xtol=1e-15, rtol=8.9e-16)


def stirred(kind, alpha):
    """Roots and sizes of the exponentials."""
    gain = alpha * (1 + alpha)
    if kind == "slab":
        roots = [root(lambda q: math.sin(q) + alpha * q * math.cos(q), (n - 0.5) * math.pi, n * math.pi) for n in range(1, 400)]
        return [(q, 2 * gain / (1 + alpha + (alpha * q) ** 2)) for q in roots]
    if kind == "cylinder":
        ends = jn_zeros(0, 400)
        roots = [root(lambda q: alpha * q * j0(q) + 2 * j1(q), a, b) for a, b in zip(ends, ends[1:])]
        return [(q, 4 * gain / (4 + 4 * alpha + (alpha * q) ** 2)) for q in roots]
    passes = lambda q: (3 + alpha * q * q) * math.sin(q) - 3 * q * math.cos(q)
    roots = [root(passes, n * math.pi, (n + 0.5) * math.pi) for n in range(1, 400)]
    return [(q, 6 * gain / (9 + 9 * alpha + (alpha * q) ** 2)) for q in roots]


def stirred_uptake(parts, t):
    return 1 - math.fsum(size * math.exp(-q * q * t) for q, size in parts)


def cells(power, layers, count):
    """What cells hold and what links them, from the centre outwards; layers from the surface inwards."""
    whole = sum(thickness for thickness, _, _ in layers)
    edges, conduct, store = [0.0], [], []
    for thickness, diffusivity, porosity in reversed(layers):
        n = max(math.floor(count * thickness / whole + 0.5), 4)
        start = edges[-1]
        for k in range(n):
            a, b = start + thickness / n * k, start + thickness / n * (k + 1)
            edges.append(b)
            conduct.append(2 * porosity * diffusivity / (b - a))
            store.append(porosity * (b ** (power + 1) - a ** (power + 1)) / (power + 1))
    link = [edges[i + 1] ** power / (1 / conduct[i] + 1 / conduct[i + 1]) for i in range(len(store) - 1)]
    return np.array(store), np.array(link + [edges[-1] ** power * conduct[-1]])


def soaked(power, layers, count, baths, initial):
    """Mean after each bath, and the concentration in the innermost and the outermost cell."""
    store, link = cells(power, layers, count)
    n = len(store)
    matrix = np.zeros((n, n))
    for i in range(n):
        matrix[i, i] -= link[i]
        if i + 1 < n:
            matrix[i, i + 1] += link[i]
            matrix[i + 1, i] += link[i]
            matrix[i + 1, i + 1] -= link[i]
    matrix /= store[:, None]
    state, found = np.full(n, initial), []
    for duration, strength in baths:
        source = np.zeros(n)
        source[-1] = link[-1] * strength / store[-1]
        scale = max(strength, initial, 1.0)
        run = solve_ivp(lambda _, c: matrix @ c + source, (0, duration), state, method="Radau", jac=lambda _, c: matrix,
                        rtol=1e-11, atol=1e-12 * scale)
        state = run.y[:, -1]
        found.append({"mean": plain(state @ store / store.sum()), "innermost": plain(state[0]), "outermost": plain(state[-1])})
    return found


def axis(half, rims, count):
    """Widths of the cells from the centre outwards, and in which wood they lie, 0 outermost."""
    parts = [(len(rims), half - sum(thickness for thickness, _, _ in rims))]
    parts += [(index, rims[index][0]) for index in reversed(range(len(rims)))]
    widths, woods = [], []
    for index, thickness in parts:
        n = max(math.floor(count * thickness / half + 0.5), 3)
        widths += [thickness / n] * n
        woods += [index] * n
    return widths, woods


def soaked_beam(half, rims, core, count, baths, initial):
    """Mean after each bath, and the concentration in the innermost cell and in the one at the corner."""
    (dx, wx), (dy, wy) = axis(half[0], rims, count), axis(half[1], rims, count)
    woods = [(diffusivity, porosity) for _, diffusivity, porosity in rims] + [core]
    nx, n = len(dx), len(dx) * len(dy)
    wood = lambda i, j: woods[min(wx[i], wy[j])]
    store = np.array([wood(k % nx, k // nx)[1] * dx[k % nx] * dy[k // nx] for k in range(n)])
    matrix, source = np.zeros((n, n)), np.zeros(n)
    for k in range(n):
        i, j = k % nx, k // nx
        for side, (a, b), width, across in ((0, (i + 1, j), dx, dy[j]), (1, (i, j + 1), dy, dx[i])):
            place, end = (i, len(dx)) if side == 0 else (j, len(dy))
            resistance = width[place] / 2 / (wood(i, j)[1] * wood(i, j)[0][side])
            if place + 1 == end:
                source[k] += across / resistance
                matrix[k, k] -= across / resistance
                continue
            resistance += width[place + 1] / 2 / (wood(a, b)[1] * wood(a, b)[0][side])
            other = a + b * nx
            for row, sign in ((k, -1), (other, 1)):
                matrix[row, k] += sign * across / resistance
                matrix[row, other] -= sign * across / resistance
    matrix, source = matrix / store[:, None], source / store
    state, found = np.full(n, initial), []
    for duration, strength in baths:
        run = solve_ivp(lambda _, c: matrix @ c + source * strength, (0, duration), state, method="Radau",
                        jac=lambda _, c: matrix, rtol=1e-11, atol=1e-12 * max(strength, initial, 1.0))
        state = run.y[:, -1]
        found.append({"mean": plain(state @ store / store.sum()), "innermost": plain(state[0]), "outermost": plain(state[-1])})
    return found


DAY = 86_400.0
# Invented: half sizes, rims (thickness, diffusivities, porosity), core, cells a direction, baths, at first.
BEAM = ((0.05, 0.03), [(0.008, (8e-11, 5e-11), 0.9)], ((8e-12, 3e-12), 0.6), 10, [(40 * DAY, 200.0), (80 * DAY, 50.0)], 0.0)
SOAKINGS = {
    # Invented: a soft rim over a sound core, steps of concentration, then a washing.
    "slab": (0, [(0.006, 8e-11, 0.9), (0.012, 4e-12, 0.6)], 60, [(40 * DAY, 100.0), (40 * DAY, 200.0), (90 * DAY, 400.0)], 0.0),
    "cylinder": (1, [(0.01, 5e-11, 0.85), (0.01, 2e-11, 0.7), (0.03, 3e-12, 0.55)], 80, [(100 * DAY, 150.0), (300 * DAY, 300.0)], 0.0),
    "sphere": (2, [(0.005, 1e-10, 0.9), (0.015, 1e-11, 0.7)], 48, [(20 * DAY, 10.0), (20 * DAY, 0.0)], 35.0),
}
MOLAR_MASSES = {
    "disodium EDTA": "C10H18N2Na2O10",
    "DTPA": "C14H23N3O10",
    "triammonium citrate": "C6H17N3O7",
    "sodium hydrogen carbonate": "NaHCO3",
    "sodium carbonate": "Na2CO3",
    "calcium hydroxide": "Ca(OH)2",
    "sulfuric acid": "H2SO4",
    "iron": "Fe",
    "sulfur": "S",
}
KINDS = {"slab": slab, "cylinder": cylinder, "sphere": sphere}

write("treatment.json", {
    "packages": [package("numpy"), package("scipy"), package("molmass")],
    "calls": ["scipy.special.jn_zeros(0, 1000)", "scipy.optimize.brentq(f, a, b, xtol=1e-15)",
              "scipy.integrate.solve_ivp(f, (0, t), c, method='Radau', jac=matrix, rtol=1e-11)", "molmass.Formula(formula).mass"],
    "molar_masses": {name: plain(Formula(formula).mass) for name, formula in MOLAR_MASSES.items()},
    "zeros": [plain(zero) for zero in ZEROS[[0, 1, 2, 9, 99, 999]]],
    "uptake": [{"name": kind, "relative": 1e-11, "values": [[t, plain(f(t))] for t in TIMES]} for kind, f in KINDS.items()],
    "value": [
        {"name": kind, "relative": 1e-11, "values": [[t, x, plain(f(t, x))] for t in TIMES if t >= FIRST_AT for x in PLACES]}
        for kind, f in KINDS.items()
    ],
    "stirred": [
        {"name": f"{kind}, {alpha}", "kind": kind, "ratio": alpha, "relative": 1e-10,
         "values": [[t, plain(stirred_uptake(parts, t))] for t in TIMES]}
        for kind in KINDS
        for alpha in RATIOS
        for parts in [stirred(kind, alpha)]
    ],
    "soaking": [
        {"name": kind, "relative": 1e-9, "layers": [list(layer) for layer in layers], "cells": count,
         "baths": [list(bath) for bath in baths], "initial": initial, "ends": soaked(power, layers, count, baths, initial)}
        for kind, (power, layers, count, baths, initial) in SOAKINGS.items()
    ],
    "beam": {
        "relative": 1e-9, "half": list(BEAM[0]), "rims": [[t, list(d), p] for t, d, p in BEAM[1]], "core": [list(BEAM[2][0]), BEAM[2][1]],
        "cells": BEAM[3], "baths": [list(bath) for bath in BEAM[4]], "initial": BEAM[5], "ends": soaked_beam(*BEAM),
    },
})

"""Freezes fits: a hard polynomial in exact fractions, errors in both variables to 50 digits, robust losses by SciPy."""

from decimal import Decimal, getcontext
from fractions import Fraction

import numpy as np
from exact import digits, solve
from frozen import package, plain, write
from scipy.optimize import least_squares

getcontext().prec = 60


def polynomial(degree, x, y):
    """Least squares in exact fractions of the numbers as a machine stores them."""
    powers = [[Fraction(a) ** k for k in range(degree + 1)] for a in x]
    exact = [Fraction(b) for b in y]
    p, n = degree + 1, len(x)
    normal = [[sum(row[i] * row[j] for row in powers) for j in range(p)] for i in range(p)]
    b = solve(normal, [sum(row[i] * value for row, value in zip(powers, exact, strict=True)) for i in range(p)])
    rss = sum((value - sum(c * a for c, a in zip(b, row, strict=True))) ** 2 for row, value in zip(powers, exact, strict=True))
    unit = [[Fraction(int(i == j)) for i in range(p)] for j in range(p)]
    variances = [rss / (n - p) * solve(normal, unit[k])[k] for k in range(p)]
    root = [(Decimal(v.numerator) / Decimal(v.denominator)).sqrt() for v in variances]
    return {"x": x, "y": y, "parameters": [digits(c) for c in b], "sd": [digits(r) for r in root], "rss": digits(rss)}


def orthogonal(x, y, sx, sy, curve, b):
    """Steps of section "errors in both variables" with 60 digits, until nothing moves; the slopes of S are then checked.

    curve(x, b): value, slope by x, slopes by b.
    """
    x, y = [Decimal(v) for v in x], [Decimal(v) for v in y]
    b, shift = [Decimal(v) for v in b], [Decimal(0)] * len(x)
    for _ in range(400):
        at = [curve(a + d, b) for a, d in zip(x, shift, strict=True)]
        omega = [1 / (v * v + f[1] ** 2 * u * u) for f, u, v in zip(at, sx, sy, strict=True)]
        rest = [c - f[0] + f[1] * d for c, f, d in zip(y, at, shift, strict=True)]
        p = range(len(b))
        normal = [[sum(w * f[2][i] * f[2][j] for w, f in zip(omega, at, strict=True)) for j in p] for i in p]
        right = [sum(w * f[2][i] * r for w, f, r in zip(omega, at, rest, strict=True)) for i in p]
        step = solve(normal, right)
        shift = [
            w * f[1] * u * u * (r - sum(s * g for s, g in zip(step, f[2], strict=True)))
            for w, f, u, r in zip(omega, at, sx, rest, strict=True)
        ]
        b = [a + s for a, s in zip(b, step, strict=True)]
    at = [curve(a + d, b) for a, d in zip(x, shift, strict=True)]
    residual = [c - f[0] for c, f in zip(y, at, strict=True)]
    slopes = [sum(r / (v * v) * f[2][i] for r, v, f in zip(residual, sy, at, strict=True)) for i in p]
    slopes += [r * f[1] / (v * v) - d / (u * u) for r, f, v, d, u in zip(residual, at, sy, shift, sx, strict=True)]
    if max(abs(s) for s in slopes) > Decimal("1e-40"):
        raise SystemExit(f"not at a minimum: {max(abs(s) for s in slopes)}")
    squares = sum((r / v) ** 2 + (d / u) ** 2 for r, v, d, u in zip(residual, sy, shift, sx, strict=True))
    unit = [[Decimal(int(i == j)) for i in p] for j in p]
    sd = [solve(normal, unit[k])[k].sqrt() for k in p]
    scaled = [s * (squares / (len(x) - len(b))).sqrt() for s in sd]
    return {
        "parameters": [digits(v) for v in b],
        "squares": digits(squares),
        "sd": [digits(v) for v in sd],
        "scaled_sd": [digits(v) for v in scaled],
    }


def line(x, b):
    return b[0] + b[1] * x, b[1], [Decimal(1), x]


def power(x, b):
    whole = x ** b[1]
    return b[0] * whole, b[0] * b[1] * whole / x, [whole, b[0] * whole * x.ln()]


PEARSON_X = "0 0.9 1.8 2.6 3.3 4.4 5.2 6.1 6.5 7.4".split()
PEARSON_Y = "5.9 5.4 4.4 4.6 3.5 3.7 2.8 2.8 2.4 1.5".split()
YORK_X = "1000 1000 500 800 200 80 60 20 1.8 1".split()
YORK_Y = "1 1.8 4 8 20 20 70 70 100 500".split()
POWER_X = "1.4082 1.2161 2.5382 3.0683 3.8186 4.5932 4.9596 6.0445 6.6451 8.2101 8.3179 8.9295".split()
POWER_Y = "2.4156 3.4647 4.3707 5.5037 6.6368 7.2443 8.3888 8.7956 9.5904 10.7515 11.1357 11.4873".split()

pearson = {
    "source": "Pearson 1901, Phil. Mag. 2:559; weights of York 1966, Can. J. Phys. 44:1079 [memory]",
    "x": PEARSON_X, "y": PEARSON_Y, "weight_x": YORK_X, "weight_y": YORK_Y,
    **orthogonal(
        PEARSON_X, PEARSON_Y, [(1 / Decimal(w)).sqrt() for w in YORK_X], [(1 / Decimal(w)).sqrt() for w in YORK_Y],
        line, ["5.4", "-0.5"],
    ),
}  # fmt: skip
law = {
    "source": "own data, standard uncertainties 0.2 in x and 0.3 in y",
    "x": POWER_X, "y": POWER_Y,
    **orthogonal(POWER_X, POWER_Y, [Decimal("0.2")] * 12, [Decimal("0.3")] * 12, power, ["2.5", "0.7"]),
}  # fmt: skip

# A degree-10 polynomial of our own. The x are quarters, so that their tenth powers are stored without rounding; half a
# Chebyshev polynomial of degree 10 makes every power count.
QUARTERS = [k / 4 for k in range(8, 29)]


def chebyshev(t):
    before, now = Fraction(1), t
    for _ in range(9):
        before, now = now, 2 * t * now - before
    return now


READINGS = [
    float(round(Fraction(1) + chebyshev(Fraction(k - 18, 10)) / 2 + Fraction((7 * k) % 11 - 5, 100), 3)) for k in range(8, 29)
]

# Two readings of twelve are wrong. b0 (1 - exp(-b1 x))
ROBUST_X = [0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0]
ROBUST_Y = [21.4, 38.9, 51.2, 88.0, 78.3, 87.1, 91.0, 95.4, 52.0, 98.1, 100.3, 99.2]


def robust(loss, scale):
    x, y = np.array(ROBUST_X), np.array(ROBUST_Y)
    found = least_squares(
        lambda b: y - b[0] * (1 - np.exp(-b[1] * x)), [90.0, 0.4],
        jac=lambda b: -np.column_stack([1 - np.exp(-b[1] * x), b[0] * x * np.exp(-b[1] * x)]),
        loss=loss, f_scale=scale, ftol=1e-15, xtol=1e-15, gtol=1e-15, max_nfev=10000,
    )  # fmt: skip
    return {"loss": loss, "f_scale": scale, "parameters": [plain(f"{v:.7e}") for v in found.x], "twice_cost": plain(f"{2 * found.cost:.9e}")}


write("fit.json", {
    "units": {"all": "1"},
    "polynomial": {
        "version": "Python standard library, fractions",
        "call": "normal equations of degree 10 in exact fractions of the stored numbers",
        **polynomial(10, QUARTERS, READINGS),
    },
    "orthogonal": {
        "version": "Python standard library, decimal, 60 digits",
        "call": "iterated until nothing moves; all slopes of S below 1e-40",
        "pearson": pearson,
        "power": law,
    },
    "robust": {
        "version": package("scipy"),
        "call": "scipy.optimize.least_squares(loss=loss, f_scale=f_scale, ftol=xtol=gtol=1e-15)",
        "note": "8 digits of the parameters: the squares see no more",
        "x": ROBUST_X,
        "y": ROBUST_Y,
        "values": [robust(loss, scale) for loss in ("linear", "huber", "soft_l1") for scale in (1.0, 3.0)],
    },
})

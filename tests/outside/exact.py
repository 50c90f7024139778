"""Least squares in numbers of any length: what the freeze scripts share."""

from decimal import Decimal
from fractions import Fraction

from frozen import plain


def solve(matrix, right):
    """Solves a linear system in exact fractions (or decimals) by elimination."""
    n = len(right)
    rows = [list(row) + [value] for row, value in zip(matrix, right, strict=True)]
    for k in range(n):
        best = max(range(k, n), key=lambda i: abs(rows[i][k]))
        rows[k], rows[best] = rows[best], rows[k]
        for i in range(n):
            if i != k:
                factor = rows[i][k] / rows[k][k]
                rows[i] = [a - factor * b for a, b in zip(rows[i], rows[k], strict=True)]
    return [rows[k][n] / rows[k][k] for k in range(n)]


def digits(value, count=17):
    """A fraction or decimal as a Python float text with so many significant digits."""
    if isinstance(value, Fraction):
        value = Decimal(value.numerator) / Decimal(value.denominator)
    return plain(f"{value:.{count - 1}e}")


def squares(x, y, weight, curve, b):
    """Sum of squared residuals, each times its weight."""
    return sum((w * (v - curve(u, b)[0])) ** 2 for u, v, w in zip(x, y, weight, strict=True))


def nearest(x, y, weight, curve, b):
    """Parameters at which the squares are least, by Gauss-Newton steps until nothing moves, and (J'WJ)^-1.

    curve(x, b): value, slopes by b. All numbers are decimals.
    """
    p = range(len(b))
    for _ in range(2000):
        at = [curve(u, b) for u in x]
        rest = [v - f[0] for v, f in zip(y, at, strict=True)]
        normal = [[sum(w * w * f[1][i] * f[1][j] for w, f in zip(weight, at, strict=True)) for j in p] for i in p]
        right = [sum(w * w * f[1][i] * r for w, f, r in zip(weight, at, rest, strict=True)) for i in p]
        step = solve(normal, right)
        b = [a + s for a, s in zip(b, step, strict=True)]
        if all(abs(s) <= abs(a) * Decimal("1e-28") for a, s in zip(b, step, strict=True)):
            unit = [[Decimal(int(i == j)) for i in p] for j in p]
            return b, [solve(normal, unit[k]) for k in p]
    raise SystemExit(f"not at a minimum: {b}")

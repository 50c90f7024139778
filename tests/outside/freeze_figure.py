"""Freezes what matplotlib and NumPy say of boxes, and SciPy of correlations of ranks."""

import numpy
from frozen import package, plain, write
from matplotlib.cbook import boxplot_stats
from scipy.stats import spearmanr


def invented(seed, n):
    """Numbers from 100 to 700: x(k+1) = 16807 x(k) mod 2147483647."""
    numbers = []
    for _ in range(n):
        seed = seed * 16807 % 2147483647
        numbers.append(100 + seed % 60000 / 100)
    return numbers


def case(seed, n):
    values = invented(seed, n)
    if n > 10:
        # One far outside the whiskers, two that are equal.
        values[3], values[5] = 2500.0, values[4]
    others = [float(number // 50) for number in invented(seed + 100, n)]
    stats = boxplot_stats(values, whis=1.5)[0]
    quartiles = numpy.quantile(values, (0.25, 0.5, 0.75), method="linear")
    return {
        "values": values,
        "box": [plain(number) for number in (stats["whislo"], *quartiles, stats["whishi"])],
        "others": others,
        "rank_correlation": plain(spearmanr(values, others).statistic),
    }


write("figure.json", {
    "packages": [package("matplotlib"), package("numpy"), package("scipy")],
    "calls": ["matplotlib.cbook.boxplot_stats(x, whis=1.5): whislo, whishi", "numpy.quantile(x, p, method='linear')",
              "scipy.stats.spearmanr(x, y).statistic"],
    "cases": [case(seed, n) for seed, n in ((1, 5), (2, 6), (3, 11), (4, 40), (5, 161))],
})

"""Freezes intervals of shares (SciPy), and means, deviations and quartiles (NumPy)."""

import numpy
from frozen import package, plain, write
from scipy.stats import binomtest

SHARES = ((0, 1), (1, 1), (0, 20), (1, 29), (15, 148), (81, 263), (7, 10), (10, 10), (3, 1000), (500_000, 1_000_000))
COVERAGES = (0.5, 0.9, 0.95, 0.99)

# Water contents of invented pieces, %.
SAMPLES = {
    "one": [452.0],
    "two": [452.0, 118.5],
    "even": [612.25, 118.5, 340.0, 455.75, 290.5, 118.5],
    "odd": [612.25, 118.5, 340.0, 455.75, 290.5, 118.5, 777.125],
}


def interval(hits, n, coverage):
    ends = binomtest(hits, n).proportion_ci(confidence_level=coverage, method="wilson")
    return [plain(ends.low), plain(ends.high)]


write("summary.json", {
    "packages": [package("numpy"), package("scipy")],
    "calls": ["scipy.stats.binomtest(hits, n).proportion_ci(coverage, 'wilson')", "numpy.quantile(x, p, method='linear')",
              "numpy.mean(x)", "numpy.std(x, ddof=1)"],
    "note": "method 'linear' is type 7 of Hyndman and Fan 1996",
    "wilson": [
        {"hits": hits, "n": n, "coverage": coverage, "interval": interval(hits, n, coverage)}
        for hits, n in SHARES
        for coverage in COVERAGES
    ],
    "samples": [
        {
            "name": name,
            "values": values,
            "mean": plain(numpy.mean(values)),
            "sd": plain(numpy.std(values, ddof=1)) if len(values) > 1 else None,
            "quantiles": [plain(numpy.quantile(values, p, method="linear")) for p in (0.0, 0.25, 0.5, 0.75, 1.0)],
        }
        for name, values in SAMPLES.items()
    ],
})

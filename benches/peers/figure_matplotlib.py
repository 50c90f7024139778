"""Draws the figure of benches/figure.rs with matplotlib, cold: figure_matplotlib.py POINTS FOLDER."""

import sys
from pathlib import Path

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt  # noqa: E402

n, folder = int(sys.argv[1]), Path(sys.argv[2])
state = 1


def chance():
    global state
    state = state * 16807 % 2147483647
    return state / 2147483647


def curve(x):
    return 1.0e5 / (x + 65.0)


xs = [100 + 700 * chance() for _ in range(n)]
ys = [curve(x) + 60 * (chance() - 0.5) for x in xs]
line = [100 + 700 * k / 159 for k in range(160)]
plt.rcParams.update({"font.size": 7, "axes.labelsize": 8, "svg.fonttype": "none", "svg.hashsalt": "figure"})
figure, axes = plt.subplots(figsize=(85 / 25.4, 68 / 25.4), layout="constrained")
axes.fill_between(line, [curve(x) - 15 for x in line], [curve(x) + 15 for x in line], color="0.85")
axes.plot(line, [curve(x) for x in line], color="0.35", label="saturated wood")
if n <= 100:
    axes.errorbar(xs, ys, yerr=12, fmt="o", ms=3.5, lw=0.6, mec="white", mew=0.3, label="piece")
else:
    axes.plot(xs, ys, "o", ms=1.2, mec="white", mew=0.3, label="piece")
axes.set(xlim=(0, 850), ylim=(0, 700), xlabel="Maximum water content (%)", ylabel="Basic density (kg m$^{-3}$)")
figure.legend(loc="outside lower left", ncols=2, frameon=False)
figure.savefig(folder / "figure.svg", metadata={"Date": None})
figure.savefig(folder / "figure.png", dpi=300)
figure.savefig(folder / "figure.pdf", metadata={"CreationDate": None})

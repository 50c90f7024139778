"""Time of the processor and peak memory of one cold process that writes SVG, PNG and PDF: ours and matplotlib's in turn.

measure_figure.py BENCH [ROUNDS]: BENCH is the program of benches/figure.rs, built with the profile bench. Prints a table.
"""

import os
import subprocess
import sys
import tempfile
from importlib.metadata import version
from pathlib import Path
from statistics import median

PEER = Path(__file__).with_name("figure_matplotlib.py")
POINTS = (40, 10_000, 50_000)


def ran(command):
    """Seconds of the processor and MiB at most of a process."""
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    if status:
        sys.exit(f"bench: {command} ended with {status}")
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


bench, rounds = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 5
print(f"matplotlib {version('matplotlib')}, {rounds} rounds, medians; one cold process writes SVG, PNG (300 dpi) and PDF")
print("| points | ours, CPU | peer, CPU | times | ours, memory | peer, memory | ours SVG / PNG / PDF | peer SVG / PNG / PDF |")
print("|---|---|---|---|---|---|---|---|")
with tempfile.TemporaryDirectory() as ours, tempfile.TemporaryDirectory() as theirs:
    for n in POINTS:
        runs = [(ran([bench, str(n), ours]), ran([sys.executable, PEER, str(n), theirs])) for _ in range(rounds)]
        (a, b), (am, bm) = ([median(run[side][what] for run in runs) for side in (0, 1)] for what in (0, 1))
        sizes = [
            " / ".join(f"{Path(folder, f'figure.{e}').stat().st_size / 1000:.0f}" for e in ("svg", "png", "pdf")) + " kB"
            for folder in (ours, theirs)
        ]
        print(f"| {n} | {a * 1e3:.0f} ms | {b * 1e3:.0f} ms | {b / a:.1f} | {am:.0f} MiB | {bm:.0f} MiB | {sizes[0]} | {sizes[1]} |")

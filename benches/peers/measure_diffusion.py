"""Times diffusion in a section and a box, ours and SciPy's sparse matrices, and writes the table of benches/README.md. Called by
benches/run."""

import argparse
import json
import sys
from pathlib import Path
from statistics import median

import machine
from timing import timed

ROOT = Path(__file__).resolve().parents[2]
PEER = ROOT / "benches/peers/diffusion_scipy.py"
README = ROOT / "benches/README.md"
BEGIN, END = "<!-- diffusion of the last run: begin -->", "<!-- diffusion of the last run: end -->"
SECTION, BOX = 100, 32  # from the surface to the centre: sections of 200 x 200 cells, boxes of 64 x 64 x 64
FINE, COARSE = 8e-9, 4e-7  # tolerances that take about a thousand and about two hundred steps
COMPARED = 1e-4
CELLS = 2e-5
LIMIT, LIMIT_BOX, TIMES = 2.0, 20.0, 5.0


def told(command):
    return json.loads(timed(command)["printed"].splitlines()[-1])


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--bench", type=Path, required=True)
    parser.add_argument("--rounds", type=int, required=True)
    parser.add_argument("--trial", action="store_true")
    arguments = parser.parse_args()
    load = machine.load()
    ours = lambda kind, cells, tolerance: told([arguments.bench, kind, cells, tolerance])
    # What the cells come to with very short steps; its distance from the series is that of the cells, the same for both.
    fine = ours("section", SECTION, FINE)
    if abs(fine["mean"] - fine["exact"]) > CELLS:
        sys.exit("bench: the cells are too far from the series")
    compared = ours("section", SECTION, COMPARED)
    off = lambda found: abs(found["mean"] - fine["mean"])
    # The fewest steps, doubled from 8, with which SciPy comes as near to that as we do.
    for doubled in range(3, 12):
        steps = 2**doubled
        theirs = told([sys.executable, PEER, SECTION, steps])
        if off(theirs) <= off(compared):
            break
    else:
        sys.exit("bench: SciPy does not come as near")
    section, box, near, scipy = [], [], [], []
    for _ in range(arguments.rounds):
        one = ours("section", SECTION, FINE)
        section.append(one["seconds"] / one["steps"] * 1000)
        two = ours("box", BOX, COARSE)
        box.append(two["seconds"] / two["steps"] * 200)
        near.append(ours("section", SECTION, COMPARED)["seconds"])
        scipy.append(told([sys.executable, PEER, SECTION, steps])["seconds"])
    thousand, two_hundred, quick, slow = (median(times) for times in (section, box, near, scipy))
    met = lambda is_met: "" if is_met else ", **not met**"
    lines = [
        *machine.words(ROOT, arguments.rounds, load),
        "",
        "| one thread | seconds | goal |",
        "|---|---|---|",
        f"| section of {2 * SECTION} x {2 * SECTION} cells, a quarter computed, 1000 steps (of {one['steps']}) | {thousand:.2f} | < {LIMIT:g}{met(thousand < LIMIT)} |",
        f"| box of {2 * BOX}³ cells, an eighth computed, 200 steps (of {two['steps']}) | {two_hundred:.2f} | < {LIMIT_BOX:g}{met(two_hundred < LIMIT_BOX)} |",
        f"| the section once, {compared['steps']} steps, error of the mean by time {off(compared):.1e} | {quick:.4f} | |",
        f"| sparse matrices of SciPy on the same quarter, {steps} steps, error {off(theirs):.1e} | {slow:.3f} | |",
        f"| their time over ours | {slow / quick:.1f} | ≥ {TIMES:g}{met(slow / quick >= TIMES)} |",
    ]
    print("\n".join(lines))
    if not arguments.trial:
        text = README.read_text(encoding="utf-8")
        before, rest = text.split(BEGIN)
        after = rest.split(END)[1]
        README.write_text("\n".join([before + BEGIN, *lines, END + after]), encoding="utf-8")


main()

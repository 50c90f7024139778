"""Times refits of curves, ours and SciPy's in turn, and writes the table of benches/README.md. Called by benches/run."""

import argparse
import json
import subprocess
import sys
from pathlib import Path
from statistics import median

import machine
from timing import timed

ROOT = Path(__file__).resolve().parents[2]
PEER = ROOT / "benches/peers/fit_scipy.py"
FOLDER = ROOT / "target/bench"
README = ROOT / "benches/README.md"
BEGIN, END = "<!-- refits of the last run: begin -->", "<!-- refits of the last run: end -->"
IN_PROCESS = 3  # calls of one process, of which the best counts
CHECKED = 40  # refits whose digits are compared with long double
LEAST = 9.0  # digits that each of our refits must have before anything is timed
WAYS = ("curve_fit", "leastsq", "curve_fit default")
# Times that curve_fit takes, whichever tolerance is faster; without a goal: where we may lose.
GOALS = {12: 20.0, 30: 12.0, 60: 7.0, 1000: 1.5, 100_000: None}
TWO_THREADS = 1.6


def told(command, given=None):
    """JSON in the last line that a program prints."""
    if given is None:
        return json.loads(timed(command)["printed"].splitlines()[-1])
    ran = subprocess.run([str(word) for word in command], input=given, capture_output=True, text=True, check=False)
    if ran.returncode != 0:
        sys.exit(f"bench: {' '.join(map(str, command))}: {ran.stderr[-2000:]}")
    return json.loads(ran.stdout.splitlines()[-1])


def agreed(bench, model, file, n):
    """Digits of each way; ends the run where ours are too few."""
    ours = timed([bench, "check", model, file, max(2, min(CHECKED, 400_000 // n))])["printed"]
    digits = told([sys.executable, PEER, "check", model, file], ours)
    if digits["fit"] < LEAST or min(digits["ours"]) < LEAST or digits["failed"]:
        sys.exit(f"bench: {file.name}: {digits['fit']:.1f} digits, refits {min(digits['ours']):.1f}, {digits['failed']} failed")
    return {way: (min(values), median(values)) for way, values in digits.items() if isinstance(values, list)}


def measured(bench, rounds, most):
    """The lines of the table."""
    lines = [
        f"| curve, n | ours | `curve_fit` | times | goal | `leastsq`, own slopes | times | `curve_fit`, default tolerance | times "
        f"| two threads | ours, µs a refit | digits, lowest of {CHECKED} refits (4 of the largest): ours, then in this order |",
        "|" + "---|" * 12,
    ]
    for model in ("power", "logistic"):
        for n, goal in GOALS.items():
            file = FOLDER / f"fit_{model}_{n}.csv"
            digits = agreed(bench, model, file, n)
            refits, seconds = max(2, min(most, 5_000_000 // n)), {}
            for _ in range(rounds):
                for threads in (1, 2):
                    ran = told([bench, "time", model, file, threads, IN_PROCESS, refits])
                    seconds.setdefault(f"ours {threads}", []).append(min(ran["seconds"]))
                for way in WAYS:
                    ran = told([sys.executable, PEER, "time", model, file, way, IN_PROCESS, refits])
                    seconds.setdefault(way, []).append(min(ran["seconds"]))
            taken = {name: median(values) for name, values in seconds.items()}
            ours = taken["ours 1"]
            cells = [f"{model}, {n}" + ("" if refits == most else f" ({refits} refits)"), f"{ours * 1e3:.3g} ms"]
            for way in WAYS:
                cells += [f"{taken[way] * 1e3:.3g} ms", f"{taken[way] / ours:.1f}"]
                if way == "curve_fit":
                    least = min(taken["curve_fit"], taken["curve_fit default"]) / ours
                    cells.append("" if goal is None else f"≥ {goal:g}{'' if least >= goal else ', **no**'}")
            threads = ours / taken["ours 2"]
            cells += [f"{threads:.2f}{'' if threads >= TWO_THREADS else ' (**< 1.6**)'}", f"{ours / refits * 1e6:.2f}"]
            cells.append(", ".join(f"{digits[way][0]:.1f}" for way in ("ours", *WAYS)))
            lines.append(f"| {' | '.join(cells)} |")
            print(lines[-1], file=sys.stderr)
    return lines


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--bench", type=Path, required=True)
    parser.add_argument("--rounds", type=int, required=True)
    parser.add_argument("--refits", type=int, default=2000)
    parser.add_argument("--trial", action="store_true")
    arguments = parser.parse_args()
    load = machine.load()
    timed([sys.executable, PEER, "make", FOLDER])
    lines = measured(arguments.bench, arguments.rounds, arguments.refits)
    lines = [*machine.words(ROOT, arguments.rounds, load), "", *lines]
    print("\n".join(lines))
    if arguments.trial:
        return
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    README.write_text("\n".join([before + BEGIN, *lines, END + after]), encoding="utf-8")


main()

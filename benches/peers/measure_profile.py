"""Times depth profiles, ours and SciPy's in turn, and writes the table of benches/README.md. Called by benches/run."""

import argparse
import json
import sys
from pathlib import Path
from statistics import median

import machine
from timing import timed

ROOT = Path(__file__).resolve().parents[2]
PEER = ROOT / "benches/peers/profile_scipy.py"
FILE = ROOT / "target/bench/profile.csv"
README = ROOT / "benches/README.md"
BEGIN, END = "<!-- profiles of the last run: begin -->", "<!-- profiles of the last run: end -->"
REPLICATES = 500
PART = 50  # timbers that SciPy is timed on; every timber has the same number of increments
LIMIT, TIMES = 10.0, 10.0
APART = 2.0  # mm by which the two may differ, at most in one timber of twenty: they do not choose among models alike


def told(command):
    return json.loads(timed(command)["printed"].splitlines()[-1])


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--bench", type=Path, required=True)
    parser.add_argument("--rounds", type=int, required=True)
    parser.add_argument("--trial", action="store_true")
    arguments = parser.parse_args()
    load = machine.load()
    FILE.parent.mkdir(parents=True, exist_ok=True)
    timed([sys.executable, PEER, "make", FILE])
    ours, peer = {1: [], 2: []}, []
    for _ in range(arguments.rounds):
        for threads, seconds in ours.items():
            found = told([arguments.bench, FILE, threads, REPLICATES])
            seconds.append(found["seconds"])
        theirs = told([sys.executable, PEER, "time", FILE, REPLICATES, PART])
        peer.append(theirs["seconds"] / PART * 1000)
    pairs = [(a, b) for a, b in zip(found["rims"], theirs["rims"]) if a is not None and b is not None]
    apart = sum(abs(a - b) > APART for a, b in pairs)
    if len(pairs) < PART / 2 or apart > PART / 20:
        sys.exit(f"bench: depths of the rim differ in {apart} of {len(pairs)} timbers")
    one, two, scipy = median(ours[1]), median(ours[2]), median(peer)
    met = lambda is_met: "" if is_met else ", **not met**"
    lines = [
        *machine.words(ROOT, arguments.rounds, load),
        "",
        f"| 1000 timbers of two cores of six increments, {REPLICATES} draws each | seconds | goal |",
        "|---|---|---|",
        f"| ours, one thread | {one:.2f} | |",
        f"| ours, two threads | {two:.2f} | ≤ {LIMIT:g}{met(two <= LIMIT)} |",
        f"| `curve_fit`, one thread, 1000/{PART} times its time for {PART} timbers | {scipy:.0f} | |",
        f"| its time over ours, one thread each | {scipy / one:.1f} | ≥ {TIMES:g}{met(scipy / one >= TIMES)} |",
        "",
        f"Depth of the rim: {apart} of {len(pairs)} timbers more than {APART:g} mm apart.",
    ]
    print("\n".join(lines))
    if arguments.trial:
        return
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    README.write_text("\n".join([before + BEGIN, *lines, END + after]), encoding="utf-8")


main()

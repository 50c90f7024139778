"""Times lifts, ours and NumPy's in turn, and writes the table of benches/README.md. Called by benches/run."""

import argparse
import json
import math
import sys
from pathlib import Path
from statistics import median

import machine
from timing import timed

ROOT = Path(__file__).resolve().parents[2]
PEER = ROOT / "benches/peers/lift_numpy.py"
README = ROOT / "benches/README.md"
BEGIN, END = "<!-- lifts of the last run: begin -->", "<!-- lifts of the last run: end -->"
ONE, DRAWS = 10_000, 2_000
ONE_LIMIT, ALL_LIMIT = 0.2, 20.0


def told(command):
    return json.loads(timed(command)["printed"].splitlines()[-1])


def agree(ours, theirs):
    """The same weight within five standard errors, the same probabilities within five."""
    error = lambda share: math.sqrt(2 * max(share * (1 - share), 1e-3) / ONE)
    if abs(ours["weight"] - theirs["weight"]) > 5 * ours["u"] / math.sqrt(ONE):
        sys.exit(f"bench: weights differ: {ours['weight']} and {theirs['weight']}")
    for a, b in zip(ours["below"], theirs["below"]):
        if abs(a - b) > 5 * error(b):
            sys.exit(f"bench: probabilities differ: {ours['below']} and {theirs['below']}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--bench", type=Path, required=True)
    parser.add_argument("--rounds", type=int, required=True)
    parser.add_argument("--trial", action="store_true")
    arguments = parser.parse_args()
    load = machine.load()
    timbers = 50 if arguments.trial else 1000
    ours, theirs = {"one": [], "all": [], "two": []}, {"one": [], "all": []}
    for _ in range(arguments.rounds):
        found = told([arguments.bench, 1, ONE, 1])
        ours["one"].append(found["seconds"])
        ours["all"].append(told([arguments.bench, timbers, DRAWS, 1])["seconds"])
        ours["two"].append(told([arguments.bench, timbers, DRAWS, 2])["seconds"])
        peer = told([sys.executable, PEER, 1, ONE])
        theirs["one"].append(peer["seconds"])
        theirs["all"].append(told([sys.executable, PEER, timbers, DRAWS])["seconds"])
        agree(found, peer)
    one, single, two = (median(ours[key]) for key in ("one", "all", "two"))
    peer_one, peer_all = (median(theirs[key]) for key in ("one", "all"))
    met = lambda is_met: "" if is_met else ", **not met**"
    lines = [
        *machine.words(ROOT, arguments.rounds, load),
        "",
        "| a timber with a soft rim in three ways of support | ours, s | NumPy, s | NumPy over ours | goal |",
        "|---|---|---|---|---|",
        f"| one, {ONE} draws | {one:.3f} | {peer_one:.3f} | {peer_one / one:.1f} | ≤ {ONE_LIMIT:g} s{met(one <= ONE_LIMIT)} |",
        f"| {timbers}, {DRAWS} draws each, one thread | {single:.1f} | {peer_all:.1f} | {peer_all / single:.1f} | |",
        f"| the same, two threads | {two:.1f} | | | ≤ {ALL_LIMIT:g} s{met(two <= ALL_LIMIT)} |",
    ]
    print("\n".join(lines))
    if arguments.trial:
        return
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    README.write_text("\n".join([before + BEGIN, *lines, END + after]), encoding="utf-8")


main()

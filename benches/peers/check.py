"""Checks that the peers compute what woodstate computes: check.py PROGRAM BATCH.csv

Every number of the peer against `PROGRAM assess --json`, relative difference at most 1e-9; every cell of the
file-to-file table against the results that the program writes.
"""

import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

import pandas as pd
from pipeline_pandas import pipeline
from state_numpy import LABELS, QUANTITIES, ROUTES, Settings, assess, masses_of
from timbers_numpy import SUMMED, timbers
from uncertainties_10k import piece_by_piece

ALLOWED = 1e-9
# Below it a probability is compared absolutely: z² digits are lost in the tail of a normal distribution.
SMALLEST_SHARE = 1e-12


class Comparison:
    """The largest relative difference of each name."""

    def __init__(self):
        self.largest = {}
        self.numbers = 0

    def add(self, name, ours, peer, floor=0.0):
        """One number of both."""
        size = max(abs(ours), floor)
        difference = abs(ours - peer) / size if size else abs(peer)
        self.numbers += 1
        if not difference <= self.largest.get(name, 0.0):
            self.largest[name] = difference

    def tell(self, who):
        """Prints the largest difference; exits if it is not allowed."""
        name, difference = max(self.largest.items(), key=lambda entry: entry[1] if not math.isnan(entry[1]) else math.inf)
        print(f"check: {who}: {self.numbers} numbers, largest relative difference {difference:.1e} ({name})")
        if not difference <= ALLOWED:
            sys.exit(f"check: {who} computes something else; allowed {ALLOWED:g}: {self.largest}")


def compare(who, samples, out, n):
    """The results of the first n pieces, by name."""
    comparison = Comparison()
    for row, sample in enumerate(samples[:n]):
        for name in QUANTITIES:
            value = sample["values"][name]
            ours = (value["value"], value["u"], *value["interval"])
            for end, number in zip(("value", "u", "low", "high"), ours, strict=True):
                # The ends of an interval may lie near 0; their digits are those of value and u.
                floor = abs(value["value"]) if end in ("low", "high") else 0.0
                comparison.add(f"{name} {end}", number, out[name, end][row], floor)
        routes = {}
        for quantity, values in sample["routes"].items():
            routes |= {f"{quantity} by {value['route']}": value for value in values}
        for name in ROUTES:
            comparison.add(name, routes[name]["value"], out[name, "value"][row])
            comparison.add(f"u of {name}", routes[name]["u"], out[name, "u"][row])
        reading = sample["degradation_class"]
        for label in LABELS:
            ours = reading["probability"][label]
            comparison.add(f"probability {label}", ours, out["probability", label][row], SMALLEST_SHARE)
        if reading["most_likely"] != LABELS[out["class", "place"][row]]:
            sys.exit(f"check: {who}: {sample['sample']}: another class")
    comparison.tell(who)


def compare_timbers(who, ours, samples, told):
    """The results of every timber, by name."""
    comparison = Comparison()
    for row, timber in enumerate(ours):
        for quantity in SUMMED:
            for zone in ("outer", "inner"):
                value = timber[zone]["values"][quantity]
                for end, ours_end, peer in zip(
                    ("value", "u", "low", "high"), (value["value"], value["u"], *value["interval"]), told[zone, quantity], strict=False
                ):
                    floor = abs(value["value"]) if end in ("low", "high") else 0.0
                    comparison.add(f"{zone} {quantity} {end}", ours_end, peer[row], floor)
            for end, ours_end, peer in zip(("least", "most"), timber["range"][quantity], told["range", quantity], strict=True):
                comparison.add(f"{end} {quantity}", ours_end, peer[row])
        if timber["worst"]["sample"] != samples[told["worst"][row]]["sample"]:
            sys.exit(f"check: {who}: {timber['timber']}: another worst piece")
        shares = timber["degradation_class"]["probability"]
        for label in LABELS:
            peer = told["probability", label][row]
            if (shares is None) != math.isnan(peer):
                sys.exit(f"check: {who}: {timber['timber']}: its class rests on something else")
            if shares is not None:
                comparison.add(f"probability {label}", shares[label], peer, SMALLEST_SHARE)
    comparison.tell(who)


def compare_tables(who, ours, peer):
    """Two tables of results, cell by cell."""
    if list(ours.columns) != list(peer.columns):
        differing = set(ours.columns) ^ set(peer.columns)
        sys.exit(f"check: {who}: other columns: {sorted(differing) or 'another order'}")
    comparison = Comparison()
    for name in ours.columns:
        for row, (a, b) in enumerate(zip(ours[name], peer[name], strict=True)):
            if a == b:
                continue
            try:
                floor = SMALLEST_SHARE if name.startswith("probability") else 0.0
                comparison.add(name, float(a), float(b), floor)
            except ValueError:
                sys.exit(f"check: {who}: {name}, row {row + 2}: {a!r} and {b!r}")
    comparison.numbers = ours.size
    comparison.tell(who)


def main():
    if len(sys.argv) != 3:
        sys.exit("usage: check.py PROGRAM BATCH.csv")
    program, path = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        told = subprocess.run([program, "assess", path, "--json", "--quiet"], capture_output=True, check=True)
        subprocess.run([program, "assess", path, "--out", folder, "--quiet"], capture_output=True, check=True)
        ours = pd.read_csv(Path(folder) / "results.csv", dtype=str, keep_default_na=False)
        peer_file = Path(folder) / "peer.csv"
        pipeline(path, peer_file)
        peer = pd.read_csv(peer_file, dtype=str, keep_default_na=False)
    outcome = json.loads(told.stdout)
    samples = outcome["samples"]
    if outcome["counts"]["drawn"]:
        sys.exit("check: some pieces were drawn, which the peers cannot do")
    frame = pd.read_csv(path)
    masses = masses_of(frame)
    compare("NumPy, whole arrays", samples, assess(masses, Settings()), len(samples))
    compare("NumPy, blocks", samples, assess(masses, Settings(), 300), len(samples))
    compare_timbers("NumPy, timbers", outcome["timbers"], samples, timbers(masses, Settings(), assess(masses, Settings())))
    compare("uncertainties", samples, piece_by_piece(masses, Settings(), 50), 50)
    compare_tables("pandas, file to file", ours, peer)


if __name__ == "__main__":
    main()

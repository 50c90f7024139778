"""Compares freshly made values with the frozen ones: compare.py FROZEN FRESH (two files).

Closed forms agree within 1e-12 relative, results of a search, in an object with the key "relative", within that number. A sampled number, {"value", "standard_error"}, agrees within three standard
errors of the difference of two samplings; its standard error, itself estimated, within 20 %.
Versions are told, not compared; every other text must be the same.
"""

import json
import sys
from math import hypot
from pathlib import Path

CLOSED = 1e-12
DEVIATIONS = 3.0
ERROR_OF_ERROR = 0.2
VERSIONS = {"python", "package", "packages", "version"}


def is_number(x):
    return isinstance(x, (int, float)) and not isinstance(x, bool)


def is_sampled(x):
    return isinstance(x, dict) and set(x) == {"value", "standard_error"}


def sampled(place, frozen, fresh, draws, faults):
    """A number that a random generator made."""
    a, b = frozen["standard_error"], fresh["standard_error"]
    # A probability of 0 has a standard error of 0, but one draw more or less means nothing.
    limit = DEVIATIONS * hypot(max(a, 1 / draws), max(b, 1 / draws))
    if not abs(frozen["value"] - fresh["value"]) <= limit:
        faults.append(f"{place}: frozen {frozen['value']!r}, now {fresh['value']!r}, allowed difference {limit:.3g}")
    if not abs(a - b) <= max(ERROR_OF_ERROR * a, DEVIATIONS / draws):
        faults.append(f"{place}: standard error frozen {a!r}, now {b!r}")


def label(item, index):
    """How an item of a list is called in a message."""
    for key in ("name", "example"):
        if isinstance(item, dict) and key in item:
            return item[key]
    return str(index)


def walk(place, frozen, fresh, draws, faults, seen, relative=CLOSED):
    """Compares two trees; fills `faults`, counts the numbers in `seen`."""
    if isinstance(frozen, dict):
        relative = frozen.get("relative", relative)
    if is_sampled(frozen) and is_sampled(fresh):
        seen[0] += 1
        sampled(place, frozen, fresh, draws, faults)
    elif isinstance(frozen, dict) and isinstance(fresh, dict):
        for key in sorted(frozen.keys() ^ fresh.keys()):
            faults.append(f"{place}/{key}: only in the {'frozen' if key in frozen else 'new'} file")
        for key in sorted(frozen.keys() & fresh.keys()):
            if key not in VERSIONS:
                walk(f"{place}/{key}", frozen[key], fresh[key], draws, faults, seen, relative)
            elif frozen[key] != fresh[key]:
                print(f"outside: {place}/{key}: frozen with {frozen[key]}, now {fresh[key]}")
    elif isinstance(frozen, list) and isinstance(fresh, list):
        if len(frozen) != len(fresh):
            faults.append(f"{place}: {len(frozen)} items frozen, now {len(fresh)}")
        for index, (a, b) in enumerate(zip(frozen, fresh)):
            walk(f"{place}/{label(a, index)}", a, b, draws, faults, seen, relative)
    elif is_number(frozen) and is_number(fresh):
        seen[0] += 1
        # A frozen 0 has no relative tolerance: it must be 0 again.
        if not abs(frozen - fresh) <= relative * abs(frozen):
            faults.append(f"{place}: frozen {frozen!r}, now {fresh!r}, allowed relative difference {relative:g}")
    elif frozen != fresh:
        faults.append(f"{place}: frozen {frozen!r}, now {fresh!r}")


def main():
    if len(sys.argv) != 3:
        sys.exit("usage: compare.py FROZEN FRESH")
    old, new = Path(sys.argv[1]), Path(sys.argv[2])
    if not old.is_file():
        sys.exit(f"outside: {old.name}: no frozen file of this name")
    frozen, fresh = (json.loads(path.read_text(encoding="utf-8")) for path in (old, new))
    faults, seen = [], [0]
    walk(old.name, frozen, fresh, frozen.get("draws", float("inf")), faults, seen)
    for fault in faults:
        print(f"outside: moved: {fault}", file=sys.stderr)
    if seen[0] == 0:
        sys.exit(f"outside: {old.name}: holds no number")
    if faults:
        sys.exit(1)
    print(f"outside: {old.name}: {seen[0]} numbers as frozen")


main()

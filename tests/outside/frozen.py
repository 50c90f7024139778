"""What the freeze scripts share: how a file of frozen values is written."""

import json
import platform
import re
import sys
from importlib.metadata import version
from math import fsum, isclose
from pathlib import Path

from uncertainties import correlation_matrix, covariance_matrix


def package(name):
    """Name and version of an installed package."""
    return f"{name} {version(name)}"


def plain(number):
    """A Python float, which JSON writes with as many digits as it needs to be read back unchanged."""
    return float(number)


def pair(measured):
    """[value, standard uncertainty] of a number of the package uncertainties."""
    return [plain(measured.nominal_value), plain(measured.std_dev)]


def related(a, b):
    """Covariance and correlation of two numbers of the package uncertainties.

    The package sums in the order of a set, so its last digit changes from run to run; the same products, summed exactly, do not.
    """
    shared = a.derivatives.keys() & b.derivatives.keys()
    covariance = fsum(a.derivatives[x] * b.derivatives[x] * x.std_dev**2 for x in shared)
    correlation = covariance / (plain(a.std_dev) * plain(b.std_dev))
    for ours, theirs in ((covariance, covariance_matrix([a, b])[0][1]), (correlation, correlation_matrix([a, b])[0][1])):
        if not isclose(ours, theirs, rel_tol=1e-12):
            raise SystemExit(f"covariance or correlation: {ours!r}, by the package {theirs!r}")
    return covariance, correlation


def write(name, content):
    """Writes FOLDER/name, FOLDER being the first argument of the script."""
    if len(sys.argv) != 2:
        sys.exit(f"usage: {Path(sys.argv[0]).name} FOLDER   (writes FOLDER/{name})")
    content = {"made_by": f"tests/outside/{Path(sys.argv[0]).name}", "python": platform.python_version(), **content}
    text = json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False)
    # A short list of numbers stays on one line.
    text = re.sub(r"\[\s+([^\[\]{}\"]*?)\s+\]", lambda found: "[" + re.sub(r"\s+", " ", found[1]) + "]", text)
    Path(sys.argv[1], name).write_text(text + "\n", encoding="utf-8")

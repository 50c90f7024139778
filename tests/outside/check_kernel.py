"""The kernel against clients outside: the conformance suite of Jupyter, the client library, nbclient, nbconvert.

    check_kernel.py PROGRAM [--write]     --write: keep the outputs of the example notebooks
"""

import os
import sys
import unittest
from pathlib import Path

import kernel_home
import kernel_conformance
import kernel_notebooks
import kernel_protocol

PROGRAM = Path(sys.argv[1]).resolve()
WRITE = "--write" in sys.argv[2:]
ROOT = Path(__file__).resolve().parents[2]


def main() -> int:
    kernel_home.install(PROGRAM)
    kernel_notebooks.ROOT, kernel_notebooks.WRITE = ROOT, WRITE
    kernel_protocol.PROGRAM, kernel_protocol.HOME = PROGRAM, kernel_home.HOME
    os.chdir(ROOT / "datasets-demo/harbour")
    suite = unittest.TestSuite()
    for module in (kernel_conformance, kernel_protocol, kernel_notebooks):
        suite.addTests(unittest.defaultTestLoader.loadTestsFromModule(module))
    result = unittest.TextTestRunner(verbosity=1, stream=sys.stderr).run(suite)
    return 0 if kernel_home.is_removed(PROGRAM) and result.wasSuccessful() else 1


if __name__ == "__main__":
    sys.exit(main())

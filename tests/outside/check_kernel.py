"""The kernel against clients outside: the conformance suite of Jupyter, the client library, nbclient, nbconvert.

    check_kernel.py PROGRAM [--write]     --write: keep the outputs of the example notebooks
"""

import os
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

PROGRAM = Path(sys.argv[1]).resolve()
WRITE = "--write" in sys.argv[2:]
ROOT = Path(__file__).resolve().parents[2]
PLACE = tempfile.TemporaryDirectory()
HOME = Path(PLACE.name)
# Before Jupyter is imported: it reads these once.
os.environ.update(
    JUPYTER_PATH=str(HOME / "share/jupyter"),
    JUPYTER_RUNTIME_DIR=str(HOME / "run"),
    JUPYTER_CONFIG_DIR=str(HOME / "config"),
    XDG_DATA_HOME=str(HOME / "data"),
)

import kernel_conformance
import kernel_notebooks
import kernel_protocol


def main() -> int:
    installed = subprocess.run([PROGRAM, "kernel", "install", "--prefix", HOME], capture_output=True, text=True)
    if installed.returncode != 0:
        print(f"kernel: not installed: {installed.stderr}", file=sys.stderr)
        return 1
    kernel_notebooks.ROOT, kernel_notebooks.WRITE = ROOT, WRITE
    kernel_protocol.PROGRAM, kernel_protocol.HOME = PROGRAM, HOME
    os.chdir(ROOT / "datasets-demo/harbour")
    suite = unittest.TestSuite()
    for module in (kernel_conformance, kernel_protocol, kernel_notebooks):
        suite.addTests(unittest.defaultTestLoader.loadTestsFromModule(module))
    result = unittest.TextTestRunner(verbosity=1, stream=sys.stderr).run(suite)
    removed = subprocess.run([PROGRAM, "kernel", "remove", "--prefix", HOME], capture_output=True, text=True)
    is_gone = removed.returncode == 0 and not (HOME / "share/jupyter/kernels/woodstate").exists()
    if not is_gone:
        print("kernel: not removed", file=sys.stderr)
    return 0 if result.wasSuccessful() and is_gone else 1


if __name__ == "__main__":
    sys.exit(main())

"""A home of its own for Jupyter, with our kernel in it. Imported before Jupyter, which reads its folders once."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

PLACE = tempfile.TemporaryDirectory()
HOME = Path(PLACE.name)
os.environ.update(
    JUPYTER_PATH=str(HOME / "share/jupyter"),
    JUPYTER_RUNTIME_DIR=str(HOME / "run"),
    JUPYTER_CONFIG_DIR=str(HOME / "config"),
    XDG_DATA_HOME=str(HOME / "data"),
)


def install(program):
    done = subprocess.run([program, "kernel", "install", "--prefix", HOME], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"kernel: not installed: {done.stderr}")


def is_removed(program):
    done = subprocess.run([program, "kernel", "remove", "--prefix", HOME], capture_output=True, text=True, check=False)
    is_gone = done.returncode == 0 and not (HOME / "share/jupyter/kernels/woodstate").exists()
    if not is_gone:
        print("kernel: not removed", file=sys.stderr)
    return is_gone

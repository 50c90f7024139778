"""Programs that a check needs beside Python; as root on Debian they are installed by name."""

import os
import shutil
import subprocess
import sys


def install(needed):
    """Installs what is missing of PROGRAM: PACKAGE, or says what to install."""
    missing = [package for program, package in needed.items() if not shutil.which(program)]
    if missing and shutil.which("apt-get") and os.geteuid() == 0:
        print(f"outside: installing {' '.join(missing)}", file=sys.stderr)
        subprocess.run(["apt-get", "update"], stdout=subprocess.DEVNULL, check=False)
        command = ["apt-get", "install", "--yes", "--no-install-recommends", *missing]
        subprocess.run(command, stdout=subprocess.DEVNULL, check=False)
        missing = [package for program, package in needed.items() if not shutil.which(program)]
    if missing:
        sys.exit(f"outside: this check needs {' '.join(missing)}. On Debian: apt-get install {' '.join(missing)}")

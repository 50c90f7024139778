"""What the numbers were measured on, in words without the name of the machine."""

import os
import platform
import subprocess
import tomllib
from importlib.metadata import version
from pathlib import Path

PACKAGES = ("numpy", "scipy", "pandas", "polars", "uncertainties", "matplotlib", "openpyxl")
BUSY = 0.5  # average number of waiting programs at the start above which a run is called disturbed


def load():
    """Average number of running programs in the last minute."""
    return os.getloadavg()[0]


def processor():
    """Model and the instructions that matter here, as far as the system tells."""
    entries = {}
    path = Path("/proc/cpuinfo")
    for line in path.read_text(encoding="utf-8").splitlines() if path.exists() else ():
        name, _, value = line.partition(":")
        entries.setdefault(name.strip(), value.strip())
    flags = entries.get("flags", "").split()
    known = [flag for flag in ("avx2", "avx512f", "sha_ni") if flag in flags]
    family = f"family {entries.get('cpu family', '?')}, model {entries.get('model', '?')}"
    return f"{entries.get('model name', platform.machine())} ({family}; {', '.join(known) or 'no flags told'})"


def words(root, rounds, load_at_start):
    """The lines above the table."""
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    rust = subprocess.run(["rustc", "--version"], capture_output=True, text=True, check=True).stdout.split()[1]
    ours = tomllib.loads((root / "Cargo.toml").read_text(encoding="utf-8"))["package"]["version"]
    packages = ", ".join(f"{name} {version(name)}" for name in PACKAGES)
    lines = [
        f"{os.cpu_count()} cores, {processor()}, {memory:.0f} GiB, {platform.system()}. woodstate {ours}, "
        f"rustc {rust}; Python {platform.python_version()}, {packages}. {rounds} rounds, medians.",
    ]
    if load_at_start > BUSY:
        lines += ["", f"**The machine was busy when the run began (load {load_at_start:.1f}): these times are disturbed.**"]
    return lines

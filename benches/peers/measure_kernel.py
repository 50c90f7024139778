"""Times notebook kernels, ours and the one of Python in turn, and writes the table of benches/README.md. Called by benches/run."""

import argparse
import os
import signal
import sys
import tempfile
import time
from importlib.metadata import version
from pathlib import Path
from statistics import median

import machine
from kernel_client import Kernel, installed

ROOT = Path(__file__).resolve().parents[2]
PEERS = ROOT / "benches/peers"
README = ROOT / "benches/README.md"
BEGIN, END = "<!-- kernels of the last run: begin -->", "<!-- kernels of the last run: end -->"
ROWS, CELLS, COMPLETIONS = 100_000, 300, 50
PYTHON = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
# What the cell of pandas does: read, compute pieces with blocks in the cache, and timbers, show the pieces.
IMPORTS = f"import sys; sys.path.insert(0, {str(PEERS)!r})\nimport pandas as pd\nfrom state_numpy import QUANTITIES, Settings, assess, masses_of\nfrom timbers_numpy import timbers"
STATE = """frame = pd.read_csv({file!r})
masses = masses_of(frame)
out = assess(masses, Settings(), 16384)
told = timbers(masses, Settings(), out)
columns = {{f"{{name}} {{end}}": out[name, end] for name in QUANTITIES for end in ("value", "u", "low", "high")}}
pd.DataFrame(columns, index=frame["sample"])"""
ENDLESS = "for n in range(2000000000): x = n"
FIT = 'm = assess(read("mechanics.csv", study="mechanics.toml"))\nfit(m, value="bending_modulus", against="basic_density", replicates=1000000)'
SAVE = 'save(s, "never_written.xlsx")'


def cells(kernel):
    times = [kernel.run("1+1") for _ in range(CELLS)]
    return median(times)


def ours(command, folder, file, found):
    kernel = Kernel(command, folder)
    found["start"].append(kernel.start)
    time.sleep(1.0)
    found["memory"].append(kernel.memory_mb())
    found["cell"].append(cells(kernel))
    found["state"].append(kernel.run(f"s = assess(read({file.name!r}))\ns"))
    kernel.run(f"t = read({file.name!r})")
    found["complete"].append(median(kernel.complete('t["mass_sat', "mass_saturated") for _ in range(COMPLETIONS)))
    found["interrupt"].append(kernel.interrupted(ENDLESS, "message"))
    found["save"].append(kernel.interrupted(SAVE, "message"))
    if (folder / "never_written.xlsx").exists():
        raise SystemExit("bench: a cell that was stopped wrote a file")
    kernel.end()
    kernel = Kernel(command, ROOT / "examples/notebooks")
    found["fit"].append(kernel.interrupted(FIT, "message"))
    kernel.end()


def theirs(folder, file, found):
    kernel = Kernel(PYTHON, folder)
    found["start"].append(kernel.start)
    time.sleep(1.0)
    found["memory"].append(kernel.memory_mb())
    found["cell"].append(cells(kernel))
    kernel.run(IMPORTS)
    found["state"].append(kernel.run(STATE.format(file=str(file))))
    kernel.run(f"t = pd.read_csv({str(file)!r})")
    found["complete"].append(median(kernel.complete('t["mass_sat', "mass_saturated") for _ in range(COMPLETIONS)))
    found["interrupt"].append(kernel.interrupted(ENDLESS, signal.SIGINT))
    kernel.end()


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--rounds", type=int, required=True)
    parser.add_argument("--trial", action="store_true")
    arguments = parser.parse_args()
    load = machine.load()
    file = (ROOT / f"target/bench/batch_{ROWS}.csv").resolve()
    keys = ("start", "memory", "cell", "state", "complete", "interrupt", "save", "fit")
    own, peer = {key: [] for key in keys}, {key: [] for key in keys}
    with tempfile.TemporaryDirectory() as home:
        # Histories of this run alone.
        os.environ.update(XDG_DATA_HOME=home, IPYTHONDIR=home)
        command = installed(arguments.program.resolve(), home)
        for _ in range(arguments.rounds):
            ours(command, file.parent, file, own)
            theirs(file.parent, file, peer)
    middle = lambda found, key: median(found[key])
    ratio = lambda key: middle(peer, key) / middle(own, key)
    met = lambda is_met: "" if is_met else ", **not met**"
    ms = lambda found, key: f"{1000 * middle(found, key):.{0 if middle(found, key) > 0.02 else 2}f}"

    def row(what, key, goal, is_met):
        return f"| {what} | {ms(own, key)} | {ms(peer, key)} | {ratio(key):.1f} | {goal}{met(is_met)} |"

    start, memory = middle(own, "start"), middle(own, "memory")
    lines = [
        *machine.words(ROOT, arguments.rounds, load),
        f"ipykernel {version('ipykernel')}, jupyter_client {version('jupyter_client')}.",
        "",
        "| | ours, ms | ipykernel, ms | theirs over ours | goal |",
        "|---|---|---|---|---|",
        row("start to first reply", "start", "≥ 5 and < 150 ms", ratio("start") >= 5 and start < 0.15),
        row(f"`1+1`, request to idle ({CELLS} cells)", "cell", "≥ 5", ratio("cell") >= 5),
        row(f"completion of a column of {ROWS} rows", "complete", "< 20 ms", middle(own, "complete") < 0.02),
        row(f"read {ROWS} rows, assess, show", "state", "≥ 1.3", ratio("state") >= 1.3),
        row("interrupt of a loop to its reply", "interrupt", "< 200 ms", middle(own, "interrupt") < 0.2),
        f"| interrupt while a workbook of {ROWS} rows is made, to its reply | {ms(own, 'save')} | | | < 200 ms{met(middle(own, 'save') < 0.2)} |",
        f"| interrupt inside a fit to its reply | {ms(own, 'fit')} | | | < 200 ms{met(middle(own, 'fit') < 0.2)} |",
        "",
        f"Resident memory when idle: ours {memory:.0f} MB (goal < 60 MB{met(memory < 60)}), ipykernel {middle(peer, 'memory'):.0f} MB.",
    ]
    print("\n".join(lines))
    if arguments.trial:
        return
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    README.write_text("\n".join([before + BEGIN, *lines, END + after]), encoding="utf-8")


main()

"""Times reports, ours and that of pandas, matplotlib and openpyxl in turn, and writes the table of benches/README.md."""

import argparse
import json
import shutil
import sys
from pathlib import Path
from statistics import median

import machine
from timing import timed

ROOT = Path(__file__).resolve().parents[2]
PEER = ROOT / "benches/peers/report.py"
FOLDER = ROOT / "target/bench"
README = ROOT / "benches/README.md"
BEGIN, END = "<!-- reports of the last run: begin -->", "<!-- reports of the last run: end -->"
TIMES = 10.0
# Batch, pieces, most seconds that ours may take.
BATCHES = [
    (ROOT / "datasets-demo/harbour/harbour.xlsx", 158, 1.0),
    (FOLDER / "batch_10000.csv", 10_000, 10.0),
]


def measured(program, rounds):
    """The lines of the table."""
    lines = [
        "| batch | pieces | ours, whole process | goal | peer, whole process | of it figures | times | goal "
        "| times, without start and imports of the peer | processor time, whole processes: times |",
        "|" + "---|" * 10,
    ]
    for batch, pieces, most in BATCHES:
        ours, peers = [], []
        for _ in range(rounds):
            for folder in (FOLDER / "report_ours", FOLDER / "report_peer"):
                shutil.rmtree(folder, ignore_errors=True)
            done = timed([program, "report", batch, "--out", FOLDER / "report_ours", "--quiet"])
            ours.append(done)
            done = timed([sys.executable, PEER, batch, FOLDER / "report_peer"])
            peers.append({**json.loads(done["printed"].splitlines()[-1]), "wall": done["wall"], "cpu": done["cpu"]})
        our, our_cpu = (median(one[name] for one in ours) for name in ("wall", "cpu"))
        peer, figures, wall, cpu = (median(one[name] for one in peers) for name in ("seconds", "figures", "wall", "cpu"))
        times = wall / our
        cells = [
            batch.name, str(pieces), f"{our:.3g} s", f"≤ {most:g} s{'' if our <= most else ', **no**'}", f"{wall:.3g} s", f"{figures:.3g} s",
            f"{times:.1f}", f"≥ {TIMES:g}{'' if times >= TIMES else ', **no**'}" if pieces < 1000 else "",
            f"{peer / our:.1f}", f"{cpu / our_cpu:.1f}",
        ]
        lines.append(f"| {' | '.join(cells)} |")
        print(lines[-1], file=sys.stderr)
    return lines


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--rounds", type=int, required=True)
    parser.add_argument("--trial", action="store_true")
    arguments = parser.parse_args()
    load = machine.load()
    lines = [*machine.words(ROOT, arguments.rounds, load), "", *measured(arguments.program, arguments.rounds)]
    print("\n".join(lines))
    if arguments.trial:
        return
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    README.write_text("\n".join([before + BEGIN, *lines, END + after]), encoding="utf-8")


main()

"""Times woodstate and its peers alternately and writes the table of benches/README.md. Called by benches/run."""

import argparse
import json
import shutil
import sys
from pathlib import Path
from statistics import median

import machine
from timing import timed

ROOT = Path(__file__).resolve().parents[2]
PEERS = ROOT / "benches/peers"
FOLDER = ROOT / "target/bench"
README = ROOT / "benches/README.md"
BEGIN, END = "<!-- numbers of the last run: begin -->", "<!-- numbers of the last run: end -->"
DEMO = ROOT / "datasets-demo/harbour/harbour.xlsx"
IN_PROCESS = 3  # calls of one process, of which the best counts
SLOW_ROUNDS = 2  # of the peer that takes minutes
# Cost a row may differ this much between batches and still be called linear; our limit.
LINEAR = 1.5
MIB = 2**20


class Bench:
    """Runs the programs and remembers their times."""

    def __init__(self, arguments):
        self.arguments = arguments
        self.times = {}
        self.peaks = {}
        self.is_folder = False

    def keep(self, name, seconds, peak_kb=0):
        """One round."""
        self.times.setdefault(name, []).append(seconds)
        self.peaks[name] = max(peak_kb, self.peaks.get(name, 0))
        print(f"  {name}: {seconds:.3f} s, peak {peak_kb / 1024:.0f} MiB", file=sys.stderr)

    def of(self, name):
        """The median of the rounds, s."""
        return median(self.times[name])

    def python(self, name, script, *words):
        """A peer that prints its own times as JSON: start and imports do not count."""
        ran = timed([sys.executable, PEERS / script, *words])
        told = json.loads(ran["printed"].splitlines()[-1])
        self.keep(name, min(told["seconds"]), ran["peak_kb"])
        return told

    def memory(self, name, n, threads, what="columns"):
        """Ours in memory: from columns to columns, or the whole of `assess` between reading and writing."""
        ran = timed([self.arguments.bench, what, batch(n), threads, IN_PROCESS])
        self.keep(name, min(json.loads(ran["printed"].splitlines()[-1])["seconds"]), ran["peak_kb"])

    def files(self, name, n):
        """Ours from file to file: the whole process counts."""
        result = FOLDER / f"result_{n}.csv"
        if result.is_dir():
            shutil.rmtree(result)
        result.unlink(missing_ok=True)
        ran = timed([self.arguments.program, "assess", batch(n), "-o", result, "--quiet", "--max-cells", 10**9])
        self.is_folder = result.is_dir()
        self.keep(name, ran["wall"], ran["peak_kb"])
        return result / "results.csv" if self.is_folder else result

    def demo(self, name, program):
        """CPU time of the demonstration batch."""
        for _ in range(10):
            ran = timed([program, "assess", DEMO])
            self.times.setdefault(name, []).append(ran["cpu"])


def batch(n):
    """The file of n pieces."""
    return FOLDER / f"batch_{n}.csv"


def ratio_row(what, ours, peer, ratio, goal, is_met):
    """A line of the table."""
    return f"| {what} | {ours} | {peer} | {ratio} | {goal} | {'' if is_met is None else 'yes' if is_met else '**no**'} |"


def measured(bench, rows, rounds, large):
    """Runs everything; the lines of the report."""
    sizes = [n for n in (10**3, 10**4, 10**5, 10**6) if n < rows] + [rows] + ([10**7] if large and rows < 10**7 else [])
    timed([sys.executable, PEERS / "make.py", FOLDER, 10**4, *sizes])
    for _ in range(rounds):
        bench.memory("memory 1", rows, 1)
        bench.python("numpy", "state_numpy.py", batch(rows), "--no-ends", "--rounds", IN_PROCESS)
        bench.memory("memory 2", rows, 2)
        bench.python("numpy blocks", "state_numpy.py", batch(rows), "--block", 16384, "--no-ends", "--rounds", IN_PROCESS)
        bench.memory("assess 1", rows, 1, "assess")
        bench.memory("assess 2", rows, 2, "assess")
    for _ in range(min(rounds, 3)):
        bench.memory("memory 10k", 10**4, 1)
        bench.python("uncertainties", "uncertainties_10k.py", batch(10**4))
    copied = FOLDER / "copy.csv"
    for taken in range(rounds):
        result = bench.files("files", rows)
        if taken < SLOW_ROUNDS:
            bench.python("pandas", "pipeline_pandas.py", batch(rows), FOLDER / "pandas.csv")
        bench.python("polars input", "copy_polars.py", batch(rows), copied)
        # The result of the peer, where ours is not one file yet, has the same columns.
        table = result if result.is_file() else FOLDER / "pandas.csv"
        held = bench.python("polars out", "copy_polars.py", batch(rows), copied, "--result", table)
        bench.python("polars result", "copy_polars.py", table, copied)
    for n in sizes:
        bench.memory(f"memory of {n}", n, 1)
        bench.files(f"files of {n}", n)
    bench.demo("demo", bench.arguments.program)
    bench.demo("demo dev", bench.arguments.dev)
    return report(bench, rows, sizes, held["bytes"])


def report(bench, rows, sizes, columns):
    """The lines of the report."""
    def against(what, ours, peer, goal, is_met):
        a, b = bench.of(ours), bench.of(peer)
        ratio = b / a
        return ratio_row(what, f"{a:.3g} s", f"{b:.3g} s", f"{ratio:.2f}", goal, is_met and is_met(ratio))

    n = f"{rows:,}".replace(",", " ")
    lines = ["| what | ours | peer | ratio | goal | met |", "|---|---|---|---|---|---|"]
    at_least = lambda limit: lambda ratio: ratio >= limit  # noqa: E731
    lines += [
        against(f"{n} pieces in memory, one thread; NumPy, whole arrays", "memory 1", "numpy", "≥ 3", at_least(3)),
        against("the same; NumPy in blocks of 16 384", "memory 1", "numpy blocks", "", None),
        against("the same on two threads; ours on one", "memory 2", "memory 1", "≥ 1.6", at_least(1.6)),
        against("10 000 pieces in memory, one thread; uncertainties", "memory 10k", "uncertainties", "", None),
        against(f"{n} pieces, `assess` without files: checks, cautions, timbers; one thread; NumPy", "assess 1", "numpy", "", None),
        against("the same on two threads; ours on one", "assess 2", "assess 1", "", None),
        against(f"{n} rows, file to file; pandas", "files", "pandas", "≥ 8", at_least(8)),
    ]
    for what, peer, goal in (
        ("the same; polars reads the input, writes the result", "polars out", "≤ 2"),
        ("the same; polars reads and writes the input", "polars input", ""),
        ("the same; polars reads and writes the result", "polars result", ""),
    ):
        a, b = bench.of("files"), bench.of(peer)
        lines.append(ratio_row(what, f"{a:.3g} s", f"{b:.3g} s", f"{a / b:.2f} (ours / peer)", goal, a <= 2 * b if goal else None))
    peak, allowed = bench.peaks["files"] / 1024, columns / MIB + 64
    lines.append(ratio_row(
        f"peak memory, {n} rows, file to file; input and output columns as polars holds them + 64 MiB",
        f"{peak:.0f} MiB", f"{allowed:.0f} MiB", f"{peak / allowed:.2f}", "≤ 1", peak <= allowed,
    ))
    costs = [bench.of(f"memory of {size}") / size for size in sizes]
    spread = max(costs) / min(costs)
    smallest, largest = (f"{size:,}".replace(",", " ") for size in (sizes[0], sizes[-1]))
    lines.append(ratio_row(
        f"cost a row in memory, {smallest} to {largest} rows: largest over smallest", f"{max(costs) * 1e6:.3g} µs",
        f"{min(costs) * 1e6:.3g} µs", f"{spread:.2f}", f"≤ {LINEAR}", spread <= LINEAR,
    ))
    for name, what in (("demo", "release build"), ("demo dev", "dev build")):
        cpu = bench.of(name)
        lines.append(ratio_row(f"CPU time of `assess` on the demonstration batch, {what}", f"{cpu * 1000:.0f} ms", "", "", "< 50 ms", cpu < 0.05))
    lines += ["", "| rows | in memory, one thread | a row | file to file | a row | peak memory |", "|---|---|---|---|---|---|"]
    for size in sizes:
        memory, files = bench.of(f"memory of {size}"), bench.of(f"files of {size}")
        lines.append(
            f"| {size:,} | {memory:.3g} s | {memory / size * 1e6:.3g} µs | {files:.3g} s | {files / size * 1e6:.3g} µs | "
            f"{bench.peaks[f'files of {size}'] / 1024:.0f} MiB |".replace(",", " ")
        )
    peaks = {
        "NumPy, whole arrays": "numpy", "NumPy in blocks": "numpy blocks", "ours in memory": "memory 1", "pandas": "pandas",
        "polars, input to result": "polars out",
    }
    lines += ["", "Peak memory of the whole process: " + "; ".join(
        f"{name} {bench.peaks[key] / 1024:.0f} MiB" for name, key in peaks.items()) + "."]
    if bench.is_folder:
        lines += ["", "File to file wrote a folder with every table and a workbook, not the results alone."]
    return lines


def main():
    parser = argparse.ArgumentParser()
    for name in ("--program", "--dev", "--bench"):
        parser.add_argument(name, type=Path, required=True)
    parser.add_argument("--rows", type=int, required=True)
    parser.add_argument("--rounds", type=int, required=True)
    parser.add_argument("--large", action="store_true")
    parser.add_argument("--trial", action="store_true")
    arguments = parser.parse_args()
    load = machine.load()
    lines = measured(Bench(arguments), arguments.rows, arguments.rounds, arguments.large)
    lines = [*machine.words(ROOT, arguments.rounds, load), "", *lines]
    print("\n".join(lines))
    if arguments.trial:
        return
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    README.write_text("\n".join([before + BEGIN, *lines, END + after]), encoding="utf-8")


main()

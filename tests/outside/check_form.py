"""Checks that Frictionless accepts forms and results with their data packages: check_form.py PROGRAM.

Forms as text and as workbook, empty and filled with rows of the invented harbour; then every file of an assessment.
The filled forms go through the program too, and lists of words stand in the workbook as openpyxl reads it.
"""

import csv
import subprocess
import sys
import tempfile
from pathlib import Path

from frictionless import validate
from openpyxl import load_workbook

HARBOUR = Path("datasets-demo/harbour")
TABLES = ("samples", "timbers", "log")
TEXT = {"samples": "form.csv", "timbers": "form_timbers.csv", "log": "form_log.csv"}
WORDS = '"none,surface,partial,through,unknown"'

faults = []


def fault(text):
    faults.append(text)


def run(*arguments, allowed=(0,)):
    """The program, in this folder."""
    done = subprocess.run([sys.argv[1], *map(str, arguments)], capture_output=True, text=True, timeout=120, check=False)
    if done.returncode not in allowed:
        fault(f"{' '.join(map(str, arguments))}: ended with {done.returncode}, allowed {allowed}: {done.stderr}")
    return done.stdout


def accept(what, folder, rows):
    """Frictionless accepts the package of the folder and reads so many rows of each table (None: not counted)."""
    report = validate(str(folder / "datapackage.json"), type="package")
    for error in report.errors:
        fault(f"{what}: {error.type}: {error.message}")
    for task in report.tasks:
        for error in task.errors[:5]:
            fault(f"{what}: {task.name}: {error.type}: {error.message}")
        if rows is not None and (task.stats.get("rows") or 0) != rows.get(task.name, 0):
            fault(f"{what}: {task.name}: {task.stats.get('rows')} rows, expected {rows.get(task.name, 0)}")
    if not report.tasks:
        fault(f"{what}: no resource")
    if not report.valid and not faults:
        fault(f"{what}: refused")


def demo(table, header):
    """Rows of the invented harbour under the headers of a form; repeats of a piece are left out."""
    with (HARBOUR / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    if table == "samples":
        rows = [row for row in rows if row["replicate"] in ("", "1")]
    # The study file of the harbour says that "n.d." is unknown; a form leaves such a cell blank.
    rows = [{name: "" if cell == "n.d." else cell for name, cell in row.items()} for row in rows]
    bare = {name.split(" [")[0]: name for name in rows[0]}
    return [[row[bare[name]] if (name := head.split(" [")[0]) in bare else "" for head in header] for row in rows]


def typed(text):
    """A cell as a person types it into a workbook."""
    try:
        return float(text)
    except ValueError:
        return text or None


def fill_text(folder):
    counts = {}
    for table, name in TEXT.items():
        with (folder / name).open(encoding="utf-8", newline="") as file:
            header = next(csv.reader(file))
        rows = demo(table, header)
        with (folder / name).open("a", encoding="utf-8", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows(rows)
        counts[table] = len(rows)
    return counts


def fill_book(path):
    book = load_workbook(path)
    counts = {}
    for table in TABLES:
        sheet = book[table]
        header = [cell.value for cell in sheet[1]]
        rows = demo(table, header)
        for row in rows:
            # Names of the tables stay text, as the form formats their cells.
            sheet.append([typed(text) if "[" in head else text or None for head, text in zip(header, row)])
        counts[table] = len(rows)
    book.save(path)
    return counts


def check_book(path):
    """Lists, limits, notes and what stays in view."""
    sheet = load_workbook(path)["samples"]
    rules = {(rule.type, rule.formula1) for rule in sheet.data_validations.dataValidation}
    if ("list", WORDS) not in rules:
        fault(f"{path.name}: no list of the words of charring")
    if not any(kind == "decimal" for kind, _ in rules):
        fault(f"{path.name}: no limits of numbers")
    if any(cell.comment is None for cell in sheet[1]):
        fault(f"{path.name}: a header without a note")
    if sheet.freeze_panes != "B2":
        fault(f"{path.name}: freeze_panes is {sheet.freeze_panes}")


def check_form(columns):
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        run("template", "--columns", columns, "-o", folder / "form.csv")
        accept(f"text, {columns}, empty", folder, {})
        run("check", folder / "form.csv", allowed=(3,))
        accept(f"text, {columns}, filled", folder, fill_text(folder))
        run("check", folder / "form.csv")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = folder / "form.xlsx"
        run("template", "--columns", columns, "-o", path)
        check_book(path)
        accept(f"workbook, {columns}, empty", folder, {})
        run("check", path, allowed=(3,))
        accept(f"workbook, {columns}, filled", folder, fill_book(path))
        run("check", path)


def check_results(*options):
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "state"
        run("assess", HARBOUR, "--out", folder, *options)
        accept(f"results {' '.join(options)}", folder, None)


def check_shells():
    """Bash reads its completions."""
    script = run("completions", "bash")
    done = subprocess.run(["bash", "-n"], input=script, capture_output=True, text=True, check=False)
    if done.returncode != 0 or done.stderr:
        fault(f"completions bash: {done.stderr}")


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: check_form.py PROGRAM")
    for columns in ("usual", "all"):
        check_form(columns)
    check_results()
    check_results("--out-decimal", ",")
    check_shells()
    for text in dict.fromkeys(faults):
        print(f"check_form: {text}", file=sys.stderr)
    if faults:
        sys.exit(1)
    print("check_form: forms, empty and filled, and results are accepted")


main()

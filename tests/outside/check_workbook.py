"""Checks what `woodstate assess` writes, with openpyxl and the csv module: check_workbook.py PROGRAM."""

import csv
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from openpyxl import load_workbook

INPUT = Path("datasets-demo/harbour/harbour.xlsx")
SHEETS = ("results", "timbers", "routes", "input", "input timbers", "input log", "findings", "columns", "method", "references", "sources")
TABLES = ("results", "timbers")
# 3: some row was not assessed, the rest was written.
ACCEPTED = (0, 3)
# Names that look like numbers stay text.
NAMES = {"sample", "timber", "core_id", "site", "context", "find_number", "replicate", "photo", "note", "code", "row", "cell"}
NUMBER = re.compile(r"[-+\u2212]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?")
DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "\0")
SAME = 1e-12

faults = []


def fault(text):
    faults.append(text)


def is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def is_number_text(value):
    return isinstance(value, str) and NUMBER.fullmatch(value.strip()) is not None


def header_row(sheet):
    """The row number of the header: the last frozen row."""
    pane = sheet.sheet_view.pane
    if pane is None or pane.state not in ("frozen", "frozenSplit") or not pane.ySplit:
        fault(f"sheet {sheet.title}: the header row is not frozen")
        return 1
    return int(pane.ySplit)


def check_cells(sheet):
    """No formula anywhere."""
    for row in sheet.iter_rows():
        for cell in row:
            if cell.data_type == "f":
                fault(f"{sheet.title}!{cell.coordinate}: a formula, {cell.value!r}")


def check_numbers(sheet, header):
    """Numbers are numbers in each column that has a unit, or holds nothing but numbers."""
    numbers = 0
    for column in sheet.iter_cols(min_row=header):
        name = str(column[0].value or "")
        cells = [cell for cell in column[1:] if cell.value is not None]
        numbers += sum(is_number(cell.value) for cell in cells)
        numeric = "[" in name or (name not in NAMES and cells and all(is_number(c.value) or is_number_text(c.value) for c in cells))
        for cell in cells:
            if numeric and is_number_text(cell.value):
                fault(f"{sheet.title}!{cell.coordinate}: {name}: the number {cell.value!r} is stored as text")
    if numbers == 0:
        fault(f"sheet {sheet.title}: not one number")


def same(cell, text):
    """Whether a workbook cell and a CSV field say the same."""
    if cell is None:
        return text == ""
    if isinstance(cell, bool):
        return text.lower() == str(cell).lower()
    if is_number(cell):
        try:
            return abs(float(text) - cell) <= SAME * abs(cell)
        except ValueError:
            return False
    # The guard stands in the CSV file only.
    return text == str(cell) or (text[:1] == "'" and text[1:] == str(cell) and text[1:].startswith(DANGEROUS))


def check_csv(path, workbook):
    """Agreement with the sheet of the same name; guarded text."""
    sheet_name = next((name for name in workbook.sheetnames if path.stem == name.replace(" ", "_")), None)
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file, strict=True))
    for number, row in enumerate(rows, start=1):
        for position, field in enumerate(row, start=1):
            if field.startswith(DANGEROUS) and not is_number_text(field):
                fault(f"{path.name}, line {number}, column {position}: text begins unguarded: {field!r}")
    if sheet_name is None:
        fault(f"{path.name}: no sheet has this name")
        return None
    if sheet_name not in workbook.sheetnames:
        return sheet_name
    sheet = workbook[sheet_name]
    first = header_row(sheet) if sheet_name in TABLES else 1
    cells = [list(row) for row in sheet.iter_rows(min_row=first, values_only=True)]
    if len(rows) != len(cells):
        fault(f"{path.name}: {len(rows)} rows, sheet {sheet_name}: {len(cells)}")
    for number, (row, line) in enumerate(zip(cells, rows), start=1):
        if len(row) != len(line):
            fault(f"{path.name}, row {number}: {len(line)} fields, sheet {sheet_name}: {len(row)}")
        for position, (cell, field) in enumerate(zip(row, line), start=1):
            if not same(cell, field):
                fault(f"{path.name}, row {number}, column {position}: {field!r}, sheet {sheet_name}: {cell!r}")
    return sheet_name


def check_folder(folder):
    """Everything that one assessment wrote."""
    books = sorted(folder.rglob("*.xlsx"))
    if len(books) != 1:
        fault(f"one workbook expected, found {[book.name for book in books]}")
        return
    workbook = load_workbook(books[0])
    for name in SHEETS:
        if name not in workbook.sheetnames:
            fault(f"{books[0].name}: no sheet {name}; there are {workbook.sheetnames}")
    for sheet in workbook.worksheets:
        check_cells(sheet)
        header = header_row(sheet)
        if sheet.title in TABLES:
            check_numbers(sheet, header)
    written = {check_csv(path, workbook) for path in sorted(folder.rglob("*.csv"))}
    for name in TABLES:
        if name not in written:
            fault(f"no CSV file for the sheet {name}")


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: check_workbook.py PROGRAM")
    if not INPUT.is_file():
        sys.exit(f"check_workbook: {INPUT} is missing")
    with tempfile.TemporaryDirectory() as folder:
        call = [sys.argv[1], "assess", str(INPUT), "--out", folder]
        done = subprocess.run(call, capture_output=True, text=True, timeout=120, check=False)
        if done.returncode not in ACCEPTED:
            sys.exit(f"check_workbook: assess ended with {done.returncode}, allowed {ACCEPTED}\n{done.stderr}")
        check_folder(Path(folder))
    # The same frozen pane is looked at twice.
    for text in dict.fromkeys(faults):
        print(f"check_workbook: {text}", file=sys.stderr)
    if faults:
        sys.exit(1)
    print("check_workbook: workbook and CSV files agree")


main()

"""Checks that hard names come back equal from everything `woodstate assess` writes: check_names.py PROGRAM.

Read back by openpyxl (.xlsx), odfpy and pandas (.ods), pandas (.csv, .tsv), pyarrow and pandas (.parquet), Frictionless
(each data package), and by woodstate itself. No formula is made of a name, no text becomes a number, and numbers keep
every bit. Names and numbers are invented.
"""

import csv
import json
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import pandas
import pyarrow.parquet
from frictionless import Package, validate
from odf import teletype
from odf.opendocument import load
from odf.table import Table, TableCell, TableRow
from odf.text import P
from openpyxl import load_workbook

NAMES = [
    "=1+1", "+1", "-1", "@x", '=HYPERLINK("http://a.example","x")', "<b>", "</table:table-cell>", "]]>", "&amp;", "&#65;",
    "../../x", '"quoted, comma"', "'apostrophe", "''two", "'=1+1", "a;b", "a\tb", "two\nlines", "two  spaces",
    "\u05e2\u05e5 \u05d0\u05dc\u05d5\u05df 3", "\u202eabc", "\u202bab 1\u202c", "e\u0301", "\u00e9 ", "\U0001f332",
    "007", "1e5", "1E+05", "0x1F", "1,5", "1.50", "\u00bd", "2024-05-01", "01/05/2024", "May-24", "12:30", "25 %",
    "TRUE", "NaN", "NA", "null", "None", "nan", "inf", "-", "#N/A", "#REF!", "Err:502", "_x000D_", "_x0041_b",
    "x" * 10_000, "\U0001f332" * 2_500,
]  # fmt: skip
OWN = "=own, column"
DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "\0")
ENDINGS = ("csv", "tsv", "xlsx", "ods", "parquet")
# What a worksheet of the open document holds for "nothing".
BLANK = ("", None)

faults = []


def fault(text):
    faults.append(text)


def run(*arguments, allowed=(0,)):
    done = subprocess.run([sys.argv[1], *map(str, arguments)], capture_output=True, text=True, timeout=120, check=False)
    if done.returncode not in allowed:
        fault(f"{' '.join(map(str, arguments))}: ended with {done.returncode}, allowed {allowed}: {done.stderr[:500]}")
    return done.stdout


def shown(name):
    return repr(name if len(name) < 40 else f"{name[:20]}... ({len(name)} characters)")


def guarded(text):
    """A text as delimited text has it: an apostrophe before what a program might run."""
    bare = text.lstrip("'")
    return f"'{text}" if bare.startswith(DANGEROUS) else text


def same(what, found, expected):
    """Two lists of texts, one by one."""
    if len(found) != len(expected):
        fault(f"{what}: {len(found)} rows, expected {len(expected)}")
    for one, other in zip(found, expected):
        if type(one) is not type(other) or one != other:
            fault(f"{what}: {shown(other)} came back as {type(one).__name__} {shown(str(one))}")


def numbers(what, found, expected):
    """Two columns of numbers, to the bit; an unknown one is None or NaN."""
    for place, (one, other) in enumerate(zip(found, expected)):
        one = None if one in BLANK or one != one else one
        if isinstance(one, str) or one != other:
            fault(f"{what}, row {place}: {one!r}, expected {other!r}")


def put(path):
    """The names as a person's file: numbers that no two pieces share."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["sample", "timber", "taxon", "mass_saturated [g]", "mass_oven_dry [g]", guarded(OWN)])
        for place, name in enumerate(NAMES):
            cell = guarded(name)
            writer.writerow([cell, cell, "oak", 5 + place / 7, 1 + place / 13, cell])


def expected_of(path):
    """Names and numbers as the JSON of the same assessment has them."""
    outcome = json.loads(path.read_text(encoding="utf-8"))
    samples = outcome["samples"]
    water = [sample["values"]["max_water_content"] for sample in samples]
    return {
        "sample": [sample["sample"] for sample in samples],
        "timber": [sample["timber"] for sample in samples],
        "max_water_content [%]": [value["value"] for value in water],
        "u(max_water_content) [%]": [value["u"] for value in water],
    }


def compare(what, columns, expected, guard=False):
    """Columns by header, as one reader gives them."""
    for name, values in expected.items():
        if name not in columns:
            fault(f"{what}: no column {name}")
        elif "[" in name:
            numbers(f"{what}, {name}", list(columns[name]), values)
        else:
            same(f"{what}, {name}", list(columns[name]), [guarded(value) if guard else value for value in values])


def of_sheet(sheet):
    """Columns of a sheet of openpyxl; no cell is a formula or a link."""
    for row in sheet.iter_rows():
        for cell in row:
            if cell.data_type == "f" or cell.hyperlink is not None:
                fault(f"{sheet.title}!{cell.coordinate}: a formula or a link, {shown(str(cell.value))}")
    rows = list(sheet.iter_rows(values_only=True))
    return {header: [row[place] for row in rows[1:]] for place, header in enumerate(rows[0])}


def of_book(path):
    return {sheet.title: of_sheet(sheet) for sheet in load_workbook(path).worksheets}


def of_document(path):
    """Columns of each sheet of an open document."""
    with zipfile.ZipFile(path) as archive:
        if b"table:formula" in archive.read("content.xml"):
            fault(f"{path.name}: a formula")
        first = archive.infolist()[0]
        if first.filename != "mimetype" or first.compress_type != zipfile.ZIP_STORED or first.extra:
            fault(f"{path.name}: the type of the document does not come first, as it is")
    sheets = {}
    for table in load(path).spreadsheet.getElementsByType(Table):
        rows = [of_row(row) for row in table.getElementsByType(TableRow)]
        width = len(rows[0])
        rows = [row + [None] * (width - len(row)) for row in rows]
        sheets[table.getAttribute("name")] = {head: [row[at] for row in rows[1:]] for at, head in enumerate(rows[0])}
    return sheets


def of_row(row):
    cells = []
    for cell in row.getElementsByType(TableCell):
        kind = cell.getAttribute("valuetype")
        if kind == "float":
            value = float(cell.getAttribute("value"))
        elif kind == "string":
            value = "\n".join(teletype.extractText(line) for line in cell.getElementsByType(P))
        else:
            value = None
        cells.extend([value] * int(cell.getAttribute("numbercolumnsrepeated") or 1))
    return cells


def of_text(path, delimiter):
    frame = pandas.read_csv(path, sep=delimiter, keep_default_na=False, na_values={"u(max_water_content) [%]": [""]},
                            dtype={"sample": object, "timber": object, "taxon": object, OWN: object, guarded(OWN): object})  # fmt: skip
    return {header: list(frame[header]) for header in frame.columns}


def of_package(path, name):
    """Rows of a table as Frictionless reads them with the description beside it."""
    report = validate(str(path), type="package")
    for task in report.tasks:
        for error in task.errors[:5]:
            fault(f"{path.name}: {task.name}: {error.type}: {error.message[:300]}")
    for error in report.errors:
        fault(f"{path.name}: {error.type}: {error.message[:300]}")
    rows = Package(str(path)).get_resource(name).read_rows()
    columns = {header: [row[header] for row in rows] for header in rows[0]}
    return {
        header: [float(cell) if "[" in header and cell is not None else cell for cell in cells]
        for header, cells in columns.items()
    }


def check_singles(data, folder, expected):
    for ending in ENDINGS:
        path = folder / f"out.{ending}"
        run("assess", data, "-o", path)
        if not path.is_file():
            fault(f"{path.name}: not written")
            continue
        if ending == "xlsx":
            compare("openpyxl, xlsx", of_book(path)["results"], expected)
        elif ending == "ods":
            compare("odfpy, ods", of_document(path)["results"], expected)
            # pandas drops tabs of a text and takes "#N/A" for nothing, whatever it is told.
            frame = pandas.read_excel(path, engine="odf", sheet_name="results", keep_default_na=False)
            compare("pandas, ods", frame, {name: cells for name, cells in expected.items() if "[" in name})
        elif ending == "parquet":
            compare("pyarrow, parquet", pyarrow.parquet.read_table(path).to_pydict(), expected)
            compare("pandas, parquet", pandas.read_parquet(path), expected)
        else:
            compare(f"pandas, {ending}", of_text(path, "\t" if ending == "tsv" else ","), expected, guard=True)
        described = folder / f"{path.name}.datapackage.json"
        if ending != "xlsx" and not described.is_file():
            fault(f"{path.name}: no {described.name} beside it")
        elif ending in ("csv", "tsv"):
            compare(f"Frictionless, {ending}", of_package(described, "results"), expected, guard=True)
        described.unlink(missing_ok=True)
        again(path, folder, expected)


def check_comma(data, folder, expected):
    """A decimal comma is said in the description of the file."""
    path = folder / "comma.csv"
    run("assess", data, "-o", path, "--out-decimal", ",")
    compare("Frictionless, decimal comma", of_package(folder / "comma.csv.datapackage.json", "results"), expected, guard=True)


def again(path, folder, expected):
    """woodstate reads its own file: derived quantities are columns of the samples too."""
    sheet = ["--sheet", "results"] if path.suffix in (".xlsx", ".ods") else []
    (folder / "again.json").unlink(missing_ok=True)
    run("assess", path, *sheet, "-o", folder / "again.json", allowed=(0, 3))
    if (folder / "again.json").is_file():
        found = json.loads((folder / "again.json").read_text(encoding="utf-8"))["samples"]
        same(f"woodstate, {path.suffix}", [sample["sample"] for sample in found], expected["sample"])


def check_folder(data, folder, expected):
    out = folder / "state"
    run("assess", data, "--out", out)
    book = of_book(out / "assess.xlsx")
    compare("openpyxl, folder", book["results"], expected)
    same("openpyxl, echo", book["input"]["sample"], expected["sample"])
    same("openpyxl, echo of an own column", book["input"][OWN], expected["sample"])
    compare("Frictionless, folder", of_package(out / "datapackage.json", "results"), expected, guard=True)
    echo = of_text(out / "input.csv", ",")
    same("pandas, echo", echo["sample"], [guarded(name) for name in expected["sample"]])
    same("pandas, echo of an own column", echo[guarded(OWN)], [guarded(name) for name in expected["sample"]])


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: check_names.py PROGRAM")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        data = folder / "names.csv"
        put(data)
        run("assess", data, "-o", folder / "all.json")
        expected = expected_of(folder / "all.json")
        # Blanks around a name are no part of it.
        same("names as read", expected["sample"], [name.strip(" ") for name in NAMES])
        same("timbers as read", expected["timber"], expected["sample"])
        check_singles(data, folder, expected)
        check_comma(data, folder, expected)
        check_folder(data, folder, expected)
    for text in dict.fromkeys(faults):
        print(f"check_names: {text}", file=sys.stderr)
    if faults:
        sys.exit(1)
    print(f"check_names: {len(NAMES)} hard names come back equal from every kind of file")


main()

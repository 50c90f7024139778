"""Checks that Frictionless accepts the data package of the invented harbour: check_package.py PROGRAM (not run here)."""

import sys
from pathlib import Path

from frictionless import validate

PACKAGE = Path("datasets-demo/harbour/datapackage.json")


def main():
    if not PACKAGE.is_file():
        sys.exit(f"check_package: {PACKAGE} is missing")
    report = validate(str(PACKAGE), type="package")
    # Errors of the description itself stand in the report, errors of the data in its tasks.
    for error in report.errors:
        print(f"check_package: {PACKAGE}: {error.type}: {error.message}", file=sys.stderr)
    for task in report.tasks:
        for error in task.errors:
            print(f"check_package: {task.place}: {error.type}: {error.message}", file=sys.stderr)
    if not report.tasks:
        sys.exit(f"check_package: {PACKAGE} lists no resource")
    rows = {task.place: task.stats.get("rows", 0) for task in report.tasks}
    for place, count in rows.items():
        if not count:
            print(f"check_package: {place}: no row was read", file=sys.stderr)
    if not report.valid or not all(rows.values()):
        sys.exit(1)
    print("check_package: " + ", ".join(f"{place} {count} rows" for place, count in rows.items()) + ", valid")


main()

"""The kernel in the console of Jupyter, as a person types: check_console.py PROGRAM."""

import sys
from pathlib import Path

import kernel_home
import pexpect

PROGRAM = Path(sys.argv[1]).resolve()
ROOT = Path(__file__).resolve().parents[2]


def main():
    kernel_home.install(PROGRAM)
    arguments = ["-m", "jupyter_console", "--kernel", "woodstate"]
    console = pexpect.spawn(
        sys.executable, arguments, cwd=str(ROOT / "datasets-demo/harbour"), encoding="utf-8", timeout=60,
        dimensions=(60, 200),
    )
    def until(pattern):
        console.expect(pattern)

    until(r"In \[.*1.*\]")
    # The prompt is drawn while the console gets ready to read.
    console.send("1+1\r")
    until(r"Out\[")
    until(r"2\r\n")
    until(r"In \[.*2.*\]")
    console.send("t = read('harbour.xlsx')\r")
    until(r"161 rows")
    until(r"In \[.*3.*\]")
    console.send("t[0:3]\r")
    until("B01-K1-1")
    until(r"3 of 161 rows|3 rows")
    until(r"In \[.*4.*\]")
    # One proposal alone is written out.
    console.send("t.mass_oven")
    console.send("\t")
    until("mass_oven_dry")
    console.send("\r")
    until("column|values")
    until(r"In \[.*5.*\]")
    console.send("nothing\r")
    until("There is no name nothing")
    until(r"In \[.*6.*\]")
    console.send("\x04")
    if console.expect([pexpect.EOF, "exit|quit|kernel"]) == 1:
        console.send("y\r")
        console.expect(pexpect.EOF)
    console.close()
    return 0 if kernel_home.is_removed(PROGRAM) else 1


if __name__ == "__main__":
    sys.exit(main())

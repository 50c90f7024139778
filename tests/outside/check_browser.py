"""Opens the pages of `woodstate report` in Chromium: no request leaves, no error, accessible, printable.

What it checks stands in browser/check.mjs. It needs Chromium, pdftotext, Node 18 or later and npm; as root on Debian it
installs what is missing by name. `check_browser.py PROGRAM --shots FOLDER` keeps pictures to look at.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from debian import install

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
NEEDED = {"chromium": "chromium", "pdftotext": "poppler-utils", "node": "nodejs", "npm": "npm"}

# Names that are formulas, markup and paths; unknown values; a timber without a piece.
NASTY = """\
sample,timber,context,taxon,depth_from [mm],mass_saturated [g],mass_oven_dry [g],mass_immersed [g]
=1+2,<script>alert(1)</script>,a,oak,0,4.71,0.76,0.27
"<b onclick=""alert(1)"">x</b>",../../etc/passwd,"a""b",oak,10,4.10,0.84,0.29
@SUM(A1),"{{ 7 * 7 }}",a,,,,,
{% raw %},Ö&ü <!--,,Scots pine,0,3.87,0.71,0.25
averylongnamewithoutanyspaceinitthatwouldpushatableoutofthepageifnothingheldit0123456789,,,oak,0,4.15,1.75,0.59
"""
ALONE = "sample,mass_saturated [g],mass_oven_dry [g]\nK1,2.09,0.34\n"


def look_at_node():
    """Ends where Node is too old."""
    version = subprocess.run(["node", "--version"], capture_output=True, text=True, check=True).stdout.strip()
    if int(version.lstrip("v").split(".")[0]) < 18:
        sys.exit(f"outside: the browser check needs Node 18 or later, this one is {version}")


def modules():
    """The packages of package-lock.json, in target/browser."""
    folder = ROOT / "target" / "browser"
    folder.mkdir(parents=True, exist_ok=True)
    lock = HERE / "browser" / "package-lock.json"
    made = folder / "made.json"
    if not (made.is_file() and made.read_bytes() == lock.read_bytes()):
        for name in ("package.json", "package-lock.json"):
            shutil.copy(HERE / "browser" / name, folder / name)
        npm = ["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"]
        if subprocess.run(npm, cwd=folder, stdout=subprocess.DEVNULL, check=False).returncode != 0:
            sys.exit("outside: npm could not install the packages of tests/outside/browser/package-lock.json")
        # Copied last: a folder that stopped half-way is made again.
        shutil.copy(lock, made)
    return folder


def report(program, file, out):
    """The pages of a report."""
    done = subprocess.run([program, "report", file, "--out", out, "--quiet"], capture_output=True, text=True, check=False)
    if done.returncode not in (0, 3):
        sys.exit(f"outside: woodstate report {file} ended with {done.returncode}: {done.stderr}")
    return [out / "report.html", out / "sheets.html"]


def main():
    program, *more = sys.argv[1:]
    install(NEEDED)
    look_at_node()
    folder = modules()
    with tempfile.TemporaryDirectory() as scratch:
        scratch = Path(scratch)
        (scratch / "nasty.csv").write_text(NASTY, encoding="utf-8")
        (scratch / "alone.csv").write_text(ALONE, encoding="utf-8")
        pages = report(program, ROOT / "datasets-demo/harbour/harbour.xlsx", scratch / "harbour")
        pages += report(program, ROOT / "datasets-demo/strength/mechanics.csv", scratch / "strength")
        pages += report(program, scratch / "nasty.csv", scratch / "nasty")
        pages += report(program, scratch / "alone.csv", scratch / "alone")
        check = ["node", HERE / "browser" / "check.mjs", folder, shutil.which("chromium"), *more, *pages]
        sys.exit(subprocess.run(check, check=False).returncode)


if __name__ == "__main__":
    main()

"""Checks what `woodstate figure` writes: check_figure.py PROGRAM.

Text of the PDF is selected by pypdf; the SVG is well-formed XML (expat) and has one title and description; the PNG is opened
by Pillow and has the size and resolution that were asked for.
"""

import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree
from pathlib import Path

from PIL import Image
from pypdf import PdfReader

ROOT = Path(__file__).resolve().parent.parent.parent
FILE = ROOT / "datasets-demo/harbour/harbour.xlsx"
SVG = "{http://www.w3.org/2000/svg}"
KINDS = {
    "density-water": ("Basic density (kg m", "Maximum water content (%)", "saturated wood"),
    "depth-profile": ("Depth (mm)", "sapwood", "Q01"),
    "class-shares": ("class I", "not decided", "n (timbers)"),
    "box-points": ("deciduous", "n (timbers)"),
    "shrinkage": ("Tangential shrinkage", "Loss of size on drying (%)"),
    "series": ("Bath temperature", "Date"),
}

program, faults = sys.argv[1], []
with tempfile.TemporaryDirectory() as folder:
    for kind, words in KINDS.items():
        svg, png, pdf = (Path(folder, f"{kind}.{ending}") for ending in ("svg", "png", "pdf"))
        command = [program, "figure", kind, FILE, "--dpi", "300", "--quiet"]
        for path in (svg, png, pdf):
            command += ["-o", path]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        text = " ".join(PdfReader(pdf).pages[0].extract_text().split())
        drawn = " ".join("".join(node.itertext()) for node in tree.parse(svg).iter(f"{SVG}text"))
        for word in words:
            if word not in drawn:
                faults.append(f"{kind}: {word!r} is not in the SVG")
            if word.replace(" ", "") not in text.replace(" ", ""):
                faults.append(f"{kind}: {word!r} is not in the text of the PDF: {text}")
        root = tree.parse(svg).getroot()
        if [len(root.findall(f"{SVG}{name}")) for name in ("title", "desc")] != [1, 1]:
            faults.append(f"{kind}: one title and one description")
        with Image.open(png) as image:
            if image.width != 1004 or round(image.info["dpi"][0]) != 300:
                faults.append(f"{kind}: {image.width} pixels, {image.info['dpi']} dpi; expected 1004 and 300")

for fault in faults:
    print(f"check_figure: {fault}", file=sys.stderr)
sys.exit(bool(faults))

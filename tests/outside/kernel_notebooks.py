"""The example notebooks: run again they give the same outputs, byte for byte, and become pages that read well."""

import re
import shutil
import tempfile
import unittest
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbconvert import HTMLExporter, MarkdownExporter, ScriptExporter

ROOT = Path()
WRITE = False


def run(folder, name):
    notebook = nbformat.read(folder / name, as_version=4)
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
    # Front ends join text that follows text; so does this client when it is asked.
    options = {"timeout": 300, "kernel_name": "woodstate", "record_timing": False, "coalesce_streams": True}
    NotebookClient(notebook, resources={"metadata": {"path": folder}}, **options).execute()
    return notebook


def plain(notebook):
    """What a reader sees: sources and outputs."""
    return [(cell.source, cell.get("outputs"), cell.get("execution_count")) for cell in notebook.cells]


class Notebooks(unittest.TestCase):
    maxDiff = 2000

    def test_every_notebook_gives_its_outputs_again(self):
        names = sorted(path.name for path in (ROOT / "examples/notebooks").glob("*.ipynb"))
        self.assertEqual(len(names), 3)
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place) / "notebooks"
            shutil.copytree(ROOT / "examples/notebooks", folder, ignore=shutil.ignore_patterns("out"))
            for name in names:
                with self.subTest(name):
                    # Twice: what was written is replaced.
                    first, second = run(folder, name), run(folder, name)
                    self.assertEqual(plain(first), plain(second))
                    if WRITE:
                        nbformat.write(second, ROOT / "examples/notebooks" / name)
                    kept = nbformat.read(ROOT / "examples/notebooks" / name, as_version=4)
                    self.assertEqual(plain(kept), plain(second), "run check_kernel.py PROGRAM --write and look at it")
                    self.becomes_pages(second)

    def becomes_pages(self, notebook):
        html, _ = HTMLExporter().from_notebook_node(notebook)
        self.assertNotIn("<script>alert", html)
        self.assertGreater(len(re.findall(r'<table class="dataframe">', html)), 0)
        markdown, _ = MarkdownExporter().from_notebook_node(notebook)
        self.assertIn("# ", markdown)
        script, parts = ScriptExporter().from_notebook_node(notebook)
        self.assertEqual(parts["output_extension"], ".star")
        self.assertIn('read("harbour.xlsx")', script)

    def test_two_hundred_cells(self):
        cells = [nbformat.v4.new_code_cell("n = 0")] + [nbformat.v4.new_code_cell("n = n + 1\nn") for _ in range(199)]
        notebook = nbformat.v4.new_notebook(cells=cells)
        NotebookClient(notebook, timeout=60, kernel_name="woodstate").execute()
        self.assertEqual(notebook.cells[-1].outputs[0].data["text/plain"], "199")

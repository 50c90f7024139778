"""The kernel in JupyterLab, in a browser without a network: check_lab.py PROGRAM [--shots FOLDER].

Run all, table and figure, Tab, Shift-Tab, an interrupt inside the library, restart, dark theme. With --shots pictures are
kept to look at.
"""

import argparse
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
from pathlib import Path

import kernel_home
from debian import install
from playwright.sync_api import Error, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
WAIT = 60_000
SIZE = {"width": 1280, "height": 960}
STATUS = "() => jupyterapp.shell.currentWidget?.sessionContext?.session?.kernel?.status"
# Of a text and what lies behind it: the ratio of WCAG 2.2, 1.4.3.
CONTRAST = """selector => {
  const canvas = document.createElement('canvas').getContext('2d', {willReadFrequently: true});
  const rgba = colour => {
    canvas.clearRect(0, 0, 1, 1); canvas.fillStyle = colour; canvas.fillRect(0, 0, 1, 1);
    return [...canvas.getImageData(0, 0, 1, 1).data];
  };
  const light = ([r, g, b]) => [r, g, b].map(c => c / 255).map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
    .reduce((sum, c, at) => sum + c * [0.2126, 0.7152, 0.0722][at], 0);
  const ratios = [...document.querySelectorAll(selector)].filter(e => e.textContent.trim()).map(e => {
    let behind = e;
    while (behind.parentElement && rgba(getComputedStyle(behind).backgroundColor)[3] < 255) behind = behind.parentElement;
    const [a, b] = [getComputedStyle(e).color, getComputedStyle(behind).backgroundColor].map(c => light(rgba(c)));
    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  });
  return {n: ratios.length, least: Math.min(...ratios)};
}"""


class Lab:
    """A page of JupyterLab with a notebook."""

    def __init__(self, page, address, shots):
        self.page, self.address, self.shots, self.faults = page, address, shots, []
        page.set_default_timeout(WAIT)
        page.on("pageerror", lambda error: self.faults.append(f"error in the page: {error}"))
        page.on("console", self.heard)

    def heard(self, message):
        # Where a favourite icon or a translation is missing is no matter of ours.
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.faults.append(f"console: {message.text}")

    def check(self, is_right, what):
        if not is_right:
            self.faults.append(what)

    def do(self, command, arguments="{}"):
        self.page.evaluate(f"() => {{ jupyterapp.commands.execute('{command}', {arguments}); }}")

    def until_idle(self):
        self.page.wait_for_function(f"{STATUS} === 'idle'")

    def open(self, name):
        # Without what was open before.
        self.page.goto(f"{self.address}/lab/tree/{name}?reset")
        self.page.wait_for_function("() => window.jupyterapp !== undefined")
        self.until_idle()
        # What is seen then comes of this run.
        self.do("editmenu:clear-all")
        self.page.wait_for_function("() => document.querySelectorAll('.jp-OutputArea-output').length === 0")

    def run_all(self):
        self.do("notebook:run-all-cells")
        self.page.wait_for_function(
            "() => { const cells = jupyterapp.shell.currentWidget.content.widgets.filter(w => w.model.type === 'code');"
            " return cells.every(w => Number.isInteger(w.model.executionCount)); }"
        )
        self.until_idle()
        errors = self.page.evaluate(
            "() => jupyterapp.shell.currentWidget.content.widgets.filter(w => w.model.type === 'code')"
            ".flatMap(w => w.model.outputs.toJSON()).filter(o => o.output_type === 'error').map(o => o.evalue)"
        )
        self.check(not errors, f"run all: {errors}")

    def cell(self, code):
        """A new cell at the end with this text; its editor has the cursor."""
        self.page.evaluate("() => { const n = jupyterapp.shell.currentWidget.content; n.activeCellIndex = n.widgets.length - 1; }")
        self.page.evaluate("() => jupyterapp.commands.execute('notebook:insert-cell-below')")
        self.seen(".jp-Cell.jp-mod-active .cm-content").click()
        self.page.keyboard.insert_text(code)

    def outputs(self):
        return self.page.evaluate("() => jupyterapp.shell.currentWidget.content.activeCell.model.outputs.toJSON()")

    def run(self, code):
        self.cell(code)
        self.do("notebook:run-cell")
        self.page.wait_for_function(
            "() => Number.isInteger(jupyterapp.shell.currentWidget.content.activeCell.model.executionCount)"
        )
        self.until_idle()
        return self.outputs()

    def shot(self, name):
        if self.shots:
            self.page.wait_for_timeout(500)
            self.page.screenshot(path=self.shots / f"{name}.png")

    def seen(self, selector):
        """Of the notebook in front."""
        return self.page.locator(f".jp-NotebookPanel:not(.lm-mod-hidden) {selector}")


def figures(lab):
    lab.open("2_a_site.ipynb")
    lab.run_all()
    picture = lab.seen(":is(.jp-RenderedSVG, .jp-RenderedImage) :is(img, svg)").first
    picture.wait_for(state="visible")
    box = picture.bounding_box()
    lab.check(box["width"] > 200 and box["height"] > 100, f"a figure of {box}")
    picture.scroll_into_view_if_needed()
    lab.shot("figure")
    if lab.shots:
        # The picture of the README: the notebook alone.
        lab.do("application:toggle-left-area")
        lab.page.set_viewport_size({"width": 1000, "height": 620})
        lab.page.evaluate(
            "() => jupyterapp.shell.currentWidget.content.widgets"
            ".find(w => w.model.sharedModel.source.startsWith('figure(')).node.scrollIntoView({block: 'start'})"
        )
        lab.shot("a_site")
        lab.page.set_viewport_size(SIZE)
        lab.do("application:toggle-left-area")


def tables(lab):
    lab.open("1_first_look.ipynb")
    lab.run_all()
    table = lab.seen("table.dataframe").first
    table.wait_for(state="visible")
    lab.check("B01-K1-1" in table.inner_text(), "the first table lacks its first row")
    lab.page.evaluate("() => jupyterapp.shell.currentWidget.content.scrollToItem(0)")
    lab.shot("first_look")


def keys(lab):
    lab.cell("s.max_w")
    lab.page.keyboard.press("Tab")
    listed = lab.page.locator(".jp-Completer-item")
    listed.first.wait_for(state="visible")
    lab.page.keyboard.press("Enter")
    lab.page.wait_for_function(
        "() => jupyterapp.shell.currentWidget.content.activeCell.model.sharedModel.source === 's.max_water_content'"
    )
    lab.cell("s.where(\"max_water_content > 400 and res")
    lab.page.keyboard.press("Tab")
    listed.first.wait_for(state="visible")
    names = listed.all_inner_texts()
    lab.check(any("residual_basic_density" in name for name in names), f"Tab in a condition proposes {names}")
    lab.shot("tab")
    lab.page.keyboard.press("Escape")
    lab.cell("fit(")
    lab.page.keyboard.press("Shift+Tab")
    told = lab.page.locator(".jp-Tooltip")
    told.wait_for(state="visible")
    lab.check("Strength against state" in told.inner_text(), f"Shift-Tab tells {told.inner_text()[:200]}")
    lab.shot("shift_tab")
    lab.page.keyboard.press("Escape")


def interrupt(lab):
    lab.cell('m = assess(read("mechanics.csv", study="mechanics.toml"))\n'
             'fit(m, value="bending_modulus", against="basic_density", model="gompertz", replicates=1000000)')
    lab.do("notebook:run-cell")
    lab.page.wait_for_function(f"{STATUS} === 'busy'")
    lab.page.wait_for_timeout(2000)
    lab.check(lab.page.evaluate(STATUS) == "busy", "the long fit was over before it could be stopped")
    lab.shot("busy")
    lab.do("notebook:interrupt-kernel")
    lab.until_idle()
    errors = [output["ename"] for output in lab.outputs() if output["output_type"] == "error"]
    lab.check(errors == ["interrupted"], f"an interrupted fit ends with {errors}")
    lab.shot("interrupted")


def dark(lab):
    lab.do("apputils:change-theme", "{theme: 'JupyterLab Dark'}")
    lab.page.wait_for_function("() => document.body.dataset.jpThemeLight === 'false'")
    lab.page.evaluate("() => jupyterapp.shell.currentWidget.content.scrollToItem(0)")
    lab.seen("table.dataframe").first.wait_for(state="visible")
    lab.page.wait_for_timeout(500)
    for selector in ("table.dataframe td", "table.dataframe th", ".jp-RenderedHTML :is(p, li)"):
        found = lab.page.evaluate(CONTRAST, f".jp-NotebookPanel:not(.lm-mod-hidden) {selector}")
        lab.check(found["n"] and found["least"] >= 4.5, f"dark: {selector}: {found}")
    lab.shot("dark")


def restart(lab):
    lab.do("kernelmenu:restart")
    lab.page.locator(".jp-Dialog .jp-mod-accept").click()
    lab.page.wait_for_function(f"{STATUS} === 'idle'")
    outputs = lab.run("1 + 1")
    lab.check([output["data"]["text/plain"] for output in outputs] == ["2"], f"after a restart: {outputs}")
    outputs = lab.run("s")
    lab.check([output.get("ename") for output in outputs] == ["name"], "a restart kept a name")


def settle(folder, name, settings):
    file = folder / "@jupyterlab" / f"{name}.jupyterlab-settings"
    file.parent.mkdir(parents=True)
    file.write_text(json.dumps(settings), encoding="utf-8")


def begin(folder):
    """A server, its address and its process."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", f"--port={port}", "--IdentityProvider.token=",
               "--expose-app-in-browser", "--LabApp.news_url=None",
               "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate", f"--notebook-dir={folder}"]
    said = open(folder.parent / "server.log", "w+", encoding="utf-8")
    server = subprocess.Popen(command, stdout=said, stderr=said)
    for _ in range(600):
        said.flush()
        if re.search(r"is running at", (folder.parent / "server.log").read_text(encoding="utf-8")):
            return f"http://127.0.0.1:{port}", server
        try:
            server.wait(0.1)
            break
        except subprocess.TimeoutExpired:
            pass
    server.kill()
    sys.exit("outside: JupyterLab does not start: " + (folder.parent / "server.log").read_text(encoding="utf-8")[-2000:])


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program", type=Path)
    parser.add_argument("--shots", type=Path)
    arguments = parser.parse_args()
    install({"chromium": "chromium"})
    program = arguments.program.resolve()
    kernel_home.install(program)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "notebooks"
        shutil.copytree(ROOT / "examples/notebooks", folder, ignore=shutil.ignore_patterns("out"))
        os.environ.update(JUPYTERLAB_SETTINGS_DIR=str(Path(scratch) / "settings"), JUPYTERLAB_WORKSPACES_DIR=str(Path(scratch) / "spaces"))
        # Every cell is drawn, on the screen or not.
        settle(Path(scratch) / "settings", "notebook-extension/tracker", {"windowingMode": "none"})
        # A busy machine is not a missing proposal.
        settle(Path(scratch) / "settings", "completer-extension/manager", {"providerTimeout": 20_000})
        settle(Path(scratch) / "settings", "apputils-extension/notification", {"fetchNews": "false", "checkForUpdates": False})
        address, server = begin(folder)
        try:
            with sync_playwright() as playwright:
                context = playwright.chromium.launch_persistent_context(
                    str(Path(scratch) / "user"), executable_path=shutil.which("chromium"), headless=True, args=FLAGS,
                    viewport=SIZE,
                )
                lab = Lab(context.new_page(), address, arguments.shots)
                for step in (figures, tables, keys, interrupt, dark, restart):
                    try:
                        step(lab)
                    except Error as error:
                        lab.shot("failed")
                        lab.faults.append(f"{step.__name__}: {error}")
                        break
                context.close()
        finally:
            server.terminate()
            server.wait(20)
    for fault in lab.faults:
        print(f"lab: {fault}", file=sys.stderr)
    return 0 if kernel_home.is_removed(program) and not lab.faults else 1


if __name__ == "__main__":
    sys.exit(main())

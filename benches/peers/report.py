"""A report with general-purpose libraries: report.py BATCH OUT. pandas reads, computes and groups, matplotlib draws, openpyxl writes.

Comparable with `woodstate report` on the invented harbour and on the batch of the bench: state of each piece with its
uncertainty, tables of timbers and contexts, counts of classes, as many figures in the page and as SVG, PNG and PDF, a workbook with the same sheets.
It does less: no class probability of a timber, no cautions, no findings, no check of the input, no curve of strength, no JSON.
Prints JSON with the seconds from the first read to the last write, without start and imports, and those of the figures.
"""

import argparse
import html
import io
import json
import time
from pathlib import Path

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt
import numpy as np
import pandas as pd

WATER, WALL, WALL_U, SOUND, SOUND_U, BALANCE = 998.6, 1500.0, 30.0, 565.0, 28.0, 0.01 / np.sqrt(12)
LIMITS = {"I": (400, np.inf), "II": (185, 400), "III": (-np.inf, 185)}
SHOWN = 200


def read(path):
    """The samples of a workbook or of a text."""
    return pd.read_excel(path, sheet_name="samples") if path.suffix == ".xlsx" else pd.read_csv(path)


def assess(frame):
    """Water content, densities and loss with standard uncertainty, and a class."""
    wet, dry = frame["mass_saturated [g]"], frame["mass_oven_dry [g]"]
    out = frame[["sample", "timber"]].copy()
    out["context"] = frame.get("context", "all")
    out["depth_from"], out["depth_to"] = frame["depth_from [mm]"], frame["depth_to [mm]"]
    out["max_water_content"] = 100 * (wet - dry) / dry
    out["u(max_water_content)"] = 100 * np.hypot(BALANCE / dry, wet * BALANCE / dry**2)
    sinker = frame["mass_sinker_immersed [g]"].fillna(0) if "mass_sinker_immersed [g]" in frame else 0
    volume = (wet - frame["mass_immersed [g]"] + sinker) / WATER * 1000
    if "mass_displaced [g]" in frame:
        volume = volume.fillna(frame["mass_displaced [g]"] / WATER * 1000)
    out["basic_density"] = 1000 * dry / volume
    out["u(basic_density)"] = out["basic_density"] * np.hypot(BALANCE / dry, np.sqrt(2) * BALANCE / (volume * WATER / 1000))
    out["residual"] = 100 * out["basic_density"] / SOUND
    out["u(residual)"] = out["residual"] * np.hypot(out["u(basic_density)"] / out["basic_density"], SOUND_U / SOUND)
    out["porosity"] = 100 * (1 - out["basic_density"] / WALL)
    out["class"] = "no class"
    for label, (low, high) in LIMITS.items():
        out.loc[(out["max_water_content"] >= low) & (out["max_water_content"] < high), "class"] = label
    return out


drawing = []


def picture(draw, name, folder):
    """A figure as it stands in a page, and beside it as SVG, PNG and PDF."""
    start = time.perf_counter()
    figure, axes = plt.subplots(figsize=(120 / 25.4, 80 / 25.4))
    draw(axes)
    figure.tight_layout()
    data = io.BytesIO()
    figure.savefig(data, format="svg")
    (folder / f"{name}.svg").write_bytes(data.getvalue())
    for ending in ("png", "pdf"):
        figure.savefig(folder / f"{name}.{ending}", dpi=300)
    plt.close(figure)
    drawing.append(time.perf_counter() - start)
    return data.getvalue().decode().split("?>", 1)[1]


def page(frame, out, timbers, contexts, folder):
    """The page: counts, timbers, pieces, contexts, figures of what was measured."""
    counts = out["class"].value_counts()

    def density(axes):
        for name, group in out.groupby("context"):
            axes.errorbar(group["max_water_content"], group["basic_density"], yerr=group["u(basic_density)"], fmt="o", ms=2, label=name)
        axes.set(xlabel="max. water content %", ylabel="basic density kg/m3")
        axes.legend(fontsize=6)

    def shares(axes):
        axes.bar(counts.index, counts.values)
        axes.set(ylabel="pieces")

    def depth(axes):
        deep = out.dropna(subset=["depth_from", "depth_to"])
        for timber in deep["timber"].value_counts().index[:9]:
            of = deep[deep["timber"] == timber].sort_values("depth_from")
            axes.step(of["residual"], of["depth_from"], where="post")
        axes.invert_yaxis()
        axes.set(xlabel="residual basic density %", ylabel="depth mm")

    def boxes(axes):
        names, values = zip(*((name, group["max_water_content"].dropna()) for name, group in out.groupby("context")))
        axes.boxplot(values, vert=False, tick_labels=names)
        axes.set(xlabel="max. water content %")

    def ranks(axes):
        sorted_ = out["max_water_content"].sort_values().dropna()
        axes.plot(sorted_.values, np.arange(len(sorted_)))
        axes.set(xlabel="max. water content %", ylabel="pieces")

    def shrinkage(axes):
        for place, name in enumerate(("radial", "tangential", "longitudinal")):
            wet, dry = frame[f"{name}_saturated [mm]"], frame[f"{name}_oven_dry [mm]"]
            loss = (100 * (wet - dry) / wet).dropna()
            axes.plot(loss, np.full(len(loss), place), "o", ms=2)
        axes.set(xlabel="shrinkage %")

    def strength(axes):
        known = frame["compression_parallel [MPa]"].notna() & out["residual"].notna()
        x, y = out["residual"][known], frame["compression_parallel [MPa]"][known]
        at = np.linspace(x.min(), x.max(), 50)
        axes.plot(x, y, "o", ms=2)
        axes.plot(at, np.polyval(np.polyfit(x, y, 2), at))
        axes.set(xlabel="residual basic density %", ylabel="compression strength MPa")

    drawn = {"density": density, "shares": shares, "depth": depth, "boxes": boxes, "ranks": ranks}
    if "radial_oven_dry [mm]" in frame:
        drawn["shrinkage"] = shrinkage
    if "compression_parallel [MPa]" in frame:
        drawn["strength"] = strength
    shown = out.head(SHOWN).copy()
    for name in ("max_water_content", "basic_density", "residual"):
        shown[name] = [f"{value:.1f} ± {u:.1f}" for value, u in zip(shown[name], shown[f"u({name})"], strict=True)]
    parts = [
        "<!doctype html><meta charset=utf-8><title>Report</title><h1>Report</h1>",
        f"<p>{len(out)} pieces of {out['timber'].nunique()} timbers: {html.escape(str(dict(counts)))}</p>",
        timbers.to_html(float_format="%.1f"),
        shown.to_html(index=False),
        contexts.to_html(float_format="%.1f"),
        *(picture(draw, name, folder) for name, draw in drawn.items()),
    ]
    return "\n".join(parts)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("batch", type=Path)
    parser.add_argument("out", type=Path)
    arguments = parser.parse_args()
    start = time.perf_counter()
    frame = read(arguments.batch)
    out = assess(frame)
    numbers = ["max_water_content", "basic_density", "residual", "porosity"]
    timbers = out.groupby("timber")[numbers].agg(["count", "min", "median", "max"])
    contexts = out.groupby("context")[numbers].describe()
    arguments.out.mkdir(parents=True, exist_ok=True)
    (arguments.out / "report.html").write_text(page(frame, out, timbers, contexts, arguments.out), encoding="utf-8")
    with pd.ExcelWriter(arguments.out / "report.xlsx", engine="openpyxl") as book:
        out.to_excel(book, sheet_name="results", index=False)
        timbers.to_excel(book, sheet_name="timbers")
        contexts.to_excel(book, sheet_name="contexts")
        frame.to_excel(book, sheet_name="input", index=False)
    out.to_csv(arguments.out / "results.csv", index=False)
    timbers.to_csv(arguments.out / "timbers.csv")
    print(json.dumps({"seconds": time.perf_counter() - start, "figures": sum(drawing)}))


main()

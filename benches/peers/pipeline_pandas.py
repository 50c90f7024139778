"""Delimited text in, delimited text out, with pandas and NumPy: pipeline_pandas.py BATCH.csv RESULT.csv [--block N]

Writes the columns that woodstate writes in its results, in full precision as woodstate does. Prints JSON.
"""

import argparse
import json
import time

import numpy as np
import pandas as pd
from state_numpy import LABELS, QUANTITIES, Settings, assess, masses_of

UNITS = {"basic_density": "kg/m3", "saturated_density": "kg/m3", "submerged_density": "kg/m3"}
ROUTE = {"max_water_content": "weighed", "basic_density": "immersed"}
# Need sizes or ash, which no piece of the bench has.
UNKNOWN = {
    "shrinkage_radial": "%", "shrinkage_tangential": "%", "shrinkage_longitudinal": "%", "shrinkage_cross_section": "%",
    "shrinkage_volumetric": "%", "collapse": "%", "organic_basic_density": "kg/m3",
}
EXTRACTIVES_LOSS = 7.4  # %
UNDECIDED = "no class reaches a probability of 0.8"


def cautions(frame, out):
    """The words that a piece of the bench can raise."""
    loss = out["loss_of_wood_substance", "value"]
    parts = [
        np.where(out["residual_basic_density", "value"] > 100, "residual-above-100 ", ""),
        np.full(len(frame), "condition-unknown"),
        np.where(frame["metal"] == "iron", " iron-possible", ""),
        np.where((loss > 0) & (loss <= EXTRACTIVES_LOSS), " extractives-leached", ""),
    ]
    words = parts[0].astype(object)
    for part in parts[1:]:
        words = words + part.astype(object)
    return words


def pipeline(source, target, block=None):
    """Reads, computes, writes."""
    frame = pd.read_csv(source)
    out = assess(masses_of(frame), Settings(), block)
    result = {name: frame[name] for name in ("sample", "timber", "core_id", "depth_from [mm]", "depth_to [mm]")}
    result["rows"] = np.arange(2, len(frame) + 2)
    result["status"] = "assessed"
    result["taxon"] = frame["taxon"]
    result["charring"] = frame["charring"]
    result["borer_damage [%]"] = ""
    result["metal"] = frame["metal"]
    result["prior_treatment"] = ""
    result["ash_content [%]"] = ""
    for name in QUANTITIES:
        unit = UNITS.get(name, "%")
        heads = f"{name} [{unit}]", f"u({name}) [{unit}]", f"low({name}) [{unit}]", f"high({name}) [{unit}]"
        for head, end in zip(heads, ("value", "u", "low", "high"), strict=True):
            result[head] = out[name, end]
        result[f"route of {name}"] = ROUTE.get(name, "computed")
    for name, unit in UNKNOWN.items():
        for head in (f"{name} [{unit}]", f"u({name}) [{unit}]", f"low({name}) [{unit}]", f"high({name}) [{unit}]"):
            result[head] = ""
        result[f"route of {name}"] = ""
    decided = out["class", "decided"]
    result["degradation_class"] = np.array(LABELS)[out["class", "place"]]
    result["class decided"] = np.where(decided, "yes", "no")
    for label in LABELS:
        result[f"probability of class {label}"] = out["probability", label]
    result["class reason"] = np.where(decided, "", UNDECIDED)
    result["cautions"] = cautions(frame, out)
    pd.DataFrame(result, index=frame.index).to_csv(target, index=False)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("source")
    parser.add_argument("target")
    parser.add_argument("--block", type=int, default=16384)
    arguments = parser.parse_args()
    start = time.perf_counter()
    pipeline(arguments.source, arguments.target, arguments.block)
    print(json.dumps({"seconds": [time.perf_counter() - start]}))


if __name__ == "__main__":
    main()

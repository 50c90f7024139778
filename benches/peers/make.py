"""Makes target/bench/batch_N.csv for each N of the arguments, and the study file beside them: make.py FOLDER N ...

An invented laboratory: five pieces a core, two cores a timber, waterlogged oak of 100 to 900 % water content. Every
piece is saturated with slightly salty water and weighed in fresh water. The same N gives the same bytes.
"""

import sys
from pathlib import Path

import numpy as np
import polars as pl

SEED = 20260501
PIECES_A_CORE = 5
CORES_A_TIMBER = 2
TEMPERATURE, SALINITY = 18.0, 7.0
FRESH, PORE = 998.595, 1003.93  # kg/m3, of the two waters at 18 Cel; their last digit does not matter here
WALL = 1500.0

STUDY = """\
# An invented laboratory, for benches.
title = "Bench batch (invented)"

[instruments]
balance = "0.01 g"
balance_calibration = "0.02 %"

[water]
weighing_temperature = "18 ± 1 Cel"
weighing_salinity = "0 g/kg"
pore_salinity = "7.0 ± 0.5 g/kg"

[assess]
cell_wall_density = "1500 ± 30 kg/m3"
scheme = "oak-water-content"

[references."Quercus robur"]
basic_density = "560 ± 30 kg/m3"
source = "invented"
"""


def batch(n):
    """A frame of n pieces."""
    random = np.random.default_rng([SEED, n])
    number = np.arange(n)
    piece = number % PIECES_A_CORE
    core = number // PIECES_A_CORE % CORES_A_TIMBER
    timber = number // (PIECES_A_CORE * CORES_A_TIMBER)

    # The rim is the most degraded; each timber has its own rim and its own heart.
    n_timbers = int(timber[-1]) + 1
    rim = random.uniform(300.0, 880.0, n_timbers)[timber]
    heart = random.uniform(110.0, 300.0, n_timbers)[timber]
    content = rim + (heart - rim) * piece / (PIECES_A_CORE - 1) + random.normal(0.0, 8.0, n)
    content = np.clip(content, 100.0, 900.0)

    salt = SALINITY / 1000
    density = 1 / (content / (100 * (1 - salt) * PORE) + 1 / WALL)
    volume = random.uniform(6.0, 40.0, n)
    wood = density * volume / 1000
    saturated = wood + PORE * (volume / 1000 - wood / WALL)
    dried = wood + salt * (saturated - wood)
    immersed = saturated - FRESH * volume / 1000
    saturated = saturated * (1 + np.clip(random.normal(0.0, 0.002, n), -0.006, 0.006))
    dried = dried + random.normal(0.0, 0.003, n)
    immersed = immersed + random.normal(0.0, 0.004, n)

    iron = (random.random(n_timbers) < 0.05)[timber]
    noted = random.random(n) < 0.1
    frame = pl.DataFrame({"timber": timber + 1, "core": np.where(core == 0, "A", "B"), "piece": piece + 1, "iron": iron, "noted": noted})
    timber_name = pl.format("T{}", pl.col("timber").cast(pl.String).str.zfill(7))
    core_name = pl.format("{}-{}", timber_name, pl.col("core"))
    mass = {
        "mass_saturated [g]": np.round(saturated, 2),
        "mass_oven_dry [g]": np.round(dried, 2),
        "mass_immersed [g]": np.round(immersed, 2),
    }
    return frame.select(
        pl.format("{}-{}", core_name, pl.col("piece")).alias("sample"),
        timber_name.alias("timber"),
        pl.lit("Quercus robur").alias("taxon"),
        core_name.alias("core_id"),
        ((pl.col("piece") - 1) * 10).alias("depth_from [mm]"),
        (pl.col("piece") * 10).alias("depth_to [mm]"),
        pl.lit("none").alias("charring"),
        *(pl.Series(name, values) for name, values in mass.items()),
        pl.when(pl.col("iron")).then(pl.lit("iron")).otherwise(pl.lit("none")).alias("metal"),
        pl.when(pl.col("noted")).then(pl.lit("bark side, cut again")).otherwise(pl.lit(None)).alias("note"),
    )


def main():
    if len(sys.argv) < 3:
        sys.exit("usage: make.py FOLDER N ...")
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "woodstate.toml").write_text(STUDY, encoding="utf-8")
    for n in map(int, sys.argv[2:]):
        path = folder / f"batch_{n}.csv"
        if not path.exists():
            part = path.with_suffix(".part")
            batch(n).write_csv(part, float_precision=2)
            part.rename(path)
        print(f"{path.name}: {path.stat().st_size / 1e6:.1f} MB", file=sys.stderr)


if __name__ == "__main__":
    main()

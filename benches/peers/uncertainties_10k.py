"""The state of each piece with the package uncertainties, piece by piece: uncertainties_10k.py BATCH.csv

Its natural use: each formula written once, on numbers that remember what they were made from. Prints JSON.
"""

import json
import sys
import time

import numpy as np
from scipy.special import ndtr, ndtri
from state_numpy import LABELS, LIMITS, WATER, Settings, empty, masses_of
from uncertainties import ufloat


def water_density(t, s):
    """Density of water, kg/m3."""
    a1, a2, a3, a4, a5 = WATER["fresh"]
    fresh = a5 * (1 - (t + a1) ** 2 * (t + a2) / (a3 * (t + a4)))
    if s == 0:
        return fresh
    t68 = t * WATER["scale_68_over_90"]
    a, b = (sum(c * t68**i for i, c in enumerate(WATER[name])) for name in ("saline_first", "saline_three_halves"))
    return fresh + a * s + b * s**1.5 + WATER["saline_second"] * s**2


def piece_by_piece(masses, settings, n):
    """Results of the first n pieces: name to array."""
    out = empty(n, ends=True)
    wall, sound = ufloat(*settings.wall), ufloat(*settings.sound)
    t, s = ufloat(*settings.temperature), ufloat(*settings.pore_salinity)
    factor = ndtri(0.5 + settings.coverage / 2)
    balance = ufloat(1.0, settings.calibration)
    bath, pore = water_density(t, 0), water_density(t, s)
    salt = s / 1000
    for row in range(n):
        saturated, dried, immersed = (ufloat(mass[row], settings.u_mass) * balance for mass in masses)
        dry = (dried - salt * saturated) / (1 - salt)
        volume = 1000 * (saturated - immersed) / bath
        content = 100 * (1 - salt) * (saturated - dry) / dry
        density = 1000 * dry / volume
        undried = (1000 * saturated / volume - pore) / (1 - pore / wall)
        residual = 100 * density / sound
        full = pore + density * (1 - pore / wall)
        results = {
            "max_water_content": content,
            "basic_density": density,
            "residual_basic_density": residual,
            "loss_of_wood_substance": 100 - residual,
            "porosity": 100 * (1 - density / wall),
            "saturation": content * density / (pore * (1 - salt)) / (1 - density / wall),
            "saturated_density": full,
            "submerged_density": full - pore,
            "sink_water_content": 100 * (pore / density - 1),
            "sound_max_water_content": 100 * (1 - salt) * pore * (1 / sound - 1 / wall),
            "max_water_content by saturated_undried": 100 * (1 - salt) * pore * (1 / undried - 1 / wall),
            "max_water_content by from_density": 100 * (1 - salt) * pore * (1 / density - 1 / wall),
            "basic_density by saturated_undried": undried,
            "basic_density by saturated_dried": 1 / (content / (100 * (1 - salt) * pore) + 1 / wall),
        }
        for name, result in results.items():
            value, u = result.nominal_value, result.std_dev
            out[name, "value"][row], out[name, "u"][row] = value, u
            if (name, "low") in out:
                out[name, "low"][row], out[name, "high"][row] = value - factor * u, value + factor * u
        low, high = ((limit - content.nominal_value) / content.std_dev for limit in LIMITS)
        middle = ndtr(-low) - ndtr(-high) if low > 0 else ndtr(high) - ndtr(low)
        shares = np.array([ndtr(-high), middle, ndtr(low)])
        for label, share in zip(LABELS, shares, strict=True):
            out["probability", label][row] = share
        out["class", "place"][row] = shares.argmax()
        out["class", "decided"][row] = shares.max() >= settings.decided_at
    return out


def main():
    import pandas as pd

    masses = masses_of(pd.read_csv(sys.argv[1]))
    n = len(masses[0])
    start = time.perf_counter()
    piece_by_piece(masses, Settings(), n)
    print(json.dumps({"rows": n, "seconds": [time.perf_counter() - start]}))


if __name__ == "__main__":
    main()

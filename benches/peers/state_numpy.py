"""The state of every piece in NumPy, as a programmer who knows the formulas would write it for one batch.

    state_numpy.py BATCH.csv [--block 16384] [--rounds 5] [--no-ends]

Per piece: every quantity with its standard uncertainty and 95 % interval, each further route with its standard uncertainty,
the probability of each class and the most likely class. First-order propagation with exact partial derivatives for each
cause: the three weighings of the piece, and what all pieces share (cell wall, sound wood, temperature of the water,
salinity of the pores, calibration of the balance). Times the function from arrays to arrays and prints JSON.

Whole arrays at once, or with --block in blocks that stay in the cache.
"""

import argparse
import json
import math
import time
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.special import ndtr, ndtri

ROOT = Path(__file__).resolve().parents[2]
WATER = tomllib.loads((ROOT / "woodstate/reference/constants.toml").read_text(encoding="utf-8"))["water"]
LIMITS = (185.0, 400.0)  # %, between the classes III, II and I
LABELS = ("I", "II", "III")
QUANTITIES = (
    "max_water_content", "basic_density", "residual_basic_density", "loss_of_wood_substance", "porosity", "saturation",
    "saturated_density", "submerged_density", "sink_water_content", "sound_max_water_content",
)
ROUTES = (
    "max_water_content by saturated_undried", "max_water_content by from_density",
    "basic_density by saturated_undried", "basic_density by saturated_dried",
)
ENDS = ("value", "u", "low", "high")


@dataclass(frozen=True)
class Settings:
    """What the study file of the bench says."""

    u_mass: float = 0.01 / math.sqrt(12)
    calibration: float = 2e-4
    temperature: tuple = (18.0, 1.0)
    pore_salinity: tuple = (7.0, 0.5)
    wall: tuple = (1500.0, 30.0)
    sound: tuple = (560.0, 30.0)
    coverage: float = 0.95
    decided_at: float = 0.80
    ends: bool = True


def fresh_water(t):
    """Density of fresh water and its slope by temperature."""
    a1, a2, a3, a4, a5 = WATER["fresh"]
    share = (t + a1) ** 2 * (t + a2) / (a3 * (t + a4))
    slope = share * (2 / (t + a1) + 1 / (t + a2) - 1 / (t + a4))
    return a5 * (1 - share), -a5 * slope


def saline_water(t, s):
    """Density of saline water and its slopes by temperature and salinity."""
    fresh, by_t = fresh_water(t)
    scale = WATER["scale_68_over_90"]
    a, b = (np.polynomial.Polynomial(WATER[name]) for name in ("saline_first", "saline_three_halves"))
    c, root = WATER["saline_second"], math.sqrt(s)
    t68 = t * scale
    density = fresh + a(t68) * s + b(t68) * s * root + c * s * s
    by_t += scale * (a.deriv()(t68) * s + b.deriv()(t68) * s * root)
    return density, by_t, a(t68) + 1.5 * b(t68) * root + 2 * c * s


def state(saturated, dried, immersed, settings, out):
    """Fills `out`, a mapping of names to arrays, from three arrays of masses in g."""
    (t, u_t), (s, u_s) = settings.temperature, settings.pore_salinity
    (wall, u_wall), (sound, u_sound) = settings.wall, settings.sound
    u_mass, u_cal = settings.u_mass, settings.calibration
    factor = ndtri(0.5 + settings.coverage / 2)
    rw, rw_t = fresh_water(t)
    pw, pw_t, pw_s = saline_water(t, s)
    salt = s / 1000
    w, w_s = 1 - salt, -1e-3
    free = 1 - pw / wall

    def give(name, value, variance):
        u = np.sqrt(variance)
        out[name, "value"][:] = value
        out[name, "u"][:] = u
        if not settings.ends:
            return
        half = factor * u
        np.subtract(value, half, out=out[name, "low"])
        np.add(value, half, out=out[name, "high"])

    def give_route(name, value, variance):
        out[name, "value"][:] = value
        np.sqrt(variance, out=out[name, "u"])

    def own(by_saturated, by_dried, by_immersed):
        """Variance by the weighings of the piece and by the calibration they share."""
        by_cal = saturated * by_saturated
        squares = by_saturated**2
        for by, mass in ((by_dried, dried), (by_immersed, immersed)):
            if by is not None:
                squares += by**2
                by_cal += mass * by
        return u_mass**2 * squares + (u_cal * by_cal) ** 2

    # Dry mass without the salt that the pore water left, and volume.
    dry = (dried - salt * saturated) / w
    dry_sat, dry_dri = -salt / w, 1 / w
    dry_s = (dried - saturated) * (1e-3 / w**2)
    buoyancy = saturated - immersed

    # Water content by weighing.
    lost = saturated - dry
    content = 100 * w * lost / dry
    by_dry = -100 * w * saturated / dry**2
    content_sat = 100 * w / dry + by_dry * dry_sat
    content_dri = by_dry * dry_dri
    content_s = 100 * w_s * lost / dry + by_dry * dry_s
    content_own = own(content_sat, content_dri, None)
    give("max_water_content", content, content_own + (u_s * content_s) ** 2)

    # Basic density by immersion.
    density = rw * dry / buoyancy
    by_dry = rw / buoyancy
    by_buoyancy = density / buoyancy
    density_sat = by_dry * dry_sat - by_buoyancy
    density_dri = by_dry * dry_dri
    density_imm = by_buoyancy
    density_t = (rw_t / rw) * density
    density_s = by_dry * dry_s
    density_own = own(density_sat, density_dri, density_imm)
    density_var = density_own + (u_t * density_t) ** 2 + (u_s * density_s) ** 2
    give("basic_density", density, density_var)

    # Only the density is uncertain here beside what the formula brings itself.
    residual = (100 / sound) * density
    residual_var = (100 / sound) ** 2 * density_var + (residual * (u_sound / sound)) ** 2
    give("residual_basic_density", residual, residual_var)
    give("loss_of_wood_substance", 100 - residual, residual_var)
    filled = density / wall
    porosity_var = (100 / wall) ** 2 * density_var + (100 * u_wall / wall * filled) ** 2
    give("porosity", 100 * (1 - filled), porosity_var)

    # Water content and density together.
    void = 1 - filled
    saturation = content * density / (pw * w * void)
    by_content = saturation / content
    by_density = saturation / (density * void)
    saturation_var = own(
        by_content * content_sat + by_density * density_sat,
        by_content * content_dri + by_density * density_dri,
        by_density * density_imm,
    )
    saturation_var += (u_t * (by_density * density_t - saturation * (pw_t / pw))) ** 2
    saturation_var += (u_s * (by_content * content_s + by_density * density_s - saturation * (pw_s / pw + w_s / w))) ** 2
    saturation_var += (u_wall / wall * saturation * filled / void) ** 2
    give("saturation", saturation, saturation_var)

    # Functions of density, pore water and cell wall.
    def of_density(by_density, by_pore, by_wall):
        variance = by_density**2 * density_own
        variance += (u_t * (by_density * density_t + by_pore * pw_t)) ** 2
        variance += (u_s * (by_density * density_s + by_pore * pw_s)) ** 2
        if by_wall is not None:
            variance += (u_wall * by_wall) ** 2
        return variance

    full = pw + density * free
    by_wall = density * (pw / wall**2)
    give("saturated_density", full, of_density(free, void, by_wall))
    give("submerged_density", full - pw, of_density(free, -filled, by_wall))
    inverse = 1 / density
    sink = 100 * (pw * inverse - 1)
    give("sink_water_content", sink, of_density(-100 * pw * inverse**2, 100 * inverse, None))

    # Sound wood is the same for the whole batch.
    gap = 1 / sound - 1 / wall
    sound_content = 100 * w * pw * gap
    sound_var = (
        (u_sound * 100 * w * pw / sound**2) ** 2 + (u_wall * 100 * w * pw / wall**2) ** 2
        + (u_t * 100 * w * pw_t * gap) ** 2 + (u_s * 100 * (w * pw_s + w_s * pw) * gap) ** 2
    )
    give("sound_max_water_content", sound_content, sound_var)

    # The other routes.
    gap = inverse - 1 / wall
    k = 100 * w * pw
    by_density = -k * inverse**2
    variance = by_density**2 * density_own + (u_t * (100 * w * pw_t * gap + by_density * density_t)) ** 2
    variance += (u_s * (100 * (w * pw_s + w_s * pw) * gap + by_density * density_s)) ** 2
    variance += (u_wall * k / wall**2) ** 2
    give_route("max_water_content by from_density", k * gap, variance)

    bulk = rw * saturated / buoyancy
    undried = (bulk - pw) / free
    bulk_imm = bulk / buoyancy
    bulk_sat = rw / buoyancy - bulk_imm
    bulk_own = own(bulk_sat, None, bulk_imm)
    bulk_t = (rw_t / rw) * bulk
    by_pore = (undried / wall - 1) / free
    by_wall = undried * (-pw / (wall**2 * free))
    undried_t = bulk_t / free + by_pore * pw_t
    undried_s = by_pore * pw_s
    variance = bulk_own / free**2 + (u_t * undried_t) ** 2 + (u_s * undried_s) ** 2 + (u_wall * by_wall) ** 2
    give_route("basic_density by saturated_undried", undried, variance)
    inverse = 1 / undried
    gap = inverse - 1 / wall
    by_density = -k * inverse**2
    variance = (by_density / free) ** 2 * bulk_own
    variance += (u_t * (100 * w * pw_t * gap + by_density * undried_t)) ** 2
    variance += (u_s * (100 * (w * pw_s + w_s * pw) * gap + by_density * undried_s)) ** 2
    variance += (u_wall * (by_density * by_wall + k / wall**2)) ** 2
    give_route("max_water_content by saturated_undried", k * gap, variance)

    water = content / k
    from_content = 1 / (water + 1 / wall)
    square = from_content**2
    variance = (square / k) ** 2 * content_own + (u_t * square * water * (pw_t / pw)) ** 2
    variance += (u_s * square * (content_s / k - water * (pw_s / pw + w_s / w))) ** 2
    variance += (u_wall / wall**2 * square) ** 2
    give_route("basic_density by saturated_dried", from_content, variance)

    # Classes, from the most degraded to the best preserved. In a tail only the smaller side keeps its digits.
    low, high = ((limit - content) / out["max_water_content", "u"] for limit in LIMITS)
    above_low, above_high = ndtr(-low), ndtr(-high)
    below_low, below_high = ndtr(low), ndtr(high)
    out["probability", "I"][:] = above_high
    out["probability", "II"][:] = np.where(low > 0, above_low - above_high, below_high - below_low)
    out["probability", "III"][:] = below_low
    shares = [out["probability", label] for label in LABELS]
    best = np.maximum(np.maximum(shares[0], shares[1]), shares[2])
    out["class", "place"][:] = np.where(shares[0] == best, 0, np.where(shares[1] == best, 1, 2))
    out["class", "decided"][:] = best >= settings.decided_at


def empty(n, ends):
    """Arrays for the results of n pieces."""
    names = [(name, end) for name in QUANTITIES for end in (ENDS if ends else ENDS[:2])]
    names += [(name, end) for name in ROUTES for end in ENDS[:2]]
    names += [("probability", label) for label in LABELS]
    out = {name: np.empty(n) for name in names}
    out["class", "place"] = np.empty(n, dtype=np.int8)
    out["class", "decided"] = np.empty(n, dtype=bool)
    return out


def assess(masses, settings, block=None):
    """Results of a batch: name to array."""
    n = len(masses[0])
    out = empty(n, settings.ends)
    if block is None:
        state(*masses, settings, out)
        return out
    for start in range(0, n, block):
        part = slice(start, start + block)
        state(*(mass[part] for mass in masses), settings, {name: array[part] for name, array in out.items()})
    return out


def masses_of(frame):
    """The three columns of masses as arrays."""
    return [frame[f"mass_{name} [g]"].to_numpy(dtype=float) for name in ("saturated", "oven_dry", "immersed")]


def main():
    import pandas as pd

    from timing import peak_kb

    parser = argparse.ArgumentParser()
    parser.add_argument("batch")
    parser.add_argument("--block", type=int)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--no-ends", action="store_true", help="values and uncertainties, no intervals")
    arguments = parser.parse_args()
    masses = masses_of(pd.read_csv(arguments.batch, usecols=lambda name: name.startswith("mass_")))
    before = peak_kb()
    seconds = []
    for _ in range(arguments.rounds):
        start = time.perf_counter()
        out = assess(masses, Settings(ends=not arguments.no_ends), arguments.block)
        seconds.append(time.perf_counter() - start)
        del out
    print(json.dumps({"rows": len(masses[0]), "seconds": seconds, "peak_kb": peak_kb(), "before_kb": before}))


if __name__ == "__main__":
    main()

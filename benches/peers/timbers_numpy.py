"""The state of every timber in NumPy, from the state of its pieces: zones, ranges, the worst piece, the class.

For the batch of make.py alone: two cores a timber, five increments a core, all known. The outermost increments are one zone,
the innermost another; the mean of a zone has the scatter between its pieces, what they share added whole, effective
degrees of freedom and Student's interval (JCGM 100, G.4.1). The class is that of the worst of both means and the single pieces.
"""

import numpy as np
from make import CORES_A_TIMBER, PIECES_A_CORE
from scipy.special import ndtr, ndtri, stdtr, stdtrit
from state_numpy import LABELS, LIMITS, fresh_water

SUMMED = ("max_water_content", "basic_density", "residual_basic_density", "loss_of_wood_substance")


def parts(saturated, dried, immersed, content, density, settings):
    """Of water content and density: variance of the piece's own, and what calibration, temperature and salinity share."""
    u_mass, u_cal = settings.u_mass, settings.calibration
    (t, u_t), (s, u_s) = settings.temperature, settings.pore_salinity
    rw, rw_t = fresh_water(t)
    salt = s / 1000
    w = 1 - salt
    dry = (dried - salt * saturated) / w
    dry_s = (dried - saturated) * (1e-3 / w**2)
    by_dry = -100 * w * saturated / dry**2
    by_saturated, by_dried = 100 * w / dry - by_dry * salt / w, by_dry / w
    yield (
        u_mass**2 * (by_saturated**2 + by_dried**2),
        u_cal * (saturated * by_saturated + dried * by_dried),
        np.zeros_like(dry),
        u_s * (by_dry * dry_s - 0.1 * (saturated - dry) / dry),
    )
    buoyancy = saturated - immersed
    by_dry, by_buoyancy = rw / buoyancy, density / buoyancy
    by_saturated, by_dried = -by_dry * salt / w - by_buoyancy, by_dry / w
    yield (
        u_mass**2 * (by_saturated**2 + by_dried**2 + by_buoyancy**2),
        u_cal * (saturated * by_saturated + dried * by_dried + immersed * by_buoyancy),
        u_t * (rw_t / rw) * density,
        u_s * by_dry * dry_s,
    )


def zone(at, masses, settings, out, told, name):
    """Means of the pieces `at` (timber by core) with uncertainty, degrees of freedom and interval."""
    n = at.shape[1]
    value = {quantity: out[quantity, "value"][at] for quantity in SUMMED}
    content, density = parts(*(mass[at] for mass in masses), value["max_water_content"], value["basic_density"], settings)
    sound, u_sound = settings.sound
    scale = 100 / sound
    residual = (scale**2 * density[0], *(scale * part for part in density[1:]), -value["residual_basic_density"] * (u_sound / sound))
    all_parts = dict(zip(SUMMED, (content, density, residual, residual), strict=True))
    for quantity in SUMMED:
        own, *shared = (part.mean(axis=1) for part in all_parts[quantity])
        scatter = value[quantity].var(axis=1, ddof=1)
        mean = value[quantity].mean(axis=1)
        alone = np.maximum(scatter, own) / n
        variance = alone + sum(part**2 for part in shared)
        degrees = np.where(scatter >= own, (n - 1) * (variance / alone) ** 2, np.inf)
        u = np.sqrt(variance)
        end = 0.5 + settings.coverage / 2
        is_normal = np.isinf(degrees)
        half = np.where(is_normal, ndtri(end), stdtrit(np.where(is_normal, 1.0, degrees), end)) * u
        told[name, quantity] = (mean, u, mean - half, mean + half, degrees)


def timbers(masses, settings, out):
    """Results of a batch: name to arrays, one entry a timber."""
    at = np.arange(len(masses[0])).reshape(-1, CORES_A_TIMBER, PIECES_A_CORE)
    told = {}
    zone(at[:, :, 0], masses, settings, out, told, "outer")
    zone(at[:, :, -1], masses, settings, out, told, "inner")
    flat = at.reshape(len(at), -1)
    for quantity in SUMMED:
        every = out[quantity, "value"][flat]
        told["range", quantity] = (every.min(axis=1), every.max(axis=1))
    content = out["max_water_content", "value"]
    told["worst"] = np.take_along_axis(flat, content[flat].argmax(axis=1)[:, None], axis=1)[:, 0]
    outer, inner = told["outer", "max_water_content"], told["inner", "max_water_content"]
    alone = content[at[:, :, 1:-1].reshape(len(at), -1)].max(axis=1)
    is_inner = inner[0] > outer[0]
    mean, u, degrees = (np.where(is_inner, inner[k], outer[k]) for k in (0, 1, 4))
    low, high = ((limit - mean) / u for limit in LIMITS)
    is_normal = np.isinf(degrees)
    below = lambda t: np.where(is_normal, ndtr(t), stdtr(np.where(is_normal, 1.0, degrees), t))
    below_low, below_high, above_low, above_high = below(low), below(high), below(-low), below(-high)
    shares = np.where(low > 0, above_low - above_high, below_high - below_low)
    # A single piece that is worse than both means decides the class, and its probability is not known.
    known = mean >= alone
    for label, share in zip(LABELS, (above_high, shares, below_low), strict=True):
        told["probability", label] = np.where(known, share, np.nan)
    return told

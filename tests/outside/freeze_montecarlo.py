"""Freezes sampled results of small, strongly nonlinear pieces (NumPy, 4 million draws)."""

from math import erf, sqrt

import numpy as np
from frozen import package, plain, write

DRAWS = 4_000_000
SEED = 1
LIMITS = (185.0, 400.0)
FRESH = (998.2067, 0.2)
WALL = (1500.0, 30.0)


def water_content(x):
    """Maximum water content in % from saturated and oven-dry mass."""
    return 100 * (x["mass_saturated"] - x["mass_oven_dry"]) / x["mass_oven_dry"]


def dried_density(x):
    """Basic density in kg/m3 from the water content alone."""
    return 1 / (water_content(x) / (100 * x["water_density"]) + 1 / x["cell_wall_density"])


def undried_content(x):
    """Maximum water content in % from saturated and immersed mass."""
    rw, rc = x["water_density"], x["cell_wall_density"]
    return 100 * (x["mass_saturated"] * (rc - rw) / (x["mass_immersed"] * rc) - 1)


def undried_density(x):
    """Basic density in kg/m3 from saturated and immersed mass."""
    rw, rc = x["water_density"], x["cell_wall_density"]
    volume = (x["mass_saturated"] - x["mass_immersed"]) / rw
    return (x["mass_saturated"] / volume - rw) / (1 - rw / rc)


DRIED = {
    "formula": {"max_water_content": "100*(mass_saturated - mass_oven_dry)/mass_oven_dry",
                "basic_density": "1/(max_water_content/(100*water_density) + 1/cell_wall_density)"},
    "functions": {"max_water_content": water_content, "basic_density": dried_density},
    "possible": ("0 < mass_oven_dry < mass_saturated", lambda x: (x["mass_oven_dry"] > 0) & (x["mass_oven_dry"] < x["mass_saturated"])),
}
UNDRIED = {
    "formula": {"max_water_content": "100*(mass_saturated*(cell_wall_density - water_density)/(mass_immersed*cell_wall_density) - 1)",
                "basic_density": "(mass_saturated/volume - water_density)/(1 - water_density/cell_wall_density), "
                                 "volume = (mass_saturated - mass_immersed)/water_density"},
    "functions": {"max_water_content": undried_content, "basic_density": undried_density},
    "possible": ("mass_immersed > 0", lambda x: x["mass_immersed"] > 0),
}
MASS = {"mass_saturated": (0.60, 0.03)}
WATER_AND_WALL = {"water_density": FRESH, "cell_wall_density": WALL}
# The last item: whether 1/mass has a mean at all. A normal mass that can reach 0 leaves none.
PIECES = [
    ("dried_strong", DRIED, {**MASS, "mass_oven_dry": (0.10, 0.03), **WATER_AND_WALL}, False),
    ("dried_mild", DRIED, {**MASS, "mass_oven_dry": (0.10, 0.01), **WATER_AND_WALL}, True),
    ("undried_strong", UNDRIED, {**MASS, "mass_immersed": (0.02, 0.01), **WATER_AND_WALL}, False),
    ("undried_mild", UNDRIED, {**MASS, "mass_immersed": (0.02, 0.002), **WATER_AND_WALL}, True),
]


def sampled(value, error):
    """A sampled number with its Monte Carlo standard error."""
    return {"value": plain(value), "standard_error": plain(error)}


def share(hits):
    """A probability."""
    p = np.count_nonzero(hits) / len(hits)
    return sampled(p, sqrt(p * (1 - p) / len(hits)))


def moments(y):
    """Mean and standard deviation."""
    mean, sd, n = y.mean(), y.std(ddof=1), len(y)
    fourth = ((y - mean) ** 4).mean()
    return {"mean": sampled(mean, sd / sqrt(n)), "sd": sampled(sd, sqrt((fourth - sd**4) / n) / (2 * sd))}


def quantiles(y):
    """Quantiles; the standard error is half the distance between the order statistics one binomial deviation away."""
    y, n, found = np.sort(y), len(y), {}
    for p in (0.025, 0.5, 0.975):
        half = sqrt(n * p * (1 - p))
        low, high = int(round(n * p - half)), int(round(n * p + half))
        found[f"q{100 * p:g}"] = sampled(np.quantile(y, p), (y[high] - y[low]) / 2)
    return found


def classes(content):
    """Probability of the bands of the water-content ladder for oak."""
    return {
        "above_400": share(content > LIMITS[1]),
        "from_185_to_400": share((content >= LIMITS[0]) & (content <= LIMITS[1])),
        "below_185": share(content < LIMITS[0]),
    }


def integrated_share(inputs, limit):
    """Probability of a water content above `limit` in % and a dry mass above 0, by Simpson's rule."""
    (mw, uw), (m0, u0) = inputs["mass_saturated"], inputs["mass_oven_dry"]
    x = np.linspace(0.0, m0 + 10 * u0, 20_001)
    inner = np.array([0.5 * (1 + erf((mw - (1 + limit / 100) * v) / (uw * sqrt(2)))) for v in x])
    y = np.exp(-0.5 * ((x - m0) / u0) ** 2) / (u0 * sqrt(2 * np.pi)) * inner
    return (x[1] - x[0]) / 3 * (y[0] + y[-1] + 4 * y[1:-1:2].sum() + 2 * y[2:-1:2].sum())


def piece(name, route, inputs, has_mean):
    """All sampled results of one piece."""
    generator = np.random.default_rng(SEED)
    x = {key: generator.normal(value, u, DRAWS) for key, (value, u) in inputs.items()}
    word, test = route["possible"]
    possible = test(x)
    y = {key: f(x) for key, f in route["functions"].items()}
    kept = {key: values[possible] for key, values in y.items()}
    result = {
        "name": name,
        "formula": route["formula"],
        "inputs": {key: list(value) for key, value in inputs.items()},
        "possible": word,
        "share_impossible": share(~possible),
    }
    for key, values in kept.items():
        result[key] = {"moments": moments(values) if has_mean or key != "max_water_content" else None, **quantiles(values)}
    result["class_probability"] = classes(kept["max_water_content"])
    result["over_all_draws"] = {
        "max_water_content": quantiles(y["max_water_content"]),
        "basic_density": {"moments": moments(y["basic_density"]), **quantiles(y["basic_density"])},
        "class_probability": classes(y["max_water_content"]),
    }
    if "mass_oven_dry" in inputs:
        # Saturated mass below dry mass (water content below 0) is impossible too.
        whole = integrated_share(inputs, 0.0)
        above = [integrated_share(inputs, limit) / whole for limit in LIMITS]
        exact = {"above_400": above[1], "from_185_to_400": above[0] - above[1], "below_185": 1 - above[0]}
        result["class_probability_integrated"] = {key: plain(p) for key, p in exact.items()}
        for key, p in exact.items():
            seen = result["class_probability"][key]
            if abs(seen["value"] - p) > 5 * max(seen["standard_error"], 1 / DRAWS):
                raise SystemExit(f"{name}, {key}: drawn {seen}, integrated {p}")
    return result


write("montecarlo.json", {
    "package": package("numpy"),
    "call": f"numpy.random.default_rng({SEED}).normal(value, u, {DRAWS}), once for each input in the order printed",
    "note": "normal inputs; results are over the possible draws unless under over_all_draws; moments null: 1/mass has no mean when the mass "
            "can reach 0; class_probability_integrated: Simpson's rule over the dry mass, no draws; all pieces are invented",
    "units": {"mass": "g", "max_water_content": "%", "basic_density": "kg/m3", "water_density": "kg/m3", "cell_wall_density": "kg/m3"},
    "draws": DRAWS,
    "seed": SEED,
    "cases": [piece(*row) for row in PIECES],
})

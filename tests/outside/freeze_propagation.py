"""Freezes the examples H.1, H.2 and H.3 of JCGM 100:2008, recomputed with the package uncertainties."""

from math import sqrt

import numpy as np
from frozen import package, pair, plain, related, write
from uncertainties import correlated_values, ufloat
from uncertainties.umath import cos, sin


def end_gauge():
    """H.1: length of an end gauge in nm."""
    root3 = sqrt(3.0)
    inputs = {
        "standard": (50_000_623.0, 25.0, 18.0),
        "difference_repeat": (215.0, 5.8, 24.0),
        "difference_random": (0.0, 3.9, 5.0),
        "difference_systematic": (0.0, 6.7, 8.0),
        "expansion_difference": (0.0, 1e-6 / root3, 50.0),
        "temperature_difference": (0.0, 0.05 / root3, 2.0),
        "temperature": (-0.1, sqrt(0.2**2 + 0.5**2 / 2), None),
        "expansion": (11.5e-6, 2e-6 / root3, None),
    }
    x = {name: ufloat(value, u) for name, (value, u, _) in inputs.items()}
    difference = x["difference_repeat"] + x["difference_random"] + x["difference_systematic"]
    length = x["standard"] + difference - x["standard"] * (
        x["expansion_difference"] * x["temperature"] + x["expansion"] * x["temperature_difference"]
    )

    def freedom(y):
        """Effective degrees of freedom, Welch and Satterthwaite."""
        parts = y.error_components()
        shares = (parts[x[n]] ** 4 / nu for n, (_, _, nu) in inputs.items() if nu is not None and x[n] in parts)
        return plain(y.std_dev**4 / sum(shares))

    ls = inputs["standard"][0]
    second = [ls * inputs["expansion_difference"][1] * inputs["temperature"][1],
              ls * inputs["expansion"][1] * inputs["temperature_difference"][1]]
    return {
        "example": "JCGM 100:2008, H.1 end gauge",
        "formula": "length = standard + difference - standard*(expansion_difference*temperature + expansion*temperature_difference); "
                   "difference is the sum of its three parts",
        "inputs": {name: {"value": v, "u": plain(u), "degrees_of_freedom": nu} for name, (v, u, nu) in inputs.items()},
        "outputs": {"length": pair(length), "difference": pair(difference)},
        "degrees_of_freedom": {"length": freedom(length), "difference": freedom(difference)},
        "second_order_terms": [plain(term) for term in second],
        "u_with_second_order": plain(sqrt(length.std_dev**2 + sum(term**2 for term in second))),
        "published": {
            "read": {"length": "50 000 838 nm", "u": "32", "degrees_of_freedom": "16", "u_difference": "9.7",
                     "degrees_of_freedom_difference": "25.6", "u_with_second_order": "34"},
            "memory": {"expanded_99": "93"},
        },
        "note": "the published 25.6 follows from u(difference) rounded to 9.7",
    }


def impedance():
    """H.2: resistance, reactance and impedance from five simultaneous readings."""
    readings = {
        "voltage": [5.007, 4.994, 5.005, 4.990, 4.999],
        "current": [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
        "phase": [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    }
    table = np.array(list(readings.values()))
    covariance = np.cov(table, ddof=1) / table.shape[1]
    v, i, phi = correlated_values(table.mean(axis=1), covariance)
    outputs = {"resistance": v / i * cos(phi), "reactance": v / i * sin(phi), "impedance": v / i}
    resistance, reactance, modulus = outputs.values()
    return {
        "example": "JCGM 100:2008, H.2 impedance",
        "formula": "resistance = voltage/current*cos(phase); reactance = voltage/current*sin(phase); impedance = voltage/current",
        "inputs": readings,
        "means": dict(zip(readings, ([plain(m), plain(sqrt(c))] for m, c in zip(table.mean(axis=1), np.diag(covariance))))),
        "outputs": {name: pair(y) for name, y in outputs.items()},
        "correlations": {
            "resistance,reactance": related(resistance, reactance)[1],
            "resistance,impedance": related(resistance, modulus)[1],
            "reactance,impedance": related(reactance, modulus)[1],
        },
        "published": {
            "read": {"resistance": ["127.732", "0.071"], "reactance": ["219.847", "0.295"], "impedance": ["254.260", "0.236"]},
            "memory": {"resistance,reactance": "-0.588", "resistance,impedance": "-0.485", "reactance,impedance": "0.993"},
        },
        "note": "u(reactance) comes out as 0.29558; the published 0.295 agrees within one unit of its last digit",
    }


def thermometer():
    """H.3: calibration line of a thermometer by unweighted least squares."""
    t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    design = np.column_stack([np.ones(len(t)), np.array(t) - 20.0])
    q, r = np.linalg.qr(design)
    line = np.linalg.solve(r, q.T @ np.array(b))
    residual = np.array(b) - design @ line
    variance = residual @ residual / (len(t) - 2)
    inverse = np.linalg.inv(r)
    y1, y2 = correlated_values(line, variance * inverse @ inverse.T)
    return {
        "example": "JCGM 100:2008, H.3 thermometer",
        "formula": "b = y1 + y2*(t - 20), unweighted least squares with n - 2 degrees of freedom",
        "inputs": {"t": t, "b": b},
        "outputs": {"y1": pair(y1), "y2": pair(y2), "b_at_30": pair(y1 + y2 * 10.0)},
        "correlations": {"y1,y2": related(y1, y2)[1]},
        "residual_sd": plain(sqrt(variance)),
        "published": {
            "memory": {"y1": ["-0.1712", "0.0029"], "y2": ["0.00218", "0.00067"], "y1,y2": "-0.930", "b_at_30": ["-0.1494", "0.0041"]},
        },
        "note": "the line comes from NumPy (QR), its propagation from uncertainties",
    }


write("propagation.json", {
    "package": package("uncertainties"),
    "packages": [package("numpy")],
    "calls": ["uncertainties.ufloat", "uncertainties.correlated_values", "uncertainties.correlation_matrix"],
    "evidence": "read: seen in the documentation or tests of general-purpose packages; memory: recalled, not checked against the text",
    "cases": [end_gauge(), impedance(), thermometer()],
})

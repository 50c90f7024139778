"""Freezes beams: a frame of finite elements (PyNiteFEA), integrals of a tapered log (SciPy), random draws (NumPy).

Elements of a straight beam of one section are exact at their nodes, so forces and displacements are compared there. The frame
counts in N and m, E I = 1e6 N.m2, without sag by shear; its sagging moments are negative, ours positive. The log is a cone whose
moment and curvature are integrated by scipy.integrate.quad. Draws are numpy.random.default_rng(1), for a squared beam in slings.
"""

import math

import numpy as np
from frozen import package, plain, write
from Pynite import FEModel3D
from scipy.integrate import quad

EI = 1e6


def clean(number):
    """Without the rounding noise of a number that is 0."""
    return 0.0 if abs(number) < 1e-9 else plain(number)


def frame(length, load, supports, points, looks):
    """Reactions at supports, and moment and displacement at places; load in N/m, points as [place, N]."""
    places = sorted({0.0, length, *supports, *looks, *(place for place, _ in points)})
    model = FEModel3D()
    # E I is 1e6 N.m2 and E A a hundred times as much.
    model.add_material("wood", E=1.0, G=1.0, nu=0.0, rho=0.0)
    model.add_section("beam", A=100 * EI, Iy=EI, Iz=EI, J=EI)
    for place in places:
        model.add_node(f"n{place}", place, 0, 0)
    for a, b in zip(places, places[1:]):
        model.add_member(f"m{a}", f"n{a}", f"n{b}", "wood", "beam")
        model.add_member_dist_load(f"m{a}", "FY", -load, -load)
    for place in places:
        is_held = place in supports
        first = place == supports[0]
        # Nothing moves out of the plane or turns about the beam.
        model.def_support(f"n{place}", first, is_held, True, True, True, False)
    for place, force in points:
        model.add_node_load(f"n{place}", "FY", -force)
    model.analyze_linear()
    node = lambda place: model.nodes[f"n{place}"]

    def moment(place):
        if place < length:
            return model.members[f"m{place}"].moment("Mz", 0)
        last = places[-2]
        return model.members[f"m{last}"].moment("Mz", length - last)

    return {
        "relative": 1e-9,
        "length": length,
        "load": load,
        "supports": list(supports),
        "points": [list(point) for point in points],
        "looks": list(looks),
        "held": [clean(node(place).RxnFY["Combo 1"]) for place in supports],
        "moment": [clean(-moment(place)) for place in looks],
        "below": [clean(-node(place).DY["Combo 1"]) for place in looks],
    }


def cone(length, thick, thin, first, second, looks):
    """Moments in units of weight per volume, and displacements in units of weight per volume over modulus."""
    diameter = lambda x: thick + (thin - thick) * x / length
    area = lambda x: math.pi / 4 * diameter(x) ** 2
    inertia = lambda x: math.pi / 64 * diameter(x) ** 4
    close = dict(epsabs=0, epsrel=1e-12, limit=500)
    whole = quad(area, 0, length, **close)[0]
    centre = quad(lambda x: x * area(x), 0, length, **close)[0] / whole
    far = whole * (centre - first) / (second - first)
    near = whole - far

    def moment(x):
        # Area along a cone is a square, so its moment is a polynomial of the fourth degree.
        k = (thin - thick) / length
        before = math.pi / 4 * (thick**2 * x**2 / 2 + thick * k * x**3 / 3 + k**2 * x**4 / 12)
        return near * max(x - first, 0) + far * max(x - second, 0) - before

    def fallen(x):
        breaks = [p for p in (first, second) if p < x]
        return quad(lambda s: -(x - s) * moment(s) / inertia(s), 0, x, points=breaks or None, **close)[0]

    tilt = (fallen(second) - fallen(first)) / (second - first)
    return {
        "relative": 1e-9,
        "length": length,
        "thick": thick,
        "thin": thin,
        "slings": [first, second],
        "looks": list(looks),
        "volume": plain(whole),
        "centre": plain(centre),
        "held": [plain(near), plain(far)],
        "moment": [clean(moment(x)) for x in looks],
        "below": [plain(fallen(x) - fallen(first) - tilt * (x - first)) for x in looks],
    }


DRAWS = 1_000_000


def random_beams():
    """A beam of 6 m, 250 mm by 250 mm, basic density 450 ± 45 kg/m3, strength 6 ± 1.5 MPa, in slings 0.3 m from its ends."""
    n = DRAWS
    random = np.random.default_rng(1)
    normal = lambda mean, sd: random.normal(mean, sd, n)
    density, wall = normal(450.0, 45.0), normal(1500.0, 30.0)
    length, width, height = normal(6.0, 0.03), normal(0.25, 0.005), normal(0.25, 0.005)
    first, second = 0.05 * length + normal(0, 0.05), 0.95 * length + normal(0, 0.05)
    jerk, strength = normal(1.2, 0.05), np.maximum(normal(6.0, 1.5), 0)
    load = 9.80665 * jerk * width * height * (density + 1000.0 * (1 - density / wall))
    far = load * length * (length / 2 - first) / (second - first)
    near = load * length - far
    sag = near**2 / (2 * load) - near * first
    moment = np.maximum(sag, np.maximum(load * first**2, load * (length - second) ** 2) / 2)
    stress = 6 * moment / (width * height**2) / 1e6
    margin = strength / stress
    def sampled(value, error):
        return {"value": plain(value), "standard_error": plain(error)}

    def both(sample):
        sd = np.std(sample, ddof=1)
        return {"mean": sampled(np.mean(sample), sd / math.sqrt(n)), "sd": sampled(sd, sd / math.sqrt(2 * n))}

    def below(limit):
        share = np.mean(margin < limit)
        return sampled(share, math.sqrt(share * (1 - share) / n))

    return {
        "weight": both(load / jerk * length),
        "stress": both(stress),
        "margin": both(margin),
        "below_3": below(3),
        "below_7": below(7),
    }


write(
    "lift.json",
    {
        "packages": [package(name) for name in ("numpy", "PyNiteFEA", "scipy")],
        "frames": {
            "two slings": frame(6.0, 700.0, (1.2, 4.5), (), (0.0, 2.0, 3.0, 6.0)),
            "a load in the overhang": frame(6.0, 700.0, (0.5, 5.0), ((5.5, 900.0), (2.0, 400.0)), (1.0, 2.5, 3.0, 6.0)),
            "four slings at one height": frame(8.0, 500.0, (0.5, 3.0, 5.0, 7.5), ((4.0, 1000.0),), (1.5, 3.0, 4.0, 8.0)),
            "three slings, uneven": frame(5.0, 800.0, (0.0, 1.5, 5.0), (), (0.75, 1.5, 3.0, 4.0)),
        },
        "cones": {
            "a log": cone(8.0, 0.40, 0.25, 1.5, 6.0, (0.0, 3.0, 4.0, 5.0, 8.0)),
            "a sharp taper": cone(5.0, 0.30, 0.10, 0.8, 3.0, (0.0, 1.5, 2.0, 5.0)),
        },
        "draws": DRAWS,
        "random": random_beams(),
    },
)

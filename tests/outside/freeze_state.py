"""Freezes the state of preservation of invented pieces: values and standard uncertainties by the package uncertainties.

Each line of a formula is run as it is printed, on numbers that remember what they were made from.
"""

from math import pi

from frozen import package, pair, related, write
from uncertainties import ufloat

UNITS = {
    "%": "max_water_content residual_basic_density loss_of_wood_substance mean_residual_basic_density porosity saturation ash_content "
         "shrinkage_radial shrinkage_tangential shrinkage_longitudinal shrinkage_cross_section shrinkage_volumetric",
    "g": "mass_saturated mass_oven_dry mass_immersed mass_oven_dry_without_salt water_in_pores mass_organic",
    "cm3": "volume volume_saturated",
    "kg/m3": "basic_density mean_basic_density organic_basic_density saturated_density submerged_density cell_wall_density "
             "organic_cell_wall_density ash_density water_density pore_water_density bath_water_density reference_density",
    "g/kg": "pore_water_salinity",
    "mm": "piece_diameter piece_length piece_width piece_thickness radial_saturated radial_oven_dry tangential_saturated "
          "tangential_oven_dry longitudinal_saturated longitudinal_oven_dry",
    "1": "salt balance_factor ash",
}

WATER = "max_water_content = 100*(mass_saturated - mass_oven_dry)/mass_oven_dry"
SALT = [
    "salt = pore_water_salinity/1000",
    "mass_oven_dry_without_salt = (mass_oven_dry - salt*mass_saturated)/(1 - salt)",
]
WATER_SALT = "max_water_content = 100*(1 - salt)*(mass_saturated - mass_oven_dry_without_salt)/mass_oven_dry_without_salt"
VOLUME = "volume = 1000*(mass_saturated - mass_immersed)/water_density"
BASIC = "basic_density = 1000*mass_oven_dry/volume"
POROSITY = "porosity = 100*(1 - basic_density/cell_wall_density)"
RESIDUAL = ["residual_basic_density = 100*basic_density/reference_density", "loss_of_wood_substance = 100 - residual_basic_density"]
UNDRIED = "basic_density = (1000*mass_saturated/volume - water_density)/(1 - water_density/cell_wall_density)"
FRESH = (998.2067, 0.2)
WALL = (1500.0, 30.0)
OAK = (560.0, 30.0)
PIECE = {"mass_saturated": (42.37, 0.02), "mass_immersed": (2.514, 0.015)}
SEA = {"mass_saturated": (10.8285, 0.004), "pore_water_salinity": (35.0, 0.5), "pore_water_density": (1025.97, 0.4)}
FIVE = range(1, 6)


def shrinkage(direction):
    """The line for one direction."""
    return f"shrinkage_{direction} = 100*({direction}_saturated - {direction}_oven_dry)/{direction}_saturated"


def mean(result, quantity):
    """The line for the mean of five pieces."""
    return f"{result} = ({' + '.join(f'{quantity}_{i}' for i in FIVE)})/5"


def case(name, formula, inputs, pairs=()):
    """Runs the lines of a formula; `pairs` are outputs that share causes."""
    known = {key: ufloat(*value) for key, value in inputs.items()}
    results = {}
    for line in formula:
        left, right = line.split(" = ")
        results[left] = eval(right, {"__builtins__": {}, "pi": pi}, {**known, **results})
    frozen = {
        "name": name,
        "formula": formula,
        "inputs": {key: list(value) for key, value in inputs.items()},
        "outputs": {key: pair(value) for key, value in results.items()},
    }
    if pairs:
        both = {f"{a},{b}": related(results[a], results[b]) for a, b in pairs}
        frozen["covariances"] = {key: covariance for key, (covariance, _) in both.items()}
        frozen["correlations"] = {key: correlation for key, (_, correlation) in both.items()}
    return frozen


five_inputs = {}
for i, (saturated, immersed) in enumerate(((31.420, 1.702), (28.155, 2.391), (35.908, 1.248), (30.077, 2.015), (33.264, 2.870)), start=1):
    five_inputs[f"mass_saturated_{i}"] = (saturated, 0.02)
    five_inputs[f"mass_immersed_{i}"] = (immersed, 0.015)
five_lines = []
for i in FIVE:
    five_lines += [
        f"volume_{i} = 1000*(mass_saturated_{i} - mass_immersed_{i})/water_density",
        f"basic_density_{i} = (1000*mass_saturated_{i}/volume_{i} - water_density)/(1 - water_density/cell_wall_density)",
        f"residual_basic_density_{i} = 100*basic_density_{i}/reference_density",
    ]
five_lines += [mean("mean_basic_density", "basic_density"), mean("mean_residual_basic_density", "residual_basic_density")]

three_directions = [
    shrinkage("radial"), shrinkage("tangential"), shrinkage("longitudinal"),
    "shrinkage_cross_section = 100 - (100 - shrinkage_tangential)*(100 - shrinkage_radial)/100",
    "shrinkage_volumetric = 100 - (100 - shrinkage_longitudinal)*(100 - shrinkage_tangential)*(100 - shrinkage_radial)/10000",
]

cases = [
    case("max_water_content", [WATER], {"mass_saturated": (5.0, 0.01), "mass_oven_dry": (1.0, 0.01)}),
    case("max_water_content_pore_salt", SALT + ["water_in_pores = (1 - salt)*(mass_saturated - mass_oven_dry_without_salt)", WATER_SALT],
         {"mass_saturated": (5.6632, 0.01), "mass_oven_dry": (1.1632, 0.01), "pore_water_salinity": (35.0, 0.5)}),
    case("volume_immersed", [VOLUME], {**PIECE, "water_density": FRESH}),
    case("basic_density_immersed", [VOLUME, BASIC, WATER], {**PIECE, "mass_oven_dry": (7.516, 0.011), "water_density": FRESH},
         [("basic_density", "max_water_content")]),
    case("basic_density_saturated_undried",
         [VOLUME, UNDRIED, "mass_oven_dry = mass_immersed*cell_wall_density/(cell_wall_density - water_density)",
          "max_water_content = 100*(mass_saturated*(cell_wall_density - water_density)/(mass_immersed*cell_wall_density) - 1)"],
         {"mass_saturated": (106.3946, 0.02), "mass_immersed": (6.3946, 0.02), "water_density": (1000.0, 0.2), "cell_wall_density": (1470.0, 30.0)},
         [("basic_density", "max_water_content")]),
    case("basic_density_saturated_undried_pore_salt",
         ["salt = pore_water_salinity/1000", "volume = 1000*(mass_saturated - mass_immersed)/bath_water_density",
          "basic_density = (1000*mass_saturated/volume - pore_water_density)/(1 - pore_water_density/cell_wall_density)",
          "max_water_content = 100*(1 - salt)*pore_water_density*(1/basic_density - 1/cell_wall_density)"],
         {**SEA, "mass_immersed": (0.8375, 0.004), "bath_water_density": (999.1026, 0.2), "cell_wall_density": WALL},
         [("basic_density", "max_water_content")]),
    case("basic_density_saturated_dried", [WATER, "basic_density = 1/(max_water_content/(100*water_density) + 1/cell_wall_density)"],
         {"mass_saturated": (5.0, 0.01), "mass_oven_dry": (1.0, 0.01), "water_density": FRESH, "cell_wall_density": WALL},
         [("basic_density", "max_water_content")]),
    case("basic_density_saturated_dried_pore_salt",
         SALT + [WATER_SALT, "basic_density = 1/(max_water_content/(100*(1 - salt)*pore_water_density) + 1/cell_wall_density)"],
         {**SEA, "mass_oven_dry": (2.1160, 0.004), "cell_wall_density": WALL}, [("basic_density", "max_water_content")]),
    case("saturated_density", ["saturated_density = water_density + basic_density*(1 - water_density/cell_wall_density)",
                               "submerged_density = saturated_density - water_density"],
         {"basic_density": (188.2, 2.5), "water_density": FRESH, "cell_wall_density": WALL}, [("saturated_density", "submerged_density")]),
    case("saturated_density_pore_salt",
         ["saturated_density = pore_water_density + basic_density*(1 - pore_water_density/cell_wall_density)",
          "submerged_density = saturated_density - bath_water_density"],
         {"basic_density": (188.2, 2.5), "pore_water_density": (1025.97, 0.4), "bath_water_density": FRESH, "cell_wall_density": WALL}),
    case("residual_and_porosity", [VOLUME, BASIC, POROSITY] + RESIDUAL,
         {**PIECE, "mass_oven_dry": (7.516, 0.011), "water_density": FRESH, "cell_wall_density": WALL, "reference_density": OAK},
         [("residual_basic_density", "porosity"), ("loss_of_wood_substance", "porosity")]),
    case("residual_saturated_undried", [VOLUME, UNDRIED, POROSITY] + RESIDUAL,
         {**PIECE, "water_density": FRESH, "cell_wall_density": WALL, "reference_density": OAK}, [("residual_basic_density", "porosity")]),
    case("saturation",
         ["basic_density = 1000*mass_oven_dry/volume_saturated", WATER,
          "saturation = 100*(max_water_content/100)*(basic_density/water_density)/(1 - basic_density/cell_wall_density)"],
         {"mass_saturated": (42.37, 0.02), "mass_oven_dry": (7.516, 0.011), "volume_saturated": (40.1, 0.5), "water_density": FRESH,
          "cell_wall_density": WALL}, [("saturation", "basic_density")]),
    case("shrinkage", three_directions,
         {"radial_saturated": (24.85, 0.03), "radial_oven_dry": (21.30, 0.03), "tangential_saturated": (31.40, 0.03),
          "tangential_oven_dry": (20.75, 0.03), "longitudinal_saturated": (50.10, 0.03), "longitudinal_oven_dry": (49.05, 0.03)},
         [("shrinkage_cross_section", "shrinkage_volumetric")]),
    case("geometric_cylinder", ["volume = pi/4*piece_diameter**2*piece_length/1000", BASIC],
         {"mass_oven_dry": (1.213, 0.006), "piece_diameter": (12.05, 0.05), "piece_length": (48.30, 0.10)}),
    case("geometric_prism", ["volume = piece_length*piece_width*piece_thickness/1000", BASIC],
         {"mass_oven_dry": (6.420, 0.006), "piece_length": (40.20, 0.05), "piece_width": (30.10, 0.05), "piece_thickness": (20.05, 0.05)}),
    case("ash_free", ["ash = ash_content/100", "mass_organic = mass_oven_dry*(1 - ash)", BASIC.replace("volume", "volume_saturated"),
                      "organic_basic_density = 1000*mass_organic/volume_saturated",
                      "cell_wall_density = 1/((1 - ash)/organic_cell_wall_density + ash/ash_density)"],
         {"mass_oven_dry": (7.516, 0.011), "volume_saturated": (40.1, 0.5), "ash_content": (8.2, 0.4), "organic_cell_wall_density": WALL,
          "ash_density": (2600.0, 200.0)}, [("basic_density", "organic_basic_density")]),
    case("shared_balance",
         ["max_water_content = 100*(balance_factor*mass_saturated - balance_factor*mass_oven_dry)/(balance_factor*mass_oven_dry)",
          "basic_density = 1000*balance_factor*mass_oven_dry/volume_saturated"],
         {"balance_factor": (1.0, 0.002), "mass_saturated": (42.37, 0.02), "mass_oven_dry": (7.516, 0.011), "volume_saturated": (40.1, 0.05)},
         [("basic_density", "max_water_content")]),
    case("mean_of_five", five_lines, {**five_inputs, "water_density": FRESH, "cell_wall_density": WALL, "reference_density": OAK},
         [("basic_density_1", "basic_density_2"), ("residual_basic_density_1", "residual_basic_density_2")]),
]

write("state.json", {
    "package": package("uncertainties"),
    "calls": ["uncertainties.ufloat", "uncertainties.covariance_matrix", "uncertainties.correlation_matrix"],
    "note": "[value, standard uncertainty]; first-order propagation, correlated through shared inputs; all pieces are invented; "
            "names ending in _1 to _5 have the unit of the name without the number",
    "units": {name: unit for unit, names in UNITS.items() for name in names.split()},
    "cases": cases,
})

"""Makes the demonstration data: an INVENTED drowned harbour, INVENTED tests of its timbers, INVENTED tanks and an INVENTED untidy
workbook. Nothing here was measured.

    python3 make.py            writes the tables into harbour/, strength/, tank/ and messy/ beside this file
    python3 make.py --truth    prints the true state behind each harbour row (CSV)
    python3 make.py --truth tank    prints the true diffusivity of each timber in a tank (CSV)

The script goes the way nature and a laboratory go:
1. each timber gets a true water content at its rim and in its core, and a depth between them;
2. a piece has a true basic density (mean over its depth) and a volume; its pores hold brackish water;
3. the readings follow: mass in air, mass hung in fresh water or rise of a beaker, dried mass WITH
   the salt of the pore water, calliper sizes; each gets noise and is rounded as the instrument rounds.
An analysis that corrects for the salt finds the truth again, within the stated uncertainties.
Each piece has its own stream (seed + name). Needs Python 3.9+ and openpyxl; the same openpyxl and zlib give the same bytes.
"""
import csv, datetime, io, json, math, pathlib, random, re, sys, zipfile, openpyxl  # noqa: E401

SEED = 1287
HERE = pathlib.Path(__file__).resolve().parent
SALT = 0.007          # pore water, mass fraction
CELL_WALL = 1.50      # g/cm3, the true value here
MINERAL = 4.0         # g/cm3, bog iron
WIPING = 0.004        # surface water left by wiping: standard deviation, part of the wet mass

def water(t, s):
    """g/cm3. Fresh: Tanaka 2001; salt: EOS-80 at no pressure, t in degrees Celsius, s in g/kg (coefficients from memory)."""
    fresh = 999.974950 * (1 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))
    a = 0.824493 - 4.0899e-3 * t + 7.6438e-5 * t**2 - 8.2467e-7 * t**3 + 5.3875e-9 * t**4
    b = -5.72466e-3 + 1.0227e-4 * t - 1.6546e-6 * t**2
    return (fresh + a * s + b * s**1.5 + 4.8314e-4 * s**2) / 1000

BATH, PORE = water(18, 0), water(18, 1000 * SALT)

# taxon: basic density when sound (g/cm3), shrinkage radial and tangential (%), compression strength wet (MPa): invented
SOUND = {"Quercus, deciduous": (0.565, 4.5, 8.6, 26), "Pinus sylvestris": (0.42, 4.1, 7.8, 21), "Alnus glutinosa": (0.43, 4.4, 7.5, 19),
         "Fraxinus excelsior": (0.56, 5.0, 8.1, 27), "Ulmus glabra": (0.53, 4.6, 8.0, 24), "Corylus avellana": (0.51, 5.5, 8.5, 22),
         "Salix/Populus": (0.36, 3.5, 8.3, 15)}
OAK, PINE, ALDER, ASH, ELM, HAZEL, WILLOW = SOUND
EDGES = (0, 10, 20, 40, 70)   # depth increments of a core of 16 mm, mm
# timber, taxon, context, length m, width, height, diameter mm, metal, water content at rim and core %, depth between mm,
# pieces (a digit: a core of so many increments; H hand-cut, P prism for the calliper, U not dried), how the volume was read
TIMBERS = [
    ("B01", OAK, "barge", 6.2, 340, 62, None, "iron", 560, 118, 14, "33P", "hung"),
    ("B02", OAK, "barge", 5.8, 310, 60, None, "iron", 640, 126, 18, "33", "hung"),
    ("B03", OAK, "barge", 5.1, 330, 58, None, None, 480, 121, 12, "33P", "hung"),
    ("B04", OAK, "barge", 4.4, 295, 64, None, None, 690, 560, 20, "33P", "hung"),
    ("B05", OAK, "barge", 6.4, 350, 61, None, "iron", 430, 119, 10, "32", "hung"),
    ("B06", OAK, "barge", 3.9, 300, 55, None, "none", 155, 116, 8, "33P", "hung"),
    ("B07", OAK, "barge", 4.7, 320, 60, None, "none", 590, 205, 22, "33", "hung"),
    ("B08", OAK, "barge", 2.6, 280, 57, None, None, 520, 430, 18, "3UU", "hung"),
    ("B09", OAK, "barge", 3.2, 290, 60, None, None, 400, 185, 13, "33", "hung"),
    ("B10", OAK, "barge", 2.1, 240, 52, None, None, 350, 140, 12, "2P", "hung"),
    ("F01", OAK, "barge", 1.9, 160, 140, None, "iron", 470, 114, 11, "43", "hung"),
    ("F02", OAK, "barge", 1.8, 150, 145, None, "iron", 600, 122, 16, "42", "hung"),
    ("F03", OAK, "barge", 1.6, 155, 130, None, None, 130, 112, 8, "4P", "hung"),
    ("F04", PINE, "barge", 2.8, 180, 170, None, None, 380, 182, 13, "43", "hung"),
    ("Q01", OAK, "quay", 3.6, None, None, 260, "none", 660, 128, 25, "444", "displaced"),
    ("Q02", OAK, "quay", 3.1, None, None, 240, "none", 540, 123, 20, "43", "displaced"),
    ("Q03", PINE, "quay", 4.2, None, None, 230, None, 520, 186, 28, "43", "displaced"),
    ("Q04", ALDER, "quay", 2.9, None, None, 210, None, 610, 420, 30, "4UU", "displaced"),
    ("Q05", ELM, "quay", 3.3, None, None, 250, None, 430, 150, 18, "4P", "displaced"),
    ("Q06", OAK, "quay", 2.7, None, None, 235, None, 500, 117, 15, "42", "displaced"),
    ("Q07", ALDER, "quay", 2.5, None, None, 190, None, 480, 260, 20, "3P", "displaced"),
    ("W01", ASH, "weir", 1.4, None, None, 95, None, 520, 240, 16, "3H", "hung"),
    ("W02", OAK, "weir", 1.7, None, None, 110, None, 575, 165, 17, "3P", "hung"),
    ("W03", ALDER, "weir", 1.3, None, None, 90, None, 680, 590, 20, "2HU", "hung"),
    ("W04", WILLOW, "weir", 1.1, None, None, 80, None, 640, 480, 20, "2HU", "hung"),
    ("W05", ASH, "weir", 1.5, None, None, 100, None, 350, 135, 12, "3P", "hung"),
    ("W06", HAZEL, "weir", 2.2, None, None, 28, None, 450, 330, 6, "HHUU", "hung"),
    ("W07", OAK, "weir", 1.6, None, None, 105, None, 700, 610, 20, "2P", "hung"),
]
# what is special about single pieces: a true state, or a word in the table
SPECIAL = {
    "B03-K1-2": {"content": 400}, "B08-K1-3": {"content": 400}, "F01-K2-1": {"content": 398.5},    # on a class boundary
    "B09-K1-3": {"content": 186.5}, "B09-K2-3": {"content": 184.5}, "Q02-K1-3": {"content": 185},
    "F03-K1-4": {"saturation": 0.85, "note": "dried out on one side before it reached the laboratory"},
    "B06-K2-3": {"saturation": 0.85, "note": "bag had leaked"},
    "Q07-K1-3": {"saturation": 0.62, "sinker": 41.37, "note": "floats: full of gas; hung together with a sinker"},
    "Q06-K1-2": {"surface_water": 0.08, "note": "volume first; then weighed in air straight from the bath, not wiped"},
    "Q02-K2-1": {"ash": 12.0, "note": "rust-brown crust, heavy: bog iron"},
    "W02-K1-1": {"borer": 35, "note": "shipworm tunnels, some open to the side"}, "W01-K1-1": {"borer": 15}, "W03-K1-1": {"borer": 8},
    "W05-K1-1": {"borer": 3}, "Q01-K3-1": {"charring": "surface", "content": 290},
    "F02-K1-1": {"charring": "partial", "content": 215}, "Q06-K2-1": {"charring": "surface", "content": 260},
}
REPEATED, ASHED = "B02-K1-1 F04-K1-2 Q01-K1-3".split(), "B01-K1-1 B01-K1-3 B04-K1-2 B06-K1-1 F01-K1-4 Q01-K1-1 Q03-K1-1 Q04-K1-2 W02-K1-3".split()
UNSEEN = ("B03", "B08", "F04", "Q03", "W06")   # nobody wrote down metal, borers or earlier treatment
FACES = {"barge": ("outboard", "inboard", "upper edge"), "quay": ("water side", "land side", "upstream"), "weir": ("north", "south", "east")}

def shown(rng, value, noise, step):
    """What an instrument shows: the value with its noise, in whole steps."""
    return round(round((value + rng.gauss(0, noise)) / step) * step, 2)

def density_of(content):
    """Basic density, g/cm3, of saturated wood of that maximum water content, %."""
    return 1 / (content / (100 * (1 - SALT) * PORE) + 1 / CELL_WALL)

def density_at(rim, core, front, start, end):
    """Mean true basic density between two depths: water content falls from rim to core around `front`."""
    depths = [start + (end - start) * (k + 0.5) / 20 for k in range(20)]
    return sum(density_of(core + (rim - core) / (1 + math.exp((d - front) / 3))) for d in depths) / 20

def readings(rng, density, volume, route, special, dried=True):
    """What the balance (0.01 g) shows for a piece of true basic density g/cm3 and volume cm3."""
    ash = special.get("ash", 0) / 100
    wood, wall = volume * density, 1 / ((1 - ash) / CELL_WALL + ash / MINERAL)
    full = wood + special.get("saturation", 1) * volume * (1 - density / wall) * PORE
    wet = full + special.get("surface_water", 0) * (full - wood) + rng.gauss(0, WIPING) * full
    row = {"mass_saturated [g]": shown(rng, wet, 0.001, 0.01), "u(mass_saturated) [g]": max(0.01, round(WIPING * wet, 2))}
    if dried:                                                             # the salt of all the water stays behind
        row["mass_oven_dry [g]"] = shown(rng, wood + SALT * (wet - wood), 0.001, 0.01)
    if route == "hung":
        row["mass_immersed [g]"] = shown(rng, full - volume * BATH + special.get("sinker", 0), 0.001, 0.01)
    if route == "displaced":
        row["mass_displaced [g]"] = shown(rng, volume * BATH, 0.001, 0.01)
    return row

def prism(rng, taxon, density):
    """Calliper sizes (0.05 mm) wet and dry, true volume cm3, pin and compression tests; decayed wood collapses."""
    sound, radial, tangential, _ = SOUND[taxon]
    loss = max(0.0, 1 - density / sound)
    shrinkage = {"radial": radial + 14 * loss**1.5, "tangential": tangential + 28 * loss**1.5, "longitudinal": 0.4 + 4 * loss**2}
    true = {"radial": rng.uniform(18, 22), "tangential": rng.uniform(18, 22), "longitudinal": rng.uniform(55, 65)}
    row = {"sample_form": "prism"}
    for way, size in (("longitudinal", "length"), ("tangential", "width"), ("radial", "thickness")):
        row[f"piece_{size} [mm]"] = row[f"{way}_saturated [mm]"] = shown(rng, true[way], 0.01, 0.05)
        row[f"{way}_oven_dry [mm]"] = shown(rng, true[way] * (1 - shrinkage[way] / 100), 0.01, 0.05)
    return row, math.prod(true.values()) / 1000

def strength(rng, taxon, density, whole):
    """Pin penetration and, for a prism (`whole`), compression strength, both on wet wood; invented laws."""
    ratio = density / SOUND[taxon][0]
    row = {"condition_at_test": "saturated", "pin_diameter [mm]": 2.5, "pin_penetration [mm]": round(4 * ratio**-1.5 * rng.gauss(1, 0.08), 1)}
    return {**row, "compression_parallel [MPa]": round(SOUND[taxon][3] * ratio**1.7 * rng.gauss(1, 0.08), 1)} if whole else row

def piece(timber, name, kind, core_id, number, front, replicate):
    """One row of the samples table and its truth."""
    tid, taxon, context, _, _, _, _, metal, rim, core, _, _, route = timber
    rng, special, cored = random.Random(f"{SEED}/{name}"), SPECIAL.get(name, {}), kind.isdigit()
    start, end = (EDGES[number - 1], EDGES[number]) if cored else (None, None)
    density = density_at(rim, core, front, start if cored else 2, end if cored else 30) * rng.gauss(1, 0.02) / (1 - special.get("ash", 0) / 100)
    density = density_of(special["content"]) if "content" in special else density
    row = {"sample": name, "core_id": core_id, "replicate": replicate, "note": special.get("note"), "mass_sinker_immersed [g]": special.get("sinker"),
           "charring": special.get("charring", None if tid in ("Q03", "W06") else "none"),
           "borer_damage [%]": special.get("borer", None if tid in UNSEEN else 0),
           "ash_content [%]": special.get("ash", round(rng.uniform(0.7, 2.6), 1) if name in ASHED else None)}
    if taxon in (OAK, PINE):
        row["wood_zone"] = "sapwood" if context != "barge" and cored and end <= 20 else "heartwood"
    volume = math.pi / 4 * 1.6**2 * (end - start) / 10 * rng.uniform(0.92, 0.99) if cored else rng.uniform(18, 32)
    if cored:
        corer = int(core_id[-1])
        row.update({"face": FACES[context][corer - 1], "position_along [mm]": 400 * corer, "depth_from [mm]": start, "depth_to [mm]": end,
                    "core_direction": "tangential" if tid in ("B04", "B07") else "radial",
                    "depth_reference": "worked_face" if context == "barge" else "waney_edge" if tid in ("Q01", "Q03") else "present_surface",
                    "core_recovery [%]": 95 if corer == 1 and context == "quay" else None})
        if name.endswith("K1-1") and context != "weir":
            row["date_sampled"] = datetime.date(2023, 5, 8) + datetime.timedelta(days=int(tid[1:]))
    if kind == "P":
        sizes, volume = prism(rng, taxon, density)
        row.update(sizes)
    if kind == "P" or (name.endswith("K1-1") and tid[-1] in "13579"):
        row.update(strength(rng, taxon, density, kind == "P"))
    route = "calliper" if kind == "P" and tid not in ("B01", "B04", "W02") else "hung" if kind in "UP" or "sinker" in special else route
    row.update(readings(random.Random(f"{SEED}/{name}/{replicate}"), density, volume, route, special, dried=kind != "U"))
    content = 100 * (1 - SALT) * PORE * (1 / density - (1 - special.get("ash", 0) / 100) / CELL_WALL - special.get("ash", 0) / 100 / MINERAL)
    return row, {"sample": name, "replicate": replicate, "basic_density [kg/m3]": round(1000 * density, 3), "max_water_content [%]": round(content, 3)}

def harbour():
    """The three tables as lists of dicts, and the truth."""
    samples, truth, timbers = [], [], []
    for n, timber in enumerate(TIMBERS):
        tid, taxon, context, length, width, height, diameter, metal, _, _, front, pieces, _ = timber
        shared = {"timber": tid, "taxon": taxon, "metal": metal or (None if tid in UNSEEN else "none"), "prior_treatment": None if tid in UNSEEN else "peg" if tid == "B10" else "none", "site": "Drowned harbour (invented)",
                  "context": context, "find_number": f"DH-{101 + n}"}
        timbers.append({**shared, "timber_length [m]": length, "timber_width [mm]": width, "timber_height [mm]": height, "timber_diameter [mm]": diameter,
                        "date_lifted": datetime.date(2023, 4, 17) + datetime.timedelta(days=n // 4) if context != "weir" else None,
                        "note": "lifted once before, in 1987, and brushed with PEG" if tid == "B10" else None})
        for k, kind in enumerate(pieces, 1):
            shift, core_id, todo = front, None, [(f"{tid}-{kind}{k}", 0)]
            if kind.isdigit():
                shift, core_id = front * random.Random(f"{SEED}/{tid}/K{k}").uniform(0.8, 1.2), f"{tid}-K{k}"
                todo = [(f"{core_id}-{number}", number) for number in range(1, int(kind) + 1)]
            for name, number, replicate in [(a, b, r) for a, b in todo for r in ((1, 2) if a in REPEATED else (1,))]:
                row, true = piece(timber, name, kind, core_id, number, shift, replicate)
                samples.append({**shared, **row})
                truth.append(true)
    return {"samples": samples, "timbers": timbers, "log": bath_log()}, truth

def bath_log():
    """Desalting of two tanks: chloride moves from the wood to the bath, changed water takes it away."""
    rows = []
    for tank, litres, share, rate, iron in (("T1", 2400, 0.30, 0.16, 1.4), ("T2", 1100, 0.22, 0.24, 0.3)):
        rng, in_wood, in_bath = random.Random(f"{SEED}/{tank}"), 3870.0, 22.0
        for visit in range(13):
            day, changed = datetime.date(2023, 6, 5) + datetime.timedelta(weeks=4 * visit), visit % 2 == 0 and visit > 0
            if visit:
                level = (in_bath + share * in_wood) / (1 + share)
                in_wood, in_bath = (level + (value - level) * math.exp(-4 * rate) for value in (in_wood, in_bath))
            rows.append({"date": day, "tank": tank, "bath_temperature [Cel]": round(13 + 5 * math.cos((visit - 2) / 2.1) + rng.gauss(0, 0.4), 1),
                         "conductivity [uS/cm]": int(round(340 + 3.1 * in_bath * rng.gauss(1, 0.01), -1)),
                         "chloride_in_water [mg/L]": round(in_bath * rng.gauss(1, 0.02)), "ph_bath [pH]": round(7.4 + rng.gauss(0, 0.1), 1),
                         "iron_in_water [mg/L]": "n.d." if visit in (3, 8) else round(0.2 + iron * rng.uniform(0.7, 1.1), 2), "bath_volume [L]": litres,
                         "water_changed": "yes" if changed else "no", "note": "filled with tap water" if visit == 0 else None})
            if tank == "T1" and visit % 3 == 0:
                rows.append({"date": day, "tank": tank, "timber": "B05", "mass_drained [kg]": round(151.6 - 0.55 * (1 - math.exp(-visit / 4)), 1)})
            in_bath = 22.0 if changed else in_bath
    return rows

COLUMNS = {
    "samples": "sample|timber|core_id|replicate|site|context|find_number|date_sampled|taxon|wood_zone|face|position_along [mm]|core_direction|depth_from [mm]|"
               "depth_to [mm]|depth_reference|core_recovery [%]|charring|borer_damage [%]|metal|prior_treatment|mass_saturated [g]|u(mass_saturated) [g]|"
               "mass_oven_dry [g]|mass_immersed [g]|mass_displaced [g]|mass_sinker_immersed [g]|sample_form|piece_length [mm]|piece_width [mm]|"
               "piece_thickness [mm]|radial_saturated [mm]|radial_oven_dry [mm]|tangential_saturated [mm]|tangential_oven_dry [mm]|longitudinal_saturated [mm]|"
               "longitudinal_oven_dry [mm]|ash_content [%]|condition_at_test|compression_parallel [MPa]|pin_penetration [mm]|pin_diameter [mm]|note",
    "timbers": "timber|taxon|timber_length [m]|timber_width [mm]|timber_height [mm]|timber_diameter [mm]|metal|prior_treatment|site|context|find_number|"
               "date_lifted|note",
    "log": "date|tank|timber|mass_drained [kg]|bath_temperature [Cel]|conductivity [uS/cm]|chloride_in_water [mg/L]|iron_in_water [mg/L]|ph_bath [pH]|"
           "bath_volume [L]|water_changed|note"}
WORDS = {   # every word a column may hold
    "wood_zone": "heartwood sapwood transition mixed pith knot bark reaction_wood unknown", "core_direction": "radial tangential oblique",
    "depth_reference": "present_surface worked_face waney_edge", "charring": "none surface partial through unknown",
    "metal": "none iron copper_alloy lead other unknown", "prior_treatment": "none peg sugar alum resin biocide other unknown",
    "sample_form": "cylinder prism irregular", "condition_at_test": "saturated conditioned treated", "water_changed": "yes no"}

def field(header):
    """One field of the table schema: the whole header is its name; unit and uncertainty are properties of our own."""
    name, unit = re.fullmatch(r"(.+?)(?: \[(.+)\])?", header).groups()
    entry = {"name": header, "type": "number" if unit else "date" if name.startswith("date") else "integer" if name == "replicate" else "string"}
    entry.update({"unit": {"pH": "[pH]"}.get(unit, unit)} if unit else {})
    entry.update({"uncertaintyOf": name[2:-1]} if name.startswith("u(") else {})
    return {**entry, "constraints": {"enum": WORDS[name].split()}} if name in WORDS else entry

def package(name, title, columns, sample_key):
    """Data Package v2 with Table Schema v2 for the three CSV files of a folder."""
    missing = [{"value": "", "label": "unknown"}, {"value": "n.d.", "label": "not determined"}]
    parent = {"foreignKeys": [{"fields": ["timber"], "reference": {"resource": "timbers", "fields": ["timber"]}}]}
    keys = {"samples": {"primaryKey": sample_key, **parent}, "timbers": {"primaryKey": ["timber"]}, "log": parent}
    return {"$schema": "https://datapackage.org/profiles/2.0/datapackage.json", "name": name, "title": title,
            "description": f"Invented data, made by make.py with seed {SEED}. Nothing here was measured.",
            "licenses": [{"name": "CC0-1.0", "path": "https://creativecommons.org/publicdomain/zero/1.0/"}],
            "resources": [{"name": table, "type": "table", "path": f"{table}.csv", "format": "csv", "mediatype": "text/csv", "encoding": "utf-8",
                           "schema": {"$schema": "https://datapackage.org/profiles/2.0/tableschema.json", "missingValues": missing, **keys[table],
                                      "fields": [field(header) for header in headers.split("|")]}} for table, headers in columns.items()]}

# timbers in tanks: tank, width, height (a round one: diameter, None) mm, length m, diffusivity m2/s, share of pores, scatter of weighing kg
TREATED = {"R01": ("P1", 240, 50, 2.4, 4e-12, 0.82, 0.015), "R02": ("P1", 120, 110, 2.2, 1.5e-11, 0.80, 0.012), "R03": ("P1", 90, None, 3.0, 6e-12, 0.78, 0.015),
           "R04": ("S1", 150, 36, 1.6, 8e-12, 0.84, 0.01)}
# tank: litres, concentration by mass in % and month of each step, months; the plan of P1 has steps of 10 %, month 12 went wrong
TANKS = {"P1": (3000, ((0, 10), (6, 20), (12, 34), (18, 40)), 30), "S1": (420, ((0, 10), (3, 20), (6, 30), (9, 40)), 12)}
VOLUME = {"P1": 0.84, "S1": 0.61}        # cm3 that 1 g takes up in the solution: invented, PEG and sucrose are near it
BLOCKED = (18.5, 24.5)                   # months in which R02 lay against the wall of the tank and took up nothing
ZEROS = (2.404825557695773, 5.520078110286311, 8.653727912911013, 11.791534439014281, 14.930917708487787, 18.071063967910924, 21.21163662987926)

def bath_strength(tank, percent):
    """g/L of a bath of so many per cent by mass at 18 degrees."""
    return 10 * percent / (percent / 100 * VOLUME[tank] + (1 - percent / 100) / BATH)

def not_taken(width, height, d, t):
    """What is not yet taken up of the final share after t seconds: a beam by two slabs, a round timber by zeros of J0."""
    if t <= 0:
        return 1
    if height is None:
        reduced = d * t / (width / 2000) ** 2
        if reduced < 0.03:                                                # the series is slow at first
            return 1 - (4 * math.sqrt(reduced / math.pi) - reduced - reduced**1.5 / (3 * math.sqrt(math.pi)))
        return sum(4 / z**2 * math.exp(-(z**2) * reduced) for z in ZEROS)
    slab = lambda size: sum(8 / (m * math.pi) ** 2 * math.exp(-((m * math.pi / size * 1000) ** 2) * d * t) for m in range(1, 400, 2))
    return slab(width) * slab(height)

def day_of(month):
    """The day of a visit: so many months of 30.4375 days after the first."""
    return datetime.date(2022, 3, 1) + datetime.timedelta(days=round(30.4375 * month))

def tanks():
    """Impregnation of two tanks over 30 months and over 12: what stands in the log, the timbers, and pieces measured afterwards."""
    log = []
    for tank, (litres, steps, months) in TANKS.items():
        rng, volume, ph = random.Random(f"{SEED}/tank/{tank}"), litres, 7.1
        for month in range(months + 1):
            percent = [w for begin, w in steps if begin <= month][-1]
            added = dict(steps).get(month)
            note = f"filled with {percent} %" if month == 0 else f"impregnant added up to {percent} %" if added else None
            volume -= rng.uniform(0.1, 0.5) / 100 * litres               # evaporation
            if tank == "P1" and month == 22:
                volume, note = volume - 380, "floor wet below the tank"
            if tank == "P1" and month == 23:
                volume, note = litres, "seal of the drain renewed, filled up with solution of the same strength"
            if added:
                volume = litres
            if tank == "S1" and month >= 8:
                ph = {8: 6.7, 9: 6.3, 10: 5.8, 11: 5.5, 12: 5.3}[month]
                note = note or {10: "smell of yeast", 11: "foam"}.get(month)
            log.append({"date": day_of(month), "tank": tank, "bath_temperature [Cel]": round(18 + 1.6 * math.sin(month / 1.9) + rng.gauss(0, 0.2), 1),
                        "concentration_mass_fraction [%]": round(percent + rng.gauss(0, 0.15), 1), "ph_bath [pH]": round(ph + rng.gauss(0, 0.03), 2),
                        "bath_volume [L]": round(volume), "water_changed": "yes" if month and added and tank == "S1" else "no", "note": note})
            for timber, (where, width, height, length, d, pores, scatter) in TREATED.items():
                if where != tank:
                    continue
                own = random.Random(f"{SEED}/tank/{timber}/{month}")
                section = width * height if height else math.pi / 4 * width**2
                pore = section / 1000 * length * pores                    # litres of solution in the wood
                lost = min(max(month - BLOCKED[0], 0), BLOCKED[1] - BLOCKED[0]) if timber == "R02" else 0
                taken = 0
                for (begin, w), (_, before) in zip(steps, ((0, 0), *steps)):
                    # what was blocked is lost to all steps that had begun by then
                    t = (month - begin - (lost if begin < BLOCKED[0] else 0)) * 30.4375 * 86400
                    taken += (bath_strength(tank, w) - (bath_strength(tank, before) if before else 0)) * (1 - not_taken(width, height, d, t))
                mass = section / 1000 * length * 1.06 + pore * taken / 1000 * (1 - VOLUME[tank] * BATH)
                log.append({"date": day_of(month), "tank": tank, "timber": timber, "mass_drained [kg]": shown(own, mass, scatter, 0.01),
                            "u(mass_drained) [kg]": scatter})
    timbers = [{"timber": name, "taxon": "Quercus, deciduous", "timber_length [m]": length, "timber_width [mm]": width if height else None,
                "timber_height [mm]": height, "timber_diameter [mm]": None if height else width, "metal": "none", "prior_treatment": "none",
                "site": "Museum tanks (invented)", "treatment": {"P1": "PEG 2000, 10 to 40 %", "S1": "sucrose"}[tank]}
               for name, (tank, width, height, length, *_) in TREATED.items()]
    timbers += [{"timber": name, "taxon": "Quercus, deciduous", "metal": "none", "prior_treatment": "none", "site": "Museum tanks (invented)", "control_of": of,
                 "note": "sister piece, dried untreated"} for name, of in (("C01", "R01"), ("C03", "R03"))]
    samples = []
    for timber, radial, tangential, humidity in (("R01", 1.1, 2.0, 55), ("C01", 6.5, 14.2, 55), ("R03", 1.4, 2.6, 55), ("C03", 7.0, 15.0, 45)):
        for k in range(1, 6):
            rng = random.Random(f"{SEED}/tank/{timber}-D{k}")
            row = {"sample": f"{timber}-D{k}", "timber": timber, "date_sampled": datetime.date(2025, 6, 3)}
            for way, shrinkage in (("radial", radial), ("tangential", tangential)):
                wet = shown(rng, 40, 0.3, 0.05)
                row[f"{way}_saturated [mm]"] = wet
                row[f"{way}_conditioned [mm]"] = shown(rng, wet * (1 - rng.gauss(shrinkage, 0.1 * shrinkage) / 100), 0.02, 0.05)
            samples.append({**row, "conditioning_rh [%]": humidity})
    return {"samples": samples, "timbers": timbers, "log": log}

TANK_COLUMNS = {
    "samples": "sample|timber|date_sampled|radial_saturated [mm]|radial_conditioned [mm]|tangential_saturated [mm]|tangential_conditioned [mm]|conditioning_rh [%]",
    "timbers": "timber|taxon|timber_length [m]|timber_width [mm]|timber_height [mm]|timber_diameter [mm]|metal|prior_treatment|site|control_of|treatment|note",
    "log": "date|tank|timber|mass_drained [kg]|u(mass_drained) [kg]|bath_temperature [Cel]|concentration_mass_fraction [%]|ph_bath [pH]|bath_volume [L]|"
           "water_changed|note"}

# timbers that were tested: the number of prisms of each; strength of sound wet wood in bending and its modulus (MPa): invented
TESTED = {"B01": 4, "B04": 4, "B05": 4, "B06": 2, "B07": 4, "B08": 4, "B10": 3, "F01": 4, "Q01": 4, "W07": 4, "F04": 5, "Q03": 5, "Q04": 4, "Q07": 4, "W03": 4, "W01": 2}
BENDING = {OAK: (58, 8400), PINE: (44, 7600), ALDER: (40, 7000), ASH: (65, 9800)}
EXPONENTS = {"bending_strength [MPa]": 1.25, "bending_modulus [MPa]": 0.95, "compression_parallel [MPa]": 1.7}   # of residual density
DRY = {"bending_strength [MPa]": 1.7, "bending_modulus [MPa]": 1.25, "compression_parallel [MPa]": 2.0}          # conditioned over wet
TEST_NOTES = {"B04-T3": "broke when it was clamped", "Q04-T1": "too soft for the bending rig"}
TEST_WORDS = {"Q01-T3": {"charring": "surface"}, "F01-T1": {"charring": "partial"}, "B08-T2": {"charring": "through"},
              "W07-T2": {"borer_damage [%]": 22}, "Q07-T1": {"borer_damage [%]": 14}, "Q03-T2": {"borer_damage [%]": 4},
              **{name: {"condition_at_test": "conditioned"} for name in ("B05-T4", "F01-T4", "B06-T2", "F04-T5", "Q04-T4")}}
MECHANICS = ("sample|timber|site|context|date_sampled|taxon|wood_zone|position_along [mm]|depth_from [mm]|depth_to [mm]|depth_reference|charring|borer_damage [%]|metal|"
             "prior_treatment|mass_saturated [g]|u(mass_saturated) [g]|mass_oven_dry [g]|mass_immersed [g]|condition_at_test|bending_strength [MPa]|bending_modulus [MPa]|"
             "compression_parallel [MPa]|pin_penetration [mm]|pin_diameter [mm]|note")

def mechanics():
    """Prisms 20 x 20 x 360 mm, sawn along the grain and broken. Masses are those of an end piece that was sawn off and kept wet."""
    rows, timbers = [], {timber[0]: timber for timber in TIMBERS}
    for n, (tid, count) in enumerate(TESTED.items()):
        _, taxon, context, _, _, _, _, metal, rim, core, front, _, _ = timbers[tid]
        of_timber = random.Random(f"{SEED}/strength/{tid}")
        sound = dict(zip(EXPONENTS, (*BENDING[taxon], SOUND[taxon][3])))
        grown = {test: math.exp(of_timber.gauss(0, 0.07)) for test in (*EXPONENTS, "pin")}   # pieces of one timber are alike
        for k in range(1, count + 1):
            name, start = f"{tid}-T{k}", (2, 24)[k % 2 == 0]
            rng, words = random.Random(f"{SEED}/{name}"), TEST_WORDS.get(name, {})
            density = density_at(rim, core, front, start, start + 20) * rng.gauss(1, 0.03)
            ratio, volume = density / SOUND[taxon][0], rng.uniform(22, 26)
            row = {"sample": name, "timber": tid, "site": "Drowned harbour (invented)", "context": context, "taxon": taxon, "wood_zone": "heartwood" if taxon == OAK else None,
                   "date_sampled": datetime.date(2024, 3, 4) + datetime.timedelta(days=n), "position_along [mm]": 420 * ((k + 1) // 2), "depth_from [mm]": start,
                   "depth_to [mm]": start + 20, "depth_reference": "worked_face" if context == "barge" else "present_surface", "charring": "none", "borer_damage [%]": 0,
                   "metal": metal or "none", "prior_treatment": "peg" if tid == "B10" else "none", "condition_at_test": "treated" if tid == "B10" else "saturated",
                   "note": TEST_NOTES.get(name), **words, **readings(rng, density, volume, "hung", {})}
            for test, exponent in EXPONENTS.items():
                value = sound[test] * grown[test] * ratio**exponent * math.exp(rng.gauss(0, 0.08))
                value *= DRY[test] if row["condition_at_test"] == "conditioned" else 1
                row[test] = int(round(value, -1)) if test == "bending_modulus [MPa]" else round(value, 1)
            pin = round(4 * grown["pin"] * ratio**-1.5 * math.exp(rng.gauss(0, 0.08)), 1)
            if row["condition_at_test"] == "saturated" and k != 4:
                row.update({"pin_penetration [mm]": pin, "pin_diameter [mm]": 2.5})
            if name in TEST_NOTES:
                row["bending_strength [MPa]"] = row["bending_modulus [MPa]"] = None
            rows.append(row)
    return rows

def save_workbook(path, sheets):
    """A workbook with fixed dates inside and on its parts, so that the bytes do not change from run to run."""
    book, raw = openpyxl.Workbook(), io.BytesIO()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    book.save(raw)
    with zipfile.ZipFile(raw) as old, zipfile.ZipFile(path, "w") as new:
        for part in old.namelist():
            data = re.sub(rb"\d{4}-\d\d-\d\dT[\d:]+Z", b"2024-01-01T00:00:00Z", old.read(part)) if part == "docProps/core.xml" else old.read(part)
            info = zipfile.ZipInfo(part, (2024, 1, 1, 0, 0, 0))
            info.create_system = 3                                        # the same on every system
            new.writestr(info, data, zipfile.ZIP_DEFLATED)

# the untidy workbook: timber, wood, water content at rim and core %, depth between mm, increments of its cores, charred
UNTIDY = (("P1", "Eiche", 560, 120, 14, "33", "nein"), ("P2", "Eiche", 640, 410, 20, "33", "nein"), ("P3", "Eiche", 430, 119, 10, "3", "leicht"),
          ("P4", "Kiefer", 420, 182, 14, "33", "nein"), ("P5", "Eiche", 150, 116, 8, "33", None), ("P6", "Erle", 610, 440, 25, "33", "nein"), ("P7", "Eiche", 380, 125, 12, "33", "ja"))

def untidy():
    """The sheets of barge.xlsx: sound readings first, then the faults of real files."""
    head, rows, number = ["Holz", "Kern", "Tiefe von", "Tiefe bis [cm]", "Holzart", "Nassgewicht [g]", "Darrgewicht (g)", "Auftrieb [g]", "verkohlt", "Bemerkung"], [], 0
    for timber, wood, rim, core, front, cores, charred in UNTIDY:
        for number, increments in enumerate(cores, number + 1):
            for start, end in list(zip(EDGES, EDGES[1:]))[:int(increments)]:
                rng = random.Random(f"{SEED}/untidy/K{number}/{start}")
                density, volume = density_at(rim, core, front, start, end) * rng.gauss(1, 0.02), 0.191 * (end - start) * rng.uniform(0.95, 1)
                wet, _, dry, rise = readings(rng, density, volume, "displaced", {}).values()
                rows.append([timber, f"K{number}", start, end, wood, wet, dry, rise, "nein" if charred and start else charred, None])
    at = {(row[1], row[2]): row for row in rows}
    at["K2", 10][6] = None                                                 # dry mass missing
    at["K4", 20][7], at["K4", 20][9] = "n.b.", "Becher umgestoßen"         # a word for "not determined"
    at["K6", 0][5:7] = at["K6", 0][6], at["K6", 0][5]                      # wet and dry mass swapped
    at["K8", 20][5] = round(at["K8", 20][5] / 1000, 5)                     # kg instead of g
    rows.insert(rows.index(at["K10", 10]) + 1, list(at["K10", 10]))        # the same core and depth twice
    for row in (row for count, row in enumerate(rows) if count % 5):       # four rows of five: decimal comma, stored as text
        row[5:8] = [str(value).replace(".", ",") if isinstance(value, float) else value for value in row[5:8]]
    planks = [["Holz", "Holzart", "Länge (m)", "Breite [mm]", "Stärke [mm]", "Metall", "gehoben"]]
    planks += [[timber, wood, f"{3 + 0.4 * n:.1f}".replace(".", ","), 280 + 10 * n, 55 + n, ("Eisen", None, "keins", "?")[n % 4], datetime.date(2024, 5, 6 + n)]
               for n, (timber, wood, *_) in enumerate(UNTIDY)]
    notes = ["Erfundene Daten, von make.py gemacht.", "Auftrieb: Becher mit Wasser auf der Waage, auf null gestellt, Probe ganz untergetaucht, abgelesen.",
             "Tiefe bis: die Zahlen sind mm, die Überschrift ist falsch.", "Waage 0,01 g. Wasser im Becher: Leitungswasser, 18 Grad."]
    return {"Proben": [["Lastkahn, zweite Saison (erfunden)"], [], head, *rows], "Hölzer": [["Hölzer des Lastkahns (erfunden)"], *planks], "Notizen": [[n] for n in notes]}

def main():
    tables, truth = harbour()
    filled = lambda columns, tables: {name: [headers.split("|")] + [[row.get(h) for h in headers.split("|")] for row in tables[name]] for name, headers in columns.items()}
    sheets = filled(COLUMNS, tables)
    if sys.argv[1:] == ["--truth", "tank"]:
        return csv.writer(sys.stdout, lineterminator="\n").writerows([("timber", "diffusivity [m2/s]"), *((name, d) for name, (_, _, _, _, d, *_) in TREATED.items())])
    if "--truth" in sys.argv:
        return csv.writer(sys.stdout, lineterminator="\n").writerows([truth[0], *(t.values() for t in truth)])
    for folder, contents in (("harbour", sheets), ("tank", filled(TANK_COLUMNS, tanks()))):
        for name, rows in contents.items():
            with open(HERE / folder / f"{name}.csv", "w", encoding="utf-8", newline="") as out:
                csv.writer(out, lineterminator="\n").writerows(rows)
    with open(HERE / "strength" / "mechanics.csv", "w", encoding="utf-8", newline="") as out:
        csv.writer(out, lineterminator="\n").writerows([MECHANICS.split("|")] + [[row.get(h) for h in MECHANICS.split("|")] for row in mechanics()])
    packages = {"harbour": package("drowned-harbour", "Drowned harbour (invented)", COLUMNS, ["sample", "replicate"]),
                "tank": package("museum-tanks", "Museum tanks (invented)", TANK_COLUMNS, ["sample"])}
    for folder, content in packages.items():
        (HERE / folder / "datapackage.json").write_bytes((json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode())
    save_workbook(HERE / "harbour" / "harbour.xlsx", sheets)
    save_workbook(HERE / "messy" / "barge.xlsx", untidy())

if __name__ == "__main__":
    main()

"""Freezes densities of fresh water and sea water: TEOS-10, EOS-80 and the formula of Tanaka 2001."""

import warnings
from fractions import Fraction

import gsw
from frozen import package, plain, write

with warnings.catch_warnings():
    # It says that it is superseded, which is why it stands beside gsw here.
    warnings.simplefilter("ignore")
    import seawater
    from seawater.library import T90conv

SALINITIES = (0.0, 7.0, 20.0, 35.0)
TEMPERATURES = (4.0, 10.0, 15.0, 20.0, 25.0, 30.0)

# Printed in UNESCO Tech. Pap. Mar. Sci. 44, p. 22; read in the documentation of seawater 3.3.5, function dens0.
UNESCO = ((0.0, 0.0, "999.842594"), (0.0, 30.0, "995.65113374"), (35.0, 0.0, "1028.10633141"), (35.0, 30.0, "1021.72863949"))
# [memory]
REMEMBERED = ((35.0, 5.0, "1027.675"), (35.0, 25.0, "1023.343"), (0.0, 5.0, "999.967"))


def tanaka(celsius):
    """Density of fresh water in kg/m3, exact for the printed coefficients."""
    t = Fraction(celsius)
    lowered = (t - Fraction("3.983035")) ** 2 * (t + Fraction("301.797"))
    return Fraction("999.974950") * (1 - lowered / (Fraction("522528.9") * (t + Fraction("69.34881"))))


def ten_digits(exact):
    """An exact number below 1000 rounded half to even to ten significant digits."""
    scaled = str(round(exact * 10**7))
    return f"{scaled[:-7]}.{scaled[-7:]}"


def printed(rows, evidence):
    """Printed EOS-80 values beside those of the package; their temperature is on IPTS-68."""
    return [
        {
            "practical_salinity": s,
            "temperature_ipts68": t68,
            "temperature": plain(T90conv(t68)),
            "printed": text,
            "evidence": evidence,
            "density": plain(seawater.dens0(s, T90conv(t68))),
        }
        for s, t68, text in rows
    ]


teos10 = {
    "version": package("gsw"),
    "call": "gsw.rho_t_exact(absolute_salinity, temperature, 0)",
    "source": "IOC, SCOR and IAPSO 2010, The international thermodynamic equation of seawater - 2010, Manuals and Guides 56",
    "note": "sea pressure 0 dbar, that is one standard atmosphere; absolute salinity in g/kg; temperature on ITS-90",
    "values": [
        {"absolute_salinity": s, "temperature": t, "density": plain(gsw.rho_t_exact(s, t, 0.0))}
        for s in SALINITIES
        for t in TEMPERATURES
    ],
}

eos80 = {
    "version": package("seawater"),
    "call": "seawater.dens0(practical_salinity, temperature)",
    "source": "Fofonoff and Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44, eq. 13, p. 17 (one atmosphere)",
    "note": "temperature on ITS-90; the package converts it first: t68 = 1.00024 t90",
    "values": [
        {
            "practical_salinity": s,
            "temperature": t,
            "temperature_ipts68": plain(1.00024 * t),
            "density": plain(seawater.dens0(s, t)),
        }
        for s in SALINITIES
        for t in TEMPERATURES
    ],
    "printed_call": "seawater.dens0(practical_salinity, seawater.library.T90conv(temperature_ipts68))",
    "printed": printed(UNESCO, "read") + printed(REMEMBERED, "memory"),
}

fresh = {
    "version": "Python standard library, fractions",
    "call": "999.974950*(1 - (t - 3.983035)^2*(t + 301.797)/(522528.9*(t + 69.34881))) in exact fractions",
    "source": "Tanaka et al. 2001, Metrologia 38:301; coefficients [memory]",
    "note": "temperature on ITS-90; ten_digits is rounded from the exact fraction",
    "values": [
        {"temperature": float(t), "density": plain(tanaka(t)), "ten_digits": ten_digits(tanaka(t))} for t in range(0, 45, 5)
    ],
}

write("water.json", {
    "units": {
        "density": "kg/m3",
        "temperature": "Cel, ITS-90",
        "temperature_ipts68": "Cel, IPTS-68",
        "absolute_salinity": "g/kg",
        "practical_salinity": "1",
    },
    "teos10": teos10,
    "eos80": eos80,
    "tanaka2001": fresh,
})

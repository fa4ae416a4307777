"""Weights, densities and areas as builders write them. Inside the program weights are kg and densities kg/m3."""

from __future__ import annotations

import re

from patterns.units.lengths import INCH

POUND = 0.45359237  # kg; international yard and pound agreement, 1959
FOOT = 12 * INCH / 1000  # m
FOOT2 = FOOT**2  # m2
GALLON = 231 * (INCH / 100) ** 3  # litres in a US gallon, by definition 231 cubic inches
OUNCE_A_YARD2 = 1000 * POUND / 16 / (9 * FOOT2)  # g/m2
METRIC = ("mm", "cm", "m")  # the shows of a builder who weighs in kg

A_WEIGHT = "a weight such as 175 lb or 80 kg"
A_DENSITY = "a density such as 34 lb/ft3 or 550 kg/m3"

_NUMBER = r"(?P<number>[0-9]{1,6}(?:\.[0-9]{1,6})?)"
_WEIGHT = re.compile(rf"{_NUMBER}\s*(?P<unit>lbs?\.?|pounds?|kg)")
_DENSITY = re.compile(rf"{_NUMBER}\s*(?P<unit>lbs?\.?|kg)\s*(?:/|per)\s*(?P<room>ft|m|cubic ft|cubic m)(?:\^?3|³)?")


def read_weight(text: str) -> float:
    """Kg of a weight with its unit.

    Raises
    ------
    ValueError
        Not a weight; the text says what was expected.

    >>> read_weight("175 lb"), read_weight("80 kg")
    (79.37866475, 80.0)
    """
    match = _WEIGHT.fullmatch(_plain(text))
    if match is None:
        raise ValueError(A_WEIGHT)
    return float(match["number"]) * (1.0 if match["unit"] == "kg" else POUND)


def read_density(text: str) -> float:
    """Kg/m3 of a density with its unit.

    Raises
    ------
    ValueError
        Not a density; the text says what was expected.

    >>> round(read_density("62.4 lb/ft3"), 2), read_density("550 kg/m3")
    (999.55, 550.0)
    """
    match = _DENSITY.fullmatch(_plain(text))
    if match is None or (match["unit"] == "kg") != match["room"].endswith("m"):
        raise ValueError(A_DENSITY)
    figure = float(match["number"])
    return figure if match["unit"] == "kg" else figure * POUND / FOOT**3


def write_weight(kg: float, show: str) -> str:
    """A weight in the builder's units: whole pounds or kg, under ten of them to a tenth.

    >>> write_weight(95.25, "ft-in-16ths"), write_weight(95.25, "mm"), write_weight(1.02, "in-16ths")
    ('210 lb', '95 kg', '2.2 lb')
    """
    figure, unit = (kg, "kg") if show in METRIC else (kg / POUND, "lb")
    digits = 0 if round(figure, 1) >= 10 else 1
    return f"{figure:.{digits}f} {unit}"


def write_density(kg_m3: float, show: str) -> str:
    """A density in the builder's units.

    >>> write_density(550.0, "mm"), write_density(999.55, "in")
    ('550 kg/m3', '62 lb/ft3')
    """
    return f"{kg_m3:.0f} kg/m3" if show in METRIC else f"{kg_m3 * FOOT**3 / POUND:.0f} lb/ft3"


def write_area(mm2: float, show: str) -> str:
    """An area in the builder's units.

    >>> write_area(4.025e6, "ft-in-16ths"), write_area(4.025e6, "mm")
    ('43.3 sq ft', '4.03 m2')
    """
    return f"{mm2 / 1e6:.2f} m2" if show in METRIC else f"{mm2 / 1e6 / FOOT**2:.1f} sq ft"


def _plain(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip().lower()

"""The builder's rules for fastenings and finish, with their defaults and where those come from."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from patterns.units.shared_data import shared_file

RULES = "fastening.csv"


@dataclass(frozen=True, slots=True)
class Rule:
    """A default, as a builder would write it, and where it comes from."""

    value: str
    means: str
    source: str


@dataclass(frozen=True, slots=True)
class FastenRules:
    """[fastenings], lengths in mm."""

    length_times: float  # of the thickness of the piece fastened
    short_of: float  # mm of wood beyond a point
    sheer_spacing: float  # mm
    spare: float  # percent
    shank: float | None  # mm, across; None where the program proposes one
    metric: bool  # whether screws are sold in millimetres
    on_patterns: bool  # whether panels carry their fastening lines


@dataclass(frozen=True, slots=True)
class FinishRules:
    """[finish]; covers are square feet a pound, or a US gallon of paint."""

    glue: tuple[float, float]  # least and most square feet of joint a pound of glue covers
    coats: float
    sealer: float
    paint_coats: float
    paint: float
    waste: tuple[float, float]  # percent
    epoxy_weight: float  # pounds a US gallon
    fillet: float | None  # mm, radius along chines without a log; None for none
    tape: float | None  # mm, width along the same chines; None for none
    cloth: float | None  # ounces a square yard over the outside; None for none


@cache
def rules() -> Mapping[str, Rule]:
    """Every default of shared/fastening.csv, by its table and key: ``finish.coats``."""
    lines = shared_file(RULES).read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return {row["key"]: Rule(row["value"], row["means"], row["source"]) for row in rows}

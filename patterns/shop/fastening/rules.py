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
    """[finish], in metric units whichever the builder writes in."""

    glue: tuple[float, float]  # least and most m2 of joint that a kg of glue covers
    coats: int
    sealer: float  # m2 a kg
    paint_coats: int
    paint: float  # m2 a litre
    waste: tuple[float, float]  # percent
    epoxy_weight: float  # kg a litre
    fillet: float | None  # mm, radius along chines without a log; None for none
    tape: float | None  # mm, width along the same chines; None for none
    cloth: float | None  # g/m2 over the outside; None for none


@cache
def rules(*, metric: bool = False) -> Mapping[str, Rule]:
    """Every default of shared/fastening.csv, by its table and key: ``finish.coats``.

    Parameters
    ----------
    metric : bool
        Whether as a boat in metric units has them.
    """
    lines = shared_file(RULES).read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    columns = ("value", "means", "source")
    return {
        row["key"]: Rule(*((row[f"metric_{column}"] if metric else "") or row[column] for column in columns))
        for row in rows
    }

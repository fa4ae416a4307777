"""The tables of boat.toml that long pieces are sawn by: the saw, and the boards."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated

import numpy as np
from pydantic import AfterValidator, BeforeValidator, model_validator

from patterns.reading.toml.bench_sizes import BladeDiameter, Deepest, Kerf, Pins, Plate, ShoeLength, TestCuts
from patterns.reading.toml.fields import (
    MOST_PLACES,
    Count,
    Degrees,
    Distance,
    NotNegative,
    Positive,
    Word,
    fault,
    one_of_enum,
    pair,
)
from patterns.reading.toml.toml_table import Table, taken
from patterns.shop.saw.saw_rules import Board, Leans, SawRules, Side, Sweep

BoardPoint = tuple[float, float]


def _rising(points: tuple[BoardPoint, ...]) -> tuple[BoardPoint, ...]:
    along = [point[0] for point in points]
    if not 2 <= len(points) <= MOST_PLACES or any(b <= a for a, b in pairwise(along)):
        raise fault("at least two points, each further along the board than the one before")
    return points


_Across = Annotated[tuple[Distance, Distance], BeforeValidator(pair("a distance along the board and one across it"))]
BoardEdge = Annotated[tuple[_Across, ...], AfterValidator(_rising)]
Strips = Annotated[
    tuple[NotNegative, NotNegative],
    BeforeValidator(pair("two widths to keep clear of, along the lower and upper edge")),
]


class SawTable(Table):
    kerf: Kerf
    plate: Plate  # after kerf, by which it is checked; so are the two below by the blade and the shoe
    blade_diameter: BladeDiameter
    shoe_length: ShoeLength
    guide: TestCuts | None = None
    leans: Annotated[Leans, one_of_enum(Leans)] = taken("under the guide side")
    tilts_to: Degrees = 45
    deepest: Deepest | None = None
    pins: Pins | None = None
    guide_edge: Annotated[Side, one_of_enum(Side)] | None = None

    @model_validator(mode="after")
    def _test_cuts_are_in_reach(self) -> SawTable:
        if self.guide and min(tilt for tilt, _ in self.guide) > self.tilts_to:
            raise fault(f"a test cut of the guide within the {self.tilts_to:g} degrees of tilts_to")
        return self


class SweepTable(Table):
    sag: NotNegative
    over: Positive


class BoardTable(Table):
    length: Positive
    width: Positive
    thickness: Positive
    count: Count | None = None
    material: Word | None = None
    sweep: SweepTable | None = None
    lower: BoardEdge | None = None
    upper: BoardEdge | None = None
    avoid: Strips | None = None

    @model_validator(mode="after")
    def _curved_one_way(self) -> BoardTable:
        if (self.lower is None) != (self.upper is None):
            raise fault("both edges of the board, lower and upper, or neither")
        if self.lower and self.sweep:
            raise fault("either sweep, or points along lower and upper")
        if self.sweep and self.sweep.sag > self.sweep.over / 4:
            raise fault("a sag of no more than a quarter of the chord it is measured over")
        return self


def saw_rules(table: SawTable) -> SawRules:
    guide = tuple(sorted((float(np.radians(tilt)), distance) for tilt, distance in table.guide or ()))
    return SawRules(
        kerf=table.kerf,
        plate=table.plate,
        blade_diameter=table.blade_diameter,
        shoe_length=table.shoe_length,
        guide=guide,
        leans=table.leans,
        tilts_to=float(np.radians(table.tilts_to)),
        deepest=table.deepest,
        pins=table.pins,
        guide_edge=table.guide_edge,
    )


def board(table: BoardTable) -> Board:
    return Board(
        length=table.length,
        width=table.width,
        thickness=table.thickness,
        count=int(table.count or 1),
        material=table.material or "",
        sweep=Sweep(table.sweep.sag, table.sweep.over) if table.sweep else None,
        lower=table.lower or (),
        upper=table.upper or (),
        avoid=table.avoid or (0.0, 0.0),
    )

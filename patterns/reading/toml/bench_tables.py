"""The tables of boat.toml that long pieces are sawn by: the saw, and the boards."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated

import numpy as np
from pydantic import AfterValidator, BeforeValidator, model_validator

from patterns.reading.toml.bench_sizes import (
    BladeDiameter,
    Deepest,
    Kerf,
    Pins,
    Plate,
    ShoeLength,
    TestCuts,
    TiltsTo,
    tilts_as_tested,
)
from patterns.reading.toml.fields import (
    MOST_PLACES,
    Count,
    Distance,
    NotNegative,
    Positive,
    Word,
    fault,
    one_of_enum,
    pair,
)
from patterns.reading.toml.toml_table import Table, needed, optional, table, taken
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
    kerf: Kerf = needed("width of the saw's cut", "1/16 in")
    # After kerf, by which it is checked; so are the two below by the blade and the shoe.
    plate: Plate = needed("thickness of the blade's body", "0.047 in")
    blade_diameter: BladeDiameter = needed("diameter of the blade", "7 1/4 in")
    shoe_length: ShoeLength = needed("length of the shoe", "11 in")
    guide: TestCuts | None = optional(
        "test cuts, each [tilt in degrees, distance from the shoe's edge to the near side of the cut]",
        [[0, "5 3/8 in"], [15, "5 3/16 in"]],
    )
    leans: Annotated[Leans, one_of_enum(Leans)] = taken(
        "under the guide side", "where the foot of the blade goes when it tilts"
    )
    tilts_to: TiltsTo = taken(45, "degrees that the saw tilts to")
    deepest: Deepest | None = optional("deepest cut below the shoe", "2 1/2 in")
    pins: Pins | None = optional("distance between two pins in the shoe's edge, along the guide batten", "10 in")
    guide_edge: Annotated[Side, one_of_enum(Side)] | None = optional(
        "which edge of the shoe runs along the guide batten, seen from behind the saw", "left"
    )

    @model_validator(mode="after")
    def _test_cuts_are_in_reach(self) -> SawTable:
        # A default is not looked at by its own key.
        tilts_as_tested(self.tilts_to, self.guide)
        return self


class SweepTable(Table):
    sag: NotNegative = needed("how far the hollow edge lies off a straight line", "1 in")
    over: Positive = needed("length of that straight line", "10 ft")


class BoardTable(Table):
    length: Positive = needed("its length", "16 ft")
    width: Positive = needed("its width", "7 1/4 in")
    thickness: Positive = needed("its thickness, as measured", "1 5/8 in")
    count: Count | None = optional("how many you have; 1 where it is left out", 2)
    material: Word | None = optional("its wood", "red oak")
    sweep: SweepTable | None = table("the curve of a board that is not straight")
    lower: BoardEdge | None = optional(
        "points along one edge, each [distance along the board, distance across it]",
        [["0 in", "1 in"], ["8 ft", "2 in"]],
    )
    upper: BoardEdge | None = optional("points along the other edge", [["0 in", "7 in"], ["8 ft", "8 in"]])
    avoid: Strips | None = optional("widths to keep clear of along the lower and the upper edge", ["1/2 in", "0 in"])

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

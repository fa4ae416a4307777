"""The tables of boat.toml that thwarts, risers, knees and the breasthook are made by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.parts.asked.fitting_rules import BreasthookRules, FittingsAsked, KneeRules, ThwartRules
from patterns.parts.asked.long_rules import RiserRules
from patterns.parts.materials import NOT_STATED, Plywood
from patterns.reading.toml.bench_sizes import Planing
from patterns.reading.toml.fields import Distance, NotNegative, Positive, Word
from patterns.reading.toml.toml_table import Table, needed, optional, taken

PAST_THWART = 150.0  # mm a riser runs past the thwarts it carries, where the builder does not say
ONE_HEIGHT = 0.5  # mm; thwarts nearer in height than this rest on one riser


class ThwartTable(Table):
    at: Distance = needed("its forward edge, a distance from FP", "5-3-0")
    width: Positive = needed("width fore and aft", "9 in")
    height: Distance = needed("height of its top above base", "1-0-6")
    thickness: Positive = needed("thickness, as measured", "3/4 in")
    material: Word = taken(NOT_STATED, "its wood", "white oak")


class RiserTable(Table):
    sided: Positive = needed("thickness square to the planking", "5/8 in")
    moulded: Positive = needed("width along the planking", "1 1/2 in")
    start: Distance | None = optional(
        "where it starts; a little ahead of the thwarts where it is left out",
        "4-0-0",
        alias="from",
        description="where it starts, a distance from FP",
    )
    end: Distance | None = optional(
        "where it ends; a little aft of the thwarts where it is left out",
        "10-6-0",
        alias="to",
        description="where it ends, a distance from FP",
    )
    material: Word = taken(NOT_STATED, "its wood", "white oak")
    planing: Planing = taken("1/16 in", "wood that the saw leaves for the plane on each sawn edge")


class ThwartKneeTable(Table):
    up: Positive = needed("length of the arm up the side, from the thwart", "8 in")
    along: Positive = needed("length of the arm on the thwart", "7 in")
    sided: Positive = needed("thickness", "3/4 in")
    hollow: NotNegative = taken("1/2 in", "hollow of the long edge, at its middle")
    material: Word = taken(NOT_STATED, "its wood", "white oak")


class QuarterKneeTable(Table):
    along_side: Positive = needed("length of the arm along the side", "10 in")
    along_transom: Positive = needed("length of the arm along the transom", "8 in")
    thickness: Positive = needed("thickness", "3/4 in")
    hollow: NotNegative = taken("1/2 in", "hollow of the long edge, at its middle")
    material: Word = taken(NOT_STATED, "its wood", "white oak")


class BreasthookTable(Table):
    length: Positive = needed("length on the center line of its top, from the stem's inner face", "7 in")
    thickness: Positive = needed("thickness", "1 in")
    hollow: NotNegative = taken("1 in", "hollow of the after edge, on the center line")
    crown: NotNegative = taken("0 in", "how far its top stands above the sheer, on the center line")
    material: Word = taken(NOT_STATED, "its wood", "white oak")


def thwart_rules(tables: Sequence[ThwartTable]) -> tuple[ThwartRules, ...]:
    """The thwarts, numbered in the order written."""
    return tuple(
        ThwartRules(f"thwart {number}", table.at, table.width, table.height, table.thickness, table.material)
        for number, table in enumerate(tables, start=1)
    )


def fittings_asked(
    thwarts: Sequence[ThwartTable],
    knee: ThwartKneeTable | None,
    breasthook: BreasthookTable | None,
    quarter: QuarterKneeTable | None,
    *,
    plywood: Plywood,
) -> FittingsAsked:
    """Every fitted piece the file asks for."""
    return FittingsAsked(
        thwarts=thwart_rules(thwarts),
        thwart_knee=KneeRules(
            knee.up, knee.along, knee.sided, knee.hollow, knee.material, plywood=knee.material in plywood
        )
        if knee
        else None,
        breasthook=BreasthookRules(
            breasthook.length,
            breasthook.thickness,
            breasthook.hollow,
            breasthook.crown,
            breasthook.material,
            plywood=breasthook.material in plywood,
        )
        if breasthook
        else None,
        quarter_knee=KneeRules(
            quarter.along_side,
            quarter.along_transom,
            quarter.thickness,
            quarter.hollow,
            quarter.material,
            plywood=quarter.material in plywood,
        )
        if quarter
        else None,
    )


def riser_rules(table: RiserTable | None, thwarts: Sequence[ThwartRules]) -> tuple[RiserRules, ...]:
    """One riser for each height of thwart, its upper edge under them."""
    if table is None:
        return ()
    heights: list[float] = []
    for thwart in thwarts:
        under = thwart.height - thwart.thickness
        if all(abs(under - height) > ONE_HEIGHT for height in heights):
            heights.append(under)
    return tuple(_risers(table, thwarts, heights))


def _risers(table: RiserTable, thwarts: Sequence[ThwartRules], heights: list[float]) -> Iterator[RiserRules]:
    for number, height in enumerate(heights, start=1):
        carried = [one for one in thwarts if abs(one.height - one.thickness - height) <= ONE_HEIGHT]
        first, last = min(one.at for one in carried), max(one.at + one.width for one in carried)
        yield RiserRules(
            "riser" if len(heights) == 1 else f"riser {number}",
            table.sided,
            table.moulded,
            table.material,
            table.planing,
            height=height,
            start=first - PAST_THWART if table.start is None else table.start,
            end=last + PAST_THWART if table.end is None else table.end,
        )

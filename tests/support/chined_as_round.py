"""A chined boat's own skin written down as a round hull's table: waterlines and buttocks through its sections.

Nothing here is imported by the program.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import station_plane
from patterns.hull.build import Skin
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.hull.planking.sections import cut_inside
from patterns.hull.planking.skin import Hull, plank
from patterns.parts.asked.rules import Boat
from patterns.parts.faired import fair_lines

PAPER = 0.01  # mm, planking so thin that its inside is the lines' own surface


def planked(boat: Boat, thickness: float) -> Hull:
    """The chined boat with all its planking so thick."""
    planking = tuple(replace(one, thickness=thickness) for one in boat.skin.planking)
    return plank(fair_lines(boat), skin=replace(boat.skin, planking=planking), fore=boat.fore, aft=boat.aft)


def half_section(hull: Hull, x: float) -> Floats:
    """(n, 2) mm, from the keel to the sheer."""
    cut = cut_inside(hull, station_plane(x, facing_aft=True))
    return np.concatenate([cut.floor[len(cut.floor) // 2 :], cut.side[1:]])[:, 1:]


def as_round(boat: Boat, *, waterlines: tuple[float, ...], buttocks: tuple[float, ...], step: float) -> Boat:
    """The same lines as a table of a round hull with its chine, of cuts rounded to a step."""
    table, hull = boat.offsets, planked(boat, PAPER)
    sections = {
        column: half_section(hull, float(x))
        for column, x in zip(table.columns, table.from_fp, strict=True)
        if np.isfinite(x)
    }
    faired = {line.name: line for line in hull.lines}

    def row(name: str, level: float, axis: int) -> OffsetRow:
        found = np.full(len(table.columns), np.nan)
        for place, column in enumerate(table.columns):
            if column not in sections:
                continue
            points = sections[column]
            out = points[:, axis] - level
            there = np.flatnonzero((out[:-1] < 0) & (out[1:] >= 0))
            if len(there):
                i = there[-1]
                share = -out[i] / (out[i + 1] - out[i])
                found[place] = points[i, 1 - axis] + share * (points[i + 1, 1 - axis] - points[i, 1 - axis])
        return OffsetRow(name, np.round(found / step) * step, level=level)

    def of_line(row: OffsetRow, *, height: bool) -> OffsetRow:
        line = faired[row.name]
        values = row.values.copy()
        view = line.height if height else line.half_breadth
        for column, value in zip(view.columns, view.faired, strict=True):
            values[table.columns.index(column)] = np.round(value / step) * step
        return replace(row, values=values)

    heights = (
        *(of_line(one, height=True) for one in table.heights if one.name in table.lines),
        *(row(f"buttock {at:g}", at, 0) for at in buttocks),
    )
    halves = (
        *(of_line(one, height=False) for one in table.half_breadths if one.name in table.lines),
        *(row(f"waterline {at:g}", at, 1) for at in waterlines),
    )
    side = boat.skin.planking[0]
    return replace(
        boat,
        offsets=Offsets(table.columns, table.from_fp, heights, halves, rounding=step),
        skin=Skin(boat.skin.lines_to, (side,), ()),
        fair_within=max(step, 0.5),
        fairing=(),
        knuckles=(),
    )

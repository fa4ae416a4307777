"""The figures of a round hull's table, each as a point of its station's plane and the way it is measured."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from patterns.hull.build import Diagonal, EndFace
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT, FairingRule, limits_of
from patterns.hull.offsets import OffsetRow, Offsets

NEAR_CENTRE = 0.03  # of the greatest half-breadth; a buttock nearer to the centre plane lies on the side of the keel
FEWEST_SECTIONED, FEWEST_CUTS = 3, 2  # stations with so many figures between sheer and keel
Place = tuple[str, str, str]  # line, view and column of the table


@dataclass(frozen=True, slots=True, eq=False)
class RoundLines:
    """All that a round hull is faired by."""

    offsets: Offsets
    fore: EndFace
    aft: EndFace
    within: float  # mm, how far the surface may leave a figure
    rules: tuple[FairingRule, ...] = ()
    diagonals: tuple[Diagonal, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Figure:
    """One figure."""

    line: str
    view: str
    column: str
    place: int  # of the column
    end: int  # 0 at a station, 1 at the fore end, 2 at the after end
    given: float  # mm
    point: tuple[float, float]  # mm: y and z of what it says
    way: tuple[float, float]  # unit, in which it is measured
    limit: float  # mm; NaN where it is left out
    edge: bool = False  # whether it is of the sheer, the rabbet or a chine, which lie at one v

    @property
    def where(self) -> Place:
        return self.line, self.view, self.column


def is_round(offsets: Offsets) -> bool:
    """Whether a table is of a round hull: it has cuts of the hull, a sheer, and a rabbet or keel they reach down to.

    Where few stations have cuts enough to show a shape, each line is faired by itself, as of any other table.
    """
    cuts = [row.values[1:-1] for row in (*offsets.heights, *offsets.half_breadths) if row.name not in offsets.lines]
    sectioned = int((np.isfinite(cuts).sum(axis=0) >= FEWEST_CUTS).sum()) if cuts else 0
    return sectioned >= FEWEST_SECTIONED and "sheer" in offsets.lines and rabbet_row(offsets) is not None


def rabbet_row(offsets: Offsets) -> OffsetRow | None:
    """The heights of the lower edge of the skin: the keel's, or those of a buttock on the side of the keel."""
    if "keel" in offsets.lines:
        return offsets.height("keel")
    widest = max((float(np.nanmax(row.values, initial=0.0)) for row in offsets.half_breadths), default=0.0)
    near = [row for row in offsets.heights if row.name.startswith("buttock") and row.level <= NEAR_CENTRE * widest]
    return min(near, key=lambda row: row.level, default=None)


def keel_half(offsets: Offsets) -> float:
    """mm, half the siding of the keel at the rabbet: what most of the keel's half-breadths say."""
    rabbet = rabbet_row(offsets)
    if rabbet is not None and rabbet.name != "keel":
        return float(rabbet.level)
    row = offsets.half_breadth("keel")
    return 0.0 if row is None or not np.isfinite(row.values).any() else float(np.nanmedian(row.values))


def figures(asked: RoundLines) -> tuple[Figure, ...]:
    """Every figure of the table, block by block as it is read; of the sheer, keel and chines both views."""
    offsets = asked.offsets
    rabbet = rabbet_row(offsets)
    found: list[Figure] = []
    for row in offsets.heights:
        if row.name in offsets.lines or row is rabbet:
            found += _of_line(row, offsets.half_breadth(row.name), asked, keel_half(offsets))
        else:
            found += _of_cut(row, HEIGHT, asked)
    for row in offsets.half_breadths:
        if row.name not in offsets.lines:
            found += _of_cut(row, HALF_BREADTH, asked)
    return tuple(found)


def _of_line(row: OffsetRow, breadths: OffsetRow | None, asked: RoundLines, keel: float) -> Iterator[Figure]:
    """Both figures of a line at a column; of a rabbet without half-breadths there, the keel's half siding stands."""
    columns = asked.offsets.columns
    on_keel = breadths is None or row.name == "keel"
    y = np.full(len(columns), np.nan) if breadths is None else breadths.values
    for view, values in ((HEIGHT, row.values), (HALF_BREADTH, y)):
        limits = limits_of(asked.rules, asked.within, row.name, view, columns)
        for place in np.flatnonzero(np.isfinite(values)).tolist():
            # What is not given beside a figure says nothing: it lies square to the way the figure is measured.
            across = float(y[place]) if np.isfinite(y[place]) else keel if on_keel else 0.0
            up = float(np.nan_to_num(row.values[place]))
            way = (0.0, 1.0) if view == HEIGHT else (1.0, 0.0)
            given = float(values[place])
            end = 1 if place == 0 else 2 if place == len(columns) - 1 else 0
            yield Figure(
                row.name, view, columns[place], place, end, given, (across, up), way, float(limits[place]), edge=True
            )


def _of_cut(row: OffsetRow, view: str, asked: RoundLines) -> Iterator[Figure]:
    columns = asked.offsets.columns
    limits = limits_of(asked.rules, asked.within, row.name, view, columns)
    diagonal = next((one for one in asked.diagonals if one.name == row.name), None)
    if row.name.startswith("diagonal") and diagonal is None:
        return  # nobody knows where it lies
    for place in np.flatnonzero(np.isfinite(row.values)).tolist():
        given = float(row.values[place])
        if diagonal is not None:
            way = (float(np.cos(diagonal.angle)), -float(np.sin(diagonal.angle)))
            point = (given * way[0], diagonal.apex + given * way[1])
        elif view == HEIGHT:
            way, point = (0.0, 1.0), (row.level, given)
        else:
            way, point = (1.0, 0.0), (given, row.level)
        end = 1 if place == 0 else 2 if place == len(columns) - 1 else 0
        yield Figure(row.name, view, columns[place], place, end, given, point, way, float(limits[place]))

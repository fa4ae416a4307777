"""A flat bottom laid of boards that run athwart: how many, how long each, and where their seams lie."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import chain, repeat

import numpy as np
import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.parts.part import Mark, Part, joined
from patterns.units.lengths import write_length

LEAST_BOARD = 12.0  # mm; a last board narrower than this is not worth its fastenings: the one before takes its place
MOST_BOARDS = 400
PAST = 1e4  # mm, past any bottom


@dataclass(frozen=True, slots=True)
class BottomBoard:
    """One board of a bottom laid athwart."""

    number: int  # from the after end forward
    aft: float  # mm along the centre line from the after end of the bottom, to its after edge
    fore: float  # mm, and to its fore edge
    length: float  # mm, of the longest line along it, both faces
    port: float  # rad off square, standing +, of its port end: how the chine is bevelled there
    starboard: float  # rad

    @property
    def width(self) -> float:
        return self.fore - self.aft


def bottom_boards(panel: Part, widths: Sequence[float]) -> tuple[BottomBoard, ...]:
    """The boards that cover a bottom panel, from its after end forward.

    Parameters
    ----------
    panel : Part
        The whole bottom, bow to the left, centre line at y = 0.
    widths : sequence of float
        mm; of the boards in turn, the last of them again and again.

    Raises
    ------
    ShapeError
        Boards so narrow that nobody would lay so many.
    """
    outline = _outline(panel)
    first, _, last, _ = outline.bounds
    boards: list[BottomBoard] = []
    aft = 0.0
    for width in chain(widths, repeat(widths[-1])):
        fore = min(aft + width, last - first)
        if last - first - fore < LEAST_BOARD:
            fore = last - first
        strip = outline.intersection(box(last - fore, -PAST, last - aft, PAST))
        _, low, _, high = strip.bounds
        bevels = (_bevel(panel, hand, last - (aft + fore) / 2) for hand in ("port", "starboard"))
        boards.append(BottomBoard(len(boards) + 1, aft, fore, float(high - low), *bevels))
        aft = fore
        if aft >= last - first:
            return tuple(boards)
        if len(boards) > MOST_BOARDS:
            raise ShapeError("found more than 400 boards {} wide; expected wider boards", widths[-1])
    raise AssertionError("widths never end")


def _outline(panel: Part) -> BaseGeometry:
    """What either face takes up."""
    faces = ([edge.points for edge in panel.edges], [edge.far for edge in panel.edges])
    return shapely.union_all([Polygon(joined(face)).buffer(0) for face in faces])


def _bevel(panel: Part, hand: str, x: float) -> float:
    """rad, how an edge along a chine is bevelled at a place along the panel."""
    edge = next(edge for edge in panel.edges if edge.hand == hand)
    line = shapely.LineString(edge.points)
    at = line.project(line.intersection(shapely.LineString([(x, -PAST), (x, PAST)])).representative_point())
    return float(np.interp(at, [bevel.along for bevel in edge.bevels], [bevel.angle for bevel in edge.bevels]))


def planked_athwart(panel: Part, widths: Sequence[float], *, show: str) -> Part:
    """The bottom panel with the seams of its boards, and what is to be got out for it."""
    boards = bottom_boards(panel, widths)
    last = _outline(panel).bounds[2]
    marks = tuple(Mark(f"board {one.number}", _across(panel, last - one.fore)) for one in boards[:-1])
    longest, shortest = (pick(boards, key=lambda one: one.length) for pick in (max, min))

    def write(length: float) -> str:
        return write_length(length, show)

    total = math.fsum(one.length for one in boards)
    remark = (
        f"Laid of {len(boards)} boards that run athwart, from the after end forward; the line 'board 1' is the fore "
        f"edge of the first. The longest, board {longest.number}, needs {write(longest.length)}, the shortest, board "
        f"{shortest.number}, {write(shortest.length)}, {write(total)} in all: leave each some 25 mm (1 in) longer and "
        "trim them by the outline when they are fastened. Each is figured in tables/bottom-boards.csv."
    )
    return replace(
        panel,
        marks=(*panel.marks, *marks),
        remarks=(*panel.remarks, remark),
        of_boards=True,
        grain="athwart, along each board",
        grain_angle=float(np.pi / 2),
    )


def _across(panel: Part, x: float) -> Floats:
    """(2, 2) mm, from edge to edge of the marked face."""
    wood = Polygon(joined([edge.points for edge in panel.edges]))
    return np.asarray(wood.intersection(shapely.LineString([(x, -PAST), (x, PAST)])).coords)

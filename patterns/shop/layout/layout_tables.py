"""Layout tables: a part drawn straight onto wood with tape, square and batten, from one struck line and one zero."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.pins import pins_for, smooth_runs
from patterns.geometry.short_repr import brief
from patterns.parts.edges import as_laid
from patterns.parts.part import OTHER_HAND, Edge, Hand, Mark, Part
from patterns.parts.role import TIMBERS, MarkKind, Role
from patterns.parts.shaping import closed
from patterns.shop.nest.sheet_stock import SheetRoom
from patterns.units.lengths import INCH
from patterns.units.tape import tape_length

BATTEN_WITHIN = 0.4  # mm a batten through the unrounded points may leave the pattern; 0.5 is what is promised
INCH_STEPS = tuple(INCH * step for step in (12.0, 6.0, 3.0, 1.0, 0.5, 0.25, 0.125, 0.0625))
MM_STEPS = (300.0, 150.0, 100.0, 50.0, 25.0, 10.0, 5.0, 1.0)
SAME = 1e-6  # mm; nearer, two places are one point
ON_LINE = 0.01  # mm; a mark this near the struck line is that line
ON_EDGE = 0.5  # mm; an end of a mark this near an edge lies on it
LEAST_LENGTH = 300.0  # mm; a smaller part is pricked through from its one sheet of paper
TICK = 45.0  # mm; shorter marks are ticks that stand at a corner, which has its own point
ROUND_STEP = 5  # of the tape's round lengths, the one a line's place on its sheet is rounded to: 1/4 in, 10 mm
RAKED = (Role.TRANSOM, Role.FRAMING)  # seen in the rake of a transom
LEAST_MARGIN = 10.0  # mm every point keeps from a sheet's edge: factory edges are neither straight nor square


@dataclass(frozen=True, slots=True)
class Point:
    """One place to mark: so far along the struck line from the zero, then square off."""

    number: int
    along: float  # mm
    off: float  # mm, positive to the first side the table names


@dataclass(frozen=True, slots=True)
class Traced:
    """One line to draw through points: an edge, or a mark of the boat."""

    name: str  # "sheer", "frame 3"
    edge: bool  # an edge of the part, not a mark on it
    numbers: tuple[int, ...]  # from the zero on
    ends: tuple[str, str]  # what it meets at its first and last point, or ""
    corners: tuple[int, ...]  # points between at which it turns sharply: a batten ends there and another begins

    @property
    def meets(self) -> dict[int, str]:
        """By a point's number, what the line meets there, or that it turns a corner no batten goes round."""
        ends = {self.numbers[0]: self.ends[0], self.numbers[-1]: self.ends[1]}
        return {**dict.fromkeys(self.corners, "corner"), **ends}


@dataclass(frozen=True, slots=True)
class Diagonal:
    """From one point to another, to check the whole by."""

    first: int
    second: int
    length: float  # mm


@dataclass(frozen=True, slots=True)
class OnSheet:
    """Where the struck line lies on a sheet, so that every point keeps off its edges."""

    length: float  # mm, of the sheet, or of sheets joined end to end
    width: float  # mm
    lengthwise: bool  # whether the struck line runs along the sheet's length
    line_in: float  # mm from the sheet's edge to the struck line
    zero_in: float  # mm along the line from the sheet's other edge to the zero
    joined: bool  # whether one sheet is too short


@dataclass(frozen=True, slots=True, eq=False)
class LayoutTable:
    """All figures for one part."""

    part: Part
    show: str
    struck: str  # which line is struck, in words
    line: str  # the same in short, whichever hand: "a straight line touching the chine edge"
    zero: str  # where its zero lies, in words
    sides: tuple[str, str]  # what a positive and a negative offset are called
    axis: int  # of the pattern, along which the struck line runs: 0 or 1
    sense: float  # +1 where a positive offset is toward the pattern's positive axis
    origin: tuple[float, float]  # mm, the zero in the pattern's axes
    points: tuple[Point, ...]
    lines: tuple[Traced, ...]
    diagonals: tuple[Diagonal, ...]
    on_sheet: OnSheet | None  # None where the part is not cut from a sheet the builder names, or fits none

    __repr__ = brief

    @property
    def title(self) -> str:
        return self.part.title

    def tape(self, mm: float) -> str:
        return tape_length(mm, self.show)

    def side(self, off: float) -> str:
        """Which side of the line an offset is set off to; nothing where it rounds to none."""
        return "on the line" if self.tape(off) == self.tape(0.0) else self.sides[0 if off > 0 else 1]

    def plotted(self, figures: Floats) -> Floats:
        """(n, 2) mm in the pattern's axes of figures (n, 2): along, off."""
        along = self.origin[self.axis] + figures[:, 0]
        off = self.origin[1 - self.axis] + self.sense * figures[:, 1]
        return np.stack([along, off] if self.axis == 0 else [off, along], axis=1)

    def figures(self, places: Floats) -> Floats:
        """(n, 2) mm along and off of places (n, 2) in the pattern's axes."""
        return _figures(places, self.axis, self.sense, self.origin)

    def place(self, number: int) -> Floats:
        """(2,) mm in the pattern's axes of a point."""
        point = self.points[number - 1]
        return np.asarray(self.plotted(np.array([[point.along, point.off]]))[0])


def layout_table(part: Part, *, room: SheetRoom | None, show: str) -> LayoutTable:
    """The table of one part.

    Parameters
    ----------
    room : SheetRoom, optional
        The builder's sheets, on one of which a plywood part's line is placed.
    show : str
        How lengths are printed; the tape is in inches or in mm by it.
    """
    line = _struck(part, show)
    points = _Points(line, MM_STEPS if show in ("mm", "cm", "m") else INCH_STEPS)
    edges = [points.traced(edge.name, edge.points, ends, edge=True) for edge, ends in _edges_and_ends(part, line)]
    holes = [points.traced(f"hole {n + 1}", closed(hole), ("", ""), edge=True) for n, hole in enumerate(part.holes)]
    marks = [
        points.traced(mark.name, mark.points, _meets(part, mark.points[[0, -1]]), edge=False)
        for mark in part.marks
        if _worth_marking(mark, line) and not _is_an_edge(mark, part)
    ]
    corners = sorted({number for edge in edges for number in (edge.numbers[0], edge.numbers[-1])})
    return LayoutTable(
        part=part,
        show=show,
        struck=line.struck,
        line=line.short,
        zero=line.zero,
        sides=line.sides,
        axis=line.axis,
        sense=line.sense,
        origin=line.origin,
        points=tuple(points.made),
        lines=(*edges, *holes, *marks),
        diagonals=_diagonals([points.made[number - 1] for number in corners]),
        on_sheet=None if room is None else _on_sheet(part, points.made, room, points.steps),
    )


def worth_a_table(part: Part) -> bool:
    """Whether a part is laid out on wood by itself: not a timber or plate of a frame, nor a small fitting."""
    return part.role not in (*TIMBERS, Role.GUSSET) and float(np.ptp(part.outline, axis=0).max()) > LEAST_LENGTH


@dataclass(frozen=True, slots=True)
class _Line:
    """The line struck for a part, in its pattern's axes."""

    struck: str
    zero: str
    sides: tuple[str, str]
    axis: int
    sense: float
    origin: tuple[float, float]
    touches: str = ""  # the edge that a line beside the part touches

    @property
    def short(self) -> str:
        """The line without how the part lies."""
        return f"a straight line touching the {self.touches} edge" if self.touches else self.struck

    def figures(self, places: Floats) -> Floats:
        """(n, 2) mm along and off of places (n, 2)."""
        return _figures(places, self.axis, self.sense, self.origin)


def _figures(places: Floats, axis: int, sense: float, origin: tuple[float, float]) -> Floats:
    """(n, 2) mm along a struck line from its zero, and off it, of places (n, 2) in the pattern's axes."""
    along = places[:, axis] - origin[axis]
    return np.stack([along, sense * (places[:, 1 - axis] - origin[1 - axis])], axis=1)


def _struck(part: Part, show: str) -> _Line:
    """Which line serves a part: its centre line, or one along its lower edge with the whole part on one side of it."""
    low, high = part.outline.min(axis=0), part.outline.max(axis=0)
    centre = next((mark for mark in part.marks if mark.name == "center line"), None)
    if centre is not None and low[0] < 0 < high[0] and np.ptp(centre.points[:, 0]) < ON_LINE:
        heights = "heights run along the rake from base" if part.role in RAKED else "heights run from base"
        right = _hand_on_right(part)
        sides = (f"to {right}", f"to {OTHER_HAND[right]}")
        return _Line("the center line", f"base; {heights}", sides, 1, 1.0, (0.0, 0.0))
    first = float(low[0])
    zero = (
        f"the fore end, {tape_length(first, show)} from the whole panel's"
        if part.role is Role.PANEL_PIECE
        else "the fore end"
    )
    if centre is not None and low[1] < 0 < high[1]:
        return _Line("the center line", zero, ("to starboard", "to port"), 0, 1.0, (first, 0.0))
    if high[1] - low[1] > high[0] - low[0]:
        words = "a straight line up the left side, the part all on its right"
        return _Line(
            words, "the lower end", ("right of the line", "left of the line"), 1, 1.0, (float(low[0]), float(low[1]))
        )
    turned = part.upside_down
    # A turned-over twin is measured the other way from its own line, so that both hands have the same figures. As it is
    # laid, with its upper edge up, its line lies lowest too.
    edge = float(high[1]) if turned else float(low[1])
    near = min(part.edges, key=lambda one: _off(one, edge)).name.removesuffix(" edge")
    sides = ("above the line", "below the line")
    words = (
        f"a straight line touching the {near} edge, which with the bow to the {as_laid(part).bow} lies lowest here, "
        "the part all above the line"
    )
    return _Line(words, zero, sides, 0, -1.0 if turned else 1.0, (first, edge), near)


def _off(edge: Edge, y: float) -> tuple[float, float]:
    """How near an edge comes to a line fore and aft, and then the longer before the shorter."""
    return round(float(np.abs(edge.points[:, 1] - y).min()), 3), -float(np.ptp(edge.points[:, 0]))


def _hand_on_right(part: Part) -> Hand:
    """Which hand lies on the right of a pattern seen from an end."""
    for edge in part.edges:
        if edge.hand != "none":
            return edge.hand if edge.points[:, 0].mean() > 0 else OTHER_HAND[edge.hand]
    raise ValueError(f"{part.title}: no edge says which hand it is on")


def _worth_marking(mark: Mark, line: _Line) -> bool:
    """Whether a mark is traced: neither the struck line nor its base again, nor a tick at a place that has a point."""
    on_line = np.abs(line.figures(mark.points)[:, 1]).max() < ON_LINE
    wanted = mark.kind not in (MarkKind.BASE, MarkKind.FASTENINGS)
    return bool(not on_line and wanted and float(run_along(mark.points)[-1]) > TICK)


def _is_an_edge(mark: Mark, part: Part) -> bool:
    """Whether a mark lies in an edge all along: the inside of the sides is the edge of a bottom let in between them."""
    points = shapely.points(mark.points)
    return any(bool((shapely.distance(shapely.LineString(edge.points), points) < ON_LINE).all()) for edge in part.edges)


def _edges_and_ends(part: Part, line: _Line) -> Iterator[tuple[Edge, tuple[str, str]]]:
    """Each edge with the names of those it meets at its two ends.

    A turned-over twin's edges run the other way round: told backward, and either from the edge beside the struck line
    on, both hands have the same points by the same numbers.
    """
    around = zip((part.edges[-1], *part.edges), part.edges, (*part.edges[1:], part.edges[0]))  # noqa: B905
    found = [(edge, (before.name, behind.name)) for before, edge, behind in around]
    found = found[::-1] if part.upside_down else found
    if part.hand != "none":
        first = int(np.argmin([np.abs(line.figures(edge.points)[:, 1]).mean() for edge, _ in found]))
        found = found[first:] + found[:first]
    yield from found


def _meets(part: Part, ends: Floats) -> tuple[str, str]:
    """The edges that the two ends (2, 2) of a mark lie on."""
    lines = [shapely.LineString(edge.points) for edge in part.edges]
    away = [shapely.distance(lines, shapely.Point(end)) for end in ends]
    first, last = (part.edges[int(one.argmin())].name if one.min() < ON_EDGE else "" for one in away)
    return first, last


class _Points:
    """Points numbered as they are first met."""

    def __init__(self, line: _Line, steps: Sequence[float]) -> None:
        self.line, self.steps = line, steps
        self.made: list[Point] = []
        self._numbers: dict[tuple[int, int], int] = {}

    def traced(self, name: str, run: Floats, ends: tuple[str, str], *, edge: bool) -> Traced:
        """A line with its points, from the zero on."""
        figures = self.line.figures(run)
        rise = figures[-1] - figures[0]
        if rise[0] < -SAME or (abs(rise[0]) <= SAME and rise[1] < 0.0):  # a line square to the struck one: from it
            figures, ends = figures[::-1], (ends[1], ends[0])
        pins = [pins_for(smooth, within=BATTEN_WITHIN, steps=self.steps) for smooth in smooth_runs(figures)]
        places = np.concatenate([pins[0], *(more[1:] for more in pins[1:])])
        numbers = tuple(self._number(along, off) for along, off in places.tolist())
        corners = np.cumsum([len(run) - 1 for run in pins[:-1]])
        return Traced(name, edge, numbers, ends, tuple(numbers[n] for n in corners))

    def _number(self, along: float, off: float) -> int:
        key = round(along / SAME), round(off / SAME)
        if key not in self._numbers:
            self._numbers[key] = len(self.made) + 1
            self.made.append(Point(len(self.made) + 1, along, off))
        return self._numbers[key]


def _diagonals(corners: Sequence[Point]) -> tuple[Diagonal, ...]:
    """From the first lower corner to the last upper one, and across that."""
    places = np.array([[point.along, point.off] for point in corners])
    shares = (places - places.min(axis=0)) / np.maximum(np.ptp(places, axis=0), SAME)
    found = []
    for way in (np.array([1.0, 1.0]), np.array([1.0, -1.0])):
        first, second = corners[int((shares @ way).argmin())], corners[int((shares @ way).argmax())]
        length = float(np.hypot(second.along - first.along, second.off - first.off))
        found.append(Diagonal(first.number, second.number, length))
    return tuple(found)


def _on_sheet(part: Part, points: Sequence[Point], room: SheetRoom, steps: Sequence[float]) -> OnSheet | None:
    """The line on the least of the builder's sheets that takes the part; on sheets joined where none is long enough."""
    sheets = sorted(room.sheets_for(part.material, part.thickness), key=lambda sheet: sheet.length * sheet.width)
    margin = max(room.clearances.margin, LEAST_MARGIN)
    figures = np.array([[0.0, 0.0], *([point.along, point.off] for point in points)])
    size = np.ptp(figures, axis=0) + 2 * margin
    for sheet in sheets:
        for lengthwise, (along, across) in ((True, (sheet.length, sheet.width)), (False, (sheet.width, sheet.length))):
            if size[0] <= along and size[1] <= across:
                line_in, zero_in = _set_in(figures, np.array([along, across]), margin, steps)
                return OnSheet(sheet.length, sheet.width, lengthwise, line_in, zero_in, joined=False)
    for sheet in sheets:
        if size[1] <= sheet.width:
            length = float(sheet.length * np.ceil(size[0] / sheet.length))
            line_in, zero_in = _set_in(figures, np.array([length, sheet.width]), margin, steps)
            return OnSheet(length, sheet.width, True, line_in, zero_in, joined=True)
    return None


def _set_in(figures: Floats, ground: Floats, margin: float, steps: Sequence[float]) -> tuple[float, float]:
    """mm from a sheet's edge to the line and from its end to the line's zero.

    Parameters
    ----------
    ground : (2,) mm
        The sheet's size along the line and across it.
    """
    round_to = steps[ROUND_STEP]
    zero_in, line_in = np.ceil((margin - figures.min(axis=0)) / round_to - 1e-9) * round_to
    # Rounded up, the line may press the far side into its margin.
    room = ground - margin - figures.max(axis=0)
    zero_in, line_in = np.minimum([zero_in, line_in], room)
    return float(line_in), float(zero_in)

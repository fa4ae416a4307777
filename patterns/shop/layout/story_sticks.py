"""Story sticks: narrow strips as long as a part, with every place to mark along it and what to set off there.

One stick serves a long piece or a stem, one each long edge of a panel, and one rod the setting up of the frames.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.parts.part import Edge, Part
from patterns.parts.role import MarkKind, Role
from patterns.shop.layout.bevel_boards import BevelBoard, BoardEdge, crossings
from patterns.shop.layout.layout_tables import LayoutTable
from patterns.shop.layout.screw_rows import NO_SCREWS, Fastened, ScrewRow, screw_words
from patterns.shop.layout.setting_up import SettingUp

LONG = frozenset(
    {
        Role.LOG, Role.INWALE, Role.OUTWALE, Role.RUB_RAIL, Role.STRINGER, Role.RISER, Role.KEEL_BATTEN, Role.KEELSON,
        Role.SKEG, Role.STEM, Role.FALSE_STEM,
    }
)  # fmt: skip
"""Parts with one stick for all their long edges. A panel has one for each."""
LEAST_EDGE = 300.0  # mm along the struck line; a shorter edge is laid out from its two corners
ONE_TICK = 0.5  # mm; nearer, two places are one pencil mark
CROSSED = frozenset({MarkKind.FRAME, MarkKind.LANDING})
"""Marks whose ends on an edge get a tick."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One place to mark, and what is said of it."""

    along: float  # mm from the stick's zero
    words: str  # "frame 3: 9 3/8\\", bevel 7"


@dataclass(frozen=True, slots=True)
class Stick:
    """One strip of paper, its lower edge the one that measures."""

    title: str  # "side panel, port and starboard alike: sheer"
    use: tuple[str, ...]  # how it is laid, a sentence each
    ticks: tuple[Tick, ...]  # along the lower edge, from the zero on
    upper: tuple[Tick, ...] = ()  # along the upper edge, of the rod
    screws: tuple[ScrewRow, ...] = ()  # short ticks along the lower edge

    __repr__ = brief

    @property
    def length(self) -> float:
        """mm, from the zero to the last tick."""
        return max(tick.along for tick in (*self.ticks, *self.upper))


def story_sticks(
    tables: Sequence[LayoutTable], boards: Sequence[BevelBoard], plan: SettingUp, fastened: Fastened = NO_SCREWS
) -> tuple[Stick, ...]:
    """The rod of the frames, then a stick for each long piece and stem, and for each long edge of a panel."""
    board_of = {board.name: board for board in boards}
    port = {table.part.name: table for table in tables if table.part.hand == "port"}
    sticks = [*_rod(plan)]
    for table in tables:
        part = table.part
        # Both of a pair have the same figures.
        if part.hand != "port" and (part.role in LONG or part.role is Role.PANEL):
            title = f"{part.name}, port and starboard alike" if part.name in port else part.title
            sticks += _sticks(title, table, port.get(part.name), board_of.get(part.name), fastened)
    return tuple(sticks)


def _rod(plan: SettingUp) -> Iterator[Stick]:
    """Heights of every frame's corners along one edge, their half-breadths along the other."""
    if not plan.frames:
        return
    heights, halves = (
        [
            Tick(getattr(corner, axis), f"{frame.name} {corner.line}: {plan.tape(getattr(corner, axis))}")
            for frame in plan.frames
            for corner in frame.corners
        ]
        for axis in ("height", "half")
    )
    use = (
        f"Lower edge: heights. Stand its zero on {plan.datum_name}.",
        "Upper edge: half-breadths. Hold its zero on the center line.",
        "Figures are to the inside of the planking, on the named face of each frame.",
    )
    off_center = [tick for tick in halves if tick.along > ONE_TICK]
    yield Stick("rod for setting up the frames", use, _in_order(heights), _in_order(off_center))


def _sticks(
    title: str, table: LayoutTable, twin: LayoutTable | None, board: BevelBoard | None, fastened: Fastened
) -> Iterator[Stick]:
    """Those of one part."""
    edges = list(_long_edges(table))
    one = table.part.role in LONG
    for group in [edges] if one and edges else [[edge] for edge in edges]:
        of = [(edge, _board_edge(board, edge)) for edge in group]
        told = [place for edge, bevels in of for place in _told(table, edge, bevels, named=one)]
        use = [f"Strike {table.line}. Lay the lower edge along it, the zero at {table.zero}."]
        use += ["At each tick set off the figure square to the line."]
        use += [f"{edge.either_hand}: bevel {own.lines[0].number} all along." for edge, own in of if own and own.alone]
        screws = fastened.rows(table, twin, None if one else group[0].either_hand)
        use += [screw_words(row) for row in screws]
        name = title if one else f"{title}: {_called(group[0])}"
        yield Stick(name, tuple(use), tuple(_together(told)), screws=screws)


def _called(edge: Edge) -> str:
    return edge.name if edge.hand == "none" else f"{edge.either_hand}, port and starboard alike"


def _long_edges(table: LayoutTable) -> Iterator[Edge]:
    """Each long edge once; where port and starboard are alike, the one to starboard."""
    seen: set[str] = set()
    for edge in table.part.edges:
        if edge.name in seen or edge.hand == "port":
            continue
        seen.add(edge.name)
        if np.ptp(_line_of(table.part, edge)[:, table.axis]) > LEAST_EDGE:
            yield edge


def _line_of(part: Part, edge: Edge) -> Floats:
    """(n, 2) mm, an edge from end to end, straight over the notches that cut it in several."""
    return np.concatenate([one.points for one in part.edges_of(edge.name)])


def _board_edge(board: BevelBoard | None, edge: Edge) -> BoardEdge | None:
    edges = board.edges if board is not None else ()
    return next((one for one in edges if one.of == edge.either_hand), None)


@dataclass(frozen=True, slots=True)
class _Told:
    """What one edge has at one place."""

    along: float  # mm
    places: tuple[str, ...]  # what the boat has there: "frame 3"
    words: str  # what to set off, and the bevel


def _told(table: LayoutTable, edge: Edge, bevels: BoardEdge | None, *, named: bool) -> Iterator[_Told]:
    """One edge's places: frames and landings, bevels, and those that a batten is sprung through."""
    found: list[tuple[Floats, str, str]] = [
        (spot, mark.name, "") for mark, spot in crossings(table.part, _line_of(table.part, edge), CROSSED)
    ]
    lines = [line for line in table.lines if line.edge and line.name == edge.name]
    found += [(table.place(number), "", "") for line in lines for number in line.numbers]
    if bevels is not None and not bevels.alone:
        found += [(np.array(one.spot), "", f"bevel {one.number}") for one in bevels.lines if one.spot is not None]
    figures = table.figures(np.stack([spot for spot, _, _ in found]))
    order = figures[:, 0].argsort(kind="stable").tolist()
    while order:
        along, off = figures[order[0]].tolist()
        near = [n for n in order if figures[n, 0] - along < ONE_TICK]
        order = order[len(near) :]
        places = tuple(dict.fromkeys(found[n][1] for n in near if found[n][1]))
        numbers = dict.fromkeys(found[n][2] for n in near if found[n][2])
        name = f"{edge.either_hand} " if named else ""
        yield _Told(along, places, ", ".join([f"{name}{_off(table, off, edge)}", *numbers]))


def _off(table: LayoutTable, off: float, edge: Edge) -> str:
    """``9 3/8``; with its side where the part lies on both sides of the line, unless the edge has a twin."""
    size = table.tape(abs(off))
    if edge.hand != "none" or table.figures(table.part.outline)[:, 1].min() > -ONE_TICK:
        return size
    return f"{size} {table.side(off)}"


def _in_order(ticks: Iterable[Tick]) -> tuple[Tick, ...]:
    return tuple(sorted(ticks, key=lambda tick: tick.along))


def _together(told: Iterable[_Told]) -> Iterator[Tick]:
    """Ticks in order, those at one place of several edges as one."""
    row = sorted(told, key=lambda one: one.along)
    while row:
        near = [one for one in row if one.along - row[0].along < ONE_TICK]
        places = ", ".join(dict.fromkeys(place for one in near for place in one.places))
        words = "; ".join(one.words for one in near)
        yield Tick(row[0].along, f"{places}: {words}" if places else words)
        row = row[len(near) :]

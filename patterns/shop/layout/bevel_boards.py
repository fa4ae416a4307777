"""Bevel boards: for each part with bevels, the angles a gauge is set to, mark by mark."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np
import shapely

from patterns.geometry.arrays import Floats, interpolated, run_along
from patterns.geometry.short_repr import brief
from patterns.parts.part import Edge, Landing, Mark, Part
from patterns.parts.role import TIMBERS, EdgeKind, MarkKind
from patterns.units.tape import tape_length

SQUARE_WITHIN = np.radians(0.05)  # rad; nearer, the tenths of a degree read 0.0
ROLLS = np.radians(0.25)  # rad; what changes less along an edge is set once: no gauge holds nearer, common practice
MEETS = 0.5  # mm; an end of a mark this near an edge lies on it
ALL_ALONG = "all along"
CROWDED = 75.0  # mm; nearer to a mark of the boat, a place between says nothing more


@dataclass(frozen=True, slots=True)
class BoardLine:
    """One line of the board: a place on the edge, and its bevel."""

    number: int
    place: str  # "frame 3", or how far along the edge
    along: float  # mm along the edge on the marked face, from the end the board names
    angle: float  # rad off square, standing (+) or under (-)
    run: float  # mm over the thickness, in the same sense
    spot: tuple[float, float] | None = None  # mm, the place in the pattern's axes, where it lies on an edge

    @property
    def kind(self) -> str:
        return "square" if abs(self.angle) < SQUARE_WITHIN else "standing" if self.angle > 0 else "under"


@dataclass(frozen=True, slots=True)
class BoardEdge:
    """One edge of a part, its lines from one end to the other."""

    name: str  # "chine", "side, port and starboard alike"
    begins: str  # which end its distances run from
    over: float  # mm, what the runs are taken over
    lines: tuple[BoardLine, ...]
    face: str = ""  # what the gauge's stock lies against, where it is not the face of the board's part
    of: str = ""  # the part's edge, whichever hand: "chine"; "" where it is no edge of the outline

    @property
    def alone(self) -> bool:
        """Whether one setting serves the whole edge."""
        return self.lines[0].place == ALL_ALONG


@dataclass(frozen=True, slots=True)
class BevelBoard:
    """The board of one part."""

    name: str  # of the part, whichever hand: "side panel"
    title: str  # "side panel, port and starboard alike"
    face: str  # the face the gauge's stock lies against
    edges: tuple[BoardEdge, ...]

    __repr__ = brief


def bevel_boards(parts: Sequence[Part], *, show: str) -> tuple[BevelBoard, ...]:
    """A board for each part with an edge that is not square; one for both of a pair, whose bevels are the same."""
    paired = {part.name for part in parts if part.hand == "port"}
    boards = []
    for part in parts:
        # A timber of a frame is bevelled when the frame is together, by the frame's board.
        if part.hand == "port" or part.role in TIMBERS:
            continue
        edges = tuple(_numbered([*_edges(part, show), *_landings(part, show), *_planed(part, show)]))
        if edges:
            title = f"{part.name}, port and starboard alike" if part.name in paired else part.title
            boards.append(BevelBoard(part.name, title, "face" if part.landings else part.marked_face, edges))
    return tuple(boards)


def _edges(part: Part, show: str) -> Iterator[BoardEdge]:
    # Notches are cut to the pieces that lie in them.
    runs = [edge for edge in part.edges if edge.kind is not EdgeKind.NOTCH]
    on_port, on_starboard = ({edge.either_hand for edge in runs if edge.hand == hand} for hand in ("port", "starboard"))
    firsts: dict[str, Edge] = {}
    for edge in runs:
        firsts.setdefault(edge.name, edge)
    for name, first in firsts.items():
        both = first.either_hand in on_port & on_starboard
        if both and first.hand == "port":
            continue
        edges = part.edges_of(name)
        if any(abs(bevel.angle) >= SQUARE_WITHIN for edge in edges for bevel in edge.bevels):
            yield _board_edge(f"{first.either_hand}, port and starboard alike" if both else name, edges, part, show)


def _board_edge(name: str, edges: Sequence[Edge], part: Part, show: str) -> BoardEdge:
    """The lines of an edge, which notches may have cut in several; distances run straight over them."""
    line = np.concatenate([edge.points for edge in edges])
    starts = run_along(line)[np.cumsum([0, *(len(edge.points) for edge in edges[:-1])])]
    bevels = [
        (start + bevel.along, bevel.run) for start, edge in zip(starts, edges, strict=True) for bevel in edge.bevels
    ]
    at, runs = np.array(sorted(bevels)).T
    length = float(run_along(line)[-1])
    before, behind = _neighbours(part, edges)
    if _begins_aft(line):
        line, at, runs, before = line[::-1], (length - at)[::-1], runs[::-1], behind
    places = _places(part, line, at, show)
    if np.ptp(np.arctan2(runs, part.thickness)) < ROLLS:
        places = [(ALL_ALONG, float(at[np.round(abs(runs), 6).argmax()]))]  # rounded: of equals the first
    lines = []
    for place, along in places:
        run = float(np.interp(along, at, runs))
        x, y = interpolated(np.array([along]), run_along(line), line)[0].tolist()
        lines.append(BoardLine(0, place, along, float(np.arctan2(run, part.thickness)), run, (x, y)))
    begins = f"its {before.removesuffix(' end')} end"
    return BoardEdge(name, begins, part.thickness, tuple(lines), of=edges[0].either_hand)


def _neighbours(part: Part, edges: Sequence[Edge]) -> tuple[str, str]:
    """The names of what an edge meets at its two ends, notches passed over."""
    names = [edge.name for edge in part.edges if edge.kind is not EdgeKind.NOTCH]
    runs = [name for name, _ in groupby(names)]
    place = runs.index(edges[0].name)
    last = len(runs) - 1 - runs[::-1].index(edges[0].name)
    return runs[place - 1], runs[(last + 1) % len(runs)]


def _begins_aft(line: Floats) -> bool:
    """Whether an edge runs toward the fore or the lower end of its pattern."""
    way = line[-1] - line[0]
    return bool(way[int(abs(way[1]) > abs(way[0]))] < 0)


def _places(part: Part, line: Floats, at: Floats, show: str) -> list[tuple[str, float]]:
    """Where the boat's marks meet the edge, and the edge's own places between them."""
    edge = shapely.LineString(line)
    named = [(mark.name, edge.project(shapely.Point(end))) for mark, end in crossings(part, line, {MarkKind.FRAME})]
    clear = [a for a in at.tolist() if all(abs(a - along) > CROWDED for _, along in named)]
    ends = [a for a in (at[0], at[-1]) if all(abs(a - along) > MEETS for _, along in named)]
    between = sorted({*clear, *map(float, ends)})
    return sorted([*named, *((tape_length(along, show), along) for along in between)], key=lambda place: place[1])


def crossings(part: Part, line: Floats, kinds: AbstractSet[MarkKind]) -> Iterator[tuple[Mark, Floats]]:
    """Where marks of some kinds begin or end on a line (n, 2) of the part: the mark, and the place (2,) mm."""
    edge = shapely.LineString(line)
    for mark in part.marks:
        if mark.kind in kinds:
            ends = mark.points[[0, -1]]
            yield from ((mark, end) for end in ends if edge.distance(shapely.Point(end)) < MEETS)


def _landings(part: Part, show: str) -> Iterator[BoardEdge]:
    """A stem's landing, which stands off its face by its angle off the centre plane; none in a rabbet.

    A rabbet begins on the stem's side, so nothing is planed off its face: it is cut to a piece of the planking.
    """
    if landed_on_face(part):
        lines = [_landing_line(landing, part, show) for landing in part.landings]
        yield BoardEdge("landing, both sides", "heights above base", part.thickness / 2, tuple(lines))


def landed_on_face(stem: Part) -> bool:
    """Whether wood is planed off a stem from its face to its bearding lines, and not cut out of its sides."""
    return any(stem.thickness / 2 - landing.half_face > MEETS for landing in stem.landings)


def _landing_line(landing: Landing, part: Part, show: str) -> BoardLine:
    place = f"{tape_length(landing.height, show)} above base"
    return BoardLine(0, place, landing.height, landing.angle, part.thickness / 2 - landing.half_face)


def _planed(part: Part, show: str) -> Iterator[BoardEdge]:
    """Faces planed off, which no outline shows; none where nothing is taken off all along."""
    for face in part.planed:
        lines = tuple(
            BoardLine(0, place or tape_length(bevel.along, show), bevel.along, bevel.angle, bevel.run)
            for place, bevel in face.places
        )
        if all(line.kind == "square" for line in lines):
            continue
        if np.ptp([line.angle for line in lines]) < ROLLS:
            lines = (replace(max(lines, key=lambda line: abs(round(line.angle, 6))), place=ALL_ALONG),)
        yield BoardEdge(face.name, face.begins, face.over, lines, face.gauge)


def _numbered(edges: Sequence[BoardEdge]) -> Iterator[BoardEdge]:
    number = 0
    for edge in edges:
        lines = tuple(replace(line, number=number + n) for n, line in enumerate(edge.lines, 1))
        number += len(lines)
        yield replace(edge, lines=lines)

"""Two edges held together in the boat: their lengths, how far apart they come, and the marks that must meet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import shapely
import shapely.ops
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, dots, lengths, run_along
from patterns.geometry.cuts import Plane
from patterns.geometry.development import Flat
from patterns.geometry.short_repr import brief
from patterns.parts.part import Hand, Part
from patterns.parts.role import MarkKind

STEP = 15.0  # mm; a chord this long leaves a skin bent to 3 m radius by 0.01 mm
SAME = 1e-6  # mm
STRETCH = 8  # chords of a line looked at together
NO_MARK = ""  # the name of a place where a mark of the one comes on the other, which bears none there

AFT, DOWN, STARBOARD = np.eye(3)[0], -np.eye(3)[2], np.eye(3)[1]  # which way a tape runs in the boat


class Seam(StrEnum):
    """What meets, as a builder asks for it."""

    CHINE = "side to bottom"
    ENDS = "planking to its ends"
    FRAME_SIDES = "frames to the side"
    FRAME_BOTTOMS = "frames to the bottom"
    LONG = "long pieces to the planking"


@dataclass(frozen=True, slots=True)
class MeetingMark:
    """Two marks that must come together, and where each is along its edge as drawn, from the end the meeting names."""

    name: str  # "frame 3", on the first; "" where it bears no mark and the place was found in the boat
    mate: str  # on the second
    along_a: float  # mm
    along_b: float  # mm
    difference: float  # mm, of their ways from where the edges begin to run together, the first less the second
    left: float  # mm of that which is there in the boat too
    apart: float  # mm between them in the boat

    @property
    def by_thickness(self) -> float:
        """mm of the difference that is only in the flat."""
        return self.difference - self.left


@dataclass(frozen=True, slots=True)
class PartLine:
    """An edge of a part, or another line of it, as it is called."""

    part: str  # "side panel"
    hand: Hand  # of the part
    line: str  # "side starboard", "mark 'stem bearding line'"
    alike: str = ""  # as it is called of both hands, where that is otherwise: "side edge"

    @property
    def title(self) -> str:
        """ "side panel, starboard: sheer"."""
        return f"{self.part}{'' if self.hand == 'none' else f', {self.hand}'}: {self.line}"

    @property
    def either_hand(self) -> str:
        """As both hands have it: "chine log: lower edge"."""
        return f"{self.part}: {self.alike or self.line}"


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two edges that meet in the boat: as drawn, as they lie in the boat, and how far apart they come there."""

    line_a: PartLine
    line_b: PartLine
    drawn_a: float  # mm, as far as they run together
    drawn_b: float  # mm
    bent_a: float  # mm, the same in the boat
    bent_b: float  # mm
    gap: float  # mm, the most they stand apart in the boat
    seam: Seam
    from_a: str  # the end a tape along the first begins at, in words: "its fore end"
    from_b: str
    begin_a: float  # mm from that end as drawn to where they begin to run together
    begin_b: float
    marks: tuple[MeetingMark, ...]
    told: str = ""  # what else must be known of its marks
    carried: bool = False  # whether the first bears its marks on another face, so that they come off those of its mate

    __repr__ = brief

    @property
    def a(self) -> str:
        return self.line_a.title

    @property
    def b(self) -> str:
        return self.line_b.title

    @property
    def difference(self) -> float:
        return self.drawn_a - self.drawn_b

    @property
    def by_thickness(self) -> float:
        """mm of the difference that is only in the flat: panels are unrolled on the middle of their thickness."""
        return (self.drawn_a - self.bent_a) - (self.drawn_b - self.bent_b)

    @property
    def left(self) -> float:
        """mm of the difference that is there in the boat too."""
        return self.bent_a - self.bent_b


@dataclass(frozen=True, eq=False)
class Line:
    """A line of a part, as drawn and where it lies in the boat."""

    drawn: Floats  # (n, 2) mm
    bent: Floats  # (n, 3) mm, point for point

    def toward(self, way: Floats) -> Line:
        """The same line, run along in one direction of the boat."""
        return self if (self.bent[-1] - self.bent[0]) @ way >= 0 else Line(self.drawn[::-1], self.bent[::-1])

    def drawn_at(self, bent: float) -> float:
        """mm along it as drawn, from mm along it in the boat."""
        return float(np.interp(bent, run_along(self.bent), run_along(self.drawn)))

    def bent_at(self, drawn: float) -> float:
        return float(np.interp(drawn, run_along(self.drawn), run_along(self.bent)))

    def place(self, drawn: float) -> Floats:
        """(3,) mm in the boat, of a place so far along it as drawn."""
        run = run_along(self.drawn)
        return np.array([np.interp(drawn, run, self.bent[:, axis]) for axis in range(3)])

    def met_by(self, mark: Floats) -> float:
        """mm along it as drawn to where a mark (n, 2) of the same pattern crosses or meets it."""
        drawn = shapely.LineString(self.drawn)
        crossing = shapely.LineString(mark) if len(mark) > 1 else shapely.Point(mark[0])
        return float(drawn.project(shapely.ops.nearest_points(drawn, crossing)[0]))


@dataclass(frozen=True, eq=False)
class Held:
    """An edge held against its mate."""

    of: PartLine
    begins: str  # the end a tape along it begins at, in words: "the stem"
    line: Line
    marks: Mapping[str, Floats]  # by name, (n, 2) mm in the pattern: what may have to meet a mark of its mate


def met(a: Held, b: Held, pairs: Sequence[tuple[str, str]], *, seam: Seam, way: Floats) -> Meeting:
    """Two edges held together over the length of the shorter, both run along in one direction of the boat.

    Parameters
    ----------
    pairs : sequence
        Which mark of the one must meet which of the other; ``NO_MARK`` where only one of them bears a mark.
    """
    on_a, on_b = a.line.toward(way), b.line.toward(way)
    gap_b, at_a = nearest(on_b.bent, on_a.bent)
    gap_a, at_b = nearest(on_a.bent, on_b.bent)
    run_a, run_b = run_along(on_a.bent), run_along(on_b.bent)
    (a0, a1), (b0, b1) = ((float(at.min()), float(at.max())) for at in (at_a, at_b))
    begin_a, begin_b = on_a.drawn_at(a0), on_b.drawn_at(b0)
    gap = max(
        float(off[(run >= low) & (run <= high)].max(initial=0.0))
        for off, run, low, high in ((gap_a, run_a, a0, a1), (gap_b, run_b, b0, b1))
    )
    return Meeting(
        line_a=a.of,
        line_b=b.of,
        drawn_a=on_a.drawn_at(a1) - begin_a,
        drawn_b=on_b.drawn_at(b1) - begin_b,
        bent_a=a1 - a0,
        bent_b=b1 - b0,
        gap=gap,
        seam=seam,
        from_a=a.begins,
        from_b=b.begins,
        begin_a=begin_a,
        begin_b=begin_b,
        marks=tuple(sorted(_marks(_Side(a, on_a, a0), _Side(b, on_b, b0), pairs), key=lambda mark: mark.along_a)),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Side:
    """One of two edges held together."""

    held: Held
    line: Line  # run along in the direction of both
    begin: float  # mm along it in the boat to where the two begin to run together

    def along(self, mark: str) -> float:
        """mm along it as drawn to one of its marks."""
        return self.line.met_by(self.held.marks[mark])

    def nearest(self, other: _Side, along: float) -> float:
        """mm along it as drawn to what lies nearest a place of the other."""
        return self.line.drawn_at(float(nearest(other.line.place(along)[None], self.line.bent)[1][0]))

    def ways(self, along: float) -> tuple[float, float]:
        """mm from where the two begin to run together, as drawn and in the boat."""
        return along - self.line.drawn_at(self.begin), self.line.bent_at(along) - self.begin


def _marks(a: _Side, b: _Side, pairs: Sequence[tuple[str, str]]) -> Iterator[MeetingMark]:
    """Each pair of marks, measured on its own edge and held together in the boat."""
    for name, mate in pairs:
        if name == NO_MARK:
            along_b = b.along(mate)
            along_a = a.nearest(b, along_b)
        else:
            along_a = a.along(name)
            along_b = b.nearest(a, along_a) if mate == NO_MARK else b.along(mate)
        (drawn_a, bent_a), (drawn_b, bent_b) = a.ways(along_a), b.ways(along_b)
        drawn, left = drawn_a - drawn_b, bent_a - bent_b
        apart = float(lengths(a.line.place(along_a) - b.line.place(along_b)))
        yield MeetingMark(name, mate, along_a, along_b, drawn, left, apart)


def bent(flat: Flat, depth: float, points: Floats) -> Line:
    """A line (n, 2) mm of a pattern that was unrolled, on the face at a depth, bent to the boat."""
    points = close(points)
    return Line(points, flat.ruled.point(*flat.places(points), depth))


def lifted(plane: Plane, points: Floats) -> Line:
    """A line of a flat part in its place."""
    points = close(points)
    return Line(points, plane.in_space(points))


def close(points: Floats) -> Floats:
    """The same line, no two points alike and none over ``STEP`` apart: what is straight in the flat bends."""
    run = run_along(points)
    keep = np.concatenate([[True], np.diff(run) > SAME])
    run, points = run[keep], points[keep]
    dense = np.union1d(run, np.linspace(0.0, run[-1], int(np.ceil(run[-1] / STEP)) + 1))
    dense = dense[np.concatenate([np.diff(dense) > SAME, [True]])]
    return np.stack([np.interp(dense, run, points[:, axis]) for axis in range(2)], axis=1)


def nearest(points: Floats, line: Floats) -> tuple[Floats, Floats]:
    """Distances (m,) of points from a line, and the running lengths (m,) of the nearest places on it."""
    run, chords = run_along(line), np.diff(line, axis=0)
    squares = np.maximum(dots(chords, chords), np.finfo(np.float64).tiny)  # where a point stands twice, any share does
    row, i = _chords_worth_measuring(points, line, run)
    away = points[row] - line[i]
    share = np.clip(dots(away, chords[i]) / squares[i], 0.0, 1.0)
    off = lengths(away - share[:, None] * chords[i])
    starts = np.searchsorted(row, np.arange(len(points)))
    least = np.minimum.reduceat(off, starts)
    _, first = np.unique(row[off == least[row]], return_index=True)
    best = np.flatnonzero(off == least[row])[first]
    return least, run[i[best]] + share[best] * np.diff(run)[i[best]]


def _chords_worth_measuring(points: Floats, line: Floats, run: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs of a point's number, rising, and the number of a chord of the line that may be the nearest to it.

    Of a stretch of line, none is nearer than half of what its ends' distances together exceed its length by.
    """
    ends = np.append(np.arange(0, len(line) - 1, STRETCH), len(line) - 1)
    from_ends = lengths(points[:, None, :] - line[ends])
    nearer = (from_ends[:, 1:] + from_ends[:, :-1] - np.diff(run[ends])) / 2 <= from_ends.min(axis=1)[:, None] + SAME
    row, stretch = nearer.nonzero()
    chord = (ends[stretch][:, None] + np.arange(STRETCH)).ravel()
    within = chord < np.repeat(ends[stretch + 1], STRETCH)
    return np.repeat(row, STRETCH)[within], chord[within]


def edge_line(part: Part, name: str, *, far: bool = False) -> Floats:
    """(n, 2) mm, an edge as one line; what was cut out of it is gone straight over, and if that is all, n is 0."""
    runs = (edge.far if far else edge.points for edge in part.edges if edge.name == name)
    return np.concatenate([np.empty((0, 2)), *runs])


def marks_of(part: Part, *names: str) -> dict[str, Floats]:
    """Marks of a pattern by their names, those of frames besides."""
    return {mark.name: mark.points for mark in part.marks if mark.name in names or mark.kind is MarkKind.FRAME}


def shared(a: Held, b: Held) -> list[tuple[str, str]]:
    """Marks that go by one name on both."""
    return [(name, name) for name in a.marks if name in b.marks]

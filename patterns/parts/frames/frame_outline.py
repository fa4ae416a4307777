"""The outline of a frame on both faces, before notches and limbers: ring, mould, inner edge, legs to the strongback."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely import LinearRing, Point, Polygon

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, lengths, unit
from patterns.geometry.outlines import SAME_PLACE, met, parallel, trimmed, unlooped
from patterns.geometry.skin_faces import Loop
from patterns.hull.planking.sections import cut_inside, from_corner_to_corner, in_view, over
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.rules import FrameRules
from patterns.parts.part import OTHER_HAND, Hand
from patterns.parts.role import EdgeKind
from patterns.parts.shaping import Line, Shape, shape_of
from patterns.parts.stands import FrameStand

AT_HEAD = 0.01  # mm; corners of the radius asked for leave the heads of the inner edge where they were
PAST_SHEER = (
    30.0  # mm that the edge of a round hull's mould goes on above the sheer, for ribbands and planking to lie on
)
ROUND = 128  # chords in a quarter of an inside corner: within 0.005 mm of the arc at 60 mm radius


@dataclass(frozen=True, slots=True, eq=False)
class Outer:
    """A frame's outer edge on one face: along each strake on the right-hand side, and right across the bottom."""

    runs: tuple[tuple[str, Floats], ...]  # from the lowest corner up, strake and (n, 2) mm; the last ends at the head
    bottom: Floats  # (m, 2) mm, left to right
    leg: Floats | None  # (k, 2) mm, from the head up to the strongback
    stepped: tuple[bool, ...]  # of each run, whether it begins with the step of a lap
    keeled: bool = False  # whether the bottom is parted in the middle, where a V bottom has its keel
    round: bool = False  # whether the hull is round: the bottom is then as wide as the keel alone
    loops: tuple[Loop, ...] = ()  # of a round hull, where its planking is thicker than the hull is round
    steepest: float = 0.0  # rad, of a round hull, the most that its skin is out of square to the frame

    @property
    def side(self) -> Floats:
        """(n, 2) mm, all runs as one, from the corner with the bottom up to the head."""
        first, *others = (points for _, points in self.runs)
        return np.concatenate([first, *(points[1:] for points in others)])

    @property
    def corners(self) -> tuple[Floats, ...]:
        """(2,) mm each, where it turns from strake to strake, from the lowest up."""
        return tuple(points[0] for _, points in self.runs)

    def run(self, strake: str) -> Floats:
        """(n, 2) mm, its edge along a strake, by the strake's name."""
        return dict(self.runs)[strake]

    @property
    def keels(self) -> tuple[Floats, ...]:
        """(2,) mm each, where the halves of a V bottom end: in one place, or on either side of a keel."""
        half = len(self.bottom) // 2
        left, middle, right = self.bottom[half - 1 : half + 2]
        return (left, right) if left[1] == middle[1] == right[1] else (middle,)

    @property
    def half(self) -> Floats:
        """(n, 2) mm, from the centre line along the bottom and up the right-hand side to the head."""
        return np.concatenate([self.bottom[len(self.bottom) // 2 :], self.side[1:]])

    @property
    def head(self) -> float:
        return float(self.side[-1, 1])

    @property
    def reached(self) -> Floats:
        """(n, 2) mm, the right-hand outer edge from the corner with the bottom all the way up."""
        return self.side if self.leg is None else np.concatenate([self.side, self.leg[1:]])

    def legged_from(self, height: float) -> Outer:
        """The same edge, called the leg's from a height on: where a notch takes in the head, nothing of the side is
        left above it."""
        name, top = self.runs[-1]
        line = top if self.leg is None else np.concatenate([top, self.leg[1:]])
        i = int((line[:, 1] > height).argmax())
        share = (height - line[i - 1, 1]) / (line[i, 1] - line[i - 1, 1])
        there = line[i - 1] + share * (line[i] - line[i - 1])
        runs = (*self.runs[:-1], (name, np.concatenate([line[:i], [there]])))
        return replace(self, runs=runs, leg=np.concatenate([[there], line[i:]]))

    @property
    def top(self) -> Floats:
        """(2,) mm, the outer corner of the head, or of the leg."""
        return np.asarray(self.side[-1] if self.leg is None else self.leg[-1])

    def lines(self, hand: Hand) -> list[Line]:
        """Its runs on the right-hand side as lines of an outline, from the corner with the bottom up to the head."""
        return list(strake_lines(self.runs, self.stepped, hand))

    def lines_over(self, hand: Hand) -> list[Line]:
        """The same on the left-hand side, from the head down."""
        return strake_lines_over(self.runs, self.stepped, hand)


def floor_lines(points: Floats, right: Hand, *, keeled: bool) -> list[Line]:
    """A lower edge, from left to right: in one, or of a V bottom in two that meet on the centre line."""
    if not keeled:
        return [Line("bottom", points, kind=EdgeKind.FLOOR)]
    half = len(points) // 2
    halves = ((OTHER_HAND[right], points[: half + 1]), (right, points[half:]))
    return [Line(f"bottom {hand}", run, kind=EdgeKind.FLOOR, hand=hand) for hand, run in halves]


def strake_lines(runs: Sequence[tuple[str, Floats]], stepped: Sequence[bool], hand: Hand) -> Iterator[Line]:
    """Edges along strakes that stand, from the lowest corner up; under a lap with the step it makes."""
    for (name, points), step in zip(runs, stepped, strict=True):
        if step:
            yield Line(f"{name} lap {hand}", points[:2], hand=hand)
        yield Line(f"{name} {hand}", points[1:] if step else points, kind=EdgeKind.PLANKED, hand=hand)


def strake_lines_over(runs: Sequence[tuple[str, Floats]], stepped: Sequence[bool], hand: Hand) -> list[Line]:
    """The same on the left-hand side, from the head down."""
    lines = list(strake_lines(runs, stepped, hand))
    return [replace(line, points=over(line.points[::-1])) for line in reversed(lines)]


def outer_edges(hull: Hull, stand: FrameStand, *, strongback: float | None, mould: bool) -> tuple[Outer, Outer]:
    """The outer edges on the marked face and on the far one; heads are level at the marked face's sheer."""
    cuts = [cut_inside(hull, plane, mould=mould) for plane in (stand.face, stand.far)]
    if mould:
        cuts = [from_corner_to_corner(cut) for cut in cuts]
    here, there = (in_view(plane, cut) for plane, cut in zip((stand.face, stand.far), cuts, strict=True))
    names = hull.run_names
    near_runs = tuple(zip(names, here.runs, strict=True))
    head = here.runs[-1][-1]
    *lower, top = there.runs
    far_top = trimmed(np.concatenate([top, there.above]), lambda points: points[:, 1] - head[1])
    far_runs = tuple(zip(names, (*lower, far_top), strict=True))
    keeled = hull.seam is not None
    smooth = hull.smooth is not None
    near = Outer(
        near_runs,
        here.floor,
        _leg(here.runs[-1], head, strongback, upright=smooth),
        here.stepped,
        keeled,
        smooth,
        here.loops,
        here.steepest,
    )
    far_leg = _leg(here.runs[-1], far_top[-1], strongback, upright=smooth)
    return near, Outer(far_runs, there.floor, far_leg, there.stepped, keeled, smooth, there.loops, there.steepest)


def ring(outer: Outer, inner: Floats, *, right: Hand, left: Hand) -> Shape:
    """One face of a frame open at the top."""
    head, tops = _heads(outer, right)
    start, end = inner[0], inner[-1]
    lines = [
        *floor_lines(outer.bottom, right, keeled=outer.keeled),
        *outer.lines(right),
        *head,
        Line("top", np.stack([tops[0], start]), square=True),
        Line("inner", inner, square=True),
        Line("top", np.stack([end, tops[1]]), square=True),
        *_left(head),
        *outer.lines_over(left),
    ]
    return shape_of(lines)


def solid(outer: Outer, *, right: Hand, left: Hand) -> Shape:
    """One face of a mould without an opening."""
    head, tops = _heads(outer, right)
    lines = [
        *floor_lines(outer.bottom, right, keeled=outer.keeled),
        *outer.lines(right),
        *head,
        Line("top", np.stack(tops), square=True),
        *_left(head),
        *outer.lines_over(left),
    ]
    return shape_of(lines)


def inner_edge(outer: Outer, rules: FrameRules) -> tuple[Floats, Floats]:
    """The inner edge from the right-hand head down, across the floor and up; and its right-hand corner (2,).

    Raises
    ------
    ShapeError
        A frame where the boat is too narrow or too low for its timbers.
    """
    top = float(outer.top[1])
    half = len(outer.bottom) // 2
    # At a chine the sides' inner edges cross: drawn point by point, what lies past the crossing is a loop.
    inboard = _lengthened(unlooped(parallel(outer.reached, rules.side_moulded)))
    if outer.round:  # its bottom is no wider than the keel: the floor is level as far as the sides
        level = float(outer.bottom[:, 1].max()) + rules.floor_moulded
        floor = np.array([[-1.0, level], [float(inboard[:, 0].max()) + 1.0, level]])
    else:
        floor = _lengthened(unlooped(parallel(outer.bottom[half:], rules.floor_moulded)))
    keel = float(np.interp(0.0, floor[:, 0], floor[:, 1]))  # of a V, its foot lies between two of its points
    floor = np.array([[0.0, keel], floor[-1]]) if outer.round else floor[floor[:, 0] >= 0]
    try:
        rising = trimmed(inboard, lambda points: points[:, 1] - top)
        down, across = met(rising[::-1], floor[::-1])
    except ShapeError as error:
        raise ShapeError(
            "its side and floor timbers as moulded fill the boat here, and no inner edge is left; expected "
            "side_moulded or floor_moulded smaller for it, or no frame at this place"
        ) from error
    middle = np.array([[0.0, keel if outer.keeled else float(across[-1, 1])]])
    right_half = np.concatenate([down, across[1:]])
    right_half = right_half[right_half[:, 0] > 1e-9]
    apart = lengths(np.diff(right_half, axis=0)) > SAME_PLACE  # an upright leg is trimmed where it ends
    right_half = right_half[np.concatenate([[True], apart])]
    return np.concatenate([right_half, middle, over(right_half[::-1])]), down[-1]


def rounded(inner: Floats, radius: float) -> Floats:
    """The inner edge with its corners rounded off to a radius.

    Raises
    ------
    ShapeError
        Where the opening has no room for it.
    """
    if radius == 0:
        return inner
    # The opening is carried on above as its sides lean, or the head itself would be rounded where they flare.
    way = unit(inner[0] - inner[1])
    up = 4 * radius * np.array([max(float(way[0] / way[1]), 0.0), 1.0])
    opening = Polygon(np.concatenate([[inner[0] + up], inner, [inner[-1] + over(up)]]))
    room = opening.buffer(-radius, quad_segs=ROUND, join_style="mitre").buffer(radius, quad_segs=ROUND)
    # Corners too round for the opening would touch its sides above the head.
    if not isinstance(room, Polygon) or room.is_empty or room.exterior.distance(Point(inner[0])) > AT_HEAD:
        raise ShapeError("no room for inside corners of {} radius", radius)
    points = np.asarray(room.exterior.coords)[:-1]
    if LinearRing(points).is_ccw:  # the inner edge runs down on the right, so clockwise about the opening
        points = points[::-1]
    low = points[:, 1] < inner[0, 1]
    first = int(np.flatnonzero(low & ~np.roll(low, 1))[0])
    turned, low = np.roll(points, -first, axis=0), np.roll(low, -first)
    line = np.concatenate([inner[:1], turned[: int((~low).argmax())], inner[-1:]])
    # What the corners are rounded by draws either side a little otherwise.
    right = line[: int((line[:, 0] <= 0).argmax())]
    middle = [[0.0, float(np.interp(0.0, *line[:, [0, 1]][::-1].T))]]
    return np.concatenate([right, middle, over(right[::-1])])


def _leg(side: Floats, corner: Floats, strongback: float | None, *, upright: bool) -> Floats | None:
    """From the head on in the side's own line up to the strongback; alike on both faces, so cut square.

    ``upright``, no further in that line than the planking may stand past the sheer: flared sides would make legs wide.
    """
    if strongback is None:
        return None
    way = unit(side[-1] - side[-2])
    if strongback <= corner[1]:
        raise ShapeError(
            "its head at the sheer stands {} above base, and the strongback's top lies at {}: expected strongback "
            "under [building] more than {}, and higher than every other sheer",
            float(corner[1]),
            strongback,
            float(corner[1]),
        )
    rise = strongback - corner[1]
    if not upright or rise < 2 * PAST_SHEER:
        return np.stack([corner, corner + way * rise / way[1]])
    turn = corner + way * PAST_SHEER / way[1]
    return np.stack([corner, turn, [turn[0], strongback]])


def _heads(outer: Outer, right: Hand) -> tuple[list[Line], tuple[Floats, Floats]]:
    tops = outer.top, outer.top * (-1.0, 1.0)
    return ([] if outer.leg is None else [_leg_line(right, outer.leg)]), tops


def _left(head: list[Line]) -> list[Line]:
    return [_leg_line(OTHER_HAND[line.hand], over(line.points[::-1])) for line in head]


def _leg_line(hand: Hand, points: Floats) -> Line:
    return Line(f"leg {hand}", points, hand=hand)


def _lengthened(line: Floats) -> Floats:
    """A line run on straight at both ends by a fifth of its chord, to be trimmed by others."""
    far = (line[-1] - line[0]) / 5
    return np.concatenate([[line[0] - far], line, [line[-1] + far]])

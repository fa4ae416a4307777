"""A pattern alike on both sides of its centre line as one half, to be turned over for the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from patterns.drawing.marks import Cross, Ink, Stroke
from patterns.geometry.arrays import Floats, lengths, run_along, unit
from patterns.parts.part import Bevel, Edge, Hand, Mark, Part

CENTRE = "center line"
ON_IT = 1e-6  # mm; nearer the centre line than this is on it
PAST = 12.0  # mm the centre line is drawn past the wood
CROSSES = (0.05, 0.5, 0.95)  # along the centre line and the square line: by them both halves are laid to the same lines
ARM = 6.0  # mm
SQUARE = "square line"
LEVELS = 60  # tried for the longest square line
ALIKE = 0.1  # mm; halves that differ by more are not one pattern


@dataclass(frozen=True, slots=True)
class Half:
    """One half of a pattern; its edges run from the joining line round to it again."""

    part: Part
    fold: Floats  # (2, 2) mm, the centre line, a little longer than the wood on it
    side: float  # +1 or -1: which side of the centre line the half lies on
    square: Floats  # (2, 2) mm, a line square to the centre line, from it out as far as the wood goes

    @property
    def ink(self) -> tuple[Ink, ...]:
        """The centre line, and crosses along it and along the square line."""
        inner = self.fold + np.array([[PAST], [-PAST]]) * unit(self.fold[1] - self.fold[0])
        places = np.concatenate(
            [line[0] + np.array(CROSSES)[:, None] * (line[1] - line[0]) for line in (inner, self.square)]
        )
        crosses = (Cross((float(x), float(y)), ARM, "mark") for x, y in places)
        return Stroke(self.fold, "mark"), *crosses

    def kept(self, line: Floats) -> list[Floats]:
        """The runs (n, 2) of a line that lie on this half."""
        axis = int(np.ptp(self.fold[:, 0]) > 0)
        return [run for run, _ in _runs(line, axis, self.side)]


def half_to_turn(part: Part) -> Half | None:
    """The starboard half, where the port half is the same turned over; None where there are no such halves."""
    pair = halves(part)
    if pair is None or not _alike(*pair):
        return None
    starboard, port = pair
    half = replace(
        starboard.part,
        remarks=(_how_to_turn(part), *part.remarks),
        marks=(*starboard.part.marks, *_without_twin(starboard, port)),
    )
    return replace(starboard, part=half)


def _how_to_turn(part: Part) -> str:
    return (
        f"Half pattern, starboard, {part.marked_face} toward you. Strike the center line and the {SQUARE} on the wood. "
        "Lay the crosses on them and prick. Turn the paper over about the center line, printed side down. Lay the "
        "crosses on the same lines and prick the port half through it: the same face, the same bevels."
    )


def _alike(one: Half, other: Half) -> bool:
    """Whether the wood of one half is that of the other turned over, on both faces."""
    flip = _flip(one)
    faces = [(one.part.outline, other.part.outline), (one.part.far_outline, other.part.far_outline)]
    pairs: list[tuple[shapely.Geometry, shapely.Geometry]] = [
        (shapely.LinearRing(here), shapely.LinearRing(there * flip)) for here, there in faces
    ]
    if len(one.part.holes) != len(other.part.holes):
        return False
    pairs.append((_together(one.part.holes), _together([hole * flip for hole in other.part.holes])))
    return all(shapely.is_empty(here) or shapely.hausdorff_distance(here, there) < ALIKE for here, there in pairs)


def _flip(half: Half) -> Floats:
    """What turns places (n, 2) over about the centre line."""
    axis = int(np.ptp(half.fold[:, 0]) > 0)
    return np.where(np.arange(2) == axis, -1.0, 1.0)


def _without_twin(one: Half, other: Half) -> Iterator[Mark]:
    """Marks of the other half, turned over, that this half has not: such as one on its side of the centre line."""
    flip = _flip(one)
    ours = [shapely.LineString(mark.points) for mark in one.part.marks if len(mark.points) > 1]
    for mark in other.part.marks:
        line = shapely.LineString(mark.points * flip)
        if mark.name != SQUARE and all(shapely.hausdorff_distance(line, own) > ALIKE for own in ours):
            yield replace(mark, points=mark.points * flip)


def _together(lines: Sequence[Floats]) -> shapely.Geometry:
    return shapely.MultiLineString([line for line in lines if len(line) > 1])


def halves(part: Part) -> tuple[Half, Half] | None:
    """Both halves, starboard first; None of a pattern without a centre line, or that it does not part in two."""
    axis = _axis(part)
    if axis is None:
        return None
    starboard = _starboard(part, axis)
    first, second = (_half(part, axis, side) for side in (starboard, -starboard))
    return (first, second) if first and second else None


def _axis(part: Part) -> int | None:
    """Which coordinate is nothing on the centre line: 0 of pieces seen from ahead or astern, 1 of those seen flat."""
    if part.hand != "none":
        return None
    lines = [mark.points for mark in part.marks if mark.name == CENTRE]
    return next((axis for axis in (0, 1) for line in lines if np.abs(line[:, axis]).max() < ON_IT), None)


def _starboard(part: Part, axis: int) -> float:
    """Which side of the centre line starboard lies on: each edge that says its hand lies wholly there."""
    for edge in part.edges:
        if edge.hand != "none":
            side = float(np.sign(edge.points[:, axis].mean()))
            return side if edge.hand == "starboard" else -side
    # Floor timbers, thwarts and the like are alike on both hands: seen from ahead starboard lies left, from aft right,
    # and from above, bow to the left, up.
    return -1.0 if part.bow == "toward you" else 1.0


def _half(part: Part, axis: int, side: float) -> Half | None:
    edges = list(_edges(part, axis, side))
    if not edges or None in edges:
        return None
    run = [edge for edge in edges if edge is not None]
    gaps = [i for i, edge in enumerate(run) if lengths(edge.points[0] - run[i - 1].points[-1]) > ON_IT or len(run) == 1]
    if len(gaps) != 1:
        return None
    hand: Hand = "starboard" if side == _starboard(part, axis) else "port"
    half = replace(
        part,
        name=f"{part.name}, {hand} half",
        edges=(*run[gaps[0] :], *run[: gaps[0]]),
        marks=tuple(_marks(part, axis, side)),
        notes=tuple(note for note in part.notes if side * note.at[axis] > -ON_IT),
        holes=tuple(hole for hole in part.holes if side * hole[:, axis].mean() > 0),
    )
    on_it = half.outline[np.abs(half.outline[:, axis]) < ON_IT]
    ends = on_it[:, 1 - axis].min(), on_it[:, 1 - axis].max()
    fold = np.zeros((2, 2))
    fold[:, 1 - axis] = ends[0] - PAST, ends[1] + PAST
    square = _square_line(half, axis, side, ends)
    half = replace(half, marks=(*half.marks, Mark(SQUARE, square)))
    return Half(half, fold, side, square)


def _square_line(half: Part, axis: int, side: float, ends: tuple[float, float]) -> Floats:
    """The longest line on the wood square to the centre line and from it, (2, 2) mm."""
    wood = shapely.Polygon(half.outline)
    far = side * float(np.abs(half.outline[:, axis]).max())
    best = np.zeros((2, 2))
    for along in np.linspace(*ends, LEVELS + 2)[1:-1]:
        line = np.zeros((2, 2))
        line[:, 1 - axis], line[1, axis] = along, far
        parts = shapely.get_parts(shapely.intersection(shapely.LineString(line), wood))
        for part in parts:
            points = shapely.get_coordinates(part)
            reach = np.abs(points[:, axis])
            if len(points) > 1 and reach.min() < ON_IT and reach.max() > np.abs(best[1, axis]):
                best = line.copy()
                best[1, axis] = side * reach.max()
    return best


def _edges(part: Part, axis: int, side: float) -> Iterator[Edge | None]:
    """The edges of one half; None for one that its two faces part differently."""
    for edge in part.edges:
        runs, far = _runs(edge.points, axis, side), _runs(edge.far, axis, side)
        if len(runs) != len(far):
            yield None
            continue
        for (points, start), (behind, _) in zip(runs, far, strict=True):
            bevels = tuple(_bevels(edge, start, float(run_along(points)[-1])))
            yield replace(edge, points=points, far=behind, bevels=bevels)


def _bevels(edge: Edge, start: float, length: float) -> Iterator[Bevel]:
    """The bevels of a stretch of an edge, those at its ends read between their neighbours."""
    along = np.array([bevel.along for bevel in edge.bevels])
    inner = along[(along > start + ON_IT) & (along < start + length - ON_IT)]
    for at in (start, *inner.tolist(), start + length):
        angle, run = (float(np.interp(at, along, [getattr(b, name) for b in edge.bevels])) for name in ("angle", "run"))
        yield Bevel(at - start, angle, run)


def _marks(part: Part, axis: int, side: float) -> Iterator[Mark]:
    for mark in part.marks:
        if np.abs(mark.points[:, axis]).max() < ON_IT:
            yield mark
        else:
            yield from (replace(mark, points=run) for run, _ in _runs(mark.points, axis, side))


def _runs(line: Floats, axis: int, side: float) -> list[tuple[Floats, float]]:
    """The runs of a line on one side of the centre line, in its own order, and the running length each begins at."""
    away = side * line[:, axis]
    away = np.where(np.abs(away) < ON_IT, 0.0, away)
    crossed = np.flatnonzero(away[1:] * away[:-1] < 0)
    share = away[crossed] / (away[crossed] - away[crossed + 1])
    places = line[crossed] + share[:, None] * (line[crossed + 1] - line[crossed])
    points, heights = np.insert(line, crossed + 1, places, axis=0), np.insert(away, crossed + 1, 0.0)
    chord_there = (heights[1:] + heights[:-1]) / 2 > 0
    run = run_along(points)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], chord_there.astype(int), [0]])))
    return [(points[a : b + 1], float(run[a])) for a, b in edges.reshape(-1, 2)]

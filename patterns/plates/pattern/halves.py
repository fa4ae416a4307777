"""A pattern alike on both sides of its centre line as two: each half with its own words, to be joined or used apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from patterns.drawing.marks import Cross, Ink, Stroke
from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.parts.part import OTHER_HAND, Bevel, Edge, Hand, Mark, Part

CENTRE = "centre line"
ON_IT = 1e-6  # mm; nearer the centre line than this is on it
PAST = 30.0  # mm the joining line is drawn past the pattern
CROSSES = 4  # on the joining line: by two, far apart, both halves are laid true; the others prove it
ARM = 8.0  # mm


@dataclass(frozen=True, slots=True)
class Half:
    """One half of a pattern; its edges run from the joining line round to it again."""

    part: Part
    fold: Floats  # (2, 2) mm, the joining line, longer than the pattern
    side: float  # +1 or -1: which side of the joining line the half lies on

    @property
    def ink(self) -> tuple[Ink, ...]:
        """The joining line and its crosses, at the same places on both halves."""
        places = self.fold[0] + np.linspace(0.05, 0.95, CROSSES)[:, None] * (self.fold[1] - self.fold[0])
        crosses = (Cross((float(x), float(y)), ARM, "mark") for x, y in places)
        return Stroke(self.fold, "mark"), *crosses

    def kept(self, line: Floats) -> list[Floats]:
        """The runs (n, 2) of a line that lie on this half."""
        axis = int(np.ptp(self.fold[:, 0]) > 0)
        return [run for run, _ in _runs(line, axis, self.side)]


def halves(part: Part) -> tuple[Half, Half] | None:
    """Both halves, starboard first; None of a pattern without a centre line, or that it does not part in two."""
    axis = _axis(part)
    if axis is None:
        return None
    outline = np.concatenate([part.outline, part.far_outline])
    other = 1 - axis
    fold = np.zeros((2, 2))
    fold[:, other] = outline[:, other].min() - PAST, outline[:, other].max() + PAST
    starboard = _starboard(part, axis)
    first, second = (_half(part, axis, side, fold) for side in (starboard, -starboard))
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


def _half(part: Part, axis: int, side: float, fold: Floats) -> Half | None:
    edges = list(_edges(part, axis, side))
    if not edges or None in edges:
        return None
    run = [edge for edge in edges if edge is not None]
    gaps = [i for i, edge in enumerate(run) if lengths(edge.points[0] - run[i - 1].points[-1]) > ON_IT or len(run) == 1]
    if len(gaps) != 1:
        return None
    hand: Hand = "starboard" if side == _starboard(part, axis) else "port"
    words = (
        f"Half pattern, {hand} side. Join it along the centre line to the {OTHER_HAND[hand]} half, which has its own "
        "drawing, crosses on crosses; or lay both to one centre line struck on the stock. Never turn one over for the "
        "other."
    )
    half = replace(
        part,
        name=f"{part.name}, {hand} half",
        edges=(*run[gaps[0] :], *run[: gaps[0]]),
        marks=tuple(_marks(part, axis, side)),
        notes=tuple(note for note in part.notes if side * note.at[axis] > -ON_IT),
        holes=tuple(hole for hole in part.holes if side * hole[:, axis].mean() > 0),
        remarks=(words, *part.remarks),
    )
    return Half(half, fold, side)


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

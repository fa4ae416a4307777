"""A mould of a round hull, left square: cut to the inner of the sections at its two faces, and which face touches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np
import shapely
from shapely import LineString, Polygon

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import unlooped
from patterns.hull.planking.sections import over
from patterns.parts.frames.frame_outline import Outer
from patterns.units.lengths import write_length, write_small

TOUCHES = 0.1  # mm; nearer than this to the planking, a face touches it
LEAST_TOLD = 0.3  # mm; a gap less than this on the marked face is told of no builder: a plane's shaving
FAR_OUT = 1e5  # mm
SAME = 1e-7  # mm


@dataclass(frozen=True, slots=True)
class Clear:
    """A stretch of a mould's edge where the marked face stands clear of the planking and the far face touches it."""

    low: float  # mm above base
    high: float
    gap: float  # mm, the most that the marked face stands off there


@dataclass(frozen=True, slots=True, eq=False)
class Touching:
    """A mould's edge, square, inside the planking at both its faces."""

    outer: Outer
    clear: tuple[Clear, ...]  # where the marked face does not touch, from the bottom up
    stands_off: float  # mm, the most that the far face stands clear of the planking


def inner_of_both(near: Outer, far: Outer) -> Touching:
    """The inner of a mould's edges on its two faces, place by place.

    A mould of a round hull touches the planking with its end-ward face where the hull narrows toward that end. Near the
    widest station the bottom may still grow where the topsides shrink: there each face touches along a part.

    Raises
    ------
    ShapeError
        Where nothing is left inside both.
    """
    name = near.runs[-1][0]
    lines = [one.half for one in (near, far)]
    edge = _common_edge(*lines)
    bottom, side = _parted(edge, float(near.bottom[-1, 0]))
    leg = None if near.leg is None else near.leg + (side[-1] - near.leg[0]) * (1.0, 0.0)
    outer = replace(near, runs=((name, side),), bottom=np.concatenate([over(bottom[:0:-1]), bottom]), leg=leg)
    off_near, off_far = (np.asarray(shapely.distance(shapely.points(edge), LineString(line))) for line in lines)
    return Touching(outer, tuple(_stretches(edge, off_near)), float(off_far.max()))


def _common_edge(line: Floats, other: Floats) -> Floats:
    """(n, 2) mm, from the centre line to the head, the inner of two half edges (n, 2)."""
    head = min(float(line[-1, 1]), float(other[-1, 1]))
    # Where the table says little along the keel the skin may dip there, and its inside crosses the level bottom edge.
    within = [Polygon([*unlooped(one).tolist(), (0.0, one[-1, 1])]) for one in (line, other)]
    both = within[0].intersection(within[1]).intersection(shapely.box(0.0, -FAR_OUT, FAR_OUT, head))
    if not isinstance(both, Polygon) or both.is_empty:
        raise ShapeError("nothing of it lies inside the planking on both its faces")
    ring = shapely.get_coordinates(shapely.orient_polygons(both).exterior)[:-1]
    on_centre = np.where(ring[:, 0] < SAME, ring[:, 1], np.inf)
    foot, top = int(on_centre.argmin()), int(np.where(ring[:, 1] > head - SAME, ring[:, 0], -np.inf).argmax())
    return np.asarray(ring[(foot + np.arange((top - foot) % len(ring) + 1)) % len(ring)])


def _parted(edge: Floats, at: float) -> tuple[Floats, Floats]:
    """The bottom, from the centre line out to a half-breadth, and the side from there up."""
    first = int((edge[:, 0] >= at - SAME).argmax())
    if edge[first, 0] > at + SAME:
        share = (at - edge[first - 1, 0]) / (edge[first, 0] - edge[first - 1, 0])
        corner = edge[first - 1] + share * (edge[first] - edge[first - 1])
        edge = np.concatenate([edge[:first], [corner], edge[first:]])
    return edge[: first + 1], edge[first:]


def _stretches(side: Floats, off: Floats) -> Iterator[Clear]:
    for clear, places in groupby(range(len(side)), key=lambda i: bool(off[i] > TOUCHES)):
        there = list(places)
        gap = float(off[there].max())
        if clear and gap > LEAST_TOLD:
            yield Clear(float(side[there, 1].min()), float(side[there, 1].max()), gap)


def touching_words(touching: Touching, faces: tuple[str, str], show: str) -> Iterator[str]:
    """Which face touches where, a sentence each.

    Parameters
    ----------
    faces : (str, str)
        What the marked face and the far face are called.
    """
    near, far = faces
    if not touching.clear:
        yield f"This {near} touches the planking all along the edge."
        return
    for one in touching.clear:
        low, high = (write_length(mm, show) for mm in (one.low, one.high))
        yield (
            f"From {low} to {high} above base the {far} touches the planking. This {near} stands up to "
            f"{write_small(one.gap, show)} clear of it there, because the hull turns within the mould."
        )


def loop_heights(outer: Outer) -> Iterator[tuple[float, float]]:
    """mm above base, from where to where the planking of a round hull is thicker than the hull is round."""
    for loop in outer.loops:
        low, high = sorted((float(loop.first[2]), float(loop.last[2])))
        yield low, high

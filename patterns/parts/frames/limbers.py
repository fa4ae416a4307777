"""Limbers: drain notches under a frame at the lowest points of every bay of its bottom edge."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from shapely import Point

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.parts.role import EdgeKind
from patterns.parts.shaping import Shape

LEVEL = 0.5  # mm; a bay that rises less than this from end to end holds water all along


def limbered(
    near: Shape, far: Shape, bottom: Floats, *, radius: float, joint: float | None = None
) -> tuple[Shape, Shape]:
    """Both faces with half-round limbers cut in the bottom edge.

    Each bay between long pieces drains at its lowest point; a level one at both ends. "At the low point each side of
    keel and chine" is common practice, no single source. Where a bay is level they keep inboard of a ``joint`` that
    comes out in the bottom edge, at so many mm from the centre line.
    """
    if radius == 0:
        return near, far
    for x in _clear_of_each_other(_places((near, far), bottom, radius, joint), radius):
        round_it = _circle(np.array([x, np.interp(x, bottom[:, 0], bottom[:, 1])]), radius)
        try:
            near, far = (face.without(round_it, "limber", square=True, kind=EdgeKind.LIMBER) for face in (near, far))
        except ShapeError as error:
            raise ShapeError(
                "limber: a half-round of {} radius, {} off the center line, goes right through the floor; expected a "
                "smaller limber, or more floor_moulded",
                radius,
                abs(x),
            ) from error
    return near, far


def _clear_of_each_other(places: Iterable[float], radius: float) -> Iterator[float]:
    """Limbers so near each other that the wood between would break off, as both beside the keel of a V, made one."""
    found = sorted(places)
    while found:
        if len(found) > 1 and found[1] - found[0] < 4 * radius:
            found[:2] = [(found[0] + found[1]) / 2]
        else:
            yield found.pop(0)


def _places(faces: tuple[Shape, Shape], bottom: Floats, radius: float, joint: float | None) -> Iterator[float]:
    near, far = ([points[:, 0] for line, points in face.runs if line.kind is EdgeKind.FLOOR] for face in faces)
    for run, other in zip(near, far, strict=True):
        # A limber must have wood beside it on both faces.
        first, last = max(run.min(), other.min()), min(run.max(), other.max())
        if last - first < 6 * radius:  # no room for one at each end and wood between
            continue
        # Wood half a radius wide is left beside a long piece: less would break off.
        left, right = first + 1.5 * radius, last - 1.5 * radius
        x = np.linspace(left, right, 401)
        z = np.interp(x, bottom[:, 0], bottom[:, 1])
        if np.ptp(z) < LEVEL:
            clear = np.inf if joint is None else joint - 1.5 * radius
            yield from (max(float(left), -clear), min(float(right), clear))
            continue
        low = x[z < z.min() + LEVEL / 10]
        # A bay lowest in its middle drains there; two lows alike are drained both.
        yield float(low[0])
        if low[-1] - low[0] > 4 * radius:
            yield float(low[-1])


def _circle(middle: Floats, radius: float) -> Floats:
    ring: Floats = np.asarray(Point(*middle.tolist()).buffer(radius, quad_segs=32).exterior.coords)[:-1]
    return ring

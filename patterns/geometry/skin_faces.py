"""Faces that lie at a depth under a smooth surface, and what planes across the boat cut of them.

A face is the surface moved along its own normals. Where that is further than the surface is bent, the face runs back on
itself in a loop. No wood can have such an edge, so the loop is cut out where the face crosses itself, and told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, read_only
from patterns.geometry.cuts import Plane
from patterns.geometry.outlines import first_crossing

LANES = 361  # places up the girth: chords of 3 mm leave a turn of 100 mm radius by 0.01 mm
ROUNDS = 60
SETTLED = 1e-8  # mm
MOST_STEP = 0.2  # of the run along u in one step of the search; further off a surface may turn back
SMALL = 1e-6  # of u, over which the way of the face along the boat is measured
PAST = 0.1  # of u that a cut may lie past an edge of the surface, where it is carried on
BELOW_CORNER = 1e-9  # of v; at a corner itself the surface has the upper side's normals
AT_CORNER = 1e-6  # of v; a loop that takes in a corner is the corner of the face
CLEAR = 1e-3  # of v, between a loop and a corner, that still counts as one place


class SurfacePlaces(Protocol):
    """Places on a surface."""

    @property
    def points(self) -> Floats:
        """(n, 3) mm."""

    @property
    def normals(self) -> Floats:
        """(n, 3) unit, outward on the starboard half."""

    @property
    def along(self) -> Floats:
        """(n, 3) mm, the derivative of the point by u."""

    @property
    def up(self) -> Floats:
        """(n, 3) mm, by v."""


class Surface(Protocol):
    """A smooth surface over u, 0 to 1 from forward to aft, and v, 0 to 1 from rabbet to sheer, carried on past both."""

    @property
    def corners(self) -> tuple[float, ...]:
        """Places of v within where it may turn at once."""

    def places(self, u: Floats, v: Floats) -> SurfacePlaces:
        """Its places at u (n,) and v (n,)."""


@dataclass(frozen=True, slots=True, eq=False)
class Loop:
    """A stretch where a face runs back on itself because the surface is bent more sharply than the face is deep."""

    first: Floats  # (3,) mm, on the surface, where it begins
    last: Floats  # (3,) mm, where it ends


@dataclass(frozen=True, slots=True, eq=False)
class FaceCut:
    """A face cut by a plane, from the rabbet up; it has no loops."""

    u: Floats  # (n,) where on the surface each point comes from
    v: Floats  # (n,)
    points: Floats  # (n, 3) mm, in the plane
    normals: Floats  # (n, 3) unit, of the surface there
    loops: tuple[Loop, ...]  # what was cut out of it

    def __post_init__(self) -> None:
        for name in ("u", "v"):
            object.__setattr__(self, name, read_only(getattr(self, name)))
        for name in ("points", "normals"):
            object.__setattr__(self, name, read_only(getattr(self, name), columns=3))

    @property
    def bevels(self) -> Floats:
        """(n,) rad, the skin out of square to a station: positive where it faces aft, negative where it grows aft."""
        return bevels_of(self.normals)


def bevels_of(normals: Floats) -> Floats:
    """(...) rad, a skin out of square to a station: positive where it faces aft, negative where it grows aft.

    Parameters
    ----------
    normals : (..., 3)
        Outward normals of the skin.

    >>> bevels_of(np.array([[-1.0, 1.0, 0.0]])).round(3).tolist()
    [-0.785]
    """
    return np.asarray(np.arctan2(normals[..., 0], np.hypot(normals[..., 1], normals[..., 2])))


def cut_face(
    surface: Surface, plane: Plane, depth: float, *, near: float = 0.5, v: Floats | None = None, lanes: int = LANES
) -> FaceCut:
    """The face at a depth under a surface, cut by a plane or an upright cylinder across the boat.

    For each v the place along u is sought by Newton's steps, so that the point moved in along the true normal lies in
    the plane. Only v at which it lies between the edges u = 0 and u = 1, or a little past them, are in the cut.

    Parameters
    ----------
    depth : float
        mm inward, along the normals; 0 for the surface itself.
    near : float
        u to begin the search from.
    v : (n,), optional
        Rising; left out, so many ``lanes`` from 0 to 1.

    Raises
    ------
    ShapeError
        A plane that misses the surface.
    """
    lane = _lanes(surface.corners, lanes) if v is None else v

    def off(u: Floats) -> Floats:
        found = surface.places(u, lane)
        return plane.signed(found.points - depth * found.normals)

    u = np.full(len(lane), near)
    for _ in range(ROUNDS):
        out = off(u)
        slope = (off(u + SMALL) - out) / SMALL
        with np.errstate(divide="ignore", invalid="ignore"):
            step = np.clip(out / slope, -MOST_STEP, MOST_STEP)
        step = np.where(np.isfinite(step), step, 0.0)
        u = np.clip(u - step, -2.0, 3.0)
        lost = np.abs(out) > SETTLED
        if not (lost & (np.abs(step) > 1e-14)).any():
            break
    kept = (np.abs(off(u)) < 1e3 * SETTLED) & (u > -PAST) & (u < 1 + PAST)
    if kept.sum() < 2:
        raise ShapeError("the plane does not cut the planking")
    # What lies past the first gap, coming down from the sheer, belongs to another part of the boat.
    below = np.flatnonzero(~kept)
    first = int(below[-1]) + 1 if len(below) and below[-1] < len(lane) - 2 else int(kept.argmax())
    kept &= np.arange(len(lane)) >= first
    u, v = u[kept], lane[kept]
    found = surface.places(u, v)
    return _without_loops(surface, plane, FaceCut(u, v, found.points - depth * found.normals, found.normals, ()))


def _lanes(corners: Sequence[float], lanes: int) -> Floats:
    """(n,) v from 0 to 1, on both sides of each corner."""
    even = np.linspace(0.0, 1.0, lanes)
    both = [place for corner in corners for place in (corner - BELOW_CORNER, corner)]
    apart = np.array([all(abs(one - corner) > AT_CORNER for corner in corners) for one in even.tolist()])
    return np.sort(np.concatenate([even[apart], both]))


def _without_loops(surface: Surface, plane: Plane, cut: FaceCut) -> FaceCut:
    """The same cut without the loops where it crosses itself."""
    loops: list[Loop] = []
    while crossing := first_crossing(plane.flat(cut.points)):
        i, j, share = crossing
        ends = surface.places(cut.u[[i, j + 1]], cut.v[[i, j + 1]]).points
        between = (cut.v[i], cut.v[j + 1])
        # At a corner both sides of the surface are moved in, and cross in the corner of the face: nothing is lost.
        if not any(between[0] - CLEAR <= corner <= between[1] + CLEAR for corner in surface.corners):
            loops.append(Loop(*ends))

        def joined(values: Floats, i: int = i, j: int = j, share: float = share) -> Floats:
            there = values[i] + share * (values[i + 1] - values[i])
            return np.concatenate([values[: i + 1], [there], values[j + 1 :]])

        cut = FaceCut(joined(cut.u), joined(cut.v), joined(cut.points), joined(cut.normals), ())
    return FaceCut(cut.u, cut.v, cut.points, cut.normals, tuple(loops))

"""Where the planking lands on a stem, height by height: its angle, the width of the face, how deep it reaches."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.interpolate import CubicSpline

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, dots, unit
from patterns.geometry.cuts import Profile
from patterns.hull.build import Stem
from patterns.hull.planking.half_siding import half_siding_cut
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Strake
from patterns.parts.part import Landing

LANES = 65
SPACING = 100.0  # mm of height between figured landings
CARRIED = 1.5  # times what the bearding line is short of the face: rulings seldom run along it
SQUARE_ROUNDS, SQUARE_WITHIN = 30, 1e-9  # Newton's steps to a foot square on the profile, and mm it may be off


@dataclass(frozen=True, eq=False)
class LandingLine:
    """The landing all the way up a stem, sampled where the inside of the planking cuts its face and its side."""

    strake: str  # which lands
    height: Floats  # (n,) mm above base, rising, along the face
    angle: Floats  # (n,) rad, off the centre plane, in the plane square to the stem's face
    half_face: Floats  # (n,) mm
    foot: Floats  # (m,) mm, height of the place on the face that lies square before a point of the bearding line
    depth: Floats  # (m,) mm, from that place in to the bearding line
    count: int | None = None  # how many are figured, where the face is too shallow to be told by heights

    def at(self, z: float) -> Landing:
        """The landing at a height, mm above base."""
        face, deep = self._curves
        angle, half_face = face(z)
        return Landing(z, float(angle), float(half_face), float(deep(z)), self.strake)

    @cached_property
    def _curves(self) -> tuple[CubicSpline, CubicSpline]:
        """By height: angle and half face; depth."""
        face = np.stack([self.angle, self.half_face], axis=1)
        return CubicSpline(self.height, face, bc_type="natural"), CubicSpline(self.foot, self.depth, bc_type="natural")

    def figured(self) -> tuple[Landing, ...]:
        """Landings from the lowest to the highest place, evenly spaced."""
        low, high = float(self.height[0]), float(self.height[-1])
        count = self.count or max(2, int(np.ceil((high - low) / SPACING)) + 1)
        return tuple(self.at(z) for z in np.linspace(low, high, count).tolist())


def landing_line(hull: Hull, strake: Strake, stem: Stem, *, aft: bool) -> LandingLine:
    """The landing of a strake on a stem (or a sternpost).

    The angle lies between the inside of the planking and the centre plane, in the plane square to the stem's face. The
    depth is measured square to the face, in profile, to the bearding line of the planking as it is curved: flat
    geometry, (half siding - half face) / tan(angle), would miss it where the planking's flare or sweep changes.

    Raises
    ------
    ShapeError
        Siding too small for the planking to land on.
    """
    end, ruled, within = hull.aft_cut if aft else hull.fore_cut, strake.ruled, hull.between_corners(strake)
    s, t = ruled.crossing(end.signed, within.upper, within.lower, within.depth, lanes=LANES)
    points = ruled.point(s, t, within.depth)[::-1]
    normals = ruled.at(ruled.normal, s)[::-1]
    trace = crossed(normals, along_profile(end, points[:, 2]))
    angle = np.arctan2(np.abs(trace[:, 1]), np.hypot(trace[:, 0], trace[:, 2]))
    _check(stem, strake, points)
    return LandingLine(strake.name, points[:, 2], angle, points[:, 1], *_depths(hull, strake, stem, points, aft=aft))


def along_profile(end: Profile, z: Floats) -> Floats:
    """(n, 3) unit, up along the profile at heights."""
    slope = end.batten.slope(z)
    return unit(np.stack([slope, np.zeros_like(z), np.ones_like(z)], axis=1))


def landing_on(landing: Landing, end: Profile, *, aft: bool) -> tuple[Floats, Floats]:
    """Where a landing begins on the face, (2,) mm in profile, and the way its depth is measured, (2,) unit."""
    height = np.array([landing.height])
    up = along_profile(end, height)[0, [0, 2]]
    return np.array([end.at_height(height)[0], landing.height]), np.array([-up[1], up[0]] if aft else [up[1], -up[0]])


def _check(stem: Stem, strake: Strake, points: Floats) -> None:
    widest = int(points[:, 1].argmax())
    half_face = float(points[widest, 1])
    if half_face >= stem.sided / 2:
        raise ShapeError(
            f"sided {{}}, but at height {{}} the inside of the planking, bent fair between {strake.upper} and "
            f"{strake.lower}, is {{}} "
            "across at its face: nothing is left to land on; expected more siding, or lines that end closer together",
            stem.sided,
            float(points[widest, 2]),
            2 * half_face,
        )


def _depths(hull: Hull, strake: Strake, stem: Stem, face: Floats, *, aft: bool) -> tuple[Floats, Floats]:
    """Heights on the face, rising, and how deep the bearding line lies square behind each.

    On a raked stem the bearding line ends lower (or higher) than the face, so the inside of the planking is carried on
    along its rulings past both its lines, as far as that asks.
    """
    end, cut = hull.aft_cut if aft else hull.fore_cut, half_siding_cut(hull, stem, aft=aft)
    ruled, within = strake.ruled, hull.between_corners(strake)

    def square(above: float, below: float) -> tuple[Floats, Floats]:
        upper, lower = within.upper - above, within.lower + below
        bearding = ruled.point(*ruled.crossing(cut, upper, lower, within.depth, lanes=LANES), within.depth)[::-1]
        foot, depth = _square_to(end, bearding)
        return foot, -depth if aft else depth

    foot, depth = square(0.0, 0.0)
    above, below = max(face[-1, 2] - foot[-1], 0.0), max(foot[0] - face[0, 2], 0.0)
    if above or below:
        with suppress(ShapeError):  # where the skin cannot be carried on so far, the line runs on as it bends
            further = square(CARRIED * above, CARRIED * below)
            # Past the point of a fan its rulings cross, and a line carried on there runs back.
            if (np.diff(further[0]) > 0).all():
                return further
    return foot, depth


def _square_to(end: Profile, points: Floats) -> tuple[Floats, Floats]:
    """Heights (n,) on a profile of the places square before points (n, 3), and how far aft of them the points lie."""
    z = points[:, 2].copy()
    away = np.zeros((len(z), 2))
    for _ in range(SQUARE_ROUNDS):
        up = along_profile(end, z)[:, [0, 2]]
        away = points[:, [0, 2]] - np.stack([end.at_height(z), z], axis=1)
        off = dots(away, up)
        z += off * up[:, 1]
        if np.abs(off).max() < SQUARE_WITHIN:
            break
    up = along_profile(end, z)[:, [0, 2]]
    return z, np.asarray(away[:, 0] * up[:, 1] - away[:, 1] * up[:, 0])

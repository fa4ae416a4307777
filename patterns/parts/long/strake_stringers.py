"""Stringers on the inside of whichever strake lies so far below the sheer, measured down the planking."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, interpolated
from patterns.geometry.development import develop
from patterns.geometry.parallels import parallel_on
from patterns.hull.build import within_sentence
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face, Strake
from patterns.parts.asked.long_rules import StringerRules
from patterns.parts.long.stick import Stick

SPARE = 1.0  # mm by which the distances told keep off a chine, so that they do when they have been rounded


@dataclass(frozen=True, slots=True, eq=False)
class _Band:
    """A strake, and how far down the planking its two edges lie, on each of its rulings."""

    strake: Strake
    face: Face  # its inside, between the insides of its neighbours
    top: Floats  # (n,) mm below the sheer, square to each edge that is crossed; NaN where there is none
    foot: Floats

    def room(self, hull: Hull, moulded: float) -> tuple[float, float]:
        """mm below the sheer, the least and the most at which wood so wide lies on it from end to end."""
        inside = hull.between_ends(self.strake) & np.isfinite(self.top + self.foot)
        if not inside.any():
            return np.inf, -np.inf
        return float(self.top[inside].max()), float(self.foot[inside].min()) - moulded


def strake_stringer(hull: Hull, rules: StringerRules, *, below_sheer: float) -> Stick:
    """A stringer whose upper edge lies so far below the sheer; both edges square to the strake it lies on.

    Raises
    ------
    ShapeError
        Where no one strake carries it from end to end.
    """
    with while_making(rules.name):
        bands = tuple(_bands(hull))
        rooms = [band.room(hull, rules.moulded) for band in bands]
        lies = [band for band, (least, most) in zip(bands, rooms, strict=True) if least <= below_sheer <= most]
        if not lies:
            _refuse(bands, rooms, below_sheer)
        band = lies[0]
        near = band.strake.inside
        far = near - rules.sided
        flat = develop(band.strake.ruled, depth=(near + far) / 2)
        upper = parallel_on(flat, band.face.upper, band.top - below_sheer)
        lower = parallel_on(flat, upper, -rules.moulded)
    return Stick(band.strake, Face(near, upper, lower), Face(far, upper, lower), rules.moulded)


def _bands(hull: Hull) -> Iterator[_Band]:
    """From the sheer down; a bottom that lies athwart is none of them."""
    top = np.zeros(len(hull.sheer_strake.ruled))
    for strake in hull.paired:
        face, ruled = hull.between_corners(strake), strake.ruled
        flat = develop(ruled, depth=strake.inside)
        upper, lower = (flat.middle + edge[:, None] * flat.along for edge in (face.upper, face.lower))
        foot = _breadth(lower, upper, top)
        yield _Band(strake, face, top, foot)
        corner = hull.corner_below(strake)
        if corner is None or corner.below.athwart:
            return
        at, below = ruled.points(face.lower, strake.inside), corner.points_on_below
        known = np.isfinite(foot) & np.isfinite(at).all(axis=1)
        top = interpolated(below[:, 0], at[known, 0], foot[known, None])[:, 0]


def _breadth(lower: Floats, upper: Floats, top: Floats) -> Floats:
    """(n,) mm from the sheer to each place of a lower edge: square across to the upper one, and on up from there."""
    found = np.full(len(lower), np.nan)
    known = np.isfinite(upper).all(axis=1) & np.isfinite(top)
    inside = np.isfinite(lower).all(axis=1)
    line = shapely.LineString(upper[known])
    places = shapely.points(lower[inside])
    run = shapely.line_locate_point(line, shapely.points(upper[known]))
    across = shapely.line_locate_point(line, places)
    found[inside] = shapely.distance(places, line) + np.interp(across, run, top[known])
    return found


def _refuse(bands: tuple[_Band, ...], rooms: list[tuple[float, float]], below_sheer: float) -> None:
    """Say which strakes carry such a stringer, and how far below the sheer."""
    able = [(band, room) for band, room in zip(bands, rooms, strict=True) if room[0] + 2 * SPARE <= room[1]]
    if not able:
        raise ShapeError("no strake is broad enough from end to end to carry it; expected it less moulded")
    words = " or ".join(f"{{}} to {{}}, on {within_sentence(band.strake.name)}" for band, _ in able)
    lengths = [mm for _, (least, most) in able for mm in (least + SPARE if least else least, most - SPARE)]
    raise ShapeError(
        f"with below_sheer at {{}} it would not lie on one strake all along, and no one piece lies on two; expected "
        f"below_sheer from {words}",
        below_sheer,
        *lengths,
    )

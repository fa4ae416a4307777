"""Risers: level rails on the inside of the planking that thwarts rest on."""

from __future__ import annotations

from typing import NoReturn

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import station_plane
from patterns.geometry.development import develop
from patterns.geometry.parallels import parallel_on
from patterns.hull.build import end_word, within_sentence
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face, Strake
from patterns.parts.asked.long_rules import RiserRules
from patterns.parts.long.long_ends import inner_face
from patterns.parts.long.stick import Cut, Stick
from patterns.units.lengths import write_length

FREE = "open, a free end"


def riser(hull: Hull, rules: RiserRules) -> Stick:
    """A rail whose upper edge lies level, on the inside of the strake that lies at its height; square to that strake.

    Raises
    ------
    ShapeError
        Where it would run past an end of the boat, or lie across a chine.
    """
    with while_making(rules.name):
        at_height = [(strake, *_upper_edge(hull, strake, rules.height)) for strake in hull.paired]
        _check_reach(hull, rules, np.concatenate([points for _, _, points in at_height]))
        strake, upper, _ = next((one for one in at_height if _covers(one[2], rules)), None) or _across_chine(
            hull, rules, [(strake, points) for strake, _, points in at_height]
        )
        ruled, near = strake.ruled, strake.inside
        far = near - rules.sided
        lower = parallel_on(develop(ruled, depth=(near + far) / 2), upper, -rules.moulded)
        _check_lower_edge(hull, strake, rules, lower)
    return Stick(strake, Face(near, upper, lower), Face(far, upper, lower), rules.moulded)


def _upper_edge(hull: Hull, strake: Strake, height: float) -> tuple[Floats, Floats]:
    """Where a strake's inside lies at a height: t on each ruling (n,), and points (m, 3) from fore to aft."""
    ruled, within = strake.ruled, hull.between_corners(strake)
    base = ruled.middle + strake.inside * ruled.normal
    with np.errstate(divide="ignore", invalid="ignore"):
        t: Floats = (height - base[:, 2]) / ruled.along[:, 2]
        t = np.where((t > within.upper) & (t < within.lower), t, np.nan)
    points = (base + t[:, None] * ruled.along)[np.isfinite(t)]
    return t, points[points[:, 0].argsort(kind="stable")]


def _covers(edge: Floats, rules: RiserRules) -> bool:
    """Whether points (n, 3) at a riser's height reach from one of its ends to the other."""
    return len(edge) > 0 and bool(edge[0, 0] <= rules.start and rules.end <= edge[-1, 0])


def _across_chine(hull: Hull, rules: RiserRules, found: list[tuple[Strake, Floats]]) -> NoReturn:
    """Say where a riser passes from one strake to the next."""
    for corner in hull.corners:
        points = corner.points
        clean = points[np.isfinite(points).all(axis=1)]
        x, over = clean[:, 0], clean[:, 2] - rules.height
        crossed = np.flatnonzero((over[1:] * over[:-1] <= 0) & (x[1:] > rules.start) & (x[:-1] < rules.end))
        if len(crossed):
            raise ShapeError(
                f"its upper edge, {{}} above base, passes from {within_sentence(corner.above.name)} to "
                f"{within_sentence(corner.below.name)} over the {corner.line}, and no one piece lies on both: move the "
                "thwart up or down, or give from and to in [riser] so that it stops short of that place",
                rules.height,
                at=float(x[crossed[0]]),
            )
    on = ", ".join(within_sentence(strake.name) for strake, points in found if len(points))
    raise ShapeError(f"no one strake lies at {{}} above base all along it, only parts of {on}", rules.height)


def _check_lower_edge(hull: Hull, strake: Strake, rules: RiserRules, lower: Floats) -> None:
    """See that a riser lies on its strake down to its lower edge."""
    face, ruled = hull.between_corners(strake), strake.ruled
    x = ruled.points(lower, strake.inside)[:, 0]
    with np.errstate(invalid="ignore"):
        past = np.where((x > rules.start) & (x < rules.end), lower - face.lower, np.nan)
    if np.isfinite(past).any() and np.nanmax(past) > 0:
        raise ShapeError(
            f"its lower edge would lie below the {strake.lower}, off {within_sentence(strake.name)}: make it less "
            "moulded, or move the thwart it carries up",
            at=float(x[int(np.nanargmax(past))]),
        )


def _check_reach(hull: Hull, rules: RiserRules, edge: Floats) -> None:
    """See that a riser runs clear of both ends of the boat.

    Parameters
    ----------
    edge : (n, 3) mm
        Where the inside of the planking lies at the height of its upper edge.

    Raises
    ------
    ShapeError
        Where it does not.
    """
    if not len(edge):
        raise ShapeError("no part of the side is as high as {} above base", rules.height)
    edge = edge[edge[:, 0].argsort()]
    for x, aft in ((rules.start, False), (rules.end, True)):
        end = np.array([[x, np.interp(x, edge[:, 0], edge[:, 1]), rules.height]])
        past = float(inner_face(hull, aft=aft).signed(end)[0]) * (1.0 if aft else -1.0)
        if past > 0 or not edge[0, 0] <= x <= edge[-1, 0]:
            end_name = end_word(hull.aft if aft else hull.fore, aft=aft)
            raise ShapeError(
                f"would run from {{}} to {{}} aft of FP, past the {end_name}: move the thwart it carries, or give from "
                "and to in [riser]",
                *(rules.start, rules.end),
            )


def riser_ends(rules: RiserRules) -> tuple[Cut, Cut]:
    """Ends square to the boat at two distances from FP."""
    fore, aft = (station_plane(x, facing_aft=True).signed for x in (rules.start, rules.end))
    return Cut(fore, FREE), Cut(aft, FREE)


def riser_words(strake: Strake, rules: RiserRules, show: str) -> str:
    """Where it stands in the boat."""
    on = within_sentence(strake.name)
    height, start, end = (write_length(mm, show) for mm in (rules.height, rules.start, rules.end))
    return (
        f"On the inside of {on}, its upper edge level under the thwarts, {height} above base, from {start} to "
        f"{end} aft of FP; both edges square to {on}. Plane its top level where a thwart lies on it."
    )

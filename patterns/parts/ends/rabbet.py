"""The rabbet of a stem: where the groove for the plank ends runs on its side."""

from __future__ import annotations

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import thinned
from patterns.hull.build import Stem
from patterns.hull.planking.faces import half_siding_cut
from patterns.hull.planking.skin import Hull
from patterns.parts.part import Mark

LANES = 65
NEAR_ENOUGH = 6.0  # mm; the planking may end this far off the stem's side before the rabbet is no longer theirs


def rabbet_lines(hull: Hull, stem: Stem, *, aft: bool) -> tuple[Mark, Mark]:
    """Rabbet line and apex line on the side of a stem, in profile: x aft, y height above base.

    The rabbet line is where the outside of the planking meets the stem's side. The plank's end is square to it, so
    the apex lies the planking's thickness in from the rabbet line along the planking's normal.

    Raises
    ------
    ShapeError
        Where the planking ends wider or narrower than the stem is sided.
    """
    side = hull.side
    _check(_plank_ends(hull, aft=aft), stem)
    cut = half_siding_cut(hull, stem, aft=aft)
    s, t = side.ruled.crossing(cut, hull.sheer_edge, hull.side_lower_outside, side.outside, lanes=LANES)
    rabbet = side.ruled.point(s, t, side.outside)
    apex = rabbet - side.planking.thickness * side.ruled.at(side.ruled.normal, s)
    return Mark("rabbet line", _profile(rabbet)), Mark("apex line", _profile(apex))


def _plank_ends(hull: Hull, *, aft: bool) -> list[float]:
    """Half breadths of the planking's outside where it ends on the profile, from the sheer down."""
    side, end = hull.side, hull.aft_cut if aft else hull.fore_cut
    s, t = side.ruled.crossing(end.signed, hull.sheer_edge, hull.side_lower_outside, side.outside, lanes=LANES)
    return [float(y) for y in side.ruled.point(s, t, side.outside)[:, 1]]


def _check(half_breadths: list[float], stem: Stem) -> None:
    furthest = max(half_breadths, key=lambda y: abs(y - stem.sided / 2))
    if abs(furthest - stem.sided / 2) > NEAR_ENOUGH:
        raise ShapeError(
            "a rabbet lies where the planking's outside ends on the stem's side: it ends at a half-breadth of {}, half "
            "its siding is {}; wanted them alike",
            furthest,
            stem.sided / 2,
        )


def _profile(points: Floats) -> Floats:
    return thinned(points[:, [0, 2]])

"""The rabbet of a stem: where the groove for the plank ends runs on its side."""

from __future__ import annotations

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import thinned
from patterns.hull.build import Stem
from patterns.hull.planking.half_siding import half_siding_cut
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Strake
from patterns.parts.part import Mark

LANES = 65
NEAR_ENOUGH = 6.0  # mm; the planking may end this far off the stem's side before the rabbet is no longer theirs


def rabbet_lines(hull: Hull, strake: Strake, stem: Stem, *, aft: bool) -> tuple[Mark, Mark]:
    """Rabbet line and apex line on the side of a stem, in profile: x aft, y height above base.

    The rabbet line is where the outside of the planking meets the stem's side. The plank's end is square to it, so
    the apex lies the planking's thickness in from the rabbet line along the planking's normal.

    Raises
    ------
    ShapeError
        Where the planking ends wider or narrower than the stem is sided.
    """
    _check(plank_ends(hull, strake, aft=aft)[:, 1].tolist(), stem)
    ruled, face, cut = strake.ruled, hull.outside(strake), half_siding_cut(hull, stem, aft=aft)
    s, t = ruled.crossing(cut, face.upper, face.lower, face.depth, lanes=LANES)
    rabbet = ruled.point(s, t, face.depth)
    apex = rabbet - strake.planking.thickness * ruled.at(ruled.normal, s)
    return Mark("rabbet line", _profile(rabbet)), Mark("apex line", _profile(apex))


def plank_ends(hull: Hull, strake: Strake, *, aft: bool) -> Floats:
    """(n, 3) mm, the outside of a strake where it ends on the profile, from its upper edge down."""
    face, end = hull.outside(strake), hull.aft_cut if aft else hull.fore_cut
    s, t = strake.ruled.crossing(end.signed, face.upper, face.lower, face.depth, lanes=LANES)
    return strake.ruled.point(s, t, face.depth)


def _check(half_breadths: list[float], stem: Stem) -> None:
    furthest = max(half_breadths, key=lambda y: abs(y - stem.sided / 2))
    if abs(furthest - stem.sided / 2) > NEAR_ENOUGH:
        raise ShapeError(
            "a rabbet lies where the planking's outside ends on the stem's side: it ends at a half-breadth of {}, half "
            "its siding is {}; expected them alike",
            furthest,
            stem.sided / 2,
        )


def _profile(points: Floats) -> Floats:
    return thinned(points[:, [0, 2]])

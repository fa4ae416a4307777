"""Where long pieces end at stem and transom."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Plane, Profile
from patterns.geometry.outlines import parallel
from patterns.geometry.ruled import Signed
from patterns.hull.build import Stem, Transom, end_word
from patterns.hull.planking.half_siding import half_siding_cut
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face
from patterns.parts.long.stick import Cut, Stick
from patterns.parts.stands import transom_inner_face

CORNER_ROOM = 1.5  # times the log as sided that a stringer keeps from the corner: a flaring log's foot is broader
PROFILE_POINTS = 9  # of a curved stem's inner face, through which a batten is sprung


def inner_end(hull: Hull, stick: Stick, *, aft: bool) -> Cut:
    """Against the inside of an end timber.

    Where most of the wood passes outboard of a stem's inner face it runs on to the bearding line and lands on the
    stem's side. Where the wood of both hands would meet on the centre line first, each is cut to the other.
    """
    end = hull.aft if aft else hull.fore
    word, inner = end_word(end, aft=aft), "fore face" if aft else "after face"
    if isinstance(end, Transom):
        return Cut(inner_face(hull, aft=aft).signed, f"{word}, {inner}", f"{word} {inner}")
    face = stem_inner_face(hull, end, aft=aft)
    against = f"{word}, {inner}"
    if stick.strake.athwart:
        return Cut(face.signed, against)
    near, far = (_breadth(stick, face, surface) for surface in (stick.near, stick.far))
    if far > 0 and (near + far) / 2 > end.sided / 2:
        return Cut(half_siding_cut(hull, end, aft=aft), f"{word}, side", f"{word} bearding line")
    if far < 0:
        return Cut(_to_its_pair(face.signed, aft=aft), f"{against}, and its pair on the center line")
    return Cut(face.signed, against)


def inner_face(hull: Hull, *, aft: bool) -> Plane | Profile:
    """The inner face of whatever timber stands at an end of the boat."""
    end = hull.aft if aft else hull.fore
    return transom_inner_face(end, aft=aft) if isinstance(end, Transom) else stem_inner_face(hull, end, aft=aft)


def _to_its_pair(face: Signed, *, aft: bool) -> Signed:
    """A cut at whichever comes first, an end timber's face or the centre plane."""

    def signed(points: Floats) -> Floats:
        if aft:
            return np.maximum(face(points), -points[..., 1])
        return np.minimum(face(points), points[..., 1])

    return signed


def _breadth(stick: Stick, cut: Profile, face: Face) -> float:
    """mm from the centre plane to the inner of a face's two edges, where a surface cuts them."""
    found = [(stick.met(cut.signed, face, share), stick.points(face, share)[:, 1]) for share in (0.0, 1.0)]
    return min(float(np.interp(s, stick.ruled.numbers, y)) for s, y in found)


def bottom_end(hull: Hull, stick: Stick, *, log_sided: float, aft: bool) -> Cut:
    """Of a stringer on the bottom: against the end timber, or square where it would run into the chine log or side."""
    if stick.strake.pointed[aft]:
        return _short_of_chine(hull, stick, log_sided, aft=aft)
    end = inner_end(hull, stick, aft=aft)
    last = stick.met(end.signed, stick.near, 0.0)
    numbers = stick.ruled.numbers
    # t runs from starboard to port: the corner with the side is the least of it.
    room = stick.near.upper - hull.between_corners(stick.strake).upper - log_sided * CORNER_ROOM
    fits = np.flatnonzero((room > 0) & (numbers < last if aft else numbers > last))
    if not len(fits):
        raise ShapeError("the bottom is nowhere wide enough for it")
    i = int(fits[-1] if aft else fits[0])
    if abs(numbers[i] - last) <= 1:
        return end
    return _square_at(stick, i)


def _square_at(stick: Stick, i: int) -> Cut:
    corner, along = stick.points(stick.near, 0.0)[i], stick.ruled.aftward[i]
    return Cut(lambda points: np.asarray((points - corner) @ along), "nothing, square, clear of the chine log")


def _short_of_chine(hull: Hull, stick: Stick, log_sided: float, *, aft: bool) -> Cut:
    """Square, where a garboard that comes to a point on a stem grows too narrow for a stringer beside its chine."""
    face = hull.between_corners(stick.strake)
    room = stick.near.upper - face.upper - log_sided * CORNER_ROOM
    middle = len(room) // 2
    outward = room[middle:] if aft else room[middle::-1]
    lost = np.flatnonzero(~(outward > 0))
    if not len(lost) or lost[0] < 2:
        raise ShapeError("amidships the bottom is too narrow for it; expected it nearer to the center line")
    step = int(lost[0]) - 1
    return _square_at(stick, middle + step if aft else middle - step)


def outer_end(hull: Hull, *, aft: bool) -> Cut:
    """Flush with the outside of an end."""
    cut = hull.aft_cut if aft else hull.fore_cut
    word = end_word(hull.aft if aft else hull.fore, aft=aft)
    return Cut(cut.signed, f"{word}, {'after' if aft else 'fore'} face, flush", f"{word} end")


def stem_inner_face(hull: Hull, stem: Stem, *, aft: bool) -> Profile:
    """The inner face of a stem in profile: its moulded size behind the face the planking ends on."""
    outer = hull.aft_cut if aft else hull.fore_cut
    top, foot = stem.profile[0, 1], stem.profile[-1, 1]
    if len(stem.profile) == 2:
        line = stem.profile
    else:
        z = np.linspace(top, foot, PROFILE_POINTS)
        line = np.stack([outer.at_height(z), z], axis=1)
    return Profile(parallel(line, -stem.moulded if aft else stem.moulded))

"""The stem: its profile, sawn square, and the landing bevels by height."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, unit
from patterns.geometry.cuts import Profile
from patterns.geometry.outlines import met, parallel, thinned
from patterns.hull.build import Stem
from patterns.hull.skin import Hull
from patterns.parts.edges import square_edge
from patterns.parts.panels import half_siding_cut
from patterns.parts.part import Landing, Mark, Part

LANES = 65
LANDING_SPACING = 100.0  # mm of height between figured bevels
PROFILE_POINTS = 129
TICK = 30.0  # mm


def cut_stem(hull: Hull, stem: Stem, *, aft: bool) -> Part:
    """A stem (or sternpost) seen from port: x aft, y height above base.

    The outer face is the profile the planking ends on, the inner face lies its moulded size behind it, its head is
    level at the sheer and its foot stands on the inside of the bottom.
    """
    landings = stem_landings(hull, stem, aft=aft)
    sheer, chine = _line_ends(hull, aft=aft)
    outer, inner, foot, head = _outline(hull, stem, head=float(sheer[1]), aft=aft)
    runs = {"fore": outer[::-1], "bottom": foot, "after": inner, "top": head} if not aft else {}
    if aft:
        runs = {"after": outer, "top": head, "fore": inner[::-1], "bottom": foot}
    return Part(
        name="sternpost" if aft else "stem",
        hand="none",
        thickness=stem.sided,
        material="wood not stated",
        marked_face="port face",
        edges=tuple(square_edge(name, run) for name, run in runs.items()),
        marks=_marks(hull, stem, landings, sheer, chine, aft=aft),
        bow="left",
        remarks=(
            "Saw to this shape square, mark the bearding line on both sides, then bevel from it to the face: each "
            "landing angle is off the centre plane, square to the face.",
        ),
        landings=landings,
    )


def stem_landings(hull: Hull, stem: Stem, *, aft: bool) -> tuple[Landing, ...]:
    """Bevels of the landing by height, from the chine up.

    Source: landing depth = (half siding - half face) / tan(angle), plane geometry; the angle lies between the inside
    of the planking and the centre plane, in the plane square to the stem's face at that height.
    """
    side = hull.side
    end = hull.aft_cut if aft else hull.fore_cut
    s, t = side.ruled.crossing(end.signed, hull.sheer_edge, hull.corner, side.inside, lanes=LANES)
    points = side.ruled.point(s, t, side.inside)
    normals = side.ruled.at(side.ruled.normal, s)
    along = _along_profile(end, points[:, 2])
    trace = np.cross(normals, along)
    angle = np.arctan2(np.abs(trace[:, 1]), np.hypot(trace[:, 0], trace[:, 2]))
    height = points[::-1, 2]
    count = max(2, int(np.ceil((height[-1] - height[0]) / LANDING_SPACING)) + 1)
    landings = []
    for z in np.linspace(height[0], height[-1], count):
        a, half_face = (float(np.interp(z, height, field[::-1])) for field in (angle, points[:, 1]))
        if half_face >= stem.sided / 2:
            raise ShapeError(
                "sided {}, but at height {} the inside of the planking, bent fair between sheer and chine, is {} "
                "across at its face: nothing is left to land on; wanted more siding, or lines that end closer together",
                stem.sided,
                float(z),
                2 * half_face,
            )
        landings.append(Landing(float(z), a, half_face, float((stem.sided / 2 - half_face) / np.tan(a))))
    return tuple(landings)


def _along_profile(end: Profile, z: Floats) -> Floats:
    """(n, 3) unit, up along the profile at heights."""
    slope = end.batten.slope(z)
    return unit(np.stack([slope, np.zeros_like(z), np.ones_like(z)], axis=1))


def _line_ends(hull: Hull, *, aft: bool) -> tuple[Floats, Floats]:
    """(x, z) of the sheer's and the lowest line's end on the profile."""
    ends = []
    for line in (hull.lines[0], hull.lines[-1]):
        x = line.curve.last if aft else line.curve.first
        ends.append(line.curve.point(np.array(x))[[0, 2]])
    return ends[0], ends[1]


def _outline(hull: Hull, stem: Stem, *, head: float, aft: bool) -> tuple[Floats, Floats, Floats, Floats]:
    """Outer face and inner face from the foot up, foot fore to aft, head aft to fore."""
    end = hull.aft_cut if aft else hull.fore_cut
    floor = _bottom_on_centre(hull)
    low = float(floor[:, 1].min()) - stem.moulded
    z = np.linspace(low, head + stem.moulded, PROFILE_POINTS)
    outer = np.stack([end.at_height(z), z], axis=1)
    inner = parallel(outer, stem.moulded if aft else -stem.moulded)
    outer, inner = (_between(line, floor, head) for line in (outer, inner))
    fore, after = (inner, outer) if aft else (outer, inner)
    inside = (floor[:, 0] > fore[0, 0]) & (floor[:, 0] < after[0, 0])
    foot = np.concatenate([fore[:1], floor[inside], after[:1]])
    return outer, inner, foot, np.stack([after[-1], fore[-1]])


def _between(line: Floats, floor: Floats, head: float) -> Floats:
    """A face of the stem from the inside of the bottom to the level of the head."""
    level = np.array([[line[:, 0].min() - 1e3, head], [line[:, 0].max() + 1e3, head]])
    _, rising = met(floor, line)
    standing, _ = met(rising, level)
    return thinned(standing)


def _bottom_on_centre(hull: Hull) -> Floats:
    """(n, 2) x and z of the inside of the bottom on the centre plane."""
    ruled = hull.bottom.ruled
    points = ruled.middle + hull.bottom.inside * ruled.normal
    return np.asarray(points[:, [0, 2]])


def _marks(
    hull: Hull, stem: Stem, landings: tuple[Landing, ...], sheer: Floats, chine: Floats, *, aft: bool
) -> tuple[Mark, ...]:
    side = hull.side
    cut = half_siding_cut(hull, stem, aft=aft)
    s, t = side.ruled.crossing(cut, hull.sheer_edge, hull.corner, side.inside, lanes=LANES)
    bearding = side.ruled.point(s, t, side.inside)[:, [0, 2]]
    end = hull.aft_cut if aft else hull.fore_cut
    inward = -1.0 if aft else 1.0
    marks = [Mark("bearding line", thinned(bearding))]
    for landing in landings:
        x = float(end.at_height(np.array(landing.height)))
        marks.append(
            Mark(
                f"{np.degrees(landing.angle):.1f}° landing",
                np.array([[x, landing.height], [x + inward * TICK, landing.height]]),
            )
        )
    for name, place in (("sheer", sheer), ("chine", chine)):
        marks.append(Mark(name, np.stack([place, place - np.array([inward * TICK, 0.0])])))
    return tuple(marks)

"""Where the planking of a round hull ends on stem, sternpost and keel: rabbet, apex and bearding of the true skin."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, lengths, unit
from patterns.geometry.cuts import Profile
from patterns.geometry.skin_faces import Surface
from patterns.hull.planking.smooth_skin import SmoothSkin

ALONG = 241  # places along an edge
INWARD = 97  # places by which the bearding is looked for, closer to each other near the edge
REACH = 0.5  # of the run from the edge inward within which it is looked for
HALVINGS = 45
ROUNDS, SETTLED = 40, 1e-8  # of Newton's steps to the profile, and mm
SMALL = 1e-6  # of u
NEAR_BY = 6.0  # mm between places of a bearding line: round a forefoot of 300 mm radius its chords are within 0.02 mm
FILLINGS = 8  # times that places are set half way between those too far apart
STEPS = 12  # Newton's, to the line
ABOVE = 0.06  # of v past the sheer, over which lines on a post are carried on
FINEST = np.radians(12.0)  # rad; finer than that no rabbet can be cut, common practice, no single source


@dataclass(frozen=True, slots=True, eq=False)
class PostLines:
    """What a stem or a sternpost is shaped by, points in profile (x aft, y height above base) from the sheer down."""

    rabbet: Floats  # (n, 2) mm, where the outside of the planking meets the timber's side
    apex: Floats  # (n, 2) mm, the inside corner of a plank that ends square there
    face: Floats  # (n, 2) mm, where the inside of the planking crosses the profile
    half_face: Floats  # (n,) mm, how far off the centre plane it does
    rabbet_angle: Floats  # (n,) rad, off the centre plane, square to the rabbet
    face_angle: Floats  # (n,) rad, the same square to the profile
    bearding: Floats  # (m, 2) mm, where the inside of the planking leaves the timber's side; goes on along the keel
    half: float  # mm, of the rabbet at its widest


def post_lines(skin: SmoothSkin, profile: Profile, *, half: float, aft: bool) -> PostLines:
    """Rabbet, apex and bearding of a stem (or a sternpost) of a half siding.

    Raises
    ------
    ShapeError
        Where the inside of the planking does not come to the profile, or never leaves the timber's side.
    """
    v = np.linspace(1.0, 0.0, ALONG)
    u = np.full(ALONG, 1.0 if aft else 0.0)
    edge = skin.surface.places(u, v)
    outside = edge.points - skin.outside * edge.normals
    apex = edge.points - skin.inside * edge.normals
    on_face, square = _on_profile(skin, profile, v, aft=aft)
    return PostLines(
        rabbet=outside[:, [0, 2]],
        apex=apex[:, [0, 2]],
        face=on_face[:, [0, 2]],
        half_face=on_face[:, 1],
        rabbet_angle=off_center(edge.normals, outside),
        face_angle=off_center(square, on_face),
        bearding=bearding(skin, half, aft=aft)[:, [0, 2]],
        half=float(outside[:, 1].max()),
    )


def off_center(normals: Floats, line: Floats) -> Floats:
    """(n,) rad, between the skin and the centre plane, in the plane square to a line (n, 3) seen in profile."""
    way = unit(np.gradient(line[:, [0, 2]], axis=0))
    trace = crossed(normals, np.stack([way[:, 0], np.zeros(len(way)), way[:, 1]], axis=1))
    return np.asarray(np.arctan2(np.abs(trace[:, 1]), np.hypot(trace[:, 0], trace[:, 2])))


def _on_profile(skin: SmoothSkin, profile: Profile, v: Floats, *, aft: bool) -> tuple[Floats, Floats]:
    """(n, 3) mm and (n, 3) unit: where the inside of the planking crosses the profile, and its normals there."""
    u = np.full(len(v), 1.0 if aft else 0.0)

    def off(at: Floats) -> Floats:
        found = skin.surface.places(at, v)
        return profile.signed(found.points - skin.inside * found.normals)

    for _ in range(ROUNDS):
        out = off(u)
        u = u - np.clip(out * SMALL / (off(u + SMALL) - out), -0.05, 0.05)
        if np.abs(out).max() < SETTLED:
            break
    found = skin.surface.places(u, v)
    return found.points - skin.inside * found.normals, found.normals


def bearding(skin: SmoothSkin, half: float, *, aft: bool) -> Floats:
    """(n, 3) mm, where the inside of the planking stands a half siding off the centre plane.

    From the sheer down a stem (or a sternpost) and on along the keel toward midship.

    Raises
    ------
    ShapeError
        Where the inside nowhere leaves the timber's side.
    """
    end = 1.0 if aft else 0.0
    away = -1.0 if aft else 1.0
    # Down the post each v has its place along u; along the keel each u has its place up v.
    v = np.linspace(1.0 + ABOVE, 0.0, ALONG)
    reach = REACH * np.linspace(0.0, 1.0, INWARD) ** 2
    down = _leaves(skin, half, end + away * reach, v, by_u=True)
    u = end + away * np.linspace(0.0, REACH, ALONG)
    along = _leaves(skin, half, REACH * np.linspace(0.0, 1.0, INWARD) ** 2, u, by_u=False)
    on_post = np.stack([down, v], axis=1)
    on_keel = np.stack([u, along], axis=1)
    places = _joined(skin.surface, on_post[np.isfinite(down)], on_keel[np.isfinite(along)], away)
    places = _filled(skin, half, places)
    found = skin.surface.places(places[:, 0], places[:, 1])
    return np.asarray(found.points - skin.inside * found.normals)


def _leaves(skin: SmoothSkin, half: float, tried: Floats, fixed: Floats, *, by_u: bool) -> Floats:
    """(n,) for each fixed v (or u) the first u (or v) of those tried at which the inside leaves the timber's side."""

    def out(free: Floats, held: Floats) -> Floats:
        found = skin.surface.places(free, held) if by_u else skin.surface.places(held, free)
        return np.asarray(found.points[:, 1] - skin.inside * found.normals[:, 1] - half)

    grid = out(np.tile(tried, len(fixed)), np.repeat(fixed, len(tried))).reshape(len(fixed), len(tried))
    passing = (grid[:, :-1] <= 0) & (grid[:, 1:] > 0)
    first = passing.argmax(axis=1)
    low, high = tried[first], tried[first + 1]
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        inside = out(middle, fixed) <= 0
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return np.where(passing.any(axis=1), low, np.nan)


def _joined(surface: Surface, on_post: Floats, on_keel: Floats, away: float) -> Floats:
    """(n, 2) u and v of the line down the post as long as it runs more down than along, then of that along the keel."""
    if not len(on_post) and not len(on_keel):
        raise ShapeError("the inside of the planking nowhere leaves its side; expected less siding or thinner planking")
    if len(on_post) < 3:
        return on_keel
    points = surface.places(*on_post.T).points
    steep = np.abs(np.diff(points[:, 2])) >= np.abs(np.diff(points[:, 0]))
    last = int(np.argmin(steep)) if not steep.all() else len(steep)
    kept = on_post[: max(last, 1) + 1]
    after = on_keel[away * (on_keel[:, 0] - kept[-1, 0]) > 0]
    return np.concatenate([kept, after])


def _filled(skin: SmoothSkin, half: float, places: Floats) -> Floats:
    """(m, 2) the same line with places no further apart than NEAR_BY.

    Round a forefoot a step along u, fine as it is along the keel, runs a hand's breadth up the stem.
    """

    def at(uv: Floats) -> Floats:
        found = skin.surface.places(uv[:, 0], uv[:, 1])
        return np.asarray(found.points - skin.inside * found.normals)

    for _ in range(FILLINGS):
        points = at(places)
        wide = np.flatnonzero(lengths(np.diff(points, axis=0)) > NEAR_BY)
        if not len(wide):
            break
        found = skin.surface.places(*((places[wide] + places[wide + 1]) / 2).T)
        size = np.stack([lengths(found.along), lengths(found.up)], axis=1)  # mm to each unit of u and v
        new = (places[wide] + places[wide + 1]) / 2
        for _ in range(STEPS):
            off = at(new)[:, 1] - half
            slope = np.stack([at(new + SMALL * step)[:, 1] - half - off for step in np.eye(2)], axis=1) / SMALL / size
            new = new - (off / (slope**2).sum(axis=1))[:, None] * slope / size
        places = np.insert(places, wide + 1, new, axis=0)
    return places


@dataclass(frozen=True, slots=True, eq=False)
class KeelLines:
    """Lines along a keel, points in profile, fore to aft."""

    rabbet: Floats  # (n, 2) mm
    apex: Floats  # (n, 2) mm
    bearding: Floats  # (n, 2) mm
    angle: Floats  # (n,) rad, of the planking off the centre plane, square to the rabbet
    half: Floats  # (n,) mm, of the rabbet


def keel_lines(skin: SmoothSkin) -> KeelLines:
    """The rabbet along the keel from end to end, with apex and bearding; NaN where the inside leaves no side."""
    u = np.linspace(0.0, 1.0, ALONG)
    edge = skin.surface.places(u, np.zeros(ALONG))
    outside = edge.points - skin.outside * edge.normals
    apex = edge.points - skin.inside * edge.normals
    half = float(np.median(outside[:, 1]))
    v = _leaves(skin, half, REACH * np.linspace(0.0, 1.0, INWARD) ** 2, u, by_u=False)
    known = np.isfinite(v)
    place = skin.surface.places(u, np.where(known, v, 0.0))
    line = np.where(known[:, None], place.points - skin.inside * place.normals, np.nan)
    return KeelLines(
        outside[:, [0, 2]], apex[:, [0, 2]], line[:, [0, 2]], off_center(edge.normals, outside), outside[:, 1]
    )


def fine_at(points: Floats, angle: Floats) -> tuple[float, float] | None:
    """mm along a line (n, 2) from where to where its planking comes in too fine for a rabbet; None where nowhere."""
    fine = np.flatnonzero(angle < FINEST)
    if not len(fine):
        return None
    run = np.concatenate([[0.0], np.cumsum(lengths(np.diff(points, axis=0)))])
    return float(run[fine[0]]), float(run[fine[-1]])

"""The rulings of a strake: between two lines, or down a stem and along a keel as one where it comes to a point."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import lengths
from patterns.geometry.boundaries import Boundary, ProfileCurve, Turned, down_profile
from patterns.geometry.curves import SpaceCurve
from patterns.geometry.cuts import Profile
from patterns.geometry.pointed_rulings import lay_pointed, ratio_at
from patterns.geometry.ruled import Ruled
from patterns.geometry.rulings import lay_rulings
from patterns.hull.fairing import FairedLine

ONE_POINT = 2.0  # mm; lines that end nearer to each other on a stem end in one place: a table is rounded that far
ASTRAY = np.radians(1.0)  # rad; past the ends a ruling that twists more belongs to no sheet
CURED = np.radians(0.5)  # rad; rulings that lean far are taken where they cure the twist, or not at all
CLEARLY_LESS = 0.75  # of the twist
COVERED = 0.025  # of its length, how far past its ends each line is met by rulings at the least
HARDLY_BENT = np.radians(15.0)  # rad; no plywood is forced so far without help, common practice, no single source
NEAR_POINT = 0.005  # of a strake's length; shorter rulings beside a point tell no twist
LEAST_STEM = 1.0  # mm of height; less stem between chine and keel is none


def lay_between(upper: SpaceCurve, lower: SpaceCurve) -> Ruled:
    """The rulings between two lines that both run from end to end.

    Those nearest straight across are taken where they do not twist. On cones whose rulings lean far along the boat
    they do, and the pairing that looks at every way is taken if it cures that. What it leaves on rulings that meet one
    line past the other's end comes of carrying the other on, so there it only has to twist clearly less: rulings that
    lean over a sheet that is truly twisted push its twist out past the ends.
    """
    ruled = lay_rulings(upper, lower)
    worst = _worst(ruled, upper, lower)
    if worst < CURED:
        return ruled
    other = _sound_only(lay_pointed(Boundary([upper]), Boundary([lower]), fore=False, aft=False), upper, lower)
    cured = _worst(other, upper, lower, both=True) < CURED and _worst(other, upper, lower) < CLEARLY_LESS * worst
    return other if cured and _covers(other, upper, lower) else ruled


def _covers(ruled: Ruled, upper: SpaceCurve, lower: SpaceCurve) -> bool:
    """Whether rulings meet both lines from end to end."""
    for sign, line in ((-1.0, upper), (1.0, lower)):
        x = ruled.points(sign * ruled.reach, 0.0)[:, 0]
        if x[0] > line.first or x[-1] < line.last:
            return False
    return True


def _sound_only(ruled: Ruled, upper: SpaceCurve, lower: SpaceCurve) -> Ruled:
    """The rulings without those past the ends that still twist: they would lie across the sound ones.

    As many stay as meet both lines a little past their ends.
    """
    feet = [(ruled.points(sign * ruled.reach, 0.0)[:, 0], line) for sign, line in ((-1.0, upper), (1.0, lower))]
    spare = [COVERED * (line.last - line.first) for _, line in feet]
    before = np.logical_and.reduce([x < line.first - past for (x, line), past in zip(feet, spare, strict=True)])
    after = np.logical_and.reduce([x > line.last + past for (x, line), past in zip(feet, spare, strict=True)])
    forced = np.abs(ruled.twist) > ASTRAY
    first = int(np.flatnonzero(before & forced).max(initial=-1)) + 1
    last = int(np.flatnonzero(after & forced).min(initial=len(ruled)))
    kept = slice(first, last)
    fields = ruled.middle, ruled.along, ruled.normal, ruled.reach, ruled.twist
    return Ruled(*(field[kept] for field in fields))


def _worst(ruled: Ruled, upper: SpaceCurve, lower: SpaceCurve, *, both: bool = False) -> float:
    """rad, the greatest twist of a ruling that meets either line between its ends, or both lines."""
    above, below = (ruled.points(sign * ruled.reach, 0.0)[:, 0] for sign in (-1.0, 1.0))
    within = [(x > line.first) & (x < line.last) for x, line in ((above, upper), (below, lower))]
    told = within[0] & within[1] if both else within[0] | within[1]
    return float(np.abs(np.where(told, ruled.twist, 0.0)).max())


def lay_garboard(
    name: str, chine: FairedLine, keel: FairedLine, pointed: tuple[bool, bool], profiles: tuple[Profile, Profile]
) -> Ruled:
    """The rulings between a chine and the keel, which on a stem meet in a point.

    Parameters
    ----------
    pointed : bool, bool
        Whether there is a stem fore, and a sternpost aft.
    profiles : Profile, Profile
        Of both ends.

    Raises
    ------
    ShapeError
        Lines that end apart from each other on a stem.
    """
    pieces: list[SpaceCurve] = [keel.curve]
    for aft in (False, True):
        if pointed[aft]:
            stem = _stem_between(name, chine, keel, profiles[aft], aft=aft)
            pieces = [*pieces, *(Turned(piece) for piece in reversed(stem))] if aft else [*stem, *pieces]
    curve = chine.curve
    ends = curve.point(np.array([curve.first, curve.last]))
    points = (ends[0] if pointed[0] else None), (ends[1] if pointed[1] else None)
    upper, lower = Boundary([curve], points=points), Boundary(pieces, points=points)
    ruled = lay_pointed(upper, lower, fore=pointed[0], aft=pointed[1])
    for aft in (False, True):
        if (
            pointed[aft]
            and ratio_at(upper, lower, aft=aft).opposed
            and _worst_near(ruled, upper, aft=aft) > HARDLY_BENT
        ):
            end = "sternpost" if aft else "stem"
            raise ShapeError(
                f"{name} planking: where the {chine.name} meets the {end}, one of them is hollow and the other round: "
                f"no sheet of plywood can start between them; expected a {chine.name} that leaves the {end} without a "
                "hollow",
                at=float(ends[1 if aft else 0][0]),
            )
    return ruled


def _worst_near(ruled: Ruled, upper: Boundary, *, aft: bool) -> float:
    """rad, the greatest twist in the quarter of a strake next to a point."""
    count = len(ruled) // 4
    near = slice(-count, None) if aft else slice(count)
    return float(np.abs(ruled.twist[near][ruled.reach[near] > NEAR_POINT * upper.length]).max(initial=0.0))


def _stem_between(name: str, chine: FairedLine, keel: FairedLine, profile: Profile, *, aft: bool) -> list[ProfileCurve]:
    """The stem's profile from the chine's end down to the keel's, in pieces; none where both end in one place."""
    ends = [line.curve.point(np.array(line.curve.last if aft else line.curve.first)) for line in (chine, keel)]
    (_, out, high), (from_fp, half, low) = (end.tolist() for end in ends)
    end = "sternpost" if aft else "stem"
    if abs(out - half) > ONE_POINT:
        raise ShapeError(
            f"{name} planking: at the {end} the {chine.name} ends {{}} off the center plane, the {keel.name} {{}}; "
            f"expected both to end alike there, on the center plane or at the keel's half siding",
            out,
            half,
            at=from_fp,
        )
    if low > high + ONE_POINT:
        raise ShapeError(
            f"{name} planking: at the {end} the {keel.name} ends {{}} above base, higher than the {chine.name} at "
            f"{{}}; expected the {keel.name} to begin where the {end}'s profile, going down, hands over to it",
            low,
            high,
            at=from_fp,
        )
    if high - low < LEAST_STEM:
        if float(lengths(ends[0] - ends[1])) > ONE_POINT:
            raise ShapeError(
                f"{name} planking: at the {end} the {chine.name} and the {keel.name} end {{}} apart; expected one "
                "place, "
                f"or a profile that runs down to the {keel.name}'s end",
                float(lengths(ends[0] - ends[1])),
                at=from_fp,
            )
        return []
    return down_profile(profile, half, high, low)

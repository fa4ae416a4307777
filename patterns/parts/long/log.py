"""The chine log: in the corner of two strakes, its top bevelled to shed water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, crossed, dots, run_along, unit
from patterns.geometry.development import Flat, develop
from patterns.geometry.parallels import parallel_on
from patterns.geometry.ruled import Ruled, Signed
from patterns.hull.build import within_sentence
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Corner, Face
from patterns.parts.asked.long_rules import ChineLogRules
from patterns.parts.long.long_ends import inner_face
from patterns.parts.long.long_pieces import Place
from patterns.parts.long.stick import Cut, Ends, Facet, Stick
from patterns.units.lengths import write_length

WITHIN = np.radians(0.05)  # rad; nearer to what is wanted than this, tenths of a degree read the same

# rad; at less, the lower edge of a log in the corner would run out more than 1.7 times its thickness, and be bevelled
# more than 60 degrees: no saw does it. A judgement.
STANDS = np.radians(30.0)
MOSTLY = 0.75  # share of its length along which a chine turns enough, for a log in its corner
TOO_LITTLE = "nothing, square: beyond it the strakes turn too little for a log"
LEAPS = 5.0  # times the usual way from ruling to ruling, by which an edge has leapt elsewhere
RUNS_ON = 40.0  # mm that its edges must be known for past the place where it stops
HOLLOW = np.radians(-0.5)  # rad; less is how well the turn is known
ON_BELOW = 0.5  # share of a batten's face that lies on the strake below
MOST_PLANED = 0.75  # of a batten's thickness, planed off at its lower edge
NARROWER = 1.0  # mm, by which a landing is made narrower
LEAST_LANDING = 5.0  # mm on the strake below; on less no glue holds, a judgement


def chine_log(hull: Hull, corner: Corner, rules: ChineLogRules) -> tuple[Stick, Ends]:
    """The log in a chine, and where it stops short of the boat's ends.

    Where the strakes turn well it stands in their corner, on the inside of the strake above and of the one below; it
    stops where toward an end they turn too little. Where they turn little nearly everywhere it is a batten across the
    chine, a part of its face planed off to lie on the strake below.
    """
    between = _between_ends(hull, corner)
    turn = corner.turn[between]
    above, below = within_sentence(corner.above.name), within_sentence(corner.below.name)
    with while_making(rules.name):
        if not len(turn):
            raise ShapeError(f"the {corner.line} has no length between the ends of the boat")
        if turn.min() < HOLLOW:
            at = float(corner.points[between][turn.argmin(), 0])
            raise ShapeError(
                f"{above} and {below} meet in a hollow, and a log lies only in a chine that turns inward: leave "
                "this chine without one",
                at=at,
            )
        standing = _standing(corner, between)
        if standing is not None:
            stick = _in_corner(corner, rules, standing)
            if (standing == between).all():
                return stick, (None, None)
            stick = _whole(stick, standing)
            return stick, _stops(corner, stick, between, standing)
        return _across(hull, corner, rules, between), (None, None)


def _standing(corner: Corner, between: NDArray[np.bool_]) -> NDArray[np.bool_] | None:
    """(n,) the rulings in one run on which a log can stand in the corner; None where they are too few."""
    well = between & (corner.turn >= STANDS)
    runs = np.flatnonzero(np.diff(np.concatenate([[False], well, [False]]).astype(int)))
    if not len(runs):
        return None
    starts, ends = runs[::2], runs[1::2]
    longest = int((ends - starts).argmax())
    numbers = np.arange(len(well))
    run = (numbers >= starts[longest]) & (numbers < ends[longest])
    share = run_along(corner.points[run])[-1] / run_along(corner.points[between])[-1]
    return np.asarray(run) if share >= MOSTLY else None


def _stops(corner: Corner, stick: Stick, between: NDArray[np.bool_], standing: NDArray[np.bool_]) -> Ends:
    """Square to the log where it last stands in the corner whole, where that is not at the end of the boat.

    Raises
    ------
    ShapeError
        Where it stands so nowhere near the end.
    """
    numbers, whole = np.flatnonzero(standing), np.flatnonzero(between)

    def stop(inward: NDArray[np.intp], end: int, outward: float) -> Cut | None:
        if inward[0] == end:
            return None
        for last in inward[: len(inward) // 4]:
            at = corner.points[last]
            way = unit(corner.points[last + 1] - corner.points[last - 1])
            if all(_reaches(stick, _square(at + outward * past * way, way)) for past in (0.0, RUNS_ON)):
                return Cut(_square(at, way), TOO_LITTLE)
        raise ShapeError("the strakes turn too little for it to stand in their corner", at=float(corner.points[end, 0]))

    return stop(numbers, int(whole[0]), -1.0), stop(numbers[::-1], int(whole[-1]), 1.0)


def _square(at: Floats, way: Floats) -> Signed:
    return lambda points: np.asarray((points - at) @ way)


def _between_ends(hull: Hull, corner: Corner) -> NDArray[np.bool_]:
    """(n,) on which rulings of the strake above the corner lies between the ends of the boat, and is known."""
    points, turn = corner.points, corner.turn
    with np.errstate(invalid="ignore"):
        return np.asarray((hull.fore_cut.signed(points) > 0) & (hull.aft_cut.signed(points) < 0) & np.isfinite(turn))


def _in_corner(corner: Corner, rules: ChineLogRules, between: NDArray[np.bool_]) -> Stick:
    """On the inside of the strake above, its lower edge bevelled to the inside of the one below.

    Its size as moulded is measured on the strake above, square to its lower edge; the top is bevelled from there.
    """
    ruled, near_depth = corner.above.ruled, corner.above.inside
    far_depth, lower = near_depth - rules.sided, corner.on_above
    far = ruled.points(lower, far_depth)
    far_lower = lower + corner.below.ruled.pierced_by(far, ruled.along, corner.below.inside)
    flat = develop(ruled, depth=(near_depth + far_depth) / 2)
    upper = parallel_on(flat, lower, rules.moulded)
    far_upper = _far_upper(ruled, flat, upper, near_depth, rules)
    _refuse_no_wood(far_upper, far_lower, between)
    return Stick(corner.above, Face(near_depth, upper, lower), Face(far_depth, far_upper, far_lower), rules.moulded)


def _across(hull: Hull, corner: Corner, rules: ChineLogRules, between: NDArray[np.bool_]) -> Stick:
    """A batten across the chine, square below, moulded over both strakes.

    On the strake below it lands as broad as on the one above; less where too little wood would be left at its lower
    edge, or where rulings of the strake above come together soon below the chine, so that no edge can follow them.
    """
    steepest = max(float(np.sin(corner.turn[between]).max()), 1e-9)
    most = min(ON_BELOW * rules.moulded, MOST_PLANED * rules.sided / steepest)
    if most < LEAST_LANDING:
        raise ShapeError(
            f"it would lie only {{}} on {within_sentence(corner.below.name)}; expected at least {{}}: make it larger",
            most,
            LEAST_LANDING,
        )
    for landing in np.arange(most, LEAST_LANDING, -NARROWER):
        stick = _batten(corner, rules, between, landing=float(landing))
        if all(_reaches(stick, inner_face(hull, aft=aft).signed) for aft in (False, True)):
            return stick
    raise ShapeError(
        f"rulings of {within_sentence(corner.above.name)} come together so soon below the {corner.line} that no batten "
        "across it "
        "can be drawn from end to end: make it smaller, or leave this chine without one"
    )


def _batten(corner: Corner, rules: ChineLogRules, between: NDArray[np.bool_], *, landing: float) -> Stick:
    ruled, near_depth = corner.above.ruled, corner.above.inside
    far_depth, chine, turn = near_depth - rules.sided, corner.on_above, corner.turn
    flat = develop(ruled, depth=(near_depth + far_depth) / 2)
    upper, lower = parallel_on(flat, chine, rules.moulded - landing), parallel_on(flat, chine, -landing * np.cos(turn))
    left = corner.below.ruled.pierced_by(ruled.points(lower, far_depth), ruled.normal, corner.below.inside)
    far_upper = _far_upper(ruled, flat, upper, near_depth, rules)
    _refuse_no_wood(far_upper, lower, between)
    facet = Facet(corner.line, corner.below.name, landing, chine, turn, rules.sided - left)
    near, far = Face(near_depth, upper, lower), Face(far_depth, far_upper, lower)
    return _whole(Stick(corner.above, near, far, rules.moulded, facet), between)


def _one_run(known: NDArray[np.bool_], between: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Of the rulings on which all is known, those that hang together with the middle one of the boat."""
    middle = int(np.flatnonzero(between)[between.sum() // 2])
    lost = np.flatnonzero(~known)
    first, last = lost[lost < middle].max(initial=-1), lost[lost >= middle].min(initial=len(known))
    numbers = np.arange(len(known))
    return np.asarray((numbers > first) & (numbers < last))


def _whole(stick: Stick, between: NDArray[np.bool_]) -> Stick:
    """The same stick only where all its edges run on from one ruling to the next, none of them missed.

    Past its ends a strake is carried on: there rulings come together, and edges beside them fold or are lost.
    """
    near, far = stick.near, stick.far
    known = np.ones(len(between), bool)
    for face, share in ((face, share) for face in (near, far) for share in (0.0, 1.0)):
        points = stick.points(face, share)
        with np.errstate(invalid="ignore"):
            on = dots(np.diff(points, axis=0), stick.ruled.aftward[:-1])
            runs_on = (on > 0) & (on < LEAPS * np.nanmedian(on[between[:-1]]))
        known &= np.concatenate([runs_on, [True]]) & np.concatenate([[True], runs_on])
    known = _one_run(known, between)
    near, far = (Face(f.depth, *(np.where(known, line, np.nan) for line in (f.upper, f.lower))) for f in (near, far))
    return replace(stick, near=near, far=far)


def _reaches(stick: Stick, cut: Signed) -> bool:
    """Whether a surface across the boat cuts all its edges."""
    try:
        ends = [stick.met(cut, face, share) for face in (stick.near, stick.far) for share in (0.0, 1.0)]
    except ShapeError:
        return False
    return bool(np.isfinite(ends).all())


def _far_upper(ruled: Ruled, flat: Flat, upper: Floats, depth: float, rules: ChineLogRules) -> Floats:
    return parallel_on(flat, upper, -rules.sided * np.tan(top_bevel(ruled, upper, depth, rules)))


def _refuse_no_wood(upper: Floats, lower: Floats, between: NDArray[np.bool_]) -> None:
    if ((upper >= lower) & between).any():
        raise ShapeError("its bevels leave no wood on its inner face")


def top_bevel(ruled: Ruled, upper: Floats, depth: float, rules: ChineLogRules) -> Floats:
    """(n,) rad, under, of the top on each ruling.

    A line drawn down the top square to the log runs inboard along ``-out cos b - up sin b``. With the boat level it
    falls by the drain where ``out_z cos b + up_z sin b = sin drain`` (vectors; with the log level this is
    b = drain + flare).
    """
    if rules.top_bevel is not None or rules.drain is None:
        return np.full(len(ruled), rules.top_bevel or 0.0)
    points = ruled.points(upper, depth)
    with np.errstate(invalid="ignore", divide="ignore"):
        up = crossed(unit(np.gradient(points, axis=0)), ruled.normal)
        size = np.hypot(ruled.normal[:, 2], up[:, 2])
        return np.asarray(np.arcsin(np.sin(rules.drain) / size) - np.arctan2(ruled.normal[:, 2], up[:, 2]))


def water_held(places: Sequence[Place], rules: ChineLogRules, show: str) -> str | None:
    """What to tell of a log whose top does not shed water as it should, if it does not."""
    least = rules.drain - WITHIN if rules.drain else WITHIN
    poor = [place for place in places if place.slope < least]
    if not poor:
        return None
    worst = min(poor, key=lambda place: place.slope)
    slope = np.degrees(worst.slope)
    if abs(worst.slope) < WITHIN:
        lies = "lies level and holds water"
    else:
        lies = f"falls only {slope:.1f}° inboard" if slope > 0 else f"slopes {-slope:.1f}° outboard and holds water"
    wanted = f", expected {np.degrees(rules.drain):.1f}° or more inboard" if rules.drain else ""
    at = f"{write_length(worst.along, show)} from the fore end of its lower edge"
    where = f"{worst.name}, {at}" if worst.name else at
    return f"with the boat level its top {lies} at {where}{wanted}; too little at {len(poor)} of {len(places)} marks."

"""The stem (or sternpost) of a round hull: in profile, with rabbet, apex and bearding from the true skin."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, run_along, unit
from patterns.geometry.outlines import across, met, parallel, thinned
from patterns.hull.build import Stem
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.smooth_edges import FINEST, PostLines, post_lines
from patterns.hull.planking.smooth_skin import SmoothSkin
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.ends.landings import LandingLine
from patterns.parts.ends.stem import bearding_marks, line_marks, parts_of_shape
from patterns.parts.ends.v_stem import (
    LEAST_WOOD,
    PAST,
    VStem,
    above_foot,
    inner_face,
    landing_marks,
    outside_marks,
    profile_up,
    square_foot,
    up_to_head,
)
from patterns.parts.ends.v_stem_words import v_doubts
from patterns.parts.part import Mark, Part
from patterns.units.lengths import write_length

NEAR_ENOUGH = 3.0  # mm; the planking may end this far off the timber's side before its siding is not that of the table
SPACING = 100.0  # mm along the edge between figured landings
OVER_HEAD = 12.0  # mm that the bearding line is drawn past the head, to be carried on to it
LEAST_RUN = 20.0  # mm of landing; less is none
LEAST_FALL = 1e-6  # mm from place to place along an edge; less runs level
PLANKS = "planking"


@dataclass(frozen=True, slots=True)
class _Fine:
    """A stretch of a stem where the planking comes in too fine for a rabbet, or no height tells its places."""

    low: float  # mm above base
    high: float
    least: float  # rad, its angle
    at_head: bool


def cut_round_stem(hull: Hull, stem: Stem, work: StemWork, *, aft: bool, show: str = "mm") -> tuple[Part, ...]:
    """The stem seen from port: x aft, y height above base; and its false stem, where one is asked for.

    Where the planking comes in too fine for a rabbet, as along a keel, nothing is drawn but the rabbet line, and told.

    Raises
    ------
    ShapeError
        A siding that is not that of the table, or no wood left behind the planking.
    """
    assert hull.smooth is not None
    if work.ends is PlankEnds.LAPPED:
        raise ShapeError(
            "planks_end is 'second side laps the first'; expected 'in a rabbet' or 'under a false stem' on a round hull"
        )
    rabbet = work.ends is PlankEnds.RABBET
    end = hull.aft_cut if aft else hull.fore_cut
    lines = post_lines(hull.smooth, end, half=stem.sided / 2, aft=aft)
    if rabbet:
        _check_siding(stem, lines)
    shape, fine = _shaped(hull.smooth, stem, lines, end.corners, hull, rabbet=rabbet, work=work, aft=aft)
    landings = tuple(one for line in shape.landings for one in line.figured())
    doubts = (*_fine_words(fine, show), *v_doubts(shape, landings, stem, show))
    # In a rabbet angles and depths are measured from the rabbet line, which lies behind the fore edge.
    measured = replace(shape, outer=lines.rabbet[::-1]) if rabbet else shape
    return parts_of_shape(
        stem,
        work,
        replace(shape, half=lines.half),
        landings,
        marks=(
            *(_rabbet_marks(lines, shape) if rabbet else ()),
            *bearding_marks(shape, rabbet=rabbet),
            *landing_marks(measured, landings, show, aft=aft),
            *outside_marks(shape, rabbet=True, aft=aft),
            *line_marks({"sheer": lines.rabbet[0], **_plank_ends(hull.smooth, lines, aft=aft)}, aft=aft),
        ),
        remarks=tuple(_remarks(lines, stem, work, hull.smooth, show)),
        doubts=doubts,
        rabbet=rabbet,
        show=show,
        aft=aft,
    )


def _plank_ends(skin: SmoothSkin, lines: PostLines, *, aft: bool) -> dict[str, Floats]:
    """(2,) mm, where the edge of each plank, or each ribband, comes to the rabbet line."""
    planks = skin.planks
    if planks is None or planks.rules.strip:
        return {}
    down = np.linspace(1.0, 0.0, len(lines.rabbet))[::-1]
    at = planks.v[:, -1 if aft else 0]
    return {
        name: np.array([np.interp(v, down, side[::-1]) for side in lines.rabbet.T])
        for name, v in zip(planks.names, at, strict=True)
    }


def _check_siding(stem: Stem, lines: PostLines) -> None:
    if abs(lines.half - stem.sided / 2) > NEAR_ENOUGH:
        raise ShapeError(
            "a rabbet lies where the planking's outside ends on its side: the table ends it at a half-breadth of {}, "
            "half its siding is {}; expected them alike",
            lines.half,
            stem.sided / 2,
        )


def _shaped(
    skin: SmoothSkin,
    stem: Stem,
    lines: PostLines,
    corners: tuple[float, ...],
    hull: Hull,
    *,
    rabbet: bool,
    work: StemWork,
    aft: bool,
) -> tuple[VStem, tuple[_Fine, ...]]:
    """The stem in profile, and the stretches where its planking comes in too fine."""
    end = hull.aft_cut if aft else hull.fore_cut
    head, heel = float(lines.rabbet[0, 1]), float(end.points[-1, 1])
    profile = profile_up(end, heel, head + PAST / 10, corners)
    inner, cornered = inner_face(profile, corners, stem, head, aft=aft)
    ahead = (work.false_moulded or 0.0) if rabbet else 0.0
    outer = up_to_head(parallel(profile, -ahead if aft else ahead) if ahead else profile, head)
    if stem.moulded < LEAST_WOOD:
        raise ShapeError("moulded {}: no wood is left; expected more", stem.moulded)
    points, angle = (lines.rabbet, lines.rabbet_angle) if rabbet else (lines.face, lines.face_angle)
    half = np.full(len(points), stem.sided / 2) if rabbet else lines.half_face
    if not rabbet and float(half.max()) >= stem.sided / 2:
        raise ShapeError(
            "sided {}, but the inside of the planking is {} across at its face: nothing is left to land on; expected "
            "more siding",
            stem.sided,
            2 * float(half.max()),
        )
    foot = square_foot(profile, aft=aft)
    above = points[:, 1] > heel
    coarse = angle >= FINEST
    # Landings are told by height, so only as far down as the edge falls.
    falls = np.concatenate([[True], np.diff(points[:, 1]) < -LEAST_FALL])
    landed = _longest(above & coarse & falls)
    # Where all comes in too fine, all of it lies below.
    first = int(landed.argmax()) if landed.any() else 0
    first += _hooked(points[landed], lines.bearding)
    landed[:first] = False
    before = np.arange(len(points)) < first
    fine = tuple(
        _Fine(float(points[there, 1].min()), float(points[there, 1].max()), float(angle[there].min()), at_head)
        for there, at_head in ((above & before, True), (above & ~before & ~landed, False))
        if there.any()
    )
    landing, beardings = _landing(
        points[landed], angle[landed], half[landed], lines.bearding, to_head=not first, aft=aft
    )
    bearding = () if landing is None else tuple(above_foot(line, foot)[::-1] for line in beardings)
    shape = VStem(
        up_to_head(profile, head), outer, inner, (landing,) if landing else (), bearding, stem.sided / 2, cornered
    )
    return shape, fine


def _longest(there: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The same places, of the longest run of neighbours alone."""
    turns = np.diff(np.concatenate([[0], there.astype(int), [0]]))
    runs = zip(np.flatnonzero(turns == 1).tolist(), np.flatnonzero(turns == -1).tolist(), strict=True)
    first, last = max(runs, key=lambda run: run[1] - run[0], default=(0, 0))
    return (np.arange(len(there)) >= first) & (np.arange(len(there)) < last)


def _hooked(points: Floats, bearding: Floats) -> int:
    """How many places from the head down have no bearding square behind them: the planking turns in sharply there."""
    for first in range(len(points) - 3):
        with suppress(ShapeError):
            across(points[first:], bearding, run_along(points[first:]))
            return first
    return 0


def _landing(
    points: Floats, angle: Floats, half: Floats, bearding: Floats, *, to_head: bool, aft: bool
) -> tuple[LandingLine | None, tuple[Floats, ...]]:
    """The landing by height, and the bearding line as far down as it is one; none where all comes in too fine."""
    if len(points) < 4 or run_along(points)[-1] < LEAST_RUN:
        return None, ()
    along = run_along(points)
    depth = np.abs(across(points, bearding, along))
    up = slice(None, None, -1)
    line = LandingLine(
        PLANKS,
        points[up, 1],
        angle[up],
        half[up],
        points[up, 1],
        depth[up],
        max(2, int(np.ceil(along[-1] / SPACING)) + 1),
    )
    kept = bearding[bearding[:, 1] < points[0, 1] + OVER_HEAD]
    with suppress(ShapeError):
        if not to_head:
            _, kept = met(_square(points[0], points[1] - points[0], aft=aft), bearding)
    with suppress(ShapeError):
        kept, _ = met(kept, _square(points[-1], points[-1] - points[-2], aft=aft))
    return line, (kept,)


def _square(place: Floats, down: Floats, *, aft: bool) -> Floats:
    """(2, 2) mm, a line from a place on a stem's edge inward, square to the way it runs down."""
    way = unit(down)
    return np.stack([place, place + PAST * (np.array([way[1], -way[0]]) if aft else np.array([-way[1], way[0]]))])


def _rabbet_marks(lines: PostLines, shape: VStem) -> Iterator[Mark]:
    """Rabbet line all the way down, apex line as far as there is a rabbet."""
    heel = float(shape.profile[0, 1])
    yield Mark("rabbet line", thinned(lines.rabbet[lines.rabbet[:, 1] >= heel - SPACING / 1e3]))
    if shape.landings:
        low, high = shape.landings[0].height[[0, -1]].tolist()
        kept = lines.apex[(lines.rabbet[:, 1] >= low - 1e-9) & (lines.rabbet[:, 1] <= high + 1e-9)]
        if len(kept) > 1:
            yield Mark("apex line", thinned(kept))


def _fine_words(fine: tuple[_Fine, ...], show: str) -> Iterator[str]:
    for one in fine:
        low, high = (write_length(z, show) for z in (one.low, one.high))
        reach = f"from {low} to {high} above base" if low != high else f"at {low} above base"
        why = (
            f"the planking lies along its side {reach}, within {np.degrees(FINEST):.0f}°: no rabbet or landing can be "
            "cut there to a figure, and none is drawn"
        )
        if one.at_head and one.least >= FINEST:
            why = f"the planking turns so sharply by the head, {reach}, that no landing is sure, and none is drawn"
        elif one.least >= FINEST:
            why = (
                f"the timber's edge runs level between {low} and {high} above base: no height tells a landing there, "
                "and none is drawn"
            )
        carry = "up to the head" if one.at_head else "on with a batten, into those along the keel"
        yield f"{why}. Carry the lines {carry}, and fit that part to a piece of the planking"


def _remarks(lines: PostLines, stem: Stem, work: StemWork, skin: SmoothSkin, show: str) -> Iterator[str]:
    thick = write_length(skin.inside - skin.outside, show)
    if work.ends is PlankEnds.RABBET:
        yield (
            "Saw to this outline square. Mark all three lines on both sides and cut the rabbet between them. The "
            "outside of the planking meets the stem's side along the rabbet line. The apex line is the bottom "
            "corner of the groove. The inside of the planking leaves the stem at the bearding line."
        )
        yield f"The groove is as deep as the planking is thick, {thick}, measured square to the planking."
    else:
        wide = sorted(
            {write_length(2 * max(0.0, float(half)), show) for half in (lines.half_face[0], lines.half_face[-1])}
        )
        yield (
            "Saw to this outline square. Mark the bearding line on both sides, then plane each side from that line to "
            f"the face. The face is left {' to '.join(wide)} wide, as the landings say. A false stem goes on over the "
            "plank ends."
        )
    edge = "rabbet line" if work.ends is PlankEnds.RABBET else "edge"
    yield f"Each landing angle lies off the center plane. Angles and depths are measured square to the {edge}."
    yield "The foot is square to the profile at the heel. The keel butts against it there, or is scarfed to it."

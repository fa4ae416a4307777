"""Side and bottom panels: planking unrolled on its mid-thickness, with both faces, bevels and the frames' places."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.cuts import Plane
from patterns.geometry.ruled import EdgeLostError, SkinEndsError
from patterns.hull.build import Joint, Stem, Transom, end_word, within_sentence
from patterns.hull.planking.half_siding import half_siding_cut
from patterns.hull.planking.skin import TWIST_BORNE, Hull
from patterns.hull.planking.strakes import Corner, Strake
from patterns.hull.planking.transition import (
    inside_below,
    joint_table,
    outside_above,
    outside_below,
    refuse_edges_without_turn,
    transition,
    while_edges_meet,
)
from patterns.parts.edges import mirrored
from patterns.parts.panels.boards import planked_athwart
from patterns.parts.panels.lap_marks import with_lap_ends, with_laps
from patterns.parts.panels.unrolled import Unrolled
from patterns.parts.part import Mark, Part
from patterns.parts.role import MarkKind
from patterns.parts.stands import FrameStand, transom_inner_face


def inside_of(strake: Strake, hand: str = "") -> str:
    """What the line along the inside of a neighbouring strake is called on a panel."""
    return f"inside of {strake.name}{hand and ', '}{hand}"


def panels(hull: Hull, frames: tuple[FrameStand, ...], *, show: str = "mm") -> tuple[Part, ...]:
    """Every panel of the planking from the sheer down, port before starboard, each seen on its inside face.

    Raises
    ------
    ShapeError
        A strake no sheet can be bent to, or one whose faces and ends do not meet.
    """
    made: list[Part] = []
    for strake in hull.strakes:
        with while_making(strake.panel):
            if strake.athwart:
                made.append(whole_panel(hull, strake, frames, show=show))
            else:
                made += pair_of_panels(hull, strake, frames, show=show)
    return tuple(made)


def pair_of_panels(hull: Hull, strake: Strake, frames: tuple[FrameStand, ...], *, show: str) -> tuple[Part, Part]:
    """Port and starboard panel of a strake that stands on either side."""
    _refuse_twist(hull, strake)
    panel = _unrolled(hull, strake)
    marks = [*_end_marks(hull, panel), *_neighbours(hull, panel)]
    starboard = with_laps(
        with_lap_ends(panel.part("starboard", frames, marks), panel, show=show), panel, frames, show=show
    )
    port = mirrored(starboard)
    turned = f"Drawn with the {strake.upper} up, as you see it from inside the boat: so the bow lies to the right."
    return replace(port, remarks=(*port.remarks, turned), upside_down=True), starboard


def whole_panel(hull: Hull, strake: Strake, frames: tuple[FrameStand, ...], *, show: str) -> Part:
    """The panel of a strake athwart, seen on its inside face: bow to the left, starboard up, centre line at y = 0."""
    panel = _unrolled(hull, strake)
    centre = Mark("center line", panel.line(np.zeros(len(panel.ruled))))
    marks = [*_end_marks(hull, panel), centre, *_neighbours(hull, panel)]
    part = with_lap_ends(panel.part("none", frames, marks), panel, show=show)
    return planked_athwart(part, strake.planking.boards, show=show) if strake.planking.boards else part


def _refuse_twist(hull: Hull, strake: Strake) -> None:
    twist, x = hull.worst_twist(strake)
    if twist > TWIST_BORNE:
        raise ShapeError(
            f"would have to be twisted {np.degrees(twist):.0f}° from {strake.upper} to {strake.lower}, which no sheet "
            f"bears; expected lines whose {strake.name} develops, or at least twists under "
            f"{np.degrees(TWIST_BORNE):.0f}°",
            at=x,
        )


def _unrolled(hull: Hull, strake: Strake) -> Unrolled:
    """The strake with its real edges: planed to its neighbours as each of its corners asks."""
    above, below = hull.corner_above(strake), hull.corner_below(strake)
    inside, outside = hull.inside(strake), hull.outside(strake)
    chines = {corner.line: transition(hull, corner) for corner in (above, below) if corner}
    meeting = [(corner, chines[corner.line]) for corner in (above, below) if corner]
    for corner, chine in meeting:
        refuse_edges_without_turn(hull, corner, chine)
    if above:
        inside, outside = (pick(hull, above, chines[above.line]) for pick in (inside_below, outside_below))
    if below:
        outside = replace(outside, lower=outside_above(hull, below, chines[below.line]).lower)
    try:
        with while_edges_meet(meeting):
            return Unrolled(hull, strake, inside, outside, chines)
    except (SkinEndsError, EdgeLostError) as error:
        for corner, _ in meeting:
            if _mitring_cures(hull, corner, strake):
                raise _runs_off_the_sheet(hull, corner, strake, error) from error
        raise


def _mitring_cures(hull: Hull, corner: Corner, strake: Strake) -> bool:
    """Whether a strake that runs off its sheet at an end would not, if a chine of it were planed to the half angle."""
    if corner.mitred or corner.lapped:
        return False
    eased = replace(corner, joint=Joint.HALF_ANGLE)
    try:
        _unrolled(replace(hull, corners=tuple(eased if one is corner else one for one in hull.corners)), strake)
    except ShapeError:
        return False
    return True


def _runs_off_the_sheet(hull: Hull, corner: Corner, strake: Strake, error: ShapeError) -> ShapeError:
    aft = error.at is not None and error.at > hull.widest
    line = next(line for line in hull.lines if line.name == corner.line)
    return ShapeError(
        f'{corner.line}: at the {end_word(hull.aft if aft else hull.fore, aft=aft)}, an edge "{corner.joint}" would '
        f"run so far past the chine that {within_sentence(strake.name)} cannot be bent to it; expected chine_joint = "
        f'"{Joint.HALF_ANGLE}" in {joint_table(corner)}',
        at=float(line.curve.last if aft else line.curve.first),
    )


def _neighbours(hull: Hull, panel: Unrolled) -> Iterator[Mark]:
    """Lines along the insides of the strakes above and below, where they are no edge of the panel."""
    strake = panel.strake
    above = hull.corner_above(strake)
    if above and above.below_runs_on:
        sides = {"starboard": above.on_below, "port": -above.on_below} if strake.athwart else {"": above.on_below}
        for hand, t in sides.items():
            yield Mark(inside_of(above.above, hand), panel.line(t), MarkKind.LAPPED)
    below = hull.corner_below(strake)
    if below and below.above_runs_on:
        yield Mark(inside_of(below.below), panel.line(below.on_above))


def _end_marks(hull: Hull, panel: Unrolled) -> list[Mark]:
    """Lines of the end timbers on the inside face: a transom's inner face, or where the stem's landing ends."""
    marks = []
    for end, aft in ((hull.fore, False), (hull.aft, True)):
        word = end_word(end, aft=aft)
        if isinstance(end, Transom):
            inner: Plane = transom_inner_face(end, aft=aft)
            marks.append(Mark(f"{word} {'fore' if aft else 'after'} face", panel.mark(inner.signed)))
        elif panel.strake.pointed[aft]:
            line = panel.off_center(end.sided / 2, aft=aft)
            marks += [Mark(f"{word} bearding line", line)] if line is not None else []
        elif not panel.strake.athwart:
            with while_making(word):
                _check_siding(panel, end)
            marks.append(Mark(f"{word} bearding line", panel.mark(half_siding_cut(hull, end, aft=aft))))
    return marks


def _check_siding(panel: Unrolled, end: Stem) -> None:
    """See that a stem's side has planking to land on.

    Raises
    ------
    ShapeError
        Where the stem is wider than the boat, or narrower than the planking can be carried on to.
    """
    face = panel.inside
    across = 2 * panel.ruled.point(panel.ruled.numbers, (face.upper + face.lower) / 2, face.depth)[:, 1]
    least, most = float(np.nanmin(across)), float(np.nanmax(across))
    if end.sided >= most:
        told = "sided {}, but inside the planking the boat is nowhere more than {} across; expected less siding"
        raise ShapeError(told, end.sided, most)
    if end.sided <= least:
        told = (
            "sided {}, but the inside of the planking, carried on, is nowhere less than {} across; expected more "
            "siding, "
            "or lines that end closer together"
        )
        raise ShapeError(told, end.sided, least)

"""Thwarts fitted at their height, and the knees that stand on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Plane, station_plane
from patterns.hull.build import end_word
from patterns.hull.planking.level_cuts import edge_between, hollowed, level_plane
from patterns.hull.planking.sections import cut_inside, in_view
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.fitting_rules import KneeRules, ThwartRules, grain_words
from patterns.parts.edges import make_edge, mirrored, square_edge
from patterns.parts.hazards import EPOXY
from patterns.parts.long.long_ends import inner_face
from patterns.parts.part import Mark, Part, along_edge
from patterns.parts.role import Role
from patterns.parts.stands import FrameStand
from patterns.units.lengths import write_length

LEAST_ARM = 30.0  # mm; a shorter arm is nothing but its toe
TOE = 10.0  # mm, square end of a knee's arm: a feather edge would break off


def cut_thwart(hull: Hull, rules: ThwartRules, frames: Sequence[FrameStand], *, show: str) -> Part:
    """A thwart, seen on its top: bow to the left, starboard up, centre line at y = 0; x runs from FP.

    Its ends lie on the inside of the planking at top and underside.

    Raises
    ------
    ShapeError
        Where the side does not reach so far at its height.
    """
    with while_making(rules.name):
        fore, aft = rules.at, rules.at + rules.width
        top, under = (
            edge_between(hull, level_plane(z), 0.0, fore, aft) for z in (rules.height, rules.height - rules.thickness)
        )
        _check_between_ends(hull, rules, top, under)
        port, far_port = mirrored_line(top), mirrored_line(under)
        edges = (
            replace(make_edge("end port", port, far_port, thickness=rules.thickness), hand="port"),
            square_edge("after edge", np.stack([port[-1], top[-1]]), np.stack([far_port[-1], under[-1]])),
            replace(make_edge("end starboard", top[::-1], under[::-1], thickness=rules.thickness), hand="starboard"),
            square_edge("fore edge", np.stack([top[0], port[0]]), np.stack([under[0], far_port[0]])),
        )
    return Part(
        name=rules.name,
        role=Role.THWART,
        material_key="[[thwart]] material",
        hand="none",
        thickness=rules.thickness,
        material=rules.material,
        marked_face="top",
        edges=edges,
        marks=(Mark("center line", np.array([[fore - 20.0, 0.0], [aft + 20.0, 0.0]])),),
        bow="left",
        grain="athwart, from end to end",
        grain_angle=float(np.pi / 2),
        line="inside of planking at both ends",
        stands_in=(level_plane(rules.height),),
        remarks=tuple(_thwart_words(rules, frames, show)),
    )


def _check_between_ends(hull: Hull, rules: ThwartRules, top: Floats, under: Floats) -> None:
    """See that a thwart lies clear of stem and transom, at its sides and on the centre line."""
    corners = [
        (x, half, height)
        for line, height in ((top, rules.height), (under, rules.height - rules.thickness))
        for x, y in (line[0], line[-1])
        for half in (0.0, y)
    ]
    for aft, sign in ((False, -1.0), (True, 1.0)):
        past = float((sign * inner_face(hull, aft=aft).signed(np.array(corners))).max())
        if past > 0:
            timber = end_word(hull.aft if aft else hull.fore, aft=aft)
            raise ShapeError(f"it runs {{}} into the {timber}; expected it clear of its inner face", past)


def mirrored_line(points: Floats) -> Floats:
    """Points on the other side of a centre line that runs along x."""
    return np.asarray(points * (1.0, -1.0))


def _thwart_words(rules: ThwartRules, frames: Sequence[FrameStand], show: str) -> Iterator[str]:
    at, height = write_length(rules.at, show), write_length(rules.height, show)
    yield f"Its fore edge stands {at} aft of FP, its top {height} above base."
    yield f"Its ends fit the inside of the planking at its height; fit it dry before you glue. {EPOXY}"
    for frame in frames:
        ends = sorted((frame.face.origin[0], frame.far.origin[0]))
        if ends[1] > rules.at and ends[0] < rules.at + rules.width:
            yield f"Frame {frame.place.name} stands in its way: notch it round the timbers, measured in the boat."


def thwart_knees(hull: Hull, rules: KneeRules, thwart: ThwartRules) -> tuple[Part, Part]:
    """The pair of knees on a thwart, port and starboard, seen on their after face as they stand.

    Raises
    ------
    ShapeError
        Where an arm is longer than the side above the thwart.
    """
    name = f"{thwart.name} knee"
    middle = thwart.at + thwart.width / 2
    near_plane = station_plane(middle + rules.thickness / 2, facing_aft=True)
    foot, head = thwart.height, thwart.height + rules.on_side
    with while_making(name):
        if min(rules.on_side, rules.on_other) < LEAST_ARM:
            raise ShapeError("its arms are {} and {}; expected at least {}", rules.on_side, rules.on_other, LEAST_ARM)
        near, far = (_rising(hull, x, foot, head) for x in (near_plane, near_plane.shifted(-rules.thickness)))
        outer, inner = near[0], near[0] - (rules.on_other, 0.0)
        toe_in, toe_up = inner - (0.0, -TOE), near[-1] - (TOE, 0.0)
        edges = (
            square_edge("thwart", np.stack([inner, outer]), np.stack([inner, far[0]])),
            make_edge("side", near, far, thickness=rules.thickness),
            square_edge("upper toe", np.stack([near[-1], toe_up]), np.stack([far[-1], toe_up])),
            square_edge("long edge", hollowed(toe_up, toe_in, rules.hollow)),
            square_edge("inboard toe", np.stack([toe_in, inner])),
        )
    starboard = Part(
        name=name,
        role=Role.KNEE,
        material_key="[thwart_knee] material",
        hand="starboard",
        thickness=rules.thickness,
        material=rules.material,
        marked_face="after face",
        edges=edges,
        bow="away from you",
        grain=grain_words("along the long edge", "a grown knee", plywood=rules.plywood),
        grain_angle=along_edge(edges, "long edge"),
        line="inside of planking at the side",
        stands_in=(near_plane,),
        remarks=(f"Stands on the middle of {thwart.name}; cut it when the corner has been measured in the boat.",),
    )
    return mirrored(starboard, upright=True), starboard


def _rising(hull: Hull, plane: Plane, foot: float, head: float) -> Floats:
    """The inside of the planking in a plane across the boat, from one height to another, with its corners.

    Under a low thwart it begins on the bottom of a V.
    """
    section = in_view(plane, cut_inside(hull, plane))
    runs = (_half_floor(section.floor), *section.runs) if hull.seam else section.runs
    line = np.concatenate([runs[0], *(run[1:] for run in runs[1:])])
    if line[0, 1] > foot:
        raise ShapeError(
            "its foot would stand {} above base, and the planking there begins at {}; expected the thwart higher",
            foot,
            float(line[0, 1]),
        )
    if line[-1, 1] < head:
        raise ShapeError(
            "its arm up the side is {} long, and the side rises only {} above the thwart there; expected a shorter up "
            "in [thwart_knee], or the thwart lower",
            head - foot,
            float(line[-1, 1] - foot),
        )
    corners = np.array([run[0, 1] for run in runs[1:]])
    z = np.union1d(np.linspace(foot, head, 33), corners[(corners > foot) & (corners < head)])
    return np.stack([np.interp(z, line[:, 1], line[:, 0]), z], axis=1)


def _half_floor(floor: Floats) -> Floats:
    """(n, 2) mm, the right-hand half of a V bottom's section, from where it begins to rise up to its corner."""
    right = floor[len(floor) // 2 :]
    level = int((right[:, 1] > right[0, 1]).argmax())
    return right[max(level - 1, 0) :]

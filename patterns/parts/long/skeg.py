"""The skeg: a flat fin on the outside of the bottom, along the centre plane to the transom."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import met, trimmed
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.long_rules import SkegRules
from patterns.parts.edges import square_edge
from patterns.parts.part import Edge, Mark, Part
from patterns.parts.role import MarkKind, Role
from patterns.parts.stands import FrameStand, port_face
from patterns.units.lengths import write_length

MARK_LENGTH = 25.0  # mm, of a frame's mark down from the bottom


def cut_skeg(hull: Hull, rules: SkegRules, stands: tuple[FrameStand, ...], *, show: str) -> Part:
    """The skeg seen from port: x aft, y height above base.

    Its upper edge is the outside of the bottom, its lower edge straight from where it starts to its heel, its after end
    in line with the outer face of the end it runs to.
    """
    with while_making("skeg"):
        upper = _upper(hull, rules)
        lower, after = lower_and_after(hull, rules, upper, upper[-1])
    return skeg_part(
        rules,
        edges=(
            square_edge("lower", lower),
            square_edge("after end", after[::-1]),
            square_edge("upper", upper[::-1]),
        ),
        marks=tuple(_marks(stands, upper)),
        remarks=(
            "The upper edge lies on the outside of the bottom. "
            f"The heel is {write_length(rules.depth, show)} below the bottom, measured upright.",
            "It runs to a feather edge at its fore end: cut that blunt where the wood gets too thin to hold.",
        ),
    )


def lower_and_after(hull: Hull, rules: SkegRules, line: Floats, head: Floats) -> tuple[Floats, Floats]:
    """(n, 2) mm each, in profile: the straight lower edge, and the after end from a head (2,) down to the heel.

    Parameters
    ----------
    line : (n, 2) mm
        The bottom on the centre plane, from where the skeg starts to the after end.
    """
    low = float(line[-1, 1]) - rules.depth
    z = np.linspace(float(head[1]), low, 33)
    after = np.stack([hull.aft_cut.at_height(z), z], axis=1)
    lower = np.stack([line[0], after[-1]])
    if (np.interp(line[1:-1, 0], lower[:, 0], lower[:, 1]) >= line[1:-1, 1]).any():
        raise ShapeError("its straight lower edge would run above the bottom, expected one that starts further aft")
    return lower, after


def skeg_part(rules: SkegRules, *, edges: tuple[Edge, ...], marks: tuple[Mark, ...], remarks: tuple[str, ...]) -> Part:
    """The pattern of a skeg, whose first edge is the lower one."""
    lower = edges[0].points
    return Part(
        name="skeg",
        role=Role.SKEG,
        material_key="[skeg] material",
        hand="none",
        thickness=rules.sided,
        material=rules.material,
        marked_face="port face",
        edges=edges,
        marks=marks,
        bow="left",
        remarks=remarks,
        grain="along the lower edge",
        grain_angle=float(np.arctan2(*(lower[-1] - lower[0])[::-1])),
        stands_in=(port_face(rules.sided),),
    )


def _upper(hull: Hull, rules: SkegRules) -> Floats:
    """(n, 2) x and z of the outside of the bottom on the centre plane, from the start to the after end."""
    points = hull.on_centre(hull.floor.outside)
    z = np.linspace(points[:, 1].min() - 100.0, points[:, 1].max() + 100.0, 65)
    end = np.stack([hull.aft_cut.at_height(z), z], axis=1)
    profile, _ = met(points, end)
    if not profile[0, 0] < rules.start < profile[-1, 0]:
        raise ShapeError(
            "from = {}, expected a place on the bottom, before {} from FP", rules.start, float(profile[-1, 0])
        )
    return trimmed(profile[::-1], lambda p: rules.start - p[:, 0])[::-1]


def _marks(stands: tuple[FrameStand, ...], upper: Floats) -> list[Mark]:
    inside = [stand for stand in stands if upper[0, 0] < stand.place.from_fp < upper[-1, 0]]
    marks = []
    for stand in inside:
        x = stand.place.from_fp
        z = float(np.interp(x, upper[:, 0], upper[:, 1]))
        marks.append(Mark(stand.line, np.array([[x, z], [x, z - MARK_LENGTH]]), MarkKind.FRAME))
    return marks

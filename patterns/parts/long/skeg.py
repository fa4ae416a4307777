"""The skeg: a flat fin on the outside of the bottom, along the centre plane to the transom."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import met, trimmed
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.long_rules import SkegRules
from patterns.parts.edges import square_edge
from patterns.parts.part import Mark, Part
from patterns.parts.role import MarkKind, Role
from patterns.parts.stands import FrameStand
from patterns.units.lengths import write_length

MARK_LENGTH = 25.0  # mm, of a frame's mark down from the bottom


def cut_skeg(hull: Hull, rules: SkegRules, stands: tuple[FrameStand, ...], *, show: str) -> Part:
    """The skeg seen from port: x aft, y height above base.

    Its upper edge is the outside of the bottom, its lower edge straight from where it starts to its heel, its after end
    in line with the outer face of the end it runs to.
    """
    with while_making("skeg"):
        upper = _upper(hull, rules)
        foot = upper[-1]
        low = float(foot[1]) - rules.depth
        z = np.linspace(float(foot[1]), low, 33)
        after = np.stack([hull.aft_cut.at_height(z), z], axis=1)
        lower = np.stack([upper[0], after[-1]])
        if (np.interp(upper[1:-1, 0], lower[:, 0], lower[:, 1]) >= upper[1:-1, 1]).any():
            raise ShapeError("its straight lower edge would run above the bottom, expected one that starts further aft")
    return Part(
        name="skeg",
        role=Role.SKEG,
        material_key="[skeg] material",
        hand="none",
        thickness=rules.sided,
        material=rules.material,
        marked_face="port face",
        edges=(
            square_edge("lower", lower),
            square_edge("after end", after[::-1]),
            square_edge("upper", upper[::-1]),
        ),
        marks=tuple(_marks(stands, upper)),
        bow="left",
        remarks=(
            "The upper edge lies on the outside of the bottom. "
            f"The heel is {write_length(rules.depth, show)} below the bottom, measured upright.",
            "It runs to a feather edge at its fore end: cut that blunt where the wood gets too thin to hold.",
        ),
        grain="along the lower edge",
        grain_angle=float(np.arctan2(*(lower[-1] - lower[0])[::-1])),
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

"""The transom: its true shape in its rake, both faces, bevels between."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import trimmed
from patterns.hull.build import Transom
from patterns.hull.skin import Hull
from patterns.parts.cuts import transom_face, transom_inner_face
from patterns.parts.edges import make_edge
from patterns.parts.part import Mark, Part
from patterns.parts.sections import cut_inside, in_view, over

CROWN_POINTS = 257


def cut_transom(hull: Hull, board: Transom, *, aft: bool) -> Part:
    """A transom seen on its outer face: centre line at x = 0, y up along the rake from base.

    Its outer edge lies on the inside of the planking on both faces; its top is the arc of the crown, square.
    """
    face, inner = transom_face(board, aft=aft), transom_inner_face(board, aft=aft)
    side, _, bottom = in_view(face, cut_inside(hull, face))
    far_side, far_above, far_bottom = in_view(inner, cut_inside(hull, inner))
    top = _Crown(half=float(side[-1, 0]), height=float(side[-1, 1]), rise=board.crown)
    far_side = trimmed(np.concatenate([far_side, far_above]), top.above)
    right, left = ("starboard", "port") if face.right[1] > 0 else ("port", "starboard")
    far_half = float(far_side[-1, 0])
    edges = (
        make_edge("bottom", bottom, far_bottom, thickness=board.thickness),
        make_edge(f"side {right}", side, far_side, thickness=board.thickness),
        make_edge("top", top.arc(top.half), top.arc(far_half), thickness=board.thickness),
        make_edge(f"side {left}", over(side[::-1]), over(far_side[::-1]), thickness=board.thickness),
    )
    rake = np.degrees(np.arctan2(face.up[0], face.up[2])) * (1 if aft else -1)
    return Part(
        name="transom" if aft else "bow transom",
        hand="none",
        thickness=board.thickness,
        material=board.material,
        marked_face="after face" if aft else "fore face",
        edges=edges,
        marks=_marks(side, top),
        bow="away from you" if aft else "toward you",
        grain="athwart",
        grain_angle=0.0,
        line="inside of planking at sides and bottom",
        remarks=(
            f"True shape in its rake of {rake:.1f}°; heights run along the rake from base. "
            "The top's crown is an arc, measured along the face.",
        ),
    )


def _marks(side: Floats, top: _Crown) -> tuple[Mark, ...]:
    crown_top = top.height + top.rise
    return (
        Mark("centre line", np.array([[0.0, float(side[0, 1]) - 20.0], [0.0, crown_top + 10.0]])),
        Mark("sheer", np.array([[-top.half, top.height], [top.half, top.height]])),
    )


class _Crown:
    """The top of a transom: an arc through both sheer corners, so much above them at the centre line."""

    def __init__(self, *, half: float, height: float, rise: float) -> None:
        self.half, self.height, self.rise = half, height, rise
        if rise >= half:
            raise ShapeError("crown {} is as much as half the breadth of {} at the sheer; wanted less", rise, 2 * half)

    def _up(self, x: Floats) -> Floats:
        if self.rise == 0:
            return np.full_like(x, self.height)
        # R = c^2/(8 s) + s/2: trade_geometry.toml, [sagitta].
        radius = (2 * self.half) ** 2 / (8 * self.rise) + self.rise / 2
        return self.height + self.rise - radius + np.sqrt(radius**2 - x**2)

    def above(self, points: Floats) -> Floats:
        """Signed height of points over the arc, mm."""
        return np.asarray(points[:, 1] - self._up(points[:, 0]))

    def arc(self, half: float) -> Floats:
        """(n, 2) mm from the right corner at a half breadth over the top to the left one."""
        x = np.linspace(half, -half, CROWN_POINTS)
        return np.stack([x, self._up(x)], axis=1)

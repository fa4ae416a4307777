"""Where the keel of a round hull stands up above the bottom edge of a mould or a frame: a notch for it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.parts.role import EdgeKind
from patterns.parts.shaping import Shape
from patterns.parts.stands import FrameStand

LEAST = 0.5  # mm; a keel that stands up less lies level with the edge
FAR = 1e3  # mm


@dataclass(frozen=True, eq=False)
class KeelTop:
    """The upper edge of a keel."""

    line: Floats  # (n, 2) mm, from FP and above base, fore to aft
    half: float  # mm, half its siding

    def let_into(self, near: Shape, far: Shape, stand: FrameStand) -> tuple[Shape, Shape]:
        """Both faces of a frame with a notch, square, where the keel stands up above its bottom edge.

        Raises
        ------
        ShapeError
            A keel so deep that it parts the frame.
        """
        top = max(float(np.interp(face.origin[0], *self.line.T)) for face in (stand.face, stand.far))
        if top < max(near.ring.bounds[1], far.ring.bounds[1]) + LEAST:
            return near, far
        low = min(near.ring.bounds[1], far.ring.bounds[1]) - FAR
        cut = np.array([[-self.half, low], [self.half, low], [self.half, top], [-self.half, top]])
        made = [one.without(cut, "keel", square=True, kind=EdgeKind.NOTCH) for one in (near, far)]
        return (made[0], made[0]) if near is far else (made[0], made[1])

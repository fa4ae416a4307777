"""How lapped strakes are planed to lie on each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.hull.planking.laps import gained, line_ends
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Corner
from patterns.hull.planking.transition import Transition

ROUNDED = 1.0  # mm; half of a sixteenth and more, so that a width told in sixteenths is not too wide


@dataclass(frozen=True, eq=False)
class LapBevels:
    """How a strake is planed along its upper edge, on its outside, for the one above to lie on it."""

    from_fp: Floats  # (n,) mm, rising
    angle: Floats  # (n,) rad, between both faces: what is planed off from the lap line to the edge
    left: Floats  # (n,) mm, of the edge, by that alone
    faded: Floats  # (n,) from 0 where the lap is whole to 1 where both strakes lie flush

    __repr__ = brief

    def at(self, x: float) -> tuple[float, float]:
        """Angle, rad, and what is left of the edge, mm, gain and all, so far from FP."""
        angle, left, faded = (float(np.interp(x, self.from_fp, field)) for field in (self.angle, self.left, self.faded))
        return angle, left * (1 - faded)

    @property
    def whole(self) -> LapBevels:
        """The same where the lap has not begun to fade."""
        keep = self.faded == 0.0
        return LapBevels(self.from_fp[keep], self.angle[keep], self.left[keep], self.faded[keep])


def lap_bevels(hull: Hull, corner: Corner, chine: Transition) -> LapBevels:
    """The bevels of the strake below a lapped corner, fore to aft.

    On a lap so wide, planed by the angle b between the faces, the edge loses width * tan(b): plane geometry.

    Raises
    ------
    ShapeError
        Where that leaves less of its edge than is asked.
    """
    assert hull.lap is not None
    x = np.array([one.from_fp for one in chine.joints])
    angle = np.pi - np.array([one.opening for one in chine.joints])
    left = corner.below.planking.thickness - hull.lap.width * np.tan(angle)
    line = corner.points_on_below
    faded = gained(x, line_ends(line[np.isfinite(line).all(axis=1)], (hull.fore_cut, hull.aft_cut)), hull.lap)
    bevels = LapBevels(x, angle, left, faded)
    thin = int(np.where(faded == 0.0, left, np.inf).argmin())
    if faded[thin] == 0.0 and left[thin] < hull.lap.least:
        slope, thickness = float(np.tan(angle[thin])), corner.below.planking.thickness
        raise ShapeError(
            f"the lap is {{}} wide and its strakes turn {np.degrees(angle[thin]):.1f}° from each other there: its "
            f"bevel would take {{}} off the upper edge of {corner.below.name}, which is {{}} thick and must keep {{}} "
            "([laps] least); expected a lap no wider than {}, or strakes that turn less",
            hull.lap.width,
            hull.lap.width * slope,
            thickness,
            hull.lap.least,
            max((thickness - hull.lap.least) / slope - ROUNDED, 0.0),
            at=float(x[thin]),
        )
    return bevels

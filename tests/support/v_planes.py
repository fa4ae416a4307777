"""A V bottom whose strakes are planes, its forefoot knuckled: every figure of stem and keel follows from two planes."""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
from boats import ExactLine, Flat, Floats, LineOn, unit
from scipy.optimize import brentq
from two_chines import Crossing

from patterns.hull.build import Joint, KeelJoint, LinesTo, Planking, Skin, Stem, Transom
from patterns.hull.planking.skin import Hull, plank

THICK = (6.0, 9.0)  # mm, of side and bottom
SWEEP, FLARE, OFF = 0.2, 0.3, -102.0  # y = OFF + SWEEP x + FLARE z on the side
DEADRISE, FALL, HIGH = 0.3, -0.06, 250.0  # z = HIGH + FALL x + DEADRISE y on the bottom
SIDE = Flat(np.array([0.0, OFF, 0.0]), unit(np.array([-SWEEP, 1.0, -FLARE])))
BOTTOM = Flat(np.array([0.0, 0.0, HIGH]), unit(np.array([FALL, DEADRISE, -1.0])))
ANGLE = {name: float(np.arccos(plane.outward[1])) for name, plane in (("side", SIDE), ("bottom", BOTTOM))}
PLANE = {"side": SIDE, "bottom": BOTTOM}
SHEER = 700.0  # mm above base, level
FOREFOOT = 250.0  # mm fore and aft, of the profile below the chine's end
TRANSOM = np.array([[3000.0, 700.0], [2900.0, -20.0]])
SIDED, MOULDED = 44.0, 90.0


@dataclass(frozen=True, eq=False)
class VHull:
    """The hull, and where its profile runs."""

    hull: Hull
    stem: Stem
    knuckle: Floats  # (2,) mm, where side, bottom and the plane its planks end on meet
    heel: Floats  # (2,) mm


def v_of_planes(
    *,
    keel: KeelJoint = KeelJoint.HALF_ANGLE,
    half: float = 0.0,
    sided: float = SIDED,
    moulded: float = MOULDED,
    forefoot: float = FOREFOOT,
) -> VHull:
    """Planked, its planks ending ``half`` mm off the centre plane."""
    upright = Flat(np.array([0.0, half, 0.0]), np.array([0.0, 1.0, 0.0]))
    seam = Crossing(BOTTOM, upright, 0.0, 1.0)

    def ahead(z: float) -> float:
        """Where the side meets the plane its planks end on."""
        return (half - OFF - FLARE * z) / SWEEP

    x = float(brentq(lambda x: x - ahead(float(seam.point(np.array(x))[2])), -1e3, 2e3))
    knuckle = np.array([x, float(seam.point(np.array(x))[2])])
    heel = np.array([x + forefoot, float(seam.point(np.array(x + forefoot))[2])])
    heights = np.linspace(SHEER, knuckle[1], 7)
    upper = np.stack([(half - OFF - FLARE * heights) / SWEEP, heights], axis=1)
    lower = knuckle + np.linspace(0.0, 1.0, 6)[1:, None] * (heel - knuckle) if forefoot else np.empty((0, 2))
    stem = Stem(np.concatenate([upper, lower]), sided=sided, moulded=moulded)
    aft = Transom(TRANSOM, 18.0, 30.0, "plywood")

    def at_transom(height: object) -> float:
        (x0, z0), (x1, z1) = TRANSOM
        return float(brentq(lambda x: x - (x0 + (height(x) - z0) * (x1 - x0) / (z1 - z0)), 1e3, 6e3))  # type: ignore[operator]

    chine = Crossing(SIDE, BOTTOM, 0.0, 1.0)
    lines = (
        ExactLine(
            "sheer",
            LineOn(SIDE, lambda x: np.full(np.shape(x), SHEER), float(upper[0, 0]), at_transom(lambda _: SHEER)),
        ),
        ExactLine(
            "chine",
            Crossing(SIDE, BOTTOM, float(knuckle[0]), at_transom(lambda x: chine.point(np.array(x))[2])),  # type: ignore[arg-type]
        ),
        SimpleNamespace(
            name="keel",
            curve=Crossing(BOTTOM, upright, float(heel[0]), at_transom(lambda x: seam.point(np.array(x))[2])),
            half_breadth=SimpleNamespace(faired=np.full(2, half)),
        ),
    )
    skin = Skin(LinesTo.OUTSIDE, tuple(Planking(mm, "plywood") for mm in THICK), (Joint.HALF_ANGLE,), keel)
    return VHull(plank(lines, skin=skin, fore=stem, aft=aft), stem, knuckle, heel)  # type: ignore[arg-type]

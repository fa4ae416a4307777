"""How a strip lying on a surface bends: in the surface, out of it, and how it twists."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import CubicSpline

from patterns.geometry.arrays import Floats, crossed, dots, run_along, unit

STEP = 40.0  # mm between the points a strip is sampled at: far under any bend of wood, far over the noise of rulings


@dataclass(frozen=True, eq=False)
class Bending:
    """Axes and bending of a strip at places along it, with the boat's outside up from the surface.

    ``aft`` runs along the strip, ``out`` square to the surface, ``up`` in the surface square to the strip.
    """

    aft: Floats  # (m, 3) unit
    out: Floats  # (m, 3) unit
    up: Floats  # (m, 3) unit
    edgewise: Floats  # (m,) 1/mm, curve in the surface: positive where both ends rise toward ``up``
    flatwise: Floats  # (m,) 1/mm, curve out of the surface: positive where both ends turn away from ``out``
    twist: Floats  # (m,) rad/mm, positive where ``out`` leans toward ``up`` as one goes aft


def bending_along(points: Floats, normals: Floats, at: Floats) -> Bending:
    """The bending of a strip along a line of a surface.

    Source: the Darboux frame of a curve on a surface (geodesic curvature, normal curvature and geodesic torsion), any
    text on differential geometry.

    Parameters
    ----------
    points, normals : (n, 3)
        Places of the line from fore to aft, mm, and the surface's outward normals there.
    at : (m,) mm
        Running lengths along the line.
    """
    run = run_along(points)
    every = np.unique(np.searchsorted(run, np.linspace(0.0, run[-1], max(4, int(run[-1] / STEP) + 1))))
    every = every[every < len(run)]
    line, turning = CubicSpline(run[every], points[every]), CubicSpline(run[every], normals[every])
    first, second = line(at, 1), line(at, 2)
    speed = np.sqrt(dots(first, first))
    aft = first / speed[:, None]
    out = turning(at)
    out = unit(out - dots(out, aft)[:, None] * aft)
    up = crossed(aft, out)
    curve = second / (speed**2)[:, None]
    return Bending(aft, out, up, dots(curve, up), -dots(curve, out), dots(turning(at, 1), up) / speed)

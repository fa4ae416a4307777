"""Every screw of a boat as a line in space, by the figures that are printed: from its head to its point."""

from __future__ import annotations

import numpy as np
from boats import Floats
from scipy.optimize import lsq_linear

from patterns.parts.whole import Job
from patterns.shop.fastening.on_skin import on_skin
from patterns.shop.fastening.seam import Seam

MIRROR = np.array([1.0, -1.0, 1.0])


def screw_lines(job: Job, seam: Seam) -> Floats:
    """(k, 2, 3) mm, head and point of each; square to the planking, as they are driven."""
    part = job.part(seam.part)
    skin = on_skin(job, part)
    if skin is None or not seam.count:
        return np.zeros((0, 2, 3))
    s, t = skin.places(seam.places)
    inward = -skin.flat.ruled.at(skin.flat.ruled.normal, s)
    piece = next((one for one in job.long_pieces if one.part.title == part.title), None)
    strake = job.hull.strake(part.strake) if piece is None else piece.strake
    from_inside = seam.how.startswith("from inside")
    heads_on = strake.inside if from_inside else strake.outside
    if seam.over_inwale:
        heads_on += part.thickness
    heads = skin.flat.ruled.point(s, t, heads_on)
    points = heads + (-inward if from_inside else inward) * seam.fastening.length
    lines = np.stack([heads, points], axis=1)
    return lines * MIRROR if part.hand == "port" else lines


def apart(one: Floats, other: Floats) -> float:
    """mm between two straight lines (2, 3), by a general optimiser."""
    a, b = one[1] - one[0], other[1] - other[0]
    found = lsq_linear(np.stack([a, -b], axis=1), other[0] - one[0], bounds=(0, 1))
    return float(np.sqrt(2 * found.cost))


def nearest(job: Job, seams: tuple[Seam, ...]) -> list[tuple[float, str, str]]:
    """mm between each two screws that come within an inch of each other, and what they are; the nearest first."""
    lines = [(f"{seam.part}: {seam.along}", line) for seam in seams for line in screw_lines(job, seam)]
    heads = np.array([line.mean(axis=0) for _, line in lines])
    reach = max(float(np.linalg.norm(line[1] - line[0])) for _, line in lines)
    close = np.argwhere(np.triu(np.linalg.norm(heads[:, None] - heads[None], axis=2) < reach + 25.4, 1))
    found = [(apart(lines[i][1], lines[j][1]), lines[i][0], lines[j][0]) for i, j in close.tolist()]
    return sorted(one for one in found if one[0] < 25.4)

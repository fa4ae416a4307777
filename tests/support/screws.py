"""Every screw of a boat as a line in space, by the figures that are printed: from its head to its point."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from boats import Floats
from scipy.optimize import lsq_linear

from patterns.parts.in_the_boat import in_the_boat
from patterns.parts.whole import Job
from patterns.shop.fastening.on_skin import on_skin
from patterns.shop.fastening.panel_seams import IN_LINE
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
    if IN_LINE in seam.how:
        inward = _in_line(job, seam, inward)
    from_inside = seam.how.startswith("from inside")
    heads_on = strake.inside if from_inside else strake.outside
    if seam.over_inwale:
        heads_on += part.thickness
    heads = skin.flat.ruled.point(s, t, heads_on)
    points = heads + (-inward if from_inside else inward) * seam.fastening.length
    lines = np.stack([heads, points], axis=1)
    return lines * MIRROR if part.hand == "port" else lines


def _in_line(job: Job, seam: Seam, inward: Floats) -> Floats:
    """Unit directions (k, 3) without what is square to the face of a frame or a transom."""
    into = job.part(seam.along if seam.into == "frame" else seam.into)
    across, up = (np.asarray(way) for way in (into.stands_in[0].right, into.stands_in[0].up))
    square = np.cross(across, up)
    flat = inward - (inward @ square)[:, None] * square
    return flat / np.linalg.norm(flat, axis=1)[:, None]


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


def in_the_air(job: Job, seams: Sequence[Seam]) -> Iterator[str]:
    """Seams with screws whose points end in no part of the boat."""
    solids = [one.wood.corners for one in in_the_boat(job)]
    wood = [(corners, corners.min(axis=(0, 1)), corners.max(axis=(0, 1))) for corners in solids]
    for seam in seams:
        lines = screw_lines(job, seam)
        if not len(lines) or seam.fastening.through:
            continue
        lost = [line for line in lines if not any(_inside(*body, line[1]) for body in wood)]
        if lost:
            yield f"{seam.part}, {seam.along}, into {seam.into}: {len(lost)} of {seam.count} end in the air"


def _inside(corners: Floats, low: Floats, high: Floats, point: Floats) -> bool:
    """Whether a point is in a body, by the solid angle of its triangles. Source: Van Oosterom and Strackee (1983)."""
    if not ((low < point) & (point < high)).all():
        return False
    a, b, c = np.moveaxis(corners - point, 1, 0)
    la, lb, lc = (np.linalg.norm(one, axis=1) for one in (a, b, c))
    top = (a * np.cross(b, c)).sum(axis=1)
    below = la * lb * lc + (a * b).sum(1) * lc + (b * c).sum(1) * la + (c * a).sum(1) * lb
    return bool(np.arctan2(top, below).sum() > np.pi)

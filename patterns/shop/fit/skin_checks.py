"""What is cut to the skin of a round hull, measured against the skin again: how near it comes to the planking's inside.

Its lines were found by cutting a face that lies inside the surface. Here they are measured the other way about: from
each point of a pattern the nearest place of the surface is sought, and how far off that is held against the thickness
that should lie between.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats, dots, lengths
from patterns.geometry.cuts import Plane
from patterns.geometry.skin_faces import Surface
from patterns.parts.asked.rules import FrameKind
from patterns.parts.cautions import Caution
from patterns.parts.frames.frame import frame_name
from patterns.parts.part import Part
from patterns.parts.role import EdgeKind
from patterns.parts.whole import Job
from patterns.units.lengths import write_length, write_small

GRID = 61  # places along and up by which the nearest one is first looked for
ROUNDS = 30
EVERY = 4  # of the points of an edge
A_SHAVING = 0.3  # mm; a mould that stands in by less is cured by one stroke of a plane


@dataclass(frozen=True, slots=True)
class SkinCheck:
    """How far the edge of one part stands off the inside of the planking, on the face that stands nearest to it."""

    part: str
    into: float  # mm, the furthest that it stands into the planking; 0 where nowhere
    clear: float  # mm, the furthest that it stands clear of the planking
    deepest: float  # mm above base, where it stands furthest in


def skin_checks(job: Job) -> tuple[SkinCheck, ...]:
    """Of each mould or frame of a round hull; none of other hulls."""
    skin = job.hull.smooth
    if skin is None:
        return ()
    parts = {part.name: part for part in job.parts}
    found = []
    for rules, stand in job.stands:
        part = parts[frame_name(rules, stand)]
        depth = skin.depth_of(mould=rules.kind is FrameKind.MOULD)
        off, heights = _off(skin.surface, part, (stand.face, stand.far), depth)
        deepest = float(heights[off.argmin()])
        found.append(SkinCheck(part.name, max(0.0, -float(off.min())), max(0.0, float(off.max())), deepest))
    return tuple(found)


def skin_cautions(checks: Sequence[SkinCheck], show: str) -> Iterator[Caution]:
    """Each mould that would push the planking out, and where."""
    for one in checks:
        if one.into > A_SHAVING:
            yield Caution(
                one.part,
                f"it stands up to {write_small(one.into, show)} into the planking, {write_length(one.deepest, show)} "
                "above base: the lines turn more sharply there than the planking is thick. Look at its section on the "
                "lines plan, and give one more figure there. Or plane the edge until a batten lies fair over it and "
                "its neighbours",
            )


def _off(surface: Surface, part: Part, faces: tuple[Plane, Plane], depth: float) -> tuple[Floats, Floats]:
    """(n,) mm, how far places of an edge on the planking stand off a depth under it, on the nearer of both faces.

    And (n,) mm, how high above base each of them is.
    """
    face, far = faces
    edges = [edge for edge in part.edges if edge.kind is EdgeKind.PLANKED]
    near = np.concatenate([_starboard(face.in_space(edge.points[::EVERY])) for edge in edges])
    if all(np.array_equal(edge.points, edge.far) for edge in edges):  # left square, one line on both faces
        behind = np.concatenate([_starboard(far.in_space(edge.points[::EVERY])) for edge in edges])
        clear = [distance(surface, points) - depth for points in (near, behind)]
        return np.minimum(*clear), near[:, 2]
    behind = np.concatenate([_starboard(far.in_space(edge.far[::EVERY])) for edge in edges])
    both = np.concatenate([near, behind])
    return distance(surface, both) - depth, both[:, 2]


def _starboard(points: Floats) -> Floats:
    return np.stack([points[:, 0], np.abs(points[:, 1]), points[:, 2]], axis=1)


def distance(surface: Surface, points: Floats) -> Floats:
    """(n,) mm, from points (n, 3) of the starboard half to the nearest place of a surface; positive inside.

    By Gauss-Newton steps from the nearest place of a grid, to where the line between is square to the surface.
    """
    along, up = (axis.ravel() for axis in np.meshgrid(np.linspace(0, 1, GRID), np.linspace(0, 1, GRID)))
    grid = surface.places(along, up).points
    nearest = np.array([int(lengths(grid - point).argmin()) for point in points])
    u, v = along[nearest], up[nearest]
    for _ in range(ROUNDS):
        there = surface.places(u, v)
        out = points - there.points
        a, b = there.along, there.up
        aa, ab, bb = dots(a, a), dots(a, b), dots(b, b)
        ga, gb = dots(a, out), dots(b, out)
        size = aa * bb - ab**2
        step_u, step_v = (bb * ga - ab * gb) / size, (aa * gb - ab * ga) / size
        u, v = u + np.clip(step_u, -0.1, 0.1), v + np.clip(step_v, -0.1, 0.1)
        if max(np.abs(step_u).max(), np.abs(step_v).max()) < 1e-12:
            break
    there = surface.places(u, v)
    return np.asarray(dots(there.points - points, there.normals))

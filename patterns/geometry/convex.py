"""Outlines cut into convex parts, and the straight lines that keep two of them apart."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from patterns.geometry.arrays import Floats, unit

HAIR = 1e-6  # of the lengths of two edges: a corner turning in by less is straight
FINEST = 1e-4  # mm; nearer corners are one

Ring = list[int]  # numbers of corners, counter-clockwise


def convex_parts(outline: shapely.Polygon) -> list[Floats]:
    """Convex parts that together are a polygon, holes left out: each (n, 2) corners counter-clockwise.

    Triangles are joined wherever the two stay convex, longest shared edge first (Hertel and Mehlhorn, "Fast
    triangulation of simple polygons", 1983): never more than four times as many parts as the fewest there can be.

    Example
    -------
    >>> corner = shapely.Polygon([(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)])
    >>> len(convex_parts(corner))
    2
    """
    triangles = shapely.constrained_delaunay_triangles(shapely.set_precision(outline, FINEST)).geoms
    numbers: dict[tuple[float, float], int] = {}
    rings: list[Ring] = []
    for triangle in triangles:
        corners = shapely.get_coordinates(triangle)[:3]
        ring = [numbers.setdefault((float(x), float(y)), len(numbers)) for x, y in corners]
        rings.append(ring if _turn(*corners) > 0 else ring[::-1])
    places = np.array(list(numbers))
    return [places[ring] for ring in _joined(rings, places)]


def _turn(a: Floats, b: Floats, c: Floats) -> float:
    """Twice the area of a triangle, positive where it runs counter-clockwise."""
    return float((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))


def _joined(rings: list[Ring], places: Floats) -> Iterator[Ring]:
    """Rings joined over the edges they share, as far as they stay convex."""
    beside = {edge: number for number, ring in enumerate(rings) for edge in _edges(ring)}
    shared = [edge for edge in beside if edge[0] < edge[1] and edge[::-1] in beside]
    for a, b in sorted(shared, key=lambda edge: (-float(np.hypot(*(places[edge[0]] - places[edge[1]]))), edge)):
        one, other = beside[a, b], beside[b, a]
        if one == other:
            continue
        ring = _from(rings[one], b)[:-1] + _from(rings[other], a)[:-1]
        if _is_convex_at(ring, a, places) and _is_convex_at(ring, b, places):
            rings[one], rings[other] = ring, []
            beside |= dict.fromkeys(_edges(ring), one)
    return (ring for ring in rings if ring)


def _edges(ring: Ring) -> Iterator[tuple[int, int]]:
    return zip(ring, ring[1:] + ring[:1], strict=True)


def _from(ring: Ring, corner: int) -> Ring:
    """The same ring, begun at a corner."""
    at = ring.index(corner)
    return ring[at:] + ring[:at]


def _is_convex_at(ring: Ring, corner: int, places: Floats) -> bool:
    at = ring.index(corner)
    before, here, after = (places[ring[(at + step) % len(ring)]] for step in (-1, 0, 1))
    return _turn(before, here, after) >= -HAIR * float(np.hypot(*(here - before)) * np.hypot(*(after - here)))


def outward(corners: Floats) -> Floats:
    """(n, 2) directions square to the edges of a convex ring (n, 2), away from it."""
    edges = np.roll(corners, -1, axis=0) - corners
    return unit(np.stack([edges[:, 1], -edges[:, 0]], axis=1))


def between(first: tuple[Floats, Floats], second: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    """What keeps pairs of convex parts apart: (p, k, 2) directions and (p, k) mm.

    Two parts share no place exactly where the second lies further from the first, along one of the directions at
    least, than the mm that answer to it. Each edge of either gives a direction: no other can part two convex shapes
    in a plane.

    Parameters
    ----------
    first, second : ((p, n, 2) corners in mm, (p, n, 2) their `outward` directions)
        Shorter rings are filled up with their last corner and direction.
    """
    ways = np.concatenate([first[1], -second[1]], axis=1)
    return ways, _along(ways, first[0]).max(axis=2) - _along(ways, second[0]).min(axis=2)


def _along(ways: Floats, corners: Floats) -> Floats:
    """(p, k, n) how far corners lie along directions. Not a matrix product, whose rounding depends on the machine."""
    x, y = ways[..., 0][:, :, None], ways[..., 1][:, :, None]
    return np.asarray(x * corners[:, None, :, 0] + y * corners[:, None, :, 1])

"""Convex parts of an outline, and what keeps two of them apart, held against shapely's own measures."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st

from patterns.geometry.convex import between, convex_parts, outward


def star(seed: int) -> shapely.Polygon:
    """A ragged outline round a point, sometimes with a hole."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(3, 15))
    turns = np.sort(chance.uniform(0, 2 * np.pi, count))
    turns += np.arange(count) * 1e-3
    reach = chance.uniform(30, 100, count)
    ring = shapely.Polygon(np.stack([reach * np.cos(turns), reach * np.sin(turns)], axis=1)).buffer(3).buffer(-2)
    whole = ring if isinstance(ring, shapely.Polygon) else max(ring.geoms, key=lambda each: each.area)
    holed = whole.difference(shapely.Point(whole.representative_point()).buffer(4)) if seed % 2 else whole
    return holed if isinstance(holed, shapely.Polygon) else whole


@given(seed=st.integers(0, 2**32))
def test_parts_are_convex_and_together_the_outline(seed: int) -> None:
    outline = star(seed)
    parts = [shapely.Polygon(part) for part in convex_parts(outline)]
    for part in parts:
        assert part.exterior.is_ccw
        assert part.convex_hull.area == pytest.approx(part.area, rel=1e-6, abs=1e-3)
    assert sum(part.area for part in parts) == pytest.approx(outline.area, rel=1e-4)
    assert shapely.union_all(parts).symmetric_difference(outline).area < 1e-3 * outline.area


@given(seed=st.integers(0, 2**32), x=st.floats(-120, 120), y=st.floats(-120, 120))
def test_two_convex_shapes_are_parted_just_where_they_share_no_place(seed: int, x: float, y: float) -> None:
    chance = np.random.default_rng(seed)
    one, other = (shapely.MultiPoint(chance.uniform(-50, 50, (7, 2))).convex_hull for _ in range(2))
    rings = [shapely.get_coordinates(shapely.orient_polygons(hull).exterior)[:-1] for hull in (one, other)]
    ways, least = between(*((ring[None], outward(ring)[None]) for ring in rings))
    apart = float((ways[0] @ (x, y) - least[0]).max())
    moved = shapely.affinity.translate(other, x, y)
    assert (apart > 1e-9) == (moved.distance(one) > 1e-9) or abs(apart) < 1e-6
    if apart > 0:  # the widest gap square to an edge is never wider than the true distance
        assert apart <= moved.distance(one) + 1e-9

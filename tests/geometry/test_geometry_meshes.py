"""Bodies of wood as meshes: closed, turned outward, and as large as closed forms say."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from shapely import Polygon

from patterns.geometry.arrays import Floats
from patterns.geometry.meshes import Mesh, Side, between, together


def lift(z: float):
    return lambda places: np.insert(places, 2, z, axis=1)


def edges_of(ring: Floats) -> list[Floats]:
    return [np.stack([ring[n], ring[(n + 1) % len(ring)]]) for n in range(len(ring))]


def square(half: float) -> Floats:
    return half * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])


def test_a_block_has_its_volume_its_middle_and_no_torn_edge() -> None:
    ring = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [0.0, 20.0]])
    block = between(Side(edges_of(ring), lift(10.0)), Side(edges_of(ring), lift(0.0)))
    assert block.torn == 0
    assert block.volume == pytest.approx(30 * 20 * 10, rel=1e-12)
    assert np.allclose(block.centroid, (15.0, 10.0, 5.0))


def test_which_face_is_named_first_makes_no_difference_to_what_is_outside() -> None:
    up, down = Side(edges_of(square(10.0)), lift(10.0)), Side(edges_of(square(10.0)), lift(0.0))
    assert between(up, down).volume == pytest.approx(between(down, up).volume) == pytest.approx(4000.0)


def test_bevelled_edges_make_the_frustum_of_a_pyramid() -> None:
    """V = h (A + B + sqrt(A B)) / 3: solid geometry, Heron of Alexandria's rule for a truncated pyramid."""
    body = between(Side(edges_of(square(10.0)), lift(12.0)), Side(edges_of(square(20.0)), lift(0.0)))
    assert body.torn == 0
    assert body.volume == pytest.approx(12.0 * (400 + 1600 + 800) / 3, rel=1e-12)


def test_a_hole_goes_right_through() -> None:
    hole = square(5.0)[::-1]
    body = between(*(Side(edges_of(square(10.0)), lift(z), [hole]) for z in (3.0, 0.0)))
    assert body.torn == 0
    assert body.volume == pytest.approx(3.0 * (400 - 100), rel=1e-12)


def test_wood_bent_to_a_cylinder_is_as_much_as_was_flat() -> None:
    """Between radii r and R it is (R2 - r2) / 2 times the angle times the length: a sector of a ring."""
    turn, wide, inner, outer = 1.2, 100.0, 400.0, 412.0
    ring = np.array([[0.0, 0.0], [turn, 0.0], [turn, wide], [0.0, wide]])
    folds = [np.array([[at, -1.0], [at, wide + 1.0]]) for at in np.linspace(0.0, turn, 201)[1:-1]]

    def bent(radius: float):
        return lambda places: np.stack(
            [radius * np.cos(places[:, 0]), radius * np.sin(places[:, 0]), places[:, 1]], axis=1
        )

    body = between(Side(edges_of(ring), bent(outer)), Side(edges_of(ring), bent(inner)), folds)
    assert body.torn == 0
    assert body.volume == pytest.approx((outer**2 - inner**2) / 2 * turn * wide, rel=1e-5)


@given(arrays(float, 12, elements=st.floats(20.0, 60.0)), arrays(float, 12, elements=st.floats(20.0, 60.0)))
def test_any_two_faces_of_as_many_edges_make_a_closed_body(near: Floats, far: Floats) -> None:
    turn = np.linspace(0.0, 2 * np.pi, 12, endpoint=False)
    round_ = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    folds = [np.array([[x, -80.0], [x, 80.0]]) for x in (-30.0, -7.0, 12.0, 33.0)]
    sides = (Side(edges_of(round_ * reach[:, None]), lift(z)) for reach, z in ((near, 10.0), (far, 0.0)))
    body = between(*sides, folds)
    assert body.torn == 0
    assert body.volume > 0


@given(arrays(float, 12, elements=st.floats(20.0, 60.0)), st.floats(0.3, 3.0))
def test_between_two_faces_of_one_shape_lies_a_frustum(reach: Floats, times: float) -> None:
    turn = np.linspace(0.0, 2 * np.pi, 12, endpoint=False)
    ring = reach[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    folds = [np.array([[x, -200.0], [x, 200.0]]) for x in (-30.0, 12.0)]
    body = between(Side(edges_of(ring), lift(10.0)), Side(edges_of(times * ring), lift(0.0)), folds)
    area = Polygon(ring).area
    assert body.torn == 0
    assert body.volume == pytest.approx(10.0 * area * (1 + times + times**2) / 3, rel=1e-5)


def test_a_triangle_taken_out_leaves_three_torn_edges_and_one_turned_over_too() -> None:
    block = between(*(Side(edges_of(square(10.0)), lift(z)) for z in (3.0, 0.0)))
    assert Mesh(block.points, block.triangles[1:]).torn == 3
    over = block.triangles.copy()
    over[0] = over[0, ::-1]
    assert Mesh(block.points, over).torn > 0


def test_bodies_together_are_as_much_as_each_and_the_other_hand_is_as_much_as_the_one() -> None:
    block = between(*(Side(edges_of(square(10.0) + np.array([40.0, 30.0])), lift(z)) for z in (3.0, 0.0)))
    assert together([block, block.mirrored()]).volume == pytest.approx(2 * block.volume)
    assert np.allclose(block.mirrored().centroid, block.centroid * (1.0, -1.0, 1.0))


def test_an_outline_that_crosses_itself_is_a_bug_of_ours() -> None:
    ring = np.array([[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]])
    with pytest.raises(ValueError, match="crosses itself"):
        between(*(Side(edges_of(ring), lift(z)) for z in (1.0, 0.0)))

"""A long piece cut by planes, against bars whose every section is known."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.errors import ShapeError
from patterns.geometry.cuts import Plane, station_plane
from patterns.parts.long.solids import Solid
from patterns.parts.role import Role


def bar(slope: float) -> Solid:
    """A square bar 20 mm each way, from x = 0 to 1000, rising and widening by ``slope``; its ends are square to x."""
    x = np.linspace(0.0, 1000.0, 11)
    square = np.array([[0, 0], [20, 0], [20, 20], [0, 20]], dtype=np.float64)
    corners = [np.stack([x, a + slope * x, b + slope * x], axis=1) for a, b in square]
    return Solid("bar", "starboard", np.stack(corners), role=Role.STRINGER)


@given(st.floats(-0.5, 0.5), st.floats(0.0, 1000.0))
def test_a_straight_bar_has_its_own_section_at_every_station(slope: float, x: float) -> None:
    found = bar(slope).cut(station_plane(x, facing_aft=True))
    want = np.array([[0, 0], [20, 0], [20, 20], [0, 20]]) + slope * x
    assert np.abs(found - want).max() < 1e-9


def test_a_raked_plane_cuts_a_bar_longer_by_the_rake() -> None:
    rake = np.radians(30)
    plane = Plane(np.array([500.0, 0, 0]), np.array([0.0, 1, 0]), np.array([np.sin(rake), 0, np.cos(rake)]))
    found = bar(0.0).cut(plane)
    assert np.ptp(found[:, 0]) == pytest.approx(20)
    assert np.ptp(found[:, 1]) == pytest.approx(20 / np.cos(rake))


def test_the_other_hand_lies_across_the_centre_plane() -> None:
    plane = station_plane(300.0, facing_aft=True)
    port = bar(0.1).mirrored()
    assert port.hand == "port"
    assert np.abs(port.cut(plane)[::-1] * (-1, 1) - bar(0.1).cut(plane)).max() < 1e-9


def test_a_plane_the_bar_does_not_reach_is_refused() -> None:
    plane = station_plane(1001.0, facing_aft=True)
    assert not bar(0.0).reaches(plane)
    with pytest.raises(ShapeError, match="bar does not run as far"):
        bar(0.0).cut(plane)

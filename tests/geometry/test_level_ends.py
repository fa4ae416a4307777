"""Lines told by heights that run on level, against circles and a power of which every place is known."""

from __future__ import annotations

import numpy as np
import pytest

from patterns.geometry.battens import Batten
from patterns.geometry.cuts import Profile
from patterns.geometry.level_ends import LevelEnded


def quarter(radius: float = 600.0, count: int = 9) -> Profile:
    """A stem that is a quarter of a circle, upright at its head and level at its foot."""
    turn = np.linspace(0.0, np.pi / 2, count)
    return Profile(radius * np.column_stack([1 - np.cos(turn), 1.2 - np.sin(turn)]))


def test_a_quarter_of_a_circle_stays_one() -> None:
    """Sprung by heights it is out by several millimeters by its level end."""
    profile = quarter()
    assert isinstance(profile.batten, LevelEnded)
    z = profile.heights_between(120.0, 720.0, 400)
    x = profile.at_height(z)
    assert np.abs(np.hypot(x - 600.0, z - 720.0) - 600.0).max() < 0.1
    assert np.abs(profile.at_height(profile.points[:, 1]) - profile.points[:, 0]).max() < 1e-3
    steps = np.hypot(np.diff(x), np.diff(z))
    assert steps.max() < 1.5 * steps.mean()
    middle = z[(z > 150.0) & (z < 700.0)]
    leans = (middle - 720.0) / np.sqrt(600.0**2 - (middle - 720.0) ** 2)
    assert np.abs(np.arctan(profile.batten.slope(middle)) - np.arctan(leans)).max() < 0.01


def test_a_steep_profile_is_sprung_by_heights_and_a_flat_one_alike_up_and_aft() -> None:
    steep = Profile(np.array([[0.0, 700.0], [20.0, 560.0], [70.0, 420.0], [160.0, 280.0], [300.0, 140.0]]))
    assert isinstance(steep.batten, Batten)
    flat = quarter()
    aft = Profile(flat.points * (-1.0, 1.0))
    z = np.linspace(121.0, 719.0, 50)
    assert np.abs(aft.at_height(z) + flat.at_height(z)).max() < 1e-6
    large = Profile(flat.points * 3.0)
    assert np.abs(large.at_height(3.0 * z) - 3.0 * flat.at_height(z)).max() < 1e-2


@pytest.mark.parametrize("past", [1.0, 40.0, 300.0])
def test_past_its_ends_it_goes_on_without_a_jump(past: float) -> None:
    profile = quarter()
    z = np.array([720.0, 720.0 + past])
    x = profile.at_height(z)
    assert abs(x[1] - x[0]) < past  # upright at its head
    assert np.isfinite(profile.at_height(np.array([120.0 - past]))).all()

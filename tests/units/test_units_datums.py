"""Levels that heights are measured from, and the tape."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.units.datums import BASE, Datum
from patterns.units.tape import tape_length, tape_rounding, tape_step

heights = st.floats(-500.0, 1500.0)


@given(heights)
def test_from_a_base_above_figures_run_down_and_from_a_water_line_up(given_height: float) -> None:
    assert BASE.height(given_height) == given_height
    assert Datum("base above", 900.0).height(given_height) == pytest.approx(900.0 - given_height)
    assert Datum("water line", 150.0).height(given_height) == pytest.approx(150.0 + given_height)


@given(heights, st.sampled_from([BASE, Datum("base above", 900.0), Datum("water line", 150.0)]))
def test_a_height_comes_back_as_it_was_given(given_height: float, datum: Datum) -> None:
    assert datum.given(datum.height(given_height)) == pytest.approx(given_height)


@pytest.mark.parametrize(("show", "step"), [("mm", 1.0), ("cm", 1.0), ("ft-in-16ths", 25.4 / 16), ("in", 25.4 / 16)])
def test_the_tape_is_read_to_a_millimetre_or_a_sixteenth(show: str, step: float) -> None:
    assert tape_step(show) == pytest.approx(step)
    assert ("1 mm" if step == 1.0 else "1/16 in") in tape_rounding(show)
    # Figures a step apart are written apart, and what lies between goes to the nearer.
    written = [tape_length(count * step + 0.4 * step, show) for count in range(50)]
    assert len(set(written)) == 50
    assert written == [tape_length(count * step, show) for count in range(50)]

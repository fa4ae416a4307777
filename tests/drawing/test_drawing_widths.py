"""How wide lettering is, by the font's own table."""

from __future__ import annotations

import pytest

from patterns.drawing.text import text_width


@pytest.mark.parametrize(("letter", "advance"), [("H", 1540), ("I", 604), ("5", 1303)])
def test_a_letter_is_as_wide_to_its_height_as_the_font_draws_it(letter: str, advance: int) -> None:
    """DejaVu Sans 2.37: advances in 2048ths of an em; its capitals are 1493 high."""
    assert text_width(letter, 10.0) == pytest.approx(10.0 * advance / 1493, rel=1e-3)
    assert text_width(3 * letter, 4.0) == pytest.approx(12.0 * advance / 1493, rel=1e-3)

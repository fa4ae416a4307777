"""Lettering takes the room we say it takes."""

from __future__ import annotations

import json

import numpy as np
import pytest
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

from patterns.cli.screen import in_rows
from patterns.drawing.marks import DRAWN, TINTS, Label
from patterns.drawing.styles import STYLES
from patterns.drawing.text import (
    ASCENT,
    CAP_HEIGHT,
    DESCENT,
    label_box,
    text_reach,
    text_width,
    unlettered,
    without_strangers,
    wrapped,
)
from patterns.units.shared_data import shared_file


@pytest.fixture(scope="module")
def font() -> TTFont:
    return TTFont(shared_file("fonts/DejaVuSans.ttf"))


def test_widths_are_those_of_the_font(font: TTFont) -> None:
    widths = json.loads(shared_file("fonts/widths.json").read_text(encoding="utf-8"))
    em = font["head"].unitsPerEm
    of_font = {chr(code): font["hmtx"][name][0] / em for code, name in font.getBestCmap().items()}
    assert widths == pytest.approx(of_font, abs=1e-6)


def test_a_label_as_large_as_asked_has_capitals_that_high(font: TTFont) -> None:
    assert font["glyf"]["H"].yMax / font["head"].unitsPerEm == pytest.approx(CAP_HEIGHT, abs=5e-4)


def test_no_letter_reaches_out_of_its_box(font: TTFont) -> None:
    em = font["head"].unitsPerEm
    for code, name in font.getBestCmap().items():
        glyph = font["glyf"][name]
        if glyph.numberOfContours == 0:
            continue
        above, below = text_reach(chr(code), CAP_HEIGHT)
        assert glyph.yMax / em <= above + CAP_HEIGHT / 2 + 0.035, chr(code)
        assert -glyph.yMin / em <= below - CAP_HEIGHT / 2 + 0.035, chr(code)
    assert DESCENT < ASCENT


def test_every_letter_of_three_alphabets_can_be_printed() -> None:
    for first, last in ("AZ", "az", "Àɏ", "Ḁẖ", "Ạỹ", "ΑΡ", "ΣΫ", "άώ", "ЀЯ", "аџ", "ҐԢ"):
        letters = (chr(code) for code in range(ord(first), ord(last) + 1))
        assert not unlettered("".join(letter for letter in letters if letter.isalpha()))
    assert not unlettered("‘“„«‹’”»›–—…‰№€§†•ʻʼ")
    assert unlettered("舟 Sea\u200b\u0301\x07舟") == "舟\u200b\u0301\x07"


def test_the_font_stays_small_enough_to_travel_with_every_installation() -> None:
    assert shared_file("fonts/DejaVuSans.ttf").stat().st_size < 100_000


def test_the_signs_of_the_trade_can_be_lettered() -> None:
    assert text_width("⅛¼⅜½⅝¾⅞ 12.4° ± × Ø ′ ″ – — → ← ↑ ↓ ∠ ℄ ² ≤ ≥ ⌀ · … ✕ △ ▲ ●", 3.0) > 100


def test_text_twice_as_high_is_twice_as_long() -> None:
    assert text_width("12.4° under", 6.0) == pytest.approx(2 * text_width("12.4° under", 3.0))


def test_a_letter_the_font_lacks_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="no '舟' for '舟 Saltmeadow'"):
        text_width("舟 Saltmeadow", 3.0)
    assert without_strangers("舟 Saltmeadow") == "□ Saltmeadow"


def test_a_label_standing_upright_has_its_box_upright() -> None:
    lying = label_box(Label("CHINE", (0.0, 0.0), 4.0, anchor="start"))
    standing = label_box(Label("CHINE", (10.0, 20.0), 4.0, angle=np.pi / 2, anchor="start"))
    assert np.ptp(lying[:, 0]) == pytest.approx(text_width("CHINE", 4.0))
    assert np.allclose(standing, lying @ [[0, 1], [-1, 0]] + (10, 20))


def test_the_anchor_is_where_the_text_starts_or_ends() -> None:
    starts = label_box(Label("STEM", (5.0, 0.0), 4.0, anchor="start"))
    ends = label_box(Label("STEM", (5.0, 0.0), 4.0, anchor="end"))
    assert starts[:, 0].min() == pytest.approx(5.0)
    assert ends[:, 0].max() == pytest.approx(5.0)


def test_wrapped_lines_fit_and_lose_no_word() -> None:
    text = "Frame lines are the faces that stand on the stations; X shows the side the frame's wood lies."
    lines = wrapped(text, size=3.0, width=80.0)
    assert " ".join(lines) == text
    assert all(text_width(line, 3.0) <= 80.0 for line in lines)


def test_a_name_without_blanks_is_broken_where_the_line_ends_and_loses_no_letter() -> None:
    name = "Щ" * 60
    lines = wrapped(f"frame {name}, port", size=3.0, width=80.0)
    assert "".join(lines).replace(" ", "") == f"frame{name},port"
    assert all(text_width(line, 3.0) <= 80.0 for line in lines)
    assert wrapped("starboard", size=3.0, width=5.0) == ["starboard"]


def test_every_layer_has_a_pen_and_prints_in_black_but_the_tints() -> None:
    assert set(STYLES) == set(DRAWN)
    assert {layer for layer, style in STYLES.items() if style.grey} == set(TINTS)
    # A builder tells the finished line from the far face by weight and by dash, on a black print.
    assert STYLES["cut-outside"].width >= 2 * STYLES["far-face"].width
    assert STYLES["far-face"].dashes
    assert not STYLES["cut-outside"].dashes


@pytest.mark.parametrize("length", ["13' 0 7/16\"", '2 1/2"', "4222 mm", "1' 0\"", "12.5 cm"])
def test_no_line_ends_within_a_length(length: str) -> None:
    """Wherever in the line the length comes, on paper and on the screen."""
    for count in range(1, 30):
        text = f"{'ab ' * count}{length} from the end"
        assert sum(length in line for line in wrapped(text, size=3.0, width=60.0)) == 1
        assert sum(length in line for line in in_rows(text, 24)) == 1

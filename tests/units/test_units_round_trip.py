"""Claims about lengths written and read again, and about what is no length; a second reader is held against ours."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from plain_lengths import NotALengthError, plain_length

from patterns.units.lengths import UNITS, read_length, read_written
from patterns.units.notations import Notation, notation_of, write_offset

MANY = 40  # values in one example: 100 examples are thousands of values
NOTATIONS = (
    *(Notation("eighths", "in", parts) for parts in (8, 16, 32)),
    *(Notation("feet-inches", "in", parts, mark) for parts in (1, 2, 8, 16, 32, 64) for mark in ('"', " in")),
    *(Notation("fractions", u, parts, f" {u}") for u in ("in", "ft") for parts in (1, 2, 4, 8, 16, 32, 64, 12)),
    *(Notation("fractions", "in", parts) for parts in (8, 16, 32)),
    *(Notation("decimals", u, n, s, comma) for u in UNITS for n in range(5) for s in ("", f" {u}") for comma in (0, 1)),
)
values = st.lists(st.floats(-9000.0, 9000.0), min_size=MANY, max_size=MANY)


@pytest.mark.parametrize("step", range(-64, 65))
@pytest.mark.parametrize("parts", [8, 16, 32])
def test_every_small_step_is_written_so_that_it_reads_back(step: int, parts: int) -> None:
    notation = Notation("eighths", "in", parts)
    mm = Fraction(step, parts) * Fraction("25.4")
    assert read_written(write_offset(float(mm), notation), None).mm == mm


@pytest.mark.slow
@settings(max_examples=100, deadline=None)
@given(st.sampled_from(NOTATIONS), values)
@example(NOTATIONS[1], [-25.4 / 16])
def test_what_is_written_reads_back_to_the_nearest_step_and_is_written_the_same(
    notation: Notation, numbers: list[float]
) -> None:
    for mm in numbers:
        text = write_offset(mm, notation)
        again = read_length(text, notation.unit)
        assert abs(again.mm - mm) <= notation.step / 2 + 1e-6, text
        assert write_offset(again.mm, notation) == text


@settings(max_examples=50, deadline=None)
@given(st.sampled_from(NOTATIONS), values)
def test_a_column_read_in_its_own_notation_is_written_again_without_a_change(
    notation: Notation, numbers: list[float]
) -> None:
    texts = [write_offset(mm, notation) for mm in numbers]
    found = notation_of(texts, notation.unit)
    read = [read_length(text, notation.unit).mm for text in texts]
    again = [read_length(write_offset(mm, found), found.unit).mm for mm in read]
    assert again == pytest.approx(read, abs=1e-6)


def both(text: str, unit: str) -> tuple[Fraction | None, Fraction | None]:
    try:
        ours = read_written(text, unit).mm
    except ValueError:
        ours = None
    try:
        theirs = plain_length(text, unit)
    except NotALengthError:
        theirs = None
    return ours, theirs


@settings(max_examples=400, deadline=None)
@given(st.text("0123456789-+'\"/., inftcm", max_size=12), st.sampled_from(UNITS))
@example("2-3-5+", "mm")
@example("-0-0-0+", "mm")
def test_two_readers_agree_on_what_is_a_length_and_how_long(text: str, unit: str) -> None:
    ours, theirs = both(text, unit)
    # Twice a foot mark is an inch mark to ours, and blanks inside a number are told apart more finely.
    if ("''" not in text and " " not in text) or (ours is not None and "''" not in text):
        assert ours == theirs


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(NOTATIONS), st.floats(-9000, 9000), st.data())
def test_a_length_with_one_letter_changed_is_refused_or_read_as_it_now_stands(
    notation: Notation, mm: float, data: st.DataObject
) -> None:
    text = write_offset(mm, notation)
    place = data.draw(st.integers(0, len(text)))
    letter = data.draw(st.sampled_from("0123456789-+'\"/.,x "))
    cut = data.draw(st.booleans())
    changed = text[:place] + letter + text[place + cut :]
    ours, theirs = both(changed, notation.unit)
    if ours is not None and "''" not in changed:
        assert ours == theirs, changed

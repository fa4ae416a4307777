"""Claims about lengths as a builder writes them."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.units.lengths import (
    A_LENGTH,
    SHOWS,
    UNITS,
    Length,
    default_show,
    read_length,
    shown_step,
    write_length,
)
from patterns.units.notations import Notation, notation_of, write_offset

SPELLINGS = {
    "2-3-5": (701.675, 3.175),
    "2-3-5+": (703.2625, 1.5875),
    "2-3-5 +": (703.2625, 1.5875),
    "2-3-5-": (700.0875, 1.5875),
    "2-3-5+-": (702.46875, 0.79375),
    "2-3-5++": (704.05625, 0.79375),
    "-0-0-3": (-9.525, 3.175),
    "−0-0-3": (-9.525, 3.175),
    "-0-0-3+": (-11.1125, 1.5875),
    "+0-6-0": (152.4, 3.175),
    "2–3–5": (701.675, 3.175),
    "2‑3‑5−": (700.0875, 1.5875),
    "2' 3 5/8\"": (701.675, 3.175),
    "2'3 5/8\"": (701.675, 3.175),
    "2'-3 5/8\"": (701.675, 3.175),
    "2′ 3⅝″": (701.675, 3.175),
    "2’ 3 ⅝”": (701.675, 3.175),
    "2' 3 5/8''": (701.675, 3.175),
    "2 ft 3 5/8 in": (701.675, 3.175),
    "2'": (609.6, 304.8),
    "2' 6\"": (762.0, 25.4),
    "2' 6.5\"": (774.7, 2.54),
    "27 5/8 in": (701.675, 3.175),
    '27-5/8"': (701.675, 3.175),
    "27⅝ in": (701.675, 3.175),
    "27\u00a0⅝\u202fin": (701.675, 3.175),
    "5/8 in": (15.875, 3.175),
    "⅝ in": (15.875, 3.175),
    "27.625 in": (701.675, 0.0254),
    "27.62 in": (701.548, 0.254),
    "27,625 in": (701.675, 0.0254),
    ".5 in": (12.7, 2.54),
    "701.7 mm": (701.7, 0.1),
    "701.7mm": (701.7, 0.1),
    "701,7 MM": (701.7, 0.1),
    "70.17 cm": (701.7, 0.1),
    "0.7017 m": (701.7, 0.1),
    "4'7 5/8": (1412.875, 3.175),
    "4' 7": (1397.0, 25.4),
    "4ft 7 5/8": (1412.875, 3.175),
    "2.3 ft": (701.04, 30.48),
    "-3 mm": (-3.0, 1.0),
}


@pytest.mark.parametrize("text", SPELLINGS)
def test_every_way_the_trade_writes_a_length_is_read(text: str) -> None:
    length = read_length(text, "mm")
    assert (length.mm, length.step) == pytest.approx(SPELLINGS[text], abs=1e-9)


def test_a_bare_number_is_in_the_units_of_the_boat() -> None:
    assert read_length("27.5", "in") == Length(698.5, 2.54)
    assert read_length("27 5/8", "in").mm == read_length("27 5/8 in", "mm").mm
    assert read_length("1,234", "m") == Length(1234.0, 1.0)
    assert [read_length("1", unit).mm for unit in UNITS] == [1.0, 10.0, 1000.0, 25.4, 304.8]


def test_minus_nothing_is_nothing() -> None:
    assert str(read_length("-0-0-0", "in").mm) == "0.0"


REFUSALS = {
    "2-13-4": "inches from 0 to 11",
    "2-12-0": "inches from 0 to 11",
    "2-3-8": "eighths from 0 to 7",
    "2' 12\"": "inches from 0 to 11",
    "2-3-5--": "no mark, or one of + - ++ +- after the eighths",
    "3/0 in": "a fraction below 1, such as 5/8",
    "9/8 in": "a fraction below 1, such as 5/8",
    "27 5/8 mm": "mm in decimals, or " + A_LENGTH,
    "2001-02-03": A_LENGTH + " (a spreadsheet made a date of it: format the column as text and type it again)",
    "02.03.2005": A_LENGTH + " (a spreadsheet made a date of it: format the column as text and type it again)",
    "2/3/2005": A_LENGTH + " (a spreadsheet made a date of it: format the column as text and type it again)",
    "3-Feb-05": A_LENGTH + " (a spreadsheet made a date of it: format the column as text and type it again)",
}


@pytest.mark.parametrize("text", REFUSALS)
def test_a_misprint_is_answered_with_what_was_wanted(text: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(REFUSALS[text])}$"):
        read_length(text, "mm")


NO_LENGTHS = [
    *["", " ", "-", "+", "1-1-x", "2-3", "2-3-5-1", "2-3-5.5", "1.234,5", "1,2,3", "1e3", "1e3 mm", "nan"],
    *["inf", "NaN mm", "Infinity", "0x10", "1_000", "5.", "--5", "- -5", "2.5' 3\"", "2' 3 mm", "3 in 2 ft"],
    *["12 parsecs", "٣ mm", "5 mm mm", "mm", "in", "'", "3 5 in", "1000000000000 mm", "5/8/2 in", "½½ in"],
    *["5 'in", "0-0", "=1+1"],
]


@pytest.mark.parametrize("text", NO_LENGTHS)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(A_LENGTH)}$"):
        read_length(text, "mm")


def test_a_bare_number_means_nothing_where_no_unit_is_said() -> None:
    wanted = f"{A_LENGTH}: units in [boat] says nothing of bare numbers"
    with pytest.raises(ValueError, match=f"^{re.escape(wanted)}$"):
        read_length("27.5", None)
    assert read_length("27.5 in", None).mm == read_length("2-3-4", None).mm == 698.5


@given(st.text(max_size=12))
def test_any_text_is_a_finite_length_or_refused(text: str) -> None:
    try:
        length = read_length(text, "in")
    except ValueError:
        return
    assert abs(length.mm) < 1e13
    assert length.step > 0


def test_the_bench_is_shown_whole_figures() -> None:
    assert write_length(701.675, "ft-in-16ths") == "2' 3 5/8\""
    assert write_length(701.675, "in-16ths") == '27 5/8"'
    assert write_length(701.675, "mm") == "701.7 mm"
    assert write_length(701.675, "cm") == "70.17 cm"
    assert write_length(701.675, "m") == "0.7017 m"
    assert write_length(701.675, "in") == "27.63 in"
    assert write_length(-9.525, "ft-in-16ths") == '-3/8"'
    assert write_length(609.6 + 9.525, "ft-in-16ths") == "2' 0 3/8\""
    assert write_length(0.0, "ft-in-16ths") == write_length(-0.3, "ft-in-16ths") == '0"'
    assert write_length(-0.01, "mm") == "0.0 mm"


def test_twelve_inches_are_a_foot_and_eight_eighths_an_inch() -> None:
    assert write_length(304.79, "ft-in-8ths") == "1' 0\""
    assert write_length(25.39, "in-8ths") == '1"'


def test_a_show_nobody_knows_is_our_bug() -> None:
    with pytest.raises(KeyError, match="furlongs"):
        write_length(1.0, "furlongs")


def test_a_length_that_is_not_finite_is_never_printed() -> None:
    with pytest.raises(ValueError, match="nan is no length"):
        write_length(float("nan"), "mm")


def test_who_writes_in_feet_or_inches_is_shown_feet_and_inches() -> None:
    assert [default_show(unit) for unit in UNITS] == ["mm", "mm", "mm", "ft-in-16ths", "ft-in-16ths"]


lengths_mm = st.floats(min_value=-20000.0, max_value=20000.0)


@given(lengths_mm, st.sampled_from(SHOWS))
def test_what_the_bench_is_shown_reads_back_within_half_a_step(mm: float, show: str) -> None:
    assert abs(read_length(write_length(mm, show), None).mm - mm) <= shown_step(show) / 2 + 1e-6


@given(lengths_mm, st.sampled_from(SHOWS))
def test_port_is_shown_as_starboard(mm: float, show: str) -> None:
    assert write_length(-mm, show).lstrip("-") == write_length(mm, show).lstrip("-")


notations = st.one_of(
    st.builds(Notation, st.just("eighths"), st.just("in"), st.sampled_from([8, 16, 32])),
    st.builds(Notation, st.just("feet-inches"), st.just("in"), st.sampled_from([8, 16, 32]), st.just('"')),
    st.builds(Notation, st.just("fractions"), st.just("in"), st.sampled_from([16, 64]), st.sampled_from(["", " in"])),
    st.builds(Notation, st.just("decimals"), st.sampled_from(UNITS), st.integers(0, 4), st.just(""), st.booleans()),
)


@given(lengths_mm, notations)
def test_an_offset_reads_back_within_half_a_step_and_is_then_written_alike(mm: float, notation: Notation) -> None:
    text = write_offset(mm, notation)
    again = read_length(text, notation.unit).mm
    assert abs(again - mm) <= notation.step / 2 + 1e-6
    assert write_offset(again, notation) == text


def test_a_table_keeps_its_notation() -> None:
    assert notation_of(["2-3-5", "0-0-6", "0"], "in") == Notation("eighths", "in", 16)
    assert notation_of(["2-3-5+-", "0-0-6"], "in") == Notation("eighths", "in", 32)
    assert notation_of(["2' 3 5/8\"", "2' 3\"", "1' 0 1/4\""], "in") == Notation("feet-inches", "in", 16, '"')
    assert notation_of(["27 5/8 in", "3 1/16 in"], "mm") == Notation("fractions", "in", 16, " in")
    assert notation_of(["701,7", "22"], "mm") == Notation("decimals", "mm", 1, "", True)
    assert notation_of(["0.702", "0.55"], "m") == Notation("decimals", "m", 3)
    assert notation_of(["701", "22"], "mm") == Notation("decimals", "mm", 0)
    assert notation_of([], "in") == Notation("decimals", "in", 2)


def test_a_faired_table_of_eighths_shows_the_sixteenths_fairing_moved() -> None:
    notation = notation_of(["2-3-5"], "in")
    assert write_offset(701.675 + 1.6, notation) == "2-3-5+"
    assert write_offset(701.675 + 3.1, notation) == "2-3-6"
    assert write_offset(-1.5875, notation) == "0-0-0-"
    assert write_offset(304.7, notation) == "1-0-0"

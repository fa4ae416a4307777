"""Claims about the papers patterns are printed on."""

from __future__ import annotations

import math

import pytest

from patterns.units.papers import paper_name, paper_names, paper_size
from patterns.units.shared_data import shared_file


def test_letter_and_a4_are_what_they_are_everywhere() -> None:
    assert paper_size("letter") == (215.9, 279.4)
    assert paper_size("A4") == paper_size("a4") == (210.0, 297.0)


def test_a_paper_answers_to_both_its_names_in_any_case() -> None:
    assert paper_size("ANSI A") == paper_size("Letter")
    assert paper_size("arch-d") == paper_size("Arch D") == (609.6, 914.4)
    assert paper_name("ansi a") == "letter"


@pytest.mark.parametrize("written", ["13x19 in", "19 X 13in", '13 × 19"', "330.2x482.6 mm", "33,02 x 48,26 cm"])
def test_a_paper_may_be_written_out(written: str) -> None:
    assert paper_size(written) == pytest.approx((330.2, 482.6))
    assert paper_size(paper_name(written)) == paper_size(written)


def test_a_paper_written_out_is_named_with_its_unit() -> None:
    assert paper_name('19x13"') == "13x19 in"
    assert paper_name("480 x 330 mm") == "330x480 mm"


def test_a_paper_longer_than_a_reader_takes_is_refused() -> None:
    with pytest.raises(ValueError, match="no longer than 5000 mm"):
        paper_size("36x400 in")


def test_every_paper_stands_upright() -> None:
    assert all(width <= height for width, height in map(paper_size, paper_names()))


def test_each_a_size_is_the_next_larger_one_folded() -> None:
    for n in range(5):
        width, height = paper_size(f"A{n}")
        assert paper_size(f"A{n + 1}") == (math.floor(height / 2), width)


def test_an_unknown_paper_is_answered_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"^one of a0, a1, a2, a3, a4, a5, b0"):
        paper_size("foolscap")


def test_a_missing_file_of_shared_data_is_named() -> None:
    with pytest.raises(FileNotFoundError, match=r"no_such\.csv"):
        shared_file("no_such.csv")

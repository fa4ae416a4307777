"""Numbers as files of ink spell them, held against Python's own."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from patterns.writing.ink.numbers import spelt

numbers = st.lists(st.floats(-1e5, 1e5) | st.integers(-200, 200).map(float) | st.floats(-1e-3, 1e-3), max_size=20)


@given(numbers, st.integers(1, 8))
def test_each_number_is_as_near_as_its_digits_allow_and_says_nothing_twice(given: list[float], digits: int) -> None:
    told = spelt(" ".join("#" * len(given)), given, digits).split()
    assert len(told) == len(given)
    for text, number in zip(told, given, strict=True):
        assert float(text) == round(number, digits)
        assert text != "-0"
        assert "." not in text or not text.endswith(("0", "."))


@given(numbers)
def test_a_whole_number_can_keep_its_point(given: list[float]) -> None:
    told = spelt("\n".join("#" * len(given)), given, 4, whole=".0").split()
    assert [repr(round(number, 4) + 0.0) for number in given] == [repr(float(text)) for text in told]
    assert all("." in text for text in told)


def test_what_stands_round_the_numbers_is_left_alone() -> None:
    assert spelt("M#,0.500 #h00", (-0.0004, 10.0), 3) == "M0,0.500 10h00"

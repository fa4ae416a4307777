"""``[[fairing]]`` in boat.toml: limits of single offsets, lines and views, as builders write them."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from boats import EIGHTH
from changed_saltmeadow import fairing_rules, refused_rules

from patterns.hull.fairing_rules import FairingRule


def test_without_a_rule_all_offsets_are_alike(tmp_path: Path) -> None:
    assert fairing_rules(tmp_path, "") == ()


def test_a_rule_locks_widens_or_leaves_out(tmp_path: Path) -> None:
    lock, wide, out = fairing_rules(
        tmp_path,
        '[[fairing]]\nline = "Sheer"\nview = "heights"\nstation = 3\nlock = true\n'
        '[[fairing]]\nview = "half-breadths"\nwithin = "1/4 in"\n'
        '[[fairing]]\nline = "chine"\nstation = "2"\nleave_out = true\n',
    )
    assert lock == FairingRule("sheer", "height", "3", 0.0)
    assert wide == FairingRule(None, "half-breadth", None, pytest.approx(2 * EIGHTH))
    assert (out.line, out.view, out.column) == ("chine", None, "2")
    assert math.isnan(out.within)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            'line = "sheeer"\nlock = true',
            "fairing]] 1 line: found 'sheeer', expected one of 'sheer', 'chine'; did you mean 'sheer'?",
        ),
        (
            'station = "9"\nlock = true',
            "fairing]] 1 station: found '9', expected one of 'stem', '1', '2', '3', '4', '5', '6', 'transom'",
        ),
        ('view = "plan"\nlock = true', "fairing]] 1 view: found 'plan', expected one of 'heights', 'half-breadths'"),
        ('line = "sheer"\nlock = false', "fairing]] 1 lock: found false, expected true, or no such key"),
        (
            'line = "sheer"',
            'fairing]] 1: found { line = "sheer" }, expected one of lock = true, within = "1/4 in" or leave_out = true',
        ),
        (
            "lock = true",
            "fairing]] 1: found { lock = true }, expected a line, a view or a station it is for; "
            "fair_within in [boat] is for all",
        ),
        (
            'line = "sheer"\nleave_out = true',
            "fairing]] 1 leave_out: found no station, expected the station whose offset is left out; "
            "lock = true leaves a whole line as the table has it",
        ),
        (
            'line = "sheer"\nstation = "stem"\nview = "heights"\nleave_out = true',
            "fairing]] 1 leave_out: found the sheer's height at stem left out, "
            "expected it kept, because the sheer ends there",
        ),
    ],
)
def test_a_rule_that_cannot_hold_is_refused_with_its_key(tmp_path: Path, text: str, told: str) -> None:
    assert refused_rules(tmp_path, f"[[fairing]]\n{text}\n") == [told]


def test_a_line_of_which_too_little_is_left_is_refused(tmp_path: Path) -> None:
    out = "".join(
        f'[[fairing]]\nline = "sheer"\nview = "heights"\nstation = {i}\nleave_out = true\n' for i in range(1, 7)
    )
    (told,) = refused_rules(tmp_path, out)
    assert told.endswith("found 2 of the sheer's heights left, expected at least 3 to draw the line by")

"""Rows as fair as any that cannot be right beside another."""

from __future__ import annotations

from dataclasses import replace

from boats import saltmeadow

from patterns.hull.doubts.row_doubts import RowSlip, row_doubts
from patterns.hull.doubts.suspect_wording import row_told
from patterns.hull.doubts.suspects import suspects
from patterns.hull.offsets import OffsetRow, Offsets


def with_breadths(sheer: int, chine: int) -> Offsets:
    """Saltmeadow's table, its half-breadths taken from the rows of these numbers."""
    table = saltmeadow().offsets
    rows = table.half_breadths
    return replace(
        table, half_breadths=(OffsetRow("sheer", rows[sheer].values), OffsetRow("chine", rows[chine].values))
    )


def test_a_sound_table_has_no_row_in_doubt() -> None:
    assert list(row_doubts(saltmeadow().offsets)) == []


def test_a_row_copied_from_another_line_is_told_once_and_its_figures_are_not_accused() -> None:
    table, boat = with_breadths(0, 0), saltmeadow()
    (doubt,) = row_doubts(table)
    assert (doubt.slip, doubt.columns) == (RowSlip.COPIED, ("1", "6"))
    assert row_told(doubt).startswith("the chine's half-breadths from 1 to 6 are the sheer's half-breadths")
    assert suspects(table, fore=boat.fore, aft=boat.aft) == ()


def test_two_rows_changed_about_are_asked_after() -> None:
    (doubt,) = row_doubts(with_breadths(1, 0))
    assert doubt.slip is RowSlip.CHANGED_ABOUT
    assert "were the two rows changed about?" in row_told(doubt)


def test_noughts_within_a_copied_row_do_not_hide_it() -> None:
    table = saltmeadow().offsets
    chine = table.height("chine").values
    assert list(chine).count(0.0) == 2
    (doubt,) = row_doubts(replace(table, heights=(OffsetRow("sheer", chine), OffsetRow("chine", chine))))
    assert (doubt.slip, doubt.columns) == (RowSlip.COPIED, ("1", "6"))

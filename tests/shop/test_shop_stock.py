"""Which sheet of the builder's a part is cut from."""

from __future__ import annotations

import pytest

from patterns.parts.materials import Plywood
from patterns.shop.nest.sheet_stock import SheetStock, same_thickness


@pytest.mark.parametrize(("part", "sheet"), [(6.2, 6.0), (6.0, 6.2), (9.2, 9.0), (12.0, 12.2), (3.2, 3.0)])
def test_a_sheet_exactly_a_fifth_of_a_millimetre_off_holds_the_part(part: float, sheet: float) -> None:
    assert SheetStock(2440.0, 1220.0, sheet, "marine plywood").holds("marine plywood", part, Plywood())
    assert same_thickness(part, sheet)


@pytest.mark.parametrize(("part", "sheet"), [(6.21, 6.0), (5.79, 6.0)])
def test_a_sheet_further_off_does_not_hold_the_part(part: float, sheet: float) -> None:
    assert not SheetStock(2440.0, 1220.0, sheet, "marine plywood").holds("marine plywood", part, Plywood())

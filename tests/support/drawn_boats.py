"""Random skiffs, drawn and lofted once for all laws: every law looks at every one of them."""

from __future__ import annotations

from functools import cache

import pytest
from boats import fair_boats
from hypothesis import given, settings

from patterns.parts.asked.rules import Boat
from patterns.parts.whole import Job, loft

COUNT = 8
every_skiff = pytest.mark.parametrize("number", range(COUNT))


def skiff(number: int) -> Job:
    """One of them. A test that fails shows its boat."""
    boat = _drawn()[number]
    print(boat)
    return _lofted(number)


@cache
def _lofted(number: int) -> Job:
    return loft(_drawn()[number])


@cache
def _drawn() -> tuple[Boat, ...]:
    boats: list[Boat] = []

    @settings(max_examples=COUNT, database=None)
    @given(fair_boats())
    def draw(boat: Boat) -> None:
        boats.append(boat)

    draw()
    return tuple(boats)

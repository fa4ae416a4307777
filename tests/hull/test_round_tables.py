"""Tables of round hulls: what is judged of them, and what is left alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from boats import saltmeadow
from round_hulls import RoundBoat, ellipsoid, parabolic

from patterns.hull.doubts.judged_rows import Suspect
from patterns.hull.doubts.row_doubts import row_doubts
from patterns.hull.doubts.suspects import suspects
from patterns.hull.fairing import fair, fair_cuts
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.parts.cautions import fairing_cautions

EIGHTH = 3.175  # mm
Family = Callable[[np.random.Generator, float], RoundBoat]


def doubted(boat: RoundBoat) -> tuple[Suspect, ...]:
    return suspects(boat.offsets, fore=boat.fore, aft=boat.aft)


@pytest.mark.slow
@pytest.mark.parametrize("family", [parabolic, ellipsoid])
@pytest.mark.parametrize("step", [0.01, 1.0, EIGHTH])
def test_right_figures_of_a_round_hull_are_not_called_misprints(family: Family, step: float) -> None:
    for seed in range(6):
        boat = family(np.random.default_rng(seed), step)
        assert [one.place for one in doubted(boat)] == [], seed


def with_slip(offsets: Offsets, name: str, column: int, off: float) -> Offsets:
    def slipped(row: OffsetRow) -> OffsetRow:
        values = row.values.copy()
        values[column] += off if row.name == name else 0.0
        return OffsetRow(row.name, values)

    return Offsets(
        offsets.columns,
        offsets.from_fp,
        offsets.heights,
        tuple(map(slipped, offsets.half_breadths)),
        offsets.rounding,
    )


@pytest.mark.parametrize("family", [parabolic, ellipsoid])
def test_a_slip_in_the_sheer_is_named_and_one_in_a_waterline_is_left_to_the_eye(family: Family) -> None:
    boat = family(np.random.default_rng(3), 1.0)
    waterline = next(row.name for row in boat.offsets.half_breadths if row.name.startswith("waterline"))
    for name, found in (("sheer", [("sheer", "half-breadth", "5")]), (waterline, [])):
        wrong = RoundBoat(with_slip(boat.offsets, name, 5, 50.0), boat.fore, boat.aft)
        assert [one.place for one in doubted(wrong)] == found, name


def test_waterlines_of_an_upright_side_may_share_their_figures() -> None:
    """Their rows alike are no copy: the side is upright between them."""
    boat = parabolic(np.random.default_rng(4), 1.0)
    first, second, *rest = (row for row in boat.offsets.half_breadths if row.name.startswith("waterline"))
    same = (*boat.offsets.half_breadths[:2], first, OffsetRow(second.name, first.values), *rest)
    assert not list(row_doubts(Offsets(boat.offsets.columns, boat.offsets.from_fp, boat.offsets.heights, same, 1.0)))


def test_cuts_are_faired_and_yet_no_limit_of_theirs_is_held_against_them() -> None:
    boat = ellipsoid(np.random.default_rng(5), EIGHTH)
    lines = fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=0.3)
    cuts = fair_cuts(boat.offsets, within=0.3)
    assert any(cut.view.held for cut in cuts)
    names = {cut.name for cut in cuts}
    asked = replace(saltmeadow(), offsets=boat.offsets, fore=boat.fore, aft=boat.aft, fair_within=0.3)
    cautions = fairing_cautions(asked, lines)
    assert not [one for one in cautions if one.where.split(",")[0] in names]

"""[[grain]]: how the grain lies where the builder says so, measured on the outline and on the sheet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from sample_jobs import sample

from patterns.errors import ShapeError
from patterns.parts.asked.grain_rules import GrainRule, Lies
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.shop.nest.blanks import Blank, turns
from patterns.shop.nest.sheet_stock import SheetGrain, SheetStock


def with_rules(*rules: GrainRule) -> Job:
    read, _ = sample("saltmeadow")
    return loft(replace(read.boat, grain=rules))


def off_length(part: Part) -> float:
    """Degrees from the longest diameter's way to the grain: by the second moments of the outline, not its rectangle."""
    points = part.outline - part.outline.mean(axis=0)
    values, ways = np.linalg.eigh(points.T @ points)
    long = ways[:, int(values.argmax())]
    assert part.grain_along is not None
    turn = np.degrees(part.grain_along - np.arctan2(long[1], long[0])) % 180.0
    return float(min(turn, 180.0 - turn))


@pytest.mark.slow
@pytest.mark.parametrize(("said", "names"), [("thwart", {"thwart 1", "thwart 2"}), ("thwart 2", {"thwart 2"})])
def test_the_grain_lies_as_the_rule_says_and_in_no_other_part(said: str, names: set[str]) -> None:
    plain, ruled = with_rules(), with_rules(GrainRule(said, Lies.ACROSS))
    for before, after in zip(plain.parts, ruled.parts, strict=True):
        if after.name in names:
            assert abs(off_length(after) - 90.0) < 8.0
            assert "as boat.toml says" in after.grain
        else:
            assert (after.grain, after.grain_along) == (before.grain, before.grain_along)


@pytest.mark.slow
def test_along_and_any_and_the_later_of_two_rules() -> None:
    job = with_rules(GrainRule("stem", Lies.ANY), GrainRule("thwart", Lies.ANY), GrainRule("thwart 1", Lies.ALONG))
    parts = {part.name: part for part in job.parts}
    assert parts["stem"].grain_along is None
    assert parts["thwart 2"].grain_along is None
    assert off_length(parts["thwart 1"]) < 8.0


@pytest.mark.slow
def test_a_rule_for_no_part_is_refused_with_parts_to_choose_from() -> None:
    with pytest.raises(ShapeError, match=r"\[\[grain\]\] part: found 'thwort', expected a part of this boat, such as"):
        with_rules(GrainRule("thwort", Lies.ANY))


@pytest.mark.parametrize("grain", [0.0, 30.0])
def test_a_piece_may_lie_as_far_off_the_grain_as_it_is_allowed_and_no_farther(grain: float) -> None:
    import shapely

    blank, sheet = Blank("rail", shapely.box(0, 0, 900, 60), grain), SheetStock(2440.0, 1220.0, grain=SheetGrain.LENGTH)
    strict, loose = turns(blank, sheet, 0.5), turns(blank, sheet, 6.0)
    assert set(strict) < set(loose)
    off = [abs((turn + grain + 90.0) % 180.0 - 90.0) for turn in loose]
    assert max(off) == pytest.approx(6.0)
    assert [abs((turn + grain + 90.0) % 180.0 - 90.0) for turn in strict] == pytest.approx([0.0, 0.0])

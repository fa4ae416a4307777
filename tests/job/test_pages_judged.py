"""Every page of two boats judged: work on each, words that can be read, and no more pages than a builder will print."""

from __future__ import annotations

from functools import cache

import pytest
from commanded import ROOT
from pages_judged import idle, unreadable

from patterns.job.boat_job import BoatJob
from patterns.job.from_python import loft
from patterns.job.wishes.wishes import Wishes

pytestmark = pytest.mark.slow

CASES = [(name, half) for name in ("saltmeadow", "duckweed") for half in (False, True)]


@cache
def job_of(name: str, half: bool) -> BoatJob:
    return loft(ROOT / "samples" / name, Wishes(paper="letter", half=half))


@pytest.mark.parametrize(("name", "half"), CASES)
def test_every_page_has_a_line_to_cut_prick_or_measure(name: str, half: bool) -> None:
    tilings = job_of(name, half).tilings
    assert tilings
    assert [page for tiling in tilings for page in idle(tiling)] == []


@pytest.mark.parametrize(("name", "half"), CASES)
def test_words_touch_neither_words_nor_lines_and_none_is_under_7_point(name: str, half: bool) -> None:
    assert [fault for page in job_of(name, half).page_set.pages for fault in unreadable(page)] == []


def test_a_14_foot_skiff_takes_no_more_pages_than_a_builder_prints() -> None:
    """Six whole frames and their gussets, transom, stem and end blocks."""
    whole, half = (job_of("saltmeadow", by_half).page_set.pages for by_half in (False, True))
    assert len(whole) <= 105
    assert len(half) <= 60


@pytest.mark.parametrize("name", ["saltmeadow", "duckweed"])
def test_no_half_takes_more_pages_than_its_whole(name: str) -> None:
    whole = {title: len(one.tiles) for one in job_of(name, False).tilings for title in one.drawing.titles}
    half = {title: len(one.tiles) for one in job_of(name, True).tilings for title in one.drawing.titles}
    halved = job_of(name, True).halved
    assert any(title in halved for title in whole)
    for title, pages in whole.items():
        if title in halved:
            assert all(half[one.title] <= pages for one in halved[title])

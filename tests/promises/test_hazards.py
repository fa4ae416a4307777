"""What can hurt is told on the sheet where the work is told: glue, lifting, ripping."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from sample_jobs import SAMPLES, sample

from patterns.drawing.marks import Drawing, Label
from patterns.job.shared.bench_pages import HOLDING, saw_sheets
from patterns.parts.hazards import BENDING, EPOXY, LIFTING, RIPPING
from patterns.plates.bench.bench_pages import bench_sheets
from patterns.plates.bench.set_up_pages import set_up_sheets
from patterns.plates.words.board_words import scarf_words
from patterns.shop.layout.setting_up import setting_up
from patterns.shop.saw.long_bench import bench
from patterns.shop.saw.saw_rules import Board

pytestmark = pytest.mark.slow
GLUE = re.compile(r"\b(glue|laminate\b)", re.IGNORECASE)


def _words(drawings: list[Drawing]) -> str:
    return " ".join(mark.text for one in drawings for mark in one.marks if isinstance(mark, Label))


@pytest.mark.parametrize("name", ["saltmeadow", "reedling"])
def test_a_pattern_that_says_glue_says_what_glue_does(name: str) -> None:
    job = sample(name)[1]
    said = {part.title: " ".join(part.remarks) for part in job.to_cut}
    glued = {title for title, words in said.items() if GLUE.search(words)}
    assert glued
    assert all(EPOXY in said[title] for title in glued)


def test_a_sheet_of_scarfs_says_what_glue_does() -> None:
    read, job = sample("saltmeadow")
    short = (Board(3000.0, 184.15, 41.275, 4, "red oak"),)
    made = next(one for one in bench(job.long_pieces[:1], replace(read.bench, boards=short)) if one.scarfs)
    assert made.scarfs is not None
    assert scarf_words(made.scarfs, "ft-in-16ths", "")[-1] == EPOXY
    assert EPOXY[:24] in _words(bench_sheets(made, boat="Saltmeadow", show="ft-in-16ths"))


def test_every_rip_sheet_says_how_to_hold_the_stock() -> None:
    read, job = sample("saltmeadow")
    [made] = bench(job.long_pieces[:1], read.bench)
    sheets = [one for one in bench_sheets(made, boat="Saltmeadow", show="ft-in-16ths") if ": rip " in one.title]
    titles = dict.fromkeys(one.title.partition(" (")[0] for one in sheets)
    rips = {title: [one for one in sheets if one.title.startswith(title)] for title in titles}
    assert len(rips) == 2
    for pages in rips.values():
        assert "from stock wide enough to" in _words(pages)
    assert ["THIS CUT FREES THE PIECE" in _words(pages) for pages in rips.values()] == [False, True]


def test_setting_up_says_to_lift_with_help() -> None:
    plan = setting_up(sample("saltmeadow")[1])
    assert LIFTING[:15] in _words(list(set_up_sheets(plan, width=180.0)))


@pytest.mark.parametrize("name", SAMPLES)
def test_every_page_of_the_saw_booklet_says_what_can_hurt(name: str) -> None:
    """Glue on each page that says glue, holding on each rip, stored energy on each page of bending."""
    read, job = sample(name)
    worked = bench(job.long_pieces, replace(read.bench, saw=sample("saltmeadow")[0].bench.saw))
    pages = saw_sheets(worked, (), worked[0].setup.saw if worked[0].setup else None, boat=name, show="mm")
    rips = bent = 0
    for _, page in pages:
        words = _words([page])
        assert not GLUE.search(words) or EPOXY[:24] in words, page.title
        if ": rip " in page.title and "(2)" not in page.title:
            rips += 1
            assert RIPPING[:28] in words, page.title
            assert ("THIS CUT FREES THE PIECE" in words) == (": rip 2" in page.title), page.title
        if "stock and bending" in page.title and "(2)" not in page.title:
            bent += 1
            assert BENDING[:24] in words, page.title
    assert (rips, bent) != (0, 0)
    assert "no clamp on it" in _words([page for titles, page in pages if titles == (HOLDING,)])

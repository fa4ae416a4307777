"""What boards to buy: every piece of wood of the boat stands in the list once, as thick as it is got out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sample_jobs import SAMPLES, sample

from patterns.parts.asked.end_rules import TransomFraming, TransomWork
from patterns.parts.whole import loft
from patterns.shop.layout.bevel_boards import SQUARE_WITHIN, bevel_boards
from patterns.shop.stock.cut_list import BoardPiece, board_pieces
from patterns.shop.stock.lengths import Lengths

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("name", SAMPLES)
def test_every_piece_of_wood_is_listed_once(name: str) -> None:
    job = sample(name)[1]
    assert sorted(one.title for one in board_pieces(job.to_cut)) == sorted(part.title for part in job.to_cut)
    assert {"thwart 1"} <= {part.title for part in job.to_cut}


def test_a_framed_transom_is_bought_as_well_as_its_framing() -> None:
    boat = sample("saltmeadow")[0].boat
    job = loft(replace(boat, aft_work=TransomWork(framing=TransomFraming(30.0, 50.0, "white oak"))))
    listed = {one.title for one in board_pieces(job.to_cut)}
    assert {"transom", "transom framing floor timber"} <= listed
    assert "transom framing" not in listed
    assert "frame 3" not in listed


def test_a_crowned_breasthook_is_got_out_of_stock_as_thick_as_its_crown() -> None:
    """3/4 in and a crown of 1/4 in make 1 in, which 4/4 stock does not plane to: 13/16 in is left of it."""
    listed = {one.title: one for one in board_pieces(sample("reedling")[1].to_cut)}
    for title in ("breasthook", "after breasthook"):
        assert listed[title].thickness == pytest.approx(25.4)
        assert listed[title].rough == pytest.approx(5 / 4 * 25.4)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_bevelled_part_but_the_timbers_of_a_frame_has_its_board(name: str) -> None:
    job = sample(name)[1]
    timbers = {part.name for part in job.timbers}
    bevelled = {
        part.name
        for part in job.parts
        if any(
            abs(bevel.angle) >= SQUARE_WITHIN
            for edge in part.edges
            if not edge.name.startswith("notch ")
            for bevel in edge.bevels
        )
    }
    assert bevelled - timbers <= {board.name for board in bevel_boards(job.parts, show="mm")}


def test_a_board_foot_is_twelve_by_twelve_inches_of_an_inch() -> None:
    one = BoardPiece("board", 1, "oak", 20.0, Lengths(12 * 25.4, None, None), width=12 * 25.4, rough=25.4)
    assert one.board_feet == pytest.approx(1.0)
    assert replace(one, count=3, rough=2 * 25.4).board_feet == pytest.approx(6.0)

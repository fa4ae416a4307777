"""Boards of the yard, fastenings and finish as boat.toml gives them."""

from __future__ import annotations

from pathlib import Path

import pytest
from boat_folders import changed

from patterns.errors import InputError, PatternsError
from patterns.job.boat_job import BoatJob
from patterns.job.stock_steps import yard_asked
from patterns.reading.boat.boat_toml import read_boat

PINE = '[[stock.yard]]\nmaterial = "pine"\nthickness = "2 in"\nwidths = ["6 in", "8 in"]\nlengths = ["8 ft"]\n'


def test_each_width_and_length_of_a_line_is_a_board_and_dresses_as_the_trade_says(tmp_path: Path) -> None:
    """Surfaced two sides, 2 in rough is 1 3/4 in; see the cut list for where that is from."""
    read = read_boat(changed("saltmeadow", tmp_path, {}, more=PINE + 'count = 3\nprice = 4\nper = "board foot"\n'))
    pine = [board for board in read.yard.boards if board.material == "pine"]
    assert [board.width for board in pine] == pytest.approx([152.4, 203.2])
    assert [board.length for board in pine] == pytest.approx([2438.4, 2438.4])
    assert all(board.dressed == pytest.approx(44.45) and board.count == 3 for board in pine)
    assert pine[0].costs == pytest.approx(4 * 8.0)  # 2 x 6 x 8 / 12


@pytest.mark.parametrize(
    ("more", "wanted"),
    [
        (PINE + "price = -3\n", "yard 3 price: found -3, expected a price, a number of more than 0"),
        (PINE + "price = 3\n", "expected per beside price: what the price is for"),
        (PINE + 'per = "bag"\n', "per: found 'bag', expected one of 'board foot', 'cubic metre', 'foot', 'metre'"),
        (PINE + 'dressed = "3 in"\n', "expected a dressed thickness no more than the thickness as sold"),
        (PINE.replace('"2 in"', '"1/8 in"'), "expected dressed too, for boards so thin"),
        (PINE.replace('["8 ft"]', "[]"), "lengths: found an empty list, expected from 1 to 100 lengths, each once"),
        (PINE.replace('"6 in"', '"1/8 in"'), "expected yard boards longer than board_ends and wider than board_edges"),
        (PINE + 'dressed = "3 in"\n', "found dressed 3 in (76.2 mm) and thickness 2 in (50.8 mm), expected"),
        ("[finish]\ncoats = 1.5\n", "coats: found 1.5, expected a whole number of coats, from 0 to 20"),
        ("[finish]\nwaste_to = 100\n", "[finish] waste_to: found 100, expected percent, from 0 to 90"),
        ("[finish]\nglue_from = 30\n", "found glue_from 30 and glue_to 20, expected glue_from no more than glue_to"),
        ('[fastenings]\nshank = "3 in"\n', "shank: found '3 in', expected the diameter of a fastening's shank, from"),
        ("[fastenings]\nlength_times = 0\n", "found 0, expected times the thickness, from 1 to 10"),
    ],
)
def test_faults_of_yard_fastenings_and_finish_are_told(tmp_path: Path, more: str, wanted: str) -> None:
    with pytest.raises(InputError, match=r"boat\.toml") as fault:
        read_boat(changed("saltmeadow", tmp_path, {}, more=more))
    assert wanted in str(fault.value)


@pytest.mark.slow
def test_a_boat_without_a_yard_is_given_lines_to_paste_that_do(tmp_path: Path) -> None:
    folder = changed("fennel", tmp_path, {})
    with pytest.raises(PatternsError, match="found no yard") as refused:
        yard_asked(BoatJob(read_boat(folder)))
    pasted = str(refused.value).split("your yard has:\n")[1]
    again = read_boat(changed("fennel", tmp_path, {"[stock]": f"[stock]\n{pasted}"}))
    assert {board.material for board in again.yard.boards} == {"Douglas fir"}
    yard_asked(BoatJob(again))

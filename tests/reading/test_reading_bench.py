"""The saw and the boards as boat.toml gives them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from changed_saltmeadow import read
from commanded import SALTMEADOW

from patterns.errors import InputError
from patterns.shop.saw.saw_rules import Leans, Side, Sweep

BOARD = 'boards = [ { length = "16 ft", width = "7 1/4 in", thickness = "1 5/8 in", count = 2, material = "red oak"'


def test_the_saw_is_read_with_its_test_cuts_by_tilt(tmp_path: Path) -> None:
    more = 'leans = "away from the guide"\ntilts_to = 54\npins = "8 in"\nguide_edge = "left"\nkerf '
    saw = read(tmp_path, ("[saw]\nkerf ", f"[saw]\n{more}")).bench.saw
    assert saw is not None
    assert (saw.leans, saw.guide_edge) == (Leans.AWAY, Side.LEFT)
    assert (saw.pins, saw.kerf) == pytest.approx((203.2, 1.5875))
    assert [float(np.degrees(tilt)) for tilt, _ in saw.guide] == pytest.approx([0, 5, 10, 15, 20])


def test_a_boat_without_a_saw_has_no_set_up(tmp_path: Path) -> None:
    toml = (SALTMEADOW / "boat.toml").read_text(encoding="utf-8")
    table = toml[toml.index("[saw]") : toml.index("[stock]")]
    assert read(tmp_path, (table, "")).bench.saw is None


def test_a_board_keeps_its_sweep_and_what_is_to_be_avoided(tmp_path: Path) -> None:
    more = ', sweep = { sag = "2 in", over = "14 ft" }, avoid = ["1/2 in", "0 in"]'
    [board] = read(tmp_path, (BOARD, BOARD + more)).bench.boards
    assert board.sweep == Sweep(pytest.approx(50.8), pytest.approx(4267.2))
    assert board.avoid == pytest.approx((12.7, 0.0))


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        (('[10, "5 1/4 in"]', '[5, "5 1/4 in"]'), "one test cut of the guide at each tilt"),
        (('"0.047 in"', '"0.1 in"'), "a blade's body no thicker than the kerf of"),
        ((BOARD, BOARD + ', lower = [["0 in", "0 in"], ["16 ft", "0 in"]]'), "both edges of the board"),
        ((BOARD, BOARD + ', sweep = { sag = "5 ft", over = "14 ft" }'), "a sag of no more than a quarter"),
        ((BOARD, BOARD + ', avoid = ["1 in"]'), "two widths to keep clear of"),
    ],
)
def test_faults_of_saw_and_boards_are_told(tmp_path: Path, changes: tuple[str, str], wanted: str) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, changes)
    assert wanted in str(caught.value)

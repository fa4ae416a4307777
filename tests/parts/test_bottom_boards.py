"""A flat bottom laid of boards athwart: counted, cut to length, their ends bevelled as the chine is."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np
import pytest
import shapely
from commanded import bare_boat
from two_chines import two_chined

from patterns.errors import ShapeError
from patterns.hull.build import Joint
from patterns.job.boat_job import BoatJob
from patterns.job.making import make
from patterns.parts.panels.boards import bottom_boards, planked_athwart
from patterns.parts.panels.panels import panels
from patterns.parts.part import Part
from patterns.reading.boat.boat_toml import read_boat
from patterns.writing.tables.boards_csv import BOTTOM_BOARDS, boards_csv


@pytest.fixture(scope="module")
def bottom() -> Part:
    made = panels(two_chined((Joint.LOWER_OVER, Joint.LOWER_OVER)), ())
    return next(part for part in made if part.title == "bottom panel")


def breadth(panel: Part, x: float) -> float:
    """mm across both faces' outlines at a place along the panel."""
    upright = shapely.LineString([(x, -2000.0), (x, 2000.0)])
    rings = [np.concatenate([face(edge) for edge in panel.edges]) for face in (lambda e: e.points, lambda e: e.far)]
    cut = shapely.union_all([shapely.Polygon(ring).buffer(0).intersection(upright) for ring in rings])
    return float(cut.bounds[3] - cut.bounds[1])


@pytest.mark.parametrize("widths", [(90.0,), (140.0, 90.0), (300.0, 250.0, 61.0)])
def test_boards_cover_the_bottom_and_the_last_width_goes_on(bottom: Part, widths: tuple[float, ...]) -> None:
    boards = bottom_boards(bottom, widths)
    low, _, high, _ = shapely.MultiPoint(
        np.concatenate([face for edge in bottom.edges for face in (edge.points, edge.far)])
    ).bounds
    assert boards[0].aft == 0.0
    assert boards[-1].fore == pytest.approx(high - low, abs=0.5)
    assert [after.fore for after in boards[:-1]] == [before.aft for before in boards[1:]]
    wanted = [*widths, *[widths[-1]] * len(boards)]
    assert [board.width for board in boards[:-1]] == pytest.approx(wanted[: len(boards) - 1])
    assert boards[-1].width < wanted[len(boards) - 1] + 12.0


def test_a_board_is_as_long_as_the_bottom_is_wide_where_it_lies(bottom: Part) -> None:
    """The bottom widens aft all along, so each board is longest at its after edge."""
    last = max(float(face[:, 0].max()) for edge in bottom.edges for face in (edge.points, edge.far))
    for board in bottom_boards(bottom, (120.0,))[2:-2]:
        there = max(breadth(bottom, last - at) for at in np.linspace(board.aft, board.fore, 25))
        assert board.length == pytest.approx(there, abs=0.3)


def test_ends_are_bevelled_as_the_chine_is(bottom: Part) -> None:
    """The strake above is a plane, so along straight boards its bevel hardly changes; both ends are alike."""
    chine = next(edge for edge in bottom.edges if edge.hand == "starboard")
    angles = [bevel.angle for bevel in chine.bevels]
    for board in bottom_boards(bottom, (150.0,)):
        assert min(angles) - 1e-9 <= board.starboard <= max(angles) + 1e-9
        assert board.port == pytest.approx(board.starboard, abs=1e-6)


def test_seams_are_marked_and_the_boards_are_told(bottom: Part) -> None:
    laid = planked_athwart(bottom, (200.0,), show="mm")
    count = len(bottom_boards(bottom, (200.0,)))
    assert [mark.name for mark in laid.marks if mark.name.startswith("board ")] == [
        f"board {number}" for number in range(1, count)
    ]
    assert any(f"Laid of {count} boards" in remark for remark in laid.remarks)
    assert laid.of_boards
    assert laid.grain_angle == pytest.approx(np.pi / 2)


def test_the_table_has_a_row_for_each_board(bottom: Part) -> None:
    boards = bottom_boards(bottom, (200.0,))
    rows = [row for row in csv.reader(io.StringIO(boards_csv(boards, "mm"))) if row and row[0].isdigit()]
    assert [int(row[0]) for row in rows] == [board.number for board in boards]
    assert [float(row[-1]) for row in rows] == pytest.approx([board.length for board in boards], abs=6e-4)
    assert [float(row[5]) for row in rows] == pytest.approx([np.degrees(one.port) for one in boards], abs=0.06)


@pytest.mark.slow
def test_a_job_with_a_bottom_of_boards_has_their_table(tmp_path: Path) -> None:
    folder = bare_boat(tmp_path / "boards")
    toml = folder / "boat.toml"
    text = toml.read_text(encoding="utf-8")
    toml.write_text(text.replace("[planking.bottom]", '[planking.bottom]\nboards = ["5 in"]'), encoding="utf-8")
    files = make(BoatJob(read_boat(folder)), "bottom boards").files
    assert list(files) == [BOTTOM_BOARDS]


def test_boards_nobody_would_lay_are_refused(bottom: Part) -> None:
    with pytest.raises(ShapeError, match="more than 400 boards"):
        bottom_boards(bottom, (2.0,))

"""A round hull's table and boat.toml: what is read of them, and what is refused."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from commanded import ROOT

from patterns.cli.telling import tell_read
from patterns.errors import InputError
from patterns.hull.round.figures import is_round
from patterns.reading.boat.boat_toml import BoatFile, read_lines

WITHYWATER = ROOT / "samples" / "withywater"


def written(folder: Path, *toml: tuple[str, str], table: tuple[tuple[str, str], ...] = ()) -> Path:
    """Withywater with texts changed in boat.toml and in its table."""
    for name, changes in (("boat.toml", toml), ("offsets.csv", table)):
        text = (WITHYWATER / name).read_text(encoding="utf-8")
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def faults(folder: Path) -> list[str]:
    with pytest.raises(InputError) as refused:
        read_lines(folder)
    return str(refused.value).splitlines()


def test_levels_of_cuts_and_places_of_diagonals_are_read() -> None:
    boat = read_lines(WITHYWATER).boat
    assert is_round(boat.offsets)
    levels = {row.name: row.level for row in (*boat.offsets.heights, *boat.offsets.half_breadths)}
    assert (levels["waterline 200"], levels["buttock 180"]) == (200.0, 180.0)
    assert np.isnan(levels["sheer"])
    one = next(each for each in boat.diagonals if each.name == "diagonal A")
    assert (one.apex, round(float(np.degrees(one.angle)), 9)) == (500.0, 28.0)


def test_nothing_is_asked_of_a_bottom(tmp_path: Path) -> None:
    text = (WITHYWATER / "boat.toml").read_text(encoding="utf-8")
    assert "[planking.bottom]" not in text
    assert isinstance(read_lines(WITHYWATER), BoatFile)
    # What a file says of one is not held against it.
    written(tmp_path)
    path = tmp_path / "boat.toml"
    path.write_text(f'{path.read_text(encoding="utf-8")}\n[planking.bottom]\nthickness = 9\nlaps = "over the sides"\n')
    assert isinstance(read_lines(tmp_path), BoatFile)


def test_a_bottom_that_is_given_is_told_to_be_of_no_use(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert read_lines(WITHYWATER).unheeded == ()
    more = ("[planking.side]", "[planking.bottom]\nthickness = 12\n\n[planking.side]")
    tell_read(read_lines(written(tmp_path, more)))
    words = " ".join(capsys.readouterr().out.split())
    assert "[planking.bottom] is not used: a round hull has one planking, and [planking.side] says which." in words
    assert "sheer, keel, 4 waterlines, 2 buttocks, 2 diagonals at " in words


def test_a_diagonal_that_nobody_knows_the_place_of_is_refused(tmp_path: Path) -> None:
    (told,) = faults(written(tmp_path, ("[diagonals.A]", "[diagonals.C]")))[:1]
    assert "'diagonal A', but not where it lies" in told
    assert "[diagonals.A] in boat.toml" in told


def test_a_limit_finer_than_the_rounding_is_refused_but_for_one_figure(tmp_path: Path) -> None:
    told = faults(written(tmp_path, ("fair_within = 1", "fair_within = 0.3")))
    assert len(told) == 1
    assert "[boat] fair_within" in told[0]
    assert "half a step of the table" in told[0]
    one = '[[fairing]]\nline = "waterline 200"\nstation = "4"\nlock = true\n\n[stem]'
    read_lines(written(tmp_path, ("[stem]", one)))
    all_of_it = '[[fairing]]\nline = "waterline 200"\nlock = true\n\n[stem]'
    assert "a lock of many figures at once" in faults(written(tmp_path, ("[stem]", all_of_it)))[0]


def test_a_knuckle_is_refused(tmp_path: Path) -> None:
    knuckle = '[[knuckle]]\nline = "sheer"\nat = "4"\nkind = "angle"\n\n[stem]'
    assert "turns hard only along a row 'chine'" in faults(written(tmp_path, ("[stem]", knuckle)))[0]


def test_a_cut_above_the_sheer_is_refused_at_each_station_where_it_is(tmp_path: Path) -> None:
    told = faults(written(tmp_path, table=(("waterline 410", "waterline 480"),)))
    # The sheer of Withywater is more than 10 mm below that from station 4 to station 7, and nowhere else.
    assert told == [
        f"offsets.csv, row 14, column '{station}': found a half-breadth of waterline 480, expected a blank cell: the "
        f"sheer is {sheer}.0 mm above base there. Or the sheer's height, or the waterline's name, is a misprint"
        for station, sheer in (("4", 444), ("5", 430), ("6", 429), ("7", 442))
    ]


def test_planking_too_thick_is_told_once(tmp_path: Path) -> None:
    """The bottom of a round hull is her side's planking; the builder's file has no [planking.bottom]."""
    (told,) = faults(written(tmp_path, ("thickness = 9 ", "thickness = 90 ")))
    assert "[planking.side] thickness: found 90" in told


def test_a_cross_spall_past_the_strongback_is_refused_with_both_figures(tmp_path: Path) -> None:
    (told,) = faults(written(tmp_path, ("spall      = 620", "spall      = 800")))
    assert "[building] spall: found 800.0 mm, expected less than the 800.0 mm above base at which the legs end" in told
    right_way = ('way        = "upside down"', 'way        = "right side up"')
    (told,) = faults(written(tmp_path, right_way, ("spall      = 620", "spall      = 790")))
    assert "[building] spall: found 790.0 mm, expected more than the 800.0 mm above base" in told


def test_a_strongback_below_the_sheer_is_refused_by_its_line_with_the_highest_sheer(tmp_path: Path) -> None:
    """Withywater's sheer is highest at station 1, 560 mm; a builder told of one mould after another raises it often."""
    (told,) = faults(written(tmp_path, ("strongback = 800", "strongback = 400"), ("spall      = 620", "")))
    assert "[building] strongback: found 400.0 mm, expected more than 560.0 mm above base" in told
    assert "the sheer at '1'" in told


def test_boards_for_moulds_that_have_no_opening_are_refused(tmp_path: Path) -> None:
    solid = 'mould         = "open"', 'mould         = "solid"\nmould_board   = 150'
    (told,) = faults(written(tmp_path, solid))
    assert "[frames] mould: found 'solid', expected 'open'" in told
    bare = 'mould         = "open"', "mould_board   = 150"
    (told,) = faults(written(tmp_path, bare))
    assert "found nothing, which stands for 'solid'" in told

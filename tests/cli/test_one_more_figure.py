"""What is told of how far lines may be out, the figure to measure next, and what that figure then does in the table."""

from __future__ import annotations

import csv
import html
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from boats import EIGHTH, saltmeadow
from browsed import probed
from commanded import SALTMEADOW, bare_boat, scrieve_here
from hypothesis import given
from hypothesis import strategies as st
from known_lines import KnownHull, forefoot

from patterns.cli.main import main
from patterns.geometry.battens import fit_batten
from patterns.hull.bands import ADVISED, bay_bands, hard_turns, one_more
from patterns.hull.bending_along import turns
from patterns.hull.doubts.judged_rows import Suspect
from patterns.hull.doubts.row_doubts import row_doubts
from patterns.hull.doubts.suspects import ranked, suspects
from patterns.hull.fairing import FairedLine, FairedView, fair
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT, FairingRule
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.parts.asked.rules import Boat
from patterns.parts.cautions import hard_turn_told
from patterns.parts.faired import fair_lines, line_without
from patterns.parts.whole import loft
from patterns.plates.lines.body_plan import body_plan
from patterns.plates.lines.lines_plan import lines_plan
from patterns.plates.view_field import Manner
from patterns.reading.boat.boat_toml import read_boat
from patterns.reading.boat.places import place_from_fp, stations_or_distance
from patterns.units.lengths import COARSE, SHOWS, read_length, shown_step, write_at_most
from patterns.writing.report.band_tables import NOT_KNOWN, advice, bands_csv, bands_table, extras_told

pytestmark = pytest.mark.slow

SHARP = forefoot(300.0)
EVEN = np.linspace(540.0, 3920.0, 8).round()


@given(st.floats(1e-4, 400.0), st.sampled_from(SHOWS))
def test_what_may_be_out_is_told_rounded_up_and_by_no_more_than_a_step(mm: float, show: str) -> None:
    told = read_length(write_at_most(mm, show), None).mm
    coarse = show in ("mm", "cm", "m") and mm >= COARSE
    step = 0.5 if coarse else shown_step(show)
    assert mm - 1e-6 <= told < mm + step + 1e-6


def with_figure(table: Offsets, line: str, view: str, at: float, value: float, name: str = "a") -> Offsets:
    """A table with a column of one figure."""
    place = int(np.searchsorted(table.from_fp[1:-1], at)) + 1

    def rows(block: tuple[OffsetRow, ...], kind: str) -> tuple[OffsetRow, ...]:
        one = [value if (row.name, kind) == (line, view) else np.nan for row in block]
        return tuple(
            OffsetRow(row.name, np.insert(row.values, place, new)) for row, new in zip(block, one, strict=True)
        )

    return replace(
        table,
        columns=(*table.columns[:place], name, *table.columns[place:]),
        from_fp=np.insert(table.from_fp, place, at),
        heights=rows(table.heights, HEIGHT),
        half_breadths=rows(table.half_breadths, HALF_BREADTH),
    )


def lines_of(hull: KnownHull, table: Offsets) -> tuple[FairedLine, ...]:
    return fair(table, fore=hull.fore, aft=hull.aft, within=EIGHTH)


# --- The table of bays ---


def test_every_bay_has_its_row_in_the_builders_units_and_no_row_is_long() -> None:
    boat = saltmeadow()
    view = fair_lines(boat)[1].height
    table = bands_table([("chine", "heights", view)], boat.show)
    assert [row[1] for row in table.rows] == [" and ".join(bay.columns) for bay in bay_bands(view)]
    for row, bay in zip(table.rows, bay_bands(view), strict=True):
        assert read_length(row[2], None).mm >= bay.half_width
        assert max(map(len, row)) <= 18
    assert table.columns[2] == "may be out by"
    few = FairedView(("stem", "1", "transom"), np.array([0.0, 500.0, 1000.0]), np.zeros(3), np.zeros(3))
    assert {row[2] for row in bands_table([("chine", "heights", few)], "mm").rows} == {NOT_KNOWN}


def test_the_file_of_bays_has_the_same_figures_and_the_unrounded_ones() -> None:
    view = fair_lines(saltmeadow())[1].height
    rows = list(csv.reader(io.StringIO(bands_csv([("chine", "heights", view)], "in-16ths"))))
    head = next(number for number, row in enumerate(rows) if row[:1] == ["line"])
    assert [row[4] for row in rows[head + 1 :]] == [
        row[2] for row in bands_table([("chine", "heights", view)], "in-16ths").rows
    ]
    assert [float(row[8]) for row in rows[head + 1 :]] == pytest.approx(
        [bay.half_width for bay in bay_bands(view)], abs=0.001
    )


# --- The figure to measure next ---


def error_in(hull: KnownHull, line: FairedLine, view: str, bay: tuple[float, float]) -> float:
    faired = line.height if view == HEIGHT else line.half_breadth
    return float(hull.off(line.name, view, faired, np.linspace(*bay, 101)).max())


@pytest.mark.parametrize("over", [150.0, 300.0, 600.0])
@pytest.mark.parametrize("rounding", [0.01, 1.0, EIGHTH])
def test_the_figure_advised_brings_the_line_nearer_by_what_was_told(over: float, rounding: float) -> None:
    hull = forefoot(over)
    table = hull.table(EVEN, rounding=rounding)
    lines = lines_of(hull, table)
    best = one_more(lines, table)
    assert best is not None
    assert (best.line, best.view, best.bay.columns) == ("chine", HEIGHT, ("stem", "1"))
    true = float(hull.lines[best.line].view(best.view)(np.array(best.at)))
    more = lines_of(hull, with_figure(table, best.line, best.view, best.at, round(true / rounding) * rounding))
    bays = [bay for bay in bay_bands(more[1].height) if bay.from_fp[1] <= best.bay.from_fp[1] + 1e-6]
    assert len(bays) == 2
    assert max(bay.half_width for bay in bays) < best.bay.half_width
    before, after = (error_in(hull, one[1], best.view, best.bay.from_fp) for one in (lines, more))
    assert after < max(before, rounding)
    assert best.after < best.bay.half_width


def test_the_place_advised_is_round_and_helps_more_than_other_places_of_its_bay() -> None:
    table = SHARP.table(EVEN, rounding=1.0)
    lines = lines_of(SHARP, table)
    best = one_more(lines, table)
    assert best is not None
    assert best.at % 50.0 == 0.0
    goal = np.linspace(*best.bay.from_fp, 41)[1:-1]
    left = lines[1].height.helps(goal, goal).max(axis=0)
    assert best.after <= left.min() * 1.15
    eighths = SHARP.table(EVEN, rounding=EIGHTH)
    inches = one_more(lines_of(SHARP, eighths), eighths)
    assert inches is not None
    assert (inches.at / 25.4) % 1.0 == pytest.approx(0.0, abs=1e-9)


def test_advice_names_the_nearer_station_or_end_and_figures_of_the_builders() -> None:
    table = SHARP.table(EVEN, rounding=EIGHTH)
    found = advice(lines_of(SHARP, table), table, (), "ft-in-16ths")
    assert found is not None
    best, words = found
    words = words.replace("\N{NO-BREAK SPACE}", " ")
    assert words.startswith("Measure the chine's height on the plan ")
    told = re.search(r"on the plan (.*) (aft|forward) of (the stem|station 1): ", words)
    assert told is not None
    distance = read_length(told[1], None).mm * (1 if told[2] == "aft" else -1)
    beside = 60.0 if told[3] == "the stem" else EVEN[0]
    assert beside + distance == pytest.approx(best.at, abs=25.4 / 16)
    assert abs(distance) <= (EVEN[0] - 60.0) / 2 + 25.4
    now, then = re.findall(r'by ([0-9 /]+") ', words)
    assert read_length(now, None).mm > read_length(then, None).mm
    assert read_length(re.search(r"name: (\S+) in the row from FP", words)[1], None).mm == pytest.approx(best.at)  # type: ignore[index]


def test_where_every_bay_is_known_well_nothing_is_advised() -> None:
    table = SHARP.table(np.linspace(120.0, 4300.0, 40).round(), rounding=0.01)
    lines = lines_of(SHARP, table)
    assert max(bay.half_width for line in lines for bay in bay_bands(line.height)) < ADVISED
    assert advice(lines, table, (), "mm") is None


def test_a_row_in_doubt_is_settled_before_anything_is_measured_in_it() -> None:
    table = SHARP.table(EVEN, rounding=1.0)
    lines = lines_of(SHARP, table)
    doubt = Suspect("chine", HEIGHT, "4", 0.0, 0.0, 9.0, 9.0, None, None, None)
    other = one_more(lines, table, (doubt,))
    assert other is None or (other.line, other.view) != ("chine", HEIGHT)
    assert one_more(lines, table, (replace(doubt, line="from FP", view="station"),)) is None


TOML = """
[boat]
name = "Forefoot"
units = "mm"
offsets = "offsets.csv"
lines_to = "outside of planking"
fair_within = "3 mm"
[stem]
profile = {stem}
sided = 40
moulded = 80
[transom]
profile = {transom}
thickness = 19
crown = 40
[planking.side]
thickness = 6
material = "plywood"
[planking.bottom]
thickness = 9
material = "plywood"
laps = "over the sides"
"""


def as_files(folder: Path, hull: KnownHull) -> Path:
    """A boat folder of a known hull, its table to 1 mm."""
    folder.mkdir()
    table = hull.table(EVEN, rounding=1.0)
    rows = [("Forefoot", *table.columns), ("from FP", "", *(f"{x:.0f}" for x in EVEN), "")]
    for heading, block in (("heights", table.heights), ("half-breadths", table.half_breadths)):
        rows += [(heading,), *((row.name, *(f"{mm:.0f}" for mm in row.values)) for row in block)]
    (folder / "offsets.csv").write_text("".join(",".join(row) + "\n" for row in rows))
    ends = {
        name: [[round(float(mm), 1) for mm in point] for point in hull.end(at)]
        for name, at in (("stem", 0), ("transom", -1))
    }
    (folder / "boat.toml").write_text(TOML.format(**ends))
    return folder


def test_a_builder_who_does_as_advised_has_a_line_nearer_by_what_was_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hull = forefoot(200.0)
    folder = as_files(tmp_path / "boat", hull)

    def told() -> str:
        assert main(["fair", str(folder), "--verbose"]) == 0
        return " ".join(capsys.readouterr().out.split())

    def first_bay() -> tuple[float, float]:
        """mm the chine is out by forward of station 1, and what it may be out by."""
        line = fair_lines(read_boat(folder).boat)[1]
        bays = [bay.half_width for bay in bay_bands(line.height) if bay.from_fp[1] <= EVEN[0]]
        return error_in(hull, line, HEIGHT, (60.0, EVEN[0])), max(bays)

    words, (out, may_be) = told(), first_bay()
    assert "chine, heights: turns hard before station 1, and may be out there by more than the program says" in words
    match = re.search(r"Measure the chine's height on the plan .*? name: (\d+) in the row from FP", words)
    assert match is not None
    at = float(match[1])
    figure = f"{hull.lines['chine'].height(np.array(at)):.0f}"
    text = (folder / "offsets.csv").read_text().splitlines()
    added = ["more", match[1], "", "", figure, "", "", ""]
    cells = [row.split(",") for row in text]
    more = [
        ",".join([*row[:2], cell, *row[2:]] if len(row) > 1 else row) for row, cell in zip(cells, added, strict=True)
    ]
    (folder / "offsets.csv").write_text("\n".join(more) + "\n")
    again, (out_now, may_be_now) = told(), first_bay()
    assert "Extra figure, at no station: the chine's height in column 'more'" in again
    assert out_now < out / 2
    assert may_be_now < may_be


# --- A turn that even the band misses ---


def test_a_turn_much_shorter_than_its_bay_is_told_though_its_band_misses_it() -> None:
    hull = forefoot(100.0)
    table = hull.table(EVEN, rounding=1.0)
    lines = lines_of(hull, table)
    at = np.linspace(60.0, EVEN[0], 101)
    assert (hull.off("chine", HEIGHT, lines[1].height, at) > lines[1].height.band_at(at)).any()
    (found,) = hard_turns(lines)
    assert (found.line, found.view, found.station, found.end) == ("chine", HEIGHT, "1", "stem")
    where, words = hard_turn_told(found)
    assert where == "chine, heights"
    assert words.startswith("turns hard before station 1")
    assert words.endswith("measure one more figure on the plan between the stem and station 1")


def test_a_boat_of_easy_lines_turns_hard_nowhere() -> None:
    assert list(hard_turns(fair_lines(saltmeadow()))) == []


# --- Turns that nobody knows of ---


def test_a_swing_smaller_than_the_line_may_be_out_is_no_turn() -> None:
    x = np.linspace(0.0, 4000.0, 9)

    def wavy(depth: float, rounding: float) -> FairedView:
        table = np.round((300.5 + depth * np.sin(2 * np.pi * x / 4000.0)) / rounding) * rounding
        fit = fit_batten(x, table, limits=np.full(9, EIGHTH), noise=rounding / np.sqrt(12.0))
        return FairedView(tuple("012345678"), x, table, fit.faired, fit=fit)

    assert len(turns(wavy(30.0, EIGHTH))) == 1
    assert len(turns(wavy(0.6, 0.01))) == 1
    rough = wavy(0.6, EIGHTH)
    # Nobody having said how far it may be out, the same line turns.
    assert len(turns(FairedView(rough.columns, x, rough.given, rough.faired))) == 1
    assert turns(rough) == []


# --- A measured figure in the table ---


def written(folder: Path, changes: dict[str, str], *, more: str = "") -> Path:
    bare_boat(folder)
    text = (folder / "offsets.csv").read_text()
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new, 1)
    (folder / "offsets.csv").write_text(text)
    (folder / "boat.toml").write_text(more + (folder / "boat.toml").read_text())
    return folder


def with_extra(folder: Path) -> Path:
    """Saltmeadow with the sheer's half-breadth measured 9 in from FP, as its lines have it there."""
    folder = written(folder, {})
    value = float(fair_lines(read_boat(folder).boat)[0].half_breadth.batten.value(np.array(228.6)))
    inches, eighths = divmod(round(value / EIGHTH), 8)
    lines = (folder / "offsets.csv").read_text().splitlines()
    cells = ["a", "0-9-0", "", "", "", "", f"0-{inches}-{eighths}", ""]
    rows = (line.split(",") for line in lines)
    text = "\n".join(",".join([*row[:2], cell, *row[2:]]) for row, cell in zip(rows, cells, strict=True))
    (folder / "offsets.csv").write_text(text + "\n")
    return folder


@pytest.fixture(scope="module")
def extra(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return with_extra(tmp_path_factory.mktemp("extra"))


@pytest.fixture(scope="module")
def boat(extra: Path) -> Boat:
    return read_boat(extra).boat


def test_a_figure_in_a_column_of_its_own_is_no_station(boat: Boat) -> None:
    offsets = boat.offsets
    assert offsets.extras == ("a",)
    assert [name for name, _ in offsets.stations] == list("123456")
    assert list(extras_told(offsets, "in-16ths")) == [
        "the sheer's half-breadth in column 'a', 9\" from FP".replace("9 ", "9\N{NO-BREAK SPACE}")
    ]
    assert "'a'" not in stations_or_distance(offsets)
    assert place_from_fp("a", "in", offsets) == pytest.approx(228.6)


def test_the_line_goes_by_the_figure_and_its_band_is_narrower_there(boat: Boat) -> None:
    view, plain = (fair_lines(one)[0].half_breadth for one in (boat, saltmeadow()))
    assert view.columns[:3] == ("stem", "a", "1")
    bays, before = bay_bands(view), bay_bands(plain)[0]
    assert max(bay.half_width for bay in bays[:2]) < 0.75 * before.half_width
    assert "a" not in fair_lines(boat)[0].height.columns


def test_no_line_of_a_station_is_drawn_at_an_extra_figure_and_no_section(boat: Boat) -> None:
    lines = fair_lines(boat)
    for one in (
        *lines_plan(boat, lines, (), paper=(254.0, 190.0)),
        body_plan(boat, lines, Manner((254.0, 190.0), times=1, lettered=True)),
    ):
        texts = {getattr(mark, "text", "") for mark in one.drawing.marks}
        assert "a" not in texts
        assert {"1", "6"} <= texts


def test_an_extra_figure_makes_no_frame_unless_one_is_asked_for_there(tmp_path: Path, extra: Path) -> None:
    plain = bare_boat(tmp_path / "bare")
    (plain / "offsets.csv").write_bytes((extra / "offsets.csv").read_bytes())
    job = loft(read_boat(plain).boat)
    assert [part.name for part in job.parts if part.name.startswith(("frame", "mould"))] == ["mould 4"]
    text = (plain / "boat.toml").read_text().replace('["4"]', '["4", "a"]')
    (plain / "boat.toml").write_text(text)
    rules = read_boat(plain).boat.frames
    assert rules is not None
    assert [(place.name, place.from_fp) for place in rules.places] == [("4", 2438.4), ("a", pytest.approx(228.6))]


def test_an_extra_figure_neither_hides_uneven_stations_nor_makes_them(boat: Boat) -> None:
    offsets, fore, aft = boat.offsets, boat.fore, boat.aft
    assert suspects(offsets, fore=fore, aft=aft) == ()
    moved = replace(offsets, from_fp=offsets.from_fp + np.where(np.array(offsets.columns) == "3", 152.4, 0.0))
    found = suspects(moved, fore=fore, aft=aft)
    assert (found[0].line, found[0].column) == ("from FP", "3")
    assert found[0].meant == pytest.approx(6 * 304.8)


def test_a_wrong_extra_figure_is_the_one_accused(boat: Boat) -> None:
    rows = [row.values.copy() for row in boat.offsets.half_breadths]
    place = boat.offsets.columns.index("a")
    rows[0][place] += 30.0
    names = [row.name for row in boat.offsets.half_breadths]
    table = replace(boat.offsets, half_breadths=tuple(map(OffsetRow, names, rows)))
    assert ranked(table, fore=boat.fore, aft=boat.aft)[0].place == ("sheer", HALF_BREADTH, "a")


def test_rows_copied_from_each_other_are_found_across_an_extra_figure() -> None:
    table = saltmeadow().offsets
    twice = replace(table, half_breadths=tuple(OffsetRow(n, table.half_breadths[0].values) for n in ("sheer", "chine")))
    (plain,) = row_doubts(twice)
    (found,) = row_doubts(with_figure(twice, "sheer", HEIGHT, 1500.0, 600.0))
    assert found == plain


def test_the_faired_table_with_an_extra_figure_reads_back_as_the_same_lines(extra: Path, tmp_path: Path) -> None:
    assert main(["fair", str(extra), "--out", str(tmp_path / "out")]) == 0
    faired = (tmp_path / "out" / "offsets-faired.csv").read_text()
    for row, before in zip(
        *(list(csv.reader(io.StringIO(t))) for t in (faired, (extra / "offsets.csv").read_text())), strict=True
    ):
        assert row[0] == before[0]
        assert [bool(cell) for cell in row[1:]] == [
            bool(before[n]) if n < len(before) else False for n in range(1, len(row))
        ]
    again = tmp_path / "again"
    again.mkdir()
    (again / "offsets.csv").write_text(faired)
    (again / "boat.toml").write_bytes((extra / "boat.toml").read_bytes())
    once, twice = (fair_lines(read_boat(one).boat)[0].half_breadth for one in (extra, again))
    assert twice.columns == once.columns
    np.testing.assert_allclose(twice.faired, once.faired, atol=EIGHTH / 2)


def test_fair_tells_an_extra_figure_once_and_counts_the_stations_without_it(
    extra: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["fair", str(extra), "--verbose"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert told.count("Extra figure, at no station: the sheer's half-breadth in column 'a', 9\" from FP.") == 1
    assert "at 6 stations" in told


# --- A figure in doubt beside the line without it ---

WRONG = {"2-1-2": "2-3-2"}  # the sheer's half-breadth at 3, two inches too much


def test_beside_an_accusation_stands_the_line_without_the_figure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = written(tmp_path / "boat", WRONG)
    boat = read_boat(folder).boat
    (doubt,) = suspects(boat.offsets, fore=boat.fore, aft=boat.aft)
    without = line_without(boat, doubt.place)
    assert without is not None
    true = saltmeadow().offsets.half_breadths[0].values[3]
    assert abs(without.reads - true) <= without.may_be_out
    assert abs(without.reads - true) < abs(doubt.given - true) / 5
    out = replace(boat, fairing=(FairingRule("sheer", HALF_BREADTH, "3", float("nan")),))
    assert without.reads == pytest.approx(fair_lines(out)[0].half_breadth.faired[3])
    assert main(["fair", str(folder), "--verbose"]) == 0
    told = capsys.readouterr().out
    assert "Without that figure the line reads 2-1-" in " ".join(told.split())
    assert "Settle first what is in doubt" in told
    (line,) = (row for row in told.splitlines() if row.startswith("fairing = "))
    taken = read_boat(written(tmp_path / "taken", WRONG, more=f"{line}\n")).boat
    assert [(r.line, r.view, r.column, r.leaves_out) for r in taken.fairing] == [("sheer", HALF_BREADTH, "3", True)]
    assert fair_lines(taken)[0].half_breadth.faired[3] == pytest.approx(without.reads)


def test_where_rules_are_given_the_lines_to_copy_go_after_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = written(tmp_path / "boat", WRONG)
    file = folder / "boat.toml"
    file.write_text(file.read_text() + '\n[[fairing]]\nline = "chine"\nstation = "2"\nlock = true\n')
    assert main(["fair", str(folder), "--verbose"]) == 0
    told = capsys.readouterr().out.splitlines()
    start = told.index("[[fairing]]")
    file.write_text(file.read_text() + "\n".join(told[start : start + 5]) + "\n")
    assert [rule.leaves_out for rule in read_boat(folder).boat.fairing] == [False, True]


def test_a_figure_where_a_line_ends_cannot_be_left_out() -> None:
    boat = saltmeadow()
    for column, line in (("stem", "sheer"), ("transom", "chine"), ("3", "from FP")):
        assert line_without(boat, (line, HEIGHT, column)) is None


# --- job.json and the book ---


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("job")
    boat = bare_boat(folder / "boat")
    text = (boat / "offsets.csv").read_text()
    (boat / "offsets.csv").write_text(text.replace("2-1-2", "2-2-2", 1))
    toml = (boat / "boat.toml").read_text()
    assert "ft-in-16ths" in toml  # too coarse to show what one more figure gains
    (boat / "boat.toml").write_text(toml.replace("ft-in-16ths", "ft-in-32nds"))
    assert main(["loft", str(boat), "--out", str(folder / "out"), "--quiet", "--only", "stem"]) == 0
    return folder / "out"


def test_job_json_has_the_figure_to_measure_and_the_line_without_a_doubted_one(job: Path) -> None:
    told = json.loads((job / "job.json").read_text())
    (doubt,) = told["suspects"]
    assert (doubt["line"], doubt["column"]) == ("sheer", "3")
    assert abs(doubt["without"]["reads"] - doubt["expected"]) < 5.0
    assert doubt["without"]["may_be_out"] > 0.0
    assert told["extra_figures"] == []
    best = told["measure_next"]
    assert best["may_be_out"] > ADVISED
    assert best["may_be_out_then"] < best["may_be_out"]
    assert best["told"].startswith(f"Measure the {best['line']}'s {best['view']} on the plan ")
    assert (best["line"], best["view"]) != ("sheer", HALF_BREADTH)


def test_the_book_has_the_advice_and_the_lines_to_copy_and_leads_to_the_bays(job: Path) -> None:
    page = (job / "book.html").read_text()
    told = json.loads((job / "job.json").read_text())
    assert "tables/lines-may-be-out.csv" in page
    assert told["measure_next"]["told"] in html.unescape(page)
    assert "<pre>fairing = [{ line = " in page
    assert (job / "tables" / "lines-may-be-out.csv").is_file()


WIDEST = """Math.max(...Array.from(document.querySelectorAll("table"))
  .filter((one) => one.textContent.includes("may be out by"))
  .map((one) => one.getBoundingClientRect().right))"""


def test_a_phone_shows_the_whole_table_of_bays(tmp_path: Path) -> None:
    assert scrieve_here("fair", SALTMEADOW, "--out", tmp_path / "lines").returncode == 0
    assert 100 < probed(tmp_path / "lines" / "lines.html", WIDEST, width=400, folder=tmp_path) <= 400


def test_the_tint_shows_where_a_band_is_wide_enough_and_is_told_of_once() -> None:
    table = SHARP.table(EVEN, rounding=1.0)
    boat = replace(saltmeadow(), offsets=table, fore=SHARP.fore, aft=SHARP.aft, frames=None, show="mm")
    lines = lines_of(SHARP, table)
    profile, _, body = lines_plan(boat, lines, (), paper=(254.0, 190.0))
    tints = [mark.points for mark in profile.drawing.marks if getattr(mark, "layer", "") == "band"]
    up = int(re.findall(r"1:(\d+)", profile.notes[0])[1])
    assert tints
    tall = max(float(np.ptp(ring[np.abs(ring[:, 0] - x) < 1e-6, 1])) for ring in tints for x in ring[:, 0])
    widest = max(bay.half_width for line in lines for bay in bay_bands(line.height))
    assert tall * up == pytest.approx(2 * widest, rel=0.05)
    assert [note.startswith("Gray along a line") for note in profile.notes].count(True) == 1
    assert not any("Gray" in note for note in body.notes)
    known = SHARP.table(np.linspace(120.0, 4300.0, 40).round(), rounding=0.01)
    drawn = lines_plan(replace(boat, offsets=known), lines_of(SHARP, known), (), paper=(254.0, 190.0))
    assert not any(getattr(mark, "layer", "") == "band" for one in drawn for mark in one.drawing.marks)
    assert not any("Gray" in note for one in drawn for note in one.notes)


def test_no_figure_of_a_copied_row_is_asked_for() -> None:
    table = saltmeadow().offsets
    sheer = table.half_breadths[0].values
    copied = replace(table, half_breadths=(table.half_breadths[0], OffsetRow("chine", sheer)))
    pairs = {row for one in row_doubts(copied) for row in (one.first, one.second)}
    assert pairs == {("sheer", HALF_BREADTH), ("chine", HALF_BREADTH)}
    found = one_more(fair_lines(replace(saltmeadow(), offsets=copied)), copied)
    assert found is None or (found.line, found.view) not in pairs


def test_a_row_whose_suspect_is_left_out_may_be_measured_next() -> None:
    boat = saltmeadow()
    accused = Suspect("sheer", HALF_BREADTH, "4", 700.0, 710.0, 9.0, 9.0, None, None, None)
    without = replace(boat, fairing=(FairingRule("sheer", HALF_BREADTH, "4", np.nan),))
    for asked, passed_over in ((boat, True), (without, False)):
        found = one_more(fair_lines(asked), boat.offsets, (accused,))
        assert (found is None or (found.line, found.view) != ("sheer", HALF_BREADTH)) == passed_over

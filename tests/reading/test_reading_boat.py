"""Claims about boat folders as builders write them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from changed_saltmeadow import TOML, faults, read
from commanded import SALTMEADOW
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_jobs import FOLDERS

from patterns.errors import InputError, Problem
from patterns.hull.build import Joint, LinesTo, Stem, Transom
from patterns.parts.asked.rules import FrameKind, StationFace
from patterns.reading.boat.boat_toml import Default, read_boat
from patterns.reading.toml.boat_tables import BoatToml

A_LENGTH = "a length such as 2-3-5, 27 5/8 in or 701.7 mm"


def test_saltmeadow_reads_as_her_builder_wrote_her() -> None:
    read = read_boat(SALTMEADOW)
    boat = read.boat
    assert (boat.name, boat.show) == ("Saltmeadow", "ft-in-16ths")
    assert boat.fair_within == 3.175
    assert isinstance(boat.fore, Stem)
    np.testing.assert_allclose(boat.fore.profile, [[0.0, 774.7], [342.9, 107.95]])
    assert (boat.fore.sided, boat.fore.moulded) == (63.5, 88.9)
    assert isinstance(boat.aft, Transom)
    np.testing.assert_allclose(boat.aft.profile, [[4419.6, 590.55], [4216.4, 117.475]])
    assert (boat.aft.thickness, boat.aft.crown) == pytest.approx((19.05, 63.5))
    assert boat.skin.lines_to is LinesTo.OUTSIDE
    assert boat.skin.joints[0] is Joint.LOWER_OVER
    assert (boat.skin.planking[0].thickness, boat.skin.planking[-1].thickness) == pytest.approx((9.525, 12.7))
    assert read.files == (SALTMEADOW / "boat.toml", SALTMEADOW / "offsets.csv")
    assert (read.paper, read.margin) == ("letter", 12.7)


def test_frames_stand_where_the_table_has_their_stations(tmp_path: Path) -> None:
    frames = read(tmp_path, ('"2", "3"', '2, "7-0-0"')).boat.frames
    assert frames is not None
    assert [place.name for place in frames.places] == ["1", "2", "7-0-0", "4", "5", "6"]
    assert [place.from_fp for place in frames.places] == pytest.approx([609.6, 1219.2, 2133.6, 2438.4, 3048.0, 3657.6])
    assert frames.station_face is StationFace.TOWARD_MIDSHIP
    assert frames.kind is FrameKind.SAWN
    assert frames.sided == 19.05


def test_every_default_taken_is_told_as_the_builder_would_write_it(tmp_path: Path) -> None:
    changes = (('fair_within = "1/8 in"', ""), ('show        = "ft-in-16ths"', ""), ('kind          = "sawn"', ""))
    no_wood = (
        ('material  = "marine plywood"\n\n[planking.side]', "\n[planking.side]"),
        (
            'gusset_material = "marine plywood"',
            "",
        ),
    )
    boat = read(tmp_path, *changes, *no_wood, ('[printer]\npaper  = "letter"\nmargin = "0.5 in"', ""))
    wanted = {
        Default("[boat] show", "ft-in-16ths"),
        Default("[frames] gusset", '3/8"'),
        Default("[boat] heights_from", "base"),
        Default("[boat] fair_within", "1/8 in"),
        Default("[transom] material", "not stated"),
        Default("[frames] kind", "sawn"),
        Default("[frames] joint", "sides on floor"),
        Default("[frames] limber", "1/2 in"),
        Default("[frames] notch_allowance", "0 in"),
        Default("[frames] gusset_faces", "both"),
        Default("[frames] gusset_material", "not stated"),
        Default("[inwale] planing", "1/16 in"),
        Default("[outwale] planing", "1/16 in"),
        Default("[rub_rail] planing", "1/16 in"),
        Default("[keel_batten] planing", "1/16 in"),
        Default("[router] cut", "larger face"),
        Default("[router] relief", "at the corner"),
        Default("[router] clearance", "0 in"),
        Default("[printer] paper", "letter"),
        Default("[printer] margin", "12 mm"),
        Default("[printer] overlap", "12 mm"),
        Default("[printer] roll", "36 in"),
        Default("[stock] plywood", "marine plywood"),
    }
    assert wanted <= set(boat.defaults)
    # What the builder wrote is not told as left to the program.
    assert not {"[stem] sided", "[frames] sided", "[boat] lines_to"} & {default.key for default in boat.defaults}
    assert (boat.margin, boat.overlap, boat.roll) == pytest.approx((12.0, 12.0, 914.4))
    assert boat.boat.frames is not None
    assert boat.boat.frames.kind is FrameKind.SAWN


def test_no_default_is_told_of_frames_the_boat_has_not(tmp_path: Path) -> None:
    keys = {default.key for default in read(tmp_path).defaults}
    assert "[frames] joint" in keys
    assert not {"[frames] mould", "[frames] inside_corner"} & keys
    moulds = {default.key for default in read(tmp_path, ('kind          = "sawn"', 'kind = "mould"')).defaults}
    assert "[frames] mould" in moulds
    assert not {"[frames] joint", "[frames] gusset", "[frames] limber", "[frames] inside_corner"} & moulds
    rings = {default.key for default in read(tmp_path, ('kind          = "sawn"', 'kind = "sheet"')).defaults}
    assert {"[frames] inside_corner", "[frames] limber"} <= rings
    assert not {"[frames] mould", "[frames] gusset"} & rings


def test_a_boat_without_frames_has_none(tmp_path: Path) -> None:
    start, end = TOML.index("[frames]"), TOML.index("[chine_log]")
    assert read(tmp_path, (TOML[start:end], "")).boat.frames is None


def test_a_boat_is_read_by_its_file_too() -> None:
    assert read_boat(SALTMEADOW / "boat.toml").boat.name == "Saltmeadow"


def test_a_pram_has_a_transom_at_each_end(tmp_path: Path) -> None:
    stem = TOML[TOML.index("[stem]") : TOML.index("[transom]")]
    bow = '[bow_transom]\nprofile = [["0-0-0", "2-6-4"], ["1-1-4", "0-4-2"]]\nthickness = "3/4 in"\n'
    boat = read(tmp_path, (stem, bow), table=(("stem", "bow transom"),))
    assert isinstance(boat.boat.fore, Transom)
    assert Default("[bow_transom] crown", "0 in") in boat.defaults


def test_a_double_ender_has_a_sternpost(tmp_path: Path) -> None:
    transom = TOML[TOML.index("[transom]") : TOML.index("[planking.side]")]
    post = '[sternpost]\nprofile = [["14-6-0", "1-11-2"], ["13-10-0", "0-4-5"]]\nsided = "2 in"\nmoulded = "3 in"\n'
    boat = read(tmp_path, (transom, post), table=(("transom", "sternpost"),))
    assert isinstance(boat.boat.aft, Stem)


def test_the_faults_of_both_files_are_told_in_one_go(tmp_path: Path) -> None:
    changes = (
        ('sided   = "2 1/2 in"', 'sidded  = "2 1/2 in"'),
        ('"outside of planking"', '"outside planking"'),
        ('"1-1-4", "0-4-2"', '"1-14-4", "0-4-2"'),
        ('thickness = "3/8 in"', 'thickness = "-3/8 in"'),
        ('kerf                = "1/16 in"', "kerf = true"),
        ('width  = "10 in"', "width = 0"),
        ("count = 2", "count = 2.5"),
    )
    assert faults(tmp_path, *changes, table=(("1-7-7", "1-7-9"),)) == [
        "boat.toml, line 9, [boat] lines_to: found 'outside planking', expected one of 'outside of planking', "
        "'inside of planking'; did you mean 'outside of planking'?",
        "boat.toml, line 14, [stem] profile point 2 distance from FP: found '1-14-4', expected inches from 0 to 11",
        "boat.toml, line 15, [stem] sidded: found an unknown key, expected one of 'profile', 'sided', 'moulded', "
        "'material', 'planks_end', 'false_moulded', 'false_material', 'layers'; did you mean 'sided'?",
        "boat.toml, line 26, [planking.side] thickness: found '-3/8 in', expected a length of more than 0",
        "boat.toml, line 87, [[thwart]] 2 width: found 0, expected a length of more than 0",
        f"boat.toml, line 93, [saw] kerf: found true, expected {A_LENGTH}, in quotes",
        "boat.toml, line 101, [stock] boards 1 count: found 2.5, expected a whole number from 1 to 1000",
        "offsets.csv, row 8, column '3': found '1-7-9', expected eighths from 0 to 7",
        f'boat.toml, line 13, [stem] sided: found nothing, expected {A_LENGTH}, such as sided = "2 1/2 in"',
    ]


ONE_FAULT: dict[str, tuple[tuple[str, str], str]] = {
    "an unknown table": (
        ("[router]", "[rooter]"),
        "line 104, [rooter]: found an unknown table, expected one of "
        + ", ".join(f"'{name}'" for name in BoatToml.model_fields)
        + "; did you mean 'router'?",
    ),
    "no lines_to": (
        ('lines_to    = "outside of planking"', ""),
        "line 4, [boat] lines_to: found nothing, expected one of 'outside of planking', 'inside of planking'",
    ),
    "no laps": (
        ('laps      = "over the sides" ', "#"),
        "line 29, [planking.bottom] laps: found nothing, expected one of 'over the sides', 'between the sides', "
        'such as laps = "over the sides"',
    ),
    "no station face": (
        ('station_face  = "toward midship"', ""),
        "line 34, [frames] station_face: found nothing, expected one of 'toward midship', 'end-ward', 'fore', 'aft', "
        'such as station_face = "toward midship"',
    ),
    "no thickness of the side": (
        ('thickness = "3/8 in"', ""),
        f'line 25, [planking.side] thickness: found nothing, expected {A_LENGTH}, such as thickness = "3/8 in"',
    ),
    "planking too thick to be planking": (
        ('thickness = "3/8 in"', 'thickness = "3/8 ft"'),
        "line 26, [planking.side] thickness: found '3/8 ft', expected a thickness of planking, "
        "less than 2 in (50.8 mm)",
    ),
    "a length without end": (
        ('sided   = "2 1/2 in"', "sided = inf"),
        f"line 15, [stem] sided: found inf, expected {A_LENGTH}",
    ),
    "a profile that rises": (
        ('["1-1-4", "0-4-2"]', '["1-1-4", "2-6-4"]'),
        "line 14, [stem] profile: found point 2 no lower than point 1, expected points from the sheer down, each lower "
        "than the one before",
    ),
    "a profile of one point": (
        (', ["1-1-4", "0-4-2"]', ""),
        'line 14, [stem] profile: found [["0-0-0", "2-6-4"]], expected at least two points, from the sheer down',
    ),
    "a point of three figures": (
        ('"1-1-4", "0-4-2"', '"1-1-4", "0-4-2", "0-0-0"'),
        'line 14, [stem] profile point 2: found ["1-1-4", "0-4-2", "0-0-0"], expected a distance from FP and a height',
    ),
    "a transom that is not straight": (
        ('["13-10-0", "0-4-5"]', '["14-0-0", "1-0-0"], ["13-10-0", "0-4-5"]'),
        "line 20, [transom] profile: found a list of 3, expected two points: "
        "a transom is flat and its profile straight",
    ),
    "a paper nobody sells": (
        ('"letter"', '"tabliod"'),
        "line 110, [printer] paper: found 'tabliod', expected one of 'a0', 'a1', 'a2', 'a3', 'a4', 'a5', 'b0', 'b1', "
        "'b2', 'b3', 'b4', 'letter', 'legal', 'tabloid', 'ansi c', 'ansi d', 'ansi e', 'arch a', 'arch b', 'arch c', "
        "'arch d', 'arch e1', 'arch e'; did you mean 'tabloid'?",
    ),
    "margins that leave no room": (
        ('margin = "0.5 in"', 'margin = "3 7/8 in"'),
        "line 109, [printer]: found 19 mm of letter between the margins, expected more than twice the overlap of 12 mm",
    ),
    "a frame at no station": (
        ('"5", "6"]', '"5", "7"]'),
        "line 35, [frames] stations: found '7', expected one of '1', '2', '3', '4', '5', '6', or a distance from FP "
        "with its unit",
    ),
    "a frame twice": (
        ('"5", "6"]', '"5", "5"]'),
        "line 35, [frames] stations: found '5' again, expected each frame once",
    ),
    "a frame on another": (
        ('"5", "6"]', '"5", "10 ft"]'),
        "line 35, [frames] stations: found '10 ft' where '5' stands, expected each frame once",
    ),
    "a frame out of the boat": (
        ('"5", "6"]', '"5", "15 ft"]'),
        "line 35, [frames] stations: found '15 ft', expected a frame between the ends of the sheer, 0\" and 14' 6\" "
        "from FP",
    ),
    "ends in the wrong order": (
        ('"14-6-0", "1-11-2"', '"0-6-0", "1-11-2"'),
        "line 20, [transom] profile: found an after end ahead of the fore end, expected distances from FP, running aft",
    ),
    "an end the table has no column for": (
        ("[frames]", "[sternpost]\nprofile = [[0, 9], [0, 8]]\nsided = 1\nmoulded = 1\n[frames]"),
        "line 34, [sternpost]: found a table, expected the ends offsets.csv has columns for, 'stem' and 'transom'",
    ),
    "a blade thicker than its kerf": (
        ('"0.047 in"', '"2 mm"'),
        "line 94, [saw] plate: found '2 mm', expected a blade's body no thicker than the kerf of 0.0625 in "
        "(1.587 mm) it cuts",
    ),
    "no TOML": (
        ("[stem]", "[stem"),
        "line 13: found '[stem', expected TOML such as sided = \"2 1/2 in\" (expected ']' at the end of a table "
        "declaration)",
    ),
}


@pytest.mark.parametrize("name", ONE_FAULT)
def test_a_fault_is_told_once_and_whole(tmp_path: Path, name: str) -> None:
    change, sentence = ONE_FAULT[name]
    assert faults(tmp_path, change) == [f"boat.toml, {sentence}"]


def test_an_end_the_table_has_must_be_described(tmp_path: Path) -> None:
    stem = TOML[TOML.index("[stem]") : TOML.index("[transom]")]
    assert faults(tmp_path, (stem, "")) == [
        "boat.toml, [stem]: found no such table, expected it, because offsets.csv has a column 'stem'"
    ]


def test_a_line_that_ends_off_its_profile_is_a_misprint(tmp_path: Path) -> None:
    assert faults(tmp_path, table=(("0-2-3,0-4-5", "0-2-3,0-1-5"), ("12-0-0", "22-0-0"))) == [
        "offsets.csv, row 5, column 'transom': found '0-1-5', expected a height on the profile of the transom, "
        "from 0-4-5 to 1-11-2",
        "offsets.csv, row 2, column '6': found '22-0-0', expected a station between the ends of the boat, 0-0-0 and "
        "14-6-0 from FP",
        "boat.toml, line 35, [frames] stations: found '6', expected a frame between the ends of the sheer, 0\" and "
        "14' 6\" from FP",
    ]


def test_a_line_may_end_half_an_inch_past_its_profile(tmp_path: Path) -> None:
    assert read(tmp_path, table=(("0-2-3,0-4-5", "0-2-3,0-4-1"),)).boat.name == "Saltmeadow"


def test_a_bare_number_is_refused_where_the_boat_says_no_units(tmp_path: Path) -> None:
    changes = (('units       = "in"', ""), ('sided   = "2 1/2 in"', "sided = 2.5"))
    assert faults(tmp_path, *changes) == [
        f"boat.toml, line 15, [stem] sided: found 2.5, expected {A_LENGTH}: units in [boat] says nothing of bare "
        "numbers"
    ]


def test_a_boat_whose_lengths_all_carry_units_needs_no_units(tmp_path: Path) -> None:
    assert read(tmp_path, ('units       = "in"', "")).boat.show == "ft-in-16ths"


def test_missing_files_are_named(tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        read_boat(tmp_path)
    assert str(refused.value) == f"boat.toml: found no such file, expected a boat at {tmp_path}/boat.toml"
    assert faults(tmp_path, ('"offsets.csv"', '"offset.csv"')) == [
        "boat.toml, line 8, [boat] offsets: found 'offset.csv', no such file, expected a table of offsets at "
        f"{tmp_path}/offset.csv"
    ]


def test_an_empty_file_is_told_what_it_lacks(tmp_path: Path) -> None:
    (tmp_path / "boat.toml").write_text("")
    with pytest.raises(InputError) as refused:
        read_boat(tmp_path)
    assert str(refused.value).splitlines() == [
        "boat.toml, [boat]: found nothing, expected a table",
        f'boat.toml, [planking.side] thickness: found nothing, expected {A_LENGTH}, such as thickness = "3/8 in"',
        f'boat.toml, [planking.bottom] thickness: found nothing, expected {A_LENGTH}, such as thickness = "1/2 in"',
    ]


VALUES = st.one_of(
    st.sampled_from(["true", "[]", "[[]]", "{}", "nan", "-inf", "1e400", "9" * 400, "2001-02-03", "07:32:00", '""']),
    st.sampled_from(['"\\u0000"', '"."', '"/"', '"0-0-0"', "[[[1]]]", "[{}]", "{ a = 1 }", '[["1", "2"]]', "-1", "0"]),
    st.text(max_size=6),
)


KEYS = [
    (name, n)
    for name in ("saltmeadow", "sandlark", "windrow", "marram")
    for n, line in enumerate((FOLDERS[name] / "boat.toml").read_text().splitlines())
    if " = " in line
]


@pytest.mark.slow
@settings(max_examples=500, deadline=None)
@given(st.sampled_from(KEYS), VALUES)
def test_whatever_stands_behind_a_key_is_read_or_refused_in_words(
    tmp_path_factory: pytest.TempPathFactory, place: tuple[str, int], value: str
) -> None:
    name, number = place
    lines = (FOLDERS[name] / "boat.toml").read_text().splitlines()
    lines[number] = f"{lines[number].split(' = ')[0]} = {value}"
    folder = tmp_path_factory.mktemp("boat")
    (folder / "boat.toml").write_text("\n".join(lines), encoding="utf-8", errors="replace")
    (folder / "offsets.csv").write_bytes((FOLDERS[name] / "offsets.csv").read_bytes())
    problems: tuple[Problem, ...] = ()
    try:
        read_boat(folder)
    except InputError as refused:
        problems = refused.problems
    assert all(problem.cell and problem.found and problem.wanted for problem in problems)


def test_degrees_of_the_file_are_radians_inside() -> None:
    read = read_boat(SALTMEADOW)
    (log,) = read.boat.long.chine_logs
    assert log.drain == pytest.approx(np.radians(5.0))
    assert log.top_bevel is None

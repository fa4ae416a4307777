"""Claims about the planking as boat.toml says it: a table for each strake, how strakes meet, what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from patterns.errors import InputError
from patterns.hull.build import Joint, KeelJoint, Lap, LinesTo
from patterns.parts.asked.joint_rules import JointKind
from patterns.reading.boat.boat_toml import BoatFile, read_boat

ENDS = """
[bow_transom]
profile = [[0, 520], [200, 100]]
thickness = 18
[transom]
profile = [[3200, 520], [3100, 100]]
thickness = 18
"""
LINES = {
    "sheer": ("520,510,505,510,520", "500,600,620,590,520"),
    "chine": ("150,130,120,130,150", "400,480,500,480,420"),
    "chine 1": ("380,370,365,370,380", "480,580,600,570,500"),
    "chine 2": ("245,235,230,235,245", "440,540,560,530,460"),
    "chine 3": ("150,130,120,130,150", "330,440,480,440,340"),
    "keel": ("100,50,20,50,100", ""),
    "sided keel": ("100,50,20,50,100", "15,15,15,15,15"),
}
SIDE = "[planking.side]\nthickness = 6\nmaterial = 'marine plywood'\n"
BOTTOM = "[planking.bottom]\nthickness = 9\nmaterial = 'okoume marine'\n"
FLAT = f'{BOTTOM}laps = "over the sides"\n'
LAPS = "[laps]\nwidth = 20\n"
FLAT_LINES, V_LINES = ("sheer", "chine"), ("sheer", "chine", "keel")
SIDED = ("sheer", "chine", "sided keel")
THREE = ("sheer", "chine 1", "chine 2", "chine 3")


def read(folder: Path, lines: tuple[str, ...], tables: str, lines_to: str = "inside of planking") -> BoatFile:
    """A pram with these lines, and these tables of her planking from line 12 on."""
    (folder / "boat.toml").write_text(
        f'[boat]\nname = "Trial"\nunits = "mm"\noffsets = "offsets.csv"\nlines_to = "{lines_to}"{ENDS}\n{tables}'
    )
    heights = (f"{line.removeprefix('sided ')},{LINES[line][0]}" for line in lines)
    breadths = (f"{line.removeprefix('sided ')},{LINES[line][1]}" for line in lines if LINES[line][1])
    head = ("Trial,bow transom,1,2,3,transom", "from FP,,800,1600,2400,")
    (folder / "offsets.csv").write_text("\n".join((*head, "heights", *heights, "half-breadths", *breadths)))
    return read_boat(folder)


def refused(folder: Path, lines: tuple[str, ...], tables: str, lines_to: str = "inside of planking") -> list[str]:
    with pytest.raises(InputError) as told:
        read(folder, lines, tables, lines_to)
    return [str(problem) for problem in told.value.problems]


def told(boat: BoatFile) -> dict[str, str]:
    """The defaults of the planking."""
    return {one.key: one.value for one in boat.defaults if one.key.startswith(("[planking", "[laps]"))}


# --- What is read ---


def test_over_and_between_the_sides_are_two_of_the_ways_strakes_meet(tmp_path: Path) -> None:
    assert read(tmp_path, FLAT_LINES, SIDE + FLAT).boat.skin.joints == (Joint.LOWER_OVER,)
    between = f'{SIDE}{BOTTOM}laps = "between the sides"\n'
    assert read(tmp_path, FLAT_LINES, between).boat.skin.joints == (Joint.UPPER_OVER,)
    said = f'{SIDE}{BOTTOM}chine_joint = "upper over lower"\n'
    assert read(tmp_path, FLAT_LINES, said).boat.skin.joints == (Joint.UPPER_OVER,)
    assert read(tmp_path, FLAT_LINES, said + 'laps = "between the sides"').boat.skin.joints == (Joint.UPPER_OVER,)
    half = f'{SIDE}{BOTTOM}chine_joint = "half angle"\n'
    assert read(tmp_path, FLAT_LINES, half).boat.skin.joints == (Joint.HALF_ANGLE,)


def test_a_v_bottom_is_planed_to_half_angles_unless_it_says_otherwise(tmp_path: Path) -> None:
    boat = read(tmp_path, V_LINES, SIDE + BOTTOM)
    assert (boat.boat.skin.joints, boat.boat.skin.keel) == ((Joint.HALF_ANGLE,), KeelJoint.HALF_ANGLE)
    assert told(boat) == {"[planking.bottom] chine_joint": "half angle", "[planking.bottom] keel_joint": "half angle"}
    said = read(tmp_path, SIDED, f'{SIDE}{BOTTOM}chine_joint = "lower over upper"\nkeel_joint = "in a rabbet"')
    assert (said.boat.skin.joints, said.boat.skin.keel) == ((Joint.LOWER_OVER,), KeelJoint.RABBET)
    assert told(said) == {}
    on_keel = read(tmp_path, SIDED, f'{SIDE}{BOTTOM}keel_joint = "on the keel"')
    assert on_keel.boat.skin.keel is KeelJoint.ON_KEEL


def test_a_flat_bottom_has_no_joint_along_the_keel(tmp_path: Path) -> None:
    assert read(tmp_path, FLAT_LINES, SIDE + FLAT).boat.skin.keel is None


def test_a_strake_is_as_the_one_above_it_in_all_it_leaves_out(tmp_path: Path) -> None:
    third = "[planking.strake_3]\nthickness = 7\nchine_joint = 'lower over upper'\n"
    boat = read(tmp_path, THREE, f"{SIDE}joint = 'toothed'\nstagger = 400\n{third}{FLAT}")
    skin = boat.boat.skin
    assert [name for name, _ in skin.named] == ["side", "strake 2", "strake 3", "bottom"]
    assert [planking.thickness for planking in skin.planking] == [6, 6, 7, 9]
    assert [planking.material for planking in skin.planking] == ["marine plywood"] * 3 + ["okoume marine"]
    # Where its material is said, and where to change it.
    assert [planking.table for planking in skin.planking] == ["planking.side"] * 3 + ["planking.bottom"]
    assert skin.joints == (Joint.HALF_ANGLE, Joint.LOWER_OVER, Joint.LOWER_OVER)
    assert told(boat) == {
        "[planking.strake_2] thickness": "6.0 mm, as the side",
        "[planking.strake_2] material": "marine plywood, as the side",
        "[planking.strake_2] joint": "toothed, as the side",
        "[planking.strake_2] stagger": "400.0 mm, as the side",
        "[planking.strake_2] chine_joint": "half angle",
        "[planking.strake_3] material": "marine plywood, as strake 2",
        "[planking.strake_3] joint": "toothed, as strake 2",
        "[planking.strake_3] stagger": "400.0 mm, as strake 2",
    }


def test_every_strake_has_rules_for_its_joints(tmp_path: Path) -> None:
    second = "[planking.strake_2]\njoint = 'butt block'\njoint_at = [900, 500]\nstagger = 100\n"
    rules = read(tmp_path, THREE, f"{SIDE}joint = 'toothed'\njoint_at = 700\n{second}{FLAT}").boat.joints
    assert rules is not None
    assert [(one.strake, one.table) for one in rules.strakes] == [
        ("side", "[planking.side]"),
        ("strake 2", "[planking.strake_2]"),
        ("strake 3", "[planking.strake_3]"),
        ("bottom", "[planking.bottom]"),
    ]
    assert (rules.of("strake 2").rule.kind, rules.of("strake 2").rule.at) == (JointKind.BUTT, (500, 900))
    # The kind goes down from strake to strake; joints of two strakes in one place would be one weak place.
    assert (rules.of("strake 3").rule.kind, rules.of("strake 3").rule.at) == (JointKind.BUTT, ())
    assert (rules.of("strake 3").rule.stagger, rules.of("bottom").rule.kind) == (100, None)


def test_joints_at_places_of_a_middle_strake_alone_are_joints_too(tmp_path: Path) -> None:
    rules = read(tmp_path, THREE, f"{SIDE}[planking.strake_2]\njoint_at = [900]\n{FLAT}").boat.joints
    assert rules is not None
    assert rules.of("strake 2").rule.at == (900,)


def test_butt_blocks_keep_clear_of_what_runs_along_their_strake(tmp_path: Path) -> None:
    pieces = "".join(
        f"[{name}]\nsided = 20\nmoulded = {moulded}\n" for name, moulded in (("chine_log", 30), ("inwale", 45))
    )
    rules = read(tmp_path, THREE, f"{SIDE}joint_at = 900\n{FLAT}{pieces}").boat.joints
    assert rules is not None
    # The inwale along the side, a log along a middle strake, the strake above and its log along the bottom.
    assert [one.sizes.block_clear for one in rules.strakes] == [45, 30, 30, 26]


def test_side_strakes_lap_where_there_are_laps(tmp_path: Path) -> None:
    boat = read(tmp_path, THREE, SIDE + FLAT + LAPS)
    skin = boat.boat.skin
    assert skin.joints == (Joint.LAPPED, Joint.LAPPED, Joint.LOWER_OVER)
    assert skin.lap == Lap(20, pytest.approx(304.8), pytest.approx(1.5875))
    assert {key: value for key, value in told(boat).items() if "thickness" not in key and "material" not in key} == {
        "[planking.strake_2] chine_joint": "lapped",
        "[planking.strake_3] chine_joint": "lapped",
        "[laps] gain": "304.8 mm (12 in)",
        "[laps] least": "1.6 mm (1/16 in)",
    }


def test_a_chine_among_lapped_strakes_may_be_planed(tmp_path: Path) -> None:
    planed = '[planking.strake_3]\nchine_joint = "half angle"\n'
    skin = read(tmp_path, THREE, f"{SIDE}{planed}{FLAT}{LAPS}gain = 400\nleast = 2").boat.skin
    assert skin.joints == (Joint.LAPPED, Joint.HALF_ANGLE, Joint.LOWER_OVER)
    assert skin.lap == Lap(20, 400, 2)


def test_the_bottom_of_a_v_among_lapped_strakes_is_planed_or_lapped_as_it_says(tmp_path: Path) -> None:
    lines = ("sheer", "chine 1", "chine 2", "keel")
    assert read(tmp_path, lines, SIDE + BOTTOM + LAPS).boat.skin.joints == (Joint.LAPPED, Joint.HALF_ANGLE)
    lapped = f'{SIDE}{BOTTOM}chine_joint = "lapped"\n{LAPS}'
    assert read(tmp_path, lines, lapped).boat.skin.joints == (Joint.LAPPED, Joint.LAPPED)


def test_lines_to_the_outside_go_with_strakes_that_do_not_lap(tmp_path: Path) -> None:
    assert read(tmp_path, THREE, SIDE + FLAT, "outside of planking").boat.skin.lines_to is LinesTo.OUTSIDE


# --- What is refused: by key, what was found, what is expected ---

ASKED_OF_MOULDS = (
    "boat.toml, line 5, [boat] lines_to: found 'outside of planking', expected 'inside of planking' where strakes are "
    "lapped: ask the designer which edge of a lap these lines give, and give the corners of the moulds"
)
NOT_V = "no such key: only a V bottom, with rows 'chine' and 'keel' in offsets.csv, has a seam along its keel"
REFUSED: dict[str, tuple[tuple[str, ...], str, str]] = {
    "a flat bottom that does not say how it meets the sides": (
        FLAT_LINES,
        SIDE + BOTTOM,
        "line 16, [planking.bottom] laps: found nothing, expected one of 'over the sides', 'between the sides', "
        'such as laps = "over the sides"',
    ),
    "two ways to meet the sides at once": (
        FLAT_LINES,
        f'{SIDE}{FLAT}chine_joint = "upper over lower"',
        "line 20, [planking.bottom] chine_joint: found 'upper over lower', expected 'lower over upper', as laps = "
        '"over the sides" says, or only one of the two keys',
    ),
    "a flat bottom lapped": (
        FLAT_LINES,
        f'{SIDE}{BOTTOM}chine_joint = "lapped"\n{LAPS}',
        "line 19, [planking.bottom] chine_joint: found 'lapped', expected one of 'half angle', 'lower over upper', "
        "'upper over lower': a flat bottom turns too hard to lap",
    ),
    "a V bottom over the sides": (
        V_LINES,
        SIDE + FLAT,
        "line 19, [planking.bottom] laps: found 'over the sides', expected chine_joint = \"lower over upper\" in its "
        "place: offsets.csv has a row 'keel', so this bottom is not flat",
    ),
    "a bottom on a keel of no siding": (
        V_LINES,
        f'{SIDE}{BOTTOM}keel_joint = "on the keel"',
        "line 19, [planking.bottom] keel_joint: found 'on the keel', expected half the keel's siding in a row 'keel' "
        "among the half-breadths of offsets.csv, or 'half angle'",
    ),
    "a joint along a keel that is not there": (
        FLAT_LINES,
        f'{SIDE}{FLAT}keel_joint = "on the keel"',
        f"line 20, [planking.bottom] keel_joint: found 'on the keel', expected {NOT_V}",
    ),
    "a V bottom of boards athwart": (
        V_LINES,
        f'{SIDE}{BOTTOM}boards = ["5 in"]',
        "line 19, [planking.bottom] boards: found widths, expected no such key: only a flat bottom is laid of boards "
        "athwart",
    ),
    "boards and joints of panels": (
        FLAT_LINES,
        f'{SIDE}{FLAT}boards = ["5 in"]\njoint = "scarf"',
        "line 20, [planking.bottom] boards: found widths, and joints of panels, expected either boards, laid "
        "athwart, or "
        "joints of panels",
    ),
    "a bottom in one panel staggered": (
        FLAT_LINES,
        f"{SIDE}{FLAT}stagger = 400",
        "line 20, [planking.bottom] stagger: found a length, expected no such key: a flat bottom is one panel, "
        "with none "
        "to port to stagger from",
    ),
    "a strake that the lines do not have": (
        FLAT_LINES,
        f"{SIDE}[planking.strake_2]\nthickness = 6\n{FLAT}",
        "line 16, [planking.strake_2]: found a table, expected no such table: with the lines sheer, chine of "
        "offsets.csv "
        "the boat's strakes are 'side', 'bottom'",
    ),
    "laps of nothing": (
        FLAT_LINES,
        SIDE + FLAT + LAPS,
        'line 20, [laps]: found a table, expected a strake with chine_joint = "lapped", or no such table: no chine '
        "between two side strakes is lapped",
    ),
    "lapped, with no laps": (
        THREE,
        f'{SIDE}[planking.strake_2]\nchine_joint = "lapped"\n{FLAT}',
        "line 17, [planking.strake_2] chine_joint: found 'lapped', expected a table [laps] with the width of a lap, or "
        "another joint",
    ),
    "laps without a width": (
        THREE,
        f"{SIDE}{FLAT}[laps]\ngain = 300\n",
        "line 20, [laps] width: found nothing, expected a length such as 2-3-5, 27 5/8 in or 701.7 mm, "
        'such as width = "19 mm"',
    ),
    "bevels that must leave all of a strake": (
        THREE,
        f"{SIDE}{FLAT}{LAPS}least = 6\n",
        "line 22, [laps] least: found 6.0 mm, expected less than the thinnest lapped strake, 6.0 mm",
    ),
    "a side without a thickness": (
        THREE,
        "[planking.side]\nmaterial = 'marine plywood'\n" + FLAT,
        "line 13, [planking.side] thickness: found nothing, expected a length such as 2-3-5, 27 5/8 in or 701.7 mm, "
        'such as thickness = "9.5 mm"',
    ),
    "a bottom without a thickness": (
        V_LINES,
        SIDE + "[planking.bottom]\nmaterial = 'marine plywood'\n",
        "line 16, [planking.bottom] thickness: found nothing, expected a length such as 2-3-5, 27 5/8 in or 701.7 mm, "
        'such as thickness = "12.5 mm"',
    ),
    "no bottom": (
        V_LINES,
        SIDE,
        "line 13, [planking.bottom] thickness: found nothing, expected a length such as 2-3-5, 27 5/8 in or 701.7 mm, "
        'such as thickness = "12.5 mm"',
    ),
    "a strake of a name that none has": (
        THREE,
        f"{SIDE}[planking.strake2]\nthickness = 6\n{FLAT}",
        "line 16, [planking.strake2]: found an unknown table, expected one of 'side', 'strake_2', 'strake_3', "
        "'bottom'; "
        "did you mean 'strake_2'?",
    ),
    "a key outside the strakes' tables": (
        THREE,
        f"[planking]\nthickness = 6\n{SIDE}{FLAT}",
        "line 14, [planking.thickness]: found an unknown key, expected one of 'side', 'strake_2', 'strake_3', 'bottom'",
    ),
    "an unknown key of a strake": (
        THREE,
        f"{SIDE}[planking.strake_2]\nthick = 6\n{FLAT}",
        "line 17, [planking.strake_2] thick: found an unknown key, expected one of 'joint', 'joint_at', 'stagger', "
        "'thickness', 'material', 'chine_joint'; did you mean 'thickness'?",
    ),
    "a joint no chine has": (
        THREE,
        f'{SIDE}[planking.strake_2]\nchine_joint = "halfangle"\n{FLAT}',
        "line 17, [planking.strake_2] chine_joint: found 'halfangle', expected one of 'half angle', 'lower over "
        "upper', "
        "'upper over lower', 'lapped'; did you mean 'half angle'?",
    ),
    "a joint of the side with a strake above it": (
        THREE,
        f'{SIDE}chine_joint = "half angle"\n{FLAT}',
        "line 16, [planking.side] chine_joint: found an unknown key, expected one of 'joint', 'joint_at', 'stagger', "
        "'thickness', 'material', 'layers'; did you mean 'joint'?",
    ),
    "a strake thicker than a boat like this has": (
        THREE,
        f"{SIDE}[planking.strake_2]\nthickness = 80\n{FLAT}",
        "line 17, [planking.strake_2] thickness: found 80, expected a thickness of planking, less than 2 in (50.8 mm)",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_one_fault_of_the_planking_is_told_once_and_whole(tmp_path: Path, name: str) -> None:
    lines, tables, sentence = REFUSED[name]
    assert refused(tmp_path, lines, tables) == [f"boat.toml, {sentence}"]


def test_lapped_strakes_have_their_lines_at_the_corners_of_moulds(tmp_path: Path) -> None:
    assert refused(tmp_path, THREE, SIDE + FLAT + LAPS, "outside of planking") == [ASKED_OF_MOULDS]


def test_all_faults_of_the_planking_are_told_at_once(tmp_path: Path) -> None:
    strakes = '[planking.strake_2]\nchine_joint = "lapped"\n[planking.strake_5]\nthickness = 6\n'
    tables = f'{SIDE}{strakes}{FLAT}chine_joint = "half angle"\nkeel_joint = "half angle"\nstagger = 4\n'
    told = refused(tmp_path, THREE, tables, "outside of planking")
    assert [line.split(": found")[0] for line in told] == [
        "boat.toml, line 18, [planking.strake_5]",
        "boat.toml, line 25, [planking.bottom] keel_joint",
        "boat.toml, line 24, [planking.bottom] chine_joint",
        "boat.toml, line 26, [planking.bottom] stagger",
        "boat.toml, line 17, [planking.strake_2] chine_joint",
        "boat.toml, line 5, [boat] lines_to",
    ]

"""Sheets as a builder makes them: by the command, from boat.toml, and from a placement file he has edited."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import ezdxf
import pytest
import shapely
from boat_folders import changed
from commanded import bare_boat
from ezdxf.path import make_path

from patterns.cli.job_words import tell, warned
from patterns.cli.main import main
from patterns.job.products.wood_files import sheets_told
from patterns.shop.nest.off_sheets import Named
from patterns.shop.nest.sheets import NO_ROOM, SheetPlan

pytestmark = pytest.mark.slow

TABLES = ("stock", "router")


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Saltmeadow's panels and all else of hers that is cut from sheets. Not to be changed."""
    return bare_boat(tmp_path_factory.mktemp("plain") / "boat", *TABLES)


@pytest.fixture(scope="module")
def sheets(plain: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("nest") / "sheets"
    assert main(["nest", str(plain), "--out", str(folder)]) == 0
    return folder


def boat_with(tmp_path: Path, *changes: tuple[str, str]) -> Path:
    boat = bare_boat(tmp_path / "boat", *TABLES)
    text = (boat / "boat.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (boat / "boat.toml").write_text(text, encoding="utf-8")
    return boat


def told(capsys: pytest.CaptureFixture[str], *words: str | Path) -> tuple[int, str]:
    code = main([*map(str, words)])
    captured = capsys.readouterr()
    return code, captured.out + captured.err


def outlines(file: Path) -> list[shapely.Polygon]:
    space = ezdxf.readfile(file).modelspace()
    return [
        shapely.Polygon([(p.x, p.y) for p in make_path(entity).flattening(0.01)])
        for entity in space.query("LWPOLYLINE[layer=='cut-outside']")
    ]


def test_each_sheet_has_its_file_for_the_router_and_a_picture(sheets: Path) -> None:
    names = sorted(path.name for path in sheets.iterdir() if not path.name.startswith("."))
    kinds = (r"-[a-z-]+-\d+(\.\d+)?mm\.dxf", r"\.svg")
    for n in range(1, 5):
        assert [sum(bool(re.fullmatch(f"sheet-{n}{kind}", name)) for name in names) for kind in kinds] == [1, 1]
    assert {"placements.toml", "cut-plan.pdf"} < set(names)
    assert len(names) == 10


def test_outlines_read_back_lie_on_their_sheet_clear_of_one_another(sheets: Path) -> None:
    count = 0
    for file in sheets.glob("*.dxf"):
        parts = outlines(file)
        count += len(parts)
        room = shapely.box(12.7 - 0.01, 12.7 - 0.01, 2438.4 - 12.69, 1219.2 - 12.69)
        assert all(room.covers(part) for part in parts)
        assert all(a.distance(b) > 12.69 for i, a in enumerate(parts) for b in parts[:i])
    assert count == 6


def test_a_placement_file_is_proved_and_gives_the_same_sheets(plain: Path, sheets: Path, tmp_path: Path) -> None:
    again = tmp_path / "again"
    placements = sheets / "placements.toml"
    assert main(["nest", str(plain), "--placements", str(placements), "--out", str(again)]) == 0
    assert (again / "placements.toml").read_text() == placements.read_text()
    assert all((again / file.name).read_bytes() == file.read_bytes() for file in sheets.glob("*.dxf"))


def test_an_edited_placement_that_cannot_be_cut_is_refused_with_part_sheet_and_amount(
    plain: Path, sheets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (sheets / "placements.toml").read_text()
    edited = tmp_path / "edited.toml"
    edited.write_text(re.sub(r'(after piece, port", turn = \d+, left = [\d.]+, bottom = )[\d.]+', r"\g<1>500.0", text))
    code, words = told(capsys, "nest", plain, "--placements", edited, "--out", tmp_path / "out")
    assert code == 1
    assert re.search(
        r"edited.toml, \[\[sheet\]\] 2, side panel fore piece, starboard: overlaps side panel after piece, port by "
        r"\d+ mm², expected the gap of 12.70 mm",
        words,
    )
    assert not (tmp_path / "out").exists()


def test_every_fault_of_a_placement_file_is_told_at_once(
    plain: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "p.toml"
    file.write_text(
        '[[sheet]]\nlength = 2438.4\nwidth = "wide"\nthickness = 9.525\nmaterial = "marine plywood"\n'
        'parts = [{ name = "a", turn = 0, left = 1 }]\n[[sheet]]\nlength = 5000\nwidth = 1219.2\nthickness = 9.525\n'
        'material = "marine plywood"\nparts = []\n'
    )
    code, words = told(capsys, "nest", plain, "--placements", file)
    assert code == 1
    assert "[[sheet]] 1 width: found 'wide', expected a number" in words
    assert "[[sheet]] 1 part 1: found name, turn, left, expected name, turn, left, bottom" in words
    assert "[[sheet]] 2: found a sheet of 5000.0 by 1219.2 mm" in words


def test_a_placement_file_with_a_number_of_5000_digits_is_refused_with_its_line(
    plain: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "p.toml"
    file.write_text(f"[[sheet]]\nlength = {5000 * '1'}\n")
    code, words = told(capsys, "nest", plain, "--placements", file)
    assert code == 1
    where = f"{file}, line 2, [[sheet]] 1 length"
    assert f"{where}: found a number of 5000 digits, expected a length or a count" in " ".join(words.split())


def test_a_panel_longer_than_the_sheet_without_a_joint_is_an_error_that_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = boat_with(tmp_path, ("[planking.bottom]\n", '[planking.bottom]\njoint = "none"\n'))
    code, words = told(capsys, "loft", boat)
    assert code == 1
    assert "bottom panel: is 12' 9 7/16\" long, and the longest piece of it a sheet holds is 7' 11\", expected" in words
    assert "[planking.bottom] joint = 'scarf', 'butt block' or 'toothed' in place of 'none'" in words
    assert not (boat / "out").exists()


def test_joints_are_as_the_builder_asks(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    joints = {
        "[planking.side]\n": '[planking.side]\njoint = "butt block"\njoint_at = "7-3-0"\nstagger = "4 in"\n',
        "[planking.bottom]\n": '[planking.bottom]\njoint = "toothed"\n',
    }
    boat = changed("saltmeadow", tmp_path, joints)
    code, words = told(capsys, "nest", boat, "--verbose")
    assert code == 0, words
    words = " ".join(words.split())
    assert "Joined side panel, port: butt block 7' 3\" from the fore end between frame 3 and frame 4" in words
    assert "Joined side panel, starboard: butt block 7' 7\" from the fore end" in words
    assert "Joined bottom panel: toothed " in words
    assert 'name = "side panel butt block, port"' in (boat / "sheets" / "placements.toml").read_text()


def test_sheets_of_several_sizes_with_counts_grain_and_forbidden_strips_are_read_and_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheets = (
        'sheets = [{ length = "10 ft", width = "3 ft", thickness = "3/8 in", material = "marine plywood", count = 1, '
        'forbidden = [{ left = 0, bottom = 0, length = "3 in", width = "3 ft" }] }, '
        '{ length = "8 ft", width = "8 ft", thickness = "3/8 in", material = "marine plywood", grain = "width" }]'
    )
    boat = boat_with(tmp_path, ('sheet  = { length = "8 ft", width = "4 ft" }', sheets))
    code, words = told(capsys, "nest", boat)
    assert code == 0, words
    words = " ".join(words.split())
    assert (
        'no sheet of [stock] is 1/2" marine plywood: the nearest is 3/8" thick, 1/8" off, and 0.008 in may be. Add'
        in words
    )
    text = (boat / "sheets" / "placements.toml").read_text()
    assert text.index("length = 3048.000") < text.index("length = 2438.400")
    assert "turn = 90" in text or "turn = 270" in text


@pytest.mark.parametrize(
    ("new", "wanted"),
    [
        (
            'sheets = [{ length = "8 ft", width = "4 ft", count = 2 }]',
            "expected thickness and material of sheets that are counted",
        ),
        (
            'sheets = [{ length = "8 ft", width = "4 ft", grain = "up" }]',
            "[stock] sheets 1 grain: found 'up', expected",
        ),
        ('sheet = { length = "8 ft", width = "1 in" }', 'expected one larger than its two margins of 1/2"'),
    ],
)
def test_faults_of_sheets_are_named(tmp_path: Path, capsys: pytest.CaptureFixture[str], new: str, wanted: str) -> None:
    boat = boat_with(tmp_path, ('sheet  = { length = "8 ft", width = "4 ft" }', new))
    code, words = told(capsys, "nest", boat)
    assert code == 1
    assert wanted in words


def test_a_gap_smaller_than_the_cutter_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    boat = boat_with(tmp_path, ('gap    = "1/2 in"', 'gap    = "1/8 in"'))
    code, words = told(capsys, "nest", boat)
    assert code == 1
    assert '[router] gap: found 1/8", expected at least the cutter\'s diameter, 1/4"' in words


def test_a_boat_without_sheets_is_told_what_is_missing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    boat = boat_with(tmp_path, ('sheet  = { length = "8 ft", width = "4 ft" }', ""))
    code, words = told(capsys, "nest", boat)
    assert code == 1
    assert "boat.toml, [stock]: found no sheet, expected sheet or sheets" in words


def test_what_is_on_no_sheet_is_told_by_kind_and_what_found_no_room_by_piece(
    capsys: pytest.CaptureFixture[str],
) -> None:
    frames = [f"frame {n} side timber, {hand}" for n in (1, 2) for hand in ("port", "starboard")]
    boards = [Named(name, "pieces of frames") for name in frames]
    boards += [Named("inwale, port", "inwale"), Named("inwale, starboard", "inwale"), Named("skeg", "skeg")]
    no_room = [Named("side panel, port", "side panel"), Named("frame 1 gusset, 3 of 4", "pieces of frames")]
    left_off = [(name, "oak is solid wood") for name in boards] + [(name, NO_ROOM) for name in no_room]
    for news in sheets_told(SheetPlan(left_off=tuple(left_off)), "mm"):
        tell(news, "mm")
        for words in warned(news):
            print(words)
    # Lines too wide for a screen run on under their beginning.
    told = " ".join(line.strip() for line in capsys.readouterr().out.splitlines())
    first, second = (f"{one}".strip() for one in told.split("on no sheet, because")[1:])
    assert first.endswith("oak is solid wood: pieces of frames (4); inwale (2); skeg WARNING")
    assert second.endswith(f"{NO_ROOM}: side panel, port; frame 1 gusset, 3 of 4")


def test_a_sheet_said_to_be_thinner_than_the_parts_on_it_is_refused(
    plain: Path, sheets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edited = tmp_path / "edited.toml"
    edited.write_text((sheets / "placements.toml").read_text().replace("thickness = 12.700", "thickness = 12.0"))
    code, words = told(capsys, "nest", plain, "--placements", edited, "--out", tmp_path / "out")
    assert code == 1
    assert "edited.toml, [[sheet]] 3, the sheet itself: is 12 mm marine plywood, expected 12.7 mm" in words
    assert not (tmp_path / "out").exists()


def test_a_placement_file_edited_by_hand_is_never_written_over(
    plain: Path, sheets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out" / "router"
    shutil.copytree(sheets, folder)
    file = folder / "placements.toml"
    file.write_text(mine := file.read_text().replace("left = ", "left = 0", 1))
    for words in (("nest", plain, "--out", folder), ("loft", plain, "--out", folder.parent)):
        code, said = told(capsys, *words)
        assert code == 1
        assert "placements.toml: has been edited since it was written" in " ".join(said.split())
        assert file.read_text() == mine


def test_a_strip_right_across_the_sheet_shortens_what_a_panel_may_be(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    strips = (
        'sheets = [{ length = "8 ft", width = "4 ft", forbidden = ['
        '{ left = 0, bottom = 0, length = "3 in", width = "4 ft" }, '
        '{ left = "6 ft", bottom = 0, length = "2 ft", width = "4 ft" }] }]'
    )
    boat = boat_with(tmp_path, ('sheet  = { length = "8 ft", width = "4 ft" }', strips))
    code, words = told(capsys, "nest", boat)
    assert code == 0, words
    assert NO_ROOM not in " ".join(words.split())
    for file in (boat / "sheets").glob("*.dxf"):
        square = ezdxf.readfile(file).modelspace().query("LWPOLYLINE[layer=='mark']")
        everything = [(x, y) for line in square for x, y in line.get_points("xy")]
        assert all(76.2 <= x <= 1828.8 for x, _ in everything)


def test_the_placement_file_that_sheets_are_made_by_is_kept_and_the_new_one_is_named(
    plain: Path, sheets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "sheets"
    shutil.copytree(sheets, folder)
    file = folder / "placements.toml"
    file.write_text(mine := f"# my order\n{file.read_text(encoding='utf-8')}", encoding="utf-8")
    code, said = told(capsys, "nest", plain, "--placements", file, "--out", folder)
    assert code == 0, said
    assert file.read_text(encoding="utf-8") == mine
    assert f"{folder}/placements-new.toml." in " ".join(said.split())
    assert (folder / "placements-new.toml").read_text(encoding="utf-8") in mine


def test_sheets_are_not_made_in_a_folder_whose_list_is_damaged(
    plain: Path, sheets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "sheets"
    shutil.copytree(sheets, folder)
    (folder / ".scrieve-files").write_bytes(b"\x00")
    code, said = told(capsys, "nest", plain, "--out", folder)
    assert code == 1
    assert said.startswith(
        f"scrieve: nothing was written.\n{folder}/.scrieve-files: found a list without its last line"
    )


def test_fair_tells_of_the_parts_that_no_sheet_holds_as_nest_does(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    narrow = {'sheet  = { length = "8 ft", width = "4 ft" }': 'sheet  = { length = "8 ft", width = "2 ft" }'}
    boat = changed("saltmeadow", tmp_path / "boat", narrow)
    warnings = [
        re.findall(rf"WARNING on no sheet, because {NO_ROOM}.*(?:\n +.*)*", told(capsys, *words)[1])
        for words in (("fair", boat), ("nest", boat, "--out", tmp_path / "sheets"))
    ]
    assert warnings[0] == warnings[1]
    assert "bottom panel" in warnings[0][0]
    assert "gusset" not in warnings[0][0]


def test_fair_says_nothing_of_sheets_that_hold_every_part(plain: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert NO_ROOM not in " ".join(told(capsys, "fair", plain)[1].split())

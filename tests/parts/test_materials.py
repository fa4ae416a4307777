"""What a part is made of decides what it is cut from: nothing is left off the sheets without a word and its cure."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from boat_folders import EVERYTHING, changed
from commanded import bare_boat
from sample_jobs import SAMPLES

from patterns.cli.main import main
from patterns.parts.materials import NOT_STATED, Plywood
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.shop.nest.off_sheets import WhyOff, cautions_of_sheets, why_off
from patterns.shop.nest.sheet_stock import Clearances, SheetRoom, SheetStock

ANY_MATERIAL = r"(?m)^(\w*material\s*=.*)$"


def without_materials(sample: str, folder: Path, more: str = "") -> Path:
    boat = changed(sample, folder, {}, more=more)
    text = (boat / "boat.toml").read_text(encoding="utf-8")
    text = re.sub(r"\[\[(?:wood|stock\.yard)\]\][^\n]*\n(?:.+\n)+", "", text)
    text = re.sub(r', material = "[^"]*"', "", text)
    (boat / "boat.toml").write_text(re.sub(ANY_MATERIAL, "", text), encoding="utf-8")
    return boat


def with_key(boat: Path, key: str) -> None:
    """Write what a warning asks for: ``[planking.side] material`` becomes a key of that table, of each of its kind."""
    table, _, name = key.rpartition(" ")
    text = (boat / "boat.toml").read_text(encoding="utf-8")
    assert table in text, table
    text = re.sub(rf"(?m)^{re.escape(table)}.*$", rf'{table}\n{name} = "marine plywood"', text)
    tomllib.loads(text)
    (boat / "boat.toml").write_text(text, encoding="utf-8")


def lofted(boat: Path) -> tuple[BoatFile, Job]:
    read = read_boat(boat)
    return read, loft(read.boat)


def warned(read: BoatFile, job: Job) -> list[str]:
    return [f"{one.where}: {one.text}" for one in cautions_of_sheets(job.to_cut, read.sheets, job.boat.show)]


@pytest.mark.slow
@pytest.mark.parametrize(("sample", "more"), [*((name, "") for name in SAMPLES), ("duckweed", EVERYTHING)])
def test_writing_the_keys_that_are_told_states_the_material_of_every_part(
    tmp_path: Path, sample: str, more: str
) -> None:
    boat = without_materials(sample, tmp_path, more)
    read, job = lofted(boat)
    assert {part.material for part in job.to_cut} == {NOT_STATED}
    [told] = warned(read, job)
    keys = dict.fromkeys(re.findall(r"\((\[+[a-z_.]+\]+ \w+)\)", told))
    assert len(keys) == len({part.material_key for part in job.to_cut}) >= 7
    for key in keys:
        with_key(boat, key)
    read, job = lofted(boat)
    assert {part.material for part in job.to_cut} == {"marine plywood"}
    assert warned(read, job) == []


@pytest.mark.slow
def test_fair_nest_and_loft_warn_of_parts_without_a_material_and_so_does_the_book(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = bare_boat(tmp_path / "boat", "stock")
    parts = "transom ([transom] material); stem ([stem] material)"
    wanted = f"WARNING material: not stated for {parts}. These parts are on no sheet."
    sheets, out = str(tmp_path / "s"), str(tmp_path / "out")
    for command in (["fair"], ["nest", "--out", sheets], ["loft", "--only", "stem", "--out", out]):
        assert main([command[0], str(boat), *command[1:]]) == 0
        assert wanted in " ".join(capsys.readouterr().err.split()), command
    book = " ".join((tmp_path / "out" / "book.html").read_text(encoding="utf-8").split())
    assert wanted.removeprefix("WARNING ") in book


@pytest.mark.slow
def test_sheets_that_nothing_is_laid_on_are_refused_with_the_reason_and_the_cure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = without_materials("duckweed", tmp_path / "boat")
    assert main(["loft", str(boat), "--only", "transom", "--out", str(tmp_path / "out")]) == 0
    assert "Sheets none: no part is of the material" in capsys.readouterr().out
    assert main(["nest", str(boat), "--out", str(tmp_path / "sheets")]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert "boat.toml, [stock]: found no part that its sheets hold, expected at least one. The reasons:" in said
    assert "([planking.side] material)" in said
    assert "Write each key" in said
    assert not (tmp_path / "sheets").exists()


@pytest.mark.parametrize(
    "stock",
    [
        'sheet = { length = 2440, width = 1220 }\nplywood = ["Okoume  marine"]',
        'sheets = [{ length = 2440, width = 1220, material = "okoume marine" }]',
    ],
)
def test_a_plywood_of_any_name_is_joined_nested_and_never_grown(tmp_path: Path, stock: str) -> None:
    boat = changed("duckweed", tmp_path, {"sheet = { length = 2440, width = 1220 }": stock})
    text = (boat / "boat.toml").read_text(encoding="utf-8")
    (boat / "boat.toml").write_text(text.replace('"marine plywood"', '"okoume marine"'), encoding="utf-8")
    read, job = lofted(boat)
    room = read.sheets
    assert room is not None
    assert [joined.panel.name for joined in job.long_panels.joined] == ["side panel", "side panel"]
    panels = [part for part in job.to_cut if "panel" in part.name]
    assert len(panels) == 5
    assert [why_off(part, room) for part in panels] == [None] * 5
    assert warned(read, job) == []
    knees = [part for part in job.parts if "knee" in part.name]
    assert knees
    assert all(part.grain.startswith("face grain") for part in knees)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("key", "material", "parts", "because"),
    [
        ("gusset_material = ", "okoume marine", "pieces of frames", "is neither among the sheets nor among the boards"),
        ("gusset_material = ", "plywood", "pieces of frames", "is neither among the sheets nor among the boards"),
        # A wood of the handbook, and the plywood sold by its name.
        ("# as measured; sold as 6\nmaterial  = ", "okoume", "side panel", "counts as solid wood, so it is neither"),
    ],
)
def test_a_material_that_is_neither_sheet_nor_board_is_told_with_a_line_that_mends_it(
    tmp_path: Path, key: str, material: str, parts: str, because: str
) -> None:
    boat = changed("duckweed", tmp_path, {f'{key}"marine plywood"': f'{key}"{material}"'})
    read, job = lofted(boat)
    [told] = warned(read, job)
    assert told.startswith(f"{parts} (")
    assert f"): {material} {because}" in told
    [line] = re.findall(r"write (plywood = \[.*?\]) in \[stock\]", told)
    text = (boat / "boat.toml").read_text(encoding="utf-8")
    (boat / "boat.toml").write_text(text.replace("[stock]", f"[stock]\n{line}"), encoding="utf-8")
    read, job = lofted(boat)
    assert warned(read, job) == []
    assert len(job.long_panels.joined) == 2


def test_what_panels_are_made_of_is_plywood_where_nothing_else_is_said_and_is_told(tmp_path: Path) -> None:
    side = '# as measured; sold as 6\nmaterial  = "marine plywood"'
    read = read_boat(changed("duckweed", tmp_path, {side: '\nmaterial = "Okoume  marine"'}))
    assert read.sheets is not None
    assert "okoume marine" in read.sheets.plywood
    told = {default.key: default.value for default in read.defaults}
    assert told["[stock] plywood"] == "Okoume marine, marine plywood"


@pytest.mark.slow
def test_wood_of_the_builders_boards_is_no_plywood_whatever_its_name(tmp_path: Path) -> None:
    boards = 'boards = [{ length = 3000, width = 200, thickness = 30, material = "iroko" }]'
    for more, solid in (("", False), (boards, True)):
        log = 'material = "Douglas fir"\n\n[[thwart]]'
        changes = {log: log.replace("Douglas fir", "iroko"), "scarf = 8": f"scarf = 8\n{more}"}
        read, job = lofted(changed("duckweed", tmp_path, changes))
        assert bool(warned(read, job)) != solid
        wood = next(part for part in job.parts if part.name == "chine log")
        assert read.sheets is not None
        assert why_off(wood, read.sheets) is (WhyOff.SOLID if solid else WhyOff.UNKNOWN)


@pytest.mark.parametrize(
    ("show", "told"),
    [
        ("mm", "9.1 mm marine plywood: the nearest is 6.0 mm thick"),
        ("in-16ths", "0.358 in marine plywood: the nearest is 0.236 in thick"),
    ],
)
def test_the_nearest_sheet_is_told_where_none_is_as_thick(tmp_path: Path, show: str, told: str) -> None:
    same = 'length = 2440, width = 1220, material = "marine plywood"'
    sheets = f"sheets = [{', '.join(f'{{ {same}, thickness = {mm} }}' for mm in (4, 6, 18))}]"
    changes = {"sheet = { length = 2440, width = 1220 }": sheets, 'show        = "mm"': f'show = "{show}"'}
    boat = changed("duckweed", tmp_path, changes)
    read, job = lofted(boat)
    found = [one for one in warned(read, job) if one.startswith("bottom panel")]
    assert len(found) == 1
    assert told in found[0]


def test_a_whole_name_says_what_is_plywood_and_no_word_in_it() -> None:
    kinds = Plywood(frozenset({"marine plywood"}))
    assert all(name in kinds for name in ("marine plywood", "Marine  PLYWOOD"))
    assert not any(name in kinds for name in ("marine plywood 9", "plywood", "oak, not plywood", NOT_STATED))
    listed = Plywood(frozenset({"okoume"}))
    room = SheetRoom((SheetStock(2440.0, 1220.0),), Clearances(10.0, 10.0), listed)
    assert room.sheets_for("okoume", 9.0)
    assert not room.sheets_for("marine plywood", 9.0)

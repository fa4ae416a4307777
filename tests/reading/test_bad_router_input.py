"""What [router], [stock] and [[grain]] ask that no shop can cut is refused by its key, or warned of, in a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from boat_folders import changed
from sample_jobs import sample

from patterns.errors import InputError, PatternsError
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.nest.off_sheets import cautions_of_sheets
from patterns.shop.router.router_parts import cautions_of, ready_to_cut

SHEET = "sheet = { length = 2440, width = 1220 }"
SIZE = "length = 2440, width = 1220"


def read_with(folder: Path, *, router: str = "", stock: str = SHEET, more: str = "") -> Path:
    table = f"[router]\n{router}\n" if router else ""
    return changed("duckweed", folder, {SHEET: stock}, more=table + more)


BAD_ROUTER = [
    ("cutter = 0", "cutter: found 0, expected a length of more than 0"),
    ('cutter = "1/4"', "cutter: found '1/4', expected mm in decimals, or a length such as"),
    ('cutter = "six mm"', "cutter: found 'six mm', expected a length such as"),
    ("cutter = 400", "cutter: found 400.0 mm, expected at most 50.8 mm: no router"),
    (
        'cut = "net line"',
        "cut: found 'net line', expected one of 'larger face', 'finished line', 'smaller face'; did you",
    ),
    ("relief = true", "relief: found true, expected one of 'at the corner'"),
    ("clearance = -0.1", "clearance: found -0.1, expected a length of 0 or more"),
    ("tabs = -1", "tabs: found -1, expected a whole number from 0 to 100"),
    ("tabs = 1000", "tabs: found 1000, expected a whole number from 0 to 100"),
    ("tabs = 4\ntab_length = 0", "tab_length: found 0, expected a length of more than 0"),
    (
        "tabs = 4\ntab_height = 6.2",
        "tab_height: found 6.2 mm, expected less than 6.2 mm, the thickness of the thinnest",
    ),
    ("skin = 6", "skin: found 6.0 mm, expected at most 3.1 mm, half the thinnest wood ([planking.side] thickness)"),
    ("skin = 1\ntabs = 3", "skin: found 1.0 mm, expected either skin or tabs: leave one of them out"),
    ('index = "a"', "index: found 'a', expected a length such as"),
    ("index = 300", "index: found 300.0 mm, expected 2.0 mm to 25.4 mm: a dowel must fit in the hole"),
    ("index = 0.4", "index: found 0.4 mm, expected 2.0 mm to 25.4 mm"),
    ("pilot = 40", "pilot: found 40.0 mm, expected at most 16.0 mm, within the frames' thickness of 18.0 mm"),
    ("pilot = 2.4\npilot_edge = 0.75", "pilot_edge: found 0.75 mm, expected at least 2.2 mm for holes of 2.4 mm"),
    (
        "pilot = 2.4\npilot_spacing = 1",
        "pilot_spacing: found 1.0 mm, expected at least two diameters of the pilot holes",
    ),
    ("pilot = 2.4\nframe_spacing = 2", "frame_spacing: found 2.0 mm, expected at least two diameters of the pilot"),
    ("gap = 1\ncutter = 6", "gap: found 1.0 mm, expected at least the cutter's diameter, 6.0 mm"),
    ("margin = -2", "margin: found -2, expected a length of 0 or more"),
    ("tooth_clearance = 3", "tooth_clearance: found 3.0 mm, expected at most 2.0 mm: glue holds no wider gap"),
    ("grain_within = 200", "grain_within: found 200, expected degrees from 0 to 60"),
    ('lettering = "some"', "lettering: found 'some', expected one of 'full', 'short', 'none'"),
    ('dxf = "R14"', "dxf: found 'R14', expected one of 'r2000', 'r12'; did you mean 'r12'?"),
    ('svg = "yes"', "svg: found 'yes', expected true or false"),
    ('layers = { marks = "A" }', "layers marks: found an unknown key, expected one of 'cut_outside'"),
    (
        'layers = { mark = "drill" }',
        "layers mark: found 'drill', expected another name: the layer drill has this one too, and the shop could",
    ),
    ("tab_hight = 3", "tab_hight: found an unknown key, expected one of 'cutter'"),
]
BAD_STOCK = [
    (
        "sheet = { length = 1220, width = 2440 }",
        "sheet length: found 1220.0 mm, expected at least its width, 2440.0 mm",
    ),
    ("sheet = { length = 2440 }", "sheet width: found nothing, expected a length"),
    (
        "sheet = { length = 20, width = 10 }",
        "sheet: found a sheet of 20.0 mm by 10.0 mm, expected one larger than its two",
    ),
    ("sheets = []", "sheets: found no sheet, expected at least one, or the key left out"),
    (
        f"sheets = [{{ {SIZE}, count = 2 }}]",
        "sheets 1: found count and no thickness and no material, expected thickness and material of sheets that are",
    ),
    (f'sheets = [{{ {SIZE}, grain = "up" }}]', "sheets 1 grain: found 'up', expected one of 'length', 'width', 'none'"),
    (
        f"sheets = [{{ {SIZE}, forbidden = [{{ left = 2400, bottom = 0, length = 90, width = 5 }}] }}]",
        "forbidden 1 length: found a strip that ends 2490.0 mm from the sheet's left edge, expected at most",
    ),
    (
        f"sheets = [{{ {SIZE}, forbidden = [{{ left = -5, bottom = 0, length = 90, width = 5 }}] }}]",
        "sheets 1 forbidden 1 left: found -5, expected a length of 0 or more",
    ),
    (f"plywood = [3]\n{SHEET}", "plywood 1: found 3, expected a word or more, in quotes"),
    (f"{SHEET}\nbutt = -1", "butt: found -1, expected length over thickness, from 1 to 50"),
]


@pytest.mark.parametrize(("router", "told"), BAD_ROUTER)
def test_a_size_or_word_no_shop_can_use_is_refused_by_its_key(tmp_path: Path, router: str, told: str) -> None:
    with pytest.raises(InputError) as refused:
        read_boat(read_with(tmp_path, router=router))
    messages = list(map(str, refused.value.problems))
    assert any(f", [router] {told}" in message for message in messages), messages
    assert all(message.startswith("boat.toml, line ") for message in messages)


@pytest.mark.parametrize(("stock", "told"), BAD_STOCK)
def test_a_sheet_no_shop_can_use_is_refused_by_its_key(tmp_path: Path, stock: str, told: str) -> None:
    with pytest.raises(InputError) as refused:
        read_boat(read_with(tmp_path, stock=stock))
    messages = list(map(str, refused.value.problems))
    assert any("[stock] " in message and told in message for message in messages), messages


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (
            '[[grain]]\npart = "rudder"\nlies = "along"',
            "boat.toml, [[grain]] part: found 'rudder', expected a part of this boat, such",
        ),
        (
            '[[grain]]\npart = "thwart"\nlies = "up"',
            "[[grain]] 1 lies: found 'up', expected one of 'along', 'across', 'any'",
        ),
        ('[[grain]]\nlies = "any"', 'part = "thwart"  # a part'),
    ],
)
def test_a_grain_that_cannot_be_laid_is_refused(tmp_path: Path, more: str, told: str) -> None:
    with pytest.raises(PatternsError) as refused:
        loft(read_boat(read_with(tmp_path, more=more)).boat)
    assert told in str(refused.value)


def test_a_clearance_that_eats_a_notch_is_refused_by_part_and_key(tmp_path: Path) -> None:
    read = read_boat(read_with(tmp_path, router="clearance = 40"))
    frames = [part for part in sample("duckweed")[1].to_cut if part.name == "frame 4"]
    with pytest.raises(PatternsError) as refused:
        ready_to_cut(frames, read.router, boat="Duckweed", show="mm")
    assert str(refused.value) == (
        "frame 4: clearance of 40.0 mm under [router] leaves it no clean outline; expected less: make clearance smaller"
    )


@pytest.mark.parametrize(
    ("router", "where", "told"),
    [
        ("tabs = 4\ntab_length = 3000", "bottom panel", "only 0 of 4 tabs have a place clear of corners"),
        ("pilot = 2.4\npilot_edge = 5000", "bottom panel", "no pilot hole has room so far from the planed edges"),
        ("index = 25", "frame 2 gusset", "no room for two index holes where it joins the floor timber"),
        ("cutter = 40", "frame 2 gusset", "an inside corner is sharp for the 40.0 mm cutter at"),
    ],
)
def test_what_is_asked_for_and_finds_no_room_is_a_warning(tmp_path: Path, router: str, where: str, told: str) -> None:
    read = read_boat(read_with(tmp_path, router=router))
    parts = [one for one in sample("duckweed")[1].to_cut if one.name == "bottom panel" or one.of == "frame 2"]
    warned = cautions_of(ready_to_cut(parts, read.router, boat="Duckweed", show="mm"))
    assert any(where in one.where and one.text.startswith(told) for one in warned), warned


@pytest.mark.parametrize(
    ("stock", "told"),
    [
        (f"plywood = []\n{SHEET}", 'If it is plywood, write plywood = ["marine plywood"] in [stock]'),
        (
            f'sheets = [{{ {SIZE}, material = "birch ply" }}]',
            "no sheet of [stock] is marine plywood: there is birch ply.",
        ),
        (f"sheets = [{{ {SIZE}, thickness = 6.0 }}]", "9.1 mm marine plywood: the nearest is 6.0 mm thick"),
    ],
)
def test_parts_that_no_sheet_is_for_are_a_warning_with_what_there_is(tmp_path: Path, stock: str, told: str) -> None:
    read = read_boat(read_with(tmp_path, stock=stock))
    warned = cautions_of_sheets(sample("duckweed")[1].to_cut, read.sheets, "mm")
    assert any("bottom panel" in one.where and told in one.text for one in warned), warned

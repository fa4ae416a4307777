"""Names a builder chooses: lettered in his own alphabet, or refused where he wrote them."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from pathlib import Path

import plate_parts
import pypdfium2
import pytest
from changed_saltmeadow import faults, read
from commanded import SALTMEADOW, bare_boat, scrieve_here
from hypothesis import given
from hypothesis import strategies as st

from patterns.drawing.engraving import in_file_name
from patterns.drawing.text import capitals, unlettered
from patterns.reading.names import LONGEST_LABEL
from patterns.reading.wording import printable
from patterns.shop.router.router_parts import router_file_name
from patterns.writing.ink.ids import plain_id

NEEDS = "expected Latin, Greek or Cyrillic letters, digits and common signs; no page can show"
STRINGER = '\n[[stringer]]\nname = {}\nsided = "1/2 in"\nmoulded = "1 in"\nbelow_sheer = "5 in"\n'


def with_stringers(*names: str) -> tuple[str, str]:
    return "\n[printer]", "".join(STRINGER.format(f'"{name}"') for name in names) + "\n[printer]"


@pytest.mark.parametrize("name", ["Чайка", "Πέρδικα", "Ångström’s «Đấu» 5½", "Þórður æ", "Gəmi ŋ"])
def test_names_of_three_alphabets_are_taken_as_they_are(tmp_path: Path, name: str) -> None:
    boat = read(
        tmp_path,
        ('"Saltmeadow"', f'"{name}"'),
        ('"2", "3"', f'"2", "{name}"'),
        with_stringers(name),
        table=((",3,", f",{name},"),),
    ).boat
    assert boat.name == name
    assert boat.offsets.columns[3] == name
    assert boat.frames is not None
    assert boat.frames.places[2].name == name
    assert boat.long.stringers[0].name == name


def test_a_table_whose_title_no_sheet_can_show_is_refused_at_its_cell(tmp_path: Path) -> None:
    [told] = faults(tmp_path, table=(("Saltmeadow", "舟"),))
    assert told == f"offsets.csv, row 1: found '舟', {NEEDS} '舟': spell it without"


@pytest.mark.parametrize(("name", "wanted"), [("舟.csv", f"{NEEDS} '舟'"), ("o" * 501, "expected at most 500 letters")])
def test_a_file_of_offsets_no_sheet_can_name_is_refused_at_its_key(tmp_path: Path, name: str, wanted: str) -> None:
    told = faults(tmp_path, ('"offsets.csv"', f'"{name}"'))
    assert any("[boat] offsets: found" in line and wanted in line for line in told)


def test_letters_typed_apart_from_their_accents_are_the_same_letters(tmp_path: Path) -> None:
    apart = unicodedata.normalize("NFD", "Née")
    boat = read(tmp_path, ('"2", "3"', f'"2", "{apart}"'), table=((",3,", ",Née,"),)).boat
    assert boat.offsets.columns[3] == "Née"
    assert boat.frames is not None
    assert "Née" in [place.name for place in boat.frames.places]


@pytest.mark.parametrize(
    ("typed", "shown", "strange"),
    [
        ("舟 Sea", "舟 Sea", "'舟'"),
        ("Sea 🛶", "Sea 🛶", "'🛶'"),
        (r"Se\u0007a", r"Se\u0007a", "the invisible character U+0007"),
        (r"Sea\u001B[31m", r"Sea\u001B[31m", "the invisible character U+001B"),
        (r"Sea\u200B", r"Sea\u200B", "the invisible character U+200B"),
        ("קרש", "קרש", "'ק', 'ר', 'ש'"),
    ],
)
def test_a_name_no_sheet_can_show_is_refused_at_its_key(tmp_path: Path, typed: str, shown: str, strange: str) -> None:
    told = faults(
        tmp_path,
        ('"Saltmeadow"', f'"{typed}"'),
        ('"marine plywood"', f'"{typed}"'),
        with_stringers(typed),
    )
    ends = [f"found '{shown}', {NEEDS} {strange}: spell it without"] * 3
    assert [line.split(": ", 1)[1] for line in told] == ends
    assert [line.split(": ", 1)[0].split(", ", 2)[2] for line in told] == [
        "[boat] name",
        "[transom] material",
        "[[stringer]] 1 name",
    ]


def test_a_station_no_sheet_can_show_is_refused_at_its_cell_and_where_a_frame_names_it(tmp_path: Path) -> None:
    told = faults(tmp_path, ('"2", "3"', '"2", "舟"'), table=((",3,", ",舟,"),))
    assert told[0].endswith(f"[frames] stations: found '舟', {NEEDS} '舟': spell it without")
    assert told[1] == f"offsets.csv, row 1, column '舟': found '舟', {NEEDS} '舟': spell it without"
    [told] = faults(tmp_path, ('"2", "3"', '"2"'), table=((",3,", ',"a\x1b[2J",'),))
    assert told.startswith(r"offsets.csv, row 1, column 'a\u001B[2J': found 'a\u001B[2J'")


def test_names_too_long_for_a_heading_or_a_file_are_refused(tmp_path: Path) -> None:
    told = faults(tmp_path, ('"Saltmeadow"', f'"{"Ж" * 61}"'), with_stringers("x" * 120))
    assert [line.split("expected ")[1] for line in told] == [
        "at most 60 letters and signs; this has 61: shorten it",
        "at most 60 letters and signs; this has 120: shorten it",
    ]
    [told] = faults(tmp_path, ('"2", "3"', '"2"'), table=((",3,", f",{'W' * 120},"),))
    assert told == (
        f"offsets.csv, row 1, column '{'W' * 40} ...': found '{'W' * 40} ...', "
        f"expected at most {LONGEST_LABEL} letters and signs; this has 120: shorten it"
    )
    read(tmp_path, ('"2", "3"', '"2"'), table=((",3,", f",{'W' * LONGEST_LABEL},"),))


def test_stations_and_stringers_whose_files_would_be_one_are_told_apart(tmp_path: Path) -> None:
    [told] = faults(tmp_path, ('"2", "3"', '"2"'), table=((",3,4,", ",a/b,a b,"),))
    assert told.endswith(
        "found 'a b', expected a name that differs from 'a/b' in its letters or digits: files are named by them"
    )
    boat = read(tmp_path, with_stringers("Shelf", "shelf!")).boat
    assert [rules.name for rules in boat.long.stringers] == ["Shelf 1", "shelf! 2"]
    for taken in ("side panel", "Frame 1 side timber", "chine log", "RISER"):
        [told] = faults(tmp_path, with_stringers(taken))
        assert told.endswith(
            f"[[stringer]] 1 name: found '{taken}', expected a name that no other part of the boat has"
        )
    [told] = faults(tmp_path, with_stringers("a", "a", "a 1"))
    assert "[[stringer]] 3 name: found 'a 1'" in told


def test_a_name_of_signs_alone_names_no_file(tmp_path: Path) -> None:
    [told] = faults(tmp_path, with_stringers("?!"))
    assert told.endswith("[[stringer]] 1 name: found '?!', expected a letter or a digit in the name")


def test_a_diagonal_is_named_in_letters_too(tmp_path: Path) -> None:
    row = "diagonal 舟" + ",1-0-0" * 8
    [told] = faults(tmp_path, table=((OFFSETS_END, f"{OFFSETS_END}{row}\n"),))
    assert f"{NEEDS} '舟'" in told


OFFSETS_END = (SALTMEADOW / "offsets.csv").read_text(encoding="utf-8").splitlines()[-1] + "\n"


@pytest.mark.parametrize("letter", ["W", "Ж", "ấ", "ᾮ"])
def test_the_longest_names_give_a_file_name_every_disk_takes(letter: str) -> None:
    part = replace(plate_parts.rail(), name=letter * 60, material=letter * 60)
    name = router_file_name(part, letter * 60)
    assert len(f"whole/{name}.dxf".encode()) <= 255
    assert in_file_name(letter * 60) in name
    assert len(f"{part.file_name}-after-end-block.svg".encode()) <= 255


def test_two_names_of_other_alphabets_have_two_ids() -> None:
    assert len({plain_id(f"frame {letter}, port") for letter in "жщяαβ3"}) == 6


@pytest.mark.slow
@given(st.text())
def test_capitals_never_lose_a_letter_the_lettering_has(text: str) -> None:
    kept = "".join(letter for letter in text if not unlettered(letter))
    assert not unlettered(capitals(kept))
    assert printable(text).isprintable()


def test_greek_letters_without_a_capital_stay_small() -> None:
    assert capitals("ΐ όrß") == "ΐ ΌRSS"


@pytest.mark.slow
def test_a_boat_named_in_cyrillic_has_her_name_on_every_sheet(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "лодка")
    text = (boat / "boat.toml").read_text(encoding="utf-8")
    text = (
        text.replace('"Saltmeadow"', '"Чайка"')
        .replace('"marine plywood"', '"берёзовая фанера"')
        .replace('["4"]', '["Πέντε"]')
    )
    (boat / "boat.toml").write_text(text, encoding="utf-8")
    table = (boat / "offsets.csv").read_text(encoding="utf-8")
    (boat / "offsets.csv").write_text(table.replace(",4,", ",Πέντε,", 1), encoding="utf-8")
    ran = scrieve_here("loft", boat, "--out", tmp_path / "out", settings=tmp_path)
    assert ran.returncode == 0, ran.stderr
    for file in sorted((tmp_path / "out").rglob("*.pdf")):
        data = file.read_bytes()
        words = " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data))
        assert "□" not in words, file
        assert "Чайка" in words, file
    assert "mould Πέντε" in (tmp_path / "out" / "book.html").read_text(encoding="utf-8")
    assert len(list((tmp_path / "out" / "router").glob("чайка-mould-πέντε-*.dxf"))) == 1
    # The letters used are embedded, not the whole lettering.
    assert (tmp_path / "out" / "book.pdf").stat().st_size < 250_000

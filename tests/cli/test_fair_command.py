"""``scrieve fair`` as a builder runs it."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest
from commanded import ROOT, SALTMEADOW, bare_boat, scrieve_here

from patterns.cli.main import main
from patterns.hull.fairness import Fault, Unfair
from patterns.parts.cautions import unfair_told

pytestmark = pytest.mark.slow

VOID = {"meta", "link", "br", "img"}


class Nesting(HTMLParser):
    """Whether every element is closed in its turn; the ids met on the way."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.loaded: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        self.ids += [said["id"] or ""] if "id" in said else []
        self.loaded += [said[key] or "" for key in ("src", "href") if key in said]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.ids += [value or "" for key, value in attrs if key == "id"]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Saltmeadow's table, with few parts: what fair says of the lines hangs on no others. Not to be changed."""
    return bare_boat(tmp_path_factory.mktemp("plain") / "boat")


@pytest.fixture(scope="module")
def faired(plain: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Its lines drawn in a folder, and what was told on the way."""
    out = tmp_path_factory.mktemp("fair") / "out"
    done = scrieve_here("fair", plain, "--out", out, "--verbose")
    assert done.returncode == 0
    return out, done.stdout


@pytest.fixture
def folder(faired: tuple[Path, str]) -> Path:
    return faired[0]


def test_without_out_the_lines_are_drawn_beside_the_boats_files(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = bare_boat(tmp_path / "boat")
    assert main(["fair", str(boat), "--verbose"]) == 0
    assert sorted(path.name for path in boat.iterdir()) == ["boat.toml", "lines", "offsets.csv"]
    assert (boat / "lines" / "lines.pdf").is_file()
    told = capsys.readouterr().out
    assert re.search(r"chine  heights +1 +0-2-7 +0-2-7\+ +\+1/16\" +\+0\.\d{3} in\n", told)
    table = told[told.index("offsets moved") : told.index("\nDrawn")]
    assert max(map(len, table.splitlines())) <= 80


def test_the_page_is_whole_and_loads_nothing(folder: Path) -> None:
    page = Nesting()
    page.feed((folder / "lines.html").read_text())
    assert page.open == []
    assert len(page.ids) == len(set(page.ids)) > 10
    assert all(target.startswith("#") for target in page.loaded)


def test_the_faired_table_reads_back_as_a_fair_boat(folder: Path, tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    shutil.copy(folder / "offsets-faired.csv", boat / "offsets.csv")
    assert main(["fair", str(boat), "--out", str(tmp_path / "again")]) == 0
    first, second = (f.joinpath("offsets-faired.csv").read_text() for f in (folder, tmp_path / "again"))
    assert [line.count(",") for line in first.splitlines()] == [line.count(",") for line in second.splitlines()]


def test_the_same_boat_gives_the_same_bytes(plain: Path, folder: Path, tmp_path: Path) -> None:
    assert main(["fair", str(plain), "--out", str(tmp_path / "out")]) == 0
    for name in ("lines.html", "lines.pdf", "offsets-faired.csv"):
        assert (tmp_path / "out" / name).read_bytes() == (folder / name).read_bytes()


def test_bad_input_leaves_the_last_page_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    boat, out = bare_boat(tmp_path / "boat"), tmp_path / "out"
    assert main(["fair", str(boat), "--out", str(out)]) == 0
    kept = (out / "lines.html").read_bytes()
    table = boat / "offsets.csv"
    table.write_text(table.read_text().replace("2-0-4,1-10-5", "2-13-4,1-10-9"))
    assert main(["fair", str(boat), "--out", str(out)]) == 1
    assert (out / "lines.html").read_bytes() == kept
    told = capsys.readouterr().err
    assert "offsets.csv, row 4, column '2': found '2-13-4', expected inches from 0 to 11" in told
    assert "offsets.csv, row 4, column '3': found '1-10-9', expected eighths from 0 to 7" in told


def test_what_the_builder_typed_is_escaped_on_the_page(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace('"Saltmeadow"', '"<b>Salt & Söhne</b>"'))
    assert main(["fair", str(boat), "--out", str(tmp_path / "out"), "--verbose"]) == 0
    page = (tmp_path / "out" / "lines.html").read_text()
    assert "<b>" not in page
    assert "&lt;b&gt;Salt &amp; Söhne" in page


def faulty(folder: Path, *changes: tuple[str, str]) -> Path:
    bare_boat(folder)
    table = folder / "offsets.csv"
    text = table.read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    table.write_text(text)
    return folder


def test_a_misprint_is_named_with_its_row_and_what_it_may_have_been(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = faulty(tmp_path / "boat", ("1-8-3,2-1-2", "1-8-3,2-7-2"), ("0-2-7,0-1-0", "0-2-7,1-1-0"))
    assert main(["fair", str(boat), "--out", str(tmp_path / "out"), "--verbose"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert re.search(r"- row 5, chine heights at 2: 1-1-0 lies 1' 0( 1/\d+)?\" above the fair curve of the ", told)
    assert "one foot too much? did you mean 0-1-0?" in told
    assert "row 7, sheer half-breadths at 3: 2-7-2 lies" in told
    assert "did you mean 2-1-2?" in told
    page = (tmp_path / "out" / "lines.html").read_text()
    assert "did you mean 0-1-0?" in page
    assert page.count("A ring is drawn round an offset in doubt.") == 2  # profile and half-breadth plan


def test_a_reader_that_goes_away_leaves_no_traceback(tmp_path: Path) -> None:
    words = [sys.executable, "-m", "patterns.cli.main", "fair", str(SALTMEADOW), "--out", str(tmp_path / "out")]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as run:
        assert run.stdout
        assert run.stderr
        run.stdout.close()
        assert run.stderr.read() == b""
    assert run.returncode == 1


def measured_down(folder: Path) -> Path:
    """The sample with its heights given down from a base 3-0-0 up."""
    boat = faulty(
        folder,
        ("2-6-4,2-3-0,2-0-4,1-10-5,1-9-5,1-9-3,1-9-6,1-11-2", "0-5-4,0-9-0,0-11-4,1-1-3,1-2-3,1-2-5,1-2-2,1-0-6"),
        ("0-4-2,0-2-7,0-1-0,0-0-0,0-0-0,0-0-6,0-2-3,0-4-5", "2-7-6,2-9-1,2-11-0,3-0-0,3-0-0,2-11-2,2-9-5,2-7-3"),
    )
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace("lines_to ", 'heights_from = { base_above = "3-0-0" }\nlines_to ', 1))
    return boat


def test_a_table_measured_down_is_told_and_written_back_as_it_came(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = measured_down(tmp_path / "boat")
    assert main(["fair", str(boat), "--out", str(tmp_path / "out"), "--verbose"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "Heights in the table are measured down from a base 3' 0\" above base" in told
    assert "such as those of profiles, are above base." in told
    assert 'chine heights 1 2-9-1 2-9-0+ +1/16"' in told  # up, and so less far down
    assert "chine,2-7-6+,2-9-0+," in (tmp_path / "out" / "offsets-faired.csv").read_text()
    assert "measured down from a base" in (tmp_path / "out" / "lines.html").read_text()


def test_what_the_limits_leave_unfair_is_told_with_the_room_it_wants(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = faulty(tmp_path / "boat", ("1-8-3,2-1-2", "1-8-3,2-1-6"))
    assert main(["fair", str(boat), "--out", str(tmp_path / "out"), "--verbose"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "Where the lines are not free to be fair: - sheer, half-breadths: held back by fair_within at" in told
    assert "held back by fair_within at" in (tmp_path / "out" / "lines.html").read_text()


def test_an_offset_left_out_is_told_as_left_out(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    boat = faulty(tmp_path / "boat", ("1-8-3,2-1-2", "1-8-3,2-7-2"))
    toml = boat / "boat.toml"
    rule = '\n[[fairing]]\nline = "sheer"\nview = "half-breadths"\nstation = "3"\nleave_out = true\n'
    toml.write_text(toml.read_text() + rule)
    assert main(["fair", str(boat), "--verbose"]) == 0
    told = capsys.readouterr().out
    assert re.search(r"sheer  half-breadths  3 +2-7-2 +2-1-\S+ +left out +line 5 \d+/16\" off", told)
    assert "each within its own limit" in told


def told_of(boat: Path, capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["fair", str(boat), "--verbose"]) == 0
    return " ".join(capsys.readouterr().out.split())


LEFT_OUT = 'fairing = [{ line = "sheer", view = "half-breadths", station = "3", leave_out = true }]'


def test_a_figure_left_out_is_in_doubt_no_more(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    boat = faulty(tmp_path / "boat", ("1-8-3,2-1-2", "1-8-3,2-7-2"))
    assert f"copy this line to the top of boat.toml, above [boat]: {LEFT_OUT}" in told_of(boat, capsys)
    toml = boat / "boat.toml"
    toml.write_text(f"{LEFT_OUT}\n{toml.read_text()}")
    told = told_of(boat, capsys)
    assert "It is left out, as boat.toml says. Without that figure the line reads 2-1-" in told
    for asked_already in ("copy this", "Settle first", "Look up on the plan what is in doubt", "Then ask scrieve fair"):
        assert asked_already not in told


def test_a_second_figure_is_left_out_in_the_form_the_first_is_written_in(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    faults = ("1-8-3,2-1-2", "1-8-3,2-7-2"), ("1-10-5,1-9-5,1-9-3", "1-10-5,1-8-5,1-9-3")
    boat = faulty(tmp_path / "boat", *faults)
    toml = boat / "boat.toml"
    plain = toml.read_text()
    toml.write_text(f"{LEFT_OUT}\n{plain}")
    assert main(["fair", str(boat), "--verbose"]) == 0
    told = capsys.readouterr().out
    table = told[told.index("[[fairing]]") : told.index("If boat.toml")]
    more = next(line for line in told.splitlines() if line.startswith(", {"))
    as_tables = '\n[[fairing]]\nline = "sheer"\nview = "half-breadths"\nstation = "3"\nleave_out = true\n'
    for text in (f"{LEFT_OUT[:-1]}{more}]\n{plain}", f"{plain}{as_tables}{table}"):
        toml.write_text(text)
        assert "copy this" not in told_of(boat, capsys)


def test_a_suspect_says_what_was_found_and_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = told_of(faulty(tmp_path / "boat", ("0-2-7,0-1-0", "0-2-7,1-1-0")), capsys)
    assert "This figure does not suit the rest of the table. Nothing has been changed." in told
    assert "did you mean 0-1-0? Look at the plan again." in told
    assert "What to do next: - Look up on the plan what is in doubt, and put right in offsets.csv" in told


@pytest.mark.parametrize(
    ("needs", "show", "cure"),
    [
        (5.9, "in-16ths", '1/4" more room there would do'),
        (0.2, "mm", "0.2 mm more room there would do"),
        # Room of inches is no fairing, and is not offered as a cure.
        (163.5, "mm", "it would take 163.5 mm more there, which is no fairing: look at the plan again"),
    ],
)
def test_room_is_asked_for_only_as_far_as_fairing_goes(needs: float, show: str, cure: str) -> None:
    told = unfair_told(Unfair("sheer", "height", "4", Fault.HOLLOW, needs), show)
    assert told == f"the limit at 4 leaves a hollow that a batten with room enough would not have; {cure}"


def test_a_fair_table_is_accused_of_nothing_and_leads_on_to_the_patterns(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = told_of(bare_boat(tmp_path / "boat"), capsys)
    assert "No figure stands out from the rest." in told
    assert "make the patterns: scrieve loft" in told
    assert "Look up on the plan" not in told


def test_an_end_off_its_profile_is_told_from_the_tables_own_datum(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = measured_down(tmp_path / "boat")
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace('["0-0-0", "2-6-4"]', '["0-0-0", "2-9-4"]'))
    told = told_of(boat, capsys)
    assert (
        "the table has 0-5-4, the head of the stem's profile is at 2-9-4 above base, which the table would have" in told
    )
    assert "would have as 0-2-4:" in told


def test_a_digit_misread_in_a_height_measured_down_is_told_as_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = faulty(
        tmp_path / "boat",
        ("2-6-4,2-3-0,2-0-4,1-10-5,1-9-5,1-9-3,1-9-6,1-11-2", "0-5-4,0-9-0,0-11-4,1-7-3,1-2-3,1-2-5,1-2-2,1-0-6"),
        ("0-4-2,0-2-7,0-1-0,0-0-0,0-0-0,0-0-6,0-2-3,0-4-5", "2-7-6,2-9-1,2-11-0,3-0-0,3-0-0,2-11-2,2-9-5,2-7-3"),
    )
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace("lines_to ", 'heights_from = { base_above = "3-0-0" }\nlines_to ', 1))
    assert "a 1 misread as 7? did you mean 1-1-3? Look at the plan again." in told_of(boat, capsys)


def test_a_line_may_begin_abaft_a_station_it_has_no_figures_at(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = faulty(tmp_path / "boat", ("chine,0-4-2,0-2-7", "chine,0-2-2,"), ("chine,0-0-6,0-6-1", "chine,0-0-6,"))
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace('["1-1-4", "0-4-2"]', '["2-1-0", "0-2-2"]'))
    assert "chine heights 2 " in told_of(boat, capsys)


def test_an_offset_where_its_line_is_not_is_named_with_its_cell(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = faulty(tmp_path / "boat")
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace('["1-1-4", "0-4-2"]', '["2-1-0", "0-4-2"]'))
    assert main(["fair", str(boat), "--verbose"]) == 1
    wanted = (
        "found an offset at 2-0-0 from FP, expected nothing there: on the profile of the stem the chine ends at 2-1-0"
    )
    told = capsys.readouterr().err
    assert f"offsets.csv, row 5, column '1': {wanted} from FP" in told
    assert f"offsets.csv, row 8, column '1': {wanted} from FP" in told


def test_an_end_height_left_blank_is_taken_from_its_profile_and_told(
    faired: tuple[Path, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blank = told_of(
        faulty(
            tmp_path / "boat",
            ("sheer,2-6-4,", "sheer,,"),
            ("1-9-6,1-11-2\n", "1-9-6,\n"),
            ("chine,0-4-2,", "chine,,"),
            ("0-2-3,0-4-5\n", "0-2-3,\n"),
        ),
        capsys,
    )
    told, blank = " ".join(blank.split()), blank.partition(" Drawn ")[0]
    assert "sheer height at stem = 2' 6 1/2\", the head of the stem's profile" in told
    assert "chine height at transom = 4 5/8\", the foot of the transom's profile" in told
    # Saltmeadow's profiles are its table's own ends, so nothing else changes.
    whole = " ".join(faired[1].partition("\nDrawn")[0].split())
    assert blank.partition("What is in doubt")[2] == whole.partition("What is in doubt")[2]


def test_a_middle_lines_end_height_is_given_by_no_profile(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    boat = faulty(
        tmp_path / "boat",
        ("chine,0-4-2,0-2-7", "chine 1,,0-2-7"),
        ("half-breadths,", "chine 2,0-4-2,0-1-7,0-0-0,,,,,0-3-5\nhalf-breadths,"),
        ("chine,0-0-6,0-6-1", "chine 1,0-0-6,0-6-1"),
        ("1-10-0,1-7-6", "1-10-0,1-7-6\nchine 2,0-0-6,0-3-1,0-9-0,,,,,1-3-5"),
    )
    assert main(["fair", str(boat), "--verbose"]) == 1
    wanted = "offsets.csv, row 5, column 'stem': found nothing, expected the height where the chine 1 ends"
    assert wanted in capsys.readouterr().err


def test_with_three_stations_no_figure_is_blamed_that_no_row_accuses(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = bare_boat(tmp_path / "boat")
    table = boat / "offsets.csv"
    rows = [line.split(",") for line in table.read_text().splitlines()]
    table.write_text("\n".join(",".join(row[i] for i in (0, 1, 2, 4, 6, 8)) for row in rows) + "\n")
    toml = boat / "boat.toml"
    toml.write_text(
        toml.read_text().replace('fair_within = "1/8 in"', 'fair_within = "1/32 in"').replace('["4"]', '["3"]')
    )
    text = table.read_text().replace("2-1-2", "2-1-6", 1)
    table.write_text(text)
    told = told_of(boat, capsys)
    assert "held back by fair_within" in told
    assert "No figure stands out" in told
    assert "Look first" not in told


def test_the_faired_table_used_as_the_boats_table_is_kept_and_the_new_one_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = bare_boat(tmp_path / "boat")
    toml, table = boat / "boat.toml", boat / "out" / "offsets-faired.csv"
    assert main(["fair", str(boat), "--out", str(boat / "out")]) == 0
    text = toml.read_text(encoding="utf-8")
    toml.write_text(text.replace('"offsets.csv"', '"out/offsets-faired.csv"'), encoding="utf-8")
    table.write_text(mine := f"# as I want it\n{table.read_text(encoding='utf-8')}", encoding="utf-8")
    capsys.readouterr()
    assert main(["fair", str(boat), "--out", str(boat / "out")]) == 0
    assert table.read_text(encoding="utf-8") == mine
    assert (boat / "out" / "offsets-faired-new.csv").read_text(encoding="utf-8").startswith(mine.splitlines()[1])
    kept = (
        f"WARNING {table}: this command has read the file, so it was kept as it is. The new file is "
        f"{boat}/out/offsets-faired-new.csv."
    )
    assert kept in " ".join(capsys.readouterr().err.split())

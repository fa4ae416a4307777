"""A printer's own error: measured on a test page, kept, and taken out of later sheets and of no others."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from commanded import bare_boat, scrieve, scrieve_here
from inked import extent

from patterns.cli import printer as command
from patterns.cli.screen import Screen
from patterns.drawing.marks import Drawing, Label, Stroke
from patterns.errors import InputError, PatternsError
from patterns.geometry.arrays import Floats
from patterns.reading.settings.read_printers import read_printers
from patterns.tiling.paper.correction import MOST, Correction, Measured, correction
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup, paper
from patterns.tiling.paper.printer_page import printer_page
from patterns.tiling.tiles.tiles import tile
from patterns.writing.ink.pdf import pdf_bytes
from patterns.writing.tables.printers_toml import write_printers

A4 = paper("a4")


def panel() -> Drawing:
    corners = np.array([[0, 0], [900, 0], [900, 500], [0, 500]], float)
    return Drawing("panel", "panel", (Stroke(corners, "cut-outside", closed=True), Label("panel", (450.0, 250.0), 6.0)))


def sent(page: Page, points: Floats) -> Floats:
    """Where points of a page lie on the paper of a printer without error."""
    middle = np.array([page.width, page.height]) / 2
    return (points - middle) * page.stretch + middle


def printed(page: Page, points: Floats, *, across: float, down: float) -> Floats:
    """Where a printer with an error of its own puts them: across is along the paper's short side."""
    ways = (across, down) if page.width < page.height else (down, across)
    middle = np.array([page.width, page.height]) / 2
    return (sent(page, points) - middle) * ways + middle


def bars(page: Page) -> list[Floats]:
    """The two check bars of a sheet, (2, 2) mm."""
    strokes = [mark.points for mark in page.marks if isinstance(mark, Stroke) and mark.layer == "sheet"]
    runs = [np.abs(np.diff(points, axis=0)).max() for points in strokes]
    return [points for points, run in zip(strokes, runs, strict=True) if len(points) == 2 and abs(run - 100) < 1e-6]


def corrected(found: Correction, setup: PaperSetup) -> list[Page]:
    return [found.sheet(page, setup) for page in tile(panel(), found.room(setup)).pages]


def test_a_bar_that_came_out_short_is_drawn_as_much_longer() -> None:
    found = correction("study", Measured(199.2, 200.4))
    assert (found.across, found.down) == (pytest.approx(200 / 199.2), pytest.approx(200 / 200.4))
    assert found.words == (
        "corrected for printer 'study': across x 1.0040, down x 0.9980; the 100 mm bars must measure 100 mm"
    )


@pytest.mark.parametrize("bar", [100.0, 150.0, 200.0, 250.0, 350.0, 400.0, 500.0, 1000.0])
@pytest.mark.parametrize("error", [0.94, 0.97, 1.0, 1.03, 1.06])
def test_the_stroke_measured_to_is_known_by_its_length(bar: float, error: float) -> None:
    assert Measured(bar * error, 200.0).bars == (bar, 200.0)


@pytest.mark.parametrize("wide", [False, True])
def test_the_correction_follows_the_printers_axes_and_not_the_patterns(wide: bool) -> None:
    """A tall pattern goes on upright sheets, a long one on sheets turned by a quarter."""
    size = (230.0, 130.0) if wide else (130.0, 230.0)
    corners = np.array([[0.0, 0.0], [size[0], 0.0], list(size), [0.0, size[1]]])
    drawing = Drawing("board", "board", (Stroke(corners, "cut-outside", closed=True),))
    across, down = 0.985, 1.008
    found = correction("study", Measured(200 * across, 250 * down))
    pages = [found.sheet(page, A4) for page in tile(drawing, found.room(A4)).pages]
    assert {page.width > page.height for page in pages} == {wide}
    for page in pages:
        assert sorted((page.width, page.height)) == [210.0, 297.0]
        for bar in bars(page):
            ends = printed(page, bar, across=across, down=down)
            assert np.hypot(*(ends[1] - ends[0])) == pytest.approx(100.0, abs=1e-9)
        assert len(bars(page)) == 2


@pytest.mark.parametrize("by", [(1.029, 0.972), (0.972, 1.029), (1.03, 1.03), (0.98, 0.98)])
@pytest.mark.parametrize("name", ["a4", "letter"])
def test_stretched_ink_stays_off_the_margin_and_so_does_what_the_printer_makes_of_it(
    by: tuple[float, float], name: str
) -> None:
    setup = paper(name)
    for page in corrected(Correction("study", *by), setup):
        for mark in page.marks:
            for points in (
                sent(page, extent(mark)),
                printed(page, extent(mark), across=1 / by[0], down=1 / by[1]),
            ):
                assert (points >= setup.margin - 1e-6).all(), mark
                assert (points <= (page.width - setup.margin + 1e-6, page.height - setup.margin + 1e-6)).all(), mark


def test_every_sheet_and_the_key_plan_say_they_are_corrected() -> None:
    found = correction("Anna's study", Measured(199.2, 200.4))
    for page in corrected(found, A4):
        assert found.words in [mark.text for mark in page.marks if isinstance(mark, Label)]


def test_another_reader_finds_the_ink_stretched_both_ways_about_the_middle() -> None:
    square = Stroke(np.array([[20, 30], [120, 30], [120, 230], [20, 230]], float), "cut-outside", closed=True)
    page = Page(210.0, 297.0, (square,), "square", stretch=(1.02, 0.98))
    [sheet] = pypdfium2.PdfDocument(pdf_bytes([page], title="square"))
    picture = np.asarray(sheet.render(scale=300 / 72, grayscale=True).to_numpy()).squeeze() < 128
    rows, columns = (np.flatnonzero(picture.any(axis=axis)) * 25.4 / 300 for axis in (1, 0))
    pen = 0.5 * 1.02
    assert columns[-1] - columns[0] == pytest.approx(100 * 1.02 + pen, abs=0.15)
    assert rows[-1] - rows[0] == pytest.approx(200 * 0.98 + pen, abs=0.15)
    assert columns[0] == pytest.approx(105 + (20 - 105) * 1.02 - pen / 2, abs=0.15)
    assert rows[0] == pytest.approx(148.5 - (230 - 148.5) * 0.98 - pen / 2, abs=0.15)


FITS = {
    "fit to page": (200 * 0.96, 250 * 0.96, 'It looks like "fit to page"'),
    "enlarged": (200 * 1.05, 250 * 1.05, 'It looks like "fill the page"'),
    # 279.4 / 297 and 210 / 215.9: a page fitted to the other paper whole.
    "a4 on letter": (200 * 279.4 / 297, 250 * 279.4 / 297, "It looks like an A4 page fitted to Letter paper"),
    "letter drawn out on a4": (200 * 210 / 215.9, 250 * 297 / 279.4, "It looks like a Letter page fitted to A4 paper"),
    "letter within a4's printable area": (
        200 * (210 - 8.6) / 215.9, 250 * (210 - 8.6) / 215.9, "It looks like a Letter page fitted to A4 paper",
    ),
    "one bar misread": (200.0, 230.0, "Measure again from the stroke at 0"),
}  # fmt: skip


@pytest.mark.parametrize("case", FITS)
def test_a_printer_more_than_3_per_cent_out_is_refused_with_the_likely_cause(case: str) -> None:
    across, down, cause = FITS[case]
    with pytest.raises(PatternsError, match="expected both within 3 %") as refused:
        correction("study", Measured(across, down))
    assert cause in str(refused.value)


def test_three_per_cent_either_way_is_the_limit() -> None:
    for ratio in (1 - MOST + 1e-6, 1 + MOST - 1e-6):
        correction("study", Measured(200 * ratio, 200.0))
    for ratio in (1 - MOST - 1e-4, 1 + MOST + 1e-4):
        with pytest.raises(PatternsError):
            correction("study", Measured(200.0, 200 * ratio))


@pytest.mark.parametrize("name", ["a5", "a4", "letter", "legal", "a3", "arch e"])
def test_the_test_page_has_its_bars_and_words_on_the_paper(name: str) -> None:
    setup = paper(name)
    page = printer_page(setup)
    for mark in page.marks:
        edge = setup.margin if isinstance(mark, Label) and len(mark.text) > 8 else 5.0
        assert (extent(mark) >= edge - 1e-6).all(), mark
        assert (extent(mark) <= (page.width - edge + 1e-6, page.height - edge + 1e-6)).all(), mark
    ends = {mark.text for mark in page.marks if isinstance(mark, Label) and mark.text.endswith(" mm")}
    assert f"{max(n for n in range(100, 251, 50) if n <= min(page.width - 10, 250))} mm" in ends
    assert page.stretch == (1.0, 1.0)


def test_what_was_measured_reads_back_and_other_printers_stay(tmp_path: Path) -> None:
    file = tmp_path / "new folder" / "printers.toml"
    printers = {"study": Measured(199.2, 200.4, "a4"), 'Anna\'s "big" one': Measured(250.123456, 349.9)}
    write_printers(file, printers)
    assert read_printers(file) == printers
    assert [path.name for path in file.parent.iterdir()] == ["printers.toml"]


def test_every_fault_of_the_settings_is_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "printers.toml"
    file.write_text('[printer.a]\nacross = "199 mm"\n[printer.b]\nacross = 5\ndown = "long"\n', encoding="utf-8")
    with pytest.raises(PatternsError) as refused:
        read_printers(file)
    assert str(refused.value).count("found") == 3
    assert f"{file}, [printer.b] down: found 'long', expected" in str(refused.value)


@pytest.mark.parametrize("faulty", ["across = 1" + 5000 * "0", "across = " + 2000 * "[" + 2000 * "]"])
def test_settings_with_a_number_or_lists_without_end_are_refused(tmp_path: Path, faulty: str) -> None:
    file = tmp_path / "printers.toml"
    file.write_text(f"[printer.a]\n{faulty}\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        read_printers(file)
    [problem] = refused.value.problems
    assert str(file) in problem.cell
    assert problem.found in ("a number of 5001 digits", "lists within lists without end")


def test_settings_are_kept_where_the_system_keeps_such_files(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", "not/absolute")
    monkeypatch.delenv("APPDATA", raising=False)
    for platform, folder in (
        ("linux", ".config"), ("darwin", "Library/Application Support"), ("win32", "AppData/Roaming"),
    ):  # fmt: skip
        monkeypatch.setattr(sys, "platform", platform)
        assert command.settings_file() == tmp_path / folder / "scrieve" / "printers.toml"
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "cfg"))
    assert command.settings_file() == tmp_path / "cfg" / "scrieve" / "printers.toml"


@pytest.mark.slow
def test_the_command_makes_the_page_and_never_writes_over_another_file(tmp_path: Path) -> None:
    done = scrieve("printer", "--paper", "a4", cwd=tmp_path, settings=tmp_path)
    assert done.returncode == 0, done.stderr
    page = tmp_path / "printer-test-a4.pdf"
    assert len(pypdfium2.PdfDocument(page)) == 1
    assert str(page.name) in done.stdout
    page.write_text("a letter of the builder's")
    done = scrieve("printer", "--paper", "a4", cwd=tmp_path, settings=tmp_path)
    assert done.returncode == 1
    assert page.read_text() == "a letter of the builder's"


@pytest.mark.slow
def test_bars_that_are_no_lengths_are_refused_together(tmp_path: Path) -> None:
    done = scrieve_here("printer", "--measured-across", "long", "--measured-down", "199", settings=tmp_path)
    assert done.returncode == 1
    assert "--measured-across: found 'long', expected the length" in done.stderr
    assert "--measured-down: found '199', expected the length" in done.stderr
    assert not list(tmp_path.iterdir())


def sheet_words(folder: Path) -> list[str]:
    pages = pypdfium2.PdfDocument(next((folder / "paper").glob("patterns-*.pdf")))
    return [pages[number].get_textpage().get_text_bounded() for number in (0, 5, len(pages) - 1)]


@pytest.mark.slow
def test_sheets_are_corrected_for_the_printer_named_and_for_no_other(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    words = ("printer", "--measured-across", "7 27/32 in", "--measured-down", "200.4mm", "--name", "study")
    assert scrieve_here(*words, settings=tmp_path).returncode == 0
    plain = scrieve_here("loft", boat, "--only", "bottom panel", settings=tmp_path)
    assert plain.returncode == 0, plain.stderr
    assert "corrected for" not in plain.stdout
    assert {path.name for path in (boat / "out/paper").iterdir()} >= {"patterns-letter.pdf", "roll.pdf"}
    assert not list((boat / "out/paper").glob("model*"))
    assert not (boat / "out/svg/tiles").exists()  # nor a model: neither was asked for
    assert not any("corrected" in text for text in sheet_words(boat / "out"))
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace("[printer]", '[printer]\nname = "study"'))
    done = scrieve_here("loft", boat, "--only", "bottom panel", settings=tmp_path)
    assert "Pages corrected for printer 'study': across x 1.0039, down x 0.9980" in done.stdout
    assert all("corrected for printer 'study': across x 1.0039" in text for text in sheet_words(boat / "out"))


@pytest.mark.slow
def test_a_printer_nobody_measured_is_refused_with_those_known(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    write_printers(tmp_path / "scrieve" / "printers.toml", {"study": Measured(199.2, 200.4)})
    done = scrieve_here("loft", boat, "--printer", "stdy", settings=tmp_path)
    assert done.returncode == 1
    assert "--printer: found 'stdy', expected a measured printer, one of study, or none" in done.stderr
    assert not (boat / "out").exists()


def test_a_printer_measured_without_a_name_counts_for_every_job_and_is_told(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    terminal = Screen(sys.stdout, sys.stderr)
    assert command.correction_told(None, said="--printer", paper="a4", terminal=terminal) is None
    command.printer(name=None, paper="letter", out=None, measured_across="199.2mm", measured_down="200.4mm")
    found = command.correction_told(None, said="--printer", paper="a4", terminal=terminal)
    assert found is not None
    assert found.printer == "default"
    told = capsys.readouterr()
    assert "It is the printer measured without a name" in told.out
    assert "WARNING printer 'default': measured on letter, and these pages are a4." in " ".join(told.err.split())
    assert command.correction_told("none", said="--printer", paper="a4", terminal=terminal) is None

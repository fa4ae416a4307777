"""PDF: true to size by measurement, self-contained, the same every time."""

from __future__ import annotations

import hashlib
import os
import re
import zlib
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from fresh_runs import printed_in_fresh_runs
from knees import knee_tiling
from numpy.typing import NDArray

from patterns.drawing.marks import LAYERS, Label, Stroke
from patterns.tiling.paper.check_bars import TICK
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import BAR
from patterns.writing.ink.pdf import pdf_bytes

DPI = 600
PIXEL = 25.4 / DPI  # mm
ROOT = Path(__file__).parents[2]


def rendered(data: bytes, page: int) -> NDArray[np.float64]:
    """Darkness of a page, 0 to 1, rows from the top."""
    document = pypdfium2.PdfDocument(data)
    image = document[page].render(scale=DPI / 72, grayscale=True).to_numpy()
    return 1.0 - np.asarray(image, dtype=float).squeeze() / 255.0


def centre(darkness: NDArray[np.float64]) -> float:
    """Where along a strip of pixels the ink's middle lies, mm."""
    return float((np.arange(len(darkness)) + 0.5) @ darkness / darkness.sum()) * PIXEL


def window(page: NDArray[np.float64], left: float, bottom: float, right: float, top: float) -> NDArray[np.float64]:
    rows, columns = (page.shape[0] - np.array([top, bottom]) / PIXEL, np.array([left, right]) / PIXEL)
    return page[round(rows[0]) : round(rows[1]), round(columns[0]) : round(columns[1])]


def ticks_apart(page: NDArray[np.float64], *, x: float, y: float, upright: bool) -> float:
    """Distance between a bar's end strokes, mm, measured on their outer halves, clear of the bar and its words."""
    ends = []
    for end in (0.0, BAR):
        if upright:
            strip = window(page, x - TICK + 0.2, y + end - 1.0, x - 0.5, y + end + 1.0)
            ends.append(-centre(strip.sum(axis=1)) + end)
        else:
            strip = window(page, x + end - 1.0, y - TICK + 0.2, x + end + 1.0, y - 0.5)
            ends.append(centre(strip.sum(axis=0)) + end)
    rounding = 0.0
    for end in (0.0, BAR):  # each strip starts at a whole pixel
        at = (y + end + 1.0) if upright else (x + end - 1.0)
        exact = (page.shape[0] - at / PIXEL) if upright else at / PIXEL
        shift = (round(exact) - exact) * PIXEL * (-1.0 if upright else 1.0)
        rounding += shift if end else -shift
    return ends[1] - ends[0] + rounding


def bar_ends(page: Page, *, upright: bool) -> tuple[float, float]:
    """Where on a page a bar begins: half-way along the first of two end strokes that stand a bar's length apart."""
    axis = int(upright)
    strokes = [mark.points for mark in page.marks if isinstance(mark, Stroke) and len(mark.points) == 2]
    ends = [points.mean(axis=0) for points in strokes if np.ptp(points[:, 1 - axis]) == pytest.approx(2 * TICK)]
    for one in ends:
        for other in ends:
            if other[axis] - one[axis] == pytest.approx(BAR) and other[1 - axis] == pytest.approx(one[1 - axis]):
                return float(one[0]), float(one[1])
    raise AssertionError(f"{page.name}: no bar")


@pytest.fixture(scope="module")
def pdf() -> bytes:
    return pdf_bytes(knee_tiling().pages, title="quarter knee")


@pytest.mark.slow
def test_check_bars_measure_100_mm_both_ways(pdf: bytes) -> None:
    for number, one in enumerate(knee_tiling().pages[:2]):
        page = rendered(pdf, number)
        (x, y), (to_x, to_y) = bar_ends(one, upright=False), bar_ends(one, upright=True)
        level = ticks_apart(page, x=x, y=y, upright=False)
        upright = ticks_apart(page, x=to_x, y=to_y, upright=True)
        assert level == pytest.approx(100.0, abs=0.03)
        assert upright == pytest.approx(100.0, abs=0.03)


def test_pages_are_the_papers_size(pdf: bytes) -> None:
    document = pypdfium2.PdfDocument(pdf)
    paper = knee_tiling().paper
    for page in document:
        width, height = (side * 25.4 / 72 for side in page.get_size())
        assert (width, height) == pytest.approx((paper.width, paper.height), abs=0.01)


def test_text_reads_back_with_its_signs(pdf: bytes) -> None:
    document = pypdfium2.PdfDocument(pdf)
    texts = [page.get_textpage().get_text_range() for page in document]
    assert any("quarter knee 3/4″ ⅝ 12.5° é" in text for text in texts)
    assert any("Key plan" in text for text in texts)


def test_only_our_own_embedded_font_is_named(pdf: bytes) -> None:
    fonts = set(re.findall(rb"/BaseFont\s*/(\S+)", pdf))
    assert fonts
    assert all(b"DejaVuSans" in font for font in fonts)
    assert b"Helvetica" not in pdf
    assert b"/FontFile2" in pdf


def test_printers_are_told_not_to_scale(pdf: bytes) -> None:
    assert re.search(rb"/PrintScaling\s*/None", pdf)
    assert b"/UserUnit" not in pdf


def test_layers_are_named_and_listed(pdf: bytes) -> None:
    for layer in LAYERS:
        assert b"/Name (" + layer.encode() + b")" in pdf
    assert b"/OCProperties" in pdf
    assert b"/Order" in pdf


def test_dashes_begin_where_the_sheet_before_left_off() -> None:
    stroke = Stroke(np.array([[20.0, 50.0], [120.0, 50.0]]), "far-face", run=100.0)
    data = pdf_bytes([Page(210.0, 297.0, (stroke,), "sheet")], title="dashes")
    streams = [zlib.decompress(s) for s in re.findall(rb"stream\n(x.*?)endstream", data, re.DOTALL)]
    assert any(b"[3 1.5] 1 d 20 50 m 120 50 l S" in stream for stream in streams)


def test_a_page_longer_than_readers_take_is_a_bug() -> None:
    with pytest.raises(ValueError, match="more than a PDF page may measure"):
        pdf_bytes([Page(6000.0, 900.0, (), "panel")], title="panel")


@pytest.mark.slow
def test_the_same_pages_give_the_same_bytes_in_every_run(pdf: bytes) -> None:
    assert pdf_bytes(knee_tiling().pages, title="quarter knee") == pdf
    code = (
        "import hashlib\n"
        "from knees import knee_tiling\n"
        "from patterns.writing.ink.pdf import pdf_bytes\n"
        "print(hashlib.sha256(pdf_bytes(knee_tiling().pages, title='quarter knee')).hexdigest())"
    )
    assert printed_in_fresh_runs(code) == {hashlib.sha256(pdf).hexdigest()}


@pytest.mark.parametrize("date", ["0", "1767225600", "yesterday"])
def test_a_date_set_for_packagers_moves_no_byte(pdf: bytes, date: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", date)
    assert pdf_bytes(knee_tiling().pages, title="quarter knee") == pdf
    assert os.environ["SOURCE_DATE_EPOCH"] == date


def test_only_the_letters_a_sheet_uses_are_embedded() -> None:
    page = Page(210.0, 297.0, (Label("Чайка, Πέρδικα, Đấu 5½", (90.0, 150.0), 4.0),), "sheet")
    data = pdf_bytes([page], title="sheet")
    assert len(data) < 25_000
    assert pypdfium2.PdfDocument(data)[0].get_textpage().get_text_range() == "Чайка, Πέρδικα, Đấu 5½"

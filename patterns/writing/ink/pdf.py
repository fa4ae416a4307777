"""Pages as a PDF, true to size, lettering embedded, every layer one that a reader can switch off."""

from __future__ import annotations

import io
import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache, lru_cache
from itertools import groupby
from math import fsum
from operator import itemgetter
from pathlib import Path
from typing import IO, Any, assert_never

import numpy as np
from reportlab import rl_config
from reportlab.pdfbase import pdfdoc, pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from patterns.drawing.marks import DRAWN, LAYERS, TINTS, Anchor, Cross, Ink, Label, Layer, Shading, Stroke, leaders
from patterns.drawing.styles import STYLES
from patterns.drawing.text import CAP_HEIGHT, text_width
from patterns.tiling.paper.page import Page
from patterns.units.shared_data import shared_file
from patterns.writing.ink.numbers import spelt
from patterns.writing.ink.png import png_rows

POINT = 25.4 / 72.0  # mm
LONGEST_SIDE = 14400 * POINT  # mm; readers refuse or crop more, and halve it without a word where UserUnit is set
DIGITS = 3  # of a mm
FONT = "DejaVu Sans"
FULL_SIZE = "patterns, full size"
_ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}


def pdf_bytes(pages: Iterable[Page], *, title: str, subject: str = FULL_SIZE, any_length: bool = False) -> bytes:
    """A PDF of the pages."""
    data = io.BytesIO()
    write_pdf(pages, data, title, subject, any_length=any_length)
    return data.getvalue()


def write_pdf(
    pages: Iterable[Page], file: Path | IO[bytes], title: str, subject: str = FULL_SIZE, *, any_length: bool = False
) -> None:
    """Write pages to a path or an open binary file; the same pages give the same bytes.

    Parameters
    ----------
    any_length : bool
        Let pages be longer than every reader takes. Their box stays plain: two readers of four pass over UserUnit and
        show the page at a half without a word.

    Raises
    ------
    ValueError
        A page longer than readers take: tiling should have split it.
    """
    if FONT not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(FONT, str(shared_file("fonts/DejaVuSans.ttf"))))
    target: Any = str(file) if isinstance(file, Path) else file
    # Without a first font of our own reportlab lists Helvetica, which it does not embed.
    options: dict[str, Any] = {"pdfVersion": (1, 5), "initialFontName": FONT}
    with _no_date_from_outside():
        canvas = Canvas(target, invariant=1, pageCompression=1, **options)
    canvas.setTitle(title)
    canvas.setCreator("Scrieve")
    canvas.setAuthor("")
    canvas.setSubject(subject)
    canvas.setViewerPreference("PrintScaling", "None")
    pen = _Pen(canvas)
    for page in pages:
        if max(page.width, page.height) > LONGEST_SIDE and not any_length:
            raise ValueError(f"{page.name}: {page.width:g} x {page.height:g} mm is more than a PDF page may measure")
        _write_page(canvas, page, pen)
    _declare(canvas, (*LAYERS, *sorted(pen.used.difference(LAYERS))), pen.pictures)
    ascii85, rl_config.useA85 = rl_config.useA85, 0  # a quarter smaller, and as readable to every reader
    try:
        canvas.save()
    finally:
        rl_config.useA85 = ascii85


@contextmanager
def _no_date_from_outside() -> Iterator[None]:
    """Hide SOURCE_DATE_EPOCH from reportlab: it would date PDFs, and no other file of a job bears a date."""
    date = os.environ.pop("SOURCE_DATE_EPOCH", None)
    try:
        yield
    finally:
        if date is not None:
            os.environ["SOURCE_DATE_EPOCH"] = date


def _write_page(canvas: Canvas, page: Page, pen: _Pen) -> None:
    canvas.setPageSize((page.width / POINT, page.height / POINT))
    if page.entry:
        canvas.bookmarkPage(page.name)
        canvas.addOutlineEntry(page.entry, page.name)
    code = [f"{_matrix(page)} cm 1 J 1 j"]
    by_layer: dict[Layer, list[Ink]] = {layer: [] for layer in DRAWN}
    marks = (*page.marks, *leaders(page.marks))
    for mark in marks:
        by_layer[mark.layer].append(mark)
    pen.spell(mark for mark in marks if isinstance(mark, Stroke))
    for layer, inked in by_layer.items():
        if inked:
            code += [f"/OC /{layer} BDC", *pen.layer(inked, layer), "EMC"]
    _emit(canvas, "\n".join(code))
    canvas.showPage()


def _matrix(page: Page) -> str:
    """From mm on the page to points, stretched about the middle of the page."""
    (across, up), x, y = page.stretch, page.width / 2, page.height / 2
    return spelt("# 0 0 # # #", (across / POINT, up / POINT, (1 - across) * x / POINT, (1 - up) * y / POINT), 8)


@dataclass(frozen=True, slots=True)
class _Words:
    """Lettering of one kind, wherever it stands: moves of its start from the anchor, mm, and the code about them."""

    right: tuple[float, float]  # what its length and its height add to x and take from it
    up: tuple[float, float]  # what they add to y
    head: str
    tail: str


@dataclass(slots=True)
class _Pen:
    """Marks as page code, mm. What stands on many pages is spelled out once."""

    canvas: Canvas
    paths: dict[int, tuple[Stroke, str]] = field(default_factory=dict)  # the stroke is kept so that its id is its own
    words: dict[tuple[str, float, float, Anchor], _Words] = field(default_factory=dict)
    texts: dict[str, list[tuple[str, str]]] = field(default_factory=dict)
    letters: dict[str, tuple[str, str]] = field(default_factory=dict)  # the name of the font subset, and the code in it
    used: set[Layer] = field(default_factory=set)
    pictures: list[Shading] = field(default_factory=list)

    def spell(self, strokes: Iterable[Stroke]) -> None:
        """The paths of strokes made ready, those of a page at once."""
        fresh = [stroke for stroke in strokes if id(stroke) not in self.paths]
        points = np.concatenate([np.empty((0, 2)), *(stroke.points for stroke in fresh)])
        form = "\n".join([_path_form(len(stroke.points), stroke.closed) for stroke in fresh])
        for stroke, path in zip(fresh, spelt(form, points, DIGITS).splitlines(), strict=True):
            self.paths[id(stroke)] = stroke, path

    def layer(self, marks: Sequence[Ink], layer: Layer) -> list[str]:
        self.used.add(layer)
        style = STYLES[layer]
        pen = f"# G # g # w [{' '.join('#' * len(style.dashes))}] 0 d"
        code = [spelt(pen, (style.grey, style.grey, style.width, *style.dashes), DIGITS)]
        letters: list[str] = []
        unbroken: list[str] = []
        for mark in marks:
            match mark:
                case Stroke() if mark.dashes or style.dashes:
                    code.append(f"{_dashes(mark, mark.dashes or style.dashes)} {self.paths[id(mark)][1]} S")
                case Stroke():
                    unbroken.append(self.paths[id(mark)][1])
                case Cross():
                    unbroken.append(_cross_path(*mark.at, mark.arm))
                case Label():
                    letters.append(self.lettering(mark))
                case Shading():
                    code.append(self.picture(mark))
                case _:
                    assert_never(mark)
        if unbroken:
            code.append("[] 0 d " + "\n".join(unbroken) + (" f" if layer in TINTS else " S"))
        return code + letters

    def picture(self, shading: Shading) -> str:
        self.pictures.append(shading)
        place = spelt("q # 0 0 # # # cm", (shading.width, shading.height, *shading.at), DIGITS)
        return f"{place} /{_picture_name(len(self.pictures))} Do Q"

    def lettering(self, label: Label) -> str:
        kind = label.text, label.size, label.angle, label.anchor
        words = self.words.get(kind) or self.words.setdefault(kind, self._words(*kind))
        (x, y), (along, across), (up_along, up_across) = label.at, words.right, words.up
        place = spelt("# #", (x + along - across, y + up_along + up_across), DIGITS)
        return f"{words.head} {place} {words.tail}"

    def _words(self, text: str, size: float, angle: float, anchor: Anchor) -> _Words:
        cos, sin, turn = _turn(angle)
        back, down = -_ANCHORS[anchor] * text_width(text, size), -size / 2
        em = spelt("#", (size / CAP_HEIGHT,), DIGITS)
        shown = " ".join([f"{font} {em} Tf ({codes}) Tj" for font, codes in self._runs(text)])
        return _Words((back * cos, down * sin), (back * sin, down * cos), f"BT {turn}", f"Tm {shown} ET")

    def _runs(self, text: str) -> list[tuple[str, str]]:
        """Runs of one font subset each: its name on the page, and its codes."""
        if text not in self.texts:
            spelled = [self.letters.get(letter) or self._letter(letter) for letter in text]
            self.texts[text] = [
                (font, "".join([codes for _, codes in run])) for font, run in groupby(spelled, key=itemgetter(0))
            ]
        return self.texts[text]

    def _letter(self, letter: str) -> tuple[str, str]:
        font: Any = pdfmetrics.getFont(FONT)
        canvas: Any = self.canvas
        [(subset, code)] = font.splitString(letter, canvas._doc)
        self.letters[letter] = font.getSubsetInternalName(subset, canvas._doc), canvas._escape(code)
        return self.letters[letter]


@cache
def _path_form(count: int, closed: bool) -> str:
    """Where the numbers of so many points go."""
    point = "# #"
    return f"{point} m {' l '.join([point] * (count - 1))} l{' h' if closed else ''}"


@lru_cache(maxsize=4096)  # they stand at the same places on every tile
def _cross_path(x: float, y: float, arm: float) -> str:
    return spelt("# # m # # l # # m # # l", (x - arm, y, x + arm, y, x, y - arm, x, y + arm), DIGITS)


def _dashes(stroke: Stroke, dashes: tuple[float, ...]) -> str:
    """The dash pattern begun as far in as the stroke is: dashes meet where sheets do."""
    return spelt(f"[{' '.join('#' * len(dashes))}] # d", (*dashes, stroke.run % fsum(dashes)), DIGITS)


@lru_cache(maxsize=4096)  # most lettering lies level or stands upright
def _turn(angle: float) -> tuple[float, float, str]:
    """Cosine and sine, and the matrix of a turn by rad."""
    cos, sin = float(np.cos(angle)), float(np.sin(angle))
    return cos, sin, spelt("# # # #", (cos, sin, -sin, cos), 5)


# reportlab knows no optional content: what follows leans on its private names, and nothing else here does.


def _emit(canvas: Canvas, code: str) -> None:
    page: Any = canvas
    page._code.append(code)


def _picture_name(number: int) -> str:
    return f"picture-{number}"


def _pictures(document: Any, pictures: Sequence[Shading]) -> dict[str, Any]:
    """Pictures in greys by the names page code calls them."""
    found = {}
    for number, picture in enumerate(pictures, 1):
        high, wide = picture.greys.shape
        # Differences from the row above are smallest for smooth greys: the predictor of PNG, ISO 32000-1, 7.4.4.4.
        stream = pdfdoc.PDFStream(content=png_rows(picture.greys))
        settings = {"Predictor": 15, "Colors": 1, "BitsPerComponent": 8, "Columns": wide}
        told = {"Type": "XObject", "Subtype": "Image", "ColorSpace": "DeviceGray", "Filter": "FlateDecode"}
        for key, word in told.items():
            stream.dictionary[key] = pdfdoc.PDFName(word)
        stream.dictionary["DecodeParms"] = pdfdoc.PDFDictionary(settings)
        for key, count in {"Width": wide, "Height": high, "BitsPerComponent": 8}.items():
            stream.dictionary[key] = count
        found[_picture_name(number)] = document.Reference(stream, _picture_name(number))
    return found


def _declare(canvas: Canvas, layers: Iterable[Layer], pictures: Sequence[Shading]) -> None:
    """Layers and pictures by the names page code calls them, in the catalogue and on every page."""
    document: Any = getattr(canvas, "_doc")  # noqa: B009
    groups = {
        layer: document.Reference(
            pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("OCG"), "Name": pdfdoc.PDFString(layer)}), f"layer-{layer}"
        )
        for layer in layers
    }
    every = pdfdoc.PDFArray(list(groups.values()))
    settings = pdfdoc.PDFDictionary({"Order": every, "ON": every, "BaseState": pdfdoc.PDFName("ON")})
    resources: Any = pdfdoc.PDFResourceDictionary()
    resources.basicFonts()
    resources.Properties = groups
    if pictures:
        resources.XObject = _pictures(document, pictures)
    for page in document.Pages.pages:
        page.Resources = document.Reference(resources, "resources")
    catalogue: Any = document.Catalog
    catalogue.__NoDefault__ = [*catalogue.__NoDefault__, "OCProperties"]
    catalogue.OCProperties = pdfdoc.PDFDictionary({"OCGs": every, "D": settings})

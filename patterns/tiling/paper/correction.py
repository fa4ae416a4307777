"""A printer's own error taken out of its pages: stretched about the middle as much as the printer shrinks them.

The axes are the printer's, not the pattern's. ``across`` runs along the paper's short side and ``down`` along its long
side: a page that lies on its side is turned by a quarter before it is printed, so its width is printed down the paper.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from patterns.drawing.marks import Label
from patterns.drawing.moved_marks import QUARTER, placed
from patterns.drawing.text import text_width, without_strangers
from patterns.errors import PatternsError
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup

MOST = 0.03  # a printer further out than this is doing something it was told to, such as fit to page
STROKES = (*range(100, 401, 50), 500, 600, 700, 800, 1000)  # mm from 0; no two so near that 6 % confuses them
FOOT = 4.0  # mm of the paper's short side kept for the words
SIZE = 2.0  # mm, capitals
ALIKE = 0.006  # two ratios nearer than this are one: a rule and an eye read a bar to about 1 mm at worst

LETTER, A4 = (215.9, 279.4), (210.0, 297.0)  # mm
EDGE = 4.3  # mm; a printer that fits a page fits it within what it can print on, often 1/6 in from the edge


@dataclass(frozen=True, slots=True)
class Measured:
    """The two long bars of a test page as they came out."""

    across: float  # mm, along the paper's short side
    down: float  # mm, along its long side
    paper: str = ""  # what it was printed on, where the builder said

    @property
    def bars(self) -> tuple[float, float]:
        """What the bars are when they are true, mm: from 0 to the stroke nearest to what was measured."""
        across, down = (float(min(STROKES, key=lambda stroke: abs(stroke - bar))) for bar in (self.across, self.down))
        return across, down

    @property
    def ratios(self) -> tuple[float, float]:
        """How long the bars came out, 1 where they are true."""
        (across, down) = self.bars
        return self.across / across, self.down / down


@dataclass(frozen=True, slots=True)
class Correction:
    """By what a printer's pages are stretched so that they come out true."""

    printer: str
    across: float
    down: float

    @property
    def words(self) -> str:
        """What every corrected page says."""
        return (
            f"corrected for printer '{without_strangers(self.printer)}': across x {self.across:.4f}, "
            f"down x {self.down:.4f}; the 100 mm bars must measure 100 mm"
        )

    def room(self, paper: PaperSetup) -> PaperSetup:
        """The paper left to lay a pattern out on: without the words' strip, and as much smaller as it is stretched."""
        upright = paper if paper.width <= paper.height else paper.turned()
        width, height, margin = upright.width, upright.height, upright.margin
        margins = (
            length / 2 - (length / 2 - margin) / max(1.0, by)
            for length, by in ((width, self.across), (height, self.down))
        )
        return replace(upright, height=height - FOOT, margin=max(margin, *margins))

    def sheet(self, page: Page, paper: PaperSetup) -> Page:
        """A page laid out on `room`, as it must be sent to the printer: stretched, and saying so."""
        room, size = self.room(paper), (page.width, page.height)
        if size not in ((room.width, room.height), (room.height, room.width)):
            raise ValueError(f"{page.name}: {size} is not laid out on the room of {paper.name}")
        upright = size == (room.width, room.height)
        size = (room.width, room.height + FOOT) if upright else (room.height + FOOT, room.width)
        shift = (0.0, FOOT) if upright else (FOOT, 0.0)
        words = self._label(room, upright=upright)
        return replace(
            page,
            width=size[0],
            height=size[1],
            marks=(*(placed(mark, shift) for mark in page.marks), words),
            stretch=(self.across, self.down) if upright else (self.down, self.across),
        )

    def _label(self, room: PaperSetup, *, upright: bool) -> Label:
        """The words along the paper's foot: below an upright page, up the left of one on its side."""
        size = min(SIZE, SIZE * (room.width - 2 * room.margin) / text_width(self.words, SIZE))
        middle, inside = room.width / 2, room.margin + FOOT / 2
        if upright:
            return Label(self.words, (middle, inside), size, layer="sheet")
        return Label(self.words, (inside, middle), size, angle=QUARTER, layer="sheet")


def correction(printer: str, measured: Measured) -> Correction:
    """What takes a measured printer's error out.

    Raises
    ------
    PatternsError
        A bar more than 3 % out; the text names the likely cause.
    """
    if max(abs(ratio - 1.0) for ratio in measured.ratios) > MOST:
        said = zip(("across", "down"), measured.bars, (measured.across, measured.down), strict=True)
        out = " and ".join(f"{found:.1f} mm {name} where the page has {bar:.0f} mm" for name, bar, found in said)
        raise PatternsError(f"printer '{printer}': found {out}, expected both within 3 %.\n{likely_cause(measured)}")
    across, down = measured.ratios
    return Correction(printer, 1.0 / across, 1.0 / down)


def likely_cause(measured: Measured) -> str:
    """Why a printer is so far out, in a sentence or two."""
    across, down = measured.ratios
    if said := fitted_to_other_paper(measured):
        return said
    if abs(across - down) < ALIKE and 0.9 < across < 1.0:
        return 'It looks like "fit to page" (or "shrink to printable area"): print at 100 %, actual size.'
    if abs(across - down) < ALIKE and 1.0 < across < 1.1:
        return 'It looks like "fill the page" or an enlargement: print at 100 %, actual size.'
    return "Measure again from the stroke at 0 to a lettered stroke, on a page printed at 100 %, actual size."


def fitted_to_other_paper(measured: Measured) -> str:
    """What to say where the ratios are those of one paper's page on another; nothing where they are not."""
    for name, page, other, sheet in (("a Letter", LETTER, "A4", A4), ("an A4", A4, "Letter", LETTER)):
        if _fitted(*measured.ratios, page, sheet):
            return (
                f"It looks like {name} page fitted to {other} paper: make the page for the paper in the tray "
                f"(--paper {other.lower()}) and print it at 100 %."
            )
    return ""


def _fitted(across: float, down: float, page: tuple[float, float], sheet: tuple[float, float]) -> bool:
    """Whether the ratios are those of a page fitted whole, or drawn out both ways, to another page."""
    for edge in (0.0, EDGE):
        each = tuple((there - 2 * edge) / here for here, there in zip(page, sheet, strict=True))
        for wanted in ((min(each), min(each)), each):
            if max(abs(across - wanted[0]), abs(down - wanted[1])) < ALIKE / 2:
                return True
    return False

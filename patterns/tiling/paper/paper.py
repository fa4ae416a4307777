"""Paper as the printer takes it, and how a page of it is shared out between the pattern and its furniture."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patterns.errors import PatternsError
from patterns.units.papers import paper_name, paper_size

MARGIN = 12.0  # mm; printers grip the rest, and many print nothing on it
OVERLAP = 12.0  # mm; room for whole crosses on both sides of a seam, and for tape
LEAST_OVERLAP = 10.0  # mm; a cross's arms and a little air
LEFT_STRIP = 9.0  # mm; holds the upright check bar, where a page keeps a strip for it
BOTTOM_STRIP = 14.0  # mm; holds the level check bar, the page's name and its neighbours
SEAM_PITCH = 10.0  # mm; a roll's seams stand at whole multiples, so that every cross has a round figure
PAGE_PITCH = 2.0  # mm; a page's: coarser would leave paper unused, finer saves no page
LONGEST_PAGE = 5000.0  # mm; readers refuse or crop pages over 14 400 points (5080 mm)
ROLL_WIDTH = 914.4  # mm; the commonest plotter roll, 36 in
BAR = 100.0  # mm
BAR_ROOM = BAR + 4.0  # mm; a check bar and its end strokes


@dataclass(frozen=True, slots=True)
class PaperSetup:
    """One kind of paper and how the pattern is to lie on it."""

    width: float  # mm
    height: float  # mm
    margin: float = MARGIN  # mm, all round
    overlap: float = OVERLAP  # mm, the band two neighbouring tiles share
    name: str = "paper"
    grid: bool = True  # whether datum lines and the crosses' figures are printed
    strips: bool = True  # whether bars and names have strips of their own; else they stand where the pattern is not
    pitch: float = SEAM_PITCH  # mm; seams stand at whole multiples of it

    def __post_init__(self) -> None:
        if self.margin < 0:
            raise PatternsError(f"{self.name}: found a margin of {self.margin:g} mm, expected 0 mm or more")
        if self.overlap < LEAST_OVERLAP:
            raise PatternsError(
                f"{self.name}: an overlap of {self.overlap:g} mm is too little for the crosses; "
                f"expected at least {LEAST_OVERLAP:g} mm"
            )
        if min(self.step) < self.pitch or min(self._room) < BAR_ROOM:
            raise PatternsError(
                f"{self.name}: {self.width:g} x {self.height:g} mm with margins of {self.margin:g} mm leaves no room "
                f"for a pattern and its {BAR:g} mm check bars"
            )

    @property
    def _room(self) -> tuple[float, float]:
        """Printable width and height left for the pattern."""
        left, bottom = self._strips
        return self.width - 2 * self.margin - left, self.height - 2 * self.margin - bottom

    @property
    def _strips(self) -> tuple[float, float]:
        return (LEFT_STRIP, BOTTOM_STRIP) if self.strips else (0.0, 0.0)

    @property
    def step(self) -> tuple[float, float]:
        """From seam to seam, across and up, mm."""
        across, up = (self.pitch * ((room - self.overlap + 1e-6) // self.pitch) for room in self._room)
        return across, up

    @property
    def corner(self) -> tuple[float, float]:
        """Where on the page the pattern's window has its lower left corner, mm."""
        left, bottom = self._strips
        return self.margin + left, self.margin + bottom

    def turned(self) -> PaperSetup:
        """The same paper the other way up."""
        return replace(self, width=self.height, height=self.width)

    def for_pages(self, *, strips: bool) -> PaperSetup:
        """The same paper with seams as far apart as it allows."""
        return replace(self, strips=strips, pitch=PAGE_PITCH)


def paper(name: str, *, margin: float = MARGIN, overlap: float = OVERLAP) -> PaperSetup:
    """A paper by the name printers give it, upright.

    Raises
    ------
    PatternsError
        An unknown name, or a margin or an overlap the paper has no room for.
    """
    try:
        (width, height), called = paper_size(name), paper_name(name)
    except ValueError as error:
        raise PatternsError(f"paper {name!r}: expected {error}") from None
    return PaperSetup(width, height, margin, overlap, called)

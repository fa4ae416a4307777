"""Paper as the printer takes it, and how a page of it is shared out between the pattern and its furniture."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patterns.errors import PatternsError
from patterns.units.papers import paper_name, paper_size

MARGIN = 12.0  # mm; printers grip the rest, and many print nothing on it
OVERLAP = 12.0  # mm; room for whole crosses on both sides of a seam, and for tape
LEAST_OVERLAP = 10.0  # mm; a cross's arms and a little air
LEFT_STRIP = 9.0  # mm; holds the upright check bar
BOTTOM_STRIP = 14.0  # mm; holds the level check bar, the tile's name and its neighbours
SEAM_PITCH = 10.0  # mm; seams stand at whole multiples, so that every cross has a round figure
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

    def __post_init__(self) -> None:
        if self.margin < 0:
            raise PatternsError(f"{self.name}: found a margin of {self.margin:g} mm, expected 0 mm or more")
        if self.overlap < LEAST_OVERLAP:
            raise PatternsError(
                f"{self.name}: an overlap of {self.overlap:g} mm is too little for the crosses; "
                f"expected at least {LEAST_OVERLAP:g} mm"
            )
        if min(self.step) < SEAM_PITCH or min(self._room) < BAR_ROOM:
            raise PatternsError(
                f"{self.name}: {self.width:g} x {self.height:g} mm with margins of {self.margin:g} mm leaves no room "
                f"for a pattern and its {BAR:g} mm check bars"
            )

    @property
    def _room(self) -> tuple[float, float]:
        """Printable width and height left for the pattern."""
        return self.width - 2 * self.margin - LEFT_STRIP, self.height - 2 * self.margin - BOTTOM_STRIP

    @property
    def step(self) -> tuple[float, float]:
        """From seam to seam, across and up, mm."""
        across, up = (SEAM_PITCH * ((room - self.overlap + 1e-6) // SEAM_PITCH) for room in self._room)
        return across, up

    @property
    def corner(self) -> tuple[float, float]:
        """Where on the page the pattern's window has its lower left corner, mm."""
        return self.margin + LEFT_STRIP, self.margin + BOTTOM_STRIP

    def turned(self) -> PaperSetup:
        """The same paper the other way up."""
        return replace(self, width=self.height, height=self.width)


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

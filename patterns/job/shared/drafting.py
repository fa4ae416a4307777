"""Each part of a job as a drawing, as the builder wants it drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from patterns.drawing.marks import Drawing
from patterns.errors import UnknownNameError
from patterns.geometry.short_repr import brief
from patterns.job.processes import in_processes
from patterns.job.wishes.wishes import Wishes
from patterns.parts.edges import as_laid
from patterns.parts.part import Part
from patterns.parts.whole import Job
from patterns.plates.pattern.halves import Half, half_to_turn
from patterns.plates.pattern.plate import Printing, plate
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.lengths import Lengths, lengths_by_title, lengths_of
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.tiles.shared_pages import fits_one_page


@dataclass(frozen=True, slots=True, eq=False)
class Drafting:
    """A job's parts and how they are drawn."""

    job: Job
    wishes: Wishes
    lengths: Mapping[str, Lengths]  # by a part's title
    run: str = ""  # the run mark

    __repr__ = brief

    def drawn(self, part: Part) -> Drawing:
        """One part of the job.

        Raises
        ------
        UnknownNameError
            A piece of a joined panel: it has no pattern, the whole panel has.
        """
        numbers = {one.title: number for number, one in enumerate(self.job.parts, 1)}
        if part.title not in numbers:
            raise UnknownNameError("pattern", part.title, numbers)
        return self._drawing(part, numbers[part.title], self.lengths[part.title])

    def all_drawn(self) -> tuple[Drawing, ...]:
        """Every part, in the job's order."""
        return in_processes(self.drawn, self.job.parts)

    def halved(self, drawings: Sequence[Drawing], paper: PaperSetup) -> dict[str, tuple[Drawing, ...]]:
        """By the titles of the whole ones, of the drawings that one page does not take, one half to be turned over.

        ``drawings`` are those of all parts, in their order.
        """
        found: dict[str, tuple[Drawing, ...]] = {}
        for number, (part, drawing) in enumerate(zip(self.job.parts, drawings, strict=True), 1):
            half = None if fits_one_page(drawing, paper) else half_to_turn(part)
            if half:
                found[drawing.title] = (self._drawing(half.part, number, lengths_of(part), half),)
        return found

    def _drawing(self, part: Part, number: int, lengths: Lengths, half: Half | None = None) -> Drawing:
        boat, wishes = self.job.boat, self.wishes
        return plate(
            replace(as_laid(part), saw_allowance=wishes.saw_allowance or part.saw_allowance),
            Printing(boat.name, boat.show, run=self.run, date=wishes.date, notes=wishes.notes, pricks=wishes.pricks),
            number=(number, len(self.job.parts)),
            half=half,
            lengths=lengths,
        )


def drafting(job: Job, worked: Sequence[BenchPiece], wishes: Wishes, *, run: str = "") -> Drafting:
    """A job ready to be drawn, its long pieces as long as the bench leaves them."""
    return Drafting(job, wishes, lengths_by_title(job.parts, worked), run)

"""How the builder wants the patterns drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from patterns.cli.workers import by_many_hands
from patterns.drawing.marks import Drawing
from patterns.parts.part import Part
from patterns.parts.whole import Job
from patterns.plates.pattern.halves import Half, halves
from patterns.plates.pattern.plate import plate
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.lengths import Lengths, lengths_by_title, lengths_of
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.tiles.shared_pages import on_one_sheet


@dataclass(frozen=True, slots=True)
class Drawn:
    """What is drawn on every pattern, and what is left off."""

    date: str  # printed as it is; a rule to write it on where there is none
    proud: float  # mm, the saw line outside the net line; 0 for none
    notes: bool
    pricks: bool
    half: bool = False  # patterns alike on both sides as two halves on the tiles, where one sheet does not take them

    def drawings(self, job: Job, worked: Sequence[BenchPiece]) -> list[Drawing]:
        """Every part of a job as a drawing."""
        lengths = lengths_by_title(job.parts, worked)
        return list(
            by_many_hands(
                lambda one: self._drawing(job, one[1], one[0], lengths[one[1].title]), [*enumerate(job.parts, 1)]
            )
        )

    def halved(self, job: Job, drawings: Sequence[Drawing], paper: PaperSetup) -> dict[str, tuple[Drawing, ...]]:
        """By the titles of the whole ones, the drawings that are printed as two halves."""
        found: dict[str, tuple[Drawing, ...]] = {}
        if not self.half:
            return found
        for number, (part, drawing) in enumerate(zip(job.parts, drawings, strict=True), 1):
            pair = None if on_one_sheet(drawing, paper) else halves(part)
            if pair:
                found[drawing.title] = tuple(
                    self._drawing(job, one.part, number, lengths_of(part), one) for one in pair
                )
        return found

    def _drawing(self, job: Job, part: Part, number: int, lengths: Lengths, half: Half | None = None) -> Drawing:
        return plate(
            replace(part, proud=self.proud or part.proud),
            boat=job.boat.name,
            show=job.boat.show,
            number=(number, len(job.parts)),
            date=self.date,
            notes=self.notes,
            pricks=self.pricks,
            half=half,
            lengths=lengths,
        )

"""Which papers a job's pages go on, where its own is too small."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from patterns.plates.bench.bench_page import HEIGHT, WIDTH
from patterns.tiling.paper.correction import Correction
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup
from patterns.units.papers import paper_names, paper_size

ISO = re.compile(r"[ab][0-9]")  # papers of ISO 216 by their names
ISO_A = ("a4", "a3", "a2", "a1", "a0")  # those a shop keeps in card
MARGIN = 12.7  # mm (1/2 in); with more, letter or A4 do not take the bench pages


@dataclass(frozen=True, slots=True)
class Printed:
    """A paper, and what the printer is corrected by."""

    paper: PaperSetup
    correction: Correction | None

    @property
    def room(self) -> PaperSetup:
        """What of the paper there is to lay patterns out on."""
        return self.correction.room(self.paper) if self.correction else self.paper

    def pages(self, pages: Sequence[Page]) -> Sequence[Page]:
        """Pages laid out on `room` as they are to be printed."""
        return [self.correction.sheet(page, self.paper) for page in pages] if self.correction else pages


def at_bench(printed: Printed) -> Printed:
    """The paper for what is used at the bench: letter or A4, uncorrected, where the job's paper is too small."""
    room, asked = printed.room, printed.paper
    if room.width - 2 * room.margin >= WIDTH and room.height - 2 * room.margin >= HEIGHT:
        return printed
    enough = "a4" if ISO.fullmatch(asked.name.lower()) else "letter"
    return Printed(PaperSetup(*paper_size(enough), min(asked.margin, MARGIN), asked.overlap, enough), None)


def larger_papers(paper: PaperSetup) -> list[PaperSetup]:
    """The papers of the same standard that are larger, the least first: a shop that has one has the others."""
    iso = bool(ISO.fullmatch(paper.name))
    kept = [name for name in paper_names() if (name in ISO_A if iso else not ISO.fullmatch(name))]
    sizes = {name: paper_size(name) for name in kept}
    over = [name for name, (width, height) in sizes.items() if width * height > paper.width * paper.height]
    return [
        replace(paper, name=name, width=sizes[name][0], height=sizes[name][1])
        for name in sorted(over, key=lambda name: sizes[name][0] * sizes[name][1])
    ]

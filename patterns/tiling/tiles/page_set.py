"""All pages of a boat's patterns: the front page, key plans together, then each pattern's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patterns.geometry.short_repr import brief
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.paper.stacked import stacked
from patterns.tiling.seams.key_plan import HOW_TO_TAPE
from patterns.tiling.tiles.front_page import front_page
from patterns.tiling.tiles.tiles import Tiling


@dataclass(frozen=True, slots=True, eq=False)
class PageSet:
    """Pages in the order they are printed."""

    front: Page
    keys: tuple[Page, ...]  # key plans, several to a page
    tilings: tuple[Tiling, ...]

    __repr__ = brief

    @property
    def pages(self) -> tuple[Page, ...]:
        """All of them."""
        return (self.front, *self.keys, *(page for tiling in self.tilings for page in tiling.pages))


def page_set(
    tilings: Sequence[Tiling], paper: PaperSetup, *, boat: str, run: str = "", left_off: Sequence[str] = ()
) -> PageSet:
    """The pages of some patterns.

    Parameters
    ----------
    run : str
        The run mark.
    left_off : [str]
        What is said of patterns that have none.
    """
    marked = f"run {run}, {boat}" if run else boat
    figures = [tiling.key for tiling in tilings if tiling.key is not None]
    laid = (
        stacked(figures, paper, boat=marked, title="key plans", note=HOW_TO_TAPE, in_order=False) if figures else None
    )
    keys = laid.pages if laid else ()
    numbers = dict(zip((figure.title for figure in figures), laid.numbers, strict=True)) if laid else {}
    front = front_page(tilings, paper, boat=boat, run=run, keys=(len(keys), numbers), left_off=left_off)
    return PageSet(front, keys, tuple(tilings))

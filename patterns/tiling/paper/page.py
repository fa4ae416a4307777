"""A page of paper with ink on it: all a writer needs to know."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patterns.drawing.marks import Ink
from patterns.geometry.short_repr import brief


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """One page, true size. The origin is the paper's lower left corner."""

    width: float  # mm
    height: float  # mm
    marks: tuple[Ink, ...]
    name: str  # "side panel, port: B3"
    entry: str = ""  # what a reader's list of contents calls it; empty for a page not worth listing
    stretch: tuple[float, float] = (1.0, 1.0)  # of all ink about the middle, across and up: a printer's error undone

    __repr__ = brief


def first_pages(names: Sequence[str], numbers: Sequence[int]) -> dict[str, tuple[int, int]]:
    """By name, the first and the last of the pages that it is on."""
    pages: dict[str, tuple[int, int]] = {}
    for name, number in zip(names, numbers, strict=True):
        first, last = pages.get(name, (number, number))
        pages[name] = min(first, number), max(last, number)
    return pages

"""Rows of screws along a story stick: where each stands along it, to be ticked from its edge."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.shop.fastening.received import Received
from patterns.shop.fastening.seam import Seam
from patterns.shop.layout.layout_tables import LayoutTable

ALIKE = 0.5  # mm; rows of both hands that differ by less are one row of pencil ticks


@dataclass(frozen=True, slots=True, eq=False)
class ScrewRow:
    """One row of screws along a stick."""

    letter: str  # "a"; "" where the stick has one row
    words: str  # which row it is, a sentence
    along: Floats  # (k,) mm from the stick's zero, ascending

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    name: str  # "chine"
    hand: str
    words: Callable[[str], str]  # of which hand it is said
    along: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Fastened:
    """All seams of a boat, and what logs, inwales and stems get of them."""

    seams: Sequence[Seam] = ()
    received: Sequence[Received] = ()

    __repr__ = brief

    def rows(self, table: LayoutTable, twin: LayoutTable | None, edge: str | None) -> tuple[ScrewRow, ...]:
        """The rows of a part's stick.

        Parameters
        ----------
        twin : LayoutTable or None
            The other hand's table, for whom the stick is too.
        edge : str or None
            The one edge that the stick is for; None for all of the part.
        """
        found = [*self._of(table, edge), *(self._of(twin, edge) if twin is not None else ())]
        return tuple(_lettered(list(_one_of_alike(found))))

    def _of(self, table: LayoutTable, edge: str | None) -> Iterator[_Found]:
        part = table.part
        for seam in self.seams:
            if seam.part == part.title and seam.count and (seam.beside == edge if edge else not seam.beside):
                hand = part.hand if part.hand != "none" else _last_word(seam.along)
                yield _Found(seam.along, hand, _words(table, seam), _along(table, seam.places))
        for one in self.received:
            if one.part == part.title and len(one.places) and edge is None:
                hand = part.hand if part.hand != "none" else _last_word(one.seam.part)
                yield _Found(one.seam.part, hand, _words_into(one), _along(table, one.places))


def _along(table: LayoutTable, places: Floats) -> Floats:
    return np.sort(table.figures(places)[:, 0])


def _last_word(text: str) -> str:
    return text.rpartition(", ")[2] if text.endswith((", port", ", starboard")) else "none"


def _bare(text: str) -> str:
    return text.removesuffix(", port").removesuffix(", starboard")


def _words(table: LayoutTable, seam: Seam) -> Callable[[str], str]:
    off = f", {table.tape(seam.edge)} {seam.edge_from}" if seam.edge else ""

    def words(hand: str) -> str:
        name = _bare(seam.along)
        return f"screws along the {name}{hand}{off}; {seam.count}, no more than {table.tape(seam.spacing)} apart."

    return words


def _words_into(one: Received) -> Callable[[str], str]:
    count = len(one.places)
    some = "" if count == one.seam.count else f" of {one.seam.count}, the rest beyond the ends"
    return lambda hand: f"screws that come from the {_bare(one.seam.part)}{hand}; {count}{some}."


def _one_of_alike(found: Sequence[_Found]) -> Iterator[tuple[str, Floats]]:
    """Rows of both hands as one where they are; else each with its hand."""
    left = list(found)
    while left:
        one = left.pop(0)
        pair = [other for other in left if _bare(other.name) == _bare(one.name) and other.hand != one.hand]
        twin = next((other for other in pair if _alike(one.along, other.along)), None)
        if twin is not None:
            left.remove(twin)
        yield one.words(f" to {one.hand}" if pair and twin is None else ""), one.along
        if twin is None:
            for other in pair:
                left.remove(other)
                yield other.words(f" to {other.hand}"), other.along


def _alike(one: Floats, other: Floats) -> bool:
    return len(one) == len(other) and bool(np.abs(one - other).max() < ALIKE)


def _lettered(found: Sequence[tuple[str, Floats]]) -> Iterator[ScrewRow]:
    for number, (words, along) in enumerate(found):
        letter = chr(ord("a") + number) if len(found) > 1 else ""
        yield ScrewRow(letter, words, along)


def screw_words(row: ScrewRow) -> str:
    """What the short ticks of a row are."""
    return f"Short ticks{row.letter and ' '}{row.letter}: {row.words}"


NO_SCREWS = Fastened()

"""What a report is made of, before it is a page or lines on a terminal. Knows no boat and no format."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from patterns.drawing.marks import Drawing

Tone = Literal["plain", "note", "caution"]


@dataclass(frozen=True, slots=True)
class Paragraph:
    text: str
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Bullets:
    entries: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of words; the columns named in ``figures`` are set flush right."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: frozenset[str] = frozenset()

    def is_figure(self, place: int) -> bool:
        return self.columns[place] in self.figures


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing; its file name must be its own on the page, because its ids begin with it."""

    drawing: Drawing
    caption: str = ""


Block = Paragraph | Bullets | Table | Figure


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    blocks: tuple[Block, ...]

    @property
    def anchor(self) -> str:
        return re.sub(r"[^a-z0-9]+", "-", self.title.lower()).strip("-") or "section"

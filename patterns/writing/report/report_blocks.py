"""What a report is made of, before it is a page or lines on a terminal. Knows no boat and no format."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from patterns.drawing.marks import Drawing
from patterns.drawing.shaded import Body
from patterns.writing.ink.ids import plain_id

Tone = Literal["plain", "note", "caution"]


@dataclass(frozen=True, slots=True)
class Paragraph:
    text: str
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Copied:
    """Lines to be copied as they are into a file of the builder's."""

    lines: tuple[str, ...]


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
    fitted: bool = False  # a picture that a phone shows whole, and no plan with words to be read
    across: bool = False  # a large one: on paper it goes across all columns
    rows_below: int = 0  # of a table that on paper must not part from it


@dataclass(frozen=True, slots=True)
class Link:
    """A place in the report or a file beside it, and what is said of it."""

    text: str
    target: str  # "#anchor", or a path relative to the page
    told: str = ""
    on_paper: bool = True  # whether a printed report names it: nobody turns to a file from the wall
    kind: str = ""  # what sort of file it is: neighbours of one kind stand in one row, under its name


@dataclass(frozen=True, slots=True)
class Links:
    entries: tuple[Link, ...]

    @property
    def rows(self) -> tuple[tuple[str, tuple[Link, ...]], ...]:
        """The links, those of one kind together, with its name."""
        return tuple((kind, tuple(row)) for kind, row in groupby(self.entries, key=lambda link: link.kind))


@dataclass(frozen=True, slots=True)
class Step:
    do: str
    check: str  # how one sees that it is done right
    picture: Drawing | None = None


@dataclass(frozen=True, slots=True)
class Steps:
    """Work in its order, each with a box to tick."""

    entries: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Figures:
    """Small pictures side by side."""

    entries: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """A few figures of a thing, each with its name."""

    entries: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Thumb:
    """A small picture that leads to a section; the section itself shows the drawing larger."""

    drawing: Drawing
    text: str
    target: str  # "#anchor"


@dataclass(frozen=True, slots=True)
class Thumbs:
    """Contents in pictures."""

    entries: tuple[Thumb, ...]


@dataclass(frozen=True, slots=True)
class Model:
    """Bodies in space that a page with scripts lets be turned and pulled apart; elsewhere a still picture of them."""

    bodies: tuple[Body, ...]
    still: Drawing
    caption: str


Block = Paragraph | Copied | Bullets | Table | Figure | Figures | Facts | Links | Steps | Thumbs | Model


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    blocks: tuple[Block, ...]
    parts: tuple[Section, ...] = ()  # sections within it

    @property
    def anchor(self) -> str:
        return plain_id(self.title.lower()) or "section"

"""A drawing is a tuple of marks: ink that knows no boat. Plates make it, tiling cuts it, writers spell it out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, read_only
from patterns.geometry.short_repr import brief

Layer = Literal[
    "cut-outside", "cut-inside", "saw", "far-face", "mark", "drill", "text", "sheet", "line", "bending", "given",
    "band", "shading", "shown",
]  # fmt: skip
Anchor = Literal["start", "middle", "end"]
Place = tuple[float, float]  # mm

LAYERS: tuple[Layer, ...] = (
    "cut-outside", "cut-inside", "saw", "far-face", "mark", "drill", "text", "sheet",
)  # fmt: skip
LINES_LAYERS: tuple[Layer, ...] = ("line", "bending", "given")
"""Layers of the lines drawing, beside those of patterns."""
PICTURES: tuple[Layer, ...] = ("shading",)
"""Layers of pictures in greys."""
TINTS: tuple[Layer, ...] = ("band", "shown")
"""Layers whose closed strokes are filled with grey."""
DRAWN: tuple[Layer, ...] = (*PICTURES, *TINTS, *LAYERS, *LINES_LAYERS)
"""Every layer, the lowest first: a tint lies under all that is drawn over it."""


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A line through points, closed or open."""

    points: Floats  # (n, 2) mm
    layer: Layer
    closed: bool = False
    run: float = 0.0  # mm of the uncut line before the first point: dashes go on from there on the next page
    dashes: tuple[float, ...] = ()  # mm, drawn and gap by turns, where they are not the layer's own

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=2))


@dataclass(frozen=True, slots=True)
class Cross:
    """Two short strokes through one exact place."""

    at: tuple[float, float]  # mm
    arm: float  # mm, half the length of each stroke
    layer: Layer


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text."""

    text: str
    at: tuple[float, float]  # mm; the anchor, on the text's middle height
    size: float  # mm, height of a capital letter
    angle: float = 0.0  # rad, counter-clockwise
    anchor: Anchor = "middle"
    layer: Layer = "text"
    home: Place | None = None  # mm, the place the text speaks of, where there is one
    leader: tuple[Place, Place] | None = None  # mm, from beside the home to beside the text, where it was carried off

    def carried(self, way: Callable[[Place], Place], *, turn: float = 0.0, scale: float = 1.0) -> Label:
        """The label with all its places moved, its text turned counter-clockwise by ``turn`` rad."""
        home = None if self.home is None else way(self.home)
        leader = None if self.leader is None else (way(self.leader[0]), way(self.leader[1]))
        size, angle = self.size * scale, self.angle + turn
        return Label(self.text, way(self.at), size, angle, self.anchor, self.layer, home, leader)


@dataclass(frozen=True, slots=True, eq=False)
class Shading:
    """A picture in greys. It is no pattern: nothing is cut by it, and it is never turned but by quarters."""

    greys: NDArray[np.uint8]  # (rows, columns) from the top left, 0 black to 255 white
    at: Place  # mm, its lower left corner
    width: float  # mm
    height: float  # mm
    layer: Layer = "shading"

    __repr__ = brief

    @property
    def box(self) -> Floats:
        """(4, 2) mm, its corners, counter-clockwise."""
        (x, y), w, h = self.at, self.width, self.height
        return np.array([[x, y], [x + w, y], [x + w, y + h], [x, y + h]])


Ink = Stroke | Cross | Label | Shading


@dataclass(frozen=True, slots=True)
class Pointer:
    """An arrow that every page of a drawing carries, with its word: ``BOW``."""

    word: str
    angle: float | None  # rad, counter-clockwise from the drawing's x; None where it points out of the paper


@dataclass(frozen=True, slots=True)
class Sentence:
    """Words of a title block, over as many lines as they need."""

    text: str
    size: float  # mm, height of a capital letter


@dataclass(frozen=True, slots=True, eq=False)
class Sign:
    """Ink with a row of a title block to itself: an arrow and its word, a line to write on."""

    marks: tuple[Ink, ...]  # from nought to the right, their middle height at nought
    width: float  # mm
    height: float  # mm, of the row


@dataclass(frozen=True, slots=True, eq=False)
class TitleBlock:
    """What a pattern says of itself. It is moved as one, and is not cut where a page has room for it."""

    marks: tuple[Ink, ...]  # as it stands on the drawing
    items: tuple[Sentence | Sign, ...] = ()  # what it says, to be set in other columns; none where it cannot be
    turn: float = 0.0  # rad, as the drawing is turned

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """One pattern, full size, y up."""

    title: str  # "side panel, port"
    file_name: str  # "side-panel-port"
    body: tuple[Ink, ...]  # all but the title block
    block: TitleBlock | None = None
    foot: str = ""  # what every page of it says: "inside face toward you"
    pointer: Pointer | None = None
    about: str = ""  # what its key plan says of it: "Finished length 2' 3 1/2\""
    turn: float = 0.0  # rad, counter-clockwise from the pattern's own axes, to save paper
    named: tuple[tuple[str, Floats], ...] = ()  # lines that its key plan names, (n, 2) mm
    run: str = ""  # the run mark every page of it carries
    holds: tuple[str, ...] = ()  # the titles of patterns that are drawn together here
    wood: Floats | None = None  # (n, 2) mm, the part's outline: no page is printed for a mark that runs on past it

    __repr__ = brief

    @property
    def titles(self) -> tuple[str, ...]:
        """Of the patterns it shows."""
        return self.holds or (self.title,)

    @property
    def marks(self) -> tuple[Ink, ...]:
        """All that is drawn, the title block first: whoever reads a page's words begins with it."""
        return self.body if self.block is None else self.block.marks + self.body


def leaders(marks: Iterable[Ink]) -> Iterator[Stroke]:
    """The leaders that labels have, as strokes, for whoever draws them or asks where they run."""
    for mark in marks:
        if isinstance(mark, Label) and mark.leader is not None:
            yield Stroke(np.array(mark.leader), "mark")

"""A drawing is a tuple of marks: ink that knows no boat. Plates make it, tiling cuts it, writers spell it out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from patterns.geometry.arrays import Floats, read_only
from patterns.geometry.short_repr import brief

Layer = Literal[
    "cut-outside", "cut-inside", "saw", "far-face", "mark", "drill", "text", "sheet", "line", "bending", "given", "band"
]
Anchor = Literal["start", "middle", "end"]
Place = tuple[float, float]  # mm

LAYERS: tuple[Layer, ...] = (
    "cut-outside", "cut-inside", "saw", "far-face", "mark", "drill", "text", "sheet",
)  # fmt: skip
LINES_LAYERS: tuple[Layer, ...] = ("line", "bending", "given")
"""Layers of the lines drawing, beside those of patterns."""
TINTS: tuple[Layer, ...] = ("band",)
"""Layers whose closed strokes are filled with grey."""
DRAWN: tuple[Layer, ...] = (*TINTS, *LAYERS, *LINES_LAYERS)
"""Every layer, the lowest first: a tint lies under all that is drawn over it."""


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A line through points, closed or open."""

    points: Floats  # (n, 2) mm
    layer: Layer
    closed: bool = False
    run: float = 0.0  # mm of the uncut line before the first point: dashes go on from there on the next sheet
    dashes: tuple[float, ...] = ()  # mm, drawn and gap by turns, where they are not the layer's own
    leader: bool = False  # whether it only joins a label to its home: a label moved takes another

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


Ink = Stroke | Cross | Label


@dataclass(frozen=True, slots=True)
class Pointer:
    """An arrow that every sheet of a drawing carries, with its word: ``BOW``."""

    word: str
    angle: float | None  # rad, counter-clockwise from the drawing's x; None where it points out of the paper


class Shapes:
    """A title block set in other ways, none of them made before somebody asks."""

    def __init__(self, make: Callable[[], Iterable[tuple[Ink, ...]]] = tuple) -> None:
        self._make = make

    def afresh(self) -> Shapes:
        """The same, none of them made yet."""
        return Shapes(self._make)

    @cached_property
    def made(self) -> tuple[tuple[Ink, ...], ...]:
        return tuple(self._make())


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """One pattern, full size, y up."""

    title: str  # "side panel, port"
    file_name: str  # "side-panel-port"
    marks: tuple[Ink, ...]
    block: tuple[int, int] = (0, 0)  # first and end of the marks that are moved only as one: a title block
    shapes: Shapes = Shapes()  # the block set otherwise, for sheets where it finds no room as it is
    foot: str = ""  # what every sheet of it says: "inside face towards you"
    pointer: Pointer | None = None
    about: str = ""  # what the sheet that explains its pages says of it: "Finished length 2' 3 1/2\""
    turn: float = 0.0  # rad, counter-clockwise from the pattern's own axes, to save paper

    __repr__ = brief

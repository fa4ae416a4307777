"""What a job has to tell, as values. Whoever shows them chooses the words round them.

Sentences that pages or the book print too are held as they are printed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from typing import TypeAlias

from patterns.parts.cautions import Caution


class Stage(Enum):
    """What a long job is at."""

    FAIRING = auto()
    CUTTING = auto()
    DRAWING = auto()
    ON_SHEETS = auto()
    ON_PAPER = auto()
    BOOK = auto()


@dataclass(frozen=True, slots=True)
class Counted:
    """How far a stage is."""

    done: int
    of: int


@dataclass(frozen=True, slots=True)
class Moved:
    """How far fairing moved one line in one view."""

    line: str
    view: str
    columns: tuple[str, ...]
    by: tuple[float, ...]  # mm, by column


@dataclass(frozen=True, slots=True)
class Moves:
    """How far fairing moved every line."""

    within: float  # mm, the limit
    moved: tuple[Moved, ...]


@dataclass(frozen=True, slots=True)
class Joint:
    """Where a panel longer than its sheets is joined."""

    words: str


@dataclass(frozen=True, slots=True)
class AtSaw:
    """How a long piece bends, at what tilts it is ripped, and what it is sawn from."""

    name: str
    bending: str
    rips: tuple[tuple[str, float], ...]  # edge, degrees; empty without a saw
    stock: str


@dataclass(frozen=True, slots=True)
class OnSheet:
    """A sheet of plywood that parts lie on."""

    title: str
    left: tuple[float, float] | None  # mm, length and width of the largest piece left


@dataclass(frozen=True, slots=True)
class OnNoSheet:
    """Parts that lie on no sheet."""

    why: str
    names: tuple[str, ...]  # each part where sheets had no room for it, else by kinds
    no_room: bool


@dataclass(frozen=True, slots=True)
class ToBuy:
    """What to buy from the yard."""

    boards: tuple[str, ...]  # each size of board, with how many
    totals: tuple[str, ...]  # each wood, net and gross
    missing: tuple[str, ...]  # what no board of the yard makes, and why


@dataclass(frozen=True, slots=True)
class FitChecked:
    """What the check of the fit found."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Assumed:
    """What setting up assumes because boat.toml does not say it."""

    words: str


@dataclass(frozen=True, slots=True)
class BenchPaper:
    """The job's paper is too small for what is used at the bench."""

    small: str
    taken: str


@dataclass(frozen=True, slots=True)
class TilesPrinted:
    """How many pages the patterns take."""

    pages: int
    paper: str
    left_off: tuple[str, ...]  # which patterns have no pages


@dataclass(frozen=True, slots=True)
class RollPrinted:
    """How much paper the roll takes."""

    length: str
    too_long: bool  # a page is longer than some programs take


@dataclass(frozen=True, slots=True)
class ModelPrinted:
    """What card the model takes."""

    scale: int
    pages: int
    card: str
    paper: str  # the job's
    largest: int | None  # the scale, one to so many, that goes on the job's paper


@dataclass(frozen=True, slots=True)
class Floating:
    """What the boat weighs and how she floats."""

    words: tuple[str, ...]  # the weight, then how she floats with all loads
    swamped: tuple[tuple[str, str], ...]  # with what aboard she fills, and why


@dataclass(frozen=True, slots=True)
class Built:
    """What is out of the boat as she stands."""

    words: str
    misfits: tuple[tuple[str, str], ...] = ()  # parts cut to the plan that no longer fit, and by how much


@dataclass(frozen=True, slots=True)
class Warned:
    """Every warning of the job."""

    cautions: tuple[Caution, ...]


Told: TypeAlias = (
    Moves
    | Joint
    | AtSaw
    | OnSheet
    | OnNoSheet
    | ToBuy
    | FitChecked
    | Assumed
    | BenchPaper
    | TilesPrinted
    | RollPrinted
    | ModelPrinted
    | Floating
    | Built
    | Warned
)

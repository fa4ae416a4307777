"""What the builder asks of stem and transom besides their shape. mm."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patterns.parts.materials import NOT_STATED


@dataclass(frozen=True, slots=True)
class MotorCut:
    """The cut-out an outboard motor hangs in."""

    width: float  # athwart, at the top
    depth: float  # below the transom's top on the centre line
    corner: float  # radius of its lower corners


@dataclass(frozen=True, slots=True)
class ScullingNotch:
    """A round-bottomed notch for a sculling oar."""

    width: float
    depth: float  # below the transom's top where it stands
    off_center: float  # to starboard, negative to port


@dataclass(frozen=True, slots=True)
class TransomFraming:
    """Fashion pieces round the inside of a transom."""

    sided: float  # square to the transom
    moulded: float  # from the planking inboard
    material: str


@dataclass(frozen=True, slots=True)
class TransomWork:
    motor: MotorCut | None = None
    sculling: ScullingNotch | None = None
    framing: TransomFraming | None = None
    through: bool = False  # whether the long pieces inside the planking come out through it
    boards: float | None = None  # width of the boards it is laid out of, athwart


class PlankEnds(StrEnum):
    """How the planking ends at a stem."""

    FALSE_STEM = "under a false stem"
    LAPPED = "second side laps the first"
    RABBET = "in a rabbet"


@dataclass(frozen=True, slots=True)
class StemWork:
    ends: PlankEnds = PlankEnds.FALSE_STEM
    false_moulded: float | None = None  # of the false stem, fore and aft
    false_material: str = NOT_STATED
    layers: int = 1  # laminated of so many
    material: str = NOT_STATED


EndWork = StemWork | TransomWork

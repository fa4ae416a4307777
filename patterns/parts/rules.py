"""What the builder asks of the parts: the whole boat as written, in mm."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patterns.hull.build import End, Skin
from patterns.hull.offsets import Offsets
from patterns.parts.long_rules import LongAsked


class StationFace(StrEnum):
    """Which face of a frame stands on the station line."""

    TOWARD_MIDSHIP = "toward midship"
    END_WARD = "end-ward"
    FORE = "fore"
    AFT = "aft"


class FrameKind(StrEnum):
    SAWN = "sawn"
    SHEET = "sheet"
    MOULD = "mould"


@dataclass(frozen=True, slots=True)
class FramePlace:
    name: str  # "3" for a station of the table, or the distance as the builder wrote it
    from_fp: float  # mm


@dataclass(frozen=True, slots=True)
class FrameRules:
    places: tuple[FramePlace, ...]
    sided: float  # mm, fore and aft
    side_moulded: float  # mm, from the planking inboard
    floor_moulded: float  # mm, from the bottom up
    station_face: StationFace
    kind: FrameKind
    material: str


@dataclass(frozen=True, slots=True)
class Boat:
    """All that moves wood, as the builder wrote it."""

    name: str
    about: str
    offsets: Offsets
    fair_within: float  # mm
    fore: End
    aft: End
    skin: Skin
    frames: FrameRules | None
    show: str  # how lengths are printed: "ft-in-16ths", "in-16ths", "mm", ...
    long: LongAsked = LongAsked()

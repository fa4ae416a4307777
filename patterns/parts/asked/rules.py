"""What the builder asks of the parts: the whole boat as written, in mm."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from patterns.geometry.short_repr import one_line
from patterns.hull.build import Diagonal, End, EndFace, LinesTo, Skin
from patterns.hull.fairing_rules import FairingRule, Knuckle
from patterns.hull.offsets import Offsets
from patterns.parts.asked.end_rules import EndWork
from patterns.parts.asked.fitting_rules import FittingsAsked
from patterns.parts.asked.grain_rules import GrainRule
from patterns.parts.asked.joint_rules import JointRules
from patterns.parts.asked.long_rules import LongAsked
from patterns.parts.materials import Plywood


class StationFace(StrEnum):
    """Which face of a frame stands on the station line."""

    TOWARD_MIDSHIP = "toward midship"
    END_WARD = "end-ward"
    FORE = "fore"
    AFT = "aft"


class FrameKind(StrEnum):
    SAWN = "sawn"  # side timbers and a floor timber, joined with gussets; bevelled, stays in the boat
    SHEET = "sheet"  # one ring of plywood, bevelled, stays in the boat
    MOULD = "mould"  # temporary, left square: one edge touches the planking


class FrameJoint(StrEnum):
    """How the timbers of a sawn frame meet."""

    SIDES_ON_FLOOR = "sides on floor"
    FLOOR_BETWEEN_SIDES = "floor between sides"
    MITRE = "mitre"


class Way(StrEnum):
    """Which way up the boat is built."""

    UPSIDE_DOWN = "upside down"
    RIGHT_SIDE_UP = "right side up"


@dataclass(frozen=True, slots=True)
class Building:
    """How the boat is set up while it is built."""

    way: Way
    strongback: float  # mm above base, upright boat: the strongback's top, above the sheer where built upside down
    spall: float | None  # mm above base, upright boat: the lower edge of every cross spall


@dataclass(frozen=True, slots=True)
class Gussets:
    """Flat plates over the corners of a sawn frame."""

    thickness: float  # mm
    faces: int  # 1, the marked face only, or 2
    material: str
    measured: bool = True  # whether the builder gave the thickness, or it was taken in proportion to the frame


@dataclass(frozen=True, slots=True)
class MouldPieces:
    """What moulds are made of where one piece does not do."""

    halves: bool = False  # all of them, joined on the centre line
    board: float | None = None  # mm, the widest board that an open mould is got out of
    sheets: tuple[tuple[float, float], ...] = ()  # mm, length and width that a cutter uses of each kind of sheet
    cleat: float | None = None  # mm, thickness of the cleats; None for that of the mould


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
    joint: FrameJoint = FrameJoint.SIDES_ON_FLOOR
    inside_corner: float = 0.0  # mm, radius of the inner edge's corners of sheet frames and open moulds
    solid: bool = False  # a mould without an opening
    bevelled: bool = False  # a mould whose edges are bevelled to the planking, as a frame's are
    pieces: MouldPieces = MouldPieces()
    limber: float = 0.0  # mm, radius of the drain notches; 0 for none
    shy: float = 0.0  # mm a notch is left smaller than the piece all round, to be fitted at the bench
    gussets: Gussets | None = None
    own: tuple[tuple[str, FrameRules], ...] = ()  # frames with rules of their own, by name

    def at(self, place: FramePlace) -> FrameRules:
        """The rules of one frame: its own where it has any."""
        return dict(self.own).get(place.name, self)


@dataclass(frozen=True, slots=True)
class RoundKeel:
    """The keel of a round hull, with the rabbet for its garboards."""

    sided: float  # mm, athwart
    moulded: float  # mm, from its lower edge to its upper one
    below: float  # mm of that below the rabbet
    material: str


@dataclass(frozen=True, slots=True)
class BoatLines:
    """All that the lines are faired by, as the builder wrote it."""

    name: str
    about: str
    offsets: Offsets
    fair_within: float  # mm
    fore: EndFace
    aft: EndFace
    lines_to: LinesTo
    show: str  # how lengths are printed: "ft-in-16ths", "in-16ths", "mm", ...
    # Offsets, lines and views with limits of their own.
    fairing: tuple[FairingRule, ...] = field(default=(), kw_only=True)
    knuckles: tuple[Knuckle, ...] = field(default=(), kw_only=True)  # where lines are meant not to run fair
    diagonals: tuple[Diagonal, ...] = field(default=(), kw_only=True)  # where the table's diagonals lie

    def __repr__(self) -> str:
        offsets = self.offsets
        where = f"{len(offsets.stations)} stations from {offsets.columns[0]} to {offsets.columns[-1]}"
        return one_line(self, f"{self.name}: {', '.join(offsets.lines)} at {where}")


@dataclass(frozen=True, slots=True)
class Boat(BoatLines):
    """Lines, and all that moves wood, as the builder wrote it."""

    fore: End
    aft: End
    lines_to: LinesTo = field(init=False)  # as the skin has it
    skin: Skin
    frames: FrameRules | None
    long: LongAsked = LongAsked()
    fitted: FittingsAsked = FittingsAsked()
    fore_work: EndWork | None = None
    aft_work: EndWork | None = None
    building: Building | None = None
    keel: RoundKeel | None = None  # of a round hull
    joints: JointRules | None = None  # of panels longer than the sheets; None where no sheets are named
    plywood: Plywood = Plywood()  # which materials come in sheets
    grain: tuple[GrainRule, ...] = ()  # of parts for which the builder says how it lies

    __repr__ = BoatLines.__repr__

    def __post_init__(self) -> None:
        object.__setattr__(self, "lines_to", self.skin.lines_to)

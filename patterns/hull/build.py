"""What the builder says of the hull besides the table: its ends and its planking."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from math import fsum

from patterns.geometry.arrays import Floats, read_only
from patterns.geometry.cuts import Profile
from patterns.geometry.short_repr import brief


@dataclass(frozen=True, slots=True, eq=False)
class StemFace:
    """The fore face of a stem, or the after face of a sternpost: the planking ends on it."""

    profile: Floats  # (n, 2) mm: distance from FP, height above base; from the sheer down

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "profile", read_only(self.profile, columns=2))


@dataclass(frozen=True, slots=True, eq=False)
class Stem(StemFace):
    """A stem (or sternpost): its face, and the timber behind it."""

    sided: float  # mm, athwart
    moulded: float  # mm, fore and aft in profile

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class TransomFace:
    """The outer face of a transom (aft, or forward on a pram): the lines run to it."""

    profile: Floats  # (n, 2) mm: its centre line, distance from FP and height; from the sheer down
    # mm, where the face is bowed, away from the boat, round an axis in its rake
    radius: float | None = field(default=None, kw_only=True)

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "profile", read_only(self.profile, columns=2))


@dataclass(frozen=True, slots=True, eq=False)
class Transom(TransomFace):
    """A transom: its outer face, and the board."""

    thickness: float  # mm, square to the face
    crown: float  # mm, top edge at the centre line above the sheer corners, along the face
    material: str

    __repr__ = brief


EndFace = StemFace | TransomFace  # all that the lines need
End = Stem | Transom


def end_word(end: EndFace, *, aft: bool) -> str:
    """What an end of the boat is called."""
    if isinstance(end, TransomFace):
        return "transom" if aft else "bow transom"
    return "sternpost" if aft else "stem"


def end_cut(end: EndFace, *, aft: bool) -> Profile:
    """The surface that the lines of the boat end on."""
    radius = end.radius if isinstance(end, TransomFace) else None
    return Profile(end.profile, radius if radius is None or aft else -radius)


@dataclass(frozen=True, slots=True)
class Diagonal:
    """Where a diagonal of the table lies: a plane along the boat that slopes down outboard from the centre plane."""

    name: str  # as the table names its row: "diagonal A"
    apex: float  # mm above base, on the centre plane
    angle: float  # rad down outboard from level; figures run along it from the apex


@dataclass(frozen=True, slots=True)
class Planking:
    thickness: float  # mm, as measured
    material: str
    table: str = "planking.side"  # of boat.toml, where it is said
    boards: tuple[float, ...] = ()  # mm, widths of the boards of a flat bottom that is laid of boards athwart


class LinesTo(StrEnum):
    OUTSIDE = "outside of planking"
    INSIDE = "inside of planking"


class Joint(StrEnum):
    """How the edges of two neighbouring strakes meet."""

    HALF_ANGLE = "half angle"  # both edges planed, inside faces to inside faces, outside to outside
    LOWER_OVER = "lower over upper"  # the lower strake bears on the planed edge of the upper one
    UPPER_OVER = "upper over lower"
    LAPPED = "lapped"  # the upper strake lies on the outside of the lower one


class KeelJoint(StrEnum):
    """How the two lowest strakes of a V bottom end along the centre line."""

    HALF_ANGLE = "half angle"  # on each other, planed to the centre plane
    ON_KEEL = "on the keel"  # on the faces of a keel or keelson, at its half siding
    RABBET = "in a rabbet"  # square in a rabbet cut in keel and stem


@dataclass(frozen=True, slots=True)
class Lap:
    """How lapped strakes lie on each other."""

    width: float  # mm, of the face of the strake below that the one above lies on
    gain: float  # mm from either end over which a lap fades until both strakes lie flush
    least: float  # mm of the strake below that its bevel must leave at the top edge


class Closing(StrEnum):
    """What closes the hull along the centre line, below its lowest chine."""

    FLAT = "a bottom that lies flat athwart"
    KEEL = "a keel, or a seam along the center line"
    OPEN = "nothing that the table says"


def closing_of(lines: Sequence[str]) -> Closing:
    """What closes a hull whose long lines, from the sheer down, have these names."""
    if "keel" in lines:
        return Closing.KEEL
    return Closing.FLAT if any(name.startswith("chine") for name in lines) else Closing.OPEN


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of the planking of a round hull, or of what lies between it and the moulds."""

    name: str  # "first diagonal", "ribbands"
    thickness: float  # mm
    on_moulds: bool = False  # whether it lies inside the planking and on the moulds alone: a ribband, a bent frame


@dataclass(frozen=True, slots=True)
class PlankRules:
    """How planks or ribbands divide the girth of a round hull, or strips cover it."""

    count: int | None = None  # planks to a side, or ribbands
    widest: float | None = None  # mm, in place of a count: as few planks as are no broader than this
    strip: float | None = None  # mm, breadth of the strips of a strip-planked hull: no lines, only how many
    taper: float = 1.0  # breadth of the uppermost over that of the lowest
    breadths: tuple[float, ...] = ()  # mm where the girth is greatest, from the keel up, in place of a count
    breadths_fore: tuple[float, ...] = ()  # mm at the fore end; only what they are to each other counts
    breadths_aft: tuple[float, ...] = ()  # mm at the after end
    ribbands: bool = False  # whether the lines are of ribbands, and not of planks


@dataclass(frozen=True, slots=True)
class Skin:
    """The planking all round: of every strake from the sheer down, and how each two meet."""

    lines_to: LinesTo
    planking: tuple[Planking, ...]
    joints: tuple[Joint, ...]  # one for each chine
    keel: KeelJoint | None = None  # of a V bottom
    lap: Lap | None = None  # where strakes are lapped
    layers: tuple[Layer, ...] = ()  # of a round hull, from the outside in, where the builder tells them apart
    planks: PlankRules | None = None  # of a round hull, where the builder has its girth divided

    @property
    def smooth(self) -> bool:
        """Whether it is that of a round hull: one surface without chines that strakes meet at."""
        return len(self.planking) == 1

    @property
    def within(self) -> float:
        """mm, what lies between the planking and the moulds of a round hull."""
        return fsum(layer.thickness for layer in self.layers if layer.on_moulds)

    @property
    def named(self) -> tuple[tuple[str, Planking], ...]:
        """The strakes by their names, from the sheer down."""
        return tuple(zip(strake_names(len(self.planking)), self.planking, strict=True))


def strake_names(count: int) -> tuple[str, ...]:
    """What so many strakes are called, from the sheer down: the side, strake 2 and so on, the bottom."""
    return ("side", *(f"strake {number}" for number in range(2, count)), *(["bottom"] if count > 1 else []))


def within_sentence(strake: str) -> str:
    """A strake's name as a sentence has it: the side, strake 2, the bottom."""
    return strake if strake.startswith("strake") else f"the {strake}"

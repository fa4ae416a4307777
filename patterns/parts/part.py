"""A part is wood between two faces: its outline on both, its bevels and its marks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeVar

import numpy as np
import shapely

from patterns.errors import UnknownNameError
from patterns.geometry.arrays import Floats, one_back, read_only
from patterns.geometry.cuts import Plane
from patterns.geometry.development import Flat
from patterns.geometry.short_repr import brief, one_line
from patterns.parts.role import EdgeKind, MarkKind, Role

Hand = Literal["port", "starboard", "none"]
OTHER_HAND: dict[Hand, Hand] = {"port": "starboard", "starboard": "port", "none": "none"}

HAIR = 0.01  # mm; an edge whose run over the thickness is less is cut square, whatever is figured
SQUARE_WITHIN = np.radians(0.05)  # rad; nearer square than this, the tenths of a degree read 0.0

SAME_WAY = 1e-9  # rad; what rounding leaves of half a turn
AS_LARGE = 1e-6  # share of its area by which a rectangle may be larger through rounding alone
QUARTER_TURN = np.array([[0.0, 1.0], [-1.0, 0.0]])  # turns rows (n, 2) counter-clockwise

Kind = Literal["square", "standing", "under"]


@dataclass(frozen=True, slots=True)
class Bevel:
    """How far off square an edge is at one place, in the plane square to the edge."""

    along: float  # mm, running along the edge on the marked face
    angle: float  # rad; positive where the far face is larger (standing), negative where it is smaller (under)
    run: float  # mm, the far face's edge outside (+) or inside (-) the marked face's, square to the edge

    @property
    def kind(self) -> Kind:
        """What the trade calls it."""
        if abs(self.run) < HAIR or abs(self.angle) < SQUARE_WITHIN:
            return "square"
        return "standing" if self.angle > 0 else "under"


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """One side of a part's outline, counter-clockwise on the marked face."""

    name: str
    points: Floats  # (n, 2) mm, finished line on the marked face
    far: Floats  # (m, 2) mm, the same edge on the far face
    bevels: tuple[Bevel, ...]
    kind: EdgeKind = EdgeKind.NET
    hand: Hand = "none"  # on which side of the boat it lies, of a part that has edges on both

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=2))
        object.__setattr__(self, "far", read_only(self.far, columns=2))

    @property
    def either_hand(self) -> str:
        """What it is called on both sides of the boat: "side" of "side port"."""
        return self.name.removesuffix(f" {self.hand}")


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """A line of the boat drawn on the marked face."""

    name: str
    points: Floats  # (n, 2) mm
    kind: MarkKind = MarkKind.LINE
    short: str = ""  # what it is called where the name tells a figure too: "2-3-4 up"

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=2))


_Drawn = TypeVar("_Drawn", Edge, Mark)


@dataclass(frozen=True, slots=True, eq=False)
class Note:
    """A word that belongs at a place of the pattern, such as PORT beside a frame's port side."""

    text: str
    at: tuple[float, float]  # mm, centre of the word


@dataclass(frozen=True, slots=True)
class Planed:
    """A face planed off one of a part's faces, which neither outline shows: its bevel, place by place."""

    name: str  # "lower edge, each half"
    gauge: str  # what the gauge's stock lies against: "side of the keelson"
    begins: str  # the end its places run from: "its fore end"
    over: float  # mm, what the runs are taken over
    places: tuple[tuple[str, Bevel], ...]  # a frame's name, or "" where it is told by how far along

    __repr__ = brief


@dataclass(frozen=True, slots=True)
class Landing:
    """How the planking lands on a stem at one height."""

    height: float  # mm above base
    angle: float  # rad, off the centre plane, in the plane square to the stem's face
    half_face: float  # mm, from the centre plane to the inside of the planking at the stem's face
    depth: float  # mm, from the face in to the bearding line
    strake: str  # which lands


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One pattern. The marked face is toward the reader; the far face lies ``thickness`` behind it."""

    name: str  # "side panel", "frame 3"
    role: Role = field(kw_only=True)
    hand: Hand
    thickness: float  # mm
    material: str
    marked_face: str  # "inside face", "after face"
    edges: tuple[Edge, ...]  # counter-clockwise; each begins where the one before ends
    marks: tuple[Mark, ...] = ()
    holes: tuple[Floats, ...] = ()  # each (n, 2) mm, closed without repeating the first point
    bow: Literal["left", "right", "up", "down", "toward you", "away from you", "either way"] = "left"
    remarks: tuple[str, ...] = ()  # what the builder must know, a sentence each
    doubts: tuple[str, ...] = ()  # of these, what he must decide or do himself: told wherever he is warned
    notes: tuple[Note, ...] = field(default=())
    count: int = 1
    landings: tuple[Landing, ...] = ()  # of a stem, from the chine up
    planed: tuple[Planed, ...] = ()  # of long pieces
    grain: str = "along the length of each piece"  # how the grain lies, in words
    grain_angle: float | None = None  # rad from the pattern's x, where it is not the piece's own length that says so
    grain_any: bool = False  # the piece may be cut any way of the grain
    of_boards: bool = False  # laid of boards side by side in the boat: its outline is cut there, of no sheet
    grain_square: bool = False  # of such a piece: along its x or across it, as a ring of plywood is strong
    thickness_is: str = "thick as measured"  # or what else the figure is, where no stock was measured for it
    line: str = ""  # where in the boat the finished line lies: "inside of planking"
    saw_allowance: float = 0.0  # mm left by the saw outside the finished line, for the plane
    crown: float = 0.0  # mm the wood rises above the marked face on the centre line: got out so much thicker
    strake: str = ""  # of a panel, the strake it is
    flat: Flat | None = None  # of a panel as it is unrolled: which place of the skin lies where in the pattern
    of: str = ""  # of a piece, the title of the pattern that shows it together with the others
    of_a: Role | None = None  # of such a piece, what the whole is
    material_key: str = ""  # where boat.toml states its material: "[planking.side] material"
    stands_in: tuple[Plane, ...] = ()  # where its marked face lies in the boat, in the pattern's axes, once for each
    # place it has; none of what is bent to the planking, or is the other hand of a piece
    as_cut: bool = False  # it is cut already: nothing is made for it
    upside_down: bool = False  # its axes have its upper edge at the bottom: the other hand's, turned over (`as_laid`)

    def __repr__(self) -> str:
        across, up = np.ptp(self.outline, axis=0) if self.edges else (0.0, 0.0)
        size = f"{across:.0f} x {up:.0f} x {self.thickness:.4g} mm"
        holds = f"{len(self.edges)} edges, {len(self.marks)} marks"
        return one_line(self, f"{self.title}: {size}, {self.material}, {holds}")

    @property
    def title(self) -> str:
        return self.name if self.hand == "none" else f"{self.name}, {self.hand}"

    def edge(self, name: str) -> Edge:
        """The edge of a name. What notches and limbers have cut one into has one name: `edges_of` gives all of it.

        Raises
        ------
        UnknownNameError
            No edge has it.
        LookupError
            More than one has it.
        """
        return self._one(self.edges_of(name), "edge", "edges_of")

    def edges_of(self, name: str) -> tuple[Edge, ...]:
        """All edges of a name, counter-clockwise.

        Raises
        ------
        UnknownNameError
            None has it.
        """
        return _named(self.edges, f"edge of {self.title}", name)

    def mark(self, name: str) -> Mark:
        """The mark of a name. A frame has two of its sheer, port and starboard: `marks_of` gives both.

        Raises
        ------
        UnknownNameError
            No mark has it.
        LookupError
            More than one has it.
        """
        return self._one(self.marks_of(name), "mark", "marks_of")

    def marks_of(self, name: str) -> tuple[Mark, ...]:
        """All marks of a name.

        Raises
        ------
        UnknownNameError
            None has it.
        """
        return _named(self.marks, f"mark of {self.title}", name)

    def _one(self, found: Sequence[_Drawn], what: str, every: str) -> _Drawn:
        if len(found) > 1:
            name = found[0].name
            raise LookupError(
                f"{what} of {self.title}: found {len(found)} named '{name}', expected one: {every} gives them all"
            )
        return found[0]

    @property
    def file_name(self) -> str:
        # A frame may be named as its builder likes; a file may not.
        return re.sub(r"[^\w.+-]+", "-", self.title.replace(",", "")).strip("-.")

    @property
    def grain_along(self) -> float | None:
        """Rad from the pattern's x to the grain; None where it may lie any way.

        Where no direction is given the grain runs along the piece's length: the long side of the least rectangle
        round it.
        """
        if self.grain_any:
            return None
        return longways(self.outline) if self.grain_angle is None else self.grain_angle

    @property
    def outline(self) -> Floats:
        """(n, 2) mm, closed without repeating the first point, counter-clockwise, on the marked face."""
        return joined([edge.points for edge in self.edges])

    @property
    def far_outline(self) -> Floats:
        """(n, 2) mm, the outline on the far face, in the marked face's axes."""
        return joined([edge.far for edge in self.edges])


def _named(drawn: Sequence[_Drawn], what: str, name: str) -> tuple[_Drawn, ...]:
    found = tuple(one for one in drawn if one.name == name)
    if not found:
        raise UnknownNameError(what, name, dict.fromkeys(one.name for one in drawn))
    return found


def longways(ring: Floats) -> float:
    """Rad from x, in 0 to pi, to the long side of the least rectangle round points (n, 2), of two alike the narrower.

    Round a triangle there are three as large, one on each side.
    """
    hull = shapely.get_coordinates(shapely.MultiPoint(ring).convex_hull)
    sides = np.diff(hull, axis=0)  # a least rectangle lies along one of them
    along = sides / np.hypot(*sides.T)[:, None]
    size = np.stack([np.ptp(way @ hull.T, axis=1) for way in (along, along @ QUARTER_TURN)])  # (2, n)
    least = np.flatnonzero(size.prod(axis=0) <= (1 + AS_LARGE) * size.prod(axis=0).min())
    best = least[size[:, least].min(axis=0).argmin()]
    way = along[best] if size[0, best] >= size[1, best] else along[best] @ QUARTER_TURN
    return _way(way)


def along_edge(edges: Sequence[Edge], name: str) -> float:
    """Rad from x, in 0 to pi, to the longest edge of a name, from its one end to its other."""
    chords = [edge.points[-1] - edge.points[0] for edge in edges if edge.name == name]
    return _way(max(chords, key=lambda chord: float(np.hypot(*chord))))


def _way(vector: Floats) -> float:
    angle = float(np.arctan2(vector[1], vector[0]) % np.pi)
    return 0.0 if np.pi - angle < SAME_WAY else angle


def joined(runs: list[Floats]) -> Floats:
    """End-to-end runs of points as one closed ring without repeats."""
    ring = np.concatenate(runs)
    step = np.abs(ring - one_back(ring)).max(axis=1)
    return np.asarray(ring[step > 1e-9])

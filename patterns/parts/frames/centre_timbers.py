"""Where keel, stem or sternpost of a round hull stand up above the bottom edge of a mould or a frame: notches."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import Polygon

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Plane
from patterns.hull.build import Transom
from patterns.hull.planking.skin import Hull
from patterns.parts.frames.notches import LEAST_OVER
from patterns.parts.part import Part
from patterns.parts.role import EdgeKind, Role
from patterns.parts.shaping import Shape
from patterns.parts.stands import FrameStand, transom_inner_face
from patterns.units.lengths import write_length

LEAST = 0.5  # mm; a timber that stands up less, or lies less below, is level with the edge
FAR = 1e3  # mm
ON_CENTRE = (Role.KEEL, Role.STEM)


@dataclass(frozen=True, slots=True)
class Seat:
    """How a frame stands over a timber on the centre line."""

    timber: str  # "keel"
    top: float  # mm above base, of the timber within the frame's thickness at the highest
    half: float  # mm, half its siding
    deep: float = (
        0.0  # mm from the bottom edge on the marked face up to the top; less than nothing where that lies below
    )
    cut: bool = False  # whether a notch is cut over it; a bevelled bottom edge may lie above it on the far face


def seats_on(timbers: Sequence[Part], stand: FrameStand) -> tuple[Seat, ...]:
    """The timbers that pass a frame, the highest first; parts drawn in profile."""
    fore, aft = sorted(float(face.origin[0]) for face in (stand.face, stand.far))
    found = []
    for part in timbers:
        passing = shapely.intersection(Polygon(part.outline), shapely.box(fore, -FAR, aft, FAR))
        if not passing.is_empty:
            found.append(Seat(part.name, float(passing.bounds[3]), part.thickness / 2))
    return tuple(sorted(found, key=lambda seat: -seat.top))


def room_over(seats: Sequence[Seat], inner: Floats) -> bool:
    """Whether enough of a floor is left over each timber, below an inner edge (n, 2)."""
    return all(seat.top + LEAST_OVER < _over_centre(inner) for seat in seats)


def _over_centre(inner: Floats) -> float:
    return float(np.interp(0.0, inner[::-1, 0], inner[::-1, 1]))


def let_over(
    near: Shape, far: Shape, seats: Sequence[Seat], *, inner: Floats | None, head: float
) -> tuple[Shape, Shape, tuple[Seat, ...]]:
    """Both faces of a frame with a square notch over each timber that stands up above its bottom edge.

    Parameters
    ----------
    inner : (n, 2) mm or None
        The inner edge of one that is open.
    head : float
        mm above base, of the sheer on it.

    Raises
    ------
    ShapeError
        A timber so high that it parts the frame.
    """
    foot = near.ring.bounds[1]
    low, high = min(foot, far.ring.bounds[1]) - FAR, max(foot, far.ring.bounds[1])
    told = []
    for seat in seats:
        told.append(replace(seat, deep=seat.top - foot, cut=seat.top >= high + LEAST))
        if seat.top < high + LEAST:
            continue
        if seat.top > head - LEAST_OVER:
            raise ShapeError(
                f"the {seat.timber} stands up to {{}} above base there, and the sheer on it lies at {{}}: expected it "
                f"further from the end of the boat, or a {seat.timber} that is moulded less",
                seat.top,
                head,
            )
        if inner is not None and not room_over((seat,), inner):
            raise ShapeError(
                f"the {seat.timber} stands up to {{}} above base there, and the floor ends at {{}}: expected "
                "floor_moulded larger for it",
                seat.top,
                _over_centre(inner),
            )
        cut = np.array([[-seat.half, low], [seat.half, low], [seat.half, seat.top], [-seat.half, seat.top]])
        made = [one.without(cut, seat.timber, square=True, kind=EdgeKind.NOTCH) for one in (near, far)]
        near, far = (made[0], made[0]) if near is far else (made[0], made[1])
    return near, far, tuple(told)


def seat_words(seats: Sequence[Seat], show: str) -> Iterator[str]:
    """The figures of each notch, or of the gap over a keel that lies below the bottom edge."""
    cut = 0.0
    for seat in seats:
        top, deep, gap, wide = (write_length(mm, show) for mm in (seat.top, seat.deep, -seat.deep, 2 * seat.half))
        if seat.deep > max(LEAST, cut):
            cut = seat.deep
            if not seat.cut:
                yield (
                    f"The {seat.timber}'s top lies {deep} above the bottom edge of this face: plane the edge until "
                    f"the wood sits on the {seat.timber}."
                )
                continue
            yield (f"The notch for the {seat.timber} is {wide} wide and {deep} deep; its top lies {top} above base.")
        elif seat.timber == "keel" and seat.deep < -LEAST and not cut:
            yield f"The keel's top lies {gap} below the bottom edge: pack the gap when the keel is laid."


def on_centre(parts: Sequence[Part]) -> tuple[Part, ...]:
    """Those of the parts that stand on the centre line under frames and moulds of a round hull."""
    return tuple(part for part in parts if part.role in ON_CENTRE)


@dataclass(frozen=True, slots=True)
class InTransom:
    """A mould that stands where the transom does."""

    at: float  # mm above base, where the transom's inner face leaves its wood
    upward: bool  # whether the transom stands in its wood up to there, or down to there
    clear: float  # mm from FP, where its nearer face would stand clear
    aft: bool

    def words(self, show: str) -> str:
        at, clear = write_length(self.at, show), write_length(self.clear, show)
        which, way = ("transom", "forward") if self.aft else ("bow transom", "aft")
        reach = f"{'up' if self.upward else 'down'} to {at} above base"
        return f"the {which} stands in its wood {reach}: set the whole mould {way} of {clear} from FP."


def in_transom(hull: Hull, stand: FrameStand, *, foot: float, head: float) -> InTransom | None:
    """Where a frame from ``foot`` to ``head``, mm above base, would stand in a transom; None where it is clear."""
    fore, after = sorted(float(face.origin[0]) for face in (stand.face, stand.far))
    for end, aft in ((hull.fore, False), (hull.aft, True)):
        if not isinstance(end, Transom):
            continue
        face = transom_inner_face(end, aft=aft)
        lean = float(face.up[0] / face.up[2])
        way, nearer = (1.0, after) if aft else (-1.0, fore)
        upward = way * lean >= 0.0  # its top lies further out than its foot

        def inner(height: float, face: Plane = face, lean: float = lean) -> float:
            return float(face.origin[0]) + (height - float(face.origin[2])) * lean

        if way * (nearer - inner(foot if upward else head)) > LEAST:
            at = float(face.origin[2]) + (nearer - float(face.origin[0])) / lean if lean else np.inf
            # A mould out there begins where the planking does, on the transom. Further in, its foot lies lower.
            least = min(foot, float(end.profile[-1][1])) if upward else max(head, float(end.profile[0][1]))
            return InTransom(min(at, head) if upward else max(at, foot), upward, inner(least), aft)
    return None

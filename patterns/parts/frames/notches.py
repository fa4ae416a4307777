"""Notches for the long pieces: what they are in the planes of a part's two faces, at the true crossing angle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, unit
from patterns.geometry.cuts import Plane
from patterns.parts.long.solids import Solid
from patterns.parts.part import Hand, Mark, Note
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.shaping import Shape, check_alike

AT_EDGE = 0.3  # mm; a corner of a long piece nearer the outline than this lies on it
MOUTH = 60.0  # mm a notch is carried on outside the wood, so that nothing is left across its mouth
NEAR_HEAD = 6.0  # mm; so little of a frame's side above a notch at its head is no side
NO_WOOD = 25.0  # mm2; a piece that takes less of a section only rubs along it
NO_FASTENING = 9.5  # mm round a notch; edge distance 3/8 in, common practice, no single source


LEAST_OVER = 6.0  # mm of a floor that must be left over a notch on the centre line; less breaks: a judgement
LITTLE_OVER = 1 / 3  # share of a floor's height; what leaves less of it is told: a judgement
TOP_MARK = 15.0  # mm, of the marks beside a notch that show the top of what lies in it
LEAST_MARK = 3.0  # mm; a shorter mark is no line to the eye
ON_CENTRE = frozenset((Role.KEEL_BATTEN, Role.KEELSON))


@dataclass(frozen=True, slots=True)
class BareFloor:
    """How little of a floor is left over the pieces on the centre line."""

    piece: str  # the uppermost of them
    cure: str  # what to do about it
    high: float  # mm, the floor on the centre line
    left: float  # mm of that


@dataclass(frozen=True, slots=True, eq=False)
class Notch:
    """One long piece's way through a part: the section of the piece in the planes of both faces."""

    name: str  # "chine log starboard"
    piece: str  # "chine log"
    role: Role  # of that piece
    near: Floats  # (k, 2) mm
    far: Floats  # (k, 2) mm
    hand: Hand  # of that piece

    @property
    def edge(self) -> str:
        """What the edges of a part are called that it leaves."""
        return f"notch {self.name}"

    @property
    def cure(self) -> str:
        """What makes a floor stronger that a piece on the centre line is let into."""
        table = self.piece.replace(" ", "_")
        return f"make floor_moulded in [frames] larger, or moulded in [{table}] smaller"


def notches_in(face: Plane, far: Plane, solids: Sequence[Solid]) -> tuple[Notch, ...]:
    """The notches of every long piece that runs through both faces; those that end short of them need none."""
    through = [solid for solid in solids if solid.reaches(face) and solid.reaches(far)]
    return tuple(
        Notch(_named(solid), solid.name, solid.role, solid.cut(face), solid.cut(far), solid.hand) for solid in through
    )


def notched(near: Shape, far: Shape, notches: Sequence[Notch], *, shy: float) -> tuple[Shape, Shape, tuple[str, ...]]:
    """Both faces with the notches cut, and the names of those that cannot be drawn alike on both.

    Each free edge of a notch is left ``shy`` mm inside the piece's. A piece that does not touch the wood leaves it as
    it is.

    Raises
    ------
    ShapeError
        Where nothing would be left of a notch.
    """
    left_out = []
    for notch in notches:
        # Where rulings come together a piece's section may run through itself: nothing is cut by that.
        if not all(Polygon(section).is_valid for section in (notch.near, notch.far)):
            left_out.append(notch.name)
            continue
        _check_shy(near, notch, shy)
        try:
            near, far = _cut(near, far, notch, shy)
        except ShapeError:
            left_out.append(notch.name)
    return near, far, tuple(left_out)


def bare_floor(notches: Sequence[Notch], inner: Floats, bottom: Floats) -> BareFloor | None:
    """Where the pieces on the centre line leave little of a floor; None where they leave enough.

    Parameters
    ----------
    inner, bottom : (n, 2) mm
        Its inner edge and its lower one, on the marked face.

    Raises
    ------
    ShapeError
        Where they leave next to nothing.
    """
    on_centre = [notch for notch in notches if notch.role in ON_CENTRE]
    if not on_centre:
        return None
    uppermost = max(on_centre, key=lambda notch: float(notch.near[:, 1].max()))
    foot = float(np.interp(0.0, bottom[:, 0], bottom[:, 1]))
    high = float(np.interp(0.0, inner[::-1, 0], inner[::-1, 1])) - foot
    deep = float(uppermost.near[:, 1].max()) - foot
    reaches = bool(LineString(inner).intersects(Polygon(uppermost.near)))
    left = 0.0 if reaches else min(high - deep, float(LineString(inner).distance(Polygon(uppermost.near))))
    if left < LEAST_OVER:
        raise ShapeError(
            f"{uppermost.piece}: its top lies {{}} above the bottom on the center line, and the floor is {{}} high "
            f"there, so its notch would leave {{}} of the floor; expected {{}} or more: {uppermost.cure}",
            deep,
            high,
            left,
            LEAST_OVER,
        )
    return BareFloor(uppermost.piece, uppermost.cure, high, left) if left < LITTLE_OVER * high else None


def tops(shape: Shape, notches: Sequence[Notch]) -> tuple[Mark, ...]:
    """Beside the notch of each piece on the centre line, to port and starboard, how high its top comes.

    A notch may be left smaller, and one piece may lie on the other in it.
    """
    marks = []
    for notch in (one for one in cut_in(shape, notches) if one.role in ON_CENTRE):
        # A top may be planed to a slope or have a point in its middle: the highest corner on either side is meant.
        for side in (-1.0, 1.0):
            x, z = max(notch.near[side * notch.near[:, 0] > 0].tolist(), key=lambda place: (place[1], side * place[0]))
            beside = LineString([(x, z), (x + side * TOP_MARK, z)])
            # A limber may have been cut there.
            for run in shapely.get_parts(beside.intersection(shape.ring)):
                if run.length > LEAST_MARK:
                    marks.append(Mark(f"top of {notch.piece}", np.asarray(run.coords)))
    return tuple(marks)


def _cut(near: Shape, far: Shape, notch: Notch, shy: float) -> tuple[Shape, Shape]:
    # A corner that comes out on one face comes out on both: what little stood over it there would break off.
    out = _out(near, notch.near) | _out(far, notch.far)
    near_cut, far_cut = (_mouthed(cut, out, shy) for cut in (notch.near, notch.far))
    if not (_bites(near, near_cut) or _bites(far, far_cut)):
        return near, far
    name, hand = notch.edge, notch.hand
    near, far = (
        face.without(cut, name, kind=EdgeKind.NOTCH, hand=hand) for face, cut in ((near, near_cut), (far, far_cut))
    )
    check_alike(near, far)
    return near, far


def _check_shy(shape: Shape, notch: Notch, shy: float) -> None:
    out = _out(shape, notch.near)
    if shy and _bites(shape, _mouthed(notch.near, out, 0.0)) and not _bites(shape, _mouthed(notch.near, out, shy)):
        raise ShapeError(f"notch_allowance {{}} leaves nothing of the notch for {notch.piece}; expected less", shy)


def head_of(notches: Sequence[Notch], near: Floats, far: Floats, head: float) -> float | None:
    """A height within the mouth, on both faces, of the notch that takes in a frame's head; None where none does.

    The sheer, and with it an inwale, lies at another height on each face: by whichever is higher, the notch takes in
    the head on one and a hair of the side is left above it on the other.

    Parameters
    ----------
    near, far : (n, 2) mm
        The right-hand outer edge of both faces, from the bottom up.
    head : float
        Height of the sheer on the marked face.
    """
    for notch in notches:
        mouths = [
            section[shapely.distance(shapely.points(section), LineString(line)) < AT_EDGE, 1]
            for section, line in ((notch.near, near), (notch.far, far))
        ]
        if min(len(mouth) for mouth in mouths) < 2:
            continue
        low, high = max(float(mouth.min()) for mouth in mouths), min(float(mouth.max()) for mouth in mouths)
        if low < head < max(float(mouth.max()) for mouth in mouths) + NEAR_HEAD and low < high:
            return (low + high) / 2
    return None


def strips(shape: Shape, notches: Sequence[Notch]) -> tuple[Mark, ...]:
    """Lines round the notches inside which no fastening goes."""
    marks = []
    for notch in cut_in(shape, notches):
        round_it = Polygon(_mouthed(notch.near, _out(shape, notch.near), -NO_FASTENING)).exterior
        # A ring begins somewhere, maybe in the wood: what is cut apart there is one line again.
        for line in shapely.get_parts(shapely.line_merge(shape.ring.intersection(round_it))):
            if isinstance(line, LineString) and line.length > NO_FASTENING:
                marks.append(Mark("no fastenings", np.asarray(line.coords), MarkKind.FASTENINGS))
    return tuple(marks)


def ways_through(shape: Shape, notches: Sequence[Notch]) -> list[tuple[str, Mark]]:
    """Where long pieces would run through wood that is not let over them: each piece and its section, on both faces."""
    found = []
    for notch in notches:
        both = shapely.MultiPoint(np.concatenate([notch.near, notch.far])).convex_hull
        for way in shapely.get_parts(shape.ring.intersection(both)):
            if isinstance(way, Polygon) and way.area > NO_WOOD:
                found.append((notch.piece, Mark(f"way of {notch.name}", np.asarray(way.exterior.coords))))
    return found


def piece_notes(shape: Shape, notches: Sequence[Notch]) -> tuple[Note, ...]:
    """The name of each long piece where it passes."""
    cut = cut_in(shape, notches)
    middles = [Polygon(notch.near).centroid for notch in cut]
    return tuple(Note(notch.piece, (at.x, at.y)) for notch, at in zip(cut, middles, strict=True))


def cut_in(shape: Shape, notches: Sequence[Notch]) -> list[Notch]:
    """Those of the notches that are cut in a face."""
    return [notch for notch in notches if any(line.name == notch.edge for line in shape.lines)]


def _named(solid: Solid) -> str:
    return solid.name if solid.hand == "none" else f"{solid.name} {solid.hand}"


def _bites(shape: Shape, cut: Floats) -> bool:
    return len(cut) > 0 and bool(shape.ring.intersection(Polygon(cut)).area > 1.0)


def _out(shape: Shape, section: Floats) -> NDArray[np.bool_]:
    """Which corners of a section lie outside the wood, or at its edge."""
    places = shapely.points(section)
    at_edge = np.asarray(shapely.distance(places, shape.ring.exterior) < AT_EDGE)
    return at_edge | ~np.asarray(shapely.contains(shape.ring, places))


def _runs_out(out: NDArray[np.bool_]) -> list[list[int]]:
    """Neighbouring corners that lie out, as runs of their numbers round the section; none where all or none do."""
    count = len(out)
    starts = [i for i in range(count) if out[i] and not out[i - 1]]
    runs = []
    for start in starts:
        length = next(n for n in range(1, count + 1) if not out[(start + n) % count])
        runs.append([(start + n) % count for n in range(length)])
    return runs


def _mouthed(section: Floats, out: NDArray[np.bool_], shy: float) -> Floats:
    """The section carried on outside the wood where it comes out; its free edges stay where they are."""
    moves = np.zeros_like(section)
    for run in _runs_out(out):
        before, after = section[run[0] - 1], section[(run[-1] + 1) % len(section)]
        first, last = (MOUTH * unit(section[i] - beside) for i, beside in ((run[0], before), (run[-1], after)))
        # What lies between, such as the corner of side and bottom, goes out with both.
        moves[run] = first + last
        moves[run[0]], moves[run[-1]] = (first, last) if len(run) > 1 else (first + last,) * 2
    carried = Polygon(section + moves)
    if shy:
        carried = carried.buffer(-shy, join_style="mitre", mitre_limit=20.0)
    return np.asarray(carried.exterior.coords)[:-1] if carried.area > 0 else section[:0]

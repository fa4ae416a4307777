"""A mould in pieces: halves joined on the centre line, or got out of boards, with cleats over the joints."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, unit
from patterns.geometry.cuts import Plane
from patterns.hull.planking.sections import over
from patterns.parts.frames.frame import FrameShape
from patterns.parts.part import Edge, Hand, Mark, Note, Part
from patterns.parts.role import MarkKind, Role
from patterns.parts.shaping import Line, Shape, edges_of
from patterns.units.lengths import write_length, write_small

HELD_BACK = 1.6  # mm (1/16 in) a gusset or a cleat is kept inside the planking, besides what the bevel asks
FAR = 1e4  # mm, past any mould
CLEAT_REACH = 1.5  # moulded sizes that a cleat reaches to either side of a joint, common practice, no single source
TRIES = 200  # places along an edge where a joint may stand
HALVINGS = 9
INSET = 25.0  # mm that the cleat on the centre line ends short of bottom and top
STEP = 0.3  # mm that the outline of a cleat may be off: no saw follows less
LEAST_PIECE = 60.0  # mm along its edge
MOST_PIECES = 12  # to a half; more, and the width of the boards is a slip of the pen


@dataclass(frozen=True, eq=False)
class _Joint:
    """A joint of the right-hand half, from the outer edge to the inner one, and the way along the piece below it."""

    outer: Floats  # (2,) mm
    inner: Floats  # (2,) mm

    @property
    def way(self) -> Floats:
        """(2,) unit, square to it, up the side."""
        across = unit(self.inner - self.outer)
        return np.array([across[1], -across[0]])

    @property
    def line(self) -> Floats:
        return np.stack([self.outer, self.inner])

    def above(self) -> Floats:
        """(4, 2) mm, a region that holds all above it."""
        across = unit(self.inner - self.outer)
        ends = self.outer - FAR * across, self.inner + FAR * across
        return np.stack([*ends, ends[1] + FAR * self.way, ends[0] + FAR * self.way])


def mould_of_pieces(frame: FrameShape, whole: Part) -> tuple[Part, tuple[Part, ...]]:
    """A mould's pattern, and those of its pieces and cleats; without any where it is of one piece.

    Raises
    ------
    ShapeError
        Boards too narrow for it.
    """
    why = _why_halves(frame, whole)
    joints = _along_boards(frame) if frame.rules.pieces.board and frame.inner is not None else ()
    if not why and not joints:
        return whole, ()
    right, left = frame.hands
    (near_right,), (near_left,) = frame.near.parted(_right_half(), "center joint")
    (far_right,), (far_left,) = frame.far.parted(_right_half(), "center joint")
    made: list[Part] = []
    for hand, near, far, sign in ((right, near_right, far_right, 1.0), (left, near_left, far_left, -1.0)):
        own = [joint if sign > 0 else _Mirrored.of(joint) for joint in joints]
        made += _cut_up(whole, near, far, own, hand)
    made.sort(key=lambda part: (part.name, part.hand))
    centre = LineString([(0.0, -FAR), (0.0, FAR)]).intersection(frame.near.ring)
    middle = np.asarray(shapely.get_parts(centre)[0].coords)
    marks = [Mark("joint", middle, MarkKind.JOINT)]
    for joint in joints:
        marks += [Mark("joint", joint.line, MarkKind.JOINT), Mark("joint", over(joint.line), MarkKind.JOINT)]
    cleats = tuple(_cleats(frame, whole, middle, joints))
    told = (*whole.remarks, *why, _fasten(frame, cleats))
    return replace(whole, marks=(*whole.marks, *marks), remarks=told), (*made, *cleats)


def _why_halves(frame: FrameShape, whole: Part) -> tuple[str, ...]:
    pieces = frame.rules.pieces
    if pieces.halves or (pieces.board and frame.inner is not None):
        return ("It is made in pieces, joined as drawn.",)
    if pieces.sheets and not any(_fits(whole.outline, sheet) for sheet in pieces.sheets):
        return ("No sheet holds it whole, so it is made in two halves, joined on the center line.",)
    return ()


def _fits(outline: Floats, sheet: tuple[float, float]) -> bool:
    """Whether an outline lies on a sheet upright or athwart, as its grain runs."""
    size = sorted(np.ptp(outline, axis=0).tolist())
    return bool(size[0] <= min(sheet) and size[1] <= max(sheet))


def _right_half() -> Floats:
    return np.array([[0.0, -FAR], [FAR, -FAR], [FAR, FAR], [0.0, FAR]])


class _Mirrored(_Joint):
    """A joint of the left-hand half."""

    @classmethod
    def of(cls, joint: _Joint) -> _Mirrored:
        return cls(over(joint.outer[None])[0], over(joint.inner[None])[0])

    @property
    def way(self) -> Floats:
        return -super().way


def _cut_up(whole: Part, near: Shape, far: Shape, joints: Sequence[_Joint], hand: Hand) -> Iterator[Part]:
    """The pieces of a half, from the bottom up."""
    role = Role.MOULD_PIECE
    if not joints:
        yield replace(piece_of(whole, near, far, role, hand), name=f"{whole.name} half")
        return
    for number, joint in enumerate(joints, 1):
        (above,), (below,) = near.parted(joint.above(), f"joint {number}")
        (far_above,), (far_below,) = far.parted(joint.above(), f"joint {number}")
        yield replace(piece_of(whole, below, far_below, role, hand), name=f"{whole.name} piece {number}")
        near, far = above, far_above
    yield replace(piece_of(whole, near, far, role, hand), name=f"{whole.name} piece {len(joints) + 1}")


def _along_boards(frame: FrameShape) -> tuple[_Joint, ...]:
    """Joints of the right-hand half, from the bottom up, so that each piece lies within the width of a board.

    There are as few as may be, and with so few the widest piece is as narrow as may be, within a millimetre or so.
    """
    board = frame.rules.pieces.board
    assert board is not None
    ring = _Ring.of(frame)
    joints = ring.joints(board)
    if joints is None:
        raise ShapeError(
            "mould_board {} is too narrow: pieces of a mould {} deep cannot be got out of it; expected wider boards, "
            "or less side_moulded",
            board,
            frame.rules.side_moulded,
        )
    low, high = 0.0, board
    for _ in range(HALVINGS):
        width = (low + high) / 2
        narrower = ring.joints(width)
        if narrower is None or len(narrower) > len(joints):
            low = width
        else:
            joints, high = narrower, width
    return tuple(_Joint(*ring.across(i)) for i in joints)


@dataclass(frozen=True, eq=False)
class _Ring:
    """The right-hand half of an open mould: its two edges, and places along them that answer to each other."""

    outer: LineString
    inner: LineString
    along: Floats  # (n,) mm
    beside: Floats  # (n,) mm

    @classmethod
    def of(cls, frame: FrameShape) -> _Ring:
        leg = frame.outer.leg
        outer = LineString(frame.outer.half if leg is None else np.concatenate([frame.outer.half, leg[1:]]))
        inner = LineString(_right_inner(frame))
        along = np.linspace(0.0, outer.length, TRIES + 1)
        places = shapely.line_interpolate_point(outer, along)
        return cls(outer, inner, along, np.maximum.accumulate(shapely.line_locate_point(inner, places)))

    def across(self, i: int) -> tuple[Floats, Floats]:
        """(2,) mm each, a place on the outer edge and that on the inner one."""
        ends = self.outer.interpolate(self.along[i]), self.inner.interpolate(self.beside[i])
        return shapely.get_coordinates(ends[0])[0], shapely.get_coordinates(ends[1])[0]

    def joints(self, board: float) -> list[int] | None:
        """Numbers of places where pieces no wider than a board end, from the bottom up; None for too narrow a board."""
        found: list[int] = []
        first = 0
        while self._breadth(first, TRIES) > board:
            low, high = first, TRIES  # a longer piece is no narrower
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (middle, high) if self._breadth(first, middle) <= board else (low, middle)
            if self.along[low] - self.along[first] < LEAST_PIECE or len(found) >= MOST_PIECES:
                return None
            found.append(low)
            first = low
        return found

    def _breadth(self, first: int, last: int) -> float:
        """mm, the narrower side of the least rectangle round a stretch of the ring."""
        if last == first:
            return 0.0
        runs = [
            substring(line, ends[first], ends[last])
            for line, ends in ((self.outer, self.along), (self.inner, self.beside))
        ]
        box = shapely.minimum_rotated_rectangle(shapely.MultiPoint(shapely.get_coordinates(runs)))
        if not isinstance(box, Polygon):
            return 0.0
        corners = np.asarray(box.exterior.coords)
        return float(min(np.hypot(*(corners[1] - corners[0])), np.hypot(*(corners[2] - corners[1]))))


def _right_inner(frame: FrameShape) -> Floats:
    """(n, 2) mm, the right-hand inner edge from the centre line up to the head."""
    assert frame.inner is not None
    kept = frame.inner[: int(np.abs(frame.inner[:, 0]).argmin()) + 1]
    return kept[::-1]


def _cleats(frame: FrameShape, whole: Part, middle: Floats, joints: Sequence[_Joint]) -> Iterator[Part]:
    """A plate over each joint, on the far face: that on the centre line, then the others, port and starboard alike."""
    room = frame.near.ring.intersection(frame.far.ring).buffer(-HELD_BACK, join_style="mitre")
    reach = CLEAT_REACH * frame.rules.side_moulded
    ends = np.sort(middle[:, 1])
    low, high = ends + np.array([1.0, -1.0]) * min(INSET, np.ptp(ends) / 10)
    box = np.array([[-reach, low], [reach, low], [reach, high], [-reach, high]])
    yield _cleat(frame, whole, f"{whole.name} center cleat", _plate(room, box), middle, 1, 0.0)
    for number, joint in enumerate(joints, 1):
        across = unit(joint.inner - joint.outer)
        sides = joint.outer - INSET * across, joint.inner + INSET * across
        box = np.stack(
            [side + sign * reach * joint.way for side, sign in zip((*sides, *sides[::-1]), (-1, -1, 1, 1), strict=True)]
        )
        along = float(np.arctan2(joint.way[1], joint.way[0]) % np.pi)
        yield _cleat(frame, whole, f"{whole.name} cleat {number}", _plate(room, box), joint.line, 2, along)


def _plate(room: BaseGeometry, box: Floats) -> Shape:
    parts = [part for part in shapely.get_parts(room.intersection(Polygon(box))) if isinstance(part, Polygon)]
    over_joint = max(parts, key=lambda part: part.area, default=Polygon()).simplify(STEP)
    if not isinstance(over_joint, Polygon) or over_joint.is_empty:
        raise ShapeError("no room for a cleat over a joint; expected more side_moulded")
    edges = np.concatenate([box, box[:1]])
    lines = (
        Line("lower end", edges[:2], square=True),
        Line("upper end", edges[2:4], square=True),
        Line("inner side", edges[1:3], square=True),
        Line("outer side", edges[3:], square=True),
        Line("edge", np.asarray(shapely.get_parts(room)[0].exterior.coords), square=True),
    )
    return Shape(over_joint, lines)


def _cleat(
    frame: FrameShape, whole: Part, name: str, shape: Shape, joint: Floats, count: int, across_joint: float
) -> Part:
    thickness = frame.rules.pieces.cleat or frame.rules.sided
    edges: tuple[Edge, ...] = edges_of(shape, shape, thickness=thickness)
    far = frame.stand.far
    turned = Plane(far.shifted(-thickness).origin, -far.right, far.up)
    both = "Port and starboard alike: one shape, turned over, serves both. " if count == 2 else ""
    return Part(
        name=name,
        role=Role.CLEAT,
        of=whole.title,
        of_a=whole.role,
        material_key="[frames] material",
        hand="none",
        count=count,
        thickness=thickness,
        material=frame.rules.material,
        marked_face="either face",
        edges=edges,
        marks=(Mark("joint", shapely.get_coordinates(shape.ring.intersection(LineString(joint))), MarkKind.JOINT),),
        bow="either way",
        stands_in=(far,) if count == 1 else (far, turned),
        remarks=(
            f"{both}Its line lies on the joint, on the face that is not marked. It ends "
            f"{write_small(HELD_BACK, frame.show)} inside the edge, and is square all round.",
        ),
        grain="across the joint",
        grain_angle=across_joint,
    )


def _fasten(frame: FrameShape, cleats: Sequence[Part]) -> str:
    thick = write_length(frame.rules.pieces.cleat or frame.rules.sided, frame.show)
    count = sum(cleat.count for cleat in cleats)
    over_joints = (
        f"a cleat {thick} thick over the joint" if count == 1 else f"{count} cleats {thick} thick over the joints"
    )
    return f"Fasten the pieces together over this drawing, with {over_joints}, on the face away from you."


def piece_of(whole: Part, near: Shape, far: Shape, role: Role, hand: Hand) -> Part:
    edges = edges_of(near, far, thickness=whole.thickness)
    # Of port and starboard alike, which a point found along one level is not: outlines differ by hairs.
    middle = near.ring.centroid if near.ring.contains(near.ring.centroid) else near.ring.representative_point()
    return replace(
        whole,
        name=f"{whole.name} {role}",
        role=role,
        of=whole.title,
        of_a=whole.role,
        hand=hand,
        edges=edges,
        marks=tuple(_clipped(whole.marks, near)),
        remarks=(whole.remarks[0],),
        doubts=(),
        notes=() if hand == "none" else (Note(hand.upper(), (middle.x, middle.y)),),
        grain="along its length",
        grain_any=False,
    )


def _clipped(marks: tuple[Mark, ...], shape: Shape) -> Iterator[Mark]:
    """Those marks of the frame that lie on one of its pieces, no longer than they need be."""
    near_by = shape.ring.buffer(30.0)
    for mark in marks:
        line = LineString(mark.points)
        if mark.kind is not MarkKind.JOINT and line.intersection(shape.ring).length > 1.0:
            # A line that comes by twice is drawn where it runs longest.
            runs = shapely.get_parts(line.intersection(near_by.envelope))
            yield replace(mark, points=np.asarray(max(runs, key=lambda run: run.length).coords))

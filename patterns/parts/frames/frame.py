"""Frames and moulds: the inside of the planking in two planes, joined through the wood."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.hull.planking.sections import over
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.rules import Building, FrameJoint, FrameKind, FrameRules, Way
from patterns.parts.frames.centre_timbers import InTransom, Seat, in_transom, let_over, room_over, seat_words, seats_on
from patterns.parts.frames.frame_marks import frame_marks, marks_of_skin
from patterns.parts.frames.frame_outline import Outer, inner_edge, outer_edges, ring, rounded, solid
from patterns.parts.frames.level_marks import bevelled_at_marks
from patterns.parts.frames.limbers import limbered
from patterns.parts.frames.mould_faces import Touching, inner_of_both, loop_heights, touching_words
from patterns.parts.frames.notches import (
    BareFloor,
    bare_floor,
    cut_in,
    head_of,
    notched,
    notches_in,
    piece_notes,
    strips,
    tops,
    ways_through,
)
from patterns.parts.long.solids import Solid
from patterns.parts.part import OTHER_HAND, Hand, Mark, Note, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.shaping import Shape, edges_of
from patterns.parts.stands import FrameStand
from patterns.units.lengths import write_length, write_small

# rad; a round hull's outline hangs too much on the bevel there: an error of 1 degree moves planking of 9 mm by 0.13 mm
STEEP = np.radians(35.0)
# Where a cross spall that meets no wood lies, and the cure.
BELOW_FOOT = "below the foot of the wood", "Give a height at which the wood lies."
OVER_HEADS = "above the heads", "Give a height below them."
DUB = 0.1  # mm; a mould's far edge may stand this far out of the planking before the builder is told


def frame_name(rules: FrameRules, stand: FrameStand) -> str:
    return stand.called or f"{'mould' if rules.kind is FrameKind.MOULD else 'frame'} {stand.place.name}"


@dataclass(frozen=True, slots=True, eq=False)
class FrameShape:
    """A frame as one shape on both faces, and what its pieces are parted by."""

    stand: FrameStand
    rules: FrameRules
    near: Shape
    far: Shape
    outer: Outer  # on the marked face
    far_outer: Outer
    inner: Floats | None  # (n, 2) mm; None for a solid mould
    corner: Floats | None  # (2,) mm, where the right-hand side and floor timbers' inner edges meet
    marks: tuple[Mark, ...]
    notes: tuple[Note, ...]  # the long pieces, where they pass
    hands: tuple[Hand, Hand]  # which hand lies right in this view, which left
    stands_out: float = 0.0  # mm, how far a mould's far face stands out of the planking at the most
    let_in: tuple[Role, ...] = ()  # long pieces that notches are cut for
    undrawn: tuple[str, ...] = ()  # long pieces whose notches cannot be drawn alike on both faces
    fouled: tuple[str, ...] = ()  # long pieces whose way a mould stands in
    show: str = "mm"  # how lengths are written
    spall: float | None = None  # mm above base, where its cross spall's lower edge should lie
    bare: BareFloor | None = None  # where a notch leaves little of its floor
    touching: Touching | None = None  # of a mould of a round hull, left square
    in_transom: InTransom | None = None  # of a round hull
    seats: tuple[Seat, ...] = ()  # how it stands over keel, stem and sternpost of a round hull

    @property
    def doubts(self) -> tuple[str, ...]:
        """What the builder must do himself."""
        told = []
        for low, high in loop_heights(self.outer):
            told.append(
                f"what lies between the table's face and it is thicker than the hull is round from "
                f"{write_length(low, self.show)} to {write_length(high, self.show)} above base: no edge can follow it "
                "there, so both sides run on until they meet. The planking will not lie on it there."
            )
        if self.outer.steepest > STEEP:
            told.append(
                f"the planking lies up to {np.degrees(self.outer.steepest):.0f}° out of square to it. Its outline "
                "there hangs on that angle and is less sure, and little wood touches. Set it nearer to midship, or "
                "bevel it."
            )
        if self.undrawn:
            told.append(
                f"no notch is drawn for {', '.join(self.undrawn)}: it would part the wood, or come out otherwise on "
                "each face. Mark it from the piece."
            )
        if self.bare:
            left, deep = (write_length(mm, self.show) for mm in (self.bare.left, self.bare.high))
            told.append(
                f"its floor is {deep} high on the center line, and only {left} of that is left over the notch for the "
                f"{self.bare.piece}. A floor so weak may break: {self.bare.cure}."
            )
        if self.fouled:
            told.append(
                f"{' and '.join(self.fouled)} would run through its wood, where their ways are drawn: cut those out "
                "with room to spare before it is set up."
            )
        if self.in_transom:
            told.append(self.in_transom.words(self.show))
        if self.spall is not None and all(mark.kind is not MarkKind.SPALL for mark in self.marks):
            # Without the frame's own height, so that one spall outside every mould is told once.
            above = self.spall >= self.near.ring.bounds[3]
            at, where, cure = write_length(self.spall, self.show), *(OVER_HEADS if above else BELOW_FOOT)
            told.append(f"no cross spall is drawn: spall under [building] is {at} above base, {where}. {cure}")
        return tuple(told)

    @property
    def name(self) -> str:
        return frame_name(self.rules, self.stand)


def shape_frame(
    hull: Hull,
    rules: FrameRules,
    stand: FrameStand,
    *,
    solids: Sequence[Solid] = (),
    building: Building | None = None,
    timbers: Sequence[Part] = (),
    show: str = "mm",
) -> FrameShape:
    """One frame, seen on the face that stands on its station (a mould: on its end-ward face).

    The outer edge lies on the inside of the planking on both faces, a mould's on the marked one only; heads are cut
    level at the sheer, or carried on to the strongback where the boat is built upside down.

    Parameters
    ----------
    timbers : sequence of Part
        Keel, stem and sternpost of a round hull, in profile: the frame is notched over them.

    Raises
    ------
    ShapeError
        A frame where the boat is too narrow or too low for its timbers, or that a notch cuts through.
    """
    with while_making(frame_name(rules, stand)):
        return _shaped(hull, rules, stand, solids, building, timbers, show)


def _shaped(
    hull: Hull,
    rules: FrameRules,
    stand: FrameStand,
    solids: Sequence[Solid],
    building: Building | None,
    timbers: Sequence[Part],
    show: str,
) -> FrameShape:
    strongback = building.strongback if building and building.way is Way.UPSIDE_DOWN else None
    mould = rules.kind is FrameKind.MOULD
    outer, far_outer = outer_edges(hull, stand, strongback=strongback, mould=mould)
    touching = inner_of_both(outer, far_outer) if mould and hull.smooth and not rules.bevelled else None
    if touching:
        outer = far_outer = touching.outer
    right: Hand = "starboard" if stand.face.right[1] > 0 else "port"
    left = OTHER_HAND[right]
    inner, corner = (None, None) if mould and rules.solid else _opening(outer, rules)
    passing = notches_in(stand.face, stand.far, solids)
    notches = () if mould else passing
    seats = seats_on(timbers, stand)
    if mould and outer.round and inner is not None and not room_over(seats, inner):
        inner, corner = None, None
    head = None if outer.leg is None else head_of(notches, outer.reached, far_outer.reached, outer.head)
    near, far = (
        solid(one, right=right, left=left) if inner is None else ring(one, inner, right=right, left=left)
        for one in ((outer, far_outer) if head is None else (outer.legged_from(head), far_outer.legged_from(head)))
    )
    if mould and not rules.bevelled:
        near = far = near.squared()
    near, far, seats = let_over(near, far, seats, inner=inner, head=outer.head)
    marks = frame_marks(outer, near, building, [line.name for line in hull.lines], base=not stand.called)
    notes: tuple[Note, ...] = ()
    undrawn: tuple[str, ...] = ()
    bare = None if mould or inner is None else bare_floor(notches, inner, outer.bottom)
    if not mould:
        near, far, undrawn = notched(near, far, notches, shy=rules.shy)
        joint = None if inner is None or corner is None else _joint_in_bottom(rules, inner, corner, outer.bottom)
        near, far = limbered(near, far, outer.bottom, radius=rules.limber, joint=joint)
        marks += (*strips(near, notches), *tops(near, notches))
        notes = piece_notes(near, notches)
    levels = marks_of_skin(hull.smooth, stand.face, outer, near, mould=mould) if hull.smooth else ()
    stands_out = _stands_out(outer, far_outer) if mould and not rules.bevelled else 0.0
    # Risers go in when the moulds are out; what is fitted over moulds needs a way through them.
    ways = ways_through(near, [one for one in passing if one.role is not Role.RISER]) if mould else []
    return FrameShape(
        stand=stand,
        rules=rules,
        near=near,
        far=far,
        outer=outer,
        far_outer=far_outer,
        inner=inner,
        corner=corner,
        marks=(*marks, *levels, *(mark for _, mark in ways)),
        notes=notes,
        hands=(right, left),
        stands_out=stands_out,
        fouled=tuple(dict.fromkeys(piece for piece, _ in ways)),
        let_in=tuple(notch.role for notch in cut_in(near, notches)),
        undrawn=undrawn,
        show=show,
        spall=building.spall if building else None,
        bare=bare,
        touching=touching,
        seats=seats,
        in_transom=in_transom(hull, stand, foot=near.ring.bounds[1], head=float(outer.top[1])) if outer.round else None,
    )


def _opening(outer: Outer, rules: FrameRules) -> tuple[Floats | None, Floats | None]:
    """The inner edge and its corner; none of a round hull's mould with no room for an opening: that is left solid."""
    try:
        inner, corner = inner_edge(outer, rules)
        return inner if rules.kind is FrameKind.SAWN else rounded(inner, rules.inside_corner), corner
    except ShapeError:
        if rules.kind is FrameKind.MOULD and outer.round:
            return None, None
        raise


def _joint_in_bottom(rules: FrameRules, inner: Floats, corner: Floats, bottom: Floats) -> float | None:
    """How far from the centre line the joints of a floor timber between sides come out in the bottom edge, mm."""
    if rules.kind is not FrameKind.SAWN or rules.joint is not FrameJoint.FLOOR_BETWEEN_SIDES:
        return None
    above = inner[int(np.abs(inner - corner).max(axis=1).argmin()) - 1]
    lean = (above - corner)[0] / (above - corner)[1]
    return float(corner[0] - lean * (corner[1] - np.interp(corner[0], bottom[:, 0], bottom[:, 1])))


def _stands_out(outer: Outer, far: Outer) -> float:
    """How far one face's outer edge stands outside the other's."""
    hull_there = Polygon(np.concatenate([far.bottom, far.side[1:], over(far.side[::-1])[:-1]]))
    points = shapely.points(np.concatenate([outer.bottom, outer.side]))
    return float(shapely.distance(points, hull_there).max())


def frame_part(frame: FrameShape) -> Part:
    """The pattern of a frame: of a sawn one, the shape its timbers are fastened together on."""
    stand, rules = frame.stand, frame.rules
    with while_making(frame.name):
        edges = edges_of(frame.near, frame.far, thickness=rules.sided)
        if frame.outer.round and frame.near is not frame.far:
            edges = bevelled_at_marks(edges, frame.marks, thickness=rules.sided)
    return Part(
        name=frame.name,
        role=_role(frame),
        material_key=stand.material_key,
        hand="none",
        thickness=rules.sided,
        material=rules.material,
        marked_face=stand.named_face,
        edges=edges,
        marks=frame.marks,
        bow="away from you" if stand.named_face == "after face" else "toward you",
        line="inside of planking",
        remarks=tuple(_remarks(frame)),
        doubts=frame.doubts,
        notes=(*_hands(frame), *frame.notes),
        grain=_GRAIN[rules.kind],
        grain_any=True,  # one of pieces has it along each of them
        grain_square=rules.kind is FrameKind.SHEET,
        stands_in=(stand.face,),
    )


def _role(frame: FrameShape) -> Role:
    if frame.stand.called:
        return Role.FRAMING
    return Role.MOULD if frame.rules.kind is FrameKind.MOULD else Role.FRAME


_GRAIN = {
    FrameKind.SAWN: "along the length of each piece",
    FrameKind.SHEET: "face grain athwart or upright, as the sheet allows",
    FrameKind.MOULD: "as the stock allows: a mould does not stay in the boat",
}


def _remarks(frame: FrameShape) -> Iterator[str]:
    stand = frame.stand
    wood = "forward of" if stand.wood < 0 else "aft of"
    if frame.rules.kind is FrameKind.MOULD:
        place = "stands on the station line" if stand.off_station == 0 else "does NOT stand on the station line"
        if frame.touching:
            faces = stand.named_face, "after face" if stand.wood > 0 else "fore face"
            yield f"A mould, left square. Its {stand.named_face} {place}; the wood lies {wood} it."
            yield from touching_words(frame.touching, faces, frame.show)
        elif frame.rules.bevelled:
            yield f"A mould with bevelled edges. Its {stand.named_face} {place}; the wood lies {wood} it."
        else:
            yield (
                f"A mould, left square: this {stand.named_face} is its end-ward one, the only one that touches the "
                f"planking. It {place}; the wood lies {wood} it."
            )
        if frame.stands_out > DUB:
            most = write_small(frame.stands_out, frame.show)
            yield f"The far face stands out of the planking's inside, by {most} at the most: plane it off there."
    elif stand.called:
        yield f"This {stand.named_face} lies against the transom; the wood lies {wood} it. Seen in the transom's rake."
    else:
        yield f"This {stand.named_face} stands on the station line; the wood lies {wood} it."
    mould = frame.rules.kind is FrameKind.MOULD
    if frame.rules.limber and not mould and all(line.kind is not EdgeKind.LIMBER for line in frame.near.lines):
        yield "No room for limbers between the long pieces: see how water is to pass here."
    yield from (doubt[:1].upper() + doubt[1:] for doubt in frame.doubts)
    if frame.inner is None and not frame.rules.solid:
        yield "It is solid: there is no room here for an opening."
    yield from seat_words(frame.seats, frame.show)
    if frame.outer.leg is not None:
        if Role.INWALE in frame.let_in:
            yield "The inwale's notch is cut in the outer edge at the sheer; the leg runs on past it, inboard of it."
        off = "" if mould else "; saw them off at the sheer marks when the boat is turned"
        top = write_length(float(frame.outer.top[1]), frame.show)
        yield f"Bottom up, its legs stand on the strongback, whose top lies {top} above base{off}."
        if mould and frame.rules.bevelled and frame.outer.round:
            yield "No planking lies on the upright part of the legs: leave it square."
    if frame.rules.kind is FrameKind.SAWN:
        yield "Fasten the timbers together over this drawing."


def _hands(frame: FrameShape) -> tuple[Note, ...]:
    """PORT and STARBOARD on the side timbers, half way up."""
    side = frame.outer.side
    middle = side[len(side) // 2]
    right, left = frame.hands
    x = float(middle[0]) - frame.rules.side_moulded / 2
    if frame.inner is not None:
        rows = frame.inner[frame.inner[:, 0] > 0]
        x = float(middle[0] + np.interp(middle[1], rows[::-1, 1], rows[::-1, 0])) / 2
    return Note(right.upper(), (x, float(middle[1]))), Note(left.upper(), (-x, float(middle[1])))

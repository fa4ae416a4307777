"""The transom: its true shape in its rake, both faces, bevels between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely import LineString, MultiPoint

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Cylinder, Plane
from patterns.geometry.outlines import trimmed
from patterns.hull.build import Transom
from patterns.hull.planking.sections import cut_inside, half_edge, in_view
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.end_rules import TransomFraming, TransomWork
from patterns.parts.asked.rules import FrameJoint, FrameKind, FramePlace, FrameRules, StationFace
from patterns.parts.ends.bowed import bowed_words, unrolled
from patterns.parts.frames.frame import shape_frame
from patterns.parts.frames.frame_outline import floor_lines, strake_lines, strake_lines_over
from patterns.parts.frames.frame_pieces import frame_parts
from patterns.parts.frames.level_marks import level_marks, plank_marks
from patterns.parts.frames.notches import notched, notches_in, piece_notes, strips
from patterns.parts.long.solids import Solid
from patterns.parts.part import OTHER_HAND, Edge, Hand, Mark, Part
from patterns.parts.role import Role
from patterns.parts.shaping import Line, Shape, edges_of, shape_of
from patterns.parts.stands import FrameStand, transom_face, transom_inner_face
from patterns.units.lengths import write_length

CROWN_POINTS = 257
MOST_BOARDS = 40  # more, and their width is a slip of the pen
OPENINGS = (MOTOR, SCULLING) = "motor cut-out", "sculling notch"
LEAST_LOST = 1.0  # mm2; a cut-out that takes less of the framing only touches it
HAIR = 0.2  # mm; a run less than this is taken off by the plane without thought


def cut_transom(
    hull: Hull, board: Transom, work: TransomWork, *, aft: bool, solids: Sequence[Solid] = (), show: str = "mm"
) -> Part:
    """A transom seen on its outer face: centre line at x = 0, y up along the rake from base.

    Its outer edge lies on the inside of the planking on both faces; its top is the arc of the crown, square. One that
    is bowed is unrolled on its outer face: breadths are arc lengths there, heights run along the axis.

    Parameters
    ----------
    solids : sequence of Solid
        Long pieces inside the planking; cut through where the builder has them run through.

    Raises
    ------
    ShapeError
        A crown, a cut-out or a notch there is no room for.
    """
    face, inner = transom_face(board, aft=aft), transom_inner_face(board, aft=aft)
    here, there = (in_view(plane, cut_inside(hull, plane)) for plane in (face, inner))
    corner = here.runs[-1][-1]
    top = _Crown(half=float(corner[0]), height=float(corner[1]), rise=board.crown)
    names = hull.run_names
    far_top = trimmed(np.concatenate([there.runs[-1], there.above]), top.above)
    right: Hand = "starboard" if face.right[1] > 0 else "port"
    left = OTHER_HAND[right]
    near, far = (
        shape_of(
            [
                *floor_lines(floor, right, keeled=hull.seam is not None),
                *strake_lines(tuple(zip(names, runs, strict=True)), stepped, right),
                Line("top", top.arc(float(runs[-1][-1, 0]))),
                *strake_lines_over(tuple(zip(names, runs, strict=True)), stepped, left),
            ]
        )
        for floor, runs, stepped in (
            (here.floor, here.runs, here.stepped),
            (there.floor, (*there.runs[:-1], far_top), there.stepped),
        )
    )
    notches = notches_in(face, inner, solids) if work.through else ()
    near, far, undrawn = notched(near, far, notches, shy=0.0)
    if undrawn:
        raise ShapeError(f"{', '.join(undrawn)} cannot come through it alike on both faces; expected through = false")
    for name, ring in _openings(work, top, sign=1.0 if right == "starboard" else -1.0):
        with while_making(name):
            near, far = (one.without(ring, name, square=True) for one in (near, far))
    edges = edges_of(near, far, thickness=board.thickness)
    part = Part(
        name="transom" if aft else "bow transom",
        role=Role.TRANSOM,
        material_key=f"[{_table(aft=aft)}] material",
        hand="none",
        thickness=board.thickness,
        material=board.material,
        marked_face="after face" if aft else "fore face",
        edges=edges,
        marks=(
            *_marks(float(here.runs[0][0, 1]), top),
            *(level_marks(hull.smooth, face, half_edge(here), near) if hull.smooth else ()),
            *(plank_marks(hull.smooth, face, hull.smooth.inside) if hull.smooth else ()),
            *_joints(near, far, work),
            *strips(near, notches),
        ),
        bow="away from you" if aft else "toward you",
        grain="athwart",
        grain_angle=0.0,
        line="inside of planking at sides and bottom",
        remarks=(
            *_face_remarks(face, board.thickness, edges, show, aft=aft),
            *_board_remarks(near.ring.union(far.ring).bounds, work, show),
        ),
        notes=piece_notes(near, notches),
        stands_in=(face,),
    )
    return unrolled(part, face)


def _face_remarks(face: Plane, thickness: float, edges: tuple[Edge, ...], show: str, *, aft: bool) -> Iterator[str]:
    rake = np.degrees(np.arctan2(face.up[0], face.up[2])) * (1 if aft else -1)
    yield (
        f"True shape in its rake of {rake:.1f}°; heights run along the rake from base. "
        "The top's crown is an arc, measured along the face."
    )
    yield from bowed_words(face, thickness, show)
    standing = max(bevel.run for edge in edges for bevel in edge.bevels)
    if standing > HAIR:
        yield (
            f"Its inner face is the larger, by up to {write_length(standing, show)}: leave that much wood beyond the "
            "line and bevel back to it."
        )


def _board_remarks(bounds: tuple[float, float, float, float], work: TransomWork, show: str) -> Iterator[str]:
    if work.boards:
        left, low, right, high = bounds
        count = int(np.ceil((high - low) / work.boards))
        if count > MOST_BOARDS:
            raise ShapeError(
                f"found boards so narrow that it needs {count}, {{}} high in all; expected wider boards", high - low
            )
        yield (
            f"Laid out of {count} boards {write_length(work.boards, show)} wide, athwart, joints as drawn; the longest "
            f"{write_length(right - left, show)} net. The lowest begins where the larger face does."
        )


def _openings(work: TransomWork, top: _Crown, *, sign: float) -> Iterator[tuple[str, Floats]]:
    """Closed shapes cut out of the top, in the pattern's axes; ``sign`` is the side starboard lies on."""
    crown = top.height + top.rise
    if work.motor:
        motor = work.motor
        if not motor.width / 2 < top.half or motor.corner > min(motor.width / 2, motor.depth):
            raise ShapeError("motor cut-out: no room for a width of {} with corners of {}", motor.width, motor.corner)
        yield MOTOR, _slot(0.0, crown - motor.depth, motor.width, motor.corner, top=crown + 10.0)
    if work.sculling:
        notch = work.sculling
        if not abs(notch.off_center) + notch.width / 2 < top.half or notch.depth < notch.width / 2:
            raise ShapeError(
                "sculling notch: no room for it; expected it within the top's breadth of {} and no shallower than half "
                "its width of {}",
                2 * top.half,
                notch.width,
            )
        if work.motor and abs(notch.off_center) - notch.width / 2 < work.motor.width / 2:
            raise ShapeError(
                "sculling notch: {} wide and {} off the center line it runs into the motor cut-out, {} wide",
                notch.width,
                abs(notch.off_center),
                work.motor.width,
            )
        x = sign * notch.off_center
        foot = float(top.arc_at(x)) - notch.depth
        yield SCULLING, _slot(x, foot, notch.width, notch.width / 2, top=crown + 10.0)


def _slot(x: float, foot: float, width: float, corner: float, *, top: float) -> Floats:
    """An upright slot open at the top, its lower corners rounded."""
    turn = np.linspace(0.0, np.pi / 2, 65)
    arc = corner * np.stack([np.sin(turn), 1 - np.cos(turn)], axis=1)  # from the foot outward and up
    right = np.array([x + width / 2 - corner, foot]) + arc
    left = (right * (-1.0, 1.0))[::-1] - (-2 * x, 0.0)
    return np.concatenate([left, right, [[x + width / 2, top], [x - width / 2, top]]])


def _joints(shape: Shape, far: Shape, work: TransomWork) -> Iterator[Mark]:
    """Where the boards of a transom meet, from the bottom of the larger face up."""
    if not work.boards:
        return
    left, low, right, high = shape.ring.union(far.ring).bounds
    for y in np.arange(low + work.boards, high, work.boards):
        for run in shapely.get_parts(shape.ring.intersection(LineString([(left - 1, y), (right + 1, y)]))):
            if run.length > 1.0:
                yield Mark("board joint", np.asarray(run.coords))


def _table(*, aft: bool) -> str:
    """The table of boat.toml that speaks of it."""
    return "transom" if aft else "bow_transom"


def stand_framing(board: Transom, framing: TransomFraming, *, aft: bool) -> tuple[FrameStand, FrameRules]:
    """Fashion pieces against a transom's inner face, as a frame stands: marked on the face against the transom."""
    name = "transom framing" if aft else "bow transom framing"
    face = transom_inner_face(board, aft=aft)
    face = face.by_itself() if isinstance(face, Cylinder) else face
    place = FramePlace(name, float(face.origin[0]))
    rules = FrameRules(
        places=(place,),
        sided=framing.sided,
        side_moulded=framing.moulded,
        floor_moulded=framing.moulded,
        station_face=StationFace.AFT if aft else StationFace.FORE,
        kind=FrameKind.SAWN,
        material=framing.material,
        # The chine logs come through where a floor across the whole breadth would end.
        joint=FrameJoint.FLOOR_BETWEEN_SIDES,
    )
    marked, key = "after face" if aft else "fore face", f"[{_table(aft=aft)}.framing] material"
    return FrameStand(place, face, face.shifted(-framing.sided), marked, -1.0 if aft else 1.0, name, key), rules


def framing_parts(
    hull: Hull,
    board: Transom,
    framing: TransomFraming,
    solids: Sequence[Solid],
    *,
    show: str,
    aft: bool,
) -> tuple[Part, ...]:
    """Fashion pieces, whole and then piece by piece; on a bowed transom unrolled on the face against it."""
    stand, rules = stand_framing(board, framing, aft=aft)
    made = frame_parts(shape_frame(hull, rules, stand, solids=solids, show=show))
    words = tuple(bowed_words(stand.face, rules.sided, show))
    return tuple(
        unrolled(replace(part, remarks=(*part.remarks, *words)), stand.face) for part in (made.whole, *made.pieces)
    )


def behind_openings(framing: Sequence[Part], board: Part, show: str) -> tuple[Part, ...]:
    """Fashion pieces, the whole of them with a warning where it lies behind what is cut out of the transom."""
    whole, *pieces = framing
    doubts = tuple(_openings_behind(board, whole, show))
    return (replace(whole, remarks=(*whole.remarks, *doubts), doubts=(*whole.doubts, *doubts)), *pieces)


def _openings_behind(board: Part, framing: Part, show: str) -> Iterator[str]:
    """What is cut out of a transom where its framing lies behind: both are drawn in the same axes."""
    wood = shapely.Polygon(framing.outline).union(shapely.Polygon(framing.far_outline))
    for name in OPENINGS:
        edges = [edge.points for edge in board.edges if edge.name == name]
        if not edges:
            continue
        # Slots are convex, and the top over them is an arc that adds little.
        lost = MultiPoint(np.concatenate(edges)).convex_hull.intersection(wood)
        if lost.area > LEAST_LOST:
            low, high = lost.bounds[1::2]
            yield (
                f"The transom's {name} runs {write_length(high - low, show)} deep into this framing and is not cut out "
                "of it here: make one of them smaller, or cut through both."
            )


def _marks(low: float, top: _Crown) -> tuple[Mark, ...]:
    crown_top = top.height + top.rise
    return (
        Mark("center line", np.array([[0.0, low - 20.0], [0.0, crown_top + 10.0]])),
        Mark("sheer", np.array([[-top.half, top.height], [top.half, top.height]])),
    )


class _Crown:
    """The top of a transom: an arc through both sheer corners, so much above them at the centre line."""

    def __init__(self, *, half: float, height: float, rise: float) -> None:
        self.half, self.height, self.rise = half, height, rise
        if rise >= half:
            raise ShapeError(
                "crown {} is as much as half the breadth of {} at the sheer; expected less", rise, 2 * half
            )

    def _up(self, x: Floats) -> Floats:
        if self.rise == 0:
            return np.full_like(x, self.height)
        # Past the circle nothing is cut: `arc` refuses a face that is broader.
        up = np.sqrt(np.maximum(self._radius**2 - x**2, 0.0))
        return np.asarray(self.height + self.rise - self._radius + up)

    @property
    def _radius(self) -> float:
        # R = c^2/(8 s) + s/2: trade_geometry.toml, [sagitta].
        return (2 * self.half) ** 2 / (8 * self.rise) + self.rise / 2

    def arc_at(self, x: float) -> float:
        """Height of the arc at a half breadth, mm."""
        return float(self._up(np.array(x)))

    def above(self, points: Floats) -> Floats:
        """Signed height of points over the arc, mm."""
        return np.asarray(points[:, 1] - self._up(points[:, 0]))

    def arc(self, half: float) -> Floats:
        """(n, 2) mm from the right corner at a half breadth over the top to the left one."""
        if self.rise and half > self._radius:
            raise ShapeError(
                "crown {} makes a top only {} broad, but its far face is {} broad at the sheer; expected less crown",
                self.rise, 2 * self._radius, 2 * half,
            )  # fmt: skip
        x = np.linspace(half, -half, CROWN_POINTS)
        return np.stack([x, self._up(x)], axis=1)

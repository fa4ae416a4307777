"""What a sawn frame is put together from: side timbers, floor timber and gussets, each with its own pattern."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, unit
from patterns.geometry.cuts import Plane
from patterns.hull.planking.sections import over
from patterns.parts.asked.rules import FrameJoint, FrameKind, Gussets
from patterns.parts.frames.frame import FrameShape, frame_part
from patterns.parts.frames.mould_pieces import HELD_BACK, mould_of_pieces, piece_of
from patterns.parts.part import Hand, Mark, Part, along_edge
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.shaping import Line, Shape, edges_of
from patterns.units.lengths import write_small

FAR = 1e4  # mm, past any frame
PAST = 25.0  # mm a joint is carried past the wood, for the far face too
REACH = 2.0  # moulded sizes a gusset reaches along each timber; 1 1/2 to 2 is common practice, no single source
STEP = 0.3  # mm; a gusset keeps clear by more than this
PRICK = "Prick each timber from it, as far as the joint lines."
FEATHER = 10.0  # mm; wood narrower than this between a gusset's limber and its notch would break off: left out


@dataclass(frozen=True, slots=True, eq=False)
class FrameSet:
    """All patterns of one frame."""

    whole: Part
    pieces: tuple[Part, ...]

    @property
    def doubts(self) -> tuple[str, ...]:
        """What the builder must do himself, a sentence each."""
        return self.whole.doubts


def frame_parts(frame: FrameShape) -> FrameSet:
    """A frame's pattern, and of a sawn one those of its timbers and gussets.

    Where the joint asked for would leave a timber of another shape on each face, another is drawn and told.
    """
    whole = frame_part(frame)
    if frame.rules.kind is FrameKind.MOULD:
        with while_making(frame.name):
            return FrameSet(*mould_of_pieces(frame, whole))
    if frame.rules.kind is not FrameKind.SAWN or frame.inner is None:
        return FrameSet(whole, ())
    with while_making(frame.name):
        return _of_timbers(frame, whole)


def _of_timbers(frame: FrameShape, whole: Part) -> FrameSet:
    asked = frame.rules.joint
    for joint in sorted(FrameJoint, key=lambda one: one is not asked):
        jointed = replace(frame, rules=replace(frame.rules, joint=joint))
        try:
            pieces = _timbers(jointed, whole)
        except ShapeError:
            continue
        words = f"its joint is drawn as '{joint}': '{asked}' would part its timbers otherwise on each face."
        doubts = (*frame.doubts, *(() if joint is asked else (words,)))
        remarks = (*whole.remarks, PRICK, *(() if joint is asked else (words[:1].upper() + words[1:],)))
        marked = replace(whole, marks=whole.marks + _joint_marks(jointed), remarks=remarks, doubts=doubts)
        return FrameSet(marked, (*pieces, *_gussets(jointed, whole)))
    words = "no timbers are drawn: no joint parts them alike on both faces. Lay them out on the whole frame's pattern."
    told = (*whole.remarks, words[:1].upper() + words[1:])
    return FrameSet(replace(whole, remarks=told, doubts=(*frame.doubts, words)), ())


def _timbers(frame: FrameShape, whole: Part) -> tuple[Part, ...]:
    region = _below_joints(frame)
    (floors, sides), (far_floors, far_sides) = (face.parted(region, "joint") for face in (frame.near, frame.far))
    if (len(floors), len(sides)) != (1, 2) or (len(far_floors), len(far_sides)) != (1, 2):
        raise ShapeError("its joints do not part it into two side timbers and a floor timber")
    right, left = frame.hands
    hands: tuple[Hand, Hand] = ("port", "starboard")
    by_hand = dict(zip((left, right), zip(sides, far_sides, strict=True), strict=True))
    sided = tuple(piece_of(whole, *by_hand[hand], Role.SIDE_TIMBER, hand) for hand in hands)
    if not frame.outer.keeled:
        return (piece_of(whole, floors[0], far_floors[0], Role.FLOOR_TIMBER, "none"), *sided)
    halves, far_halves = (_halved(floor) for floor in (floors[0], far_floors[0]))
    by_hand = dict(zip((left, right), zip(halves, far_halves, strict=True), strict=True))
    return (*(piece_of(whole, *by_hand[hand], Role.FLOOR_TIMBER, hand) for hand in hands), *sided)


def _halved(floor: Shape) -> tuple[Shape, Shape]:
    """A floor parted on the centre line, left and right: across a V the grain of one piece would run out."""
    region = np.array([[0.0, -FAR], [FAR, -FAR], [FAR, FAR], [0.0, FAR]])
    right, left = floor.parted(region, "center joint")
    if len(right) != 1 or len(left) != 1:
        raise ShapeError("its floor does not part on the center line into two timbers")
    return left[0], right[0]


def _joint_marks(frame: FrameShape) -> tuple[Mark, ...]:
    """The joint lines on the whole frame's pattern."""
    points = _joint(frame)
    return Mark("joint", points, MarkKind.JOINT), Mark("joint", over(points), MarkKind.JOINT)


def _joint(frame: FrameShape) -> Floats:
    """(2, 2) mm, the right-hand joint from the inner corner outward."""
    assert frame.corner is not None
    line = LineString(np.stack([frame.corner, frame.corner + FAR * _way(frame)]))
    # Without a hair's room the line, begun on the outline itself, may be found just outside.
    within = shapely.get_parts(frame.near.ring.buffer(0.01).intersection(line))
    nearest = min(within, key=line.boundary.geoms[0].distance)
    return np.asarray(nearest.coords)


def _way(frame: FrameShape) -> Floats:
    """(2,) unit, from the right-hand inner corner outward along the joint."""
    assert frame.inner is not None
    assert frame.corner is not None
    i = int(np.abs(frame.inner - frame.corner).max(axis=1).argmin())
    match frame.rules.joint:
        case FrameJoint.SIDES_ON_FLOOR:
            return unit(frame.inner[i] - frame.inner[i + 1])
        case FrameJoint.FLOOR_BETWEEN_SIDES:
            return unit(frame.inner[i] - frame.inner[i - 1])
        case FrameJoint.MITRE:
            return unit(_mitre_foot(frame) - frame.inner[i])


def _mitre_foot(frame: FrameShape) -> Floats:
    """Where a mitre comes out: in the bottom edge, just inside the corner of whichever face is narrower.

    Where a long piece takes the corner away, in the middle of that wall of its notch which it would meet.
    """
    assert frame.corner is not None
    bottom = frame.outer.bottom
    x = min(frame.outer.side[0, 0], frame.far_outer.side[0, 0]) - HELD_BACK
    foot = np.array([x, np.interp(x, bottom[:, 0], bottom[:, 1])])
    mitre = LineString([frame.corner, foot])
    for (line, wall), (_, far_wall) in zip(frame.near.runs, frame.far.runs, strict=True):
        if line.kind is EdgeKind.NOTCH and mitre.intersects(LineString(wall)):
            return np.asarray((wall[0] + wall[-1] + far_wall[0] + far_wall[-1]) / 4)
    return foot


def _below_joints(frame: FrameShape) -> Floats:
    """(n, 2) mm, a closed region that holds the floor timber and nothing of the sides."""
    assert frame.corner is not None
    assert frame.inner is not None
    # Past the wood and no further: joints that run inboard as they go down meet below the boat.
    past = FAR if frame.rules.joint is FrameJoint.SIDES_ON_FLOOR else np.ptp(_joint(frame), axis=0).max() + PAST
    out = frame.corner + past * _way(frame)
    right = np.stack([frame.corner, out, out - (0.0, FAR)])
    # The floor's upper edge need not be straight: on a bowed transom it arches.
    first = int(np.abs(frame.inner - frame.corner).max(axis=1).argmin())
    over_floor = frame.inner[first + 1 : len(frame.inner) - first - 1] + np.array([0.0, 1.0])
    return np.concatenate([over_floor, over(right), right[::-1]])


def _gussets(frame: FrameShape, whole: Part) -> Iterator[Part]:
    rules = frame.rules.gussets
    if rules is None or frame.corner is None or frame.inner is None:
        return
    outer = [edge for edge in whole.edges if edge.kind in (EdgeKind.FLOOR, EdgeKind.PLANKED)]
    steepest = max(abs(float(np.tan(bevel.angle))) for edge in outer for bevel in edge.bevels)
    held = HELD_BACK + rules.thickness * steepest
    room = _gusset_room(frame, held)
    yield _gusset(frame, whole, _gusset_shape(frame, room), held)
    if frame.outer.keeled:
        yield _keel_gusset(frame, whole, room, held)


def _keel_gusset(frame: FrameShape, whole: Part, room: BaseGeometry, held: float) -> Part:
    """The gusset that holds both floor timbers of a V bottom together over the keel."""
    rules = frame.rules.gussets
    assert rules is not None
    gusset = _gusset(frame, whole, _keel_gusset_shape(frame, room), held)
    faces = "one on each face" if rules.faces == 2 else "one on the marked face"
    return replace(
        gusset,
        name=f"{whole.name} keel gusset",
        count=rules.faces,
        stands_in=gusset.stands_in[::2],
        remarks=(f"Over the joint of the floor timbers, {faces}: square all round.", *gusset.remarks[1:]),
    )


def _gusset(frame: FrameShape, whole: Part, shape: Shape, held: float) -> Part:
    rules = frame.rules.gussets
    assert rules is not None
    edges = edges_of(shape, shape, thickness=rules.thickness)
    return Part(
        name=f"{whole.name} gusset",
        role=Role.GUSSET,
        of=whole.title,
        of_a=whole.role,
        material_key="[frames] gusset_material",
        hand="none",
        count=2 * rules.faces,
        thickness=rules.thickness,
        thickness_is="thick as measured" if rules.measured else "thick, in proportion to the frame: not measured",
        material=rules.material,
        marked_face="either face",
        edges=edges,
        bow="either way",
        stands_in=tuple(_gusset_places(frame)),
        remarks=(
            _gusset_count(rules),
            f"Lay it {write_small(held, frame.show)} inside the edge of the face it lies on: so it needs no bevel, and "
            "clears the notches.",
        ),
        grain="along the long edge, across the joint",
        grain_angle=along_edge(edges, "long edge"),
    )


def _gusset_places(frame: FrameShape) -> Iterator[Plane]:
    """The face of each gusset that is away from the frame, to starboard and to port, on the marked face and the far."""
    rules, face, far = frame.rules.gussets, frame.stand.face, frame.stand.far
    assert rules is not None
    lifted, sunk = face.shifted(rules.thickness), far.shifted(-rules.thickness)
    yield lifted
    yield Plane(face.origin, -face.right, face.up)
    if rules.faces == 2:
        yield far
        yield Plane(sunk.origin, -far.right, far.up)


def _gusset_count(rules: Gussets) -> str:
    faces = "both faces" if rules.faces == 2 else "the marked face only"
    return (
        f"Port and starboard alike, {faces}: square all round, one shape turned over serves both. May be cut "
        "stacked; mark each with its place."
    )


def _gusset_room(frame: FrameShape, held: float) -> BaseGeometry:
    """Where gussets can lie on a frame: its wood and the opening it goes round, held back from the planking."""
    assert frame.inner is not None
    wood = frame.near.ring.intersection(frame.far.ring)
    filled = shapely.union_all([wood, Polygon(frame.inner).buffer(0.01)])
    # Where both faces part by a hair their common outline has steps no saw follows.
    room = filled.buffer(-held, join_style="mitre").simplify(STEP)
    # The limbers again, as much larger as it takes to leave none of the facets that made of their arcs.
    limbers = [Polygon(line.points) for line in frame.near.lines if line.kind is EdgeKind.LIMBER]
    return room.difference(shapely.union_all([_drain(limber, room, held) for limber in limbers]))


def _gusset_shape(frame: FrameShape, room: BaseGeometry) -> Shape:
    """The right-hand gusset: over both timbers, its long edge straight across the inner corner."""
    assert frame.corner is not None
    assert frame.inner is not None
    i = int(np.abs(frame.inner - frame.corner).max(axis=1).argmin())
    up, inboard = unit(frame.inner[i - 1] - frame.corner), unit(frame.inner[i + 1] - frame.corner)
    on_side = frame.corner + REACH * frame.rules.side_moulded * up
    on_floor = frame.corner + REACH * frame.rules.floor_moulded * inboard
    if on_floor[0] < 0:
        on_floor = frame.corner + 0.9 * frame.corner[0] / -inboard[0] * inboard
    out, down = FAR * np.array([up[1], -up[0]]), FAR * np.array([-inboard[1], inboard[0]])
    region = np.stack([on_floor, on_floor + down, on_floor + down + out, on_side + out, on_side])
    ring = max(shapely.get_parts(room.intersection(Polygon(region))), key=lambda part: part.area)
    lines = (
        Line("long edge", np.stack([on_side, on_floor]), square=True),
        Line("across side timber", np.stack([on_side + out, on_side]), square=True),
        Line("across floor timber", np.stack([on_floor, on_floor + down]), square=True),
        Line("outer edge", np.asarray(shapely.get_parts(room)[0].exterior.coords), square=True),
    )
    return Shape(ring, lines)


def _keel_gusset_shape(frame: FrameShape, room: BaseGeometry) -> Shape:
    """Over both floor timbers, its long edge straight across the hollow of the V between them."""
    assert frame.corner is not None
    assert frame.inner is not None
    middle = frame.inner[len(frame.inner) // 2]
    way = unit(frame.corner - middle)
    reach = min(REACH * frame.rules.floor_moulded, 0.9 * float(np.linalg.norm(frame.corner - middle)))
    right, down = middle + reach * way, FAR * np.array([way[1], -way[0]])
    left, down_left = over(right[None])[0], over(down[None])[0]
    region = np.stack([left, left + down_left, right + down, right])
    ring = max(shapely.get_parts(room.intersection(Polygon(region))), key=lambda part: part.area)
    lines = (
        Line("long edge", np.stack([right, left]), square=True),
        Line("across floor timber", np.stack([left, left + down_left]), square=True),
        Line("across floor timber", np.stack([right + down, right]), square=True),
        Line("outer edge", np.asarray(shapely.get_parts(room)[0].exterior.coords), square=True),
    )
    return Shape(ring, lines)


def _drain(limber: Polygon, room: BaseGeometry, held: float) -> BaseGeometry:
    """What is cut from a gusset for a limber: itself, larger, and what wood beside it is too narrow to stand."""
    x, y = limber.centroid.coords[0]
    radius = float(limber.exterior.distance(limber.centroid)) + held + STEP
    cut: BaseGeometry = limber.centroid.buffer(radius, quad_segs=64)
    # Along the gusset's own lower edge, both ways from the limber.
    foot, reach = room.bounds[1] + STEP, radius + FEATHER
    for run in shapely.get_parts(room.difference(cut).intersection(LineString([(x - reach, foot), (x + reach, foot)]))):
        end = max(run.bounds[0], run.bounds[2], key=lambda end: abs(end - x))
        if abs(end - x) < reach - STEP:
            cut = cut.union(LineString([(x, y), (end, y)]).buffer(radius, quad_segs=64))
    return cut

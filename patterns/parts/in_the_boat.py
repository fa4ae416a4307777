"""Every part as a body of wood in its place in the boat."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.errors import ShapelyError

from patterns.geometry.arrays import Floats, interpolated
from patterns.geometry.cuts import Cylinder, Plane
from patterns.geometry.development import Flat
from patterns.geometry.meshes import Mesh, Side, between, shell, together
from patterns.geometry.short_repr import brief
from patterns.parts.asked.rules import FrameKind
from patterns.parts.frames.frame import frame_name
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.part import Part
from patterns.parts.role import MarkKind, Role
from patterns.parts.whole import Job

STRIP = (
    80.0  # mm between two rulings, or two lines of a bowed face, that stay straight: on a radius of 1.5 m the chord of
)
# so short a strip leaves the arc by half a millimetre, L^2 / 8 R
PAST = 200.0  # mm that a line of folding is drawn past the outline, so that it is sure to reach it
HEAD_ROOM = 20.0  # mm above the sheer; what stands higher is a leg
UPRIGHT = 3000.0  # mm; higher than any transom


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """A part and its wood in the boat: of one made several times over, all of it."""

    part: Part
    wood: Mesh

    __repr__ = brief


def in_the_boat(job: Job, *, within: float = 0.0) -> tuple[Placed, ...]:
    """The wood of every part whose place in the boat is known, in the order of the parts.

    Joined panels are whole. Sawn frames are there by their timbers and gussets, without their legs. Edges have their
    bevels. Laminations, crowns, scarfs and the planing of a log across its chine are left out. Wood is as thick as
    `Part.thickness`.

    Parameters
    ----------
    within : float
        mm by which outlines may be simplified: pictures want few triangles.
    """
    whole = {timber.of for timber in job.timbers}
    pieces = {piece.part.title: piece for piece in job.long_pieces}
    found: dict[str, Mesh] = {}
    heads = _heads(job)
    for part in sorted(job.parts, key=lambda part: part.hand == "port"):  # those mirrored after what they mirror
        if part.title in whole:
            continue
        part = _sawn_off(part, heads)
        twin = found.get(f"{part.name}, starboard") if part.hand == "port" and not part.stands_in else None
        try:
            wood = twin.mirrored() if twin else _wood(job, part, pieces.get(part.title), within)
        except (ValueError, ShapelyError):  # an outline that no wood fills: the part is left out, and told as left out
            continue
        if wood is not None:
            found[part.title] = wood
    return tuple(Placed(part, found[part.title]) for part in job.parts if part.title in found)


def round_planking(job: Job, *, rows: int, columns: int) -> Mesh | None:
    """The planking of a round hull as one body on each side, which no pattern is made of; None of another hull."""
    skin = job.hull.smooth
    if skin is None:
        return None
    outside, inside = (skin.grid(depth, rows, columns) for depth in (skin.outside, skin.inside))
    half = shell(outside, inside)
    return together([half, half.mirrored()])


def _wood(job: Job, part: Part, piece: LongPiece | None, within: float) -> Mesh | None:
    if part.flat is not None:
        inside = job.hull.strake(part.strake).inside
        return _bent(_simpler(part, within), part.flat, inside, inside + part.thickness)
    if piece is not None:
        away = -1.0 if piece.inside else 1.0
        return _bent(_simpler(piece.natural, within), piece.flat, piece.depth, piece.depth + away * part.thickness)
    if part.stands_in:
        return together([_flat(job, _simpler(part, within), face) for face in part.stands_in])
    return None


def _heads(job: Job) -> dict[str, float]:
    """By the titles of frames that stay in the boat, the height of the sheer there: their legs are sawn off at it."""
    stay = [(frame_name(rules, stand), stand) for rules, stand in job.stands if rules.kind is not FrameKind.MOULD]
    sheer = job.lines[0].curve.height
    return {title: float(sheer.value(np.array([stand.place.from_fp]))[0]) for title, stand in stay}


def _sawn_off(part: Part, heads: Mapping[str, float]) -> Part:
    """A frame, or a timber of it, without what stands above the sheer."""
    head = heads.get(part.of or part.title)
    if head is None or part.role is Role.GUSSET or part.outline[:, 1].max() < head + HEAD_ROOM:
        return part
    kept = []
    for edge in part.edges:
        near, far = (_below(line, head) for line in (edge.points, edge.far))
        if near is not None and far is not None:
            kept.append(replace(edge, points=near, far=far))
    return replace(part, edges=tuple(kept))


def _below(line: Floats, head: float) -> Floats | None:
    """What of a line lies lower than a height: the longest run of it."""
    past = 2 * float(np.abs(line).max()) + 1.0
    room = shapely.box(-past, -past, past, head)
    runs = [run for run in shapely.get_parts(shapely.LineString(line).intersection(room)) if run.length > 0]
    return shapely.get_coordinates(max(runs, key=lambda run: float(run.length))) if runs else None


def _simpler(part: Part, within: float) -> Part:
    """A part with fewer points along its edges."""
    if not within:
        return part

    def few(line: Floats) -> Floats:
        return shapely.get_coordinates(shapely.simplify(shapely.LineString(line), within, preserve_topology=False))

    return replace(
        part,
        edges=tuple(replace(edge, points=few(edge.points), far=few(edge.far)) for edge in part.edges),
        marks=tuple(replace(mark, points=few(mark.points)) for mark in part.marks if mark.kind is MarkKind.PLANED),
    )


def _bent(part: Part, flat: Flat, depth: float, far: float) -> Mesh:
    """A part bent to the planking: its marked face at one depth of the skin, its far face at another."""

    def lifted(to: float) -> Callable[[Floats], Floats]:
        return lambda places: flat.ruled.point(*flat.places(places), to)

    return between(*_sides(part, lifted(depth), lifted(far)), _rulings(part, flat))


def _rulings(part: Part, flat: Flat) -> list[Floats]:
    """Rulings of the flat across a pattern, a strip apart."""
    s, t = flat.places(np.concatenate([part.outline, part.far_outline]))
    numbers = np.arange(np.ceil(s.min()), np.floor(s.max()) + 1)
    if not len(numbers):
        return []
    middle = flat.point(numbers, np.full(len(numbers), float(np.median(t))))
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(middle, axis=0).T))])
    chosen = numbers[np.unique(np.searchsorted(run, np.arange(0.0, run[-1], STRIP)))]
    low, high = float(t.min()) - PAST, float(t.max()) + PAST
    ends = [flat.point(chosen, np.full(len(chosen), end)) for end in (low, high)]
    return list(np.stack(ends, axis=1))


def _flat(job: Job, part: Part, face: Plane) -> Mesh:
    """A part that is cut from flat wood, or bowed to a cylinder."""
    if part.role is Role.STEM and part.landings:
        return _tapered(part, *_landing(part))
    if part.role in (Role.KEEL_BATTEN, Role.KEELSON):
        return _tapered(part, *_on_ridge(job, part))
    behind = face.shifted(-part.thickness)
    folds: list[Floats] = []
    if isinstance(face, Cylinder):
        low, high = part.outline[:, 0].min(), part.outline[:, 0].max()
        folds = [np.array([[x, -UPRIGHT], [x, UPRIGHT]]) for x in np.arange(low + STRIP, high, STRIP)]
    return between(*_sides(part, face.in_space, behind.in_space), folds)


def _sides(part: Part, near: Callable[[Floats], Floats], far: Callable[[Floats], Floats]) -> tuple[Side, Side]:
    return (
        Side([edge.points for edge in part.edges], near, part.holes),
        Side([edge.far for edge in part.edges], far, part.holes),
    )


Wide = Callable[[Floats], Floats]
"""Half the width (n,) mm of wood on the centre line at places (n, 2) of its profile."""


def _tapered(part: Part, wide: Wide, folds: Sequence[Floats]) -> Mesh:
    """A part in profile whose two sides are planed off toward an edge, between lines of folding."""

    def lifted(sign: float) -> Callable[[Floats], Floats]:
        return lambda places: np.insert(places, 1, sign * wide(places), axis=1)

    return between(*_sides(_closer(part), lifted(-1.0), lifted(1.0)), folds)


def _closer(part: Part) -> Part:
    """A part with points all along its straight edges: between two of them its wood need not be as wide as a chord."""

    def points(line: Floats) -> Floats:
        return shapely.get_coordinates(shapely.segmentize(shapely.LineString(line), STRIP / 2))

    edges = tuple(replace(edge, points=points(edge.points), far=points(edge.far)) for edge in part.edges)
    return replace(part, edges=edges)


def _landing(part: Part) -> tuple[Wide, list[Floats]]:
    """A stem bevelled from its bearding line to the face that planks end on; a rabbet is left uncut."""
    lines = _planed_from(part)
    height = np.array([one.height for one in part.landings])
    half_face = np.array([one.half_face for one in part.landings])

    def thin(places: Floats) -> Floats:
        half = interpolated(places[:, 1], height, half_face[:, None])[:, 0]
        return np.clip(half, 0.0, part.thickness / 2)

    return _toward_first_edge(part, lines, thin), lines


def _on_ridge(job: Job, part: Part) -> tuple[Wide, list[Floats]]:
    """A keel batten planed to the V of the bottom."""
    lines = _planed_from(part)

    def thin(places: Floats) -> Floats:
        return np.full(len(places), min(job.hull.half, part.thickness / 2))

    return _toward_first_edge(part, lines, thin), lines


def _planed_from(part: Part) -> list[Floats]:
    return [mark.points for mark in part.marks if mark.kind is MarkKind.PLANED]


def _toward_first_edge(part: Part, lines: Sequence[Floats], thin: Wide) -> Wide:
    """Half widths that grow from those along the first edge to half the wood's own along lines, and stay so."""
    if not lines:
        return lambda places: np.full(len(places), part.thickness / 2)
    outer, inner = part.edges[0].points, _upward(lines)
    outer_line, inner_line = shapely.LineString(outer), shapely.LineString(inner)
    start = inner[0] if outer_line.project(shapely.Point(inner[0])) < outer_line.length / 2 else inner[-1]
    planed = np.concatenate([outer, inner if start is inner[-1] else inner[::-1]])
    zone = shapely.Polygon(planed).buffer(0.01)
    shapely.prepare(zone)

    def wide(places: Floats) -> Floats:
        points = shapely.points(places)
        to_outer, to_inner = (shapely.distance(points, line) for line in (outer_line, inner_line))
        share = to_outer / np.maximum(to_outer + to_inner, 1e-9)
        least = thin(places)
        half = part.thickness / 2
        return np.where(shapely.contains(zone, points), least + share * (half - least), half)

    return wide


def _upward(lines: Sequence[Floats]) -> Floats:
    """Lines end to end, in the order of their heights or, along the keel, of their distances from FP."""
    steep = np.ptp(np.concatenate(lines), axis=0).argmax()
    rising = [line if line[0, steep] < line[-1, steep] else line[::-1] for line in lines]
    return np.concatenate(sorted(rising, key=lambda line: float(line[0, steep])))

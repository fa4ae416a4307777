"""The stem: its profile, sawn square, and the landing bevels by height."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from shapely import LineString, Polygon

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.cuts import Profile
from patterns.geometry.outlines import met, parallel, thinned
from patterns.hull.build import Stem, end_word
from patterns.hull.planking.half_siding import half_siding_cut
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Strake
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.edges import square_edge
from patterns.parts.ends.landings import LandingLine, landing_line, landing_on
from patterns.parts.ends.rabbet import plank_ends, rabbet_lines
from patterns.parts.ends.v_stem import (
    VStem,
    landing_marks,
    outside_marks,
    rabbet_marks,
    rabbeted,
    shape_v_stem,
)
from patterns.parts.ends.v_stem_words import v_doubts, v_remarks
from patterns.parts.part import Edge, Landing, Mark, Part, joined
from patterns.parts.role import MarkKind, Role
from patterns.parts.stands import port_face
from patterns.units.lengths import write_length

LANES = 65
PROFILE_POINTS = 129
THINNEST_LAYER = 0.5  # mm; veneer is hardly sold thinner
TICK = 30.0  # mm
TRIES = 201  # heights between two landings where the topmost may be marked: under a millimetre apart


def cut_stem(hull: Hull, stem: Stem, work: StemWork, *, aft: bool, show: str = "mm") -> tuple[Part, ...]:
    """A stem (or sternpost) seen from port: x aft, y height above base; and its false stem, where one is asked for.

    The outer face is the profile the planking ends on, or stands so far ahead of the rabbet; the inner face lies its
    moulded size behind the profile, its head is level at the sheer and its foot stands on the inside of the bottom.

    Raises
    ------
    ShapeError
        Siding too small for the planking to land on, or a rabbet where the lines end wider than the stem.
    """
    if hull.seam is not None:
        return _cut_v_stem(hull, stem, work, aft=aft, show=show)
    in_rabbet = work.ends is PlankEnds.RABBET
    strakes = hull.standing[::-1]  # as they land, from the lowest up
    lines = tuple(mark for strake in strakes for mark in rabbet_lines(hull, strake, stem, aft=aft)) if in_rabbet else ()
    landing = tuple(landing_line(hull, strake, stem, aft=aft) for strake in strakes)
    landings = tuple(one for line in landing for one in line.figured())
    lines_end = _line_ends(hull, aft=aft)
    ahead = (work.false_moulded or 0.0) if in_rabbet else 0.0
    head = float(lines_end[hull.sheer_strake.upper][1])
    outer, inner, foot, top = _outline(hull, stem, head=head, ahead=ahead, aft=aft)
    edges = profile_edges(outer, inner, foot, top, aft=aft)
    doubts = tuple(_doubts(stem, landings, show))
    planed = MarkKind.LINE if in_rabbet else MarkKind.PLANED
    name = end_word(stem, aft=aft)
    part = stem_part(
        stem,
        work,
        ShapedStem(
            name,
            edges,
            marks=(
                *lines,
                *(_bearding(hull, strake, stem, planed, aft=aft) for strake in strakes),
                *(() if in_rabbet else _landing_marks(hull, landing, edges, show=show, aft=aft)),
                *line_marks(lines_end, aft=aft),
            ),
            remarks=(*_remarks(hull, work, landings, show, aft=aft), *layer_remarks(stem, work, outer, inner, show)),
            doubts=doubts,
            landings=landings,
        ),
    )
    if work.ends is not PlankEnds.FALSE_STEM or work.false_moulded is None:
        return (part,)
    return part, _false_stem(hull, stem, work, head=head, show=show, aft=aft)


def _cut_v_stem(hull: Hull, stem: Stem, work: StemWork, *, aft: bool, show: str) -> tuple[Part, ...]:
    """The stem of a V bottom: its fore edge is where the insides of both sides come together."""
    rabbet = rabbeted(hull, work)
    ahead = (work.false_moulded or 0.0) if rabbet else 0.0
    shape = shape_v_stem(hull, stem, rabbet=rabbet, ahead=ahead, aft=aft)
    landings = tuple(one for line in shape.landings for one in line.figured())
    doubts = tuple(v_doubts(shape, landings, stem, show))
    ends = _line_ends(hull, aft=aft)
    del ends[hull.lines[-1].name]  # where the keel begins the foot is
    return parts_of_shape(
        stem,
        work,
        shape,
        landings,
        marks=(
            *(rabbet_marks(hull, shape, aft=aft) if rabbet else ()),
            *bearding_marks(shape, rabbet=rabbet),
            *(() if rabbet else landing_marks(shape, landings, show, aft=aft)),
            *outside_marks(shape, rabbet=rabbet, aft=aft),
            *line_marks(ends, aft=aft),
        ),
        remarks=tuple(v_remarks(shape, stem, work, show, rabbet=rabbet, aft=aft)),
        doubts=doubts,
        rabbet=rabbet,
        show=show,
        aft=aft,
    )


def bearding_marks(shape: VStem, *, rabbet: bool) -> Iterator[Mark]:
    """Where the inside of the planking leaves the timber: planed down to, or the edge of a rabbet."""
    kind = MarkKind.LINE if rabbet else MarkKind.PLANED
    return (Mark("bearding line", thinned(line), kind) for line in shape.beardings)


def parts_of_shape(
    stem: Stem,
    work: StemWork,
    shape: VStem,
    landings: tuple[Landing, ...],
    *,
    marks: tuple[Mark, ...],
    remarks: tuple[str, ...],
    doubts: tuple[str, ...],
    rabbet: bool,
    show: str,
    aft: bool,
) -> tuple[Part, ...]:
    """A stem of a shape, and its false stem where the planking ends under one."""
    foot, head = (line[:: -1 if aft else 1] for line in (shape.foot, shape.head))
    part = stem_part(
        stem,
        work,
        ShapedStem(
            end_word(stem, aft=aft),
            profile_edges(shape.outer, shape.inner, foot, head, aft=aft),
            marks=marks,
            remarks=(*remarks, *layer_remarks(stem, work, shape.outer, shape.inner, show)),
            doubts=doubts,
            landings=landings,
        ),
    )
    if rabbet or work.false_moulded is None:
        return (part,)
    fore = parallel(shape.profile, -work.false_moulded if aft else work.false_moulded)
    return part, false_part(stem, work, (shape.profile, fore), np.full(2, 2 * shape.half), show=show, aft=aft)


@dataclass(frozen=True, eq=False)
class ShapedStem:
    """What a stem's pattern holds that hangs on its boat."""

    name: str
    edges: tuple[Edge, ...]
    marks: tuple[Mark, ...]
    remarks: tuple[str, ...]
    doubts: tuple[str, ...]
    landings: tuple[Landing, ...]


def stem_part(stem: Stem, work: StemWork, shaped: ShapedStem) -> Part:
    return Part(
        name=shaped.name,
        role=Role.STEM,
        material_key=f"[{shaped.name}] material",
        hand="none",
        thickness=stem.sided,
        material=work.material,
        marked_face="port face",
        edges=shaped.edges,
        marks=shaped.marks,
        bow="left",
        grain="along its length",
        stands_in=(port_face(stem.sided),),
        remarks=(*shaped.remarks, *(f"{doubt[:1].upper()}{doubt[1:]}." for doubt in shaped.doubts)),
        doubts=shaped.doubts,
        landings=shaped.landings,
    )


def profile_edges(outer: Floats, inner: Floats, foot: Floats, top: Floats, *, aft: bool) -> tuple[Edge, ...]:
    if aft:
        runs = {"after": outer, "top": top, "fore": inner[::-1], "bottom": foot}
    else:
        runs = {"fore": outer[::-1], "bottom": foot, "after": inner, "top": top}
    return tuple(square_edge(name, run) for name, run in runs.items())


def _remarks(hull: Hull, work: StemWork, landings: tuple[Landing, ...], show: str, *, aft: bool) -> Iterator[str]:
    def write(length: float) -> str:
        return write_length(length, show)

    if work.ends is not PlankEnds.RABBET:
        yield (
            "Saw to this shape square, mark the bearding line on both sides, carried on to the top, then bevel "
            "from it to the face: each landing angle is off the center plane, square to the face, and so is its "
            "depth measured."
        )
    thick = sorted({strake.planking.thickness for strake in hull.standing})
    shallowest = min(landing.depth for landing in landings)
    if shallowest < thick[-1]:
        yield f"The landing is only {write(shallowest)} deep where least, less than the planking is thick."
    match work.ends:
        case PlankEnds.FALSE_STEM:
            yield "Both sides end flush with its face; a false stem goes on over the plank ends."
        case PlankEnds.LAPPED:
            first, second = (max(reach) for reach in zip(*_laps(hull, landings, aft=aft), strict=True))
            yield (
                f"The second side laps the first: leave the side hung first {write(first)} long beyond the stem line "
                f"and the second {write(second)}; plane the first one's end in line with the other landing, hang the "
                "second over it and trim that flush."
            )
        case PlankEnds.RABBET:
            yield (
                "Saw to this shape square, mark all three lines on both sides, carried on to the top, and cut "
                "the rabbet between them, leaving the face in front of it as wide as the stem is sided; the "
                "landing lies off the center plane by the angles below. The rabbet line is where the planking's "
                "outside meets its side, the apex line the groove's bottom corner, where the inside corner of "
                "the plank end lies; the groove is as deep as the planking is thick, "
                f"{' and '.join(map(write, thick))}, square to it."
            )


def layer_remarks(stem: Stem, work: StemWork, outer: Floats, inner: Floats, show: str) -> Iterator[str]:
    if work.layers > 1:
        ahead = (work.false_moulded or 0.0) if work.ends is PlankEnds.RABBET else 0.0
        layer = (stem.moulded + ahead) / work.layers
        if layer < THINNEST_LAYER:
            raise ShapeError(
                f"{{}} laid up of {work.layers} layers makes each thinner than any veneer; expected fewer",
                stem.moulded + ahead,
            )
        longest = max(float(run_along(line)[-1]) for line in (outer, inner))
        yield (
            f"Laminated of {work.layers} layers {write_length(layer, show)} thick: strips at least "
            f"{write_length(longest, show)} long and as wide as its siding and what the plane takes."
            + ("" if len(stem.profile) == 2 else f" A bent stack springs back about 1/{work.layers**2} of its curve.")
        )


def _plank_ends(hull: Hull, height: Floats, *, aft: bool) -> Floats:
    """Half breadths (n,) mm of the outside of the planking on the profile, at heights."""
    points = np.concatenate([plank_ends(hull, strake, aft=aft)[::-1] for strake in hull.standing[::-1]])
    return np.asarray(np.interp(height, points[:, 2], points[:, 1]))


def _laps(hull: Hull, landings: tuple[Landing, ...], *, aft: bool) -> Iterator[tuple[float, float]]:
    """How far the side hung first and the second run on past the stem line, along the planking, by height.

    The first ends in the plane of the second's inside, the second in that of the first's outside: plane geometry in
    the plane square to the stem's face, the sides leaning to the centre plane by the landing's angle.
    """
    outside = _plank_ends(hull, np.array([landing.height for landing in landings]), aft=aft)
    for landing, half in zip(landings, outside.tolist(), strict=True):
        first, second = (landing.half_face + half) / 2, half
        yield first / np.sin(landing.angle), second / np.sin(landing.angle)


def _false_stem(hull: Hull, stem: Stem, work: StemWork, *, head: float, show: str, aft: bool) -> Part:
    """The piece put on over the plank ends, in profile; its inner edge is the face they end on."""
    assert work.false_moulded is not None
    end = hull.aft_cut if aft else hull.fore_cut
    floor = hull.on_centre(hull.floor.outside)
    inner = _face_line(end, floor, head, 0.0, stem.moulded)
    outer = _face_line(end, floor, head, -work.false_moulded if aft else work.false_moulded, stem.moulded)
    wide = 2 * _plank_ends(hull, np.linspace(inner[0, 1], inner[-1, 1], 33), aft=aft)
    return false_part(stem, work, (inner, outer), wide, show=show, aft=aft)


def false_part(stem: Stem, work: StemWork, faces: tuple[Floats, Floats], wide: Floats, *, show: str, aft: bool) -> Part:
    """A false stem between its inner and its outer face, each from the foot up; ``wide`` across from foot to head."""
    inner, outer = faces
    fore, after = (inner, outer) if aft else (outer, inner)
    foot, top = np.stack([fore[0], after[0]]), np.stack([after[-1], fore[-1]])
    return Part(
        name=f"false {end_word(stem, aft=aft)}",
        role=Role.FALSE_STEM,
        material_key=f"[{end_word(stem, aft=aft)}] false_material",
        hand="none",
        thickness=float(wide.max()),
        thickness_is="across at its widest, reckoned",
        material=work.false_material,
        marked_face="port face",
        edges=profile_edges(outer, inner, foot, top, aft=aft),
        bow="left",
        grain="along its length",
        stands_in=(port_face(float(wide.max())),),
        remarks=(
            f"Goes on over the plank ends, {write_length(float(wide[0]), show)} across at the foot and "
            f"{write_length(float(wide[-1]), show)} at the head: fit its {'fore' if aft else 'after'} face to them and "
            "taper it to suit.",
        ),
    )


def _line_ends(hull: Hull, *, aft: bool) -> dict[str, Floats]:
    """By name, (x, z) where each line of the hull ends on the profile, from the sheer down."""
    return {
        line.name: line.curve.point(np.array(line.curve.last if aft else line.curve.first))[[0, 2]]
        for line in hull.lines
    }


def _outline(hull: Hull, stem: Stem, *, head: float, ahead: float, aft: bool) -> tuple[Floats, Floats, Floats, Floats]:
    """Outer face and inner face from the foot up, foot fore to aft, head aft to fore."""
    end = hull.aft_cut if aft else hull.fore_cut
    floor = hull.on_centre(hull.floor.inside)
    inboard = 1.0 if aft else -1.0
    outer = _face_line(end, floor, head, -inboard * ahead, stem.moulded + ahead)
    inner = _face_line(end, floor, head, inboard * stem.moulded, stem.moulded + ahead)
    fore, after = (inner, outer) if aft else (outer, inner)
    inside = (floor[:, 0] > fore[0, 0]) & (floor[:, 0] < after[0, 0])
    foot = np.concatenate([fore[:1], floor[inside], after[:1]])
    return outer, inner, foot, np.stack([after[-1], fore[-1]])


def _face_line(end: Profile, floor: Floats, head: float, left: float, past: float) -> Floats:
    """A line parallel to the profile, to its left as it rises, from a floor up to the head."""
    low = float(floor[:, 1].min()) - past
    z = end.heights_between(low, head + past, PROFILE_POINTS)
    line = np.stack([end.at_height(z), z], axis=1)
    return _between(parallel(line, left) if left else line, floor, head)


def _between(line: Floats, floor: Floats, head: float) -> Floats:
    """A face of the stem from the inside of the bottom to the level of the head."""
    level = np.array([[line[:, 0].min() - 1e3, head], [line[:, 0].max() + 1e3, head]])
    _, rising = met(floor, line)
    standing, _ = met(rising, level)
    return thinned(standing)


def _doubts(stem: Stem, landings: tuple[Landing, ...], show: str) -> Iterator[str]:
    """Where the landings run out of the wood, forward or aft."""
    sharp = [landing for landing in landings if landing.half_face < 0]
    if sharp:
        behind = max(-landing.half_face / np.tan(landing.angle) for landing in sharp)
        yield (
            f"{_heights(sharp, show)} the insides of both sides meet up to {write_length(behind, show)} behind its "
            "face: what wood stands before that comes away as the landings are bevelled, and its edge is sharp"
        )
    deep = [landing for landing in landings if landing.depth > stem.moulded]
    if deep:
        most = max(landing.depth for landing in deep)
        yield (
            f"{_heights(deep, show)} its landing needs up to {write_length(most, show)} from its face, but the stem is "
            f"moulded {write_length(stem.moulded, show)}: the bearding line lies behind its wood"
        )


def _heights(landings: list[Landing], show: str) -> str:
    low, high = (write_length(landing.height, show) for landing in (landings[0], landings[-1]))
    return f"{low} above base" if low == high else f"from {low} to {high} above base"


def _bearding(hull: Hull, strake: Strake, stem: Stem, kind: MarkKind, *, aft: bool) -> Mark:
    ruled, within, cut = strake.ruled, hull.between_corners(strake), half_siding_cut(hull, stem, aft=aft)
    s, t = ruled.crossing(cut, within.upper, within.lower, within.depth, lanes=LANES)
    return Mark("bearding line", thinned(ruled.point(s, t, within.depth)[:, [0, 2]]), kind)


def _landing_marks(
    hull: Hull, lines: Sequence[LandingLine], edges: tuple[Edge, ...], *, show: str, aft: bool
) -> Iterator[Mark]:
    """Each landing by its height: from the face in to the bearding line, square to the face as it is measured."""
    end = hull.aft_cut if aft else hull.fore_cut
    wood = Polygon(joined([edge.points for edge in edges])).buffer(0.01)
    # Where one strake's landing ends the next one's begins.
    below = (landing for line in lines for landing in line.figured()[:-1])
    for landing in (*below, _topmost(lines[-1], end, head=wood.bounds[3], aft=aft)):
        place, way = landing_on(landing, end, aft=aft)
        depth = np.stack([place, place + landing.depth * way])
        # Where the bearding line lies behind the wood, a tick tells the height.
        line = depth if LineString(depth).within(wood) else np.stack([place, place - TICK * way])
        up = f"{write_length(landing.height, show)} up"
        yield Mark(f"{up}: landing {np.degrees(landing.angle):.1f}°", line, MarkKind.LANDING, up)


def _topmost(line: LandingLine, end: Profile, *, head: float, aft: bool) -> Landing:
    """The landing at the sheer, or the highest one whose depth can be measured on wood: below a raked face's head."""
    below, top = line.figured()[-2:]
    for z in np.linspace(top.height, below.height, TRIES).tolist():
        landing = line.at(z)
        place, way = landing_on(landing, end, aft=aft)
        if max(place[1], place[1] + landing.depth * way[1]) <= head:
            return landing
    return below


def line_marks(ends: Mapping[str, Floats], *, aft: bool) -> Iterator[Mark]:
    out = np.array([TICK if aft else -TICK, 0.0])
    for name, place in ends.items():
        yield Mark(name, np.stack([place, place + out]))

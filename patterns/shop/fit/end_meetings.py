"""The ends of the planking held against stem, sternpost and transoms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.battens import batten_through
from patterns.geometry.cuts import Plane, Profile
from patterns.hull.build import LinesTo, Stem, Transom, end_word
from patterns.hull.planking.strakes import Corner, Strake
from patterns.parts.part import Landing, Part
from patterns.parts.role import MarkKind
from patterns.parts.stands import transom_face, transom_inner_face
from patterns.shop.fit.folded_panels import CENTRE, HANDS, Panels
from patterns.shop.fit.meetings import (
    DOWN,
    NO_MARK,
    STARBOARD,
    Held,
    Line,
    Meeting,
    PartLine,
    Seam,
    close,
    edge_line,
    lifted,
    met,
)
from patterns.units.lengths import write_length

STEM_POINTS = 129
CORNER_WITHIN = 0.01  # mm; edges that end nearer than this to each other share a corner
SAME_HEIGHT = 0.05  # mm
CUT_OUT = 25.0  # mm; between points further apart than this something was cut out of an edge
PINS_APART = 40.0  # mm
BEARDING = "bearding line"
END_ON_EACH_OTHER = (
    "The plank ends are not checked against the face of the {}: the planks of both sides end on each other before it."
)
APEX = "apex line"


def end_meetings(boat: Panels) -> Iterator[Meeting]:
    for end, aft in ((boat.job.boat.fore, False), (boat.job.boat.aft, True)):
        part = boat.job.part(end_word(end, aft=aft))
        if isinstance(end, Transom):
            yield from _transom_meetings(boat, end, part, aft=aft)
        else:
            yield from _stem_meetings(boat, end, part, aft=aft)


def _transom_meetings(boat: Panels, end: Transom, part: Part, *, aft: bool) -> Iterator[Meeting]:
    """A transom's sides on both its faces against the panels of the side, its lower edge against the bottom."""
    for strake in boat.hull.paired:
        yield from _transom_side(boat, strake, end, part, aft=aft)
    if boat.hull.floor.athwart:
        yield _transom_floor(boat, boat.hull.floor, transom_face(end, aft=aft), part)


def _transom_side(boat: Panels, strake: Strake, end: Transom, part: Part, *, aft: bool) -> Iterator[Meeting]:
    """A transom's edge along one strake, on both its faces."""
    name, below, inner_word = part.name, boat.lower(strake)[0], "fore face" if aft else "after face"
    corner = boat.hull.corner_below(strake)
    lower = corner.below.name if corner else strake.lower
    foot = f"corner with the {lower}"
    top, upper = _upper_end(boat, strake, part)
    there = _there({foot: _corner(part, corner, "starboard")} if corner else {})
    girth = np.concatenate([upper, edge_line(part, f"{strake.name} starboard")])
    # Down a side its heights tell the order, along one half of a V bottom its breadths do.
    order = np.abs(girth[:, 0]) if strake is boat.hull.floor else girth[:, 1]
    down = lifted(transom_face(end, aft=aft), girth[order.argsort()[::-1]])
    side = PartLine(name, "none", f"{strake.name} starboard", f"{strake.name} edge")
    board = Held(side, f"its {top} mark", down, {top: upper} | there)
    edge = boat.across(strake, name, edge_line(boat.of[strake.name], name))
    yield met(edge, board, _pairs(board, (boat.upper(strake)[0], top), (below, foot)), seam=Seam.ENDS, way=DOWN)
    # The top is cut square to the board, so the inner face's upper corner lies off the sheer by the sheer's own slope.
    far = lifted(transom_inner_face(end, aft=aft), edge_line(part, f"{strake.name} starboard", far=True))
    there = _there({foot: _corner(part, corner, "starboard", far=True)} if corner else {})
    side = replace(side, line=f"{side.line} on its {inner_word}", alike=f"{strake.name} on its {inner_word}")
    board = Held(side, "its upper end", far, there)
    mark = f"{name} {inner_word}"
    line = boat.across(strake, f"mark '{mark}'", boat.of[strake.name].mark(mark).points)
    told = "" if there else f"The corner that would be held to the {lower} is cut away."
    yield replace(met(line, board, _pairs(board, (below, foot)), seam=Seam.ENDS, way=DOWN), told=told)


def _upper_end(boat: Panels, strake: Strake, part: Part) -> tuple[str, Floats]:
    """What a transom's edge along a strake begins at above, and where, (k, 2) mm; nowhere where that is cut away."""
    corner = boat.hull.corner_above(strake)
    if corner is None:
        return strake.upper, _sheer_corner(part, strake)
    found = _corner(part, corner, "starboard")
    return f"corner with the {corner.above.name}", np.empty((0, 2)) if found is None else found


def _transom_floor(boat: Panels, strake: Strake, face: Plane, part: Part) -> Meeting:
    """A transom's lower edge along a strake athwart."""
    corner = boat.hull.corner_above(strake)
    assert corner is not None
    corners = {f"corner with the {hand} {corner.above.name}": _corner(part, corner, hand) for hand in HANDS}
    marks = {CENTRE: part.mark(CENTRE).points} | _there(corners)
    below = lifted(face, _sprung(edge_line(part, strake.name)))
    board = Held(PartLine(part.name, "none", strake.name, f"{strake.name} edge"), "its port corner", below, marks)
    across = boat.across(strake, part.name, edge_line(boat.of[strake.name], part.name))
    pairs = zip(boat.insides(strake), corners, strict=True)
    return met(across, board, _pairs(board, *pairs, (CENTRE, CENTRE)), seam=Seam.ENDS, way=STARBOARD)


def _sheer_corner(part: Part, strake: Strake) -> Floats:
    """(1, 2) mm, the end of a transom's sheer mark at its starboard side, which may be notched away there."""
    side, sheer = edge_line(part, f"{strake.name} starboard"), part.mark(strake.upper).points
    return np.asarray(sheer[np.sign(sheer[:, 0]) == np.sign(side[0, 0])])


def _sprung(edge: Floats) -> Floats:
    """A lower edge (n, 2) from side to side, a batten sprung over what is cut out of it: bowed, it is not straight."""
    edge = edge[np.unique(edge[:, 0].round(3), return_index=True)[1]]
    cut = np.flatnonzero(np.diff(edge[:, 0]) > CUT_OUT)
    # Pins close together would make much of the hundredths the edge's chords leave.
    pins = edge[np.unique((edge[:, 0] / PINS_APART).round(), return_index=True)[1]]
    batten = batten_through(pins[:, 0], pins[:, 1])
    over = [np.linspace(float(edge[i, 0]), float(edge[i + 1, 0]), STEM_POINTS)[1:-1] for i in cut]
    points = [edge, *(np.stack([x, batten.value(x)], axis=1) for x in over)]
    along = np.concatenate(points)
    return np.asarray(along[along[:, 0].argsort()])


def _corner(part: Part, corner: Corner, hand: str, *, far: bool = False) -> Floats | None:
    """(1, 2) mm, where a transom's edges along two strakes end in one corner, unless that is cut away."""
    below = corner.below.name if corner.below.athwart else f"{corner.below.name} {hand}"
    lower, upper = (
        shapely.MultiPoint(edge_line(part, name, far=far)) for name in (below, f"{corner.above.name} {hand}")
    )
    # Under a lap the step of it lies between them, and the corner is where the lower one ends.
    if not corner.lapped and lower.distance(upper) > CORNER_WITHIN:
        return None
    return np.asarray(shapely.shortest_line(lower, upper).coords)[:1]


def _there(marks: dict[str, Floats | None]) -> dict[str, Floats]:
    return {name: points for name, points in marks.items() if points is not None}


def _pairs(mate: Held, *pairs: tuple[str, str]) -> list[tuple[str, str]]:
    """Of marks that should meet, those the mate has: a corner may be cut away for a long piece."""
    return [pair for pair in pairs if pair[1] in mate.marks]


def _stem_meetings(boat: Panels, end: Stem, part: Part, *, aft: bool) -> Iterator[Meeting]:
    """Each strake's end against the face it lands on, and its bearding line against the stem's."""
    # Of a V bottom the lowest strake may land on the stem too, or on the keel alone.
    landed = [strake for strake in boat.hull.paired if any(one.strake == strake.name for one in part.landings)]
    bearded = [strake for strake in boat.hull.paired if f"{part.name} {BEARDING}" in _marks_on(boat.of[strake.name])]
    # Where the insides meet before the face, planks of both hands end on each other there and not on it.
    sharp = [one for one in landed if not boat.hull.seam and _comes_to_an_edge(part, one)]
    for strake in landed:
        if strake not in sharp and any(edge.name == part.name for edge in boat.of[strake.name].edges):
            yield _stem_face(boat, strake, part, boat.hull.aft_cut if aft else boat.hull.fore_cut, aft=aft)
    beardings = [mark.points for mark in part.marks_of(BEARDING)][::-1]  # they land from the lowest up
    for strake, bearding in zip(boat.hull.paired, beardings, strict=False):
        if strake in bearded:
            side = _stem_side(boat, strake, bearding, end, part)
            yield replace(side, told=END_ON_EACH_OTHER.format(part.name)) if strake in sharp else side


def _comes_to_an_edge(stem: Part, strake: Strake) -> bool:
    """Whether the insides of both hands of a strake meet before the face of the stem."""
    return any(one.strake == strake.name and one.half_face < 0 for one in stem.landings)


def _marks_on(panel: Part) -> set[str]:
    return {mark.name for mark in panel.marks}


def _stem_face(boat: Panels, strake: Strake, part: Part, profile: Profile, *, aft: bool) -> Meeting:
    name, landings = part.name, [landing for landing in part.landings if landing.strake == strake.name]
    on_centre = boat.hull.seam is not None
    landing = _edge_landed_on(boat, strake, part, landings, aft=aft) if on_centre else _landing_line(profile, landings)

    def at_height(height: float) -> Floats:
        return np.array([[np.interp(height, landing.bent[:, 2], landing.drawn[:, 0]), 0.0]])

    # Marks on the stem's own face, each beginning there; one that is rabbeted bears none.
    heights = {mark.short: float(mark.points[0, 1]) for mark in part.marks if mark.kind is MarkKind.LANDING}
    low, high = landings[0].height - SAME_HEIGHT, landings[-1].height + SAME_HEIGHT
    heights = {word: height for word, height in heights.items() if low <= height <= high}
    marks = {word: at_height(height) for word, height in heights.items()}
    face = Held(PartLine(name, "none", "face, starboard", "face"), f"the {strake.upper}", landing, marks)
    edge = boat.across(strake, name, edge_line(boat.of[strake.name], name))
    lowest, *between = sorted(heights, key=lambda word: heights[word]) or [NO_MARK]
    # On a raked stem the landing at the sheer is measured above the wood, and the topmost mark stands lower.
    topmost = between.pop() if between and heights[between[-1]] > landings[-1].height - SAME_HEIGHT else NO_MARK
    if on_centre:
        last = landings[0] is part.landings[0]  # at the foot, where no panel ends
        return _on_centre(boat, strake, part, face, (*([] if last else [lowest]), *between, topmost))
    pairs = [(boat.lower(strake)[0], lowest), *((NO_MARK, word) for word in between)]
    pairs += [(boat.upper(strake)[0], topmost)] if topmost != NO_MARK else []
    told = _sheer_words(boat, part, landings[-1]) if strake is boat.hull.sheer_strake else ""
    if not heights:
        told = f"The {name} is rabbeted and bears no marks of heights."
    return replace(met(edge, face, pairs, seam=Seam.ENDS, way=DOWN), told=told)


def _on_centre(boat: Panels, strake: Strake, part: Part, face: Held, words: Sequence[str]) -> Meeting:
    """The end of a V bottom's strake, held to the line where the insides of both sides come together."""
    edge = boat.across(strake, part.name, edge_line(boat.of[strake.name], part.name))
    pairs = [(NO_MARK, word) for word in words if word != NO_MARK]
    told = "" if pairs else f"The {part.name} is rabbeted and bears no marks of heights."
    return replace(met(edge, face, pairs, seam=Seam.ENDS, way=DOWN), told=told)


def _edge_landed_on(boat: Panels, strake: Strake, part: Part, landings: Sequence[Landing], *, aft: bool) -> Line:
    """The edge of a V bottom's stem that a strake ends on, or the bottom corner of its rabbet."""
    heights = np.array([landing.height for landing in landings])
    half, angle = (np.array([getattr(landing, what) for landing in landings]) for what in ("half_face", "angle"))
    apexes = [mark.points for mark in part.marks if mark.name == APEX]
    if apexes:
        landed = list(dict.fromkeys(landing.strake for landing in part.landings))
        points = apexes[landed.index(strake.name)]
        half = half - strake.planking.thickness * np.cos(angle)
    else:
        points = edge_line(part, "after" if aft else "fore")
        points = points[points[:, 1].argsort()]
        # The head is cut level at the sheer; the inside corner of the planking may come a hair above it.
        low, high = heights[0], min(heights[-1], points[-1, 1])
        within = (points[:, 1] > low) & (points[:, 1] < high)
        ends = np.stack([np.interp([low, high], points[:, 1], points[:, 0]), [low, high]], axis=1)
        points = np.concatenate([ends[:1], points[within], ends[1:]])
    flat = close(points)
    order = flat[:, 1].argsort()
    space = np.stack([flat[order, 0], np.interp(flat[order, 1], heights, half), flat[order, 1]], axis=1)
    return Line(np.stack([run_along(space), np.zeros(len(space))], axis=1), space)


def _stem_side(boat: Panels, strake: Strake, bearding: Floats, end: Stem, part: Part) -> Meeting:
    """The bearding line of a strake, on its panel and on the stem's side."""
    flat = close(bearding[bearding[:, 1].argsort()[::-1]])
    space = np.stack([flat[:, 0], np.full(len(flat), end.sided / 2), flat[:, 1]], axis=1)
    ends = {"upper end": flat[:1], "lower end": flat[-1:]}
    on_stem = Held(PartLine(part.name, "none", BEARDING), "its upper end", Line(flat, space), ends)
    mark = f"{part.name} {BEARDING}"
    line = boat.across(strake, f"mark '{mark}'", boat.of[strake.name].mark(mark).points)
    pairs = [(boat.upper(strake)[0], "upper end"), (boat.lower(strake)[0], "lower end")]
    if boat.hull.seam is not None:  # the stem's is cut off at the foot, and the panel's at the keel's first ruling
        pairs = pairs[:1]
    return met(line, on_stem, pairs, seam=Seam.ENDS, way=DOWN)


def _sheer_words(boat: Panels, stem: Part, topmost: Landing) -> str:
    """How the stem's mark of the sheer lies to the inside corner of the side's end, if they do not meet."""
    if boat.job.boat.skin.lines_to is LinesTo.INSIDE:
        return ""
    above = topmost.height - float(stem.mark("sheer").points[0, 1])
    if abs(above) < SAME_HEIGHT:
        return ""
    off, way = write_length(abs(above), boat.job.boat.show), "above" if above > 0 else "below"
    return (
        f"The {stem.name}'s mark 'sheer' is where the sheer of the table runs, outside the planking: the inside corner "
        f"of the panel's end comes {off} {way} it."
    )


def _landing_line(profile: Profile, landings: Sequence[Landing]) -> Line:
    """The edge of a stem's face, from its figured half breadths; drawn, it is as long as in the boat."""
    heights = np.array([landing.height for landing in landings])
    z = np.linspace(heights[0], heights[-1], STEM_POINTS)
    # A builder joins the figured places by a batten.
    y = batten_through(heights, np.array([landing.half_face for landing in landings])).value(z)
    space = np.stack([profile.at_height(z), y, z], axis=1)
    return Line(np.stack([run_along(space), np.zeros(len(space))], axis=1), space)

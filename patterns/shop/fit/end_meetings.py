"""The ends of the planking held against stem, sternpost and transoms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.battens import batten_through
from patterns.geometry.cuts import Profile
from patterns.hull.build import LinesTo, Stem, Transom, end_word
from patterns.parts.part import Landing, Part
from patterns.parts.stands import transom_face, transom_inner_face
from patterns.shop.fit.folded_panels import CENTRE, INSIDE_OF_SIDE, SHEER, Panels
from patterns.shop.fit.meetings import (
    DOWN,
    NO_MARK,
    STARBOARD,
    Held,
    Line,
    Meeting,
    Seam,
    close,
    edge_line,
    lifted,
    mark_of,
    met,
)
from patterns.units.lengths import write_length

STEM_POINTS = 129
CORNER_WITHIN = 0.01  # mm; edges that end nearer than this to each other share a corner
HEIGHT_MARK = ": landing "  # of a stem's marks, those that stand at a height
SAME_HEIGHT = 0.05  # mm
CUT_OUT = 25.0  # mm; between points further apart than this something was cut out of an edge
PINS_APART = 40.0  # mm


def end_meetings(boat: Panels) -> Iterator[Meeting]:
    for end, aft in ((boat.job.boat.fore, False), (boat.job.boat.aft, True)):
        name = end_word(end, aft=aft)
        part = next(part for part in boat.job.parts if part.name == name)
        if isinstance(end, Transom):
            yield from _transom_meetings(boat, end, part, aft=aft)
        else:
            yield from _stem_meetings(boat, end, part, aft=aft)


def _transom_meetings(boat: Panels, end: Transom, part: Part, *, aft: bool) -> Iterator[Meeting]:
    """A transom's side on both its faces against the side panel, its lower edge against the bottom."""
    name, below, inner_word = part.name, boat.at_chine[0], "fore face" if aft else "after face"
    outer, inner = transom_face(end, aft=aft), transom_inner_face(end, aft=aft)
    corners = {f"corner with the {hand} side": _corner(part, hand) for hand in ("port", "starboard")}
    beside = {"corner with the bottom": corners["corner with the starboard side"]}
    sheer = _sheer_corner(part)
    marks = {"sheer": sheer} | _there(beside)
    girth = np.concatenate([sheer, edge_line(part, "side starboard")])
    down = lifted(outer, girth[girth[:, 1].argsort()[::-1]])
    board = Held(f"{name}: side starboard", "its sheer mark", down, marks)
    edge = boat.across_side(name, edge_line(boat.side, name))
    yield met(edge, board, _pairs(board, (SHEER, "sheer"), (below, "corner with the bottom")), seam=Seam.ENDS, way=DOWN)
    # The top is cut square to the board, so the inner face's upper corner lies off the sheer by the sheer's own slope.
    far = lifted(inner, edge_line(part, "side starboard", far=True))
    marks = _there({"corner with the bottom": _corner(part, "starboard", far=True)})
    board = Held(f"{name}: side starboard on its {inner_word}", "its upper end", far, marks)
    line = boat.across_side(f"mark '{name} {inner_word}'", mark_of(boat.side, f"{name} {inner_word}"))
    told = "" if marks else "The corner that would be held to the bottom is cut away."
    yield met(line, board, _pairs(board, (below, "corner with the bottom")), seam=Seam.ENDS, way=DOWN, told=told)
    marks = {CENTRE: mark_of(part, CENTRE)} | _there(corners)
    board = Held(f"{name}: bottom", "its port corner", lifted(outer, _sprung(edge_line(part, "bottom"))), marks)
    across = boat.across_bottom(name, edge_line(boat.bottom, name))
    pairs = [(inside, f"corner with the {inside.split()[-1]} side") for inside in INSIDE_OF_SIDE]
    yield met(across, board, _pairs(board, *pairs, (CENTRE, CENTRE)), seam=Seam.ENDS, way=STARBOARD)


def _sheer_corner(part: Part) -> Floats:
    """(1, 2) mm, the end of a transom's sheer mark at its starboard side, which may be notched away there."""
    side, sheer = edge_line(part, "side starboard"), mark_of(part, "sheer")
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


def _corner(part: Part, hand: str, *, far: bool = False) -> Floats | None:
    """(1, 2) mm, where a transom's lower edge and a side of it end in one corner, unless that is cut away."""
    bottom, beside = (shapely.MultiPoint(edge_line(part, name, far=far)) for name in ("bottom", f"side {hand}"))
    if bottom.distance(beside) > CORNER_WITHIN:
        return None
    return np.asarray(shapely.shortest_line(bottom, beside).coords)[:1]


def _there(marks: dict[str, Floats | None]) -> dict[str, Floats]:
    return {name: points for name, points in marks.items() if points is not None}


def _pairs(mate: Held, *pairs: tuple[str, str]) -> list[tuple[str, str]]:
    """Of marks that should meet, those the mate has: a corner may be cut away for a long piece."""
    return [pair for pair in pairs if pair[1] in mate.marks]


def _stem_meetings(boat: Panels, end: Stem, part: Part, *, aft: bool) -> Iterator[Meeting]:
    """The side's end against the face it lands on, and its bearding line against the stem's."""
    name, below = part.name, boat.at_chine[0]
    profile = boat.hull.aft_cut if aft else boat.hull.fore_cut
    landing = _landing_line(end, profile, part.landings)

    def at_height(height: float) -> Floats:
        return np.array([[np.interp(height, landing.bent[:, 2], landing.drawn[:, 0]), 0.0]])

    # Marks on the stem's own face, each beginning there; one that is rabbeted bears none.
    heights = {m.name.split(":")[0]: float(m.points[0, 1]) for m in part.marks if HEIGHT_MARK in m.name}
    marks = {word: at_height(height) for word, height in heights.items()}
    face = Held(f"{name}: face, starboard", "the sheer", landing, marks)
    edge = boat.across_side(name, edge_line(boat.side, name))
    low, *between = sorted(heights, key=lambda word: heights[word]) or [NO_MARK]
    # On a raked stem the landing at the sheer is measured above the wood, and the topmost mark stands lower.
    high = between.pop() if between and heights[between[-1]] > part.landings[-1].height - SAME_HEIGHT else NO_MARK
    pairs = [(below, low), *((NO_MARK, word) for word in between), *([(SHEER, high)] if high != NO_MARK else [])]
    told = _sheer_words(boat, part, profile) if heights else f"The {name} is rabbeted and bears no marks of heights."
    yield met(edge, face, pairs, seam=Seam.ENDS, way=DOWN, told=told)
    bearding = mark_of(part, "bearding line")
    flat = close(bearding[bearding[:, 1].argsort()[::-1]])
    space = np.stack([flat[:, 0], np.full(len(flat), end.sided / 2), flat[:, 1]], axis=1)
    on_stem = Held(
        f"{name}: bearding line", "its upper end", Line(flat, space), {"upper end": flat[:1], "lower end": flat[-1:]}
    )
    line = boat.across_side(f"mark '{name} bearding line'", mark_of(boat.side, f"{name} bearding line"))
    yield met(line, on_stem, [(SHEER, "upper end"), (below, "lower end")], seam=Seam.ENDS, way=DOWN)


def _sheer_words(boat: Panels, stem: Part, profile: Profile) -> str:
    """How the stem's mark of the sheer lies to the inside corner of the side's end, if they do not meet."""
    if boat.hull.skin.lines_to is LinesTo.INSIDE:
        return ""
    above = stem.landings[-1].height - float(mark_of(stem, "sheer")[0, 1])
    if abs(above) < SAME_HEIGHT:
        return ""
    off, way = write_length(abs(above), boat.job.boat.show), "above" if above > 0 else "below"
    return (
        f"The {stem.name}'s mark 'sheer' is where the sheer of the table runs, outside the planking: the inside corner "
        f"of the panel's end comes {off} {way} it."
    )


def _landing_line(stem: Stem, profile: Profile, landings: Sequence[Landing]) -> Line:
    """The edge of a stem's face, from its figured half breadths; drawn, it is as long as in the boat."""
    heights = np.array([landing.height for landing in landings])
    z = np.linspace(heights[0], heights[-1], STEM_POINTS)
    # A builder joins the figured places by a batten.
    y = batten_through(heights, np.array([landing.half_face for landing in landings])).value(z)
    space = np.stack([profile.at_height(z), y, z], axis=1)
    return Line(np.stack([run_along(space), np.zeros(len(space))], axis=1), space)

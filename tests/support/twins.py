"""Port is starboard turned over: everything a pair of parts has is held point by point. Nothing here is imported by
the program, and nothing of how the program makes the port part is used here."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from patterns.parts.part import Edge, Part

Floats = NDArray[np.float64]
EXCHANGED = (("port", "starboard"), ("PORT", "STARBOARD"), ("Port", "Starboard"))
TURNED = re.compile("turned over|^Drawn with the .* up")
"""A remark with these words says which way up the drawing lies: only one of a pair has it."""


def other_hand(text: str) -> str:
    """The same words said of the other side of the boat."""
    for port, starboard in EXCHANGED:
        text = starboard.join(piece.replace(starboard, port) for piece in text.split(port))
    return text


def pairs(parts: Sequence[Part]) -> list[tuple[Part, Part]]:
    """(port, starboard) of every part made for each hand; each hand must have its other."""
    by_title = {part.title: part for part in parts}
    handed = [part for part in parts if part.hand != "none"]
    assert {other_hand(part.title) for part in handed} <= set(by_title), "a hand is missing"
    return [(part, by_title[other_hand(part.title)]) for part in handed if part.hand == "port"]


class Over:
    """A part turned over: seen from an end about the centre line, else about a line fore and aft."""

    def __init__(self, part: Part, onto: Part) -> None:
        self.upright = part.bow in ("toward you", "away from you")
        # A line fore and aft may be drawn at any height: the lowest and highest of the outlines are laid on each other.
        ours, theirs = (np.array([one.outline[:, 1].min(), one.outline[:, 1].max()]) for one in (part, onto))
        self.top = float((ours + theirs[::-1]).mean())

    def __call__(self, points: Floats) -> Floats:
        points = np.asarray(points)
        return points * (-1.0, 1.0) if self.upright else np.stack([points[:, 0], self.top - points[:, 1]], axis=1)


def unlike(port: Part, starboard: Part, within: float = 1e-6) -> list[str]:
    """All that is not the same on the port part as on the starboard part turned over, a sentence each."""
    over = Over(starboard, port)
    return [
        *_figures(port, starboard),
        *_edges(port, starboard, over, within),
        *_lines("mark", _marks(port), _turned(starboard, over), within),
        *_lines("hole", [("", _ring(h)) for h in port.holes], [("", _ring(over(h))) for h in starboard.holes], within),
        *_notes(port, starboard, over, within),
    ]


def _marks(part: Part) -> list[tuple[str, Floats]]:
    """Marks by what they are called and what they are for."""
    return [(f"{mark.name} ({mark.kind})", mark.points) for mark in part.marks]


def _turned(starboard: Part, over: Over) -> list[tuple[str, Floats]]:
    return [(other_hand(name), over(points)) for name, points in _marks(starboard)]


def _figures(port: Part, starboard: Part) -> Iterator[str]:
    same = ("name", "role", "strake", "thickness", "material", "material_key", "bow", "count", "grain", "thickness_is")
    for key in (*same, "line", "saw_allowance", "crown"):
        if getattr(port, key) != getattr(starboard, key):
            yield f"{key}: {getattr(port, key)!r}, {getattr(starboard, key)!r}"
    if port.marked_face != starboard.marked_face:
        yield f"the marked face is the {port.marked_face}, the {starboard.marked_face}"
    for key in ("remarks", "doubts"):
        ours, theirs = ([text for text in getattr(part, key) if not TURNED.search(text)] for part in (port, starboard))
        if ours != [other_hand(text) for text in theirs]:
            yield f"{key}: {ours}, {theirs}"
    angles = port.grain_angle, starboard.grain_angle
    if None in angles:
        if angles != (None, None):
            yield f"grain: {angles}"
    elif abs(np.sin(port.grain_angle + starboard.grain_angle)) > 1e-9:  # type: ignore[operator]
        yield f"grain runs at {angles}: not turned over"


def _edges(port: Part, starboard: Part, over: Over, within: float) -> Iterator[str]:
    """Edges run the other way round on the other hand."""
    theirs = [(other_hand(edge.name), edge) for edge in starboard.edges[::-1]]
    ours = [edge.name for edge in port.edges]
    names = [name for name, _ in theirs]
    starts = [n for n in range(len(ours)) if ours == names[n:] + names[:n]]
    if not starts:
        yield f"edges are named {ours}, turned over {names}"
        return
    found = [[text for pair in zip(port.edges, theirs[n:] + theirs[:n], strict=True)
              for text in _edge(pair[0], pair[1][1], over, within)] for n in starts]  # fmt: skip
    yield from min(found, key=len)


def _edge(ours: Edge, theirs: Edge, over: Over, within: float) -> Iterator[str]:
    if ours.kind is not theirs.kind:
        yield f"edge {ours.name}: {ours.kind}, {theirs.kind}"
    for face in ("points", "far"):
        away = _apart(getattr(ours, face), over(getattr(theirs, face))[::-1])
        if away > within:
            yield f"edge {ours.name}: its {face} lie {away:.3g} mm off"
    length = shapely.LineString(theirs.points).length
    here = np.array([(bevel.along, bevel.angle, bevel.run) for bevel in ours.bevels])
    there = np.array([(length - bevel.along, bevel.angle, bevel.run) for bevel in theirs.bevels[::-1]])
    if here.shape != there.shape:
        yield f"edge {ours.name}: {len(here)} bevels, {len(there)}"
        return
    off = np.abs(here - there).max(axis=0)
    if (off > (within + 1e-6, 1e-6 + within / 10, within + 1e-6)).any():
        yield f"edge {ours.name}: bevels off by {off[0]:.3g} mm along, {np.degrees(off[1]):.3g}°, {off[2]:.3g} mm run"


def _apart(ours: Floats, theirs: Floats) -> float:
    """The furthest apart of two lines, run the same way: their ends, and any point of either from the other."""
    ends = np.abs(ours[[0, -1]] - theirs[[0, -1]]).max()
    away = 0.0
    for one, other in ((ours, theirs), (theirs, ours)):
        line = shapely.LineString(other)
        away = max(away, float(shapely.distance(line, shapely.points(one)).max()))
    return max(float(ends), away)


def _ring(points: Floats) -> Floats:
    """A closed line begun at its leftmost point and run counter-clockwise."""
    first = int(np.lexsort(points.round(6).T[::-1])[0])
    ring = np.roll(points, -first, axis=0)
    closed = np.concatenate([ring, ring[:1]])
    return closed if shapely.LinearRing(closed).is_ccw else closed[::-1]


def _lines(
    what: str, ours: Sequence[tuple[str, Floats]], theirs: Sequence[tuple[str, Floats]], within: float
) -> Iterator[str]:
    """Each of ours has one of theirs of the same name in the same place, run either way."""
    if Counter(name for name, _ in ours) != Counter(name for name, _ in theirs):
        yield f"{what}s: {[name for name, _ in ours]}, turned over {[name for name, _ in theirs]}"
        return
    left = list(theirs)
    for name, points in ours:
        away = [
            (min(_apart(points, line), _apart(points, line[::-1])), n) for n, (word, line) in enumerate(left)
            if word == name
        ]  # fmt: skip
        nearest, n = min(away)
        left.pop(n)
        if nearest > within:
            yield f"{what} {name!r} lies {nearest:.3g} mm off"


def _notes(port: Part, starboard: Part, over: Over, within: float) -> Iterator[str]:
    left = [(other_hand(note.text), over(np.array([note.at]))[0]) for note in starboard.notes]
    if Counter(note.text for note in port.notes) != Counter(text for text, _ in left):
        yield f"notes: {[note.text for note in port.notes]}, turned over {[text for text, _ in left]}"
        return
    for note in port.notes:
        away = [(float(np.abs(note.at - at).max()), n) for n, (text, at) in enumerate(left) if text == note.text]
        nearest, n = min(away)
        left.pop(n)
        if nearest > within:
            yield f"note {note.text!r} lies {nearest:.3g} mm off"

"""What is engraved on a part, as single strokes: its name in the middle of the wood, its bevels along the edges."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from patterns.drawing.engraving import engraved, engraved_width, plain
from patterns.geometry.arrays import Floats, run_along
from patterns.parts.part import Bevel, Edge, Part
from patterns.shop.router_rules import CutTo, RouterRules
from patterns.units.lengths import write_length

TITLE_SIZE = 12.0  # mm, height of capitals
LEAST_SIZE = 2.0  # mm; smaller no engraving tool writes
SHRUNK = 0.85  # of a size, tried next
LINE_PITCH = 1.6  # heights of capitals from line to line
CLEAR_OF_MARKS = 2.0  # mm
BEVEL_SIZE = 5.0  # mm
BEVEL_PITCH = 290.0  # mm along an edge between figures: the trade marks a bevel at least every 12 in, common practice
BEVEL_IN = 9.0  # mm from the cut edge, past the far face's line, to the middle of a figure
SQUARE_WITHIN = 0.05  # deg; nobody saws finer


def title_words(part: Part, rules: RouterRules, wood: shapely.Polygon, lines: list[Floats]) -> Iterator[Floats]:
    """What the piece is, where the wood has most room between the scored lines, no larger than the room allows."""
    words = [plain(line) for line in _title(part, rules)]
    x, y = _roomiest(wood, lines)
    size = TITLE_SIZE
    while size > LEAST_SIZE and not wood.contains(_block(words, x, y, size)):
        size *= SHRUNK
    for number, line in enumerate(words):
        place = (x, y + ((len(words) - 1) / 2 - number) * LINE_PITCH * size)
        yield from engraved(line, place, size=size)


def _title(part: Part, rules: RouterRules) -> Iterator[str]:
    yield part.title
    yield f"{part.thickness:.4g} mm {part.material}"
    yield f"{part.marked_face} up"
    if part.count > 1:
        yield f"{part.count} off"
    if any(_is_bevelled(edge) for edge in part.edges):
        yield "cut to the net line" if rules.cut is CutTo.NET else f"cut to the {rules.cut}"


def _roomiest(wood: shapely.Polygon, lines: list[Floats]) -> tuple[float, float]:
    drawn = shapely.MultiLineString([shapely.LineString(line) for line in lines])
    free = wood.simplify(1.0).difference(drawn.buffer(CLEAR_OF_MARKS, quad_segs=1))
    rooms = [room for room in shapely.get_parts(free) if isinstance(room, shapely.Polygon)]
    circles = [shapely.maximum_inscribed_circle(room, tolerance=1.0) for room in rooms]
    x, y = max(circles, key=lambda circle: circle.length).coords[0]
    return x, y


def _block(words: list[str], x: float, y: float, size: float) -> shapely.Polygon:
    half_width = max(engraved_width(line, size) for line in words) / 2
    half_height = len(words) * LINE_PITCH * size / 2
    return shapely.box(x - half_width, y - half_height, x + half_width, y + half_height)


def bevel_words(part: Part, wood: shapely.Polygon, show: str) -> Iterator[Floats]:
    """Each edge's bevels along the inside of it, reading along it: degrees, which way, and how much to plane."""
    shapely.prepare(wood)
    for edge in part.edges:
        if not _is_bevelled(edge):
            continue
        run = run_along(edge.points)
        for bevel in _spaced(edge, float(run[-1])):
            yield from _beside(edge, run, bevel, wood, show)


def _is_bevelled(edge: Edge) -> bool:
    return any(abs(np.degrees(bevel.angle)) >= SQUARE_WITHIN for bevel in edge.bevels)


def _spaced(edge: Edge, length: float) -> Iterator[Bevel]:
    """Bevels far enough apart to be read, the last one of a short edge its middle's."""
    if length < BEVEL_PITCH:
        yield min(edge.bevels, key=lambda bevel: abs(bevel.along - length / 2))
        return
    last = -np.inf
    for bevel in edge.bevels:
        if bevel.along - last >= BEVEL_PITCH:
            last = bevel.along
            yield bevel


def _beside(edge: Edge, run: Floats, bevel: Bevel, wood: shapely.Polygon, show: str) -> Iterator[Floats]:
    words = bevel_text(bevel, show)
    half = engraved_width(words, BEVEL_SIZE) / 2
    middle = float(np.clip(bevel.along, min(half, run[-1] / 2), max(run[-1] - half, run[-1] / 2)))
    before, at, after = (_point_along(edge.points, run, middle + step) for step in (-1.0, 0.0, 1.0))
    along = (after - before) / np.hypot(*(after - before))
    # Outlines run counter-clockwise: the wood lies to the left.
    inward = np.array([-along[1], along[0]])
    x, y = (at + (BEVEL_IN + max(0.0, -bevel.run)) * inward).tolist()
    angle = float(np.arctan2(along[1], along[0]))
    strokes = engraved(words, (x, y), size=BEVEL_SIZE, angle=_readable(angle))
    # Beside a narrow head there is no room for it; the paper pattern and the tables carry it.
    if wood.contains(shapely.MultiPoint(np.concatenate(strokes))):
        yield from strokes


def bevel_text(bevel: Bevel, show: str) -> str:
    degrees = float(np.degrees(bevel.angle))
    if abs(degrees) < SQUARE_WITHIN:
        return "square"
    amount = write_length(abs(bevel.run), "in-32nds" if "in-" in show else show)
    return plain(f"{abs(degrees):.1f}° {'standing' if degrees > 0 else 'under'} {amount}")


def _point_along(points: Floats, run: Floats, place: float) -> Floats:
    return np.array([np.interp(place, run, points[:, 0]), np.interp(place, run, points[:, 1])])


def _readable(angle: float) -> float:
    """The same direction, turned end for end where the words would stand on their heads."""
    return (angle + np.pi / 2) % np.pi - np.pi / 2

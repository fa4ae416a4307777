"""What is engraved on a part, as single strokes: its name where the wood has room, its bevels along the edges."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

import numpy as np
import shapely

from patterns.drawing.engraving import engraved, engraved_reach, engraved_width, is_plain, plain
from patterns.geometry.arrays import Floats, held_between, run_along, unit
from patterns.geometry.outlines import line_strings
from patterns.parts.materials import material_words
from patterns.parts.part import Bevel, Edge, Part
from patterns.shop.router.contours import Drilled
from patterns.shop.router.router_rules import RouterRules, Words
from patterns.units.lengths import write_small

SIZES = (12.0, 10.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.5, 3.0, 2.5, 2.0)  # mm, capitals; smaller no engraving tool writes
LINE_PITCH = 1.6  # heights of capitals from line to line
CLEAR = 2.0  # mm between words and whatever else is on the wood
MOST_ROOMS = 4
BEVEL_SIZE = 5.0  # mm
BEVEL_PITCH = 290.0  # mm along an edge between figures: the trade marks a bevel at least every 12 in, common practice
BEVEL_IN = (9.0, 16.0, 23.0)  # mm from the cut edge, past the far face's line, to the middle of a figure
ASIDE = (0.0, 35.0, -35.0, 60.0, -60.0)  # mm along the edge that a figure may stand off its place
TICK = 4.0  # mm, from a bevel's exact place in past the far face's line

Engraved = tuple[Floats, tuple[int, ...]]  # as `engraved` gives it
_SIDES = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])  # of a box's corners: across, up


class Room:
    """Wood to write on: what lies clear of its edges, of what is scored and bored, and of what is written already."""

    def __init__(self, wood: shapely.Polygon, lines: Sequence[Floats], bored: Sequence[Drilled]) -> None:
        crosses = [np.array([[x - CLEAR, y], [x + CLEAR, y]]) for x, y in (hole.at for hole in bored)]
        self.wood, self.written = wood, list[shapely.Polygon]()
        self.ink = shapely.MultiLineString(line_strings([*lines, *crosses]).tolist())
        shapely.prepare((self.wood, self.ink))

    def first_free(self, boxes: Floats) -> int | None:
        """Which of so many boxes of words, (n, 4, 2) mm, is the first that may stand; it is written then."""
        places = np.atleast_1d(np.asarray(shapely.polygons(boxes)))
        free = shapely.contains(self.wood, places) & ~shapely.intersects(self.ink, places)
        if self.written:
            free &= ~shapely.intersects(np.array(self.written)[:, None], places).any(axis=0)
        if not free.any():
            return None
        chosen = int(free.argmax())
        self.written.append(places[chosen])
        return chosen

    def middle(self) -> tuple[float, float]:
        """Where there is most of it."""
        used = shapely.union_all([self.ink.buffer(CLEAR, quad_segs=1), *self.written])
        rooms = shapely.get_parts(self.wood.simplify(1.0).difference(used)).tolist()
        # The roomiest is among the largest; slivers between two lines are many, and each costs a millisecond.
        largest = sorted(rooms, key=lambda room: -room.area)[:MOST_ROOMS]
        roomiest = shapely.maximum_inscribed_circle(largest[0], tolerance=1.0)
        for room in largest[1:]:
            left, bottom, right, top = room.bounds
            if min(right - left, top - bottom) / 2 > roomiest.length:  # a circle in it could be larger
                circle = shapely.maximum_inscribed_circle(room, tolerance=1.0)
                roomiest = max(roomiest, circle, key=lambda circle: circle.length)
        x, y = roomiest.coords[0]
        return x, y

    def lie(self, x: float, y: float) -> float:
        """The way of the wood's edge nearest a place, rad, to be read upright."""
        edge = self.wood.exterior
        at = edge.project(shapely.Point(x, y))
        (x0, y0), (x1, y1) = (edge.interpolate(at + step).coords[0] for step in (-1.0, 1.0))
        return float(_readable(np.arctan2(y1 - y0, x1 - x0)))


def bevels_engraved(part: Part, room: Room, show: str) -> Iterator[Engraved]:
    """Every bevel as strokes beside its place. They go before the title, which may stand anywhere."""
    for edge in part.edges:
        for bevel in printed_bevels(edge):
            yield from _bevel_words(edge, bevel, room, show)


def ticks(part: Part) -> Iterator[Floats]:
    """A short line (2, 2) mm into the wood at the exact place of each bevel that is printed."""
    for edge in part.edges:
        run = run_along(edge.points)
        for bevel in printed_bevels(edge):
            at, way = _places(edge, run, np.array([bevel.along]))
            yield np.concatenate([at, at + (max(0.0, -bevel.run) + TICK) * _left(way)])


def printed_bevels(edge: Edge) -> Iterator[Bevel]:
    """Bevels often enough to plane by; none on an edge that is square all along, the middle one of a short edge."""
    if not _is_bevelled(edge):
        return
    length = float(run_along(edge.points)[-1])
    if length < BEVEL_PITCH:
        yield min(edge.bevels, key=lambda bevel: abs(bevel.along - length / 2))
        return
    last = -np.inf
    for bevel in edge.bevels:
        if bevel.along - last >= BEVEL_PITCH:
            last = bevel.along
            yield bevel


def _is_bevelled(edge: Edge) -> bool:
    return any(bevel.kind != "square" for bevel in edge.bevels)


def _bevel_words(edge: Edge, bevel: Bevel, room: Room, show: str) -> Iterator[Engraved]:
    """Beside its place, in the wood: degrees, which way, and how much to plane."""
    words, run = bevel_text(bevel, show), run_along(edge.points)
    half = engraved_width(words, BEVEL_SIZE) / 2
    low, high = min(half, run[-1] / 2), max(run[-1] - half, run[-1] / 2)
    at, way = _places(edge, run, held_between(bevel.along + np.array(ASIDE), low, high))
    deep = np.repeat(BEVEL_IN, len(ASIDE)) + max(0.0, -bevel.run)
    middles = np.tile(at, (len(BEVEL_IN), 1)) + deep[:, None] * np.tile(_left(way), (len(BEVEL_IN), 1))
    angles = np.tile(_readable(np.arctan2(way[:, 1], way[:, 0])), len(BEVEL_IN))
    tall = max(BEVEL_SIZE / 2, engraved_reach(words, BEVEL_SIZE))
    chosen = room.first_free(_boxes(middles, half, tall, angles))
    # Beside a narrow head there is no room for it; the paper pattern and the tables carry it.
    if chosen is not None:
        x, y = middles[chosen].tolist()
        yield engraved(words, (x, y), size=BEVEL_SIZE, angle=float(angles[chosen]))


def bevel_text(bevel: Bevel, show: str) -> str:
    """As the trade says it, in plain letters."""
    if bevel.kind == "square":
        return "square"
    amount = write_small(abs(bevel.run), show).replace("< ", "<")
    return plain(f"{np.degrees(abs(bevel.angle)):.1f}° {bevel.kind} {amount}")


def title_engraved(title: Sequence[str], room: Room) -> Iterator[Engraved]:
    """What the piece is, as large as the room allows: in lines, in one, or the name alone; level or along the piece."""
    lines = list(title)
    middle = room.middle()
    whole = product(SIZES, (lines, [", ".join(lines)]), (0.0, room.lie(*middle)))
    tried = [*whole, *product(SIZES, (lines[:1],), (0.0, room.lie(*middle)))]
    half = np.array([max(engraved_width(line, size) for line in layout) / 2 for size, layout, _ in tried])
    tall = np.array([_half_height(layout, size) for size, layout, _ in tried])
    angles = np.array([angle for _, _, angle in tried])
    chosen = room.first_free(_boxes(np.tile(middle, (len(tried), 1)), half, tall, angles))
    if chosen is not None:
        size, layout, angle = tried[chosen]
        yield from _block(layout, *middle, size, angle)


def _half_height(lines: Sequence[str], size: float) -> float:
    """mm, from the middle of lines to above and below all of their letters."""
    outer = max(engraved_reach(line, size) for line in (lines[0], lines[-1]))
    return (len(lines) - 1) / 2 * LINE_PITCH * size + max(LINE_PITCH * size / 2, outer)


def _block(lines: list[str], x: float, y: float, size: float, angle: float) -> Iterator[Engraved]:
    up = np.array([-np.sin(angle), np.cos(angle)])
    for number, line in enumerate(lines):
        place = (x, y) + ((len(lines) - 1) / 2 - number) * LINE_PITCH * size * up
        yield engraved(line, (float(place[0]), float(place[1])), size=size, angle=angle)


def title_lines(part: Part, rules: RouterRules) -> Iterator[str]:
    """What the piece is, as its builder calls it."""
    yield part.title
    if rules.words is Words.SHORT:
        yield f"{part.marked_face} up, {_bow_words(part)}"
        return
    yield _stock_words(part)
    yield f"{part.marked_face} up, {_bow_words(part)}"
    if part.count > 1:
        yield f"{part.count} off"
    if any(_is_bevelled(edge) for edge in part.edges):
        yield f"cut to the {rules.cut}"
    if rules.tabs:
        yield f"tabs {rules.tab_length:.4g} mm long, {rules.tab_height:.4g} mm high"


def _bow_words(part: Part) -> str:
    return f"bow {part.bow}" if part.bow not in ("left", "right") else f"bow to the {part.bow}"


def engraved_lines(part: Part, rules: RouterRules, number: int) -> list[str]:
    """The title in letters a cutter can draw, line by line."""
    instead = {part.title: _plain_title(part, number), _stock_words(part): f"{part.thickness:.4g} mm"}
    return [plain(line if is_plain(line) else instead[line]) for line in title_lines(part, rules)]


def _plain_title(part: Part, number: int) -> str:
    """What a piece is without what the builder named it: its number, and the words that can be engraved."""
    name = " ".join(word for word in part.name.split() if is_plain(word) and any(map(str.isalpha, word)))
    hand = "" if part.hand == "none" else f", {part.hand}"
    return f"part {number}: {name or part.role}{hand}"


def _stock_words(part: Part) -> str:
    return f"{part.thickness:.4g} mm {material_words(part.material)}"


def _boxes(middles: Floats, half_width: Floats | float, half_height: Floats | float, angles: Floats) -> Floats:
    """(n, 4, 2) mm, corners of boxes about (n, 2) middles that keep words clear."""
    way = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    across = way * np.reshape(half_width + CLEAR / 2, (-1, 1))
    up = _left(way) * np.reshape(half_height + CLEAR / 2, (-1, 1))
    return np.asarray(middles[:, None] + _SIDES[:, :1] * across[:, None] + _SIDES[:, 1:] * up[:, None])


def _places(edge: Edge, run: Floats, along: Floats) -> tuple[Floats, Floats]:
    """(n, 2) mm places along an edge, and the edge's directions there, (n, 2) unit."""
    ends = held_between(along + np.array([[-1.0], [0.0], [1.0]]), 0.0, run[-1])
    places = np.empty((3, len(along), 2))
    for axis in range(2):
        places[..., axis] = np.interp(ends, run, edge.points[:, axis])
    before, at, after = places
    return at, unit(after - before)


def _left(way: Floats) -> Floats:
    """Outlines run counter-clockwise: the wood lies to the left."""
    left = np.empty_like(way)
    left[..., 0], left[..., 1] = -way[..., 1], way[..., 0]
    return left


def _readable(angle: Floats) -> Floats:
    """(n,) rad, the same direction, turned end for end where the words would stand on their heads."""
    return (angle + np.pi / 2) % np.pi - np.pi / 2

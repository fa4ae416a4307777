"""Long pieces seen from above, their length contracted more than their breadth: saw lines, guides, boards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.along_lines import Course, beside, steps
from patterns.drawing.marks import Ink, Label, Layer, Stroke
from patterns.drawing.obstacles import obstacles
from patterns.drawing.text import grown, label_boxes, text_reach, text_width, wrapped
from patterns.drawing.turning import extent
from patterns.geometry.arrays import Floats
from patterns.plates.bench.bench_page import FIGURES, LEADING, TEXT, Block
from patterns.plates.words.bench_words import WEDGE
from patterns.plates.words.board_words import board_name
from patterns.shop.saw.board_layout import BoardPlace, edges_as_laid
from patterns.shop.saw.edge_views import GUIDE_ON, stock_ends
from patterns.shop.saw.guide_room import BATTEN
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.saw.saw_setup import Rip, SawSetup

ALONG = (10, 12, 15, 20, 24, 25, 30, 32, 40, 48, 50, 60, 75, 80, 100)  # one to so many
ACROSS = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20)
BROAD = 90.0  # mm
ARROW = 12.0  # mm
MOST_HIGH, LOW = 26.0, 20.0  # mm on paper; lower where that keeps a set-up on one page
BESIDE = 0.9  # mm from a line to the letters that name it
AIR = 0.7  # mm between those letters and any other line: none comes between a name and its own
BLOCK = 120.0  # mm, of a block against an end, as drawn
CROSS = 3.0  # mm on paper, a screw's cross from side to side
PLACES = 60  # tried along a line for its name
CLOSE = 0.45  # mm of the room below and above a frame's number that lines may run through


@dataclass(frozen=True, slots=True, eq=False)
class _Line:
    points: Floats  # (n, 2) mm
    layer: Layer
    name: str = ""
    above: bool = True  # whether the name stands above the line
    clear: float = 0.0  # mm across beside the line that its name keeps off


def rip_plan(
    setup: SawSetup,
    rip: Rip,
    board: tuple[Floats, Floats] | None,
    *,
    width: float,
    high: float = MOST_HIGH,
    whose: str = "the",
) -> Block:
    """Net edges, saw line, foot line and guide, bow to the left, as the sawyer sees the face that is up."""
    own, edge = rip.setting, rip.edge
    first, last = stock_ends(setup.piece)
    other = next(one for one in setup.rips if one is not rip)
    over = 1.0 if other.edge.up == edge.up else -1.0
    out = edge.out > 0
    broad = setup.piece.width > BROAD  # its name finds room inside it, clear of a guide that lies close
    lines = [
        _Line(_cut(edge.net, first, last), "cut-outside"),
        _Line(_cut(own.saw_line, first, last), "saw", f"saw line, {edge.name} edge", out, max(own.aside, 0.0)),
        _Line(_cut(other.edge.net * (1.0, over), first, last), "mark", f"{other.edge.name} edge", out == broad),
    ]
    if own.tilt:
        lines.append(_Line(_cut(own.foot_line, first, last), "far-face"))
    if own.guide_line is not None:
        guide = _cut(own.guide_line, first - GUIDE_ON * 0.75, last + GUIDE_ON * 0.75)
        lines.append(_Line(guide, "cut-inside", "guide", rip.guide_side > 0))
    lines += list(_frames(setup, rip, lines))
    lines += [_Line(_cut(line, first - GUIDE_ON, last + GUIDE_ON), "sheet") for line in board or ()]
    told = ["dashed: the blade at the lower face"] if own.tilt else []
    told += [f"thinnest: the edges of {whose} board"] if board else []
    return _contracted(lines, width=width, high=high, told="; ".join(told))


def _frames(setup: SawSetup, rip: Rip, lines: Sequence[_Line]) -> Iterator[_Line]:
    """A stroke across the piece at each frame."""
    for place, x in zip(setup.piece.places, rip.x.tolist(), strict=True):
        if place.name:
            y = [float(np.interp(x, line.points[:, 0], line.points[:, 1])) for line in (lines[0], lines[2])]
            yield _Line(np.array([[x, y[0]], [x, y[1]]]), "mark", place.name.removeprefix("frame "))


def hold_plan(setup: SawSetup, rip: Rip, board: tuple[Floats, Floats] | None, *, width: float, screws: bool) -> Block:
    """How the piece is held while the last cut frees it: screws in its waste ends, wedges, clamps on the guide."""
    own = rip.setting
    first, last = stock_ends(setup.piece)
    other = next(one for one in setup.rips if one is not rip)
    free = other.setting.saw_line * (1.0, 1.0 if other.edge.up == rip.edge.up else -1.0)
    lines = [_Line(_cut(line, first, last), "cut-outside") for line in (own.saw_line, free)]
    guide = own.guide_line
    if guide is not None:
        lines.append(_Line(_cut(guide, first - GUIDE_ON * 0.75, last + GUIDE_ON * 0.75), "cut-inside"))
    if board is not None:
        # The board's other edge is sawn off by now.
        rest = board[1 if rip.guide_side > 0 else 0]
        lines.append(_Line(_cut(rest, first - GUIDE_ON, last + GUIDE_ON), "sheet"))

    def at(line: Floats, x: float) -> float:
        return float(np.interp(x, line[:, 0], line[:, 1]))

    ends = rip.edge.within
    for x in ends:
        lines.append(_Line(np.array([[x, at(own.saw_line, x)], [x, at(free, x)]]), "mark"))
    spots = ((first + ends[0]) / 2, (last + ends[1]) / 2) if screws else ()
    for x in spots:
        y = (at(own.saw_line, x) + at(free, x)) / 2
        lines.append(_Line(np.array([[x, y]]), "mark", "S"))
    for x, way in () if screws else ((first, -1.0), (last, 1.0)):
        low, high = sorted((at(own.saw_line, x), at(free, x)))
        block = np.array([[x, low], [x + way * BLOCK, low], [x + way * BLOCK, high], [x, high], [x, low]])
        lines.append(_Line(block, "mark", "S"))
    outward = rip.edge.out * BATTEN
    for x in np.arange(ends[0] + WEDGE, ends[1] - WEDGE / 3, WEDGE).tolist():
        y = at(own.saw_line, x)
        lines.append(_Line(np.array([[x, y], [x, y + outward]]), "mark", "W"))
    if guide is not None:
        for x in (first - GUIDE_ON / 2, (first + last) / 2, last + GUIDE_ON / 2):
            y = at(guide, x)
            lines.append(_Line(np.array([[x, y], [x, y + rip.guide_side * BATTEN]]), "mark", "C"))
    held = "S screws in the waste ends" if screws else "S blocks against the ends"
    told = f"drawn: {setup.piece.part.title}; {held}; W wedges in the kerf, behind the saw; C clamps on the guide"
    return _contracted(lines, width=width, told=told)


def board_plan(made: BenchPiece, place: BoardPlace, *, width: float, whose: str = "") -> Block:
    """The piece as sawn on its board, seen on its face against the planking, bow to the left."""
    low, high = edges_as_laid(place)
    closed = np.concatenate([low, high[::-1], low[:1]])
    lines = [_Line(closed, "cut-inside")]
    for edge, strip in zip((low, high), board_strips(place), strict=True):
        if strip:
            lines.append(_Line(edge + np.array([0.0, strip]), "far-face"))
    ring = place.laid(np.concatenate([made.takes.ring(), made.takes.ring()[:1]]))
    lines.append(_Line(ring, "cut-outside"))
    if place.pair is not None:
        lines.append(_Line(ring + np.array([0.0, place.pair]), "far-face"))
    lines += [_Line(one.ring, "far-face") for one in made.beside]
    told = f"{whose}{board_name(place)}, as laid; heavy: the piece as sawn"
    told += "; dashed: its pair, seen through" if place.pair is not None else ""
    told += "; dashed: what else comes out of it" if made.beside else ""
    told += "; dashed along the board's edge: sapwood or wane to keep off" if any(place.board.avoid) else ""
    return _contracted(lines, width=width, told=told)


def turned_board_plan(other: BenchPiece, place: BoardPlace, *, width: float, whose: str = "") -> Block:
    """The second of a pair beside the first, the board turned over about its length; bow to the left again."""
    assert place.pair is not None
    low, high = edges_as_laid(place)
    first = place.laid(np.concatenate([other.takes.ring(), other.takes.ring()[:1]]))
    over = np.array([1.0, -1.0])
    lines = [
        _Line(np.concatenate([low, high[::-1], low[:1]]) * over, "cut-inside"),
        *(
            _Line((edge + np.array([0.0, strip])) * over, "far-face")
            for edge, strip in zip((low, high), board_strips(place), strict=True)
            if strip
        ),
        _Line((first + np.array([0.0, place.pair])) * over, "cut-outside"),
        _Line(first * over, "far-face"),
        *(_Line(one.ring * over, "far-face") for one in other.beside),
    ]
    told = f"{whose}{board_name(place)}, turned over about its length; heavy: the piece as sawn"
    told += "; dashed: its pair, seen through"
    told += ", and what else comes out of it" if other.beside else ""
    return _contracted(lines, width=width, told=told)


def board_strips(place: BoardPlace) -> tuple[float, float]:
    """mm up from the lower and from the upper edge as laid, to the sound wood."""
    low, high = place.board.avoid
    return (high, -low) if place.turned_over else (low, -high)


def _cut(line: Floats, first: float, last: float) -> Floats:
    return line[(line[:, 0] >= first) & (line[:, 0] <= last)]


def _contracted(lines: Sequence[_Line], *, width: float, told: str, high: float = MOST_HIGH) -> Block:
    every = np.concatenate([line.points for line in lines])
    (left, low), (right, top_most) = every.min(axis=0), every.max(axis=0)
    along = next((one for one in ALONG if (right - left) / one <= width), ALONG[-1])
    across = next((one for one in ACROSS if (top_most - low) / one <= high), ACROSS[-1])
    top = -1.5 * LEADING * FIGURES

    def on_paper(points: Floats) -> Floats:
        return np.asarray((points - (left, top_most)) / (along, across) + (0.0, top))

    strokes = [Stroke(_drawn(on_paper(line.points)), line.layer) for line in lines]
    marks: list[Ink] = [*strokes]
    marks += _names(lines, strokes, across)
    foot = extent(marks)[1] - TEXT - 0.5
    scale = f"1:{along} along, 1:{across} across{'; ' + told if told else ''}"
    marks.append(Label("BOW", (0.0, foot - 1.0), TEXT, anchor="start"))
    tail = 10.0 + ARROW
    marks.append(Stroke(np.array([[tail, foot - 1.0], [10.0, foot - 1.0], [13.0, foot + 0.5]]), "mark"))
    marks.append(Stroke(np.array([[10.0, foot - 1.0], [13.0, foot - 2.5]]), "mark"))
    told_lines = wrapped(scale, size=FIGURES, width=width - tail - 4.0)
    for k, line in enumerate(told_lines):
        marks.append(Label(line, (tail + 4.0, foot - 1.0 - k * LEADING * FIGURES), FIGURES, anchor="start"))
    return Block(tuple(marks), -(foot - 1.0 - len(told_lines) * LEADING * FIGURES))


def _drawn(points: Floats) -> Floats:
    """A line as it is; a single point, where a screw stands, as a cross."""
    if len(points) > 1:
        return points
    half = CROSS / 2
    return np.asarray(points[0] + np.array([[-half, -half], [half, half], [0, 0], [-half, half], [half, -half]]))


def _names(lines: Sequence[_Line], drawn: Sequence[Stroke], across: float) -> Iterator[Label]:
    """Names close beside their lines and clear of every line, each further along than the one before if it can be."""
    taken = obstacles(drawn)
    across_it = [
        (line, stroke.points[[0, -1]]) for line, stroke in zip(lines, drawn, strict=True) if len(line.points) <= 2
    ]
    along_it = [(line, stroke.points) for line, stroke in zip(lines, drawn, strict=True) if len(line.points) > 2]
    # Figures hang below no line of writing, so that they need less room than their box.
    asked = [(_labels(line.name, _beside_stroke(line.name, ends)), -CLOSE) for line, ends in across_it if line.name]
    for k, (line, points) in enumerate((line, points) for line, points in along_it if line.name):
        # The sheet's title tells the edge too: where there is no room for both words, the first will do.
        texts = dict.fromkeys((line.name, line.name.partition(",")[0]))
        share, clear = 0.25 + 0.25 * k, line.clear / across
        places = [(text, _beside_line(line, text, points, clear, share)) for text in texts]
        asked.append(([label for text, spots in places for label in _labels(text, spots)], AIR))
    for labels, air in asked:
        label = labels[int(taken.free(grown(label_boxes(labels), air)).argmax())]
        taken = taken.joined(obstacles([label]))
        yield label


def _labels(text: str, places: Floats) -> list[Label]:
    return [Label(text, (x, y), FIGURES, angle=angle) for x, y, angle in places.tolist()]


def _beside_stroke(name: str, ends: Floats) -> Floats:
    """Places of a frame's number to the right or left of its stroke, level, (n, 3)."""
    first, last = ends
    aside = text_width(name, FIGURES) / 2 + BESIDE
    shares = (0.5, 0.25, 0.75, 0.35, 0.65, 0.15, 0.85)
    return np.array([[*(first + at * (last - first) + (side, 0.0)), 0.0] for side in (aside, -aside) for at in shares])


def _beside_line(line: _Line, text: str, points: Floats, clear: float, share: float) -> Floats:
    """Places of a name along its line, (n, 3): on the side asked for if there is room, else the other."""
    course = Course.of(points)
    gap = max(text_reach(text, FIGURES)) + BESIDE
    near = (gap + clear, -gap) if line.above else (-gap - clear, gap)
    half, at = text_width(text, FIGURES) / 2, share * course.length
    shifts = sorted((np.linspace(half, course.length - half, PLACES) - at).tolist(), key=abs)
    return beside(points, text, size=FIGURES, along=at, offsets=steps(near, (0.0, *shifts)), within=False)

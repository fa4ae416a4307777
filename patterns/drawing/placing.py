"""Where lettering goes: the first free place of those asked for, or further off on a leader line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.sight import in_sight, parting_lines, ways_home
from patterns.drawing.text import label_boxes, text_reach, text_width
from patterns.drawing.touching import box_meets_box, box_meets_line, near_pairs
from patterns.geometry.arrays import Floats, lengths, read_only

CLEARANCE = 1.2  # mm between lettering and any other ink; nearer, a 0.5 mm line runs into the letters
FIRST_TRIES = 8  # places of each request tried before the rest: most labels find room at once
LEADER_GAP = 1.5  # mm between a leader's near end and the place it points to, and between its far end and the text
RINGS = 1.35  # each ring of places for a carried-off label lies so much further than the one before
DIRECTIONS = 36  # places in one such ring
NEAR_RINGS = 10  # tried before all the others
FRESH_STARTS = 4  # in other orders, where a leader could find no way between the words


@dataclass(frozen=True, slots=True, eq=False)
class Request:
    """A line of text and the places it may stand, best first.

    ``home`` is the place the text speaks of: a leader line comes back to it from a label carried off.
    """

    text: str
    size: float  # mm, height of a capital
    places: Floats  # (n, 3): x, y of the middle of the text in mm, angle in rad
    home: tuple[float, float]  # mm
    rank: int = 0  # lower is placed earlier

    def __post_init__(self) -> None:
        object.__setattr__(self, "places", read_only(self.places, columns=3))


def place(requests: Sequence[Request], ink: Sequence[Ink]) -> tuple[Ink, ...]:
    """A label for every request, clear of the ink, of each other and of every leader; and the leaders.

    Between a label without a leader and its home lies no line but those at home: a bevel beyond another line would be
    read as that line's. Labels come in the order of the requests, then the leaders.

    Raises
    ------
    ValueError
        A character the lettering does not have, or no place for a text at all (a bug of ours).
    """
    among, lines = obstacles(ink), parting_lines(ink)
    first = _free_places([request.places[:FIRST_TRIES] for request in requests], requests, among, lines)
    words = label_boxes([mark for mark in ink if isinstance(mark, Label)])  # no leader is to run through words either
    order = sorted(range(len(requests)), key=lambda number: requests[number].rank)
    for _ in range(FRESH_STARTS):
        labels, taken, shut_in = _in_order(order, requests, first, (among, lines), words)
        if not shut_in:
            break
        # Those the others had left no way out go before them.
        order = [*shut_in, *(number for number in order if number not in set(shut_in))]
    return (*(labels[number] for number in range(len(requests))), *taken.leaders)


def _in_order(
    order: Sequence[int],
    requests: Sequence[Request],
    first: Sequence[Floats],
    ink: tuple[Obstacles, Obstacles],
    words: Floats,
) -> tuple[dict[int, Label], _Taken, list[int]]:
    """The labels by their requests' numbers, what they take, and those whose leaders run through words."""
    among, lines = ink
    taken = _Taken()
    taken.add_boxes(words)
    labels: dict[int, Label] = {}
    shut_in = []
    for number in order:
        request = requests[number]
        label = taken.first_free(request, first[number])
        if label is None and len(request.places) > FIRST_TRIES:
            [rest] = _free_places([request.places[FIRST_TRIES:]], [request], among, lines)
            label = taken.first_free(request, rest)
        if label is None:
            label, whole = _carried_off(request, among, taken)
            shut_in += [] if whole else [number]
        labels[number] = label
        taken.add_boxes(request_boxes(request, _place_of(label)))
    return labels, taken, shut_in


def request_boxes(request: Request, places: Floats, *, clear: float = 0.0) -> Floats:
    """Boxes round the text at (n, 3) places, (n, 4, 2) mm, grown by ``clear`` all round."""
    half = text_width(request.text, request.size) / 2 + clear
    above, below = text_reach(request.text, request.size)
    corners = np.array([[-half, -below - clear], [half, -below - clear], [half, above + clear], [-half, above + clear]])
    return turned_boxes(corners, places)


def turned_boxes(corners: Floats, places: Floats) -> Floats:
    """(4, 2) corners set down at (n, 3) places, (n, 4, 2)."""
    cos, sin = np.cos(places[:, 2])[:, None], np.sin(places[:, 2])[:, None]
    x, y = corners[None, :, 0], corners[None, :, 1]
    return np.stack([x * cos - y * sin + places[:, :1], x * sin + y * cos + places[:, 1:2]], axis=2)


def _free_places(places: list[Floats], requests: Sequence[Request], among: Obstacles, lines: Obstacles) -> list[Floats]:
    """Of each request's places those clear of the ink and in sight of its home, in order."""
    if not requests:
        return []
    counts = [len(spots) for spots in places]
    boxes = np.concatenate([request_boxes(r, p, clear=CLEARANCE) for r, p in zip(requests, places, strict=True)])
    homes = np.repeat(np.array([request.home for request in requests]), counts, axis=0)
    free = among.free(boxes)
    free[free] = in_sight(ways_home(homes[free], boxes[free]), lines)
    ends = np.cumsum(counts)[:-1]
    return [spots[clear] for spots, clear in zip(places, np.split(free, ends), strict=True)]


@dataclass(slots=True)
class _Taken:
    """Boxes of words and leaders set down so far."""

    boxes: Floats = field(default_factory=lambda: np.empty((0, 4, 2)))
    lines: Floats = field(default_factory=lambda: np.empty((0, 2, 2)))
    leaders: list[Stroke] = field(default_factory=list)

    def add_boxes(self, boxes: Floats) -> None:
        self.boxes = np.concatenate([self.boxes, boxes])

    def add_leader(self, line: Floats) -> None:
        self.lines = np.concatenate([self.lines, line[None]])
        self.leaders.append(Stroke(line, "mark", leader=True))

    def clear_boxes(self, boxes: Floats) -> NDArray[np.bool_]:
        """Which of (n, 4, 2) boxes touch nothing set down so far."""
        clear = np.ones(len(boxes), dtype=np.bool_)
        which, other = near_pairs(boxes, self.boxes)
        if len(which):
            clear[which[box_meets_box(boxes[which], self.boxes[other])]] = False
        which, other = near_pairs(boxes, self.lines)
        if len(which):
            clear[which[box_meets_line(boxes[which], self.lines[other])]] = False
        return clear

    def clear_leaders(self, lines: Floats) -> NDArray[np.bool_]:
        """Which of (n, 2, 2) leaders touch no box: they may cross each other."""
        clear = np.ones(len(lines), dtype=np.bool_)
        which, other = near_pairs(lines, self.boxes)
        clear[which[box_meets_line(self.boxes[other], lines[which])]] = False
        return clear

    def first_free(self, request: Request, places: Floats) -> Label | None:
        clear = self.clear_boxes(request_boxes(request, places, clear=CLEARANCE))
        return _label(request, places[int(clear.argmax())]) if clear.any() else None


def _label(request: Request, spot: Floats) -> Label:
    x, y, angle = map(float, spot)
    return Label(request.text, (x, y), request.size, angle, home=request.home)


def _place_of(label: Label) -> Floats:
    return np.array([[*label.at, label.angle]])


def _carried_off(request: Request, among: Obstacles, taken: _Taken) -> tuple[Label, bool]:
    """The text further off, joined to its home by a leader that crosses few lines, and whether it crosses no word."""
    spots, leaders = _rings(request)
    # Most find their place near by; no spot of a ring further off costs less than the number of that ring.
    for rings in (NEAR_RINGS, len(spots) // DIRECTIONS):
        end = rings * DIRECTIONS
        boxes = request_boxes(request, spots[:end], clear=CLEARANCE)
        free = np.flatnonzero(among.free(boxes))
        # Each line crossed confuses about as much as a ring of distance more.
        cost = among.crossings(leaders[free]) + free // DIRECTIONS
        order = np.argsort(cost, kind="stable")
        order = order[taken.clear_boxes(boxes[free[order]])]
        whole = order[taken.clear_leaders(leaders[free[order]])]
        if len(whole) and cost[whole[0]] <= rings:
            break
    if not len(order):
        raise ValueError(f"no room on the drawing for {request.text!r} at {request.home}")
    # In a crowd every way out may lead through other words: a hairline through a word is better than a word lost.
    number = int(free[whole[0] if len(whole) else order[0]])
    taken.add_leader(leaders[number])
    (near_x, near_y), (far_x, far_y) = leaders[number].tolist()
    label = replace(_label(request, spots[number]), leader=((near_x, near_y), (far_x, far_y)))
    return label, bool(len(whole))


def _rings(request: Request) -> tuple[Floats, Floats]:
    """Places round the request's home ever further off, (n, 3), and their leaders, (n, 2, 2)."""
    home = np.array(request.home)
    angle = float(request.places[0, 2]) if len(request.places) else 0.0
    half = np.array([text_width(request.text, request.size) / 2, request.size / 2]) + LEADER_GAP
    turn = np.linspace(0.0, 2 * np.pi, DIRECTIONS, endpoint=False) + np.pi / 2
    ways = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    reach = 8.0 * RINGS ** np.arange(20)  # mm, from 8 mm to past 2 m: clear of any boat part but a panel's length
    far_ends = (ways[None, :, :] * reach[:, None, None]).reshape(-1, 2)
    # The text lies beyond the leader's end: the leader meets the middle of its nearest side, or a corner.
    centres = far_ends + np.sign(np.round(far_ends, 6)) * half
    cos, sin = np.cos(angle), np.sin(angle)
    turned = np.array([[cos, sin], [-sin, cos]])
    near_ends = far_ends * (LEADER_GAP / lengths(far_ends))[:, None]
    leaders = np.stack([near_ends, far_ends], axis=1) @ turned + home
    spots = np.column_stack([centres @ turned + home, np.full(len(centres), angle)])
    return spots, leaders

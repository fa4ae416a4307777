"""Where lettering goes: the first free place of those asked for, or further off on a leader line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.sight import in_sight, ways_home
from patterns.drawing.taken import Taken
from patterns.drawing.text import text_reach, text_width
from patterns.drawing.touching import level_bounds
from patterns.geometry.arrays import Floats, lengths, read_only

CLEARANCE = 1.2  # mm between lettering and any other ink; nearer, a 0.5 mm line runs into the letters
FIRST_TRIES = 8  # places of each request tried before the rest: most labels find room at once
LEADER_GAP = 1.5  # mm between a leader's near end and the place it points to, and between its far end and the text
RINGS = 1.35  # each ring of places for a carried-off label lies so much further than the one before
DIRECTIONS = 36  # places in one such ring
ALL_RINGS = 20
TRIED_RINGS = (3, 10, ALL_RINGS)  # so many, nearest first, then more
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
    return place_among(requests, obstacles(ink))


def place_among(requests: Sequence[Request], ink: Obstacles) -> tuple[Ink, ...]:
    """As `place` does, clear of ink that has been made ready before."""
    if not requests:
        return ()
    choices = _Choices(requests, ink, ink.parting_lines())
    order = sorted(range(len(requests)), key=lambda number: requests[number].rank)
    for _ in range(FRESH_STARTS):
        labels, taken, shut_in = _in_order(order, requests, choices)
        if not shut_in:
            break
        # Those the others had left no way out go before them.
        order = [*shut_in, *(number for number in order if number not in set(shut_in))]
    leaders = (Stroke(line, "mark", leader=True) for line in taken.leaders)
    return (*(labels[number] for number in range(len(requests))), *leaders)


def _in_order(
    order: Sequence[int], requests: Sequence[Request], choices: _Choices
) -> tuple[dict[int, Label], Taken, list[int]]:
    """The labels by their requests' numbers, what they take, and those whose leaders run through words."""
    taken = Taken(choices.ink.boxes)  # no leader is to run through words already there either
    labels: dict[int, Label] = {}
    shut_in = []
    for number in order:
        request = requests[number]
        for free in choices.of(number):
            found = taken.first_clear(free.wide, free.bounds)
            if found is not None:
                labels[number] = _label(request, free.places[found])
                taken.add_word(free.boxes[found], free.box_bounds[found])
                break
        else:
            labels[number], whole = _carried_off(request, choices.ink, taken)
            shut_in += [] if whole else [number]
    return labels, taken, shut_in


def request_boxes(request: Request, places: Floats, *, clear: float = 0.0) -> Floats:
    """Boxes round the text at (n, 3) places, (n, 4, 2) mm, grown by ``clear`` all round."""
    return turned_boxes(_corners(request, clear), places)


def _corners(request: Request, clear: float) -> Floats:
    """(4, 2) mm, of the box round the text set level about nought."""
    half = text_width(request.text, request.size) / 2 + clear
    above, below = text_reach(request.text, request.size)
    low, high = -below - clear, above + clear
    return np.array([[-half, low], [half, low], [half, high], [-half, high]])


def turned_boxes(corners: Floats, places: Floats) -> Floats:
    """(4, 2) corners, or (n, 4, 2) each its own, set down at (n, 3) places, (n, 4, 2)."""
    cos, sin = np.cos(places[:, 2:]), np.sin(places[:, 2:])
    x, y = corners[..., 0], corners[..., 1]
    boxes = np.empty((len(places), 4, 2))
    boxes[..., 0] = x * cos - y * sin + places[:, :1]
    boxes[..., 1] = x * sin + y * cos + places[:, 1:2]
    return boxes


@dataclass(frozen=True, slots=True, eq=False)
class _Free:
    """Places of one request clear of the ink and in sight of its home, in order."""

    places: Floats  # (n, 3)
    wide: Floats  # (n, 4, 2) mm, boxes round the text with the clearance
    bounds: Floats  # (n, 4) mm, their level bounds
    boxes: Floats  # (n, 4, 2) mm, round the text alone
    box_bounds: Floats  # (n, 4) mm


class _Choices:
    """The free places of every request: of the first few, which most labels find room at, and of the rest if wanted."""

    def __init__(self, requests: Sequence[Request], ink: Obstacles, lines: Obstacles) -> None:
        self._requests, self.ink, self._lines = requests, ink, lines
        first = self._free([(number, request.places[:FIRST_TRIES]) for number, request in enumerate(requests)])
        self._first = dict(enumerate(first))
        shut = [number for number, free in self._first.items() if not len(free.places)]
        self._rest: dict[int, _Free] = {}
        self._add_rest(shut)  # at once, for those certain to ask

    def of(self, number: int) -> Iterator[_Free]:
        """The first places free, and only if asked on, the rest."""
        yield self._first[number]
        if number not in self._rest:
            self._add_rest([number])
        yield self._rest[number]

    def _add_rest(self, numbers: Sequence[int]) -> None:
        rest = [(number, self._requests[number].places[FIRST_TRIES:]) for number in numbers]
        self._rest.update(zip(numbers, self._free(rest), strict=True))

    def _free(self, asked: Sequence[tuple[int, Floats]]) -> Iterator[_Free]:
        """For each request's number and (n, 3) places those that are free."""
        requests, counts = [self._requests[number] for number, _ in asked], [len(places) for _, places in asked]
        if not sum(counts):
            none = np.empty((0, 4, 2))
            return iter([_Free(np.empty((0, 3)), none, np.empty((0, 4)), none, np.empty((0, 4)))] * len(asked))
        places = np.concatenate([places for _, places in asked])
        wide = turned_boxes(np.repeat([_corners(request, CLEARANCE) for request in requests], counts, axis=0), places)
        free = np.flatnonzero(self.ink.free(wide))
        owner = np.repeat(np.arange(len(asked)), counts)
        homes = np.array([request.home for request in requests])
        free = free[in_sight(ways_home(homes[owner[free]], wide[free]), self._lines)]
        own = np.array([_corners(request, 0.0) for request in requests])[owner[free]]
        boxes = turned_boxes(own, places[free])
        whole = (places[free], wide[free], level_bounds(wide[free]), boxes, level_bounds(boxes))
        ends = np.searchsorted(owner[free], np.arange(len(asked) + 1)).tolist()
        return (_Free(*(part[start:end] for part in whole)) for start, end in pairwise(ends))


def _label(request: Request, spot: Floats) -> Label:
    x, y, angle = spot.tolist()
    return Label(request.text, (x, y), request.size, angle, home=request.home)


def _carried_off(request: Request, among: Obstacles, taken: Taken) -> tuple[Label, bool]:
    """The text further off, joined to its home by a leader that crosses few lines, and whether it crosses no word."""
    spots, leaders = _rings(request)
    # Most find their place near by; no spot of a ring further off costs less than the number of that ring.
    for rings in TRIED_RINGS:
        end = rings * DIRECTIONS
        boxes = request_boxes(request, spots[:end], clear=CLEARANCE)
        free = np.flatnonzero(among.free(boxes))
        # Each line crossed confuses about as much as a ring of distance more.
        cost = among.crossings(leaders[free]) + free // DIRECTIONS
        order = np.argsort(cost, kind="stable")
        order = order[taken.clear_boxes(boxes[free[order]], level_bounds(boxes[free[order]]))]
        whole = order[taken.clear_leaders(leaders[free[order]])]
        if len(whole) and cost[whole[0]] <= rings:
            break
    if not len(order):
        raise ValueError(f"no room on the drawing for {request.text!r} at {request.home}")
    # In a crowd every way out may lead through other words: a hairline through a word is better than a word lost.
    number = int(free[whole[0] if len(whole) else order[0]])
    taken.add_leader(leaders[number])
    box = request_boxes(request, spots[number : number + 1])
    taken.add_word(box[0], level_bounds(box)[0])
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
    reach = 8.0 * RINGS ** np.arange(
        ALL_RINGS
    )  # mm, from 8 mm to past 2 m: clear of any boat part but a panel's length
    far_ends = (ways[None, :, :] * reach[:, None, None]).reshape(-1, 2)
    # The text lies beyond the leader's end: the leader meets the middle of its nearest side, or a corner.
    centres = far_ends + np.sign(np.round(far_ends, 6)) * half
    cos, sin = np.cos(angle), np.sin(angle)
    turned = np.array([[cos, sin], [-sin, cos]])
    near_ends = far_ends * (LEADER_GAP / lengths(far_ends))[:, None]
    leaders = np.stack([near_ends, far_ends], axis=1) @ turned + home
    spots = np.column_stack([centres @ turned + home, np.full(len(centres), angle)])
    return spots, leaders

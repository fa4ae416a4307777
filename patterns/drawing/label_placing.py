"""Where lettering goes: the first free place of those asked for, or further off on a leader line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from patterns.drawing.marks import Ink, Label
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.overlaps import level_bounds
from patterns.drawing.sight_lines import in_sight, ways_home
from patterns.drawing.text import grown, text_reach, text_width
from patterns.drawing.words_set import Taken
from patterns.geometry.arrays import Floats, lengths, read_only

CLEARANCE = 1.2  # mm between lettering and any other ink; nearer, a 0.5 mm line runs into the letters
FIRST_TRIES = 8  # places of each request tried before the rest: most labels find room at once
LIKELY_ENOUGH = 3  # of them free of ink, and one is likely to stay free of other words
LEADER_GAP = 1.5  # mm between a leader's near end and the place it points to, and between its far end and the text
LEADERS_APART = 2.0  # mm
MIXED_UP = 5  # rings of distance that a leader so near to another, or across it, is worse by
BESIDE_ANOTHER = 2  # rings of distance that a place close beside another line is worse by
NEIGHBOURLY = 3.0  # mm
RINGS = 1.35  # each ring of places for a carried-off label lies so much further than the one before
DIRECTIONS = 36  # places in one such ring
TRIED_RINGS = (0, 2, 5, 10, 20)  # so many, nearest first, then more
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
    of_line: bool = True  # whether it tells of a line, and not of a place: by another it would be read as that one's

    def __post_init__(self) -> None:
        object.__setattr__(self, "places", read_only(self.places, columns=3))


def place(requests: Sequence[Request], ink: Sequence[Ink]) -> tuple[Label, ...]:
    """A label for every request, in their order, clear of the ink, of each other and of every leader.

    Between a label without a leader and its home lies no line but those at home: a bevel beyond another line would be
    read as that line's.

    Raises
    ------
    ValueError
        A character the lettering does not have, or no place for a text at all (a bug of ours).
    """
    return place_among(requests, obstacles(ink))


def place_among(requests: Sequence[Request], ink: Obstacles) -> tuple[Label, ...]:
    """As `place` does, clear of ink that has been made ready before."""
    if not requests:
        return ()
    choices = _Choices(requests, ink)
    order = sorted(range(len(requests)), key=lambda number: requests[number].rank)
    best: tuple[dict[int, Label], list[int]] | None = None
    for _ in range(FRESH_STARTS):
        found = _in_order(order, requests, choices)
        best = found if best is None or len(found[1]) < len(best[1]) else best
        # Those the others had left no clear way out go before them.
        shut_in = found[1]
        if not shut_in:
            break
        order = [*shut_in, *(number for number in order if number not in set(shut_in))]
    assert best is not None
    labels, _ = best
    return tuple(labels[number] for number in range(len(requests)))


def _in_order(
    order: Sequence[int], requests: Sequence[Request], choices: _Choices
) -> tuple[dict[int, Label], list[int]]:
    """The labels by their requests' numbers, and those whose leaders run through words or others."""
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
            labels[number], whole = _carried_off(request, choices.ink, choices.lines, taken)
            shut_in += [] if whole else [number]
    return labels, shut_in


def request_boxes(request: Request, places: Floats, *, clear: float = 0.0) -> Floats:
    """Boxes round the text at (n, 3) places, (n, 4, 2) mm, grown by ``clear`` all round."""
    return turned_boxes(_corners(_reach(request)[None], clear)[0], places)


def _reach(request: Request) -> Floats:
    """How far the text reaches from its middle to either end, above and below, (3,) mm."""
    return np.array([text_width(request.text, request.size) / 2, *text_reach(request.text, request.size)])


def _corners(reach: Floats, clear: float) -> Floats:
    """Of boxes round texts of (n, 3) ``reach``, set level about nought, (n, 4, 2) mm."""
    half, above, below = reach.T + clear
    return np.array([[-half, -below], [half, -below], [half, above], [-half, above]]).transpose(2, 0, 1)


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

    def __init__(self, requests: Sequence[Request], ink: Obstacles) -> None:
        self.ink, self.lines = ink, ink.parting_lines()
        self._places = [request.places for request in requests]
        self._homes = np.array([request.home for request in requests])
        self._reach = np.array([_reach(request) for request in requests])
        everyone = range(len(requests))
        self._first = list(self._free(everyone, slice(FIRST_TRIES)))
        self._rest: dict[int, _Free] = {}
        # At once, for those certain to ask or likely to.
        self._add_rest([number for number in everyone if len(self._first[number].places) < LIKELY_ENOUGH])

    def of(self, number: int) -> Iterator[_Free]:
        """The first places free, and only if asked on, the rest."""
        yield self._first[number]
        if number not in self._rest:
            self._add_rest([number])
        yield self._rest[number]

    def _add_rest(self, numbers: Sequence[int]) -> None:
        self._rest.update(zip(numbers, self._free(numbers, slice(FIRST_TRIES, None)), strict=True))

    def _free(self, numbers: Sequence[int], which: slice) -> Iterator[_Free]:
        """Of some of the places of the requests so numbered those that are free."""
        asked = [self._places[number][which] for number in numbers]
        places = np.concatenate([np.empty((0, 3)), *asked])
        owner = np.repeat(np.arange(len(asked)), [len(spots) for spots in asked])
        request = np.asarray(numbers, dtype=np.intp)[owner]
        wide = turned_boxes(_corners(self._reach[request], CLEARANCE), places)
        free = np.flatnonzero(self.ink.free(wide))
        free = free[in_sight(ways_home(self._homes[request[free]], wide[free]), self.lines)]
        boxes = turned_boxes(_corners(self._reach[request[free]], 0.0), places[free])
        whole = (places[free], wide[free], level_bounds(wide[free]), boxes, level_bounds(boxes))
        ends = np.searchsorted(owner[free], np.arange(len(asked) + 1)).tolist()
        return (_Free(*(part[start:end] for part in whole)) for start, end in pairwise(ends))


def _label(request: Request, spot: Floats) -> Label:
    x, y, angle = spot.tolist()
    return Label(request.text, (x, y), request.size, angle, home=request.home)


def _carried_off(request: Request, among: Obstacles, lines: Obstacles, taken: Taken) -> tuple[Label, bool]:
    """The text further off, joined to its home by a leader across few lines, and whether no word or leader is met."""
    spots, leaders = _rings(request)
    best: tuple[bool, int, int] | None = None  # whether its leader runs through words, its cost, its number
    for ring, last in pairwise(TRIED_RINGS):
        some = slice(ring * DIRECTIONS, last * DIRECTIONS)
        boxes = request_boxes(request, spots[some], clear=CLEARANCE)
        free = np.flatnonzero(taken.clear_boxes(boxes, level_bounds(boxes)))
        free = free[among.free(boxes[free])]
        led = leaders[some][free]
        # Each line crossed confuses about as much as a ring of distance more.
        mixed_up = taken.near_leaders(led, LEADERS_APART)
        cost = among.crossings(led) + ring + free // DIRECTIONS + MIXED_UP * mixed_up
        if request.of_line:
            cost += BESIDE_ANOTHER * ~lines.free(grown(boxes[free], NEIGHBOURLY))
        through = ~taken.clear_leaders(led)
        found = zip(through.tolist(), cost.tolist(), (some.start + free).tolist(), strict=True)
        best = min(found if best is None else [best, *found], default=None)
        # Most find their place near by; no spot of a ring further off costs less than the number of that ring.
        if best is not None and not best[0] and best[1] <= last:
            break
    if best is None:
        raise ValueError(f"no room on the drawing for {request.text!r} at {request.home}")
    # In a crowd every way out may lead through other words: a hairline through a word is better than a word lost.
    through_words, _, number = best
    sound = not through_words and not taken.near_leaders(leaders[number : number + 1], LEADERS_APART)[0]
    taken.add_leader(leaders[number])
    box = request_boxes(request, spots[number : number + 1])
    taken.add_word(box[0], level_bounds(box)[0])
    (near_x, near_y), (far_x, far_y) = leaders[number].tolist()
    label = replace(_label(request, spots[number]), leader=((near_x, near_y), (far_x, far_y)))
    return label, sound


def _rings(request: Request) -> tuple[Floats, Floats]:
    """Places round the request's home ever further off, (n, 3), and their leaders, (n, 2, 2)."""
    home = np.array(request.home)
    angle = float(request.places[0, 2]) if len(request.places) else 0.0
    half = np.array([text_width(request.text, request.size) / 2, request.size / 2]) + LEADER_GAP
    # The text lies beyond the leader's end: the leader meets the middle of its nearest side, or a corner.
    centres = _FAR_ENDS + _BEYOND * half
    cos, sin = np.cos(angle), np.sin(angle)
    turned = np.array([[cos, sin], [-sin, cos]])
    leaders = _LEADERS @ turned + home
    spots = np.empty((len(centres), 3))
    spots[:, :2], spots[:, 2] = centres @ turned + home, angle
    return spots, leaders


def _far_ends() -> Floats:
    """Where leaders from nought end, ring by ring, (n, 2) mm."""
    turn = np.linspace(0.0, 2 * np.pi, DIRECTIONS, endpoint=False) + np.pi / 2
    ways = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    # From 8 mm to past 2 m: clear of any boat part but a panel's length.
    reach = 8.0 * RINGS ** np.arange(TRIED_RINGS[-1])
    return np.asarray((ways[None, :, :] * reach[:, None, None]).reshape(-1, 2))


_FAR_ENDS = _far_ends()
_BEYOND = np.sign(np.round(_FAR_ENDS, 6))
_LEADERS = np.stack([_FAR_ENDS * (LEADER_GAP / lengths(_FAR_ENDS))[:, None], _FAR_ENDS], axis=1)

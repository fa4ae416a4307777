"""Which way the bow lies, drawn: an arrow in the plane of the pattern, its tail or its point when square to it."""

from __future__ import annotations

import math

import numpy as np

from patterns.drawing.marks import Ink, Label, Pointer, Stroke
from patterns.drawing.text import text_width
from patterns.geometry.arrays import Floats
from patterns.parts.part import Part

WORD_SIZE = 5.0  # mm, capitals
ARROW = 45.0  # mm long
RING = 5.0  # mm, radius of the ring round an arrow seen from behind or from ahead
GRAIN = "GRAIN"
_GAP = 4.0  # mm between arrow and word
_WAYS = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "up": (0.0, 1.0), "down": (0.0, -1.0)}


def bow_size(part: Part) -> tuple[float, float]:
    """Width and height of the arrow and its words, mm."""
    word = text_width(_words(part), WORD_SIZE)
    across, high = _arrow_size(part)
    return across + _GAP + word, high


def bow_ink(part: Part) -> tuple[Ink, ...]:
    """The arrow and its words in a row that begins at nought, its middle height at nought."""
    across, _ = _arrow_size(part)
    word = text_width(_words(part), WORD_SIZE)
    # The word stands at the arrow's head, so an arrow to the left comes after it.
    word_first = part.bow == "left"
    word_at = 0.0 if word_first else across + _GAP
    arrow_at = word + _GAP if word_first else 0.0
    label = Label(_words(part), (word_at, 0.0), WORD_SIZE, anchor="start")
    return label, *_arrow(part, np.array([arrow_at + across / 2, 0.0]))


def _words(part: Part) -> str:
    match part.bow:
        case "toward you":
            return "BOW toward you"
        case "away from you":
            return "BOW away from you"
        case "either way":
            return "BOW either way"
        case _:
            return "BOW"


def bow_pointer(part: Part) -> Pointer:
    """The bow arrow as every sheet carries it."""
    way = _WAYS.get(part.bow)
    return Pointer(_words(part), None if way is None else math.atan2(way[1], way[0]))


def grain_ink(angle: float) -> tuple[Ink, ...]:
    """A double-headed arrow along the grain after its word, in a row that begins at nought, its middle at nought."""
    across, _ = grain_size(angle)
    centre = np.array([across - _grain_room(angle)[0] / 2, 0.0])
    way = np.array([math.cos(angle), math.sin(angle)])
    ends = (_shaft(centre, way), _shaft(centre, -way))
    return Label(GRAIN, (0.0, 0.0), WORD_SIZE, anchor="start"), *ends[0], ends[1][1]


def grain_size(angle: float) -> tuple[float, float]:
    """Width and height of the word and its arrow, mm."""
    across, high = _grain_room(angle)
    return text_width(GRAIN, WORD_SIZE) + _GAP + across, high


def _grain_room(angle: float) -> tuple[float, float]:
    return max(2 * RING, ARROW * abs(math.cos(angle))), max(2 * RING, ARROW * abs(math.sin(angle)))


def _arrow_size(part: Part) -> tuple[float, float]:
    match part.bow:
        case "left" | "right":
            return ARROW, 2 * RING
        case "up" | "down":
            return 2 * RING, ARROW
        case "either way":
            return 0.0, 2 * RING
        case _:
            return 2 * RING, 2 * RING


def _arrow(part: Part, middle: Floats) -> tuple[Stroke, ...]:
    if part.bow == "either way":
        return ()
    if part.bow in _WAYS:
        return _shaft(middle, np.array(_WAYS[part.bow]))
    ring = Stroke(middle + RING * _circle(48), "mark", closed=True)
    if part.bow == "toward you":
        return ring, Stroke(middle + 0.8 * _circle(16), "mark", closed=True)
    arm = RING * np.sqrt(0.5) * np.array([1.0, 1.0])
    fall = arm * (1.0, -1.0)
    return (
        ring,
        Stroke(np.array([middle - arm, middle + arm]), "mark"),
        Stroke(np.array([middle - fall, middle + fall]), "mark"),
    )


def _shaft(middle: Floats, way: Floats) -> tuple[Stroke, ...]:
    head, tail = middle + way * ARROW / 2, middle - way * ARROW / 2
    barb = np.array([-way[1], way[0]]) * 3.0
    return (
        Stroke(np.array([tail, head]), "mark"),
        Stroke(np.array([head - way * 8.0 + barb, head, head - way * 8.0 - barb]), "mark"),
    )


def _circle(count: int) -> Floats:
    turn = np.linspace(0.0, 2 * np.pi, count, endpoint=False)
    return np.column_stack([np.cos(turn), np.sin(turn)])

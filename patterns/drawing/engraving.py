"""Lettering as single strokes, for a cutter that follows lines and knows no font."""

from __future__ import annotations

import json
import unicodedata
from functools import cache, lru_cache
from itertools import accumulate
from typing import NamedTuple

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.units.shared_data import shared_file

CAP_HEIGHT = 21.0  # of the strokes' own units

_IN_PLAIN_LETTERS = {
    "°": " deg",
    "×": "x",
    "·": ".",
    "–": "-",
    "—": "-",
    "‒": "-",
    "−": "-",
    "′": "'",
    "″": '"',
    "⁄": "/",
    "’": "'",
    "‘": "'",
    "“": '"',
    "”": '"',
    "ß": "ss",
    "æ": "ae",
    "Æ": "AE",
    "œ": "oe",
    "Œ": "OE",
    "ø": "o",
    "Ø": "O",
    "ł": "l",
    "Ł": "L",
    "đ": "d",
    "Đ": "D",
    "ð": "d",
    "Ð": "D",
    "þ": "th",
    "Þ": "Th",
    "ı": "i",
}
_FRACTION_SLASH = "⁄"


def plain(text: str) -> str:
    """``text`` in the plain letters a cutter can draw.

    Raises
    ------
    ShapeError
        A character that has no plain form: it would be lost from the wood without a word.

    >>> plain("frame 3⅝ à 5°")
    'frame 3 5/8 a 5 deg'
    """
    kept = in_plain_letters(text)
    strange = sorted(set(kept) - _glyphs().keys())
    if strange:
        raise ShapeError(f"'{text}' cannot be engraved: no strokes for {', '.join(map(repr, strange))}")
    return kept


def is_plain(text: str) -> bool:
    """Whether `plain` can spell it."""
    return not set(in_plain_letters(text)) - _glyphs().keys()


def in_plain_letters(text: str) -> str:
    """``text`` as far as it has plain letters: accents dropped, fractions as digits, signs as words."""
    if text.isascii():
        return text
    spelt: list[str] = []
    for letter in text:
        apart = _IN_PLAIN_LETTERS.get(letter) or unicodedata.normalize("NFKD", letter)
        # A whole number before a fraction would run into it: 3⅝ is not 35/8.
        gap = " " if _FRACTION_SLASH in apart and len(apart) > 1 and spelt and spelt[-1][-1:].isdigit() else ""
        spelt.append(gap + apart.replace(_FRACTION_SLASH, "/"))
    return "".join(letter for letter in "".join(spelt) if not unicodedata.combining(letter))


def engraved_width(text: str, size: float) -> float:
    """mm, of plain text with capitals ``size`` mm high."""
    return _advance(text) * size / CAP_HEIGHT


@lru_cache(maxsize=1024)  # a name is tried in many sizes
def _advance(text: str) -> float:
    return sum(_glyphs()[letter].advance for letter in text)


def engraved(text: str, at: tuple[float, float], *, size: float, angle: float = 0.0) -> tuple[Floats, tuple[int, ...]]:
    """Strokes of plain text with capitals ``size`` mm high, its middle at a place, at rad.

    Their points, (n, 2) mm, stroke after stroke, and how many each of them has.
    """
    scale = size / CAP_HEIGHT
    cos, sin = np.cos(angle), np.sin(angle)
    turn = scale * np.array([[cos, sin], [-sin, cos]])
    glyphs = [_glyphs()[letter] for letter in text]
    pens = list(accumulate((glyph.advance for glyph in glyphs), initial=-engraved_width(text, size) / scale / 2))
    points = np.concatenate([np.zeros((0, 2)), *(glyph.points for glyph in glyphs)])
    points[:, 0] += np.repeat(pens[:-1], [len(glyph.points) for glyph in glyphs])
    points[:, 1] -= CAP_HEIGHT / 2
    return points @ turn + at, tuple(count for glyph in glyphs for count in glyph.counts)


class _Glyph(NamedTuple):
    advance: float
    points: Floats  # (n, 2), y up from the baseline, stroke after stroke
    counts: tuple[int, ...]  # points of each stroke


@cache
def _glyphs() -> dict[str, _Glyph]:
    table = json.loads(shared_file("fonts/strokes.json").read_text(encoding="utf-8"))
    return {
        letter: _Glyph(
            advance, np.array([place for run in runs for place in run], float).reshape(-1, 2), tuple(map(len, runs))
        )
        for letter, (advance, runs) in table.items()
    }

"""Lettering as single strokes, for a cutter that follows lines and knows no font."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable
from functools import cache, lru_cache
from itertools import accumulate
from math import fsum
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
    "‐": "-",
    "‑": "-",
    "„": '"',
    "‚": "'",
    "«": '"',
    "»": '"',
    "‹": "'",
    "›": "'",
    "ʹ": "'",
    "ʺ": '"',
    "ʻ": "'",
    "ʼ": "'",
    "•": "*",
    "€": "EUR",
    "ẞ": "SS",
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
_ACCENT_GAP = 2.0  # of the strokes' own units, between a letter and its accent
_ABOVE, _HORN = 230, 216  # where an accent stands, as Unicode numbers it; all others stand below
_HUNG = (202, 240)  # below, and joined to the letter


def plain(text: str) -> str:
    """``text`` in the letters a cutter can draw.

    Raises
    ------
    ShapeError
        A character that has no strokes and no plain form: it would be lost from the wood without a word.

    >>> plain("frame 3⅝ à 5°")
    'frame 3 5/8 à 5 deg'
    """
    kept = _spelt(text)
    strange = sorted(letter for letter in set(kept) if _glyph(letter) is None)
    if strange:
        raise ShapeError(f"'{text}' cannot be engraved: no strokes for {', '.join(map(repr, strange))}")
    return kept


def is_plain(text: str) -> bool:
    """Whether `plain` can spell it."""
    return all(_glyph(letter) for letter in _spelt(text))


def in_plain_letters(text: str) -> str:
    """``text`` as far as it has plain letters: accents dropped from Latin, fractions as digits, signs as words."""
    return _respelt(text, lambda letter: letter.isascii())


def in_file_name(text: str) -> str:
    """What of a name tells a file from others on every disk."""
    return re.sub(r"[^\w.]+", "-", in_plain_letters(text).lower()).strip("-.")


def _spelt(text: str) -> str:
    """``text`` with all that has strokes as it is, the rest in plain letters."""
    return _respelt(text, lambda letter: _glyph(letter) is not None)


def _respelt(text: str, stays: Callable[[str], bool]) -> str:
    spelt: list[str] = []
    for letter in unicodedata.normalize("NFC", text):
        apart = letter if stays(letter) else _plain_form(letter)
        # A whole number before a fraction would run into it: 3⅝ is not 35/8.
        gap = " " if "/" in apart and len(apart) > 1 and spelt and spelt[-1][-1:].isdigit() else ""
        spelt.append(gap + apart)
    return "".join(spelt)


def _plain_form(letter: str) -> str:
    """A letter in plain ones; itself where it has none, as Greek and Cyrillic have not."""
    if letter in _IN_PLAIN_LETTERS:
        return _IN_PLAIN_LETTERS[letter]
    apart = unicodedata.normalize("NFKD", letter).replace(_FRACTION_SLASH, "/")
    bare = "".join(part for part in apart if not unicodedata.combining(part))
    return bare if bare.isascii() else letter


def engraved_width(text: str, size: float) -> float:
    """mm, of plain text with capitals ``size`` mm high."""
    return _advance(text) * size / CAP_HEIGHT


def engraved_reach(text: str, size: float) -> float:
    """mm, how far plain text reaches from the middle of its capitals, up or down, whichever is farther."""
    return _reach(text) * size / CAP_HEIGHT


@lru_cache(maxsize=1024)  # a name is tried in many sizes
def _reach(text: str) -> float:
    middle = CAP_HEIGHT / 2
    return max([middle, *(float(np.abs(one.points[:, 1] - middle).max()) for one in _drawn(text) if len(one.points))])


@lru_cache(maxsize=1024)
def _advance(text: str) -> float:
    return fsum(glyph.advance for glyph in _drawn(text))


def engraved(text: str, at: tuple[float, float], *, size: float, angle: float = 0.0) -> tuple[Floats, tuple[int, ...]]:
    """Strokes of plain text with capitals ``size`` mm high, its middle at a place, at rad.

    Their points, (n, 2) mm, stroke after stroke, and how many each of them has.
    """
    scale = size / CAP_HEIGHT
    cos, sin = np.cos(angle), np.sin(angle)
    turn = scale * np.array([[cos, sin], [-sin, cos]])
    glyphs = _drawn(text)
    pens = list(accumulate((glyph.advance for glyph in glyphs), initial=-engraved_width(text, size) / scale / 2))
    points = np.concatenate([np.zeros((0, 2)), *(glyph.points for glyph in glyphs)])
    points[:, 0] += np.repeat(pens[:-1], [len(glyph.points) for glyph in glyphs])
    points[:, 1] -= CAP_HEIGHT / 2
    return points @ turn + at, tuple(count for glyph in glyphs for count in glyph.counts)


class _Glyph(NamedTuple):
    advance: float
    points: Floats  # (n, 2), y up from the baseline, stroke after stroke
    counts: tuple[int, ...]  # points of each stroke


def _drawn(text: str) -> list[_Glyph]:
    """The glyphs of text that `plain` gave."""
    return [glyph for letter in text if (glyph := _glyph(letter))]


@lru_cache(maxsize=4096)
def _glyph(letter: str) -> _Glyph | None:
    """The strokes of a letter, with its accents where it has any; None where some of it has none."""
    glyphs = _glyphs()
    apart = unicodedata.normalize("NFD", letter)
    base, accents = apart[0], apart[1:]
    if letter in glyphs and not unicodedata.combining(letter):
        return glyphs[letter]
    if not accents or unicodedata.combining(base):
        return None
    above = any(unicodedata.combining(accent) == _ABOVE for accent in accents)
    glyph = glyphs.get({"i": "ı", "і": "ı", "j": "ȷ"}.get(base, base) if above else base)
    for accent in accents:
        glyph = (
            _with_accent(glyph, glyphs[accent], unicodedata.combining(accent)) if accent in glyphs and glyph else None
        )
    return glyph


def _with_accent(glyph: _Glyph, accent: _Glyph, stands: int) -> _Glyph:
    """A glyph with one more accent over it, below it or at its shoulder."""
    (left, bottom), (right, top) = glyph.points.min(axis=0), glyph.points.max(axis=0)
    at = np.array([(left + right) / 2, top + _ACCENT_GAP])
    if stands == _HORN:
        at = np.array([right, top])
    elif stands != _ABOVE:
        gap = 0.0 if stands in _HUNG else _ACCENT_GAP
        at[1] = min(bottom, 0.0) - gap - accent.points[:, 1].max()
    return _Glyph(glyph.advance, np.concatenate([glyph.points, accent.points + at]), glyph.counts + accent.counts)


@cache
def _glyphs() -> dict[str, _Glyph]:
    table = json.loads(shared_file("fonts/strokes.json").read_text(encoding="utf-8"))
    return {
        letter: _Glyph(
            advance, np.array([place for run in runs for place in run], float).reshape(-1, 2), tuple(map(len, runs))
        )
        for letter, (advance, runs) in table.items()
    }

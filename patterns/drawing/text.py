"""How much room lettering takes: widths from the font's own advances, boxes round labels."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from math import fsum

import numpy as np

from patterns.drawing.marks import Anchor, Label
from patterns.geometry.arrays import Floats, unit
from patterns.units.lengths import kept_whole
from patterns.units.shared_data import shared_file

CAP_HEIGHT = 0.729  # em; DejaVu Sans, checked against the font by a test
ASCENT = 0.77  # em above the baseline; brackets and tall small letters; what stands taller is in tall.json
LONGEST_WORD = 20  # letters; a longer one is never whole where a line is shorter
BREAKS = re.compile(r"[^\S\N{NO-BREAK SPACE}]+")  # where a line of writing may end
LONGEST_NAME = 60  # letters and signs of a name: a pattern's heading, and a file's name, hold no more
DESCENT = 0.25  # em below the baseline; no glyph of the subset hangs lower than a cedilla

_LEFT_OF_ANCHOR: dict[Anchor, float] = {"start": 0.0, "middle": 0.5, "end": 1.0}


def text_width(text: str, size: float) -> float:
    """Length of ``text`` set with capitals ``size`` mm high, mm.

    Raises
    ------
    ValueError
        A character the lettering does not have: it would be lost on the page without a word.
    """
    return _advance(text) * size / CAP_HEIGHT


@lru_cache(maxsize=8192)
def _advance(text: str) -> float:
    widths = _widths()
    missing = sorted({letter for letter in text if letter not in widths})
    if missing:
        raise ValueError(f"the lettering has no {', '.join(map(repr, missing))} for {text!r}")
    return fsum(widths[letter] for letter in text)


def text_reach(text: str, size: float) -> tuple[float, float]:
    """How far ``text`` reaches above and below the middle of its capitals, mm."""
    em = size / CAP_HEIGHT
    return _ascent(text) * em - size / 2, DESCENT * em + size / 2


@lru_cache(maxsize=8192)
def _ascent(text: str) -> float:
    """em that the tallest letter stands above the baseline."""
    return ASCENT if text.isascii() else max([ASCENT, *(_tall().get(letter, ASCENT) for letter in text)])


def label_box(label: Label) -> Floats:
    """Corners of the box round a label, (4, 2) mm, counter-clockwise from the lower left of its text."""
    return _box_at_nought(label.text, label.size, label.angle, label.anchor) + label.at


def label_boxes(labels: Sequence[Label]) -> Floats:
    """Corners of the boxes round labels, (n, 4, 2) mm, each as `label_box` gives it."""
    if not labels:
        return np.empty((0, 4, 2))
    corners = [_box_at_nought(label.text, label.size, label.angle, label.anchor) for label in labels]
    places = np.array([label.at for label in labels])
    return np.asarray(np.concatenate(corners).reshape(-1, 4, 2) + places[:, None])


def grown(boxes: Floats, by: float) -> Floats:
    """(n, 4, 2) boxes as `label_box` gives them, wider by so many mm on every side."""
    ahead, up = unit(boxes[:, 1] - boxes[:, 0])[:, None], unit(boxes[:, 3] - boxes[:, 0])[:, None]
    sides = by * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    return np.asarray(boxes + sides[:, :1] * ahead + sides[:, 1:] * up)


@lru_cache(maxsize=8192)  # tiles ask again and again for the same words in other places
def _box_at_nought(text: str, size: float, angle: float, anchor: Anchor) -> Floats:
    width = text_width(text, size)
    above, below = text_reach(text, size)
    left = -width * _LEFT_OF_ANCHOR[anchor]
    corners = np.array([[left, -below], [left + width, -below], [left + width, above], [left, above]])
    cos, sin = np.cos(angle), np.sin(angle)
    turned: Floats = corners @ np.array([[cos, sin], [-sin, cos]])
    turned.flags.writeable = False
    return turned


def wrapped(text: str, *, size: float, width: float) -> list[str]:
    """``text`` broken between words into lines no longer than ``width`` mm, where its words allow.

    A word longer than any in the trade is a name without blanks: it is broken where the line ends.
    """
    lines: list[list[str]] = []
    advance = 0.0  # em, of the last line
    for word in _pieces(text, size=size, width=width):
        own, longer = _advance(word), advance + _advance(" ") + _advance(word)
        if lines and longer * size / CAP_HEIGHT <= width:
            lines[-1].append(word)
            advance = longer
        else:
            lines.append([word])
            advance = own
    return [" ".join(line) for line in lines]


def unbroken_words(text: str) -> list[str]:
    """The words of a text, a length such as 7' 9 1/2" being one."""
    words = (word.replace("\N{NO-BREAK SPACE}", " ").strip() for word in BREAKS.split(kept_whole(text)))
    return [word for word in words if word]


def _pieces(text: str, *, size: float, width: float) -> Iterator[str]:
    """The words of a text, very long ones in pieces no longer than a line."""
    for rest in unbroken_words(text):
        while len(rest) > LONGEST_WORD and text_width(rest, size) > width:
            count = next(
                count for count in range(len(rest) - 1, 0, -1) if count == 1 or text_width(rest[:count], size) <= width
            )
            yield rest[:count]
            rest = rest[count:]
        yield rest


def cut_short(text: str, *, size: float, width: float, tail: str = "") -> str:
    """``text`` and then ``tail`` no wider than ``width`` mm: letters dropped from the end of a long text for dots."""
    kept, dots = text, ""
    while kept and text_width(f"{kept}{dots}{tail}", size) > width:
        kept, dots = kept[:-1], "..."
    return f"{kept}{dots}{tail}"


def without_strangers(text: str, stand_in: str = "□") -> str:
    """``text`` with a box for each character the lettering does not have: for names a builder typed."""
    known = _widths()
    if known.keys() >= set(text):
        return text
    return "".join(letter if letter in known else stand_in for letter in text)


def capitals(text: str) -> str:
    """``text`` in capitals, but for letters such as ΐ whose capital is not among the lettering."""
    return "".join(_capital(letter) for letter in text)


def _capital(letter: str) -> str:
    capital = unicodedata.normalize("NFC", letter.upper())
    return letter if unlettered(capital) else capital


def unlettered(text: str) -> str:
    """The characters of ``text`` the lettering does not have, each once; those that do not show are among them."""
    return "".join(dict.fromkeys(letter for letter in text if letter not in _widths()))


@cache
def _tall() -> dict[str, float]:
    """How far letters stand above the baseline that stand taller than others, em."""
    table: dict[str, str] = json.loads(shared_file("fonts/tall.json").read_text(encoding="utf-8"))
    return {letter: float(ascent) for ascent, letters in table.items() for letter in letters}


@cache
def _widths() -> dict[str, float]:
    """Advance of each character, em."""
    table: dict[str, float] = json.loads(shared_file("fonts/widths.json").read_text(encoding="utf-8"))
    return table

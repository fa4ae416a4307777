"""Words and drawings made to fit a given width."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum
from typing import assert_never

import numpy as np

from patterns.drawing.marks import Cross, Ink, Label, Shading, Stroke
from patterns.drawing.text import text_width, without_strangers, wrapped
from patterns.geometry.arrays import Floats


def broken(text: str, size: float, width: float) -> list[str]:
    """Lines no longer than ``width`` mm; a word too long for a line, such as a file's name, is broken in itself."""
    plain = without_strangers(text)
    if text_width(plain, size) <= width:
        return [plain]
    return [piece for line in wrapped(plain, size=size, width=width) for piece in _pieces(line, size, width)]


def _pieces(line: str, size: float, width: float) -> list[str]:
    pieces = []
    while text_width(line, size) > width and len(line) > 1:
        fits = max(1, next(n for n in range(len(line) - 1, 0, -1) if n == 1 or text_width(line[:n], size) <= width))
        pieces.append(line[:fits])
        line = line[fits:]
    return [*pieces, line]


def shared_widths(natural: Sequence[float], room: float, *, least: Sequence[float]) -> list[float]:
    """Widths of columns: their own where there is room, else the widest give way alike.

    ``least`` are the widths of their longest words: a word is broken only where there is no room for it at all.
    """
    if fsum(natural) <= room:
        return list(natural)
    short = room - fsum(least)
    if any(least) and short >= 0.0:
        spare = [width - word for width, word in zip(natural, least, strict=True)]
        more = shared_widths(spare, short, least=[0.0] * len(spare))
        return [word + extra for word, extra in zip(least, more, strict=True)]
    narrow: list[float] = []
    rest = sorted(natural)
    while rest and rest[0] <= (room - fsum(narrow)) / len(rest):
        narrow.append(rest.pop(0))
    most = (room - fsum(narrow)) / max(len(rest), 1)
    return [min(width, most) for width in natural]


def scaled(mark: Ink, scale: float) -> Ink:
    """A mark drawn larger or smaller about nought."""
    match mark:
        case Stroke():
            dashes = tuple(scale * dash for dash in mark.dashes)
            return Stroke(mark.points * scale, mark.layer, mark.closed, mark.run * scale, dashes)
        case Cross():
            return Cross((mark.at[0] * scale, mark.at[1] * scale), mark.arm * scale, mark.layer)
        case Label():
            return mark.carried(lambda place: (place[0] * scale, place[1] * scale), scale=scale)
        case Shading():
            (x, y), width, height = mark.at, mark.width * scale, mark.height * scale
            return Shading(mark.greys, (x * scale, y * scale), width, height, mark.layer)
        case _:
            assert_never(mark)


def rule(start: tuple[float, float], end: tuple[float, float]) -> Floats:
    """(2, 2) mm, a straight line."""
    return np.array([start, end])


def box(left: float, bottom: float, side: float) -> Floats:
    """(4, 2) mm, a square."""
    right, top = left + side, bottom + side
    return np.array([[left, bottom], [right, bottom], [right, top], [left, top]])

"""How finished, sawn and stock lengths are written: the same figure wherever one stands."""

from __future__ import annotations

import numpy as np

from patterns.plates.words.bench_words import no_less
from patterns.shop.fit.bent_edges import EdgeLength
from patterns.shop.stock.lengths import Lengths
from patterns.units.lengths import shown_step, write_length

EXPLAINED = (
    "Finished: from end to end of both faces, laid flat. Sawn: with both ends left long, until you cut them to their "
    "angles. Stock: the least straight-grained board that the sawn piece lies on."
)
NAMES = ("finished", "sawn", "stock")
BY_TWIST = 0.5  # mm; less is within the width of a pencil line


def finished_words(lengths: Lengths, show: str) -> str:
    return write_length(lengths.finished, show)


def along_a_board(mm: float, show: str) -> str:
    """A length of stock, rounded up: nobody measures tenths of a millimetre along a board."""
    return f"{np.ceil(mm - 1e-6):.0f} mm" if show == "mm" else no_less(mm, show)


def place_on_a_board(mm: float, show: str) -> str:
    """How far from an end or an edge of a board, to the nearest step; in whole millimetres."""
    return f"{mm:.0f} mm" if show == "mm" else write_length(mm, show)


def sawn_words(lengths: Lengths, show: str) -> str:
    """Rounded up; nothing where no end is left long."""
    return "" if lengths.sawn is None else along_a_board(lengths.sawn, show)


def stock_words(lengths: Lengths, show: str) -> str:
    """Rounded up: a board must be no less; nothing where no board is worked out."""
    return "" if lengths.stock is None else along_a_board(lengths.stock, show)


def length_cells(lengths: Lengths, show: str) -> tuple[str, str, str]:
    """A row's cells under the heads ``NAMES``."""
    return finished_words(lengths, show), sawn_words(lengths, show), stock_words(lengths, show)


def wide_words(finished: float, stock: float | None, show: str) -> str:
    """How wide the board must be where one is worked out, rounded up; else how wide the finished piece is."""
    return write_length(finished, show) if stock is None else no_less(stock, show)


def lengths_words(lengths: Lengths, show: str) -> str:
    """``finished length 13' 0 7/16", sawn 13' 6 3/8", stock 13' 6 3/8"``; as many as the part has."""
    told = zip(("finished length", *NAMES[1:]), length_cells(lengths, show), strict=True)
    return ", ".join(f"{name} {figure}" for name, figure in told if figure)


def edge_words(edge: EdgeLength, show: str) -> tuple[str, str]:
    """An edge's length in the boat and why it is not the drawn one; nothing where both are alike as lengths read."""
    in_boat = write_length(edge.in_boat, show)
    near = abs(edge.in_boat - edge.drawn) < shown_step(show) / 2
    if near or in_boat == write_length(edge.drawn, show):
        return "", ""
    side = "outside" if edge.in_boat > edge.drawn else "inside"
    why = f"bent {abs(np.degrees(edge.turn)):.1f}°, face {write_length(edge.off_middle, show)} {side} the middle"
    twist = edge.in_boat - edge.drawn - edge.by_bending
    return in_boat, f"{why}, and twist" if abs(twist) >= BY_TWIST else why


def sentence(words: str) -> str:
    return words[:1].upper() + words[1:]

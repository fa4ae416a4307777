"""The boards of a bottom laid athwart, as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

import numpy as np

from patterns.parts.panels.boards import BottomBoard
from patterns.units.lengths import write_length

BOTTOM_BOARDS = "tables/bottom-boards.csv"


def boards_csv(boards: Sequence[BottomBoard], show: str) -> str:
    """A row for each board, from the after end forward: where it lies, how long it is and how its ends are bevelled."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(("about", "Boards of the bottom, from the after end forward, measured along the center line."))
    out.writerow(("about", "Long: the longest line along it, on either face; leave some more and trim it in place."))
    out.writerow(("about", "Bevels: degrees off square, standing +; the chine's, midway across the board."))
    out.writerow(())
    out.writerow(("board", "from", "to", "wide", "long", "port_bevel", "starboard_bevel", "long_mm"))
    for one in boards:
        lengths = (write_length(mm, show) for mm in (one.aft, one.fore, one.width, one.length))
        angles = (f"{np.degrees(angle):.1f}" for angle in (one.port, one.starboard))
        out.writerow((one.number, *lengths, *angles, f"{one.length:.3f}"))
    return text.getvalue()

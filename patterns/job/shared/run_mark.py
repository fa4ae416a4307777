"""The run mark: a few characters on every page, file and table of a run, so that pages of two runs are not mixed."""

from __future__ import annotations

from hashlib import sha256

from patterns import __version__
from patterns.job.wishes.wishes import Wishes
from patterns.reading.boat.boat_toml import BoatFile
from patterns.tiling.paper.correction import Correction
from patterns.tiling.paper.paper import PaperSetup

LETTERS = "CDFHJKMNPRTWXY347"
"""No vowels, which would make words; nothing a hurried eye confuses: 0 O Q, 1 I L, 2 Z, 5 S, 6 9 G, 8 B, U V."""
LENGTH = 5  # characters: one pair of runs in 1.4 million has the same mark


def run_mark(read: BoatFile, wishes: Wishes, paper: PaperSetup, correction: Correction | None) -> str:
    """Five characters that follow from what was read and from every wish that moves ink on the patterns.

    Wishes that only choose what is printed, such as ``only``, leave the mark as it is: a page printed again alone
    belongs to its old neighbours.
    """
    moves_ink = (
        *(__version__, read.digest, paper, correction),
        *(wishes.saw_allowance, wishes.notes, wishes.pricks, wishes.half),
    )
    number = int.from_bytes(sha256(repr(moves_ink).encode()).digest())
    return "".join(LETTERS[number // len(LETTERS) ** place % len(LETTERS)] for place in range(LENGTH))

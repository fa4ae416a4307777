"""Which tilts a builder tests his saw at before he rips the long pieces of a boat."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

import numpy as np

from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.saw_rules import SawRules

STEP = 5.0  # degrees from one test cut to the next: between two of them the distance is as good as straight
TILTS_TO = 45.0  # degrees, of a hand saw that nothing is said of


def tilts_to_test(pieces: Sequence[LongPiece], saw: SawRules | None) -> tuple[float, ...]:
    """rad: square, and every 5 degrees past the steepest bevel of any piece, as far as the saw tilts."""
    bevels = chain.from_iterable((abs(place.lower), abs(place.upper)) for piece in pieces for place in piece.places)
    steepest = float(np.degrees(max(bevels, default=0.0)))
    reach = float(np.degrees(saw.tilts_to)) if saw else TILTS_TO
    most = min(float(np.ceil(steepest / STEP - 1e-6)) * STEP, np.floor(reach / STEP + 1e-6) * STEP)
    asked = np.arange(0.0, most + STEP / 2, STEP)
    return tuple(np.radians(asked).tolist())

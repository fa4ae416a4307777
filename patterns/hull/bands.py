"""How far a faired line may be out, bay by bay."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.fairing import FairedView

LOOKED_AT = np.array([0.01, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 0.99])
"""Shares of a bay where the band is measured: it is widest well within, or at the very end of the line."""


@dataclass(frozen=True, slots=True)
class BayBand:
    """The band between two neighbouring offsets of a line in one view: it runs within it 19 times of 20."""

    columns: tuple[str, str]  # of the offsets either side
    from_fp: tuple[float, float]  # mm, of these
    at: float  # mm from FP, where the band is widest
    half_width: float  # mm, how far the line may be out there; NaN where its offsets are too few to say


def bay_bands(view: FairedView) -> tuple[BayBand, ...]:
    """The band of each bay, between offsets that are not left out, from fore to aft."""
    heeded = [i for i, column in enumerate(view.columns) if column not in view.left_out]
    sites = view.from_fp[heeded]
    x = sites[:-1, None] + np.diff(sites)[:, None] * LOOKED_AT  # (bays, places)
    half = view.band_at(x.ravel()).reshape(x.shape)
    return tuple(_bay(view, heeded, bay, x[bay], half[bay]) for bay in range(len(x)))


def _bay(view: FairedView, heeded: list[int], bay: int, x: Floats, half: Floats) -> BayBand:
    widest = int(half.argmax())
    fore, aft = list(pairwise(heeded))[bay]
    ends = float(view.from_fp[fore]), float(view.from_fp[aft])
    return BayBand((view.columns[fore], view.columns[aft]), ends, float(x[widest]), float(half[widest]))

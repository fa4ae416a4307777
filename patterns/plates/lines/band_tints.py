"""How far a faired line may be out, as a tint along it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Stroke
from patterns.hull.fairing import FairedView
from patterns.plates.view_field import Field

TINT = "Gray along a line shows how far the line may be out, where there is enough of it to see."
SEEN = 0.35  # mm on paper either side of a line, half of it under the line's own ink; less is not seen
SAMPLES = 241


def band_tints(view: FairedView, where: Field, *, sign: float, clear: float) -> Iterator[Stroke]:
    """A closed stroke along each stretch of a line where its band shows.

    Parameters
    ----------
    sign : float
        -1 for a line drawn below the centre line, turned over.
    clear : float
        mm on paper above and below the view, beyond which nothing is tinted.
    """
    x = np.linspace(float(view.from_fp[0]), float(view.from_fp[-1]), SAMPLES)
    half = view.band_at(x)
    seen = half >= SEEN * where.up  # nowhere, where nobody can say
    line = sign * view.batten.value(x)
    low, high = where.at[1] - clear, where.at[1] + where.height + clear
    for stretch in stretches(seen):
        edges = [np.column_stack([x[stretch], line[stretch] + side * half[stretch]]) for side in (1.0, -1.0)]
        ring = where.on_paper(np.concatenate([edges[0], edges[1][::-1]]))
        yield Stroke(np.column_stack([ring[:, 0], np.clip(ring[:, 1], low, high)]), "band", closed=True)


def stretches(there: NDArray[np.bool_]) -> Iterator[slice]:
    """Runs of neighbouring places, two or more."""
    changes = np.flatnonzero(np.diff(np.concatenate([[0], there.astype(int), [0]])))
    for first, end in zip(changes[::2].tolist(), changes[1::2].tolist(), strict=True):
        if end - first > 1:
            yield slice(first, end)

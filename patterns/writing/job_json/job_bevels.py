"""A bevel in job.json: degrees off square and which way, never a bare sign."""

from __future__ import annotations

from typing import Any

import numpy as np

from patterns.parts.part import SQUARE_WITHIN


def bevel_figures(angle: float) -> dict[str, Any]:
    """A bevel of so many radians, standing (+) or under (-)."""
    kind = "square" if abs(angle) < SQUARE_WITHIN else "standing" if angle > 0 else "under"
    return {"degrees": abs(float(np.degrees(angle))), "kind": kind}

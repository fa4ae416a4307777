"""Curves in space that rulings can be laid between."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.battens import Batten


class SpaceCurve(Protocol):
    """A smooth curve, defined also a little past its ends."""

    @property
    def first(self) -> float:
        """Parameter at the fore end."""
        ...

    @property
    def last(self) -> float:
        """Parameter at the after end."""
        ...

    def point(self, at: Floats) -> Floats:
        """(..., 3) mm."""
        ...

    def tangent(self, at: Floats) -> Floats:
        """(..., 3), derivative of the point by the parameter; any length but zero."""
        ...


@dataclass(frozen=True)
class BattenCurve:
    """A long line sprung in two views: breadth and height over x."""

    breadth: Batten  # y over x, mm
    height: Batten  # z over x, mm

    @property
    def first(self) -> float:
        return float(self.height.sites[0])

    @property
    def last(self) -> float:
        return float(self.height.sites[-1])

    def point(self, at: Floats) -> Floats:
        return np.stack([at, self.breadth.value(at), self.height.value(at)], axis=-1)

    def tangent(self, at: Floats) -> Floats:
        return np.stack([np.ones_like(at), self.breadth.slope(at), self.height.slope(at)], axis=-1)

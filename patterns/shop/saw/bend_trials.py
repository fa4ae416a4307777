"""What is made before a piece is bent: a sample strip to try, a form for layers, and how long to steam."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.units.lengths import INCH

SPAN = 24.0  # thicknesses between the blocks of a sample: so long that shear bends it by little
STEAM = 60.0 / INCH  # minutes for each mm of thickness: an hour an inch, common practice, no single source
SOAK = 24.0 / (INCH / 4)  # hours for each mm: a day for a quarter inch, common practice, no single source
SOAKED = INCH * 0.8  # mm; thicker wood is steamed
CLAMPED = 6 * INCH  # mm from clamp to clamp along glued layers, common practice, no single source
POINTS = 2001  # along a curve that is worked out from its bends


def sample_deflection(span: float, radius: float) -> float:
    """mm that a strip on two blocks is pulled down midway, to bend there to a radius.

    A beam loaded midway bends most under the load: 12 d / span^2 (geometry and elastic theory of slender beams). It
    holds for deflections that are small beside the span.

    >>> round(sample_deflection(900.0, 3000.0), 2)  # 900^2 / (12 x 3000)
    22.5
    """
    return span**2 / (12 * radius)


def overbend(layers: int) -> float:
    """How many times harder the form bends than the piece: what springs back is 1/n^2 of the curve on the form.

    n equal layers that slide are n^2 times less stiff than the same wood glued (elastic theory).

    >>> overbend(2), overbend(10)
    (1.3333333333333333, 1.0101010101010102)
    """
    return 1 / (1 - 1 / layers**2)


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """The curve to build a form to, laid out from a straight line between its ends; deeper than the piece."""

    along: Floats  # (k,) mm along that line from the fore end, at the piece's marks
    deep: Floats  # (k,) mm from that line to the form
    chord: float  # mm, length of that line
    depth: float  # mm, the most anywhere

    __repr__ = brief


def form(bends_at: Floats, flatwise: Floats, marks: Floats, layers: int) -> Form:
    """A form for layers that spring back.

    Parameters
    ----------
    bends_at : (n,) mm
        Running lengths at which the piece's bend is known.
    flatwise : (n,) 1/mm
        Its bend there.
    marks : (k,) mm
        Running lengths of its marks.
    layers : int
        Equal layers, two or more.
    """
    s = np.linspace(bends_at[0], bends_at[-1], POINTS)
    bend = np.interp(s, bends_at, flatwise) * overbend(layers)
    turn = _added_up(bend, s)
    x, y = _added_up(np.cos(turn), s), _added_up(np.sin(turn), s)
    chord = float(np.hypot(x[-1], y[-1]))
    along = (x * x[-1] + y * y[-1]) / chord
    deep = (y * x[-1] - x * y[-1]) / chord
    if deep[np.abs(deep).argmax()] < 0:
        deep = -deep
    most = float(np.abs(deep).max())
    return Form(np.interp(marks, s, along), np.interp(marks, s, deep), chord, most)


def _added_up(values: Floats, s: Floats) -> Floats:
    """(n,) the integral from the first point on."""
    return np.concatenate([[0.0], np.cumsum((values[1:] + values[:-1]) / 2 * np.diff(s))])

"""How far a round hull's skin may be out, 19 times of 20."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.one_thread import one_thread
from patterns.geometry.tensor_fields import Solution
from patterns.hull.round.fit_skin import BODY, FINE, SkinFit
from patterns.hull.round.round_hull import Band

NINETEEN_OF_20 = 1.96  # standard deviations
LOOSE = 0.6  # of the depth, how freely feet slide
"""What keeps feet from sliding along their sections serves the search alone. It is no knowledge of where on the girth a
figure lies; held for such it made the band half too narrow where sections have few figures."""
BENDS_ACROSS, BENDS_ALONG = 2.0, 9.0
"""Logarithms of size, beside that of the hull, over stiffness, across and along the boat. Figures that are rounded or
few fit a hull that hardly bends between them as well as any. So the band takes every hull to bend at least as much as
hulls commonly do: about the mean of eight families of hulls whose full tables in 0.01 mm tell it (2.2 and 9.0)."""
INNER, END = 1.2, 1.6
INNER_FINE, END_FINE = 1.9, 2.3
"""Times the spread that is left then: no hull bends alike everywhere, and most turn harder near their ends, which tells
most where little rounding is left. Set on full tables of eight families of random hulls, each judged by what the other
seven ask for; `tests/bench/bench_round.py` counts."""


def skin_band(fit: SkinFit) -> Band:
    """The band of a fitted skin: how far it may be out (n,) mm, at u and v (n,), in directions (n, 2) of y and z."""
    fine = fit.asked.offsets.rounding < FINE
    inner, end = (INNER_FINE, END_FINE) if fine else (INNER, END)
    first, last = _end_bays(fit)
    known = _as_known(fit)

    def band(u: Floats, v: Floats, ways: Floats) -> Floats:
        u, v = np.clip(u, 0.0, 1.0), np.clip(v, 0.0, 1.0)
        with one_thread():
            spread = known().spread(u, v, ways)
        x = _at(fit, u, v)
        return NINETEEN_OF_20 * spread * np.where((x < first) | (x > last), end, inner)

    return band


def skin_covariance(fit: SkinFit) -> Band:
    """(n, n) mm^2, how the places of a skin may be out together, at u and v (n,), in directions (n, 2)."""
    known = _as_known(fit)

    def covariance(u: Floats, v: Floats, ways: Floats) -> Floats:
        with one_thread():
            return known().joint(np.clip(u, 0.0, 1.0), np.clip(v, 0.0, 1.0), ways)

    return covariance


def _as_known(fit: SkinFit) -> Callable[[], Solution]:
    """The equations of a fit as far as they are knowledge, for a hull that bends as hulls commonly do; solved once,
    when first asked for."""

    @cache
    def known() -> Solution:
        field, how = fit.known.without(fit.aside), fit.solution.how
        noise = np.where(fit.known.telling, field.equations.noise, (LOOSE * fit.frame.depth) ** 2)
        size = how.size - 2 * float(np.log(fit.frame.depth * BODY))  # beside that of the whole hull
        along, across = min(how.along, size - BENDS_ALONG), min(how.across, size - BENDS_ACROSS)
        return field.heeding(noise).solved(replace(how, along=along, across=across))

    return known


def _at(fit: SkinFit, u: Floats, v: Floats) -> Floats:
    fore, aft = fit.skin.x_ends(v)
    return np.asarray((1 - u) * fore + u * aft)


def _end_bays(fit: SkinFit) -> tuple[float, float]:
    """mm from FP: up to where, and from where, the skin lies nearer to an end than to two stations on either side."""
    x = [x for _, x in fit.asked.offsets.stations]
    return (x[0] + 2 * x[1]) / 3, (x[-1] + 2 * x[-2]) / 3

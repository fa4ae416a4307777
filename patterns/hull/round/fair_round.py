"""From the table of a round hull to its faired surface: every movement is kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from patterns.geometry.one_thread import one_thread
from patterns.hull.build import TransomFace
from patterns.hull.round.contradictions import contradictions
from patterns.hull.round.feet import Placed, cuts
from patterns.hull.round.figures import Figure, RoundLines, figures, keel_half
from patterns.hull.round.fit_skin import SkinFit, fit_skin
from patterns.hull.round.round_hull import FairedFigure, RoundHull
from patterns.hull.round.skin_bands import skin_band, skin_covariance

FEWEST_ON_TRANSOM = 3  # cuts with a figure on a transom; with fewer its section is guessed from the stations before it


def fair_round(asked: RoundLines) -> RoundHull:
    """The round hull that every line of the table agrees on, each figure moved no further than its limit.

    The same table gives the same hull, to the last byte.
    """
    with one_thread():
        fit = fit_skin(asked)
        return replace(hull_of(fit), suspects=contradictions(asked, fit))


def hull_of(fit: SkinFit) -> RoundHull:
    """The hull of a fitted skin."""
    asked = fit.asked
    halves = [(end.halves[0], end.halves[1]) for end in (fit.frame.fore, fit.frame.aft)]
    return RoundHull(
        skin=fit.skin,
        offsets=asked.offsets,
        fore=asked.fore,
        aft=asked.aft,
        keel_half=keel_half(asked.offsets),
        fore_halves=halves[0],
        aft_halves=halves[1],
        diagonals=asked.diagonals,
        figures=tuple(_faired(fit)),
        guessed=tuple(_guessed(asked)),
        band=skin_band(fit),
        joint=skin_covariance(fit),
        within_limits=fit.met,
    )


def _faired(fit: SkinFit) -> Iterator[FairedFigure]:
    every = figures(fit.asked)
    placed = Placed.of(every, fit.asked.offsets.from_fp, fit.frame.v_of)
    numbers = {one.where: number for number, one in enumerate(fit.placed.figures)}
    free = cuts(fit.free, placed) if fit.held else np.full(len(every), np.nan)
    for one, reads, loose in zip(every, cuts(fit.skin, placed).tolist(), free.tolist(), strict=True):
        number = numbers.get(one.where)
        aside = number is None or number in fit.aside
        faired = _at_limit(one, reads, held=number in fit.held) if not aside else reads
        held = number in fit.held
        further = max(abs(loose - one.given) - one.limit, 0.0) if held and np.isfinite(loose) else 0.0
        yield FairedFigure(one.line, one.view, one.column, one.given, faired, one.limit, held, aside, further)


def _at_limit(one: Figure, reads: float, *, held: bool) -> float:
    """What the skin reads; of a figure held at its limit that limit, to the last digit."""
    off = reads - one.given
    if held and np.isfinite(one.limit) and abs(abs(off) - one.limit) < HAIR:
        return one.given + float(np.sign(off)) * one.limit
    return reads


HAIR = 0.02  # mm; what a straight limit along a curved section is off by


def _guessed(asked: RoundLines) -> Iterator[str]:
    """Columns of transoms that too few cuts have a figure on."""
    offsets = asked.offsets
    rows = [row for row in (*offsets.heights, *offsets.half_breadths) if row.name not in offsets.lines]
    for end, place in ((asked.fore, 0), (asked.aft, -1)):
        if (
            isinstance(end, TransomFace)
            and sum(map(bool, (np.isfinite(row.values[place]) for row in rows))) < FEWEST_ON_TRANSOM
        ):
            yield offsets.columns[place]

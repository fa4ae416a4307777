"""From the raw table to faired lines: every movement is kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, read_only
from patterns.geometry.battens import Batten, BattenFit, batten_through, fit_batten
from patterns.geometry.curves import BattenCurve
from patterns.geometry.cuts import Profile
from patterns.geometry.short_repr import brief
from patterns.hull.build import EndFace, StemFace, end_cut
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT, FairingRule, Knuckle, breaks_at, limits_of
from patterns.hull.offsets import Offsets

LEAST_LIMIT = 0.1  # mm; under this the builder has locked the offset and wants no word of it
LIMIT_REACHED = 0.999  # share of its limit at which a move is told as held back by it
END_ROUNDS = 40
END_SETTLED = 1e-7  # mm
STEEPEST, FLATTEST = -3.0, -0.2
"""What is believed of how an end's height, less where the batten then has it, goes with that height: between these."""


@dataclass(frozen=True, eq=False)
class FairedView:
    """One line in one view, at the stations where the table gives it."""

    columns: tuple[str, ...]
    from_fp: Floats  # (n,) mm
    given: Floats  # (n,) mm
    faired: Floats  # (n,) mm
    held: tuple[str, ...] = ()  # columns where a batten would move the offset further than it may
    left_out: tuple[str, ...] = ()  # columns whose offset the batten heeds not; faired is what it has there
    fit: BattenFit | None = None  # of the offsets not left out; None where they are nothing but where the line runs
    sprung: Batten | None = None  # where the line is not as it was faired: the boat stands otherwise already

    __repr__ = brief

    def __post_init__(self) -> None:
        for name in ("from_fp", "given", "faired"):
            object.__setattr__(self, name, read_only(getattr(self, name)))

    @property
    def moved(self) -> Floats:
        """(n,) mm, positive up or out."""
        return self.faired - self.given

    @cached_property
    def batten(self) -> Batten:
        if self.sprung is not None:
            return self.sprung
        if self.fit is None:
            return batten_through(self.from_fp, self.faired)
        heeded = self.faired[[column not in self.left_out for column in self.columns]]
        own = np.array_equal(heeded, self.fit.faired)
        return replace(self.fit.batten if own else self.fit.through(heeded), sites=self.from_fp)

    def band_at(self, x: Floats) -> Floats:
        """(m,) mm, how far the line may be out at distances from FP (m,), 19 times of 20; NaN where nobody can say."""
        return np.full(len(x), np.nan) if self.fit is None else self.fit.band_at(x)

    def helps(self, at: Floats, goal: Floats) -> Floats:
        """(m, k) mm, the band at goals (m,) once one more offset is measured, at one of distances from FP (k,)."""
        return np.full((len(goal), len(at)), np.nan) if self.fit is None else self.fit.helps(at, goal)


@dataclass(frozen=True, eq=False)
class FairedLine:
    """One long line of the hull, starboard side."""

    name: str
    height: FairedView
    half_breadth: FairedView

    __repr__ = brief

    @cached_property
    def curve(self) -> BattenCurve:
        return BattenCurve(breadth=self.half_breadth.batten, height=self.height.batten)


@dataclass(frozen=True, slots=True, eq=False)
class FairedCut:
    """A waterline, diagonal or buttock of the table: one view of a level, sloping or upright cut."""

    name: str
    view: FairedView

    __repr__ = brief


def fair_cuts(
    offsets: Offsets, *, within: float, rules: tuple[FairingRule, ...] = (), knuckles: tuple[Knuckle, ...] = ()
) -> tuple[FairedCut, ...]:
    """The table's waterlines, diagonals and buttocks, faired between the stations where they are given."""
    rows = [
        (row, limits_of(rules, within, row.name, view, offsets.columns))
        for view, block in ((HEIGHT, offsets.heights), (HALF_BREADTH, offsets.half_breadths))
        for row in block
        if row.name not in offsets.lines
    ]
    # An end column says where a hull line meets a profile; a cut has no place there unless the table gives one.
    inner = np.where(np.isnan(offsets.from_fp), np.nan, 0.0)
    return tuple(
        FairedCut(
            row.name,
            _fair_view(_asked(row.name, offsets, limits, knuckles), offsets.from_fp, row.values + inner),
        )
        for row, limits in rows
        if np.isfinite(row.values + inner + limits).sum() > 1
    )


def fair(
    offsets: Offsets,
    *,
    fore: EndFace,
    aft: EndFace,
    within: float,
    rules: tuple[FairingRule, ...] = (),
    knuckles: tuple[Knuckle, ...] = (),
) -> tuple[FairedLine, ...]:
    """The lines of the hull from the sheer down, faired in both views.

    Parameters
    ----------
    within : float
        mm, how far a batten may leave a given offset.
    rules
        Offsets, lines or views with another limit, locked or left out.
    knuckles
        Places where lines are meant not to run fair.

    Raises
    ------
    ShapeError
        A line that never meets the profile of an end.
    """
    ends = end_cut(fore, aft=False), end_cut(aft, aft=True)
    rules = (*rules, *ends_on_keel(offsets, fore=fore, aft=aft))
    return tuple(_fair_line(name, offsets, ends, rules, within, knuckles) for name in offsets.lines)


def ends_on_keel(offsets: Offsets, *, fore: EndFace, aft: EndFace) -> Iterator[FairingRule]:
    """What locks a line's end on a stem where the table has it on the centre plane, or on the side of the keel.

    There planks of both hands end on each other or on the keel: such a figure is exact, whatever is fair.
    """
    keel = offsets.half_breadth("keel")
    for number, end in ((0, fore), (-1, aft)):
        half = 0.0 if keel is None else float(keel.values[number])
        for row in offsets.half_breadths if isinstance(end, StemFace) else ():
            if row.name in offsets.lines and float(row.values[number]) == half:
                yield FairingRule(row.name, HALF_BREADTH, offsets.columns[number], 0.0)


def _fair_line(
    name: str,
    offsets: Offsets,
    ends: tuple[Profile, Profile],
    rules: tuple[FairingRule, ...],
    within: float,
    knuckles: tuple[Knuckle, ...],
) -> FairedLine:
    row = offsets.half_breadth(name)
    from_fp = offsets.from_fp.copy()
    heights = _asked(name, offsets, limits_of(rules, within, name, HEIGHT, offsets.columns), knuckles)
    if row is None:
        alone = _fair_heights(heights, offsets, ends, np.zeros(2))
        nothing = np.zeros(len(alone.from_fp))
        return FairedLine(name, alone, FairedView(alone.columns, alone.from_fp, nothing, nothing))
    breadths = _asked(name, offsets, limits_of(rules, within, name, HALF_BREADTH, offsets.columns), knuckles)
    height: FairedView | None = None
    breadth: FairedView | None = None
    # On an end bowed athwart, where the line ends hangs on its half-breadth there too.
    halves = np.nan_to_num(row.values[[0, -1]])
    for _ in range(END_ROUNDS):
        height = _fair_heights(heights, offsets, ends, halves, like=height)
        from_fp[[0, -1]] = height.from_fp[[0, -1]]
        breadth = _fair_view(breadths, from_fp, row.values, like=breadth)
        before, halves = halves, breadth.batten.value(from_fp[[0, -1]])
        moved = [end.set_back(halves[[i]]) - end.set_back(before[[i]]) for i, end in enumerate(ends)]
        if np.abs(moved).max() < END_SETTLED:
            return FairedLine(name, height, breadth)
    raise ShapeError(_RUNS_ALONG.format(name))


_RUNS_ALONG = "the {} runs along the profile of an end and does not meet it in one place"


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """How one row of the table is to be faired."""

    line: str
    columns: tuple[str, ...]
    limits: Floats  # (columns,) mm, NaN where the offset is left out
    noise: float  # mm, standard deviation of the rounding
    knuckles: tuple[Knuckle, ...]


def _asked(line: str, offsets: Offsets, limits: Floats, knuckles: tuple[Knuckle, ...]) -> _Asked:
    return _Asked(line, offsets.columns, limits, offsets.rounding / np.sqrt(12.0), knuckles)


def _fair_heights(
    asked: _Asked,
    offsets: Offsets,
    ends: tuple[Profile, Profile],
    halves: Floats,
    like: FairedView | None = None,
) -> FairedView:
    """A line's heights, from where it meets the fore end to where it meets the after one at half breadths (2,)."""
    fore, aft = ends
    name = asked.line
    heights, row = offsets.height(name).values, offsets.half_breadth(name)
    there = ~np.isnan(heights) if row is None else ~(np.isnan(heights) & np.isnan(row.values))
    there[[0, -1]] = True
    from_fp = offsets.from_fp.copy()
    # Where the line ends fore and aft hangs on its height there, and that on the batten through all the heights.
    settling = _Settling(heights[[0, -1]] if like is None else like.faired[[0, -1]])
    for _ in range(END_ROUNDS):
        from_fp[0] = (fore.at_height(settling.tried[:1]) - fore.set_back(halves[:1]))[0]
        from_fp[-1] = (aft.at_height(settling.tried[1:]) - aft.set_back(halves[1:]))[0]
        # Stations that the line does not reach, and has no figures at, may lie beyond its ends.
        if not (np.diff(from_fp[there]) > 0).all():
            raise ShapeError(_ends_cross(name, tuple(np.array(offsets.columns)[there].tolist()), from_fp[there]))
        # The first round's weights are kept: chosen anew each round, they could hunt between two for ever.
        height = like = _fair_view(asked, from_fp, heights, like)
        settling = settling.next(height.faired[[0, -1]])
        if settling.settled:
            return height
    raise ShapeError(_RUNS_ALONG.format(name))


@dataclass(frozen=True, slots=True, eq=False)
class _Settling:
    """Heights of a line's ends that are sought so that the batten has them where they were put: by secants."""

    tried: Floats  # (2,) mm
    before: Floats | None = None  # (2,) mm, tried before
    out: Floats | None = None  # (2,) mm, how far from these the batten then went

    @property
    def settled(self) -> bool:
        return self.out is not None and bool(np.abs(self.out).max() < END_SETTLED)

    def next(self, found: Floats) -> _Settling:
        """What to try after the batten's heights are found for those tried."""
        out = found - self.tried
        if self.before is None or self.out is None:
            return _Settling(found, self.tried, out)
        step = self.tried - self.before
        still = np.abs(step) < END_SETTLED
        slopes = np.where(still, -1.0, (out - self.out) / np.where(still, 1.0, step))
        return _Settling(self.tried - out / np.clip(slopes, STEEPEST, FLATTEST), self.tried, out)


def _fair_view(asked: _Asked, from_fp: Floats, values: Floats, like: FairedView | None = None) -> FairedView:
    """One row faired."""
    limits = asked.limits
    given = ~np.isnan(values)
    used = given & ~np.isnan(limits)
    fit = fit_batten(
        from_fp[used],
        values[used],
        limits=limits[used],
        noise=asked.noise,
        breaks=breaks_at(asked.knuckles, asked.line, from_fp[used]),
        like=None if like is None else like.fit,
    )
    faired = values.copy()
    faired[used] = fit.faired
    left_out = given & ~used & ~np.isnan(from_fp)
    if left_out.any():
        faired[left_out] = fit.batten.value(from_fp[left_out])
    held = used & (limits > LEAST_LIMIT) & (np.abs(faired - values) >= LIMIT_REACHED * limits)

    def named(there: NDArray[np.bool_]) -> tuple[str, ...]:
        return tuple(column for column, is_there in zip(asked.columns, there, strict=True) if is_there)

    return FairedView(named(given), from_fp[given], values[given], faired[given], named(held), named(left_out), fit)


def _ends_cross(name: str, columns: tuple[str, ...], from_fp: Floats) -> str:
    where = int(np.argmin(np.diff(from_fp) > 0))
    return (
        f"the {name} meets the end '{columns[where if where == 0 else where + 1]}' beyond station "
        f"'{columns[where + 1 if where == 0 else where]}': the profile and the stations contradict each other"
    )

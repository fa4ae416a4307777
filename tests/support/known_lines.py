"""Hulls whose lines are known everywhere: tables are taken off them at any stations, and what fairing makes is held to
them. Lengths mm. Nothing here is imported by the program.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from boats import ExactHull, Floats

from patterns.hull.build import Stem, Transom
from patterns.hull.fairing import FairedView, fair
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT
from patterns.hull.offsets import OffsetRow, Offsets

Shape = Callable[[Floats], Floats]
RUN = 4400.0
WITHIN = 3.175  # how far a batten may move an offset; what the sample boat allows


@dataclass(frozen=True, slots=True, eq=False)
class KnownLine:
    """A line of a hull from its fore end to its after end."""

    first: float  # from FP
    last: float
    height: Shape
    half_breadth: Shape

    def view(self, name: str) -> Shape:
        return self.height if name == HEIGHT else self.half_breadth


@dataclass(frozen=True, slots=True, eq=False)
class KnownHull:
    """A sheer and a chine between a straight stem and a straight transom."""

    name: str
    lines: dict[str, KnownLine]  # "sheer", "chine"

    def end(self, place: int) -> Floats:
        """(2, 2) the profile of the fore end (0) or the after end (-1), from the sheer down."""
        at = [line.first if place == 0 else line.last for line in self.lines.values()]
        return np.array([[x, line.height(np.array(x))] for x, line in zip(at, self.lines.values(), strict=True)])

    @property
    def fore(self) -> Stem:
        return Stem(self.end(0), sided=40.0, moulded=80.0)

    @property
    def aft(self) -> Transom:
        return Transom(self.end(-1), thickness=19.0, crown=0.0, material="")

    def inner(self) -> tuple[float, float]:
        """Between where the last of the lines begins and the first ends."""
        return max(line.first for line in self.lines.values()), min(line.last for line in self.lines.values())

    def table(self, stations: Floats, *, rounding: float) -> Offsets:
        """A table at stations (n,), from FP, its figures rounded."""

        def row(name: str, line: KnownLine, view: str) -> OffsetRow:
            at = np.concatenate([[line.first], stations, [line.last]])
            return OffsetRow(name, np.round(line.view(view)(at) / rounding) * rounding)

        names = tuple(str(number) for number in range(1, len(stations) + 1))
        heights, breadths = (
            tuple(row(name, line, view) for name, line in self.lines.items()) for view in (HEIGHT, HALF_BREADTH)
        )
        from_fp = np.concatenate([[np.nan], stations, [np.nan]])
        return Offsets(("stem", *names, "transom"), from_fp, heights, breadths, rounding)

    def faired(self, table: Offsets) -> list[tuple[str, str, FairedView]]:
        """Line, view and what fairing made of it."""
        lines = fair(table, fore=self.fore, aft=self.aft, within=WITHIN)
        return [(one.name, *view) for one in lines for view in ((HEIGHT, one.height), (HALF_BREADTH, one.half_breadth))]

    def off(self, line: str, view: str, faired: FairedView, x: Floats) -> Floats:
        """(m,) how far a faired line is from the true one."""
        return np.abs(faired.batten.value(x) - self.lines[line].view(view)(x))


def of_exact(hull: ExactHull) -> KnownHull:
    """One of the hulls whose sides have closed forms."""
    lines = {}
    for name in ("sheer", "chine"):
        own = hull.line(name)
        lines[name] = KnownLine(
            own.first, own.last, lambda x, own=own: own.point(x)[..., 2], lambda x, own=own: own.point(x)[..., 1]
        )
    return KnownHull(hull.name, lines)


def forefoot(over: float, lift: float = 150.0) -> KnownHull:
    """A chine that sweeps up to the stem by ``lift`` over about ``over`` mm, and broad lines aft of that."""

    def chine(x: Floats) -> Floats:
        return np.asarray(lift * np.exp(-2 * (x - 60.0) / over) + 55.0 * ((x - 2400.0) / 2400.0) ** 2)

    return KnownHull(
        f"forefoot over {over:.0f}",
        {
            "sheer": KnownLine(0.0, RUN + 60.0, _sheer, lambda x: _breadth(x, 690.0)),
            "chine": KnownLine(60.0, RUN, chine, lambda x: _breadth(x, 560.0)),
        },
    )


def s_sheer(swing: float) -> KnownHull:
    """A sheer that falls, rises and falls again by ``swing`` on either side of its sweep."""

    def sheer(x: Floats) -> Floats:
        return np.asarray(_sheer(x) + swing * np.sin(2 * np.pi * x / RUN))

    def chine(x: Floats) -> Floats:
        return np.asarray(70.0 * ((x - 2300.0) / 2300.0) ** 2)

    return KnownHull(
        f"S-shaped sheer, {swing:.0f} either way",
        {
            "sheer": KnownLine(0.0, RUN + 60.0, sheer, lambda x: _breadth(x, 690.0)),
            "chine": KnownLine(200.0, RUN, chine, lambda x: _breadth(x - 200.0, 560.0)),
        },
    )


def _sheer(x: Floats) -> Floats:
    return np.asarray(470.0 + 170.0 * ((x - 2900.0) / 2900.0) ** 2)


def _breadth(x: Floats, half: float) -> Floats:
    return np.asarray(20.0 + (half - 20.0) * np.sin(np.clip(x, 0.0, None) / RUN * 2.25))

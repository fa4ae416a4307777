"""Proof that the parts will fit: edges that meet, the skin's twist and bend, the chine's lap, what would ease it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, lengths
from patterns.geometry.short_repr import brief
from patterns.hull.planking.skin import TWIST_TOLD
from patterns.hull.planking.transition import Transition, transition
from patterns.parts.part import Part
from patterns.parts.whole import Job
from patterns.shop.fit.assembly import assembled
from patterns.shop.fit.ease_twist import Eased, ease_twist
from patterns.shop.fit.meetings import Meeting
from patterns.shop.fit.skin_checks import SkinCheck, skin_checks


@dataclass(frozen=True, slots=True)
class Fight:
    """A stretch of a panel where a sheet must be twisted by force."""

    first: float  # mm of the pattern's x
    last: float
    most: float  # rad, along a ruling


@dataclass(frozen=True, eq=False)
class PanelSkin:
    """A panel's rulings in the flat, how much each twists, and how tightly the panel bends there."""

    part: Part
    upper: Floats  # (n, 2) mm, each ruling's end on one long edge, in the pattern
    lower: Floats  # (n, 2) mm, and on the other
    twist: Floats  # (n,) rad, along each
    radius: Floats  # (n,) mm, of the bend across each; infinite where it is flat
    fights: tuple[Fight, ...]

    __repr__ = brief

    @property
    def most(self) -> tuple[float, float]:
        """rad, the greatest twist, and mm of x at its middle."""
        i = int(np.abs(self.twist).argmax())
        return float(abs(self.twist[i])), float((self.upper[i, 0] + self.lower[i, 0]) / 2)

    @property
    def tightest(self) -> tuple[float, float]:
        """mm, the least radius the sheet is bent to, and mm of x at its middle."""
        i = int(self.radius.argmin())
        return float(self.radius[i]), float((self.upper[i, 0] + self.lower[i, 0]) / 2)


@dataclass(frozen=True, slots=True, eq=False)
class FitReport:
    """All that is proved of one boat."""

    meetings: tuple[Meeting, ...]
    skins: tuple[PanelSkin, ...]
    chines: tuple[Transition, ...]  # from the upper down
    eased: Eased | None  # None where no panel twists enough to be told
    unheld: tuple[str, ...]  # patterns with no edge that is held to another here
    skin: tuple[SkinCheck, ...] = ()  # of a round hull, how its moulds lie to its skin

    __repr__ = brief


def fit_report(job: Job, skin: tuple[SkinCheck, ...] | None = None) -> FitReport:
    """The report of one job; the virtual boat is put together for it.

    Parameters
    ----------
    skin : sequence of SkinCheck, optional
        Of a round hull's moulds, where they have been measured already.
    """
    panels = [part for part in job.parts if part.flat is not None]
    meetings = assembled(job)
    return FitReport(
        meetings,
        tuple(_skin(panel) for panel in panels),
        tuple(transition(job.hull, corner) for corner in job.hull.corners),
        ease_twist(job.boat, job.lines, job.hull),
        () if job.hull.smooth else tuple(_unheld(job, meetings)),
        skin_checks(job) if skin is None else skin,
    )


def _unheld(job: Job, meetings: Sequence[Meeting]) -> Iterator[str]:
    """Names of patterns no meeting knows; pieces of a frame go with the whole of it."""
    held = {line.part for one in meetings for line in (one.line_a, one.line_b)}
    yield from dict.fromkeys(part.name for part in job.parts if part.name not in held and part.of not in held)


def _skin(panel: Part) -> PanelSkin:
    flat = panel.flat
    assert flat is not None
    reach = flat.ruled.reach[:, None] * flat.along
    upper, lower = flat.middle - reach, flat.middle + reach
    kept = np.asarray(shapely.contains_xy(shapely.Polygon(panel.outline), flat.middle))
    upper, lower, twist = upper[kept], lower[kept], flat.ruled.twist[kept]
    return PanelSkin(panel, upper, lower, twist, _radius(panel, kept), tuple(_fights(upper, lower, twist)))


def _radius(panel: Part, kept: NDArray[np.bool_]) -> Floats:
    """(n,) mm: the way across from ruling to ruling at their middles over the angle their normals turn by."""
    flat = panel.flat
    assert flat is not None
    ruled = flat.ruled
    turned = 2 * np.arcsin(np.clip(lengths(np.gradient(ruled.normal, axis=0)) / 2, 0.0, 1.0))
    step = np.gradient(flat.middle, axis=0)
    across = np.abs(step[:, 0] * flat.along[:, 1] - step[:, 1] * flat.along[:, 0])
    with np.errstate(divide="ignore"):
        return np.asarray((across / turned)[kept])


def _fights(upper: Floats, lower: Floats, twist: Floats) -> list[Fight]:
    """Stretches of rulings side by side that twist more than is worth telling."""
    over = np.abs(twist) > TWIST_TOLD
    starts = np.flatnonzero(over & ~np.concatenate([[False], over[:-1]]))
    ends = np.flatnonzero(over & ~np.concatenate([over[1:], [False]]))
    found = []
    for first, last in zip(starts, ends, strict=True):
        x = np.concatenate([upper[first : last + 1, 0], lower[first : last + 1, 0]])
        most = float(np.abs(twist[first : last + 1]).max())
        found.append(Fight(float(x.min()), float(x.max()), most))
    return found

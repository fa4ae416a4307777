"""What a round hull's figures say of its skin, as equations along the section's normals."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, dots
from patterns.geometry.tensor_fields import Equations, TensorField
from patterns.hull.round.feet import Feet, Placed
from patterns.hull.round.figures import RoundLines, keel_half
from patterns.hull.round.skin_start import Frame

LEAST_SHARE = 0.05  # of a figure's way that is held to lie along the normal
ALONG = 0.02  # of the depth; how freely a foot slides along its section
LOCK = 1e-4  # mm^2, of what is known beforehand
LEFT_OUT = 1e6  # mm^2
LOCKS = 13  # places of a post
NOBODY = -1


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Equations of one kind."""

    u: Floats  # (n,)
    v: Floats  # (n,)
    ways: Floats  # (n, 2)
    wanted: Floats  # (n,) mm
    noise: Floats  # (n,) mm^2
    who: NDArray[np.int64]  # (n,) number of the figure, or NOBODY
    shares: Floats  # (n,) of the figure's way along the equation's


@dataclass(frozen=True, eq=False)
class Known:
    """All equations, and which figure each is of."""

    field: TensorField
    who: NDArray[np.int64]  # (n,)
    shares: Floats  # (n,)
    judged: NDArray[np.bool_]  # (n,) whether an equation is of a figure of the drawing, not of timber

    @property
    def telling(self) -> NDArray[np.bool_]:
        """(n,) whether an equation says something of the hull: those that only keep feet from sliding do not."""
        return np.asarray((self.who >= 0) | (self.field.equations.noise <= LOCK))

    def without(self, aside: frozenset[int]) -> TensorField:
        """The field that heeds none of these figures."""
        if not aside:
            return self.field
        return self.field.heeding(np.where(np.isin(self.who, list(aside)), LEFT_OUT, self.field.equations.noise))


def known(
    asked: RoundLines, frame: Frame, placed: Placed, at: Feet, u: Floats, v: Floats, *, slides: float = 1.0
) -> Known:
    """The equations of figures whose feet are found, at places u and v (figures,) of the skin that is sought.

    ``slides`` is how freely feet slide along their sections, beside how freely they do at first.
    """
    blocks = (*_of_figures(asked, placed, at, u, v, slides * ALONG * frame.depth), *_locks(asked, frame))

    def joined(name: str) -> Floats:
        return np.concatenate([getattr(one, name) for one in blocks])

    who = joined("who").astype(np.int64)
    drawn = (who >= 0) & ~placed.timber[who]
    equations = Equations(joined("u"), joined("v"), joined("ways"), joined("wanted"), joined("noise"), drawn)
    return Known(TensorField(frame.lengthwise, frame.across, equations), who, joined("shares"), drawn)


def _of_figures(asked: RoundLines, placed: Placed, at: Feet, u: Floats, v: Floats, slides: float) -> Iterator[Block]:
    """Each figure, and a weak equation along the section that keeps the feet of cuts from sliding."""
    normals = np.where(placed.edge[:, None], placed.ways, at.normals)
    shares = np.maximum(np.abs(dots(normals, placed.ways)), LEAST_SHARE)
    wanted = np.where(placed.edge, placed.given, dots(normals, placed.points))
    noise = asked.offsets.rounding**2 / 12 * shares**2
    yield Block(u, v, normals, wanted, noise, np.arange(len(u)), shares)
    cut = ~placed.edge
    along = dots(at.tangents, at.points)[cut]
    yield _unnamed(u[cut], v[cut], at.tangents[cut], along, slides**2)


def _locks(asked: RoundLines, frame: Frame) -> Iterator[Block]:
    """Posts at their siding and profile; the rabbet on the side of the keel where the table does not say so."""
    v = np.linspace(0.0, 1.0, LOCKS)
    for end, u in ((frame.fore, 0.0), (frame.aft, 1.0)):
        if end.post is not None:
            for way, wanted in (((1.0, 0.0), end.half_breadths(v)), ((0.0, 1.0), end.heights(v))):
                yield _unnamed(np.full(LOCKS, u), v, np.tile(way, (LOCKS, 1)), wanted, LOCK)
    row = asked.offsets.half_breadth("keel")
    given = np.zeros(0) if row is None else row.values[np.isfinite(row.values)]
    # A keel whose figures are all alike is of one siding between them too.
    if row is None or (given.size and np.ptp(given) <= asked.offsets.rounding):
        knots = np.unique(frame.lengthwise.splines.knots)
        at = np.sort(np.concatenate([knots, (knots[1:] + knots[:-1]) / 2]))
        half = np.full(len(at), keel_half(asked.offsets))
        yield _unnamed(at, np.zeros(len(at)), np.tile((1.0, 0.0), (len(at), 1)), half, LOCK)


def _unnamed(u: Floats, v: Floats, ways: Floats, wanted: Floats, noise: float) -> Block:
    count = len(u)
    return Block(u, v, ways, wanted, np.full(count, noise), np.full(count, NOBODY), np.ones(count))

"""Where places of a pattern lie on the skin of the boat, whichever hand the pattern is drawn for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.development import Flat
from patterns.geometry.short_repr import brief
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.part import Part
from patterns.parts.whole import Job


@dataclass(frozen=True, slots=True, eq=False)
class OnSkin:
    """A pattern of what is bent to the planking, as if it were starboard's."""

    flat: Flat  # as the starboard pattern lies
    depth: float  # mm, of its marked face from the rulings
    over: float | None  # mm: the pattern is turned over, and y there is so much less y here; None as the flat lies

    __repr__ = brief

    def turned(self, points: Floats) -> Floats:
        """(n, 2) mm, from the pattern's axes to those of the flat, or the way back."""
        return points if self.over is None else np.stack([points[:, 0], self.over - points[:, 1]], axis=1)

    def places(self, points: Floats) -> tuple[Floats, Floats]:
        """Places (s, t) of the skin at points (n, 2) of the pattern.

        Raises
        ------
        ValueError
            A point that lies on no ruling.
        """
        return self.flat.places(self.turned(points))

    def pattern(self, s: Floats, t: Floats) -> Floats:
        """(n, 2) mm in the pattern's axes of places of the skin."""
        return self.turned(self.flat.point(s, t))

    def in_space(self, points: Floats) -> Floats:
        """(n, 3) mm, on the marked face, to starboard."""
        return self.flat.ruled.point(*self.places(points), self.depth)

    def from_fp(self, points: Floats) -> Floats:
        """(n,) mm from FP of points (n, 2) of the pattern."""
        return np.asarray(self.in_space(points)[:, 0])

    def inward(self, points: Floats) -> Floats:
        """(n, 3) unit, into the boat from points (n, 2) of the pattern."""
        s, _ = self.places(points)
        return np.asarray(-self.flat.ruled.at(self.flat.ruled.normal, s))

    def off_center(self, points: Floats, inward: float) -> Floats:
        """(n,) mm from the centre plane, of places so far inside the marked face: negative beyond that plane."""
        s, _ = self.places(points)
        across = np.abs(self.flat.ruled.at(self.flat.ruled.normal, s)[:, 1])
        return np.asarray(np.abs(self.in_space(points)[:, 1]) - inward * across)

    def through_centre(self, points: Floats) -> Floats:
        """(n,) mm from the marked face, square to it, through the centre plane to the same face of the other hand.

        The centre plane is |y| / n off, where n is the athwart part of the unit normal. Where it is met, both faces are
        as far; square to the one, the other comes nearer by 2 n^2 - 1 for each mm. Infinite where it does not.
        """
        s, _ = self.places(points)
        across = np.abs(self.flat.ruled.at(self.flat.ruled.normal, s)[:, 1])
        nearer = np.maximum(2 * across**2 - 1, 0.0)
        with np.errstate(divide="ignore"):
            return np.asarray(np.abs(self.in_space(points)[:, 1]) / across * (1 + 1 / nearer))


def on_skin(job: Job, part: Part) -> OnSkin | None:
    """Of a panel or a long piece; None of what is not bent to the planking."""
    piece = piece_of(job, part)
    over = float(part.outline[:, 1].max() + part.outline[:, 1].min())
    if piece is not None:
        return OnSkin(piece.flat, piece.depth, over if part.upside_down else None)
    if not part.strake:
        return None
    twin = next((one for one in job.parts if one.name == part.name and one.flat is not None), None)
    if twin is None or twin.flat is None:
        return None
    return OnSkin(twin.flat, job.hull.strake(part.strake).inside, None if part.flat is not None else over)


def piece_of(job: Job, part: Part) -> LongPiece | None:
    """The long piece that a part is the pattern of."""
    return next((one for one in job.long_pieces if one.part.title == part.title), None)


def middle_of(part: Part) -> Floats:
    """(n, 2) mm, midway between the upper and the lower edge, fore to aft."""
    lower, upper = (np.concatenate([one.points for one in part.edges_of(name)]) for name in ("lower", "upper"))
    lower, upper = (line[line[:, 0].argsort(kind="stable")] for line in (lower, upper))
    x = np.linspace(max(lower[0, 0], upper[0, 0]), min(lower[-1, 0], upper[-1, 0]), 200)
    return np.stack([x, (np.interp(x, *lower.T) + np.interp(x, *upper.T)) / 2], axis=1)

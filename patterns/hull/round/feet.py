"""Where each figure of a table lies on the skin: the foot of its point on the section, and shares of girth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, dots, held_between, lengths, run_along
from patterns.geometry.tensor_skins import TensorSkin
from patterns.hull.fairing_rules import HALF_BREADTH
from patterns.hull.round.figures import Figure

SEGMENTS = 160  # of a section, the nearest of which a foot is sought from
PAST_END = 0.02  # of the run along u that a section may lie past an end while the skin is not settled
NEWTONS = 3
MOST_STEP = 0.03  # of v in one of Newton's steps
GAUGED = 41  # places along u at which girth is measured
OFF_END = 3.0  # mm, or as many steps: a figure further along the section past its end belongs to no place of it
CUT_SAMPLES = 401
CUT_NEWTONS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """The figures of a table as rows of numbers."""

    figures: tuple[Figure, ...]
    x: Floats  # (n,) mm from FP; NaN at an end
    end: NDArray[np.int64]  # (n,)
    points: Floats  # (n, 2) mm
    ways: Floats  # (n, 2) unit
    given: Floats  # (n,) mm
    edge: NDArray[np.bool_]  # (n,)
    timber: NDArray[np.bool_]  # (n,) whether a figure is the siding of the keel, which no drawing makes wrong
    fixed: Floats  # (n,) v of those on an edge or a chine; NaN of the others

    @classmethod
    def of(cls, figures: tuple[Figure, ...], from_fp: Floats, v_of: dict[str, float]) -> Placed:
        """``v_of`` says at which v the sheer, the rabbet and each chine lie."""
        return cls(
            figures,
            np.array([from_fp[one.place] for one in figures]),
            np.array([one.end for one in figures], dtype=np.int64),
            np.array([one.point for one in figures]),
            np.array([one.way for one in figures]),
            np.array([one.given for one in figures]),
            np.array([one.edge for one in figures], dtype=bool),
            np.array([one.line == "keel" and one.view == HALF_BREADTH for one in figures], dtype=bool),
            np.array([v_of[one.line] if one.edge else np.nan for one in figures]),
        )

    def u_at(self, skin: TensorSkin, v: Floats) -> Floats:
        """(n,) where along u each figure stands, for its v (n,)."""
        return np.where(self.end == 1, 0.0, np.where(self.end == 2, 1.0, skin.u_at(np.nan_to_num(self.x), v)))


@dataclass(frozen=True, slots=True, eq=False)
class Feet:
    """Where figures lie on a skin, and how its section runs there."""

    u: Floats  # (n,)
    v: Floats  # (n,)
    points: Floats  # (n, 2) mm, of the skin
    tangents: Floats  # (n, 2) unit, of the section, up the girth
    astray: NDArray[np.bool_]  # (n,) whether a figure lies past the section's end

    @property
    def normals(self) -> Floats:
        """(n, 2) unit, of the section, outward."""
        return np.column_stack([self.tangents[:, 1], -self.tangents[:, 0]])


def sections(skin: TensorSkin, placed: Placed, v: Floats) -> tuple[NDArray[np.int64], Floats, Floats]:
    """For each column with figures its section at v (m,): column of each figure, u (k, m) and points (k, m, 2)."""
    places = np.array([one.place for one in placed.figures])
    _, first, which = np.unique(places, return_index=True, return_inverse=True)
    ends, x = placed.end[first], np.nan_to_num(placed.x[first])
    fore, aft = skin.x_ends(v)
    u = (x[:, None] - fore) / (aft - fore)
    u = np.where((ends == 1)[:, None], 0.0, np.where((ends == 2)[:, None], 1.0, u))
    along = skin.lengthwise.at(held_between(u, -PAST_END, 1.0 + PAST_END).ravel()).reshape(*u.shape, -1)
    across = skin.across.at(v)
    points = np.stack(
        [np.einsum("kmi,mi->km", along, across @ table.T) for table in (skin.breadths, skin.heights)], axis=-1
    )
    return which, u, points


def feet(skin: TensorSkin, placed: Placed, *, step: float) -> Feet:
    """The feet of all figures; those of the sheer, the rabbet and chines lie at their v, nearest or not."""
    grid = np.linspace(0.0, 1.0, SEGMENTS + 1)
    which, u, points = sections(skin, placed, grid)
    away = ((points[which] - placed.points[:, None]) ** 2).sum(axis=-1)
    away = np.where((np.abs(u - 0.5) < 0.5 + PAST_END)[which], away, np.inf)
    near = held_between(away.argmin(axis=1).astype(float), 1, SEGMENTS - 1).astype(np.int64)
    # The foot lies on one of the two segments that meet in the nearest point.
    trials = [_on_segment(points[which], placed.points, near + shift) for shift in (-1, 0)]
    (share, far), (other, further) = trials
    v = np.where(far <= further, near - 1 + share, near + other) / SEGMENTS
    v = np.where(placed.edge, placed.fixed, v)
    for _ in range(NEWTONS):
        here, tangent = _sectioned(skin, placed, v)
        moved = dots(placed.points - here, tangent) / dots(tangent, tangent)
        v = np.where(placed.edge, v, held_between(v + held_between(moved, -MOST_STEP, MOST_STEP), 0.0, 1.0))
    here, tangent = _sectioned(skin, placed, v)
    tangent = tangent / lengths(tangent)[:, None]
    past = np.abs(dots(placed.points - here, tangent)) > max(3 * step, OFF_END)
    astray = ~placed.edge & ((v <= 0.0) | (v >= 1.0)) & past
    return Feet(placed.u_at(skin, v), v, here, tangent, astray)


def _on_segment(points: Floats, wanted: Floats, first: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """(n,) share of a segment where each wanted point has its foot, and how far it is, squared."""
    rows = np.arange(len(wanted))
    low, high = points[rows, first], points[rows, first + 1]
    way = high - low
    share = held_between(dots(wanted - low, way) / np.maximum(dots(way, way), 1e-30), 0.0, 1.0)
    return share, ((low + share[:, None] * way - wanted) ** 2).sum(axis=1)


def _sectioned(skin: TensorSkin, placed: Placed, v: Floats) -> tuple[Floats, Floats]:
    """(n, 2) mm each: points of the sections at v (n,), and their derivatives by v in the plane of the column."""
    places = skin.places(placed.u_at(skin, v), v)
    back = np.where(placed.end > 0, 0.0, -places.up[:, 0] / places.along[:, 0])
    return places.points[:, 1:], (places.up + places.along * back[:, None])[:, 1:]


def regauged(skin: TensorSkin, placed: Placed, at: Feet) -> tuple[Floats, Floats]:
    """(n,) u and v of the feet once v is the share of girth along each u = const; between chines it is their share.

    Every round of the fit begins so: a skin laid by shares of girth does not slide along itself.
    """
    grid = np.linspace(0.0, 1.0, SEGMENTS + 1)
    stations = np.linspace(0.0, 1.0, GAUGED)
    along, across = skin.lengthwise.at(stations), skin.across.at(grid)
    points = np.stack([along @ table @ across.T for table in (skin.breadths, skin.heights)], axis=-1)
    knots = np.array([0.0, *skin.corners, 1.0])
    even = np.linspace(0.0, 1.0, len(knots))
    shares = []
    for line in points:
        run = run_along(line)
        shares.append(np.interp(run, np.interp(knots, grid, run) + np.arange(len(knots)) * 1e-9, even))
    table = np.array(shares)
    row = held_between(at.u, 0.0, 1.0) * (GAUGED - 1)
    first = np.minimum(row.astype(np.int64), GAUGED - 2)
    part = (row - first)[:, None]
    own = table[first] * (1 - part) + table[first + 1] * part
    spot = held_between(at.v, 0.0, 1.0) * SEGMENTS
    left = np.minimum(spot.astype(np.int64), SEGMENTS - 1)
    rows = np.arange(len(row))
    v = own[rows, left] + (spot - left) * (own[rows, left + 1] - own[rows, left])
    v = np.where(placed.edge, placed.fixed, v)
    return placed.u_at(skin, v), v


def cuts(skin: TensorSkin, placed: Placed) -> Floats:
    """(n,) mm, what the skin measures in place of each figure: NaN where its line does not cross the section.

    Where it crosses more than once, the nearest to the figure is meant.
    """
    grid = np.linspace(0.0, 1.0, CUT_SAMPLES)
    which, u, points = sections(skin, placed, grid)
    away = points[which] - placed.points[:, None]
    off = away[..., 0] * -placed.ways[:, None, 1] + away[..., 1] * placed.ways[:, None, 0]
    along = away[..., 0] * placed.ways[:, None, 0] + away[..., 1] * placed.ways[:, None, 1]
    there = (np.abs(u - 0.5) < 0.5 + PAST_END / 2)[which]
    crossing = ((off[:, :-1] < 0) != (off[:, 1:] < 0)) & there[:, :-1] & there[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = off[:, :-1] / (off[:, :-1] - off[:, 1:])
        far = np.abs(along[:, :-1] + share * (along[:, 1:] - along[:, :-1]))
    far = np.where(crossing, far, np.inf)
    best, rows = far.argmin(axis=1), np.arange(len(far))
    v = np.where(crossing.any(axis=1), (best + share[rows, best]) / (CUT_SAMPLES - 1), np.nan)
    v = np.where(placed.edge, placed.fixed, v)
    found = np.full(len(v), np.nan)
    known = np.isfinite(v)
    across = np.column_stack([-placed.ways[:, 1], placed.ways[:, 0]])
    v = np.where(known, v, 0.5)
    for _ in range(CUT_NEWTONS):
        here, tangent = _sectioned(skin, placed, v)
        step = dots(here - placed.points, across) / _away_from_zero(dots(tangent, across))
        moves = known & ~placed.edge
        v = np.where(moves, held_between(v - held_between(step, -MOST_STEP, MOST_STEP), 0.0, 1.0), v)
    here, _ = _sectioned(skin, placed, v)
    reads = placed.given + dots(here - placed.points, placed.ways)
    found[known] = reads[known]
    return found


def _away_from_zero(values: Floats) -> Floats:
    return np.where(np.abs(values) < 1e-9, np.where(values < 0, -1e-9, 1e-9), values)

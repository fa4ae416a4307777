"""The lines of the table as the faired skin has them: sheer, rabbet and chines, and every cut."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.geometry.arrays import Floats, held_between
from patterns.geometry.battens import Batten, batten_along
from patterns.geometry.tensor_skins import TensorSkin
from patterns.hull.build import StemFace, end_cut
from patterns.hull.fairing import FairedCut, FairedLine, FairedView
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT
from patterns.hull.round.figures import rabbet_row
from patterns.hull.round.round_hull import FairedFigure, RoundHull

ALONG, UP = 161, 321  # places by which a cut is followed along the boat and up the girth
BANDED = 49  # places along a line at which its band is worked out
LEAST_SHARE = 0.1  # of a figure's way along the skin's normal; a line that runs more slantwise is told no better


@dataclass(frozen=True, eq=False)
class SkinView(FairedView):
    """One view of a line of the skin."""

    curve: Callable[[Floats], Floats] | None = None  # of mm from FP, within the line's run
    bands: Callable[[Floats], Floats] | None = None  # mm the line may be out by there

    @cached_property
    def batten(self) -> Batten:
        if self.curve is None:
            raise ValueError("a line of a skin has a curve")
        start, end = float(self.from_fp[0]), float(self.from_fp[-1])
        return batten_along(self.from_fp, start, end - start, self.curve)

    @cached_property
    def _banded(self) -> tuple[Floats, Floats]:
        x = np.linspace(self.from_fp[0], self.from_fp[-1], BANDED)
        return x, np.full(BANDED, np.nan) if self.bands is None else self.bands(x)

    def band_at(self, x: Floats) -> Floats:
        return np.interp(x, *self._banded)


def skin_lines(hull: RoundHull) -> tuple[tuple[FairedLine, ...], tuple[FairedCut, ...]]:
    """The hull's own lines from the sheer down, and the table's cuts in its order."""
    offsets = hull.offsets
    rows = _by_row(hull.figures)
    v_of = line_places(hull)
    lines = tuple(_line(hull, name, v_of[name], rows) for name in offsets.lines)
    return lines, tuple(_cuts(hull, rows))


def line_places(hull: RoundHull) -> dict[str, float]:
    """The v at which the sheer, the rabbet and the chines lie, by their names in the table."""
    chines = [name for name in reversed(hull.offsets.lines) if name.startswith("chine")]
    rabbet = rabbet_row(hull.offsets)
    named = {} if rabbet is None else {rabbet.name: 0.0}
    return {**named, **dict(zip(chines, hull.skin.corners, strict=True)), "sheer": 1.0}


Rows = dict[tuple[str, str], list[FairedFigure]]


def _by_row(figures: tuple[FairedFigure, ...]) -> Rows:
    found: Rows = {}
    for one in figures:
        found.setdefault((one.line, one.view), []).append(one)
    return found


def _line(hull: RoundHull, name: str, v: float, rows: Rows) -> FairedLine:
    ends = hull.skin.at(np.array([0.0, 1.0]), np.full(2, v))[:, 0].tolist()
    views = []
    for way, view in ((1, HALF_BREADTH), (2, HEIGHT)):
        figures = rows.get((name, view)) or _on_centre(rows[name, HEIGHT], hull.keel_half)
        direction = np.array([way == 1, way == 2], dtype=float)
        views.append(_view(hull, figures, ends, _edge_curve(hull.skin, v, way), _edge_band(hull, v, direction)))
    return FairedLine(name, height=views[1], half_breadth=views[0])


def _on_centre(heights: list[FairedFigure], half: float) -> list[FairedFigure]:
    """Half-breadths of a rabbet that the table gives none of."""
    return [FairedFigure(one.line, HALF_BREADTH, one.column, half, half, 0.0) for one in heights]


def _edge_curve(skin: TensorSkin, v: float, way: int) -> Callable[[Floats], Floats]:
    def curve(x: Floats) -> Floats:
        at = np.full(len(x), v)
        return skin.at(skin.u_at(x, at), at)[:, way]

    return curve


def _edge_band(hull: RoundHull, v: float, way: Floats) -> Callable[[Floats], Floats]:
    def bands(x: Floats) -> Floats:
        at = np.full(len(x), v)
        return hull.band(hull.skin.u_at(x, at), at, np.tile(way, (len(x), 1)))

    return bands


def _view(
    hull: RoundHull, figures: list[FairedFigure], ends: list[float],
    curve: Callable[[Floats], Floats], bands: Callable[[Floats], Floats],
) -> SkinView:  # fmt: skip
    offsets = hull.offsets
    places = [offsets.columns.index(one.column) for one in figures]
    last = len(offsets.columns) - 1
    at_ends = dict(zip((0, last), ends, strict=False))
    from_fp = np.array([at_ends.get(place, float(offsets.from_fp[place])) for place in places])
    order = np.argsort(from_fp, kind="stable")
    chosen = [figures[number] for number in order]
    return SkinView(
        columns=tuple(one.column for one in chosen),
        from_fp=from_fp[order],
        given=np.array([one.given for one in chosen]),
        faired=np.array([one.faired for one in chosen]),
        held=tuple(one.column for one in chosen if one.held),
        left_out=tuple(one.column for one in chosen if one.left_out),
        curve=curve,
        bands=bands,
    )


def _cuts(hull: RoundHull, rows: Rows) -> Iterator[FairedCut]:
    """Cuts with two figures that the skin has a place for, and more."""
    grid = _Grid(hull)
    for (name, view), every in rows.items():
        if name in hull.offsets.lines:
            continue
        plane = _plane_of(hull, name, view)
        placed = [(one, x) for one in every if np.isfinite(x := _from_fp(hull, one, plane))]
        if len(placed) < 2:
            continue
        figures, at = [one for one, _ in placed], [x for _, x in placed]
        if (followed := grid.followed(plane, min(at), max(at), figures, at)) is None:
            continue
        along, up = followed
        ends = [_end_x(hull, plane, every, place) for place in (0, -1)]
        yield FairedCut(
            name, _view(hull, figures, ends, _cut_curve(hull, plane, along, up), _cut_band(hull, plane, along, up))
        )


def _from_fp(hull: RoundHull, one: FairedFigure, plane: _CutPlane) -> float:
    """mm from FP of a figure of a cut; NaN where the skin has no such place, and on a post, where every cut ends."""
    place = hull.offsets.columns.index(one.column)
    end = {0: hull.fore, len(hull.offsets.columns) - 1: hull.aft}.get(place)
    if not np.isfinite(one.faired) or isinstance(end, StemFace):
        return float("nan")
    if end is None:
        return float(hull.offsets.from_fp[place])
    y, z = plane.point + (one.faired - plane.base) * plane.way
    face = end_cut(end, aft=place > 0)
    return float((face.at_height(np.array([z])) - face.set_back(np.array([y])))[0])


def _end_x(hull: RoundHull, plane: _CutPlane, figures: list[FairedFigure], place: int) -> float:
    column = hull.offsets.columns[place]
    return next((_from_fp(hull, one, plane) for one in figures if one.column == column), float("nan"))


@dataclass(frozen=True, slots=True, eq=False)
class _CutPlane:
    """A level, upright or sloping plane along the boat, by a point of it athwart and the way figures run in it."""

    point: Floats  # (2,) mm, y and z from which figures are measured
    way: Floats  # (2,) unit
    base: float  # mm, what is measured at that point

    def off(self, points: Floats) -> Floats:
        """(...) mm of points (..., 2) from the plane."""
        return np.asarray((points - self.point) @ np.array([-self.way[1], self.way[0]]))

    def along(self, points: Floats) -> Floats:
        return np.asarray(self.base + (points - self.point) @ self.way)


def _plane_of(hull: RoundHull, name: str, view: str) -> _CutPlane:
    diagonal = next((one for one in hull.diagonals if one.name == name), None)
    if diagonal is not None:
        way = np.array([np.cos(diagonal.angle), -np.sin(diagonal.angle)])
        return _CutPlane(np.array([0.0, diagonal.apex]), way, 0.0)
    block = hull.offsets.heights if view == HEIGHT else hull.offsets.half_breadths
    level = next(row.level for row in block if row.name == name)
    if view == HEIGHT:
        return _CutPlane(np.array([level, 0.0]), np.array([0.0, 1.0]), 0.0)
    return _CutPlane(np.array([0.0, level]), np.array([1.0, 0.0]), 0.0)


class _Grid:
    """Sections all along the boat, by which cuts are followed."""

    def __init__(self, hull: RoundHull) -> None:
        skin = hull.skin
        self.v = np.linspace(0.0, 1.0, UP)
        fore, aft = skin.x_ends(self.v)
        self.x = np.linspace(float(fore.min()), float(aft.max()), ALONG)
        self.u = (self.x[:, None] - fore) / (aft - fore)
        along = skin.lengthwise.at(held_between(self.u, -0.02, 1.02).ravel()).reshape(*self.u.shape, -1)
        across = skin.across.at(self.v)
        self.points = np.stack(
            [np.einsum("kmi,mi->km", along, across @ table.T) for table in (skin.breadths, skin.heights)], axis=-1
        )
        self.there = np.abs(self.u - 0.5) <= 0.5 + 1e-9

    def followed(
        self, plane: _CutPlane, first: float, last: float, figures: list[FairedFigure], at: list[float]
    ) -> tuple[Floats, Floats] | None:
        """x and v of a cut from one place to another, where it crosses sections nearest to its figures."""
        off, reads = plane.off(self.points), plane.along(self.points)
        step = self.x[1] - self.x[0]
        rows = np.flatnonzero((self.x >= first - step) & (self.x <= last + step))
        expected = np.interp(self.x[rows], at, [one.faired for one in figures])
        found = []
        for row, near in zip(rows.tolist(), expected.tolist(), strict=True):
            side, there = off[row], self.there[row]
            crossed = np.flatnonzero(((side[:-1] < 0) != (side[1:] < 0)) & there[:-1] & there[1:])
            if len(crossed):
                share = side[crossed] / (side[crossed] - side[crossed + 1])
                there_reads = reads[row, crossed] + share * (reads[row, crossed + 1] - reads[row, crossed])
                best = int(np.abs(there_reads - near).argmin())
                found.append((float(self.x[row]), float((crossed[best] + share[best]) / (UP - 1))))
        if len(found) < 2:
            return None
        x, v = np.array(found).T
        return x, v


def _cut_curve(hull: RoundHull, plane: _CutPlane, x: Floats, v: Floats) -> Callable[[Floats], Floats]:
    def curve(at: Floats) -> Floats:
        return plane.along(hull.skin.at(*_on_plane(hull, plane, at, np.interp(at, x, v)))[:, 1:])

    return curve


def _cut_band(hull: RoundHull, plane: _CutPlane, x: Floats, v: Floats) -> Callable[[Floats], Floats]:
    def bands(at: Floats) -> Floats:
        places = hull.skin.places(*_on_plane(hull, plane, at, np.interp(at, x, v)))
        square = places.normals[:, 1:] / np.hypot(*places.normals[:, 1:].T)[:, None]
        share = np.maximum(np.abs(square @ plane.way), LEAST_SHARE)
        return np.asarray(hull.may_be_out(places) / share)

    return bands


def _on_plane(hull: RoundHull, plane: _CutPlane, x: Floats, v: Floats) -> tuple[Floats, Floats]:
    """u and v where a plane along the boat crosses the sections at x (n,), from v (n,) nearby, by Newton's steps."""
    skin, across = hull.skin, np.array([-plane.way[1], plane.way[0]])
    for _ in range(4):
        places = skin.places(skin.u_at(x, v), v)
        rise = places.up - places.along * (places.up[:, :1] / places.along[:, :1])
        slope = rise[:, 1:] @ across
        slope = np.where(np.abs(slope) < 1e-9, 1e-9, slope)
        v = held_between(v - held_between(plane.off(places.points[:, 1:]) / slope, -0.02, 0.02), 0.0, 1.0)
    return skin.u_at(x, v), v

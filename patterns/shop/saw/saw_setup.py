"""How a long piece is ripped: which edge first, which face up, what tilt, where the guide, and what the plane takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.edge_views import FAR, NEAR, SPACING, Bools, EdgeName, EdgeView, UpFace, edge_view, mark_places
from patterns.shop.saw.guide import (
    TILT_STEP,
    BladeFit,
    blade_fit,
    left_normals,
    sags,
    shoe_to_cut,
    stand_off,
    tilts_to_try,
)
from patterns.shop.saw.saw_rules import Leans, SawRules, Side
from patterns.units.lengths import INCH

EASED = 150.0  # mm either way over which a saw line is eased, so that a batten lies along it
WORTH_MORE = 1.6  # mm (1/16 in); one setting that leaves more than this to the plane is told by ranges as well
MUCH = INCH / 4  # mm beyond the allowance; more is much wood to plane by hand. Common practice, no single source
SQUARE = float(np.radians(0.25))  # rad; half a step of tilt: nearer, an edge is sawn square
SWEPT = 1.0  # mm of sweep over a piece's length, from which it counts as bent
ROCKS = 0.4  # mm a shoe can rock on a guide; less is within the thickness of a pencil line


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """One tilt and one guide, for the whole edge or a length of it. Lines lie as the `EdgeView` does."""

    tilt: float  # rad off square
    outward: bool  # whether the blade goes away from the piece as it goes down
    first: float  # mm, x of the length of the piece it serves
    last: float
    saw_line: Floats  # (n, 2) mm: the side of the kerf where the piece is, on the upper face
    foot_line: Floats  # (n, 2) mm: the same where the blade leaves the lower face
    aside: float  # mm from the saw line to there, away from the piece
    guide_line: Floats | None  # (n, 2) mm; None without test cuts
    distance: float | None  # mm from a straight guide to the saw line
    stand_off: Floats  # (n,) mm more than that, by the guide's curve
    rocks: float  # mm by which a bare shoe can rock on the guide where it bulges
    beyond: Floats  # (n,) mm from the net edge out to the saw line, on the upper face
    plane_up: Floats  # (n,) mm the plane takes off, square to the finished edge, at the upper face
    plane_down: Floats  # (n,) mm, at the lower face
    extra: float  # mm, the most the plane takes beyond the allowance, at either face of the length it serves
    blade: BladeFit

    __repr__ = brief

    def at(self, x: Floats, values: Floats) -> Floats:
        """Values along the saw line at some x."""
        return np.interp(x, self.saw_line[:, 0], values)


@dataclass(frozen=True, slots=True, eq=False)
class Rip:
    """One cut along one edge of a piece."""

    order: int  # 1 or 2
    edge: EdgeView
    guide_on_piece: bool  # whether guide and shoe lie on the piece's side of the cut, or on the rest
    setting: Setting
    ranges: tuple[Setting, ...]  # several settings that leave less, fore to aft; empty where one is as good
    wanted: float  # rad, the tilt that would leave least if every tilt were tested and in reach
    toward_aft: bool | None  # which way the saw is pushed; None where the builder does not say which edge he tested
    x: Floats  # (k,) mm, of the piece's marks

    __repr__ = brief

    @property
    def guide_side(self) -> float:
        """+1 where the guide lies above the saw line as seen, -1 where below."""
        return -self.edge.out if self.guide_on_piece else self.edge.out

    @property
    def hollow(self) -> bool:
        """Whether the shoe bears on a plainly hollow guide, by its two ends and nowhere by a bulge."""
        return self.setting.rocks <= ROCKS < float(self.setting.stand_off.max())

    @property
    def much(self) -> bool:
        """Whether one setting leaves much wood to the plane."""
        return self.setting.extra > MUCH

    @property
    def short(self) -> bool:
        """Whether a better tilt than the one given is out of the saw's reach or of its test cuts."""
        return abs(self.wanted - self.setting.tilt) > TILT_STEP / 2


@dataclass(frozen=True, slots=True, eq=False)
class SawSetup:
    """Both rips of one piece of one hand."""

    piece: LongPiece
    saw: SawRules
    rips: tuple[Rip, Rip]  # in the order they are sawn

    __repr__ = brief

    @property
    def width(self) -> Floats:
        """(k,) mm at the piece's marks: width as sawn on the face against the planking, square to the lower edge."""
        taken = {}
        for rip in self.rips:
            of_face = rip.setting.plane_up if rip.edge.up == NEAR else rip.setting.plane_down
            # Along the face the wood for the plane is as much more as the edge is off square.
            more = of_face * np.hypot(1.0, rip.edge.run / self.piece.thickness)
            taken[rip.edge.name] = rip.setting.at(rip.x, more)
        return self.piece.width + taken["lower"] + taken["upper"]


def saw_setup(piece: LongPiece, saw: SawRules) -> SawSetup:
    """The two rips of a piece, from stock dressed to its thickness.

    The shoe always bears on the wide rest of the board: the first cut's guide lies on the piece's side of it, the
    last one's on the rest, so that the piece comes free last. So a bent piece is sawn along its hollow edge first: both
    guides are then hollow where the shoe bears. The blade's lean then says which face lies up.
    """
    first, last = _order(piece, saw)
    return SawSetup(piece, saw, (_rip(piece, saw, first, 1), _rip(piece, saw, last, 2)))


def _order(piece: LongPiece, saw: SawRules) -> tuple[EdgeView, EdgeView]:
    """The edges in the order they are sawn, each with its face up: hollow edge first, then one face for both."""
    orders: tuple[tuple[EdgeName, EdgeName], ...] = (("upper", "lower"), ("lower", "upper"))
    hollow = _hollow_edge(piece)
    choices = [
        (_face_up(piece, saw, first, last=False), _face_up(piece, saw, last, last=True)) for first, last in orders
    ]

    def trouble(views: tuple[EdgeView, EdgeView]) -> tuple[int, bool, bool, int, int, bool]:
        ups = [view.up for view in views]
        worst = max(_rocks(piece, saw, view, last=last) for view, last in zip(views, (False, True), strict=True))
        # In whole pencil lines: finer differences are noise, and would saw two pieces that are alike in two orders.
        bulge = worst / ROCKS
        too_much = max(int(np.ceil(bulge)) - 1, 0)
        bulging = hollow is not None and views[0].name != hollow
        return too_much, bulging, ups[0] != ups[1], ups.count(FAR), round(bulge), views[0].name == "lower"

    return min(choices, key=trouble)


def _hollow_edge(piece: LongPiece) -> EdgeName | None:
    """The edge on the inside of the piece's sweep, laid flat; None where the piece is as good as straight."""
    upper, lower = (edge_view(piece, name, NEAR) for name in ("upper", "lower"))
    line = upper.net[upper.of_piece]
    middle = (line[:, 1] + np.interp(line[:, 0], *lower.net.T)) / 2
    x = line[:, 0]
    off = middle - np.interp(x, x[[0, -1]], middle[[0, -1]])
    most = float(off[np.abs(off).argmax()])
    if abs(most) < SWEPT:
        return None
    # Where the middle lies above its chord, the inside of the sweep is below.
    return "lower" if (most > 0) == (upper.out > 0) else "upper"


def _face_up(piece: LongPiece, saw: SawRules, name: EdgeName, *, last: bool) -> EdgeView:
    view = edge_view(piece, name, NEAR)
    middle = float(np.median(view.run[view.of_piece]))
    if abs(middle) < piece.thickness * np.tan(SQUARE):
        return view
    # With the guide on the rest of the board, a blade that leans under it goes away from the piece.
    wanted_outward = last == (saw.leans is Leans.UNDER)
    up: UpFace = NEAR if (middle > 0) == wanted_outward else FAR
    return view if up == NEAR else edge_view(piece, name, FAR)


def _rocks(piece: LongPiece, saw: SawRules, view: EdgeView, *, last: bool) -> float:
    """mm by which the shoe can rock on the guide of one cut."""
    make = Settings(Stock.of(piece), saw, view, guide_on_piece=not last)
    return make.setting(make.best(view.of_piece, tilts_to_try(saw)), *view.within).rocks


def _rip(piece: LongPiece, saw: SawRules, view: EdgeView, order: int) -> Rip:
    guide_on_piece = order == 1
    make = Settings(Stock.of(piece), saw, view, guide_on_piece=guide_on_piece)
    tilts = tilts_to_try(saw)
    whole = make.setting(make.best(view.of_piece, tilts), *view.within)
    ranges = tuple(make.ranges(tilts)) if whole.extra > WORTH_MORE else ()
    every = np.arange(0.0, np.pi / 3, TILT_STEP)
    return Rip(
        order=order,
        edge=view,
        guide_on_piece=guide_on_piece,
        setting=whole,
        ranges=ranges if len(ranges) > 1 else (),
        wanted=make.best(view.of_piece, every),
        toward_aft=pushed_aft(saw, view, guide_on_piece=guide_on_piece),
        x=mark_places(piece, view.name),
    )


def pushed_aft(saw: SawRules, view: EdgeView, *, guide_on_piece: bool) -> bool | None:
    """Whether the saw is pushed from the fore end aft; None where the builder does not say which edge he tested."""
    guide_above = (view.out < 0) == guide_on_piece
    return None if saw.guide_edge is None else guide_above == (saw.guide_edge is Side.LEFT)


@dataclass(frozen=True, slots=True)
class Stock:
    """What a cut goes through."""

    thickness: float  # mm
    planing: float  # mm, left for the plane

    @classmethod
    def of(cls, piece: LongPiece) -> Stock:
        return cls(piece.thickness, piece.rules.planing)


class Settings:
    """Settings for one edge."""

    def __init__(self, stock: Stock, saw: SawRules, view: EdgeView, *, guide_on_piece: bool) -> None:
        self.saw, self.view, self.guide_on_piece = saw, view, guide_on_piece
        self.thickness, self.planing = stock.thickness, stock.planing
        # Square cuts have no lean; a tilted one leans under the guide, or away from it.
        self.outward = guide_on_piece != (saw.leans is Leans.UNDER)

    def best(self, which: Bools, tilts: Floats) -> float:
        """rad, of some tilts the one that leaves the least wood to the plane over some points."""
        runs = self.thickness * np.tan(tilts) * (1.0 if self.outward else -1.0)
        waste = np.abs(self.view.run[which][:, None] - runs).mean(axis=0)
        return float(tilts[int(waste.argmin())])

    def ranges(self, tilts: Floats) -> Iterator[Setting]:
        """The fewest settings, from the fore end, that leave no more than is worth one; as few as the tilts allow."""
        x = self.view.net[:, 0]
        places = np.flatnonzero(self.view.of_piece)
        runs = self.thickness * np.tan(tilts) * (1.0 if self.outward else -1.0)
        off = np.abs(self.view.run[:, None] - runs)
        least = off.min(axis=1, keepdims=True)
        fits = off <= np.maximum(least, WORTH_MORE)
        start = int(places[0])
        while start <= places[-1]:
            going = np.logical_and.accumulate(fits[start : places[-1] + 1], axis=0)
            reach = int(going.any(axis=1).sum())
            end = start + reach - 1
            which = np.zeros(len(x), dtype=bool)
            which[start : end + 1] = True
            able = tilts[going[reach - 1]]
            yield self.setting(self.best(which, able), float(x[start]), float(x[end]))
            start = end + 1

    def setting(self, tilt: float, first: float, last: float) -> Setting:
        view, saw = self.view, self.saw
        aside = self.thickness * np.tan(tilt) * (1.0 if self.outward else -1.0)
        square = np.hypot(1.0, view.run / self.thickness)  # 1 / cos of the bevel
        beyond = self.planing * square + np.maximum(view.run - aside, 0.0)
        beyond = eased(beyond, self._between(first, last))
        outward = view.outward
        saw_line = view.net + beyond[:, None] * outward
        foot_line = saw_line + aside * view.out * left_normals(saw_line)
        to_cut = shoe_to_cut(saw, tilt)
        distance = None if to_cut is None else to_cut + (0.0 if self.guide_on_piece else saw.kerf / np.cos(tilt))
        side = -view.out if self.guide_on_piece else view.out
        straight = _beside(saw_line, np.full(len(saw_line), side * (distance or 0.0)))
        off = stand_off(saw, straight, cut_on_left=side < 0)
        guide = None if distance is None else _beside(saw_line, side * (distance + off))
        bulge = sags(straight, saw.shoe_length) * (1.0 if side > 0 else -1.0)
        plane_up, plane_down = beyond / square, (beyond + aside - view.run) / square
        kept = view.of_piece & self._between(first, last)
        return Setting(
            tilt=tilt,
            outward=self.outward,
            first=first,
            last=last,
            saw_line=saw_line,
            foot_line=foot_line,
            aside=float(aside),
            guide_line=guide,
            distance=distance,
            stand_off=off,
            rocks=0.0 if saw.pins else max(float(bulge.max()), 0.0),
            beyond=beyond,
            plane_up=plane_up,
            plane_down=plane_down,
            extra=float(np.maximum(plane_up, plane_down)[kept].max()) - self.planing,
            blade=blade_fit(saw, saw_line, tilt=tilt, thickness=self.thickness),
        )

    def _between(self, first: float, last: float) -> Bools:
        x = self.view.net[:, 0]
        return np.asarray((x > first - SPACING) & (x < last + SPACING))


def eased(values: Floats, counted: Bools) -> Floats:
    """Values never less than those given, without their corners: the most within reach, then the mean within reach.

    Those not counted are taken as the nearest that is.
    """
    places = np.flatnonzero(counted)
    held = values[np.clip(np.arange(len(values)), places[0], places[-1])]
    half = round(EASED / SPACING)
    most = sliding_window_view(np.pad(held, half, mode="edge"), 2 * half + 1).max(axis=1)
    return np.asarray(sliding_window_view(np.pad(most, half, mode="edge"), 2 * half + 1).mean(axis=1))


def _beside(line: Floats, distance: Floats) -> Floats:
    """A line at distances (n,) to the left of another."""
    return np.asarray(line + distance[:, None] * left_normals(line))

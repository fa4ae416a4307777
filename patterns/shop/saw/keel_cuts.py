"""How keel batten and keelson of a V bottom are sawn: from stock on its side, each half of the lower edge by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.errors import while_making
from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.geometry.short_repr import brief
from patterns.parts.long.v_keel import VKeel
from patterns.shop.saw.edge_views import NEAR, EdgeView, profile_view
from patterns.shop.saw.guide import TILT_STEP, tilts_to_try
from patterns.shop.saw.saw_rules import Leans, SawRules
from patterns.shop.saw.saw_setup import Setting, Settings, Stock, pushed_aft

CHORD = 150.0  # mm of a line to either side by which its bend is told
LEAST_FLAT = 1.0  # mm; a flat between both halves narrower than this is none to a saw


@dataclass(frozen=True, slots=True, eq=False)
class KeelCut:
    """One cut along a piece that lies on its side."""

    line: str  # of the pattern it runs along: "bevel line", "upper edge"
    port_up: bool  # whether the port side lies up
    depth: float  # mm of the stock it goes through, square to its side
    sided: float  # mm, thickness of the stock
    edge: EdgeView
    setting: Setting
    wanted: float  # rad, the tilt that would leave least if every tilt were tested and in reach
    guide_on_piece: bool
    toward_aft: bool | None
    x: Floats  # (k,) mm, of the piece's marks

    __repr__ = brief

    @property
    def to_middle(self) -> bool:
        """Whether it goes half through the stock, to be met from the other side."""
        return self.depth < self.sided

    @property
    def guide_above(self) -> bool:
        """Whether the guide lies above the saw line as seen: away from the sawyer."""
        return (self.edge.out > 0) is not self.guide_on_piece

    @property
    def short(self) -> bool:
        """Whether a better tilt than the one given is out of the saw's reach or of its test cuts."""
        return abs(self.wanted - self.setting.tilt) > TILT_STEP / 2


@dataclass(frozen=True, slots=True, eq=False)
class KeelBench:
    """A keel batten or keelson on its way from board to boat."""

    keel: VKeel
    radius: float  # mm, the tightest it is bent to over the frames; inf where straight
    at: float  # mm along its lower edge to there
    width: float  # mm of board that it is sawn out of, as thick as the piece is sided
    cuts: tuple[KeelCut, ...]  # in the order they are sawn; none without a saw, or where one cannot do them
    cannot: str  # why the saw cannot cut it, in words; empty where it can, or where the builder names no saw
    steepest: float  # rad, the greatest bevel of a half

    __repr__ = brief

    @property
    def ratio(self) -> float:
        """Its radius over its height."""
        return self.radius / self.keel.rules.moulded


def keel_bench(keels: Sequence[VKeel], saw: SawRules | None) -> tuple[KeelBench, ...]:
    """Each at the bench."""
    return tuple(_worked(keel, saw) for keel in keels)


def _worked(keel: VKeel, saw: SawRules | None) -> KeelBench:
    lower, outline = _line(keel, "lower"), keel.part.outline
    radius, at = _tightest(lower)
    cuts: tuple[KeelCut, ...] = ()
    cannot = ""
    if saw is not None:
        with while_making(keel.name):
            cuts = tuple(_cuts(keel, saw))
        cannot = _cannot(cuts)
    way = lower[-1] - lower[0]
    across = (outline - lower[0]) @ np.array([-way[1], way[0]]) / lengths(way)
    steepest = max(place.bevel for place in keel.places)
    width = float(np.ptp(across)) + 2 * keel.rules.planing
    return KeelBench(keel, radius, at, width, () if cannot else cuts, cannot, steepest)


def _line(keel: VKeel, name: str) -> Floats:
    """(n, 2) mm, fore to aft."""
    points = keel.part.edge(name).points
    return points if points[0, 0] < points[-1, 0] else points[::-1]


def _tightest(line: Floats) -> tuple[float, float]:
    """Mm, the least radius of a line, by the circle through places ``CHORD`` to either side; and how far along."""
    run = run_along(line)
    at = np.linspace(CHORD, run[-1] - CHORD, 101) if run[-1] > 3 * CHORD else np.array([run[-1] / 2])
    half = min(CHORD, float(run[-1]) / 2)
    a, b, c = (np.stack([np.interp(at + off, run, line[:, k]) for k in (0, 1)], axis=1) for off in (-half, 0.0, half))
    area = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
    with np.errstate(divide="ignore"):
        radius = lengths(b - a) * lengths(c - b) * lengths(c - a) / (4 * area)
    i = int(radius.argmin())
    return float(radius[i]), float(at[i])


def _cuts(keel: VKeel, saw: SawRules) -> Iterator[KeelCut]:
    """In their order. A shoe bears on the wide rest of the board, and a tilted blade must lean away from the piece.

    So where a blade's foot leans under the guide, the halves of the lower edge are cut last, with the guide on the
    rest; where it leans away from it they are cut first, with the guide on the piece.
    """
    upper, lower = _line(keel, "upper"), _line(keel, "lower")
    under = saw.leans is Leans.UNDER
    square = (upper, lower, np.zeros(len(upper)))
    bottom = list[KeelCut]()
    if keel.bevelled:
        bevel = keel.part.mark("bevel line").points
        runs = np.interp(bevel[:, 0], *np.array([[place.from_fp, place.rise] for place in keel.places]).T)
        depth = keel.rules.sided / 2 - keel.ridge.half
        for port_up in (True, False):
            view = profile_view(bevel, upper, runs, over=not port_up)
            bottom.append(_cut("bevel line", view, keel, saw, depth=depth, guide_on_piece=not under))
    if not keel.bevelled or 2 * keel.ridge.half > LEAST_FLAT:
        view = profile_view(lower, upper, np.zeros(len(lower)), over=False)
        bottom.append(_square_cut("lower edge", view, keel, saw, guide_on_piece=not under))
    top = _square_cut("upper edge", profile_view(*square, over=False), keel, saw, guide_on_piece=under)
    yield from (top, *bottom) if under else (*bottom, top)


def _square_cut(line: str, view: EdgeView, keel: VKeel, saw: SawRules, *, guide_on_piece: bool) -> KeelCut:
    """Through the whole stock; where a blade cannot follow the line so deep, half through from either side."""
    whole = _cut(line, view, keel, saw, depth=keel.rules.sided, guide_on_piece=guide_on_piece)
    if not _cannot((whole,)):
        return whole
    return _cut(line, view, keel, saw, depth=keel.rules.sided / 2, guide_on_piece=guide_on_piece)


def _cut(line: str, view: EdgeView, keel: VKeel, saw: SawRules, *, depth: float, guide_on_piece: bool) -> KeelCut:
    make = Settings(Stock(depth, keel.rules.planing), saw, view, guide_on_piece=guide_on_piece)
    x = np.clip([place.from_fp for place in keel.places], *view.within)
    return KeelCut(
        line=line,
        port_up=view.up == NEAR,
        depth=depth,
        sided=keel.rules.sided,
        edge=view,
        setting=make.setting(make.best(view.of_piece, tilts_to_try(saw)), *view.within),
        wanted=make.best(view.of_piece, np.arange(0.0, np.pi / 3, TILT_STEP)),
        guide_on_piece=guide_on_piece,
        toward_aft=pushed_aft(saw, view, guide_on_piece=guide_on_piece),
        x=x,
    )


def _cannot(cuts: Sequence[KeelCut]) -> str:
    """Why a saw cannot make these cuts; nothing where it can."""
    for cut in cuts:
        blade = cut.setting.blade
        if blade.too_deep:
            return "Your saw does not cut so deep as the middle of this piece"
        if not blade.follows:
            return f"The {cut.line} turns more sharply than your saw's blade can follow"
    return ""

"""How a long piece is brought to its curve: sprung cold, tried, steamed, laminated, or sawn to shape."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.bend_trials import CLAMPED, Form, form, overbend
from patterns.shop.saw.board_layout import RUN_OUT_LIMIT
from patterns.shop.woods import DRY, Wood, least_strength_left, strength_left, wood_called

EASY, SAMPLE = 100.0, 60.0  # radius over thickness for springing clear, straight stock cold: common practice
BREAKS_DRY = 30.0  # radius over thickness near which flat dry stock breaks: 20 to 30, a university's extension text
SURE, NEAR_BREAKING = 2 / 3, 0.85
"""Shares of the strain that breaks the wood, the loss by its run-out counted, from which a sample is asked for and from
which it is not bent cold: judgement of this program, for the handbook's figures are averages."""
BRITTLE, TOO_WET = 10.0, 18.0
"""Percent moisture: drier wood is tried first, for kiln-dried wood bends badly; wetter wood is not glued. Common
practice, no single source."""
STRAIGHT = 1e-9  # 1/mm; a radius of a thousand km
MOST_LAYERS = 40  # more than anybody glues: there the wood will not do
AT_MARK = 20.0  # mm; nearer to a frame or an end a place goes by its name
ENDS = 150.0  # mm, strips and stock are left long: 6 in, common practice


class Way(StrEnum):
    SPRING = "spring it cold"
    TRY = "try a sample cold before you bend the piece"
    STEAM = "soak or steam it, or laminate it"
    LAMINATE = "laminate it, or saw it to shape"


@dataclass(frozen=True, slots=True)
class Layers:
    """Equal layers glued to the curve."""

    count: int
    thickness: float  # mm
    strip: float  # mm, to cut each strip at
    springs_back: float  # mm, depth lost off a form of the piece's own curve: 1/n^2 of it (geometry, elastic)
    form: Form  # deeper than the piece by as much
    clamps: int


@dataclass(frozen=True, slots=True)
class Spot:
    """A place along a piece."""

    along: float  # mm from the fore end, along the lower edge
    name: str  # of a frame or an end that is as good as there, or ""


@dataclass(frozen=True, slots=True)
class BendVerdict:
    """Bending out of the face (flatwise) and in it (edgewise), at the tightest places all along the piece."""

    way: Way
    flat_radius: float  # mm, the tightest; inf where straight
    flat_at: Spot
    flat_ratio: float  # radius over thickness
    edge_radius: float  # mm
    edge_at: Spot
    edge_ratio: float  # radius over width
    edge_set: float  # mm, depth of the curve that is left to force edgewise if the piece is sprung from straight stock
    twist: float  # rad/mm, the most either way
    twist_at: Spot
    depth: float  # mm of the flatwise curve over the piece's length
    wood: Wood | None
    share: float | None  # surface strain as a share of that at which straight-grained wood breaks
    strength: float  # share of the strength left where the grain runs out
    slope: float  # of the grain, from which that follows
    moisture: float  # percent
    strained: float | None  # surface strain as a share of that at which this board's wood breaks: its moisture, run-out
    layers: Layers | None  # where laminating is one of the ways
    sawn_from: float  # mm, width of a board the flatwise curve could be sawn out of

    __repr__ = brief


def bend_verdict(piece: LongPiece, slope: float = 0.0, moisture: float = DRY) -> BendVerdict:
    """What the curve of a piece asks of its wood, whose grain runs out by a slope (0 along the piece).

    One verdict from radius over thickness, strain, run-out and moisture (percent) together.

    Common practice, no single source: radius over 100 thicknesses springs cold, 60 to 100 wants a sample, under 60
    steam, laminations or the saw. A wood strained near its breaking by the handbook, at its moisture and with what its
    run-out costs counted, is tried or steamed sooner; wood that is very dry, or whose grain runs out steeper than 1 in
    12, is tried.
    """
    bends = piece.bends
    along, flat, edge, twist = bends.along, bends.flatwise, bends.edgewise, bends.twist
    f, e, w = (int(np.abs(bend).argmax()) for bend in (flat, edge, twist))
    flat_radius, edge_radius = _radius(flat[f]), _radius(edge[e])
    ratio = flat_radius / piece.thickness
    depth = bow(along, flat)
    wood = wood_called(piece.rules.material)
    share = 1 / (2 * ratio) / wood.breaks_at if wood else None
    left = strength_left(slope)
    strength = least_strength_left() if left is None else left
    strained = 1 / (2 * ratio) / wood.strain_at(moisture) / strength if wood else None
    way = _way(ratio, strained, moisture, slope)
    return BendVerdict(
        way=way,
        flat_radius=flat_radius,
        flat_at=_spot(piece, float(along[f])),
        flat_ratio=ratio,
        edge_radius=edge_radius,
        edge_at=_spot(piece, float(along[e])),
        edge_ratio=edge_radius / piece.width,
        edge_set=bow(along, edge),
        twist=float(np.abs(twist[w])),
        twist_at=_spot(piece, float(along[w])),
        depth=depth,
        wood=wood,
        share=share,
        strength=strength,
        slope=slope,
        moisture=moisture,
        strained=strained,
        layers=None if way is Way.SPRING else _layers(piece, flat_radius, along, flat, depth, strained),
        sawn_from=depth + piece.thickness + 2 * piece.rules.planing,
    )


def _spot(piece: LongPiece, along: float) -> Spot:
    ends = (("the fore end", 0.0), ("the after end", piece.places[-1].along))
    named = [*ends, *((place.name, place.along) for place in piece.places if place.name)]
    name, at = min(named, key=lambda mark: abs(mark[1] - along))
    return Spot(along, name if abs(at - along) < AT_MARK else "")


def bow(along: Floats, curve: Floats) -> float:
    """mm, how deep a line of curvature (n,) 1/mm over running lengths lies off its own chord."""
    at = np.linspace(along[0], along[-1], 201)
    bend, step = np.interp(at, along, curve), at[1] - at[0]
    slope = np.concatenate([[0.0], np.cumsum((bend[1:] + bend[:-1]) / 2 * step)])
    rise = np.concatenate([[0.0], np.cumsum((slope[1:] + slope[:-1]) / 2 * step)])
    return float(np.abs(rise - rise[-1] * (at - at[0]) / (at[-1] - at[0])).max())


def _radius(curve: float) -> float:
    return float(1 / abs(curve)) if abs(curve) > STRAIGHT else float("inf")


def steep_grain(slope: float) -> bool:
    """Whether grain runs out steeper than sprung stock's may."""
    return slope > RUN_OUT_LIMIT * (1 + 1e-6)


def _way(ratio: float, strained: float | None, moisture: float, slope: float) -> Way:
    near = strained or 0.0
    if ratio < BREAKS_DRY:
        return Way.LAMINATE
    if ratio < SAMPLE or near >= NEAR_BREAKING:
        return Way.STEAM
    doubtful = (moisture < BRITTLE or steep_grain(slope)) and np.isfinite(ratio)
    return Way.TRY if ratio < EASY or near >= SURE or doubtful else Way.SPRING


def _layers(
    piece: LongPiece, radius: float, along: Floats, flat: Floats, depth: float, strained: float | None
) -> Layers:
    """As few equal layers as spring cold to their form, which is tighter than the piece by what springs back."""

    def springs(count: int) -> bool:
        harder = overbend(count) / count
        return piece.thickness * harder * EASY <= radius * (1 + 1e-9) and (strained or 0.0) * harder < SURE

    count = next((count for count in range(2, MOST_LAYERS) if springs(count)), MOST_LAYERS)
    turned = float(np.sum((np.abs(flat[1:]) + np.abs(flat[:-1])) / 2 * np.diff(along)))
    arrises = piece.arrises
    longest = max(arrises.lower, arrises.upper, arrises.far_upper, arrises.far_lower)
    strip = longest + turned * piece.thickness + ENDS
    made = form(along, flat, np.array([place.along for place in piece.places]), count)
    return Layers(
        count=count,
        thickness=piece.thickness / count,
        strip=strip,
        springs_back=depth / count**2,
        form=made,
        clamps=int(np.ceil(strip / CLAMPED)) + 1,
    )

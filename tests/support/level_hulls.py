"""Flat-bottomed hulls without rocker, planked from exact lines, and the long pieces asked of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from boats import Cone, ExactHull, Flat, parabola

from patterns.hull.planking.skin import Hull, plank
from patterns.parts.asked.long_rules import ChineLogRules, LongAsked, LongRules, SkegRules, StringerRules
from patterns.parts.asked.rules import Boat
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.longitudinals import long_pieces

DRAIN = np.radians(5.0)
LOG = ChineLogRules("chine log", 38.1, 63.5, "red oak", 1.6, drain=DRAIN)
EVERYTHING = LongAsked(
    chine_logs=(LOG,),
    inwale=LongRules("inwale", 19.0, 38.0, "oak", 1.6),
    outwale=LongRules("outwale", 19.0, 32.0, "oak", 1.6),
    rub_rail=StringerRules("rub rail", 19.0, 25.0, "oak", 1.6, below_sheer=127.0),
    keel_batten=LongRules("keel batten", 127.0, 19.0, "oak", 1.6),
    keelson=LongRules("keelson", 63.0, 38.0, "oak", 1.6),
    stringers=(
        StringerRules("riser", 19.0, 38.0, "oak", 1.6, below_sheer=200.0),
        StringerRules("floor stringer", 38.0, 19.0, "oak", 1.6, from_center=150.0),
    ),
    skeg=SkegRules(2500.0, 100.0, 32.0, "oak"),
)
LEVEL = parabola(0.0, 0.0, 0.0, 1.0)


def level_hull(side: Cone | Flat) -> ExactHull:
    """A side between a level chine and a level sheer: a flat bottom without rocker."""
    return ExactHull(
        "level",
        side,
        parabola(400.0, 0.0, 0.0, 1.0),
        LEVEL,
        np.array([[700.0, 500.0], [760.0, -60.0]]),
        np.array([[3700.0, 500.0], [3640.0, -60.0]]),
    )


def planked(known: ExactHull, **skin: object) -> tuple[Hull, Boat]:
    boat = known.boat()
    boat = replace(boat, skin=replace(boat.skin, **skin))
    return plank(known.lines(), skin=boat.skin, fore=boat.fore, aft=boat.aft), boat  # type: ignore[arg-type]


def piece_of(hull: Hull, asked: LongAsked, title: str) -> LongPiece:
    return next(piece for piece in long_pieces(hull, asked, (), show="mm") if piece.part.title == title)


def log_of(hull: Hull, rules: ChineLogRules = LOG, hand: str = "starboard") -> LongPiece:
    return piece_of(hull, LongAsked(chine_logs=(rules,)), f"chine log, {hand}")

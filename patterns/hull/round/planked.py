"""A round hull, planked: its faired surface as the skin, and how deep inside it planking, ribbands and moulds lie."""

from __future__ import annotations

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.build import Closing, End, LinesTo, Skin
from patterns.hull.fairing import FairedLine, FairedView
from patterns.hull.planking.plank_lines import PlankLines, lay_planks
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.smooth_skin import LevelLine, SmoothSkin
from patterns.hull.round.figures import rabbet_row
from patterns.hull.round.round_hull import RoundHull

ALONG = 401  # places by which the station of a plane is found on an edge of the skin


def plank_round(hull: RoundHull, *, skin: Skin, fore: End, aft: End) -> Hull:
    """The hull with the planking that boat.toml gives, its sheer and its keel (the rabbet) as lines.

    Waterlines, buttocks and diagonals of the table are marked on whatever is cut to the skin.
    """
    outside, inside = _faces(skin)
    planks = planks_on(hull, skin)
    smooth = SmoothSkin(hull.skin, outside, inside, inside + skin.within, _levels(hull), _chines(hull), planks)
    rabbet = rabbet_row(hull.offsets)
    if rabbet is None:
        raise AssertionError("a table without a rabbet is none of a round hull")
    lines = (edge_line(hull, "sheer", "sheer", 1.0), edge_line(hull, "keel", rabbet.name, 0.0))
    return Hull(lines, (), (), Closing.KEEL, fore, aft, smooth=smooth)


def _faces(skin: Skin) -> tuple[float, float]:
    """mm from the surface in to the outside and to the inside of the planking."""
    thickness = skin.planking[0].thickness
    outside = 0.0 if skin.lines_to is LinesTo.OUTSIDE else -thickness
    return outside, outside + thickness


def planks_on(hull: RoundHull, skin: Skin) -> PlankLines | None:
    """The plank lines that boat.toml asks for; None where it asks for none.

    Raises
    ------
    ShapeError
        Breadths that do not fill the girth, or lines that would cross.
    """
    return lay_planks(skin.planks, hull.skin, _faces(skin)[1]) if skin.planks else None


def edge_line(hull: RoundHull, name: str, row_name: str, v: float) -> FairedLine:
    """The sheer (v = 1) or the rabbet (v = 0) as a line of the boat, at the stations that its row has figures at."""
    u = np.linspace(0.0, 1.0, ALONG)
    edge = hull.skin.at(u, np.full(ALONG, v))
    offsets = hull.offsets
    row = offsets.half_breadth(row_name)
    height = offsets.height(row_name).values
    x = offsets.from_fp.copy()
    x[[0, -1]] = edge[[0, -1], 0]
    there = np.isfinite(height)
    there[[0, -1]] = True
    there[1:-1] &= (x[1:-1] > x[0]) & (x[1:-1] < x[-1])
    at = _on_skin(hull, x[there], v)
    columns = tuple(np.array(offsets.columns)[there].tolist())
    given_y = np.zeros(len(columns)) if row is None else row.values[there]
    views = [
        FairedView(columns, x[there], np.where(np.isfinite(given), given, faired), faired)
        for given, faired in ((height[there], at[:, 2]), (given_y, at[:, 1]))
    ]
    return FairedLine(name, *views)


def _on_skin(hull: RoundHull, x: Floats, v: float) -> Floats:
    """(n, 3) mm, an edge of the skin at distances from FP (n,)."""
    u = np.clip(hull.skin.u_at(x, np.full(len(x), v)), 0.0, 1.0)
    return hull.skin.at(u, np.full(len(x), v))


def _chines(hull: RoundHull) -> tuple[str, ...]:
    return tuple(name for name in reversed(hull.offsets.lines) if name.startswith("chine"))


def _levels(hull: RoundHull) -> tuple[LevelLine, ...]:
    """The planes of the table's waterlines and diagonals, from the highest row down."""
    found = []
    for row in (*hull.offsets.half_breadths, *hull.offsets.heights):
        if row.name.startswith("waterline"):
            found.append(LevelLine(row.name, np.array([0.0, 0.0, 1.0]), row.level))
    found.sort(key=lambda one: -one.distance)
    for one in hull.diagonals:
        square = np.array([0.0, np.sin(one.angle), np.cos(one.angle)])
        found.append(LevelLine(one.name, square, one.apex * float(np.cos(one.angle))))
    return tuple(found)

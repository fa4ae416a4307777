"""The outside of the planking to the sheer as one closed body: what displaces water.

A half of a hull is a grid of points, rows from the sheer down and columns from the fore end aft, whatever it is that
lies under it; `closed` makes the body of it. A hull whose surface is no strakes gives its own grid.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.floating import Body
from patterns.geometry.meshes import Mesh
from patterns.geometry.ruled import carried_on, numbers_between
from patterns.hull.build import Joint, TransomFace
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face, Strake, tip_of

COLUMNS = 121  # along the boat
ROWS = 9  # down each strake
SMOOTH_ROWS = 41  # up the whole girth of a round hull
ATHWART = 12  # strips that a bowed transom is cut to from side to side
SAME_POINT = 1e-5  # mm; points no further apart are one

BowOf = Callable[[Floats], Floats]
"""Moves points (n, 3) straight across an end onto its face."""


def outside_body(hull: Hull) -> Body:
    """The outside of the planking, closed along the sheer by a lid, and at its ends by the faces it ends on.

    Keel and skeg outside the planking are no part of it; nor is what a stem or a transom's crown adds.

    Raises
    ------
    ShapeError
        Where the skin does not reach an end.
    """
    if hull.smooth:
        half = hull.smooth.grid(hull.smooth.outside, SMOOTH_ROWS, COLUMNS)
        return closed(half, fore=_onto_end(hull, aft=False), aft=_onto_end(hull, aft=True))
    # Two outsides meet in the line, or beside it where both are moved out; what runs on past that is planed off.
    corners = tuple(one if one.lapped else replace(one, joint=Joint.HALF_ANGLE) for one in hull.corners)
    faired = replace(hull, corners=corners)
    grid = np.concatenate([_rows(faired, strake) for strake in faired.strakes])
    return closed(grid, fore=_onto_end(hull, aft=False), aft=_onto_end(hull, aft=True))


def closed(half: Floats, *, fore: BowOf | None = None, aft: BowOf | None = None) -> Body:
    """The body of a hull whose starboard half is a grid, its port half the image of it.

    Parameters
    ----------
    half : (rows, columns, 3) mm
        From the sheer down to the centre plane or the side of a keel, and from the fore end aft. A point may be
        repeated, as where a row ends in a point.
    fore, aft : BowOf
        Of an end that is bowed, what brings points straight across it onto its face.
    """
    strips = ATHWART if fore or aft else 1
    share = np.linspace(0.0, 1.0, strips + 1)[:, None, None]
    port = half * (1.0, -1.0, 1.0)

    def across(starboard: Floats) -> Floats:
        """(n, strips + 1, 3) from points (n, 3) to their images."""
        return np.moveaxis(starboard + share * (starboard * (1.0, -1.0, 1.0) - starboard), 0, 1)

    ends = [across(half[:, column]) for column in (0, -1)]
    ends = [
        end if onto is None else onto(end.reshape(-1, 3)).reshape(end.shape)
        for end, onto in zip(ends, (fore, aft), strict=True)
    ]
    for end in ends:  # the edges of the planking stay as they are
        end[:, 0] = half[:, 0 if end is ends[0] else -1]
        end[:, -1] = port[:, 0 if end is ends[0] else -1]
    top, bottom = across(half[0]), across(half[-1])
    for strip, row in ((top, 0), (bottom, -1)):
        strip[0], strip[-1] = ends[0][row], ends[1][row]
    grids = [half, port[:, ::-1], ends[0][:, ::-1], ends[1], bottom[::-1], top]
    numbered, triangles = _welded(grids)
    lid = np.concatenate([np.full(len(one), number == len(grids) - 1) for number, one in enumerate(triangles)])
    joined = np.concatenate(triangles)
    solid = (joined != np.roll(joined, 1, axis=1)).all(axis=1)
    mesh = Mesh(numbered, joined[solid])
    return Body(mesh.outward(), lid[solid])


def _welded(grids: list[Floats]) -> tuple[Floats, list[NDArray[np.intp]]]:
    """The points of all grids, each once, and the triangles of each grid."""
    points = np.concatenate([grid.reshape(-1, 3) for grid in grids])
    _, first, numbers = np.unique(
        np.round(points / SAME_POINT).astype(np.int64), axis=0, return_index=True, return_inverse=True
    )
    numbers = numbers.reshape(-1)
    triangles, start = [], 0
    for grid in grids:
        rows, columns = grid.shape[:2]
        own = numbers[start : start + rows * columns].reshape(rows, columns)
        a, b, c, d = own[:-1, :-1], own[1:, :-1], own[1:, 1:], own[:-1, 1:]
        halves = [np.stack(corners, axis=-1).reshape(-1, 3) for corners in ((a, b, c), (a, c, d))]
        triangles.append(np.concatenate(halves))
        start += rows * columns
    return points[first], triangles


def _rows(hull: Hull, strake: Strake) -> Floats:
    """(ROWS, COLUMNS, 3) mm of the outside of a strake; of one athwart the starboard half."""
    whole = hull.outside(strake)
    upper, lower = carried_on(whole.upper), carried_on(whole.lower)
    ends = [_end(hull, strake, Face(whole.depth, upper, lower), aft=aft) for aft in (False, True)]
    if strake.athwart:
        lower = np.zeros_like(upper)
    s_upper, s_lower = (
        _spaced(strake, whole.depth, edge, ends[0][row], ends[1][row]) for edge, row in ((upper, 0), (lower, -1))
    )
    down, along = np.linspace(0.0, 1.0, ROWS)[:, None], np.linspace(0.0, 1.0, COLUMNS)
    fore, after = ends[0][:, None], ends[1][:, None]
    # A patch between four edges: what each two that face each other give, less what all four corners give.
    # Source: S. A. Coons, Surfaces for computer-aided design of space forms, MIT MAC-TR-41 (1967); from memory.
    s = (
        (1 - down) * s_upper
        + down * s_lower
        + (1 - along) * (fore - (1 - down) * fore[0] - down * fore[-1])
        + along * (after - (1 - down) * after[0] - down * after[-1])
    )
    flat = s.ravel()
    top, foot = (strake.ruled.at(edge, flat) for edge in (upper, lower))
    share = np.broadcast_to(down, s.shape).ravel()
    return strake.ruled.point(flat, top + share * (foot - top), whole.depth).reshape(ROWS, COLUMNS, 3)


def _end(hull: Hull, strake: Strake, face: Face, *, aft: bool) -> Floats:
    """(ROWS,) ruling numbers where a strake ends, from its upper edge to its lower one, or to the centre plane."""
    if strake.pointed[aft]:
        return np.full(ROWS, tip_of(strake, face, aft=aft))
    half = replace(face, lower=np.zeros_like(face.upper)) if strake.athwart else face
    return hull.end_places(strake, half, aft=aft, lanes=ROWS)[0]


def _spaced(strake: Strake, depth: float, edge: Floats, first: float, last: float) -> Floats:
    """(COLUMNS,) ruling numbers evenly by length along an edge."""
    s = numbers_between(first, last)
    run = run_along(strake.ruled.point(s, strake.ruled.at(edge, s), depth))
    return np.interp(np.linspace(0.0, run[-1], COLUMNS), run, s)


def _onto_end(hull: Hull, *, aft: bool) -> BowOf | None:
    """What brings points onto a transom that is bowed; None for every other end."""
    end, cut = (hull.aft, hull.aft_cut) if aft else (hull.fore, hull.fore_cut)
    if not isinstance(end, TransomFace) or end.radius is None:
        return None

    def onto(points: Floats) -> Floats:
        return np.asarray(points - cut.signed(points)[:, None] * (1.0, 0.0, 0.0))

    return onto

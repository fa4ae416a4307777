"""Arrays as values: checked, copied and locked against change."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def read_only(values: ArrayLike, *, columns: int | None = None, blanks: bool = False) -> Floats:
    """A locked copy of ``values`` as float64.

    Parameters
    ----------
    values : array-like
        One-dimensional, or (n, columns) where ``columns`` is given.
    blanks : bool
        Whether NaN is allowed (a blank cell of a table).

    Raises
    ------
    ValueError
        A wrong shape, or a value that is not finite: a bug of ours, not of the builder.
    """
    array = np.array(values, dtype=np.float64)
    if columns is None:
        if array.ndim != 1:
            raise ValueError(f"expected one row of numbers, got shape {array.shape}")
    elif array.ndim != 2 or array.shape[1] != columns:
        raise ValueError(f"expected (n, {columns}), got shape {array.shape}")
    finite = np.isfinite(array)
    if np.count_nonzero(finite | np.isnan(array) if blanks else finite) < array.size:
        raise ValueError("a value is not finite")
    array.flags.writeable = False
    return array


def lengths(vectors: Floats) -> Floats:
    """Length of each of (..., k) vectors."""
    return np.asarray(np.sqrt(np.vecdot(vectors, vectors)))


def unit(vectors: Floats) -> Floats:
    """Vectors of length one in the directions of (..., k) vectors."""
    return vectors / lengths(vectors)[..., None]


def dots(a: Floats, b: Floats) -> Floats:
    """Scalar products of (..., k) vectors, pair by pair."""
    return np.asarray(np.vecdot(a, b))


def crossed(a: Floats, b: Floats) -> Floats:
    """Vector products of (..., 3) vectors, pair by pair: ``np.cross``, without what it does for other shapes."""
    ax, ay, az, bx, by, bz = a[..., 0], a[..., 1], a[..., 2], b[..., 0], b[..., 1], b[..., 2]
    product = np.empty(np.broadcast_shapes(a.shape, b.shape))
    product[..., 0] = ay * bz - az * by
    product[..., 1] = az * bx - ax * bz
    product[..., 2] = ax * by - ay * bx
    return product


def held_between(values: Floats, low: float | Floats, high: float | Floats) -> Floats:
    """Values held between two limits, as ``np.clip`` does, which takes thrice as long over a short row."""
    return np.asarray(np.minimum(np.maximum(values, low), high))


def interpolated(at: Floats, sites: Floats, rows: Floats) -> Floats:
    """(m, k) rows (n, k) at places (m,), straight between their sites (n,), which need not be in order."""
    order = sites.argsort(kind="stable")
    return np.stack([np.interp(at, sites[order], column) for column in rows[order].T], axis=1)


def evenly(length: float, count: int) -> Floats:
    """(count,) places from 0 to a length, two or more: ``np.linspace``, which takes six times as long over a few."""
    places = np.arange(float(count)) * (length / (count - 1))
    places[-1] = length
    return places


def one_back(ring: NDArray[Any]) -> NDArray[Any]:
    """For each of a closed row (n, ...) the one before it."""
    return np.concatenate([ring[-1:], ring[:-1]])


def one_on(ring: NDArray[Any]) -> NDArray[Any]:
    """For each of a closed row (n, ...) the one after it."""
    return np.concatenate([ring[1:], ring[:1]])


def run_along(points: Floats) -> Floats:
    """Running length along (n, k) points, (n,) from 0."""
    run = np.zeros(max(1, len(points)))
    np.cumsum(lengths(points[1:] - points[:-1]), out=run[1:])
    return run

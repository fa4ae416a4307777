"""Places for lettering along a line: parallel to it, readable upright, at growing distances on either side."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from patterns.drawing.text import text_reach, text_width
from patterns.geometry.arrays import Floats, run_along, unit

# Text on a nearly upright line reads from the right, as drawings do; the bounds lean so that lines a few
# degrees either side of upright read the same way.
_LOWEST = np.deg2rad(-80.0)  # rad
_BESIDE_LINE = 1.5  # mm from a line's middle to lettering beside it: the clearance and half the heaviest pen
_FROM_END = 6.0  # mm kept from a line's ends, where crosses stand and other lines meet it


def upright(angles: Floats) -> Floats:
    """Angles turned half round where text along them would stand on its head, rad."""
    return np.asarray(np.mod(angles - _LOWEST, np.pi) + _LOWEST)


def point_at(line: Floats, along: Floats) -> Floats:
    """Points of (n, 2) ``line`` at running lengths (m,), (m, 2); the end tangents carry on past its ends."""
    run = run_along(line)
    points = np.column_stack([np.interp(along, run, line[:, axis]) for axis in (0, 1)])
    if along.min() >= 0.0 and along.max() <= run[-1]:
        return points
    before, after = np.minimum(along, 0.0)[:, None], np.maximum(along - run[-1], 0.0)[:, None]
    [start], [end] = unit(line[1:2] - line[:1]), unit(line[-1:] - line[-2:-1])
    return np.asarray(points + before * start + after * end)


def line_gap(text: str, size: float) -> float:
    """Distance from a line to the middle of text lettered close beside it, mm."""
    return max(text_reach(text, size)) + _BESIDE_LINE


def left_of(line: Floats, along: Floats) -> Floats:
    """Unit vectors to the left of (n, 2) ``line`` at running lengths (m,), (m, 2)."""
    ahead = unit(point_at(line, along + 0.5) - point_at(line, along - 0.5))
    return np.column_stack([-ahead[:, 1], ahead[:, 0]])


def steps(gaps: Sequence[float], shifts: Sequence[float] = (0.0,)) -> Floats:
    """Every gap with every shift, (n, 2), all shifts of the first gap first."""
    return np.array([(gap, shift) for gap in gaps for shift in shifts], dtype=np.float64).reshape(-1, 2)


def beside(line: Floats, text: str, *, size: float, along: float, offsets: Floats, within: bool = True) -> Floats:
    """Places for the middle of ``text`` beside a line, (n, 3): x, y mm and angle rad, in the order asked.

    Parameters
    ----------
    along : mm
        Where on the line the text belongs.
    offsets : (n, 2) mm
        Distance from the line to the middle of the text, to the left positive; shift along the line from where
        the text belongs.
    within : bool
        Whether a text shorter than the line is kept between the line's ends.
    """
    half = text_width(text, size) / 2
    length = float(run_along(line)[-1])
    at = along + offsets[:, 1]
    if within and length > 2 * half:
        keep = half + min(_FROM_END, length / 2 - half)
        at = np.clip(at, keep, length - keep)
    start, middle, end = point_at(line, np.concatenate([at - half, at, at + half])).reshape(3, -1, 2)
    ahead = unit(end - start)
    left = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    angle = upright(np.arctan2(ahead[:, 1], ahead[:, 0]))
    return np.column_stack([middle + offsets[:, :1] * left, angle])


def spread(length: float, *, every: float) -> Floats:
    """Running lengths for a name repeated along a line: evenly spaced, no more than ``every`` apart, (n,) mm."""
    count = max(1, round(length / every))
    return np.asarray((np.arange(count) + 0.5) * length / count)

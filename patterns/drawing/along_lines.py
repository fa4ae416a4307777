"""Places for lettering along a line: parallel to it, readable upright, at growing distances on either side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """A line with the running lengths of its points, for many questions to one line."""

    points: Floats  # (n, 2) mm
    run: Floats  # (n,) mm

    @classmethod
    def of(cls, points: Floats) -> Course:
        return cls(points, run_along(points))

    @property
    def length(self) -> float:
        """mm."""
        return float(self.run[-1])

    def at(self, along: Floats) -> Floats:
        """Points at running lengths (m,), (m, 2); the end tangents carry on past its ends."""
        line, run = self.points, self.run
        points = np.empty((len(along), 2))
        points[:, 0], points[:, 1] = np.interp(along, run, line[:, 0]), np.interp(along, run, line[:, 1])
        if along.min() >= 0.0 and along.max() <= run[-1]:
            return points
        before, after = np.minimum(along, 0.0)[:, None], np.maximum(along - run[-1], 0.0)[:, None]
        [start], [end] = unit(line[1:2] - line[:1]), unit(line[-1:] - line[-2:-1])
        return np.asarray(points + before * start + after * end)

    def left(self, along: Floats) -> Floats:
        """Unit vectors to the left at running lengths (m,), (m, 2)."""
        ends = self.at(np.concatenate([along - 0.5, along + 0.5]))
        ahead = unit(ends[len(along) :] - ends[: len(along)])
        return np.column_stack([-ahead[:, 1], ahead[:, 0]])


def line_gap(text: str, size: float) -> float:
    """Distance from a line to the middle of text lettered close beside it, mm."""
    return max(text_reach(text, size)) + _BESIDE_LINE


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
    width = np.array([text_width(text, size)])
    places = all_beside(Course.of(line), width, along=np.array([along]), offsets=offsets, within=within)
    return np.asarray(places[0])


def all_beside(line: Course, widths: Floats, *, along: Floats, offsets: Floats, within: bool = True) -> Floats:
    """Places for many texts beside one line, (k, n, 3), each as `beside` gives them.

    Parameters
    ----------
    widths, along : (k,) mm
        Of each text, and where on the line it belongs.
    offsets : (k, n, 2), or (n, 2) for all alike
    """
    half = widths[:, None] / 2
    length = line.length
    at = along[:, None] + offsets[..., 1]
    if within:
        keep = half + np.minimum(_FROM_END, length / 2 - half)
        at = np.where(length > 2 * half, np.clip(at, keep, length - keep), at)
    start, middle, end = line.at(np.concatenate([at - half, at, at + half]).reshape(-1)).reshape(3, *at.shape, 2)
    ahead = unit(end - start)
    places = np.empty((*at.shape, 3))
    gap = offsets[..., 0]
    places[..., 0], places[..., 1] = middle[..., 0] - gap * ahead[..., 1], middle[..., 1] + gap * ahead[..., 0]
    places[..., 2] = upright(np.arctan2(ahead[..., 1], ahead[..., 0]))
    return places


def spread(length: float, *, every: float) -> Floats:
    """Running lengths for a name repeated along a line: evenly spaced, no more than ``every`` apart, (n,) mm."""
    count = max(1, round(length / every))
    return np.asarray((np.arange(count) + 0.5) * length / count)

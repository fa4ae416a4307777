"""The lines a joint ends its pieces by: straight across, or teeth a router cuts."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from patterns.geometry.arrays import Floats, read_only, unit

DOVETAIL = np.radians(10.0)  # rad, a tooth's flanks off square: they draw the joint together, and no neck is weak
CHORD = 0.002  # mm, from the chords of a rounded corner to its arc
LEAST_TEETH = 2
PITCH = 2.4  # of a tooth's depth, from tooth to tooth
SHOULDER = 0.5  # of a pitch, straight at either edge of the panel, where a tooth would be a splinter
TURNING = 1.05  # of the cutter's radius: a cutter that just fits a corner stands still there and burns it


@dataclass(frozen=True, slots=True, eq=False)
class JointLine:
    """One end of a piece, square through the wood. Where it meets the panel's edges it runs straight across."""

    x: float  # mm, at the panel's edges
    teeth: Floats = field(default_factory=lambda: np.zeros((0, 2)))  # (n, 2) mm, upward, between its straight ends

    def __post_init__(self) -> None:
        object.__setattr__(self, "teeth", read_only(self.teeth, columns=2))

    def between(self, start: Floats, end: Floats) -> Floats:
        """(n, 2) mm, from one edge of the panel to the other."""
        teeth = self.teeth if start[1] < end[1] else self.teeth[::-1]
        return np.concatenate([[start], teeth, [end]])


def toothed_line(
    at: float, low: float, high: float, *, depth: float, radius: float, clearance: float
) -> tuple[JointLine, JointLine]:
    """The teeth of a toothed joint across a panel: where the fore piece ends, and where the after piece begins.

    Parameters
    ----------
    at : mm
        x of the middle between the teeth's necks and heads.
    low, high : mm
        y of the panel's edges there.
    depth : mm
        From necks to heads.
    radius : mm
        Of the cutter; every corner is rounded a little wider, so it reaches into all of them on both pieces.
    clearance : mm
        Between the two pieces, square to the line, half of it taken from either.
    """
    corners = _corners(at, low, high, depth)
    points, right = _rounded(corners, TURNING * radius + clearance / 2)
    # The line runs upward: to its left lies the fore piece.
    half = clearance / 2
    shoulder = at - depth / 2
    return (
        JointLine(shoulder - half, points - half * right),
        JointLine(shoulder + half, points + half * right),
    )


def _corners(at: float, low: float, high: float, depth: float) -> Floats:
    """(n, 2) mm, the sharp corners of the teeth, upward, with a place on either shoulder."""
    count = max(LEAST_TEETH, int((high - low) / (PITCH * depth) - 2 * SHOULDER + 0.5))
    pitch = (high - low) / (count + 2 * SHOULDER)
    over = depth * np.tan(DOVETAIL) / 2
    neck, head = at - depth / 2, at + depth / 2
    first = low + SHOULDER * pitch
    corners = [(neck, low + SHOULDER * pitch / 4)]
    for tooth in range(count):
        middle = first + (tooth + 0.5) * pitch
        corners += [
            (neck, middle - pitch / 4 + over),
            (head, middle - pitch / 4 - over),
            (head, middle + pitch / 4 + over),
            (neck, middle + pitch / 4 - over),
        ]
    return np.array([*corners, (neck, high - SHOULDER * pitch / 4)])


def _rounded(corners: Floats, radius: float) -> tuple[Floats, Floats]:
    """A line of straight runs with its corners rounded: points (n, 2) mm and, there, unit normals to its right."""
    points, normals = [corners[0]], [_right(unit(corners[1] - corners[0]))]
    for before, corner, behind in zip(corners[:-2], corners[1:-1], corners[2:], strict=True):
        come, go = unit(corner - before), unit(behind - corner)
        turn = float(np.arctan2(come[0] * go[1] - come[1] * go[0], come @ go))
        side = np.sign(turn)
        start = corner - come * radius * np.tan(abs(turn) / 2)
        centre = start - side * radius * _right(come)
        steps = int(np.ceil(abs(turn) / (2 * np.arccos(1 - CHORD / radius)))) + 1
        for angle in np.linspace(0.0, turn, steps):
            way = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]) @ come
            points.append(centre + side * radius * _right(way))
            normals.append(_right(way))
    points.append(corners[-1])
    normals.append(_right(unit(corners[-1] - corners[-2])))
    return np.array(points), np.array(normals)


def _right(way: Floats) -> Floats:
    return np.array([way[1], -way[0]])

"""What a plane across the boat finds inside the planking: the shape frames and transoms are cut to."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.geometry.cuts import Plane
from patterns.geometry.skin_faces import Loop
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.smooth_skin import SmoothSkin

LANES = 65  # places along the side, and along half the bottom
LEAST_STEP = 0.05  # mm; what is less between two lapped strakes is no step in wood
ON_ONE_LINE = 0.25  # mm off the centre plane; planking of both hands that ends nearer to it ends on one line
BOTTOM_HALF = 8.0  # mm, half of the edge that is called the bottom of a mould where no keel is between the halves
ABOVE_SHEER = 120.0  # mm the side is carried on above its top edge, so that slanting tops can be trimmed to length


@dataclass(frozen=True, eq=False)
class Section:
    """The inside of the planking on the starboard side where a plane cuts it; points in space, or in the plane's view.

    Neighbouring runs share the corner between their strakes.
    """

    runs: tuple[Floats, ...]  # (n, 3) or (n, 2) mm each, one for each strake standing, from the lowest up
    above: Floats  # (m, 3) mm, the topmost carried on above the sheer
    stepped: tuple[bool, ...]  # of each run, whether its first stretch is the edge of the lapped strake below
    floor: Floats  # (k, 3) mm, from the lowest port corner to the starboard one, along the bottom; its middle is midway
    loops: tuple[Loop, ...] = ()  # of a round hull, where its planking is thicker than the hull is round
    steepest: float = 0.0  # rad, of a round hull, the most that its skin is out of square to a station here

    @property
    def side(self) -> Floats:
        """All runs as one, from the lowest corner up to the sheer."""
        return np.concatenate([self.runs[0], *(run[1:] for run in self.runs[1:])])


def cut_inside(hull: Hull, plane: Plane, *, mould: bool = False) -> Section:
    """The inside of the planking cut by a plane.

    Parameters
    ----------
    mould : bool
        Whether a mould is cut to it, which stands inside ribbands and bent frames too.

    Raises
    ------
    ShapeError
        Where the plane misses the planking.
    """
    if hull.smooth:
        return _cut_smooth(hull.smooth, plane, mould=mould)
    runs: list[Floats] = []
    for strake in hull.standing:
        face, ruled = hull.between_corners(strake), strake.ruled
        s, t = ruled.crossing(plane.signed, face.upper, face.lower, face.depth, lanes=LANES)
        runs.insert(0, ruled.point(s, t, face.depth)[::-1])
    stepped = [False] * len(runs)
    for number in range(1, len(runs)):
        below, run = runs[number - 1], runs[number]
        corner = hull.corner_below(hull.standing[-1 - number])
        if corner and corner.lapped:
            # The upper strake stands off the corner by what its bevel leaves of the lower one's edge: a step.
            stepped[number] = bool(lengths(run[0] - below[-1]) >= LEAST_STEP)
            runs[number] = np.concatenate([below[-1:], run]) if stepped[number] else run
            runs[number][0] = below[-1]
        else:
            # Both skins were brought to the corner; one of them has to name it, so that outlines close: the one above.
            below[-1] = run[0]
    return Section(tuple(runs), _above(hull, plane), tuple(stepped), _floor(hull, plane, runs[0][0]))


def _cut_smooth(skin: SmoothSkin, plane: Plane, *, mould: bool) -> Section:
    """The same of a round hull: one run, from the timber on the centre line up to the sheer."""
    found = skin.section(plane, skin.depth_of(mould=mould))
    run, steepest = found.cut.points, float(np.abs(found.cut.bevels).max())
    if found.half > ON_ONE_LINE:
        across = run[0] * np.array([[1.0, -1.0, 1.0], [1.0, 0.0, 1.0], [1.0, 1.0, 1.0]])
        return Section((run,), found.above, (False,), across, found.loops, steepest)
    # Both halves come together on the centre plane: its lowest stretch stands for the edge across a keel.
    outward, side = _parted(run, BOTTOM_HALF)
    outward[0, 1] = 0.0
    across = np.concatenate([outward[:0:-1] * (1.0, -1.0, 1.0), outward])
    return Section((side,), found.above, (False,), across, found.loops, steepest)


def _parted(run: Floats, half: float) -> tuple[Floats, Floats]:
    """A run (n, 3) from the centre plane up, parted where it first lies so far out."""
    first = max(1, int((run[:, 1] > half).argmax()))
    share = (half - run[first - 1, 1]) / (run[first, 1] - run[first - 1, 1])
    there = run[first - 1] + np.clip(share, 0.1, 0.9) * (run[first] - run[first - 1])
    return np.concatenate([run[:first], [there]]), np.concatenate([[there], run[first:]])


def from_corner_to_corner(section: Section) -> Section:
    """A section without the steps of laps: what a mould is cut to; lapped strakes touch it at their upper edges alone.

    Each run is brought in to the corner at its foot, less and less on its way up to its head.
    """
    runs = []
    for stepped, run in zip(section.stepped, section.runs, strict=True):
        if stepped:
            foot, free = run[0], run[1:]
            share = 1 - run_along(free) / run_along(free)[-1]
            runs.append(free + share[:, None] * (foot - free[0]))
        else:
            runs.append(run)
    return replace(section, runs=tuple(runs), stepped=(False,) * len(runs))


def _above(hull: Hull, plane: Plane) -> Floats:
    strake = hull.sheer_strake
    upper = hull.between_corners(strake).upper
    s, t = strake.ruled.crossing(plane.signed, upper - ABOVE_SHEER, upper, strake.inside, lanes=LANES)
    return strake.ruled.point(s, t, strake.inside)[::-1][1:]


def _floor(hull: Hull, plane: Plane, corner: Floats) -> Floats:
    """From the image of a corner to that corner, along the bottom."""
    strake, face = hull.floor, hull.between_corners(hull.floor)
    if not strake.athwart:
        s, t = strake.ruled.crossing(plane.signed, face.upper, face.lower, face.depth, lanes=LANES)
        outward = strake.ruled.point(s, t, face.depth)[::-1]
        outward[-1] = corner
        inward = outward[::-1] * (1.0, -1.0, 1.0)
        # On the centre plane both halves end in one place; on the faces of a keel the floor runs on across it.
        middle = outward[:1] * (1.0, 0.0, 1.0)
        return np.concatenate(
            [inward if hull.half > 0 else inward[:-1], middle, outward if hull.half > 0 else outward[1:]]
        )
    s, t = strake.ruled.crossing(plane.signed, face.lower, face.upper, face.depth, lanes=2 * LANES - 1)
    across = strake.ruled.point(s, t, face.depth)
    across[-1], across[0] = corner, corner * (1.0, -1.0, 1.0)
    return across


def in_view(plane: Plane, section: Section) -> Section:
    """A section as the plane's own view has it, (n, 2) mm; of whichever side of the boat lies on the right there."""

    # The starboard half stands for both: whichever hand lies on the right, the boat is alike on both.
    def seen(points: Floats) -> Floats:
        return plane.flat(points) * (np.sign(plane.right[1]), 1.0)

    runs = tuple(map(seen, section.runs))
    return replace(section, runs=runs, above=seen(section.above), floor=seen(section.floor))


def half_edge(section: Section) -> Floats:
    """(n, ...) mm, a section from the centre line along the bottom and up to the sheer."""
    return np.concatenate([section.floor[len(section.floor) // 2 :], section.side[1:]])


def over(points: Floats) -> Floats:
    """Points on the other side of the centre line."""
    return np.asarray(points * (-1.0, 1.0))

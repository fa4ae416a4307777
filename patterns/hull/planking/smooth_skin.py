"""The planking of a hull whose skin is one smooth surface: what planes across the boat find at a depth inside it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, unit
from patterns.geometry.cuts import Plane
from patterns.geometry.skin_faces import FaceCut, Loop, Surface, cut_face
from patterns.hull.planking.plank_lines import PlankLines

ABOVE_SHEER = 120.0  # mm the side is carried on straight above the sheer, for slanting tops
AT_EDGE = 1e-4  # of u; a cut along an edge, as a transom's plane makes, lies on it within rounding
ON_TIMBER = 1e-6  # mm; a face that begins no further out than this begins on the timber


@dataclass(frozen=True, slots=True, eq=False)
class SmoothSection:
    """The starboard half of a face where a plane cuts it, from the timber on the centre line up to the sheer."""

    cut: FaceCut  # its first point lies on the timber's side
    half: float  # mm, half the siding of the timber there
    above: Floats  # (m, 3) mm, carried on straight above the sheer

    @property
    def loops(self) -> tuple[Loop, ...]:
        """What the thickness of the planking has swallowed."""
        return self.cut.loops


@dataclass(frozen=True, slots=True, eq=False)
class LevelLine:
    """The plane of a waterline or a diagonal of the table."""

    name: str  # "waterline 200", "diagonal A"
    square_to: Floats  # (3,) unit, up
    distance: float  # mm from the origin along it

    def signed(self, points: Floats) -> Floats:
        """(...) mm, how far points (..., 3) of the starboard half lie above it."""
        return np.asarray(points @ self.square_to - self.distance)


@dataclass(frozen=True, slots=True, eq=False)
class SmoothSkin:
    """The skin of a round hull and how deep its faces lie."""

    surface: Surface  # u from the fore end to the after end, v from the rabbet to the sheer
    outside: float  # mm from the surface in to the planking's outside: 0, or less where the lines give the inside
    inside: float  # mm in to the planking's inside: what stem and transom are cut to
    moulds: float  # mm in to what the moulds are cut to: further where ribbands or bent frames lie between
    levels: tuple[LevelLine, ...] = ()  # marked on whatever is cut to the skin
    chines: tuple[str, ...] = ()  # names of the hard turns at the surface's corners, from the keel up
    planks: PlankLines | None = None  # marked too

    def depth_of(self, *, mould: bool) -> float:
        """mm from the surface in to what a mould, or a frame that stays in the boat, is cut to."""
        return self.moulds if mould else self.inside

    def section(self, plane: Plane, depth: float) -> SmoothSection:
        """The face at a depth, cut by a plane across the boat and ended on the side of keel, stem or sternpost.

        Raises
        ------
        ShapeError
            Where the plane misses the planking, or nothing is left inside it.
        """
        surface = cut_face(self.surface, plane, 0.0, near=self._near(plane))
        half = max(0.0, float(_on_edge(surface)[0]))
        near = float(surface.u[len(surface.u) // 2])
        cut = cut_face(self.surface, plane, depth, near=near) if depth else surface
        kept = _outside_timber(cut, half)
        run = kept.points[-1] - kept.points[-2]
        above = kept.points[-1] + unit(run) * np.linspace(0.0, ABOVE_SHEER, 9)[1:, None]
        return SmoothSection(kept, half, above)

    def _near(self, plane: Plane) -> float:
        """u to begin from: about where the plane crosses the boat half way up."""
        u = np.linspace(0.0, 1.0, 33)
        return float(u[np.abs(plane.signed(self.surface.places(u, np.full(33, 0.5)).points)).argmin()])

    def grid(self, depth: float, rows: int, columns: int) -> Floats:
        """(rows, columns, 3) mm, a face of the starboard half: rows from the sheer down, columns from forward aft."""
        u, v = np.meshgrid(np.linspace(0.0, 1.0, columns), np.linspace(1.0, 0.0, rows))
        found = self.surface.places(u.ravel(), v.ravel())
        return np.asarray((found.points - depth * found.normals).reshape(rows, columns, 3))

    def rabbet_at(self, plane: Plane) -> tuple[float, float]:
        """mm each: half-breadth and height of the rabbet where a plane crosses keel, stem or sternpost."""
        half, height = _on_edge(cut_face(self.surface, plane, 0.0, near=self._near(plane))).tolist()
        return max(0.0, half), height


def _on_edge(cut: FaceCut) -> Floats:
    """(2,) mm, half-breadth and height of the surface's lowest point on a plane: on keel, stem or sternpost."""
    inside = (cut.u >= -AT_EDGE) & (cut.u <= 1 + AT_EDGE)
    if not inside.any():
        raise ShapeError("the plane does not cut the planking")
    first = int(inside.argmax())
    if first == 0:
        return np.asarray(cut.points[0, 1:])
    edge = 0.0 if cut.u[first - 1] < 0 else 1.0
    share = (edge - cut.u[first - 1]) / (cut.u[first] - cut.u[first - 1])
    before, after = cut.points[[first - 1, first], 1:]
    return np.asarray(before + share * (after - before))


def _outside_timber(cut: FaceCut, half: float) -> FaceCut:
    """A face from where it comes out of the timber's side, looked for from the sheer down."""
    y = cut.points[:, 1]
    within = np.flatnonzero(y < half - ON_TIMBER)
    if not len(within):
        return cut
    last = int(within[-1])
    if last >= len(y) - 2:
        raise ShapeError("nothing is left inside the planking: it is as thick as the hull is broad there")
    share = (half - y[last]) / (y[last + 1] - y[last])

    def ended(values: Floats) -> Floats:
        there = values[last] + share * (values[last + 1] - values[last])
        return np.concatenate([[there], values[last + 1 :]])

    points = ended(cut.points)
    points[0, 1] = half
    return FaceCut(ended(cut.u), ended(cut.v), points, ended(cut.normals), cut.loops)

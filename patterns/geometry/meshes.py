"""Bodies of wood as closed meshes of triangles: wood between two faces, whatever way each face lies in space."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, LineString, Polygon

from patterns.geometry.arrays import Floats, crossed, dots, read_only, run_along
from patterns.geometry.short_repr import brief

Lift = Callable[[Floats], Floats]
"""Takes places (n, 2) of a pattern to points (n, 3) in space."""

Numbers = NDArray[np.intp]
SAME_POINT = 1e-9  # mm
GRID = 1e-4  # mm; points of a pattern that lie no further apart are one


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """A body by its skin: each edge belongs to two triangles, which run along it in opposite ways."""

    points: Floats  # (n, 3) mm
    triangles: Numbers  # (m, 3) numbers of points, counter-clockwise as seen from outside

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=3))
        triangles = np.array(self.triangles, dtype=np.intp)
        triangles.flags.writeable = False
        object.__setattr__(self, "triangles", triangles)

    @property
    def corners(self) -> Floats:
        """(m, 3, 3) mm, the points of each triangle."""
        return np.asarray(self.points[self.triangles])

    @property
    def volume(self) -> float:
        """mm3. Source: the divergence theorem, a sixth of the sum of the corners' triple products."""
        a, b, c = np.moveaxis(self.corners - self.middle, 1, 0)
        return float(dots(a, crossed(b, c)).sum() / 6)

    @property
    def middle(self) -> Floats:
        """(3,) mm, of the box that just holds it."""
        return np.asarray((self.points.min(axis=0) + self.points.max(axis=0)) / 2)

    @property
    def centroid(self) -> Floats:
        """(3,) mm, of its volume: that of the tetrahedra between its triangles and one point, each by its volume."""
        middle = self.middle
        a, b, c = np.moveaxis(self.corners - middle, 1, 0)
        parts = dots(a, crossed(b, c)) / 6
        return np.asarray(middle + (parts[:, None] * (a + b + c) / 4).sum(axis=0) / parts.sum())

    @property
    def torn(self) -> int:
        """How many edges are not shared by two triangles that run along them in opposite ways; none if it is closed."""
        ways = self.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
        count = len(self.points)
        there, times = np.unique(ways @ (count, 1), return_counts=True)
        back = np.isin(ways[:, ::-1] @ (count, 1), there)
        return int((~back).sum() + (times - 1).sum())

    def mirrored(self) -> Mesh:
        """The same body on the other side of the centre plane."""
        return Mesh(self.points * (1.0, -1.0, 1.0), self.triangles[:, ::-1])

    def outward(self) -> Mesh:
        """The same body, its triangles turned so that they are seen from outside."""
        return self if self.volume > 0 else Mesh(self.points, self.triangles[:, ::-1])


def together(meshes: Sequence[Mesh]) -> Mesh:
    """Several bodies as one."""
    starts = np.cumsum([0, *(len(mesh.points) for mesh in meshes[:-1])])
    return Mesh(
        np.concatenate([mesh.points for mesh in meshes]),
        np.concatenate([mesh.triangles + start for mesh, start in zip(meshes, starts, strict=True)]),
    )


def shell(near: Floats, far: Floats) -> Mesh:
    """The body between two faces given by grids of points (rows, columns, 3) that answer to each other."""
    rows, columns = near.shape[:2]
    numbers = np.arange(rows * columns).reshape(rows, columns)
    a, b, c, d = numbers[:-1, :-1], numbers[1:, :-1], numbers[1:, 1:], numbers[:-1, 1:]
    sheet = np.concatenate([np.stack(corners, axis=-1).reshape(-1, 3) for corners in ((a, b, c), (a, c, d))])
    rim = np.concatenate([numbers[0, :-1], numbers[:-1, -1], numbers[-1, :0:-1], numbers[:0:-1, 0]])
    on, there = np.roll(rim, -1), rows * columns
    walls = [np.stack([rim, on, on + there], axis=1), np.stack([rim, on + there, rim + there], axis=1)]
    triangles = np.concatenate([sheet, sheet[:, ::-1] + there, *walls])
    return Mesh(np.concatenate([near.reshape(-1, 3), far.reshape(-1, 3)]), triangles).outward()


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One face of a piece of wood: its outline in the pattern, and how it lies in space."""

    edges: Sequence[Floats]  # each (n, 2) mm, end to end, counter-clockwise
    lift: Lift
    holes: Sequence[Floats] = ()


def between(near: Side, far: Side, folds: Sequence[Floats] = ()) -> Mesh:
    """The wood between two faces whose edges answer to each other, one by one.

    Parameters
    ----------
    folds : sequence of (n, 2)
        Lines of the pattern along which the faces are bent: they stay straight between two of them. They may run past
        the outline.

    Raises
    ------
    ValueError
        An outline that crosses itself.
    """
    sheets = [_Sheet(side, folds) for side in (near, far)]
    start = len(sheets[0].places)
    walls = [
        _wall(sheets[0].along(one), sheets[1].along(other), sheets, start)
        for one, other in zip(sheets[0].runs, sheets[1].runs, strict=True)
    ]
    triangles = [sheets[0].triangles, sheets[1].triangles[:, ::-1] + start, *walls]
    points = [side.lift(sheet.places) for side, sheet in zip((near, far), sheets, strict=True)]
    return Mesh(np.concatenate(points), np.concatenate(triangles)).outward()


class _Sheet:
    """A face of a pattern cut to triangles, none of which is folded; and its outline, edge by edge."""

    def __init__(self, side: Side, folds: Sequence[Floats]) -> None:
        outline, corners = _ring(side.edges)
        wood = Polygon(outline, side.holes)
        if not wood.is_valid:
            raise ValueError(f"an outline crosses itself: {shapely.is_valid_reason(wood)}")
        lines = [LinearRing(outline), *map(LinearRing, side.holes), *map(LineString, folds)]
        net = shapely.get_parts(shapely.union_all(lines, grid_size=GRID))
        cells = shapely.get_parts(shapely.polygonize(net))
        inside = shapely.point_on_surface(cells)
        shapely.prepare(wood)
        cells = cells[shapely.contains(wood, inside)]
        cut = shapely.get_parts(shapely.constrained_delaunay_triangles(cells))
        corner_places = shapely.get_coordinates(cut).reshape(-1, 4, 2)[:, :3]
        on_grid, numbers = np.unique(_on_grid(corner_places.reshape(-1, 2)), axis=0, return_inverse=True)
        self.places: Floats = np.asarray(on_grid * GRID, dtype=np.float64)
        self.triangles = _counter_clockwise(self.places, numbers.reshape(-1, 3))
        self._after = _after(self.triangles)
        self._number = {place: number for number, place in enumerate(map(tuple, on_grid.tolist()))}
        starts = [*pairwise([*corners, corners[0]]), *((hole[0], hole[0]) for hole in side.holes)]
        self.runs = [(self._of(first), self._of(last)) for first, last in starts]

    def _of(self, place: Floats) -> int:
        x, y = _on_grid(place).tolist()
        if (x, y) not in self._number:
            raise ValueError("a corner of an outline that bounds no wood")
        return self._number[x, y]

    def along(self, run: tuple[int, int]) -> list[int]:
        """The points of the outline from one to another; all round where both are the same."""
        first, last = run
        found = [first]
        while len(found) <= len(self._after) and found[-1] in self._after:
            found.append(self._after[found[-1]])
            if found[-1] == last:
                return found
        raise ValueError("an outline that does not close")


def _on_grid(places: Floats) -> Numbers:
    return np.asarray(np.round(places / GRID).astype(np.intp))


def _ring(edges: Sequence[Floats]) -> tuple[Floats, list[Floats]]:
    """Edges as one ring without repeats, and the places where they begin."""
    kept = []
    last = edges[-1][-1]
    for edge in edges:
        there = np.abs(edge[0] - last).max() <= SAME_POINT
        kept.append(edge[1:] if there else edge)
        last = edge[-1]
    ends = [edge[-1] for edge in edges]
    starts = [
        end if np.abs(edge[0] - end).max() <= SAME_POINT else edge[0]
        for edge, end in zip(edges, [ends[-1], *ends[:-1]], strict=True)
    ]
    return np.concatenate(kept), starts


def _counter_clockwise(places: Floats, triangles: Numbers) -> Numbers:
    a, b, c = np.moveaxis(places[triangles], 1, 0)
    area = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    return np.asarray(np.where((area < 0)[:, None], triangles[:, ::-1], triangles))


def _after(triangles: Numbers) -> dict[int, int]:
    """Of each point on an outline the next one: along edges of one triangle alone."""
    ways = triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
    count = int(triangles.max()) + 1
    alone = ~np.isin(ways @ (count, 1), ways[:, ::-1] @ (count, 1))
    return dict(ways[alone].tolist())


def _wall(near: Sequence[int], far: Sequence[int], sheets: Sequence[_Sheet], start: int) -> Numbers:
    """The triangles between an edge of both faces, each point against those as far along as itself."""
    shares = [_shares(sheet.places[numbers]) for sheet, numbers in zip(sheets, (near, far), strict=True)]
    here, there = list(near), [number + start for number in far]
    return np.array(list(_laced(here, there, *shares)))


def _shares(places: Floats) -> list[float]:
    run = run_along(places)
    shares: list[float] = (run / max(float(run[-1]), SAME_POINT)).tolist()
    return shares


def _laced(
    near: Sequence[int], far: Sequence[int], near_at: Sequence[float], far_at: Sequence[float]
) -> Iterator[tuple[int, int, int]]:
    i = j = 0
    while i + 1 < len(near) or j + 1 < len(far):
        if j + 1 == len(far) or (i + 1 < len(near) and near_at[i + 1] <= far_at[j + 1]):
            yield near[i + 1], near[i], far[j]
            i += 1
        else:
            yield far[j], far[j + 1], near[i]
            j += 1

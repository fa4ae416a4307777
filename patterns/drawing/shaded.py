"""Bodies in space seen from one side: greys by how they face the light, dark along their edges. Knows no boat.

Each pixel shows the body nearest to the eye there: all triangles are cut to rows of pixels and the nearest kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from patterns.drawing.marks import Shading
from patterns.geometry.arrays import Floats, crossed, dots, unit
from patterns.geometry.meshes import Mesh, Numbers

SMOOTH = np.cos(np.radians(30.0))  # skin that turns less from one triangle to the next is shaded as one curve
FINER = 2  # a pixel's grey is the mean of so many squared
LIGHT = unit(np.array([-0.5, 0.4, 1.0]))  # toward the light: over the left shoulder of whoever looks
DIM, BRIGHT = 0.5, 0.56  # of a body's own tone: where no light falls, and what full light adds
INK = 0.12  # the tone of an edge
NEARER = 6.0  # mm by which an edge may lie behind the skin it belongs to and is drawn all the same
CHUNK = 4_000_000  # pixels worked on at once
HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class View:
    """Whence one looks, from far away.

    First turned about the upright, so that at a quarter turn x points away from the eye; then tipped toward it.
    """

    turn: float  # rad
    tip: float  # rad

    def seen(self, points: Floats) -> Floats:
        """(..., 3) mm: across to the right, up, and toward the eye."""
        x, y, z = np.moveaxis(points, -1, 0)
        across = x * np.cos(self.turn) - y * np.sin(self.turn)
        away = x * np.sin(self.turn) + y * np.cos(self.turn)
        up = z * np.cos(self.tip) + away * np.sin(self.tip)
        return np.stack([across, up, z * np.sin(self.tip) - away * np.cos(self.tip)], axis=-1)


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """A thing in space, how light it is, and where it goes when all are pulled apart."""

    mesh: Mesh
    tone: float  # 0 black to 1 white
    name: str = ""
    pulled: tuple[float, float, float] = (0.0, 0.0, 0.0)  # mm
    stays: bool = True  # in the finished thing: what helps to make it does not

    def pulled_out(self) -> Body:
        return replace(self, mesh=Mesh(self.mesh.points + self.pulled, self.mesh.triangles))

    def bottom_up(self) -> Body:
        """Turned over about a line fore and aft."""
        return replace(self, mesh=Mesh(self.mesh.points * (1.0, -1.0, -1.0), self.mesh.triangles))


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """The room of a picture: what of the view it shows, how wide it is drawn and of how many pixels."""

    view: View
    low: Floats  # (2,) mm as seen
    high: Floats  # (2,) mm
    width: float  # mm, of the picture
    pixels: int  # across


def room_for(bodies: Sequence[Body], view: View, *, width: float, pixels: int) -> Room:
    """A picture that just holds the bodies."""
    points = np.concatenate([view.seen(body.mesh.points)[:, :2] for body in bodies])
    return Room(view, points.min(axis=0), points.max(axis=0), width, pixels)


def shaded(bodies: Sequence[Body], room: Room) -> Shading:
    """The bodies as one sees them, on white."""
    scenes = [_Scene(body, room.view) for body in bodies]
    pixels = room.pixels
    scale = (FINER * pixels - 4) / (room.high[0] - room.low[0])
    rows = int(np.ceil((scale * (room.high[1] - room.low[1]) + 4) / FINER))
    paper = _Paper(FINER * pixels, FINER * rows)
    for scene in scenes:
        scene.points[:, :2] = (scene.points[:, :2] - room.low) * scale + 2.0
    for scene in scenes:
        paper.fill(scene)
    for scene in scenes:
        paper.draw(scene, NEARER)
    fine = paper.tone.reshape(rows, FINER, pixels, FINER).mean(axis=(1, 3))
    grey = np.round(255 * np.clip(fine[::-1], 0.0, 1.0)).astype(np.uint8)
    return Shading(grey, (0.0, 0.0), room.width, room.width * rows / pixels)


class _Scene:
    """A body as seen: its points in the picture, and the shade of each corner of each triangle."""

    def __init__(self, body: Body, view: View) -> None:
        self.points = view.seen(body.mesh.points)
        self.triangles = body.mesh.triangles
        a, b, c = np.moveaxis(self.points[self.triangles], 1, 0)
        square = crossed(b - a, c - a)
        size = np.sqrt(dots(square, square))
        self.normal = square / np.maximum(size, HAIR)[:, None]
        self.front = self.normal[:, 2] > 0
        smooth = _smoothed(self.triangles, self.normal, size)
        light = np.clip(smooth @ LIGHT, 0.0, 1.0)
        self.shade = body.tone * (DIM + BRIGHT * light)

    def edges(self) -> Numbers:
        """(n, 2) numbers of points, of sharp edges that can be seen, and of outlines."""
        ways = self.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
        count, owner = len(self.points), np.repeat(np.arange(len(self.triangles)), 3)
        key, back = ways @ (count, 1), ways[:, ::-1] @ (count, 1)
        order = key.argsort()
        other = owner[order[np.searchsorted(key, back, sorter=order)]]
        turn = dots(self.normal[owner], self.normal[other])
        shown = (key < back) & (self.front[owner] | self.front[other])
        return np.asarray(ways[shown & ((turn < SMOOTH) | (self.front[owner] != self.front[other]))])


def _smoothed(triangles: Numbers, normal: Floats, size: Floats) -> Floats:
    """(m, 3, 3) the normal at each corner of each triangle: the mean of those about its point that turn little."""
    corner_of = triangles.ravel()
    order = corner_of.argsort(kind="stable")
    count = np.bincount(corner_of)
    first = np.cumsum(count) - count
    # Each corner against all corners at the same point.
    many = count[corner_of]
    mine = np.repeat(np.arange(len(corner_of)), many)
    place = np.arange(len(mine)) - np.repeat(np.cumsum(many) - many, many)
    theirs = order[np.repeat(first[corner_of], many) + place] // 3
    own = mine // 3
    near = dots(normal[own], normal[theirs]) > SMOOTH
    weight = np.where(near, size[theirs], 0.0)
    sums = [np.bincount(mine, weight * normal[theirs, axis], len(corner_of)) for axis in range(3)]
    total: Floats = np.asarray(np.stack(sums, axis=1), dtype=np.float64)
    length = np.sqrt(dots(total, total))
    found = np.where(length[:, None] > HAIR, total / np.maximum(length, HAIR)[:, None], np.repeat(normal, 3, axis=0))
    return np.asarray(found.reshape(-1, 3, 3))


class _Paper:
    """The picture as it is filled, rows from the lowest up: the nearest depth and its tone at each pixel."""

    def __init__(self, wide: int, high: int) -> None:
        self.wide, self.high = wide, high
        self.depth = np.full(wide * high, -np.inf)
        self.tone = np.ones(wide * high)

    def fill(self, scene: _Scene) -> None:
        corners = scene.points[scene.triangles[scene.front]]
        shade = scene.shade[scene.front]
        for some in _chunks(corners):
            self._fill(corners[some], shade[some])

    def _fill(self, corners: Floats, shade: Floats) -> None:
        """Triangles (m, 3, 3) in pixels, their shades (m, 3)."""
        y = corners[:, :, 1]
        order = y.argsort(axis=1)
        which = np.arange(len(corners))[:, None]
        low, middle, top = np.moveaxis(corners[which, order], 1, 0)
        first = np.maximum(np.ceil(low[:, 1] - 0.5).astype(np.intp), 0)
        last = np.minimum(np.ceil(top[:, 1] - 0.5).astype(np.intp), self.high)
        owner, row = _counted(first, last)
        at: Floats = np.asarray(row + 0.5, dtype=np.float64)
        along = _crossing(low[owner], top[owner], at)
        upper = at >= middle[owner, 1]
        bent = np.where(upper, _crossing(middle[owner], top[owner], at), _crossing(low[owner], middle[owner], at))
        left = np.maximum(np.ceil(np.minimum(along, bent) - 0.5).astype(np.intp), 0)
        right = np.minimum(np.ceil(np.maximum(along, bent) - 0.5).astype(np.intp), self.wide)
        span, column = _counted(left, right)
        ends = tuple(np.asarray(one, dtype=np.float64) for one in (left + 0.5, np.maximum(right - 0.5, left + 0.5), at))
        depth, tone = (_run(corners, field, owner, ends) for field in (corners[:, :, 2], shade))
        along_row = column - left[span]
        pixel = row[span] * self.wide + column
        z = depth[0][span] + depth[1][span] * along_row
        np.maximum.at(self.depth, pixel, z)
        nearest = np.flatnonzero(z >= self.depth[pixel])
        seen = span[nearest]
        self.tone[pixel[nearest]] = tone[0][seen] + tone[1][seen] * along_row[nearest]

    def draw(self, scene: _Scene, nearer: float) -> None:
        """Edges, where no body hides them."""
        start, end = np.moveaxis(scene.points[scene.edges()], 1, 0)
        steps = np.maximum(1, np.ceil(1.5 * np.hypot(*(end - start)[:, :2].T)).astype(np.intp))
        owner, step = _counted(np.zeros(len(steps), dtype=np.intp), steps)
        place = start[owner] + (step / steps[owner])[:, None] * (end - start)[owner]
        for right in (0, 1):
            for up in (0, 1):
                column = np.clip((place[:, 0] - 0.5).astype(np.intp) + right, 0, self.wide - 1)
                row = np.clip((place[:, 1] - 0.5).astype(np.intp) + up, 0, self.high - 1)
                pixel = row * self.wide + column
                seen = pixel[place[:, 2] + nearer >= self.depth[pixel]]
                self.tone[seen] = INK


def _chunks(corners: Floats) -> Iterator[slice]:
    """Triangles in lots that cover no more than so many pixels, by the boxes round them."""
    size = np.ceil(np.ptp(corners[:, :, :2], axis=1) + 1).prod(axis=1)
    lot = (np.cumsum(size) // CHUNK).astype(np.intp)
    cuts = [0, *(np.flatnonzero(np.diff(lot)) + 1).tolist(), len(corners)]
    yield from (slice(first, last) for first, last in pairwise(cuts) if last > first)


def _counted(first: Numbers, last: Numbers) -> tuple[Numbers, Numbers]:
    """Whole numbers from each first to before each last, and which of the pairs each comes of."""
    many = np.maximum(last - first, 0)
    owner = np.repeat(np.arange(len(many)), many)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(many) - many, many) + first[owner]
    return owner, number


def _crossing(start: Floats, end: Floats, at: Floats) -> Floats:
    """Where lines (n, 3) cross levels (n,), across."""
    rise = end[:, 1] - start[:, 1]
    share = np.clip((at - start[:, 1]) / np.where(np.abs(rise) < HAIR, HAIR, rise), 0.0, 1.0)
    return np.asarray(start[:, 0] + share * (end[:, 0] - start[:, 0]))


def _run(corners: Floats, values: Floats, owner: Numbers, ends: tuple[Floats, ...]) -> tuple[Floats, Floats]:
    """Along each row of pixels of a triangle: its first value, and what each pixel adds.

    Nowhere beyond the triangle's own: seen on edge, it rises without end.
    """
    start, across, up = (field[owner] for field in _levels(corners, values))
    left, right, at = ends
    least, most = values.min(axis=1)[owner], values.max(axis=1)[owner]
    first, last = (np.minimum(np.maximum(start + across * x + up * at, least), most) for x in (left, right))
    return first, (last - first) / np.maximum(right - left, 1.0)


def _levels(corners: Floats, values: Floats) -> tuple[Floats, Floats, Floats]:
    """Of each triangle: a value (m,) at nought, and what a pixel across and a pixel up add to it."""
    (ax, ay), (bx, by) = ((corners[:, n, :2] - corners[:, 0, :2]).T for n in (1, 2))
    a, b = values[:, 1] - values[:, 0], values[:, 2] - values[:, 0]
    area = ax * by - ay * bx
    area = np.where(np.abs(area) < HAIR, HAIR, area)
    across, up = (a * by - b * ay) / area, (b * ax - a * bx) / area
    return values[:, 0] - across * corners[:, 0, 0] - up * corners[:, 0, 1], across, up

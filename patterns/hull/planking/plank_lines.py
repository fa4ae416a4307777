"""Where planks, ribbands or strips divide the girth of a round hull, and how broad each comes out along the boat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from scipy.interpolate import CubicSpline

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, lengths, run_along, unit
from patterns.geometry.cuts import Plane
from patterns.geometry.skin_faces import FaceCut, Surface, cut_face
from patterns.hull.build import PlankRules

ALONG = 129  # places along the boat that the lines are found at
ACROSS = 11  # planes across the boat that its greatest girth is looked for in
UP = 161  # and up the girth
EVEN = 1e-6  # of the girth; a difference that says nothing of where the boat is fullest
AMIDSHIPS = (0.25, 0.75)  # of the surface, fore and aft
SCALED = 0.1  # of given breadths that they may be scaled by to fill the girth


@dataclass(frozen=True, eq=False)
class PlankLines:
    """Lines that run along the skin of a round hull from its fore end to its after end, from the keel up.

    Girths are measured along the inside of the planking, from the inner corner of the garboard up to the sheer.
    """

    rules: PlankRules
    surface: Surface
    depth: float  # mm from the surface in to the inside of the planking
    count: int  # planks to a side, or spaces between ribbands
    u: Floats  # (m,) places along the surface
    v: Floats  # (count - 1, m) where each line lies there
    girths: Floats  # (m,) mm
    scale: float = 1.0  # what given breadths were multiplied by to fill the girth

    @property
    def word(self) -> str:
        return "ribband" if self.rules.ribbands else "plank"

    @property
    def names(self) -> tuple[str, ...]:
        """Of the lines, from the keel up: a plank's is its upper edge."""
        return tuple(f"{self.word} {number}" for number in range(1, self.count))

    def v_at(self, line: int, u: Floats) -> Floats:
        """(n,) where a line lies at u (n,)."""
        return np.asarray(np.interp(u, self.u, self.v[line]))

    def crossings(self, cut: FaceCut) -> tuple[float | None, ...]:
        """Where each line crosses a section, as a place in the row of its points; None where it does not."""
        found: list[float | None] = []
        for line in range(self.count - 1):
            out = cut.v - self.v_at(line, cut.u)
            there = np.flatnonzero((out[:-1] < 0) & (out[1:] >= 0))
            found.append(float(there[0] + out[there[0]] / (out[there[0]] - out[there[0] + 1])) if len(there) else None)
        return tuple(found)

    def section(self, plane: Plane) -> FaceCut:
        """The inside of the planking cut by a plane, from the garboard's inner corner, or the stem's, to the sheer."""
        return _section(self.surface, self.depth, plane)

    def end_girths(self, *, aft: bool) -> Floats:
        """(count + 1,) mm along the fore or the after end of the planking, from its foot to each line and the sheer."""
        i = -1 if aft else 0
        points, v = _girth_points(self.surface, self.depth, float(self.u[i]))
        return np.asarray(np.interp([0.0, *self.v[:, i], 1.0], v, run_along(points)))

    def end_breadths(self, *, aft: bool) -> Floats:
        """(count,) mm, planks square to their run where they end: less than along an end that slants across them."""
        i, near = (-1, -2) if aft else (0, 1)
        v = np.concatenate([[0.0], self.v[:, i], [1.0]])
        runs = np.concatenate([[0.0], self.v[:, near], [1.0]]) - v
        middle, slope = (v[1:] + v[:-1]) / 2, (runs[1:] + runs[:-1]) / 2 / (self.u[near] - self.u[i])
        found = self.surface.places(np.full(self.count, self.u[i]), middle)
        way = unit(found.along + slope[:, None] * found.up)
        sine = lengths(crossed(way, unit(found.up)))
        return np.asarray(np.diff(self.end_girths(aft=aft)) * sine)

    def edge(self, line: int, u: Floats) -> Floats:
        """(n, 3) mm on the inside of the planking: -1 the lower edge of the garboard, count - 1 the sheer."""
        ends = {-1: np.zeros(len(u)), self.count - 1: np.ones(len(u))}
        v = ends[line] if line in ends else self.v_at(line, u)
        found = self.surface.places(u, v)
        return np.asarray(found.points - self.depth * found.normals)


def lay_planks(rules: PlankRules, surface: Surface, depth: float) -> PlankLines:
    """Divide the girth, everywhere along the boat, as the rules say.

    Each plank has the same share of the girth from end to end, unless breadths at the ends say otherwise: then its
    share goes from end to end as a thin batten through the three would.

    Raises
    ------
    ShapeError
        Breadths that do not fill the girth, or lines that would cross.
    """
    u = np.linspace(0.0, 1.0, ALONG)
    lanes = [_girth_points(surface, depth, float(one)) for one in u]
    runs = [run_along(points) for points, _ in lanes]
    girths = np.array([run[-1] for run in runs])
    fullest = _fullest(surface, depth)
    shares, scale = _shares(rules, float(run_along(fullest.points)[-1]))
    at = _along(rules, *_shares_of_lanes(surface, depth, fullest, shares), u)
    if (np.diff(at, axis=0) <= 0).any():
        raise ShapeError(
            "plank lines cross between the ends and amidships; expected breadths at the ends more like those amidships"
        )
    v = np.array([np.interp(at[1:-1, i] * girths[i], runs[i], lanes[i][1]) for i in range(ALONG)]).T
    return PlankLines(rules, surface, depth, len(shares), u, v.reshape(len(shares) - 1, ALONG), girths, scale)


def _section(surface: Surface, depth: float, plane: Plane) -> FaceCut:
    u = np.linspace(0.0, 1.0, 33)
    near = float(u[np.abs(plane.signed(surface.places(u, np.full(33, 0.5)).points)).argmin()])
    cut = cut_face(surface, plane, depth, near=near)
    on = (cut.u >= 0.0) & (cut.u <= 1.0)
    return FaceCut(cut.u[on], cut.v[on], cut.points[on], cut.normals[on], cut.loops)


def _fullest(surface: Surface, depth: float) -> FaceCut:
    """The section, square across the boat, whose girth is greatest.

    A lane of one u follows stem and transom near the ends: along a long forefoot it is longer than any mould is round.
    """
    fore, aft = surface.places(np.array([0.0, 1.0]), np.zeros(2)).points[:, 0].tolist()
    within = EVEN * (aft - fore)
    places = np.linspace(fore + within, aft - within, ACROSS)
    cuts = [_across(surface, depth, x) for x in places.tolist()]
    girths = np.array([run_along(cut.points)[-1] if len(cut.points) > 1 else 0.0 for cut in cuts])
    # Of a boat that is as full for a stretch the middle of it; never an end, which has breadths of its own.
    best = int((girths - EVEN * girths.max() * np.abs(places - (fore + aft) / 2) / (aft - fore)).argmax())
    if not 0 < best < ACROSS - 1 or np.ptp(girths[best - 1 : best + 2]) < EVEN * girths.max():
        return cuts[best]
    before, here, after = girths[best - 1 : best + 2].tolist()
    aside = (before - after) / (before - 2 * here + after) / 2
    return _across(surface, depth, float(places[best] + aside * (places[1] - places[0])))


def _across(surface: Surface, depth: float, x: float) -> FaceCut:
    athwart, up = np.eye(3)[1:]
    return _section(surface, depth, Plane(np.array([x, 0.0, 0.0]), athwart, up))


def _shares_of_lanes(surface: Surface, depth: float, section: FaceCut, shares: Floats) -> tuple[Floats, Floats]:
    """(n + 1,) and (n - 1,): what each line has of the girth along its own lane, and which u that is, amidships.

    Breadths are those of a section; lanes slant across it, so that their shares are others.
    """
    run = run_along(section.points)
    places = np.cumsum(shares)[:-1] * run[-1]
    u, v = np.interp(places, run, section.u), np.interp(places, run, section.v)
    edges = [0.0]
    for lane, own in zip(u.tolist(), v.tolist(), strict=True):
        points, at = _girth_points(surface, depth, lane)
        along = run_along(points)
        edges.append(float(np.interp(own, at, along) / along[-1]))
    return np.array([*edges, 1.0]), np.clip(u, *AMIDSHIPS)


def _girth_points(surface: Surface, depth: float, u: float) -> tuple[Floats, Floats]:
    """(n, 3) mm and (n,) v: the inside of the planking along one u, from its foot to the sheer."""
    v = np.linspace(0.0, 1.0, UP)
    found = surface.places(np.full(UP, u), v)
    return found.points - depth * found.normals, v


def _shares(rules: PlankRules, girth: float) -> tuple[Floats, float]:
    """(n,) of the girth where it is greatest, from the keel up; and what given breadths were multiplied by."""
    if rules.breadths:
        total = float(np.sum(rules.breadths))
        if abs(girth / total - 1) > SCALED:
            raise ShapeError(
                "[plank_lines] breadths come to {} together, and the girth is {} where it is greatest; expected "
                f"breadths that fill it to a tenth, {len(rules.breadths)} of them or more or fewer",
                total,
                girth,
            )
        return np.array(rules.breadths) / total, girth / total
    count = rules.count if rules.count else max(2, int(np.ceil(girth / (rules.widest or girth) - 1e-9)))
    if rules.ribbands and rules.count:
        count += 1
    breadths = np.linspace(1.0, rules.taper, count)
    if rules.widest and not rules.count:
        while girth * breadths.max() / breadths.sum() > rules.widest + 1e-9:
            count += 1
            breadths = np.linspace(1.0, rules.taper, count)
    return breadths / breadths.sum(), 1.0


def _along(rules: PlankRules, edges: Floats, amidships: Floats, u: Floats) -> Floats:
    """(n + 1, m) shares of the girth up to each line, garboard's foot and sheer with them, at places along the boat."""
    if not (rules.breadths_fore or rules.breadths_aft):
        return np.repeat(edges[:, None], len(u), axis=1)
    ends = []
    for breadths in (rules.breadths_fore, rules.breadths_aft):
        if breadths and len(breadths) != len(edges) - 1:
            raise ShapeError(
                f"[plank_lines] has {len(breadths)} breadths at an end, and {len(edges) - 1} planks; expected one for "
                "each"
            )
        ends.append(np.concatenate([[0.0], np.cumsum(breadths) / np.sum(breadths)]) if breadths else edges)
    fore, aft = ends
    inner = [
        CubicSpline([0.0, middle, 1.0], [fore[n], edges[n], aft[n]], bc_type="natural")(u)
        for n, middle in enumerate(amidships.tolist(), 1)
    ]
    return np.array([np.zeros(len(u)), *inner, np.ones(len(u))])


@dataclass(frozen=True, slots=True, eq=False)
class PlankBlank:
    """A plank laid flat, about: its shape by triangles between its edges, which no spiled plank matches to the hair."""

    length: float  # mm of the least board that holds it
    breadth: float  # mm
    lower: (
        Floats  # (m, 2) mm, its edges along a straight datum from the middle of its fore end to that of its after end
    )
    upper: Floats  # (m, 2) mm; x aft along the datum, y above it
    u: Floats  # (m,) places along the skin


def flat_plank(lines: PlankLines, plank: int) -> PlankBlank:
    """A plank of the side, 0 the garboard, unrolled between its two edges."""
    u = np.linspace(0.0, 1.0, ALONG)
    lower, upper = _unrolled(lines.edge(plank - 1, u), lines.edge(plank, u))
    box = shapely.minimum_rotated_rectangle(shapely.MultiPoint(np.concatenate([lower, upper])))
    corners = shapely.get_coordinates(box)
    sides = sorted(float(np.hypot(*(corners[i + 1] - corners[i]))) for i in range(2))
    fore, aft = ((lower[i] + upper[i]) / 2 for i in (0, -1))
    way = (aft - fore) / np.hypot(*(aft - fore))
    turn = np.array([way, [-way[1], way[0]]]).T
    return PlankBlank(sides[1], sides[0], (lower - fore) @ turn, (upper - fore) @ turn, u)


def _unrolled(lower: Floats, upper: Floats) -> tuple[Floats, Floats]:
    """(m, 2) twice, mm: two lines (m, 3) laid flat with every triangle between them in its true size."""
    flat = [np.zeros(2), np.array([0.0, float(lengths(upper[0] - lower[0]))])]
    for i in range(len(lower) - 1):
        below, above = flat[-2], flat[-1]
        below_next = _third(below, above, lower[i], upper[i], lower[i + 1])
        flat += [below_next, _third(below_next, above, lower[i + 1], upper[i], upper[i + 1])]
    rows = np.array(flat)
    return rows[0::2], rows[1::2]


def _third(a: Floats, b: Floats, from_a: Floats, from_b: Floats, corner: Floats) -> Floats:
    """(2,) the third corner of a triangle, to the right of the way from a to b, at its true distances from both."""
    side = float(lengths(from_b - from_a))
    to_a, to_b = float(lengths(corner - from_a)), float(lengths(corner - from_b))
    along = (to_a**2 - to_b**2 + side**2) / (2 * side)
    aside = np.sqrt(max(0.0, to_a**2 - along**2))
    way = (b - a) / side
    return np.asarray(a + along * way + aside * np.array([way[1], -way[0]]))


def strips_needed(girths: Sequence[float], strip: float) -> tuple[int, ...]:
    """Whole strips that cover each girth."""
    return tuple(int(np.ceil(girth / strip - 1e-9)) for girth in girths)


def breadths_at(places: Sequence[float | None], run: Floats) -> Iterator[float | None]:
    """mm of each plank from the keel up, on a section whose points run so far; None where it has ended on the stem."""
    along = [0.0 if places and places[0] is not None else None]
    along += [None if one is None else float(np.interp(one, np.arange(len(run)), run)) for one in places]
    along.append(float(run[-1]))
    for low, high in pairwise(along):
        yield None if low is None or high is None else high - low

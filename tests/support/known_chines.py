"""Chined hulls whose every strake is a plane or a right circular cone, so that each figure of them has a closed form.

Nothing here is imported by the program. Lengths mm, x aft, y to starboard, z up. A line is where two surfaces meet, an
inside corner where both meet at the depth of their strakes' insides: Newton on signed distances finds each to rounding.
An edge of a panel is proved by folding it up: a place of the flat is set back on its surface, and must lie where that
meets what the edge ends on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from boats import Cone, Flat, Floats, unit
from scipy.interpolate import CubicHermiteSpline, CubicSpline
from scipy.optimize import least_squares

from patterns.hull.build import End, Joint, KeelJoint, LinesTo, Planking, Skin, Stem, Transom
from patterns.hull.planking.skin import Hull, plank
from patterns.parts.part import Part

Surface = Flat | Cone
Condition = Callable[[Floats], tuple[Floats, Floats]]  # of points (n, 3): how far they miss (n,), gradient (n, 3)
CLOSE = 1e-10  # mm; Newton's last step
ROUNDS = 40
LEAP = 60.0  # mm from one place followed along a line to the next
STEP = 8.0  # mm from one known point of a line to the next
PAST = 240.0  # mm past its ends that a line is known, where its surfaces still meet
PROFILED = 24  # points of a stem's profile on each strake


def met(conditions: Sequence[Condition], start: Floats) -> Floats:
    """Points (n, 3) where three conditions hold, near others.

    Raises
    ------
    ArithmeticError
        Where they hold nowhere near.
    """
    points = np.atleast_2d(np.array(start, dtype=float))
    for _ in range(ROUNDS):
        misses, slopes = zip(*(condition(points) for condition in conditions), strict=True)
        step = np.linalg.solve(np.stack(slopes, axis=1), -np.stack(misses, axis=1)[..., None])[..., 0]
        points = points + step
        if np.abs(step).max() < CLOSE:
            return points
        if not np.abs(step).max() < 1e5:
            break
    raise ArithmeticError(f"nothing is met near {np.round(start, 1).tolist()}")


def on(surface: Surface, depth: float = 0.0) -> Condition:
    return lambda points: (surface.beyond(points) - depth, surface.normal(points))


def at(axis: int, value: float) -> Condition:
    """Where a coordinate has a value."""
    square = np.eye(3)[axis]
    return lambda points: (points[:, axis] - value, np.broadcast_to(square, points.shape))


def square_to_x(points: Floats) -> Floats:
    return np.broadcast_to(np.array([1.0, 0.0, 0.0]), points.shape)


def sheer_height(low: float, at_x: float, rise: float, run: float) -> Condition:
    """The height of a sheer that is a parabola in profile."""

    def condition(points: Floats) -> tuple[Floats, Floats]:
        share = (points[:, 0] - at_x) / run
        slope = np.stack([-2 * rise * share / run, np.zeros_like(share), np.ones_like(share)], axis=-1)
        return points[:, 2] - low - rise * share**2, slope

    return condition


def leaning(flare: float, sweep: float, half: float, x: float = 0.0, z: float = 0.0) -> Flat:
    """The plane y = half + (x - x0) tan(sweep) + (z - z0) tan(flare), degrees; its outside to starboard."""
    s, f = np.tan(np.radians([sweep, flare]))
    return Flat(np.array([x, half, z]), unit(np.array([-s, 1.0, -f])))


def rising(deadrise: float, trim: float, z: float, x: float = 0.0) -> Flat:
    """The plane z = z0 + y tan(deadrise) - (x - x0) tan(trim), degrees; its outside below."""
    d, t = np.tan(np.radians([deadrise, trim]))
    return Flat(np.array([x, 0.0, z]), unit(np.array([-t, d, -1.0])))


def raked(x: float, z: float, rake: float, *, aft: bool) -> Flat:
    """An end through (x, 0, z), its top raked out of the boat by degrees."""
    r = np.radians(rake)
    return Flat(np.array([x, 0.0, z]), np.array([np.cos(r) if aft else -np.cos(r), 0.0, -np.sin(r)]))


@dataclass(frozen=True, eq=False)
class KnownLine:
    """A line where two surfaces meet, told so closely that the spline through it is the line to rounding.

    It stands in for a faired one; beyond what is known of it, it is the parabola that touches it.
    """

    name: str
    first: float  # mm from FP
    last: float
    spline: CubicSpline  # (y, z) over x

    @property
    def curve(self) -> KnownLine:
        return self

    @property
    def breadth(self) -> KnownLine:
        return self

    half_breadth = breadth

    @property
    def faired(self) -> Floats:
        return self.value(np.linspace(self.first, self.last, 101))

    def value(self, x: Floats) -> Floats:
        return self.point(np.asarray(x, dtype=float))[..., 1]

    def _over(self, x: Floats) -> tuple[Floats, Floats]:
        held = np.clip(x, self.spline.x[0], self.spline.x[-1])
        return held, np.asarray(x - held)[..., None]

    def point(self, x: Floats) -> Floats:
        x = np.asarray(x, dtype=float)
        held, past = self._over(x)
        places = self.spline(held) + past * self.spline(held, 1) + past**2 * self.spline(held, 2) / 2
        return np.concatenate([x[..., None], places], axis=-1)

    def tangent(self, x: Floats) -> Floats:
        x = np.asarray(x, dtype=float)
        held, past = self._over(x)
        slopes = self.spline(held, 1) + past * self.spline(held, 2)
        return np.concatenate([np.ones((*x.shape, 1)), slopes], axis=-1)


@dataclass(frozen=True, eq=False)
class KnownHull:
    """A hull of strakes that are planes or cones; lines to the outside of the planking."""

    name: str
    strakes: tuple[Surface, ...]  # from the sheer down, their outsides
    thickness: tuple[float, ...]  # mm, of each
    sheer: Condition
    middle: float  # mm from FP, where these are near the lines:
    near: tuple[tuple[float, float], ...]  # (y, z) of each line from the sheer down
    fore: Flat | None = None  # the end its lines run to; None where they meet on the centre plane
    aft: Flat | None = None
    heels: tuple[float, float] = (np.nan, np.nan)  # mm from FP, where stem and sternpost hand over to the keel line
    keel: bool = True  # a V bottom; else the last strake is flat athwart
    joint: Joint = Joint.HALF_ANGLE
    keel_joint: KeelJoint = KeelJoint.HALF_ANGLE

    @property
    def names(self) -> tuple[str, ...]:
        """Its lines from the sheer down."""
        chines = len(self.strakes) - 1
        between = ("chine",) if chines == 1 else tuple(f"chine {number + 1}" for number in range(chines))
        return ("sheer", *between, *(("keel",) if self.keel else ()))

    @property
    def inside(self) -> tuple[float, ...]:
        return tuple(-thick for thick in self.thickness)

    @property
    def outside(self) -> tuple[float, ...]:
        return (0.0,) * len(self.strakes)

    def met_by(self, number: int, depths: Sequence[float]) -> list[Condition]:
        """The two conditions of a line, on faces at depths of the strakes."""
        if number == 0:
            return [on(self.strakes[0], depths[0]), self.sheer]
        above = on(self.strakes[number - 1], depths[number - 1])
        if number == len(self.strakes):
            return [above, at(1, 0.0)]
        return [above, on(self.strakes[number], depths[number])]

    def end(self, *, aft: bool) -> Condition:
        """Where the planking ends."""
        plane = self.aft if aft else self.fore
        return at(1, 0.0) if plane is None else on(plane)

    def points(self, number: int, x: Floats, depths: Sequence[float]) -> Floats:
        """(n, 3) of a line at distances from FP, followed from midship so that no other branch is met."""
        span = [float(np.min(x, initial=self.middle)), float(np.max(x, initial=self.middle))]
        coarse = np.unique(np.concatenate([np.linspace(*span, int((span[1] - span[0]) / LEAP) + 2), [self.middle]]))
        known = self._followed(number, coarse, depths)
        ways = np.gradient(known, coarse, axis=0) if len(coarse) > 2 else np.zeros_like(known)
        guess = CubicHermiteSpline(coarse, known, ways)(x) if len(coarse) > 1 else known
        return met([*self.met_by(number, depths), lambda points: (points[:, 0] - x, square_to_x(points))], guess)

    def _followed(self, number: int, x: Floats, depths: Sequence[float]) -> Floats:
        conditions = self.met_by(number, depths)
        start = met([*conditions, at(0, self.middle)], np.array([self.middle, *self.near[number]]))[0]
        found = np.empty((len(x), 3))
        for side in (x >= self.middle, x < self.middle):
            last, way, at_x = start, np.zeros(3), self.middle
            for place in np.flatnonzero(side)[np.argsort(np.abs(x[side] - self.middle))]:
                run = x[place] - at_x
                new = met([*conditions, at(0, x[place])], last + way * run)[0]
                way = (new - last) / run if run else way
                last, at_x, found[place] = new, x[place], new
        return found

    def line_end(self, number: int, depths: Sequence[float], *, aft: bool) -> Floats:
        """(3,) where a line ends fore or aft."""
        if number == len(self.strakes) and (self.aft if aft else self.fore) is None:
            heel = self.heels[aft]
            if np.isnan(heel):
                return self.line_end(number - 1, depths, aft=aft)
            return self.points(number, np.array([heel]), depths)[0]
        conditions, end = self.met_by(number, depths), self.end(aft=aft)
        last = self.points(number, np.array([self.middle]), depths)[0]
        before, way, step = end(last[None])[0][0], np.zeros(3), 20.0 if aft else -20.0
        for _ in range(600):
            new = met([*conditions, at(0, last[0] + step)], last + way)[0]
            if end(new[None])[0][0] * before <= 0:
                return met([*conditions, end], (last + new) / 2)[0]
            last, way = new, new - last
        raise ArithmeticError(f"line {number} has no end")

    def line(self, number: int) -> KnownLine:
        """A line of the outside."""
        first, last = (float(self.line_end(number, self.outside, aft=aft)[0]) for aft in (False, True))
        count = int((last - first) / STEP) + 2
        x = np.linspace(first, last, count)
        known = self.points(number, x, self.outside)
        for before in (True, False):
            for _ in range(int(PAST / STEP)):  # on past the end, as long as the surfaces meet and it does not turn away
                edge = known[:2] if before else known[:-3:-1]
                guess = 2 * edge[0] - edge[1]
                try:
                    new = met([*self.met_by(number, self.outside), at(0, guess[0])], guess)
                except ArithmeticError:
                    break
                if np.abs(new[0] - guess).max() > 0.1 * STEP:
                    break
                known = np.concatenate([new, known] if before else [known, new])
        return KnownLine(self.names[number], first, last, CubicSpline(known[:, 0], known[:, 1:]))

    @cached_property
    def lines(self) -> tuple[KnownLine, ...]:
        return tuple(self.line(number) for number in range(len(self.names)))

    def profile(self, *, aft: bool) -> Floats:
        """(n, 2) x and z of an end on the centre plane, from the sheer down."""
        plane = self.aft if aft else self.fore
        ends = np.array([self.line_end(number, self.outside, aft=aft) for number in range(len(self.names))])
        if plane is not None:
            z = ends[[0, -1], 2]
            return np.stack([plane.origin[0] - (z - plane.origin[2]) * plane.outward[2] / plane.outward[0], z], axis=1)
        pieces = []
        for number in range(len(ends) - 1):
            high, low = ends[number], ends[number + 1]
            if high[2] - low[2] > 1e-6:
                share = np.linspace(0.0, 1.0, PROFILED, endpoint=False)[:, None]
                guess = high + (low - high) * share
                pieces.append(
                    np.concatenate([met([on(self.strakes[number]), at(1, 0.0), at(2, p[2])], p) for p in guess])
                )
        return np.concatenate([*pieces, ends[-1:]])[:, [0, 2]]

    def built_end(self, *, aft: bool) -> End:
        profile = self.profile(aft=aft)
        if (self.aft if aft else self.fore) is None:
            return Stem(profile, sided=40.0, moulded=80.0)
        return Transom(profile, 18.0, 0.0, "plywood")

    @property
    def skin(self) -> Skin:
        return Skin(
            LinesTo.OUTSIDE,
            tuple(Planking(thick, "plywood") for thick in self.thickness),
            (self.joint,) * (len(self.strakes) - 1),
            self.keel_joint if self.keel else None,
        )

    @cached_property
    def hull(self) -> Hull:
        """It planked by the program, on its exact lines."""
        ends = [self.built_end(aft=aft) for aft in (False, True)]
        return plank(self.lines, skin=self.skin, fore=ends[0], aft=ends[1])  # type: ignore[arg-type]

    def joined(self, joint: Joint) -> KnownHull:
        """The same hull, its chines joined another way."""
        other = replace(self, joint=joint)
        other.__dict__["lines"] = self.lines
        return other

    # --- What follows from the surfaces ---

    def corners(self, x: float) -> dict[str, Floats]:
        """(3,) the corners of the inside of the planking at a station, by their lines."""
        found = {"sheer": self._sheer_inside(x)}
        for number, name in enumerate(self.names[1:], 1):
            found[name] = self.points(number, np.array([x]), self.inside)[0]
        return found

    def _sheer_inside(self, x: float) -> Floats:
        """The sheer moved square through the planking, where that stands so far from FP."""
        at_x = x
        for _ in range(ROUNDS):
            point = self.points(0, np.array([at_x]), self.outside)
            inner = (point - self.thickness[0] * self.strakes[0].normal(point))[0]
            if abs(inner[0] - x) < CLOSE:
                break
            at_x += x - inner[0]
        return inner

    def opening(self, number: int, x: Floats) -> Floats:
        """(n,) rad between the insides of the strakes at an inside corner, at distances from FP."""
        points = self.points(number, x, self.inside)
        above, below = (self.strakes[one].normal(points) for one in (number - 1, number))
        return np.asarray(np.pi - np.arccos(np.einsum("nk,nk->n", above, below)))

    def half_angle(self, points: Floats) -> Floats:
        """(n,) rad between the garboard and the centre plane at points."""
        return np.asarray(np.arccos(self.strakes[-1].normal(points)[:, 1]))

    def run_through(self, strake: int, point: Floats, through: float) -> float:
        """mm in a plane across the boat, how much further out the inside lies so far aft of a point."""
        way = self.strakes[strake].normal(point) * (0.0, 1.0, 1.0)
        way, reach = unit(way), 0.0
        for _ in range(ROUNDS):
            there = point + (through, 0.0, 0.0) + reach * way
            miss = self.strakes[strake].beyond(there) + self.thickness[strake]
            reach -= float(miss[0] / (self.strakes[strake].normal(there) @ way[0])[0])
        return reach

    def edge_ends(self, strake: int, edge: str, *, inside: bool) -> tuple[float, Condition]:
        """The depth of the face that an edge of a strake's panel lies on, and what it runs to there."""
        depth = self.inside[strake] if inside else 0.0
        if edge == "sheer":  # planed square: both faces end at one place of the flat
            return 0.0, self.sheer
        if edge == "keel":
            return depth, at(1, 0.0)
        if edge in self.names:
            number = self.names.index(edge)
            other = number if number > strake else number - 1
            return depth, on(self.strakes[other], self._meets(strake, other, inside=inside))
        return depth, self.end(aft=edge in ("sternpost", "transom"))

    def _meets(self, strake: int, other: int, *, inside: bool) -> float:
        """The depth of the face of a neighbour that an edge runs to."""
        upper = strake < other
        if self.joint is Joint.HALF_ANGLE:
            return self.inside[other] if inside else 0.0
        ends_inside = (self.joint is Joint.LOWER_OVER) == upper
        return self.inside[other] if ends_inside else 0.0

    def folded(self, strake: int, flat: Floats, depth: float) -> Floats:
        """(n, 3) places of a strake unrolled on its mid-thickness, set back in the boat at a depth."""
        surface, middle = self.strakes[strake], -self.thickness[strake] / 2
        if isinstance(surface, Flat):
            up = surface.ruling(surface.origin)
            right = np.cross(surface.outward, up)
            return surface.origin + flat[:, :1] * right + flat[:, 1:] * up + depth * surface.outward
        half, e1 = surface.half_angle, unit(surface.start - (surface.start @ surface.axis) * surface.axis)
        slant, turn = np.hypot(*flat.T), np.arctan2(flat[:, 1], flat[:, 0]) / np.sin(half)
        radial = np.cos(turn)[:, None] * e1 + np.sin(turn)[:, None] * np.cross(surface.axis, e1)
        way = np.sin(half) * radial + np.cos(half) * surface.axis
        out = np.cos(half) * radial - np.sin(half) * surface.axis
        apex = surface.apex - middle / np.sin(half) * surface.axis
        return np.asarray(apex + slant[:, None] * way + (depth - middle) * out)

    def missed(self, strake: int, panel: Part) -> dict[str, float]:
        """How far each edge of a panel lies from where it should, mm, once the panel is laid as it fits best.

        Chords count: places between the points of an edge are taken too.
        """
        off = self._all_off(strake, panel, self._fitted(strake, panel))
        return {name: float(np.abs(each).max()) for name, each in off.items()}

    def in_boat(self, strake: int, panel: Part, flat: Floats, depth: float) -> Floats:
        """(n, 3) where places of a panel, laid as it fits best, come to lie on a face."""
        return self.folded(strake, turned(self._fitted(strake, panel), flat), depth)

    def _fitted(self, strake: int, panel: Part) -> Floats:
        """The turn and shift by which a panel's edges, on both faces at once, come nearest to where they should lie."""
        return np.asarray(
            least_squares(
                lambda place: np.concatenate(list(self._all_off(strake, panel, place).values())),
                self._start(strake, panel),
                x_scale=[1e-3, 1.0, 1.0],
                xtol=1e-14,
            ).x
        )

    def _all_off(self, strake: int, panel: Part, place: Floats) -> dict[str, Floats]:
        found = {}
        for edge in panel.edges:
            if edge.hand == "port":  # of a bottom athwart, the image of the starboard one
                continue
            for face, points in (("inside", edge.points), ("outside", edge.far)):
                ends = self.edge_ends(strake, edge.either_hand, inside=face == "inside")
                found[f"{edge.name} {face}"] = self._off(strake, turned(place, dense(points)), *ends)
        return found

    def _off(self, strake: int, flat: Floats, depth: float, ends: Condition) -> Floats:
        """How far along the face places lie from a condition."""
        points = self.folded(strake, flat, depth)
        miss, slope = ends(points)
        out = self.strakes[strake].normal(points)
        along = slope - np.einsum("nk,nk->n", slope, out)[:, None] * out
        return np.asarray(miss / np.linalg.norm(along, axis=1))

    def _start(self, strake: int, panel: Part) -> Floats:
        """Turn and shift that bring the upper edge of a panel near its line, end on end."""
        line = self.lines[strake]
        edge = next(edge for edge in panel.edges if edge.either_hand == line.name and edge.hand != "port")
        ends = line.point(np.array([line.first, line.last]))
        known = self.strakes[strake].unrolled(ends, -self.thickness[strake] / 2)
        order = edge.far[:, 0].argsort()
        own = edge.far[order[[0, -1]]]
        turn = np.arctan2(*(known[1] - known[0])[::-1]) - np.arctan2(*(own[1] - own[0])[::-1])
        return np.array([turn, *(known.mean(axis=0) - turned(np.array([turn, 0.0, 0.0]), own).mean(axis=0))])


def turned(place: Floats, flat: Floats) -> Floats:
    """Places (n, 2) turned by an angle and shifted."""
    c, s = np.cos(place[0]), np.sin(place[0])
    return np.asarray(flat @ np.array([[c, s], [-s, c]]) + place[1:])


def dense(points: Floats, step: float = 15.0) -> Floats:
    """Places along the straight pieces of a line, not at its corners only."""
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    places = np.union1d(run, np.linspace(0.0, run[-1], int(run[-1] / step) + 2))
    return np.stack([np.interp(places, run, column) for column in points.T], axis=1)


# --- Hulls ---


def upright(radius: float, half: float, z: float, slope: float, x: float, lean: float = 0.0) -> Cone:
    """A cone about an axis that leans aft by degrees: ``radius`` wide at a height, wider by ``slope`` a mm.

    Its widest place at that height stands ``half`` off the centre plane, x from FP.
    """
    r = np.radians(lean)
    axis = np.array([np.sin(r), 0.0, np.cos(r)])
    centre = np.array([x, half - radius, z])
    return Cone(centre - radius / slope * axis, axis, float(np.arctan(slope)), np.array([0.0, 1.0, 0.0]))


@lru_cache
def wedge() -> KnownHull:
    """A V of planes: straight stem, straight keel from the chine's end, raked transom."""
    side = leaning(17.0, 9.0, 0.0, x=120.0, z=260.0)
    bottom = rising(16.0, 3.0, 260.0, x=120.0)
    return KnownHull(
        "wedge", (side, bottom), (6.0, 10.0), sheer_height(620.0, 2200.0, 80.0, 2200.0), 2000.0,
        ((400.0, 620.0), (300.0, 240.0), (0.0, 160.0)), aft=raked(3500.0, 100.0, 10.0, aft=True),
    )  # fmt: skip


@lru_cache
def forefoot() -> KnownHull:
    """Two cones whose axes lean apart; the garboard's own piece of stem runs down from the chine to the keel."""
    side = upright(3500.0, 650.0, 500.0, 0.27, 2250.0, 1.0)
    garboard = upright(3250.0, 520.0, 200.0, 2.5, 2300.0, 2.0)
    return KnownHull(
        "forefoot", (side, garboard), (6.0, 9.0), sheer_height(570.0, 2400.0, 110.0, 2400.0), 2200.0,
        ((670.0, 570.0), (545.0, 210.0), (0.0, 10.0)), aft=raked(3500.0, 100.0, 12.0, aft=True), heels=(850.0, np.nan),
    )  # fmt: skip


@lru_cache
def double_ender() -> KnownHull:
    """A V bottom with two chines of cones about one upright axis: chines lie level, both ends are alike."""
    wide, half, slopes = 3100.0, 580.0, (0.33, 1.05, 3.1)
    heights = (500.0, 290.0, 150.0)
    radii = [wide]
    for slope, (high, low) in zip(slopes, ((500.0, 290.0), (290.0, 150.0)), strict=False):
        radii.append(radii[-1] - slope * (high - low))
    off = half - wide
    strakes = tuple(
        upright(radius, radius + off, z, slope, 1900.0) for radius, z, slope in zip(radii, heights, slopes, strict=True)
    )
    near = tuple((radius + off, z) for radius, z in zip(radii, heights, strict=True))
    return KnownHull(
        "double-ender", strakes, (6.0, 7.0, 9.0), sheer_height(500.0, 1900.0, 0.0, 1000.0), 1900.0,
        (*near, (0.0, 150.0 - near[-1][0] / 3.1)), heels=(720.0, 3080.0),
    )  # fmt: skip


@lru_cache
def pram() -> KnownHull:
    """A V of planes between two raked transoms."""
    side, bottom = leaning(18.0, 4.0, 330.0, z=200.0), rising(12.0, 2.0, 130.0)
    return KnownHull(
        "pram", (side, bottom), (6.0, 9.0), sheer_height(480.0, 1200.0, 40.0, 1200.0), 1200.0,
        ((500.0, 480.0), (420.0, 180.0), (0.0, 90.0)),
        fore=raked(150.0, 200.0, 35.0, aft=False), aft=raked(2400.0, 150.0, 12.0, aft=True),
    )  # fmt: skip


@lru_cache
def dory() -> KnownHull:
    """A narrow flat bottom and three chines, all planes, between a raked bow transom and a tombstone."""
    strakes = (
        leaning(15.0, 4.0, 185.0), leaning(35.0, 4.3, 55.0), leaning(62.0, 4.6, -132.0), rising(0.0, 1.0, 90.0)
    )  # fmt: skip
    return KnownHull(
        "dory", strakes, (6.0, 7.0, 8.0, 12.0), sheer_height(540.0, 1800.0, 70.0, 1800.0), 1800.0,
        ((460.0, 540.0), (386.0, 280.0), (295.0, 150.0), (122.0, 58.0)),
        fore=raked(100.0, 100.0, 30.0, aft=False), aft=raked(3500.0, 100.0, 15.0, aft=True), keel=False,
    )  # fmt: skip


@lru_cache
def sharpie() -> KnownHull:
    """A flat bottom that comes to a point on the stem, where its chine does; planes."""
    side, bottom = leaning(14.0, 9.0, 0.0, x=150.0, z=140.0), rising(0.0, 1.5, 140.0, x=150.0)
    return KnownHull(
        "sharpie", (side, bottom), (6.0, 10.0), sheer_height(520.0, 2000.0, 80.0, 2000.0), 2000.0,
        ((390.0, 520.0), (280.0, 92.0)), aft=raked(3400.0, 100.0, 12.0, aft=True), keel=False,
    )  # fmt: skip


KNOWN = {make.__name__: make for make in (wedge, forefoot, double_ender, pram, dory, sharpie)}

"""Boats for the tests: a skiff from its plan's own figures, hulls whose every shape has a closed form, random ones.

Nothing here is imported by the program. Lengths mm, x aft, y to starboard, z up.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import brentq

from patterns.hull.build import Joint, LinesTo, Planking, Skin, Stem, Transom
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.parts.asked.rules import Boat, FrameKind, FramePlace, FrameRules, StationFace

Floats = NDArray[np.float64]
FIGURES = Path(__file__).parents[2] / "shared" / "figures"
EIGHTH = 3.175  # mm
FLAT_JOINTS = tuple(joint for joint in Joint if joint is not Joint.LAPPED)  # a flat bottom turns too hard to lap


def figures(name: str) -> dict[str, Any]:
    """Published and derived figures kept with the program; each file names its sources in its header."""
    return tomllib.loads((FIGURES / name).read_text(encoding="utf-8"))


def unit(vectors: Floats) -> Floats:
    return np.asarray(vectors / np.linalg.norm(vectors, axis=-1, keepdims=True))


def flat_skin(lines_to: LinesTo, side: Planking, bottom: Planking, laps: Joint) -> Skin:
    """The planking of a flat-bottomed hull of one chine."""
    return Skin(lines_to, (side, bottom), (laps,))


def reskinned(skin: Skin, *, side: float = 1.0, bottom: float = 1.0, laps: Joint | None = None) -> Skin:
    """Another skin: side and bottom so many times as thick, meeting in another way where that is said."""
    planking = tuple(
        replace(one, thickness=one.thickness * by) for one, by in zip(skin.planking, (side, bottom), strict=True)
    )
    return replace(skin, planking=planking, joints=skin.joints if laps is None else (laps,))


# --- Saltmeadow, straight from samples/saltmeadow ---


def eighths(words: str) -> Floats:
    """Feet-inches-eighths, such as 2-6-4, as mm."""
    cells = [[int(number) for number in word.split("-")] for word in words.split()]
    return np.array([(feet * 96 + inches * 8 + eighth) * EIGHTH for feet, inches, eighth in cells])


def saltmeadow() -> Boat:
    """The sample skiff, its figures as in samples/saltmeadow/offsets.csv and boat.toml."""
    stations = np.array([np.nan, 2, 4, 6, 8, 10, 12, np.nan]) * 304.8
    offsets = Offsets(
        columns=("stem", "1", "2", "3", "4", "5", "6", "transom"),
        from_fp=stations,
        heights=(
            OffsetRow("sheer", eighths("2-6-4 2-3-0 2-0-4 1-10-5 1-9-5 1-9-3 1-9-6 1-11-2")),
            OffsetRow("chine", eighths("0-4-2 0-2-7 0-1-0 0-0-0 0-0-0 0-0-6 0-2-3 0-4-5")),
        ),
        half_breadths=(
            OffsetRow("sheer", eighths("0-0-6 1-0-5 1-8-3 2-1-2 2-3-6 2-4-0 2-2-5 1-11-0")),
            OffsetRow("chine", eighths("0-0-6 0-6-1 1-2-6 1-7-7 1-10-5 1-11-2 1-10-0 1-7-6")),
        ),
        rounding=EIGHTH,
    )
    return Boat(
        name="Saltmeadow",
        about="",
        offsets=offsets,
        fair_within=EIGHTH,
        fore=Stem(np.stack([eighths("0-0-0 1-1-4"), eighths("2-6-4 0-4-2")], axis=1), sided=63.5, moulded=88.9),
        aft=Transom(
            np.stack([eighths("14-6-0 13-10-0"), eighths("1-11-2 0-4-5")], axis=1),
            thickness=19.05,
            crown=63.5,
            material="marine plywood",
        ),
        skin=flat_skin(
            LinesTo.OUTSIDE,
            Planking(9.525, "marine plywood"),
            Planking(12.7, "marine plywood"),
            Joint.LOWER_OVER,
        ),
        frames=FrameRules(
            places=tuple(FramePlace(str(i + 1), float(x)) for i, x in enumerate(stations[1:-1])),
            sided=19.05,
            side_moulded=57.15,
            floor_moulded=88.9,
            station_face=StationFace.TOWARD_MIDSHIP,
            kind=FrameKind.SAWN,
            material="white oak",
        ),
        show="ft-in-16ths",
    )


def scaled(boat: Boat, k: float) -> Boat:
    """The same boat k times as large in everything measured in mm."""
    assert isinstance(boat.fore, Stem)
    assert isinstance(boat.aft, Transom)
    assert boat.frames is not None

    def rows(block: tuple[OffsetRow, ...]) -> tuple[OffsetRow, ...]:
        return tuple(OffsetRow(row.name, row.values * k) for row in block)

    table, fore, aft, skin, frames = boat.offsets, boat.fore, boat.aft, boat.skin, boat.frames
    return replace(
        boat,
        offsets=Offsets(
            table.columns,
            table.from_fp * k,
            rows(table.heights),
            rows(table.half_breadths),
            table.rounding * k,
        ),
        fair_within=boat.fair_within * k,
        fore=Stem(fore.profile * k, fore.sided * k, fore.moulded * k),
        aft=Transom(aft.profile * k, aft.thickness * k, aft.crown * k, aft.material),
        skin=reskinned(skin, side=k, bottom=k),
        frames=replace(
            frames,
            places=tuple(FramePlace(place.name, place.from_fp * k) for place in frames.places),
            sided=frames.sided * k,
            side_moulded=frames.side_moulded * k,
            floor_moulded=frames.floor_moulded * k,
        ),
    )


# --- Surfaces a side may lie on, each with its closed forms ---


@dataclass(frozen=True, eq=False)
class Cone:
    """A right circular cone: apex, axis and half angle; the outside is the side away from the axis."""

    apex: Floats
    axis: Floats  # unit, into the cone
    half_angle: float  # rad
    start: Floats  # any direction; the meridian through it has angle 0

    def _frame(self) -> tuple[Floats, Floats]:
        e1 = unit(self.start - (self.start @ self.axis) * self.axis)
        return e1, np.cross(self.axis, e1)

    def beyond(self, points: Floats) -> Floats:
        """Distance (...) of points outward from the surface, mm."""
        w = points - self.apex
        axial = w @ self.axis
        radial = np.linalg.norm(w - axial[..., None] * self.axis, axis=-1)
        return np.asarray(radial * np.cos(self.half_angle) - axial * np.sin(self.half_angle))

    def normal(self, points: Floats) -> Floats:
        w = points - self.apex
        radial = unit(w - (w @ self.axis)[..., None] * self.axis)
        return np.asarray(np.cos(self.half_angle) * radial - np.sin(self.half_angle) * self.axis)

    def ruling(self, points: Floats) -> Floats:
        """(..., 3) unit, the straight line of the surface beside each point."""
        w = points - self.apex
        radial = unit(w - (w @ self.axis)[..., None] * self.axis)
        return np.asarray(np.sin(self.half_angle) * radial + np.cos(self.half_angle) * self.axis)

    def unrolled(self, points: Floats, depth: float) -> Floats:
        """(..., 2) where the foot of each point on the surface at a depth comes to lie, unrolled, seen from inside.

        Source: a right circular cone opens to a sector, polar angle t sin(a), radius along the slant
        (developments.toml, [right_cone_oblique_cut]). Offset outward by d its apex moves d / sin(a) back.
        """
        e1, e2 = self._frame()
        w = points - (self.apex - depth / np.sin(self.half_angle) * self.axis)
        polar = np.arctan2(w @ e2, w @ e1) * np.sin(self.half_angle)
        slant = np.einsum("...k,...k->...", w, self.ruling(points))
        return np.stack([slant * np.cos(polar), slant * np.sin(polar)], axis=-1)

    def at(self, angle: Floats, slant: Floats) -> Floats:
        e1, e2 = self._frame()
        a = self.half_angle
        radial = np.cos(angle)[..., None] * e1 + np.sin(angle)[..., None] * e2
        return np.asarray(self.apex + slant[..., None] * (np.sin(a) * radial + np.cos(a) * self.axis))


@dataclass(frozen=True, eq=False)
class Cylinder:
    """A right circular cylinder about a leaning axis; the outside is away from it."""

    centre: Floats
    axis: Floats  # unit, up
    radius: float
    start: Floats

    def _frame(self) -> tuple[Floats, Floats]:
        e1 = unit(self.start - (self.start @ self.axis) * self.axis)
        return e1, np.cross(self.axis, e1)

    def beyond(self, points: Floats) -> Floats:
        w = points - self.centre
        return np.asarray(np.linalg.norm(w - (w @ self.axis)[..., None] * self.axis, axis=-1) - self.radius)

    def normal(self, points: Floats) -> Floats:
        w = points - self.centre
        return unit(w - (w @ self.axis)[..., None] * self.axis)

    def ruling(self, points: Floats) -> Floats:
        return np.broadcast_to(self.axis, points.shape)

    def unrolled(self, points: Floats, depth: float) -> Floats:
        """Source: girth R t and height along the axis (developments.toml, [cylinder_oblique_cut])."""
        e1, e2 = self._frame()
        w = points - self.centre
        return np.stack([-(self.radius + depth) * np.arctan2(w @ e2, w @ e1), w @ self.axis], axis=-1)


@dataclass(frozen=True, eq=False)
class Flat:
    """A plane; the outside is where its normal points."""

    origin: Floats
    outward: Floats  # unit

    def beyond(self, points: Floats) -> Floats:
        return np.asarray((points - self.origin) @ self.outward)

    def normal(self, points: Floats) -> Floats:
        return np.broadcast_to(self.outward, points.shape)

    def ruling(self, points: Floats) -> Floats:
        up = np.array([0.0, 0.0, 1.0])
        return np.broadcast_to(unit(up - (up @ self.outward) * self.outward), points.shape)

    def unrolled(self, points: Floats, depth: float) -> Floats:
        up = self.ruling(self.origin)
        w = points - self.origin
        return np.stack([w @ np.cross(self.outward, up), w @ up], axis=-1)


Surface = Cone | Cylinder | Flat
OUT = np.array([0.0, 1.0, 0.0])


def cone_side(radius: float = 6500.0, lean: tuple[float, float] = (0.04, 0.02)) -> Cone:
    """A flaring side, hollow nowhere: level lines of about ``radius`` mm, the axis leaning aft and outboard."""
    half = np.radians(17.0)
    axis = unit(np.array([*lean, 1.0]))
    start = unit(OUT - (OUT @ axis) * axis)
    # The meridian abreast of x = 2300 passes 560 mm off the centre plane at base.
    slant = radius / np.sin(half)
    apex = np.array([2300.0, 560.0, 0.0]) - slant * (np.sin(half) * start + np.cos(half) * axis)
    return Cone(apex, axis, half, start)


def flared_side() -> Cylinder:
    """The leaning cylinder of developments.toml, [flared_side]: R 4000 leaning outboard 15 degrees."""
    known = figures("developments.toml")["flared_side"]
    flare = np.radians(known["f_deg"])
    axis = np.array([0.0, np.sin(flare), np.cos(flare)])
    square = np.array([0.0, np.cos(flare), -np.sin(flare)])
    centre = np.array([1800.0, 600.0, 0.0]) - known["R"] * square
    return Cylinder(centre, axis, known["R"], OUT)


def wedge_side(flare_deg: float = 20.0, sweep_deg: float = 12.0) -> Flat:
    """A plane side of known flare f (in the station) and sweep s (of its level lines, opening aft)."""
    f, s = np.tan(np.radians([flare_deg, sweep_deg]))
    # y = y0 + x tan s + z tan f
    return Flat(np.array([0.0, 60.0, 0.0]), unit(np.array([-s, 1.0, -f])))


# --- Lines that lie exactly on such a side ---


@dataclass(frozen=True, eq=False)
class LineOn:
    """A curve on a surface whose height over x is known: the half-breadth follows from the surface.

    Stands in for a sprung line (``BattenCurve``) wherever the program asks one for points.
    """

    surface: Surface
    height: Callable[[Floats], Floats]
    first: float
    last: float

    @property
    def breadth(self) -> _Breadth:
        return _Breadth(self)

    def point(self, at: Floats) -> Floats:
        x = np.asarray(at, dtype=float)
        z = self.height(x)
        y = np.full(x.shape, 500.0)
        for _ in range(8):
            points = np.stack([x, y, z], axis=-1)
            y = y - self.surface.beyond(points) / self.surface.normal(points)[..., 1]
        return np.stack([x, y, z], axis=-1)

    def tangent(self, at: Floats) -> Floats:
        x = np.asarray(at, dtype=float)
        slope = (self.height(x + 0.5) - self.height(x - 0.5)) / 1.0  # exact for a parabola
        n = self.surface.normal(self.point(x))
        return np.stack([np.ones_like(x), -(n[..., 0] + slope * n[..., 2]) / n[..., 1], slope], axis=-1)


@dataclass(frozen=True, eq=False)
class _Breadth:
    line: LineOn

    def value(self, at: Floats) -> Floats:
        return self.line.point(at)[..., 1]


@dataclass(frozen=True, eq=False)
class ExactLine:
    """A hull's line that was never a table."""

    name: str
    curve: LineOn


def parabola(low: float, at: float, rise: float, run: float) -> Callable[[Floats], Floats]:
    """A height over x: lowest ``low`` at x = ``at``, ``rise`` higher a ``run`` away."""
    return lambda x: low + rise * ((np.asarray(x) - at) / run) ** 2


@dataclass(frozen=True, eq=False)
class ExactHull:
    """A flat-bottomed hull whose side lies on a known surface, between a straight stem and a raked transom."""

    name: str
    side: Surface
    sheer: Callable[[Floats], Floats]
    chine: Callable[[Floats], Floats]
    stem: Floats  # (2, 2) distance from FP, height
    transom: Floats  # (2, 2)

    def line(self, name: str) -> LineOn:
        height = self.sheer if name == "sheer" else self.chine
        first, last = (self._end(height, profile) for profile in (self.stem, self.transom))
        return LineOn(self.side, height, first, last)

    def lines(self) -> tuple[ExactLine, ExactLine]:
        return ExactLine("sheer", self.line("sheer")), ExactLine("chine", self.line("chine"))

    def _end(self, height: Callable[[Floats], Floats], profile: Floats) -> float:
        def past(x: float) -> float:
            return float(x - self._profile_x(profile, height(np.array(x))))

        middle = float(profile[:, 0].mean())
        return float(brentq(past, middle - 900, middle + 900, xtol=1e-12))

    @staticmethod
    def _profile_x(profile: Floats, z: Floats) -> Floats:
        (x0, z0), (x1, z1) = profile
        return np.asarray(x0 + (z - z0) * (x1 - x0) / (z1 - z0))

    def past_end(self, points: Floats, *, aft: bool) -> Floats:
        """How far aft of an end's profile points lie, along x."""
        return np.asarray(points[..., 0] - self._profile_x(self.transom if aft else self.stem, points[..., 2]))

    def under(self, points: Floats) -> Floats:
        """Distance (n,) of points above the bottom's outside, square to it: the chine's profile carried athwart."""
        x, z = points[..., 0], points[..., 2]
        at = x.copy()
        for _ in range(7):  # the foot of the square, by Newton on a parabola
            slope = self.chine(at + 0.5) - self.chine(at - 0.5)
            bend = self.chine(at + 1) - 2 * self.chine(at) + self.chine(at - 1)
            gap = z - self.chine(at)
            at = at - ((at - x) - gap * slope) / (1 + slope**2 - gap * bend)
        slope = self.chine(at + 0.5) - self.chine(at - 0.5)
        return np.asarray((z - self.chine(at)) / np.sqrt(1 + slope**2) - slope / np.sqrt(1 + slope**2) * (x - at))

    def boat(self, *, rounding: float = 0.01, stations: int = 11, laps: Joint = Joint.LOWER_OVER) -> Boat:
        """The boat as a builder would write it: a table of its lines, rounded."""
        sheer, chine = self.line("sheer"), self.line("chine")
        inner = np.linspace(max(sheer.first, chine.first), min(sheer.last, chine.last), stations + 2)[1:-1]
        rows: dict[str, list[Floats]] = {"height": [], "breadth": []}
        for line in (sheer, chine):
            at = np.concatenate([[line.first], inner, [line.last]])
            points = np.round(line.point(at) / rounding) * rounding
            rows["breadth"].append(points[:, 1])
            rows["height"].append(points[:, 2])
        names = tuple(str(i + 1) for i in range(stations))
        offsets = Offsets(
            columns=("stem", *names, "transom"),
            from_fp=np.concatenate([[np.nan], inner, [np.nan]]),
            heights=(OffsetRow("sheer", rows["height"][0]), OffsetRow("chine", rows["height"][1])),
            half_breadths=(OffsetRow("sheer", rows["breadth"][0]), OffsetRow("chine", rows["breadth"][1])),
            rounding=rounding,
        )
        places = [FramePlace(name, float(x)) for name, x in zip(names, inner, strict=True) if int(name) % 2 == 0]
        # Between stations the table says nothing: hardest next to the ends, where the line is free.
        for x in (
            chine.first + 90.0,
            float(inner[0] + inner[1]) / 2,
            float(inner[4] + inner[5]) / 2,
            chine.last - 90.0,
        ):
            places.append(FramePlace(f"{x:.0f} mm", x))
        return Boat(
            name=self.name,
            about="",
            offsets=offsets,
            fair_within=EIGHTH,
            fore=Stem(self.stem, sided=900.0, moulded=90.0),
            aft=Transom(self.transom, thickness=19.0, crown=40.0, material="plywood"),
            skin=flat_skin(LinesTo.OUTSIDE, Planking(9.0, "plywood"), Planking(12.0, "plywood"), laps),
            frames=FrameRules(
                places=tuple(places),
                sided=19.0,
                side_moulded=50.0,
                floor_moulded=60.0,
                station_face=StationFace.TOWARD_MIDSHIP,
                kind=FrameKind.SAWN,
                material="oak",
            ),
            show="mm",
        )


def oblique_cone() -> ExactHull:
    """A hull on a cone whose axis leans 9 degrees, its lines within 25 degrees of the centre plane."""
    return replace(exact_hulls()[0], side=cone_side(5000.0, (0.12, 0.1)))


def exact_hulls() -> tuple[ExactHull, ...]:
    """A hull on a cone, one on a leaning cylinder, one on a plane: lines within 25 degrees of the centre plane."""
    stem = np.array([[0.0, 620.0], [260.0, 60.0]])
    return (
        ExactHull(
            "cone",
            cone_side(),
            parabola(480.0, 2900.0, 130.0, 2900.0),
            parabola(0.0, 2300.0, 75.0, 2300.0),
            stem,
            np.array([[4450.0, 520.0], [4330.0, 60.0]]),
        ),
        ExactHull(
            "cylinder",
            flared_side(),
            parabola(450.0, 2100.0, 110.0, 2100.0),
            parabola(0.0, 1800.0, 60.0, 1800.0),
            np.array([[330.0, 560.0], [520.0, 40.0]]),
            np.array([[3230.0, 500.0], [3130.0, 50.0]]),
        ),
        ExactHull(
            "wedge",
            wedge_side(),
            parabola(480.0, 2600.0, 120.0, 2600.0),
            parabola(0.0, 2200.0, 70.0, 2200.0),
            stem,
            np.array([[3900.0, 540.0], [3780.0, 50.0]]),
        ),
    )


# --- Random fair boats ---


@st.composite
def fair_boats(draw: st.DrawFn) -> Boat:
    """One-chine skiffs of fair lines, 3 to 5.5 m, tables in eighths of an inch or in hundredths of a mm."""

    def between(low: float, high: float) -> float:
        return draw(st.floats(low, high, allow_nan=False))

    length = between(3000.0, 5500.0)
    beam = length * between(0.135, 0.17)  # half-breadth of the sheer
    widest = between(0.55, 0.65)
    bottom = between(0.74, 0.84)  # chine over sheer
    depth = length * between(0.1, 0.13)
    spring, rocker = length * between(0.03, 0.05), length * between(0.015, 0.025)
    rake_fore, rake_aft = between(0.3, 0.6), between(0.1, 0.3)
    rounding = draw(st.sampled_from([0.01, EIGHTH]))
    siding = 20.0

    def breadth(half: float) -> Callable[[Floats], Floats]:
        return lambda u: siding + (half - siding) * (1 - ((u - widest) / widest) ** 2)

    def sheer(u: Floats) -> Floats:
        return depth + spring * ((u - 0.65) / 0.65) ** 2

    def chine(u: Floats) -> Floats:
        return rocker * ((u - 0.55) / 0.55) ** 2

    # u runs from 0 at the fore end to 1 at the after end of each line, so that both end on stem and transom.
    ends = {}
    for name, height in (("sheer", sheer), ("chine", chine)):
        below_head = float(sheer(np.array(0.0)) - height(np.array(0.0)))
        below_top = float(sheer(np.array(1.0)) - height(np.array(1.0)))
        ends[name] = (rake_fore * below_head, length - rake_aft * below_top)
    stations = np.linspace(0.0, length, 9)[1:-1]
    stations = stations[(stations > ends["chine"][0] + 100) & (stations < ends["chine"][1] - 100)]

    def row(name: str, shape: Callable[[Floats], Floats]) -> OffsetRow:
        first, last = ends[name]
        at = np.concatenate([[0.0], (stations - first) / (last - first), [1.0]])
        return OffsetRow(name, np.round(shape(at) / rounding) * rounding)

    def profile(u: float, side: int) -> Floats:
        z = [float(height(np.array(u))) for height in (sheer, chine)]
        return np.array([[ends["sheer"][side], z[0]], [ends["chine"][side], z[1]]])

    names = tuple(str(i + 1) for i in range(len(stations)))
    thickness = draw(st.sampled_from([6.0, 9.0, 12.0]))
    return Boat(
        name="random",
        about="",
        offsets=Offsets(
            columns=("stem", *names, "transom"),
            from_fp=np.concatenate([[np.nan], stations, [np.nan]]),
            heights=(row("sheer", sheer), row("chine", chine)),
            half_breadths=(row("sheer", breadth(beam)), row("chine", breadth(bottom * beam))),
            rounding=rounding,
        ),
        fair_within=EIGHTH,
        fore=Stem(profile(0.0, 0), sided=120.0, moulded=90.0),
        aft=Transom(profile(1.0, 1), thickness=19.0, crown=40.0, material="plywood"),
        skin=flat_skin(
            LinesTo.OUTSIDE,
            Planking(thickness, "plywood"),
            Planking(12.0, "plywood"),
            draw(st.sampled_from(FLAT_JOINTS)),
        ),
        frames=FrameRules(
            places=tuple(FramePlace(name, float(x)) for name, x in zip(names, stations, strict=True))[1:],
            sided=draw(st.sampled_from([15.0, 19.0])),
            side_moulded=50.0,
            floor_moulded=60.0,
            station_face=draw(st.sampled_from(list(StationFace))),
            kind=FrameKind.SAWN,
            material="oak",
        ),
        show="mm",
    )

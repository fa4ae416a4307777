"""Round hulls by closed formula, and their skins laid straight on the formula, without a table and a fit.

Nothing here is imported by the program. Lengths mm, x aft, y to starboard, z up. A section is given for x and p, from 0
at the rabbet to 1 at the sheer. The forms: an ellipsoid; superellipses that turn to wineglass sections toward the ends,
computed for this project; and the parabolic hull of W. C. S. Wigley, "A comparison of experiment and calculated
wave-profiles and wave-resistances for a form having parabolic waterlines", Proc. Royal Society A 144, 1934.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy.optimize import brentq

from patterns.geometry.arrays import Floats
from patterns.geometry.spline_bases import SplineBasis
from patterns.geometry.tensor_skins import TensorSkin
from patterns.hull.build import Diagonal, EndFace, StemFace, TransomFace
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.hull.round.round_hull import RoundHull

Section = Callable[[Floats, Floats], tuple[Floats, Floats]]
CLOSE = 1e-12


@dataclass(frozen=True, eq=False)
class ClosedRound:
    """A round hull known everywhere."""

    section: Section  # y and z, mm, of x and p
    fore: EndFace
    aft: EndFace
    stations: Floats  # (n,) mm
    waterlines: tuple[float, ...] = ()
    buttocks: tuple[float, ...] = ()
    diagonals: tuple[tuple[float, float], ...] = ()  # apex, mm, and angle, rad
    keel_half: float = 0.0
    chine: float | None = None  # p at which the section turns hard
    begins: Callable[[float], float] = field(default=lambda x: 0.0)  # p of a station where it leaves the stem

    def x_end(self, p: Floats, *, aft: bool) -> Floats:
        """x of an end at shares p of its section: the section's height is on the end's straight profile there."""
        (x1, z1), (x0, z0) = (self.aft if aft else self.fore).profile[[0, -1]].tolist()
        x = np.full(len(p), (x0 + x1) / 2)
        for _ in range(200):
            moved = x0 + (self.section(x, p)[1] - z0) * (x1 - x0) / (z1 - z0)
            if np.abs(moved - x).max() < 1e-11:
                break
            x = moved
        return x

    def normals(self, x: Floats, p: Floats) -> Floats:
        """(n, 3) unit, outward, by differences."""
        h, k = 1e-3, 1e-6
        along = np.stack([np.full_like(x, 2 * h), *(a - b for a, b in zip(self.section(x + h, p), self.section(x - h, p), strict=True))], axis=1)  # fmt: skip  # noqa: E501
        high, low = np.clip(p + k, 0, 1), np.clip(p - k, 0, 1)
        up = np.stack([np.zeros_like(x), *(a - b for a, b in zip(self.section(x, high), self.section(x, low), strict=True))], axis=1)  # fmt: skip  # noqa: E501
        square = np.cross(up, along)
        return np.asarray(square / np.linalg.norm(square, axis=1, keepdims=True))

    def outside(self, x: float, count: int = 401) -> Floats:
        """(count, 2) mm, the section at x from rabbet or stem to sheer."""
        p = np.linspace(self.begins(x), 1, count)
        return np.stack(self.section(np.full(count, x), p), axis=1)

    def inside(self, x0: float, thickness: float, count: int = 401) -> tuple[Floats, Floats]:
        """(count, 2) mm and (count,) rad: the cut at x0 of the face so deep inside, and its bevels."""
        p = np.linspace(self.begins(x0), 1, count)
        x = np.full(count, float(x0))
        for _ in range(80):
            out = x0 - (x - thickness * self.normals(x, p)[:, 0])
            x = x + out
            if np.abs(out).max() < 1e-9:
                break
        square = self.normals(x, p)
        y, z = self.section(x, p)
        points = np.stack([y - thickness * square[:, 1], z - thickness * square[:, 2]], axis=1)
        return points, np.arctan2(square[:, 0], np.hypot(square[:, 1], square[:, 2]))

    @cached_property
    def skin(self) -> TensorSkin:
        """The surface laid on the formula by least squares over a fine grid, v being p."""
        along, across = (SplineBasis.on(np.linspace(0, 1, spans + 1), degree=7) for spans in (24, 16))
        u, v = ((1 - np.cos(np.linspace(0, np.pi, count))) / 2 for count in (121, 91))
        fore, aft = self.x_end(v, aft=False), self.x_end(v, aft=True)
        x = fore + u[:, None] * (aft - fore)
        y, z = self.section(x, np.broadcast_to(v, x.shape))
        by_u, by_v = np.linalg.pinv(along.within(u)), np.linalg.pinv(across.within(v))
        return TensorSkin(along, across, by_u @ y @ by_v.T, by_u @ z @ by_v.T, by_v @ fore, by_v @ aft)

    @cached_property
    def hull(self) -> RoundHull:
        """The skin with the ends and sidings of the formula, its table exact."""
        halves = [
            tuple(float(self.section(self.x_end(np.array([p]), aft=aft), np.array([p]))[0][0]) for p in (1.0, 0.0))
            for aft in (False, True)
        ]
        (fore, aft) = ((one[0], one[1]) for one in halves)
        return RoundHull(
            self.skin, self.table(1e-6), self.fore, self.aft, self.keel_half, fore, aft, self.diagonal_places
        )

    @property
    def diagonal_places(self) -> tuple[Diagonal, ...]:
        return tuple(
            Diagonal(f"diagonal {letter}", apex, angle)
            for letter, (apex, angle) in zip("ABCDEFGH", self.diagonals, strict=False)
        )

    def table(self, step: float, *, noise: float = 0.0, rng: np.random.Generator | None = None) -> Offsets:
        """Its table of offsets, each figure rounded to ``step`` after a random slip of the drawing (``noise``, mm)."""
        from_fp = np.concatenate([[np.nan], self.stations, [np.nan]])
        columns = (
            "stem" if isinstance(self.fore, StemFace) else "bow transom",
            *(str(number + 1) for number in range(len(self.stations))),
            "sternpost" if isinstance(self.aft, StemFace) else "transom",
        )

        def written(mm: float, *, exact: bool = False) -> float:
            slip = rng.normal(0.0, noise) if rng is not None and noise and not exact else 0.0
            return float(np.round((mm + slip) / step) * step)

        sections = [self._on_end(aft=False), *(self._fine(float(x)) for x in self.stations), self._on_end(aft=True)]
        posts = [0] * isinstance(self.fore, StemFace) + [len(columns) - 1] * isinstance(self.aft, StemFace)
        ends = (0, len(columns) - 1)
        sheer_z = [written(float(z[-1]), exact=i in ends) for i, (_, _, z) in enumerate(sections)]
        sheer_y = [written(float(y[-1]), exact=i in ends) for i, (_, y, _) in enumerate(sections)]
        on_keel = [p[0] <= 0 for p, _, _ in sections]
        keel_z = [
            written(float(z[0]), exact=i in ends) if on_keel[i] else np.nan for i, (_, _, z) in enumerate(sections)
        ]
        keel_y = [self.keel_half if there else np.nan for there in on_keel]

        def crossing(signed: Callable[[Floats, Floats], Floats], measured: Callable[[Floats, Floats], Floats], pick: int) -> Floats:  # fmt: skip  # noqa: E501
            found = np.full(len(columns), np.nan)
            for i, (_, y, z) in enumerate(sections):
                if i in posts:
                    continue
                side = signed(y, z)
                at = np.flatnonzero((side[:-1] < 0) != (side[1:] < 0))
                if len(at):
                    k = at[pick]
                    share = side[k] / (side[k] - side[k + 1])
                    value = measured(y, z)
                    found[i] = written(float(value[k] + share * (value[k + 1] - value[k])))
            return found

        heights, halves = [OffsetRow("sheer", np.array(sheer_z))], [OffsetRow("sheer", np.array(sheer_y))]
        if self.chine is not None:
            places = [*self._ends_at(self.chine, aft=False), *self.stations, *self._ends_at(self.chine, aft=True)]
            at = [self.section(np.array(x), np.array(self.chine)) for x in places]
            halves.append(OffsetRow("chine", np.array([written(float(y)) for y, _ in at])))
            heights.append(OffsetRow("chine", np.array([written(float(z)) for _, z in at])))
        heights.append(OffsetRow("keel", np.array(keel_z)))
        if self.keel_half:
            halves.append(OffsetRow("keel", np.array(keel_y)))
        for at in self.buttocks:
            heights.append(
                OffsetRow(f"buttock {at:g}", crossing(lambda y, z, at=at: y - at, lambda y, z: z, 0), level=at)
            )
        for at in self.waterlines:
            halves.append(
                OffsetRow(f"waterline {at:g}", crossing(lambda y, z, at=at: z - at, lambda y, z: y, -1), level=at)
            )
        for one in self.diagonal_places:
            c, s = np.cos(one.angle), np.sin(one.angle)
            row = crossing(
                lambda y, z, apex=one.apex, c=c, s=s: (z - apex) * c + y * s,
                lambda y, z, apex=one.apex, c=c, s=s: y * c - (z - apex) * s,
                0,
            )
            halves.append(OffsetRow(one.name, row))
        return Offsets(columns, from_fp, tuple(heights), tuple(halves), rounding=step)

    def _ends_at(self, p: float, *, aft: bool) -> Floats:
        return self.x_end(np.array([p]), aft=aft)

    def _fine(self, x: float) -> tuple[Floats, Floats, Floats]:
        p = np.linspace(self.begins(x), 1, 4001)
        return p, *self.section(np.full(len(p), x), p)

    def _on_end(self, *, aft: bool) -> tuple[Floats, Floats, Floats]:
        p = np.linspace(0, 1, 4001)
        return p, *self.section(self.x_end(p, aft=aft), p)


def post(head: tuple[float, float], foot: tuple[float, float]) -> StemFace:
    return StemFace(np.array([head, foot]))


def transom(head: tuple[float, float], foot: tuple[float, float]) -> TransomFace:
    return TransomFace(np.array([head, foot]))


def ellipsoid(long: float = 2400.0, half: float = 700.0, deep: float = 450.0, top: float = 460.0) -> ClosedRound:
    """A slice of an ellipsoid between two upright transoms."""

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        size = np.sqrt(1 - ((x - cut) / long) ** 2)
        return half * size * np.sin(p * np.pi / 2), top - deep * size * np.cos(p * np.pi / 2)

    cut = 0.8125 * long
    foot = float(top - deep * np.sqrt(1 - 0.8125**2))
    ends = [transom((x, top), (x, foot)) for x in (0.0, 2 * cut)]
    return ClosedRound(
        section, *ends, cut + np.linspace(-2 / 3, 2 / 3, 9) * long, (110.0, 220.0, 340.0), (200.0, 400.0),
        ((400.0, np.radians(40)),),
    )  # fmt: skip


def parabolic(siding: float = 10.0, long: float = 4200.0, broad: float = 1100.0, deep: float = 480.0) -> ClosedRound:
    """Pointed both ends on upright posts, its waterlines and sections parabolas."""

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        across = 1 - (2 * (x - long / 2) / long) ** 2
        return siding + broad / 2 * across * (1 - (1 - p) ** 2), deep * p + 0 * x

    ends = [post((x, deep), (x, 0.0)) for x in (0.0, long)]
    return ClosedRound(
        section, *ends, np.linspace(long / 12, 11 * long / 12, 9), (80.0, 160.0, 260.0, 370.0), (150.0, 300.0),
        ((400.0, np.radians(40)),), keel_half=siding,
    )  # fmt: skip


def hollow(
    power: float = 2.4, broad: float = 620.0, siding: float = 18.0, hollowed: float = 1.0, tumble: float = 0.0
) -> ClosedRound:
    """Superelliptic sections that turn to wineglass toward the ends, on a raked stem and a raked transom.

    Station 1 is forward of the forefoot: it begins on the stem.
    """
    long, forefoot = 4200.0, 330.0

    def sheer(x: Floats) -> Floats:
        return 520 + 150 * ((x - 2500) / 2500) ** 2

    def keel(x: Floats) -> Floats:
        return 40 + 55 * ((x - 2300) / 2300) ** 2

    head, foot = float(sheer(np.array(0.0))), float(keel(np.array(forefoot)))

    def stem(z: Floats) -> Floats:
        return forefoot * (head - z) / (head - foot)

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        turn = p * np.pi / 2
        r = (np.cos(turn) ** power + np.sin(turn) ** power) ** (-1 / power)
        share = hollowed * (0.15 + 0.5 * ((x - 2000) / 2200) ** 2)
        z = keel(x) + (sheer(x) - keel(x)) * ((1 - share) * (1 - r * np.cos(turn)) + share * p * (2 - p))
        xi = (x - stem(z)) / long
        wide = broad * xi / 0.62 * (2 - xi / 0.62) * (1 - 0.35 * np.exp(-12 * xi))
        shape = (1 - share) * r * np.sin(turn) + share * p * p * (1.6 - 0.6 * p)
        return siding + wide * shape * (1 + tumble * p * (1 - p)), z

    def begins(x: float) -> float:
        def ahead(p: float) -> float:
            return float(x - stem(section(np.array(x), np.array(p))[1]))

        return 0.0 if x >= forefoot or ahead(0.0) >= 0 else float(brentq(ahead, 0, 1, xtol=CLOSE))

    def plane(z: float) -> float:
        return long - 100 + (z - float(keel(np.array(long - 100)))) * float(np.tan(np.radians(14)))

    top = float(brentq(lambda x: x - plane(float(sheer(np.array(x)))), long - 200, long + 300))
    low = float(brentq(lambda x: x - plane(float(keel(np.array(x)))), long - 300, long + 100))
    stations = np.array([260.0, 700, 1150, 1600, 2050, 2500, 2950, 3400, 3800])
    return ClosedRound(
        section,
        post((0.0, head), (forefoot, foot)),
        transom((top, float(sheer(np.array(top)))), (low, float(keel(np.array(low))))),
        stations,
        (130.0, 210.0, 300.0, 400.0),
        (150.0, 320.0),
        ((480.0, np.radians(30)), (380.0, np.radians(45))),
        keel_half=siding,
        begins=begins,
    )


def double_ender(power: float = 2.3, half: float = 470.0, siding: float = 14.0) -> ClosedRound:
    """Pointed both ends on raked straight posts, with hollow entry and run, sheer and rocker."""
    long, fore_foot, aft_foot = 4600.0, 330.0, 4310.0

    def sheer(x: Floats) -> Floats:
        return 400 + 175 * ((x - long / 2) / (long / 2)) ** 2 + 25 * ((x - long / 2) / (long / 2)) ** 4

    def keel(x: Floats) -> Floats:
        return 30 + 55 * ((x - 2400) / 2400) ** 2

    z_fore, z_aft, head, tail = (float(f(np.array(x))) for f, x in ((keel, fore_foot), (keel, aft_foot), (sheer, 0.0), (sheer, long)))  # fmt: skip  # noqa: E501

    def stem(z: Floats) -> Floats:
        return fore_foot * (head - z) / (head - z_fore)

    def sternpost(z: Floats) -> Floats:
        return long - (long - aft_foot) * (tail - z) / (tail - z_aft)

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        turn = p * np.pi / 2
        r = (np.cos(turn) ** power + np.sin(turn) ** power) ** (-1 / power)
        share = 0.12 + 0.42 * ((x - long / 2) / (long / 2)) ** 2
        z = keel(x) + (sheer(x) - keel(x)) * ((1 - share) * (1 - r * np.cos(turn)) + share * p * (1.7 - 0.7 * p))
        q = (x - stem(z)) / (sternpost(z) - stem(z))
        fine = 1 - 0.3 * np.exp(-11 * q) - 0.25 * np.exp(-11 * (1 - q))
        wide = half * 4 * q * (1 - q) * (1 + 0.2 * (q - 0.5)) * fine
        return siding + wide * ((1 - share) * r * np.sin(turn) + share * p * p * (1.5 - 0.5 * p)), z

    def begins(x: float) -> float:
        def inside(p: float) -> float:
            z = section(np.array(x), np.array(p))[1]
            return float(x - stem(z)) if x < long / 2 else float(sternpost(z) - x)

        return 0.0 if inside(0.0) >= 0 else float(brentq(inside, 0, 1, xtol=CLOSE))

    stations = np.array([240.0, 620, 1050, 1550, 2050, 2550, 3050, 3550, 4000, 4380])
    return ClosedRound(
        section, post((0.0, head), (fore_foot, z_fore)), post((long, tail), (aft_foot, z_aft)), stations,
        (90.0, 160.0, 240.0, 330.0), (120.0, 260.0), ((330.0, np.radians(32)), (260.0, np.radians(50))),
        keel_half=siding, begins=begins,
    )  # fmt: skip


def hard_turned(siding: float = 12.0) -> ClosedRound:
    """An upright post forward, an upright transom aft; floor and side each a parabola, with a chine between."""
    long = 4000.0

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        x, p = np.broadcast_arrays(np.asarray(x, float), np.asarray(p, float))
        along = 1 - ((x - 0.6 * long) / (0.6 * long)) ** 2  # 0 at the stem, 1 at the widest
        low, chine, high = 60 * (1 - along), 160 + 90 * (1 - along), 520 + 60 * (1 - along)
        q = np.clip(2 * p, 0, 1)
        r = np.clip(2 * p - 1, 0, 1)
        y = siding + along * (430 * (1.25 * q - 0.25 * q**2) + 90 * (1.6 * r - 0.6 * r**2))
        return y, low + (chine - low) * (0.7 * q + 0.3 * q**2) + (high - chine) * r

    head, foot = (float(section(np.array(0.0), np.array(p))[1]) for p in (1.0, 0.0))
    top, low = (float(section(np.array(long), np.array(p))[1]) for p in (1.0, 0.0))
    return ClosedRound(
        section, post((0.0, head), (0.0, foot)), transom((long, top), (long, low)),
        np.linspace(0.1, 0.9, 9) * long, (110.0, 250.0, 340.0, 430.0), (150.0, 300.0), keel_half=siding, chine=0.5,
    )  # fmt: skip

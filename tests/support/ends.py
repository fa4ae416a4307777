"""Random boats of every pair of ends: prams, skiffs and double-enders, raked, rockered and flared as boats are built.

Nothing here is imported by the program. Lengths mm, x aft, y to starboard, z up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from boats import EIGHTH, Floats, flat_skin

from patterns.hull.build import End, Joint, LinesTo, Planking, Stem, Transom
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.parts.asked.rules import Boat, FrameKind, FramePlace, FrameRules, StationFace


@dataclass(frozen=True)
class Form:
    """A one-chine hull by the figures a builder would quote."""

    length: float  # mm, of the sheer
    beam: float  # mm, half-breadth of the sheer at its widest
    widest: float  # share of the length from the fore end
    fore: str  # "stem" or "bow transom"
    aft: str  # "transom" or "sternpost"
    fore_rake: float  # degrees from upright, the head forward
    aft_rake: float  # degrees from upright, the head aft
    fore_half: float  # mm, half-breadth of the sheer at the fore end
    aft_half: float
    flare: float  # degrees, midships
    fore_flare: float  # degrees, at the fore end; of a transom end only
    aft_flare: float  # negative for tumblehome
    depth: float  # mm amidships
    sheer_rise: float  # mm, of the sheer at the fore end over its lowest
    rocker_fore: float  # mm, rise of the chine at its fore end
    rocker_aft: float
    side: float = 6.0  # mm, planking
    bottom: float = 9.0
    laps: Joint = Joint.LOWER_OVER
    lines_to: LinesTo = LinesTo.OUTSIDE
    station_face: StationFace = StationFace.TOWARD_MIDSHIP
    rounding: float = 0.5

    def boat(self, *, stations: int = 7) -> Boat:
        """The boat as its builder would write it."""
        sheer, chine = self._sheer, self._chine
        ends = {name: self._ends(height) for name, height in (("sheer", sheer), ("chine", chine))}
        inner = np.linspace(max(e[0] for e in ends.values()), min(e[1] for e in ends.values()), stations + 2)[1:-1]
        heights, breadths = [], []
        for name, height, breadth in (("sheer", sheer, self._sheer_half), ("chine", chine, self._chine_half)):
            first, last = ends[name]
            u = np.concatenate([[0.0], (inner - first) / (last - first), [1.0]])
            heights.append(OffsetRow(name, np.round(height(u) / self.rounding) * self.rounding))
            breadths.append(OffsetRow(name, np.round(breadth(u) / self.rounding) * self.rounding))
        names = tuple(str(i + 1) for i in range(stations))
        return Boat(
            name=f"{self.fore} to {self.aft}",
            about="",
            offsets=Offsets(
                columns=(self.fore, *names, self.aft),
                from_fp=np.concatenate([[np.nan], inner, [np.nan]]),
                heights=tuple(heights),
                half_breadths=tuple(breadths),
                rounding=self.rounding,
            ),
            fair_within=EIGHTH,
            fore=self._end(self.fore, 0, ends),
            aft=self._end(self.aft, 1, ends),
            skin=flat_skin(self.lines_to, Planking(self.side, "plywood"), Planking(self.bottom, "plywood"), self.laps),
            frames=FrameRules(
                places=tuple(FramePlace(n, float(x)) for n, x in zip(names, inner, strict=True))[1:-1:2],
                sided=19.0,
                side_moulded=45.0,
                floor_moulded=55.0,
                station_face=self.station_face,
                kind=FrameKind.SAWN,
                material="oak",
            ),
            show="mm",
        )

    # Each line over u, from 0 at its own fore end to 1 at its after end.

    def _sheer(self, u: Floats) -> Floats:
        return self.depth + self.sheer_rise * ((0.62 - u) / 0.62) ** 2

    def _chine(self, u: Floats) -> Floats:
        low = 0.55
        # A batten's sweep: two parabolas would meet with a jump of bending at the lowest place.
        return _through(u, (0.0, self.rocker_fore), (low, 0.0), (1.0, self.rocker_aft))

    def _sheer_half(self, u: Floats) -> Floats:
        return _through(u, (0.0, self.fore_half), (self.widest, self.beam), (1.0, self.aft_half))

    def _chine_half(self, u: Floats) -> Floats:
        def foot(at: float, half: float, flare: float) -> float:
            height = float(self._sheer(np.array(at)) - self._chine(np.array(at)))
            return half - height * float(np.tan(np.radians(flare)))

        fore = self.fore_half if self.fore == "stem" else foot(0.0, self.fore_half, self.fore_flare)
        aft = self.aft_half if self.aft == "sternpost" else foot(1.0, self.aft_half, self.aft_flare)
        return _through(u, (0.0, fore), (self.widest, foot(self.widest, self.beam, self.flare)), (1.0, aft))

    def _ends(self, height: Callable[[Floats], Floats]) -> tuple[float, float]:
        """Where a line meets the two profiles; each profile passes through the sheer's end."""
        heads = [float(self._sheer(np.array(u))) for u in (0.0, 1.0)]
        below = [head - float(height(np.array(u))) for head, u in zip(heads, (0.0, 1.0), strict=True)]
        fore, aft = np.tan(np.radians([self.fore_rake, self.aft_rake]))
        return below[0] * float(fore), self.length - below[1] * float(aft)

    def _end(self, kind: str, side: int, ends: dict[str, tuple[float, float]]) -> End:
        u = np.array(float(side))
        profile = np.array([[ends["sheer"][side], float(self._sheer(u))], [ends["chine"][side], float(self._chine(u))]])
        if "transom" in kind:
            return Transom(profile, thickness=19.0, crown=20.0, material="plywood")
        return Stem(profile, sided=130.0, moulded=80.0)


def _through(u: Floats, *places: tuple[float, float]) -> Floats:
    """The line of least degree through three places whose middle one is its highest or lowest: a cubic."""
    (u0, y0), (u1, y1), (u2, y2) = places
    a = u0 - u1
    b = u2 - u1
    # y = y1 + p w^2 + q w^3, w = u - u1
    p, q = np.linalg.solve([[a**2, a**3], [b**2, b**3]], [y0 - y1, y2 - y1])
    w = np.asarray(u) - u1
    return np.asarray(y1 + p * w**2 + q * w**3)


def random_form(rng: np.random.Generator, fore: str, aft: str) -> Form:
    """A boat of these ends, anywhere within what is built."""
    length = rng.uniform(2200.0, 4600.0)
    beam = length * rng.uniform(0.15, 0.27) * (0.8 if length > 3500 else 1.0)
    pram, pointed = fore == "bow transom", aft == "sternpost"
    return Form(
        length=length,
        beam=beam,
        widest=0.5 if pointed else rng.uniform(0.5, 0.65),
        fore=fore,
        aft=aft,
        fore_rake=rng.uniform(0.0, 45.0),
        aft_rake=rng.uniform(-5.0, 40.0) if pointed else rng.uniform(0.0, 25.0),
        fore_half=beam * rng.uniform(0.35, 0.75) if pram else rng.uniform(12.0, 22.0),
        aft_half=rng.uniform(12.0, 22.0) if pointed else beam * rng.uniform(0.6, 0.95),
        flare=rng.uniform(0.0, 32.0),
        fore_flare=rng.uniform(0.0, 35.0),
        aft_flare=rng.uniform(-12.0, 20.0),
        depth=length * rng.uniform(0.11, 0.17),
        sheer_rise=length * rng.uniform(0.01, 0.06),
        rocker_fore=length * rng.uniform(0.02, 0.1) * (1.0 if pram else 0.6),
        rocker_aft=length * rng.uniform(0.01, 0.06),
        side=float(rng.choice([4.0, 6.0, 9.0])),
        bottom=float(rng.choice([6.0, 9.0, 12.0])),
        laps=Joint.LOWER_OVER if rng.random() < 0.6 else Joint.UPPER_OVER,
        lines_to=LinesTo.OUTSIDE if rng.random() < 0.6 else LinesTo.INSIDE,
        station_face=rng.choice(list(StationFace)),
        rounding=float(rng.choice([0.01, 0.5, 3.175])),
    )

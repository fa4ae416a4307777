"""The planking in space: faired lines, strakes laid between them, corners where their faces meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, lengths
from patterns.geometry.cuts import Profile
from patterns.geometry.rulings import lay_athwart
from patterns.geometry.short_repr import one_line
from patterns.hull.build import (
    Closing,
    End,
    Joint,
    KeelJoint,
    Lap,
    LinesTo,
    Planking,
    Skin,
    Stem,
    Transom,
    closing_of,
    end_cut,
    end_word,
)
from patterns.hull.fairing import FairedLine
from patterns.hull.planking.laps import faded, lap_line
from patterns.hull.planking.lay_strakes import ONE_POINT, lay_between, lay_garboard
from patterns.hull.planking.smooth_skin import SmoothSkin
from patterns.hull.planking.strakes import Corner, Face, KeelSeam, Strake

LEAST_STRAKE = 1.0  # mm from line to line; a narrower strake is one line written twice
TWIST_TOLD = np.radians(0.5)  # rad; below this no sheet of plywood shows it, common practice, no single source
# rad; beyond this no sheet is forced between its edges, common practice, no single source
TWIST_BORNE = np.radians(30.0)


@dataclass(frozen=True, eq=False)
class Hull:
    """A chined hull, planked: strakes from the sheer down, a corner between each two, what closes it on the centre.

    A round hull has one smooth skin in the place of strakes and corners.
    """

    lines: tuple[FairedLine, ...]  # from the sheer down
    strakes: tuple[Strake, ...]  # on the starboard side, from the sheer down
    corners: tuple[Corner, ...]  # between neighbours among them
    closing: Closing
    fore: End
    aft: End
    seam: KeelSeam | None = None  # of a V bottom, along keel and stem
    lap: Lap | None = None  # where strakes are lapped
    smooth: SmoothSkin | None = None  # of a round hull, which has no strakes and no corners

    def __repr__(self) -> str:
        lines = ", ".join(line.name for line in self.lines)
        ends = f"{end_word(self.fore, aft=False)} to {end_word(self.aft, aft=True)}"
        return one_line(self, f"{lines}, from {ends}")

    @cached_property
    def fore_cut(self) -> Profile:
        return end_cut(self.fore, aft=False)

    @cached_property
    def aft_cut(self) -> Profile:
        return end_cut(self.aft, aft=True)

    def strake(self, name: str) -> Strake:
        """A strake by its name."""
        return next(strake for strake in self.strakes if strake.name == name)

    @property
    def sheer_strake(self) -> Strake:
        """The topmost strake, whose upper edge is the sheer."""
        return self.strakes[0]

    @property
    def standing(self) -> tuple[Strake, ...]:
        """The strakes that stand on the bottom, from the sheer down; the lowest, which is the bottom, is none."""
        return self.strakes[:-1]

    @property
    def run_names(self) -> tuple[str, ...]:
        """What the edges of frames and transoms along the planking are called, from the lowest up."""
        return ("planking",) if self.smooth else tuple(strake.name for strake in self.standing[::-1])

    @property
    def paired(self) -> tuple[Strake, ...]:
        """The strakes with one of each hand, from the sheer down; a bottom that lies athwart is none of them."""
        return tuple(strake for strake in self.strakes if not strake.athwart)

    @property
    def floor(self) -> Strake:
        """The lowest strake: a bottom that lies athwart, or one half of a V bottom."""
        return self.strakes[-1]

    @property
    def half(self) -> float:
        """mm off the centre plane, where planking of both hands ends along keel and stem."""
        return self.seam.half if self.seam else 0.0

    @cached_property
    def sheer_edge(self) -> Floats:
        """(n,) mm, the top edge of the sheer strake: square to its faces."""
        return -self.sheer_strake.ruled.reach

    def corner_above(self, strake: Strake) -> Corner | None:
        """Where a strake meets the one above it; None for the sheer strake."""
        return next((corner for corner in self.corners if corner.below is strake), None)

    def corner_below(self, strake: Strake) -> Corner | None:
        """Where a strake meets the one below it; None for the lowest."""
        return next((corner for corner in self.corners if corner.above is strake), None)

    def laps_below(self, strake: Strake) -> bool:
        """Whether a strake is lapped over the one below it, so that frames stand off its lower part."""
        below = self.corner_below(strake)
        return below is not None and below.lapped

    def inside(self, strake: Strake) -> Face:
        """The inside face of a strake, as it is cut."""
        above, below = self.corner_above(strake), self.corner_below(strake)
        upper, lower = above.below_inside if above else None, below.above_inside if below else None
        return self._face(strake, strake.inside, upper, lower)

    def outside(self, strake: Strake) -> Face:
        """The outside face of a strake, as it is cut where it meets its neighbours as they are to meet."""
        above, below = self.corner_above(strake), self.corner_below(strake)
        upper, lower = above.below_outside if above else None, below.above_outside if below else None
        return self._face(strake, strake.outside, upper, lower)

    def between_corners(self, strake: Strake) -> Face:
        """The inside face of a strake as far as its neighbours' inside faces: what wood inside the boat lies on."""
        above, below = self.corner_above(strake), self.corner_below(strake)
        upper, lower = above.on_below if above else None, below.on_above if below else None
        return self._face(strake, strake.inside, upper, lower)

    def _face(self, strake: Strake, depth: float, upper: Floats | None, lower: Floats | None) -> Face:
        """A face with the edges its corners give it; where there is no corner, the seam's or square at the line."""
        if upper is None:
            upper = -strake.ruled.reach
        if lower is None and self.seam and strake is self.floor:
            lower = self.seam.edge(depth)
        if lower is None:  # the port edge of a strake athwart is the image of its starboard one
            lower = -upper if strake.athwart else strake.ruled.reach
        return Face(depth, upper, lower)

    def end_places(self, strake: Strake, face: Face, *, aft: bool, lanes: int) -> tuple[Floats, Floats]:
        """Where a strake ends fore or aft between two edges, as places s, t (lanes,) from the upper edge to the lower.

        On a stem planks end on its face; but where those of both hands would pass through each other before it, or
        into a keel, on the centre plane or on the keel's side. Lines that end there themselves say it best: the face
        is but drawn through the same places.

        Raises
        ------
        ShapeError
            Where the skin does not reach the end.
        """
        end, cut = (self.aft, self.aft_cut) if aft else (self.fore, self.fore_cut)
        if isinstance(end, Transom) or strake.athwart:
            return strake.ruled.crossing(cut.signed, face.upper, face.lower, face.depth, lanes=lanes)
        if self.seam and self.seam.joint is KeelJoint.RABBET:  # square, so that both faces end where the outside does
            return strake.ruled.crossing(cut.signed, face.upper, face.lower, strake.outside, lanes=lanes)
        if self.comes_together(strake, aft=aft):
            return self._on_centre_plane(strake, face, aft=aft, lanes=lanes)
        s, t = strake.ruled.crossing(cut.signed, face.upper, face.lower, face.depth, lanes=lanes)
        try:
            met, t_met = self._on_centre_plane(strake, face, aft=aft, lanes=lanes)
        except ShapeError:  # it stays clear of the centre plane
            return s, t
        first = met < s if aft else met > s
        return np.where(first, met, s), np.where(first, t_met, t)

    def comes_together(self, strake: Strake, *, aft: bool) -> bool:
        """Whether the lines of a strake end where those of the other hand do, or on a keel's side."""
        ends = [
            float(line.curve.point(np.array(line.curve.last if aft else line.curve.first))[1])
            for line in self.lines
            if line.name in (strake.upper, strake.lower)
        ]
        return max(ends) < self.half + ONE_POINT

    def _on_centre_plane(self, strake: Strake, face: Face, *, aft: bool, lanes: int) -> tuple[Floats, Floats]:
        sign = -1.0 if aft else 1.0

        def beside(points: Floats) -> Floats:
            out = sign * (points[..., 1] - self.half)
            # Forward of midship the planking comes as near the centre plane again; that is the other end's affair.
            return np.where(sign * (points[..., 0] - self.widest) > 0, sign, out)

        return strake.ruled.crossing(beside, face.upper, face.lower, face.depth, lanes=lanes)

    def between_ends(self, strake: Strake) -> NDArray[np.bool_]:
        """(n,) which of a strake's rulings have their middles between the ends of the boat."""
        middle = strake.ruled.middle
        return np.asarray((self.fore_cut.signed(middle) > 0) & (self.aft_cut.signed(middle) < 0))

    def worst_twist(self, strake: Strake) -> tuple[float, float]:
        """A strake's greatest twist along a ruling between the ends, rad, and how far from FP, mm."""
        twist = self._twists(strake)
        worst = int(twist.argmax())
        return float(twist[worst]), float(strake.ruled.middle[worst, 0])

    def twisted_stretch(self, strake: Strake) -> tuple[float, float]:
        """mm from FP, from where to where a strake twists more than is worth telling."""
        x = strake.ruled.middle[self._twists(strake) >= TWIST_TOLD, 0]
        return float(x.min()), float(x.max())

    def _twists(self, strake: Strake) -> Floats:
        """(n,) rad, without a sign; nothing past the ends."""
        # Beside a point a ruling is shorter than any wood that could be twisted there.
        long = strake.ruled.reach > (strake.planking.thickness if any(strake.pointed) else 0.0)
        return np.abs(np.where(self.between_ends(strake) & long, strake.ruled.twist, 0.0))

    def on_centre(self, depth: float) -> Floats:
        """(n, 2) mm, x and z of a face of a bottom that lies athwart, on the centre plane."""
        ruled = self.floor.ruled
        return np.asarray((ruled.middle + depth * ruled.normal)[:, [0, 2]])

    @cached_property
    def widest(self) -> float:
        """mm from FP, the widest section: midship."""
        return widest_at(self.lines)


def plank(lines: tuple[FairedLine, ...], *, skin: Skin, fore: End, aft: End) -> Hull:
    """Lay the planking on faired lines, the strakes of ``skin`` between them from the sheer down.

    Raises
    ------
    ShapeError
        A hull of a kind whose patterns are not made yet, or a skin that cannot be laid.
    """
    names = tuple(line.name for line in lines)
    _refuse_unmade(names)
    closing = closing_of(names)
    ends = isinstance(fore, Stem), isinstance(aft, Stem)
    strakes = _strakes(lines, _Laying(skin, ends, (end_cut(fore, aft=False), end_cut(aft, aft=True))))
    corners = tuple(
        Corner(above.lower, above, below, joint)
        for (above, below), joint in zip(pairwise(strakes), skin.joints, strict=True)
    )
    seam = None
    if closing is Closing.KEEL:
        assert skin.keel is not None
        seam = KeelSeam(strakes[-1], skin.keel, _half_siding(lines[-1]))
    return Hull(lines, strakes, corners, closing, fore, aft, seam, skin.lap)


def is_made(names: Sequence[str]) -> bool:
    """Whether patterns are made for a hull whose long lines, from the sheer down, have these names."""
    return any(name.startswith("chine") for name in names)


def _refuse_unmade(names: tuple[str, ...]) -> None:
    if not is_made(names):
        raise ShapeError(
            f"patterns are made for hulls with a chine or several between the sheer and the keel; this table has "
            f"{', '.join(names)}"
        )


def _half_siding(keel: FairedLine) -> float:
    """How far off the centre plane a keel's line runs."""
    return float(keel.half_breadth.faired.max())


@dataclass(frozen=True)
class _Laying:
    """What strakes are laid by besides their own lines."""

    skin: Skin
    stems: tuple[bool, bool]  # whether the boat ends on a stem, fore and aft
    profiles: tuple[Profile, Profile]


def _strakes(lines: tuple[FairedLine, ...], laying: _Laying) -> tuple[Strake, ...]:
    """From the sheer down, a strake between each two lines; and, but of a V bottom, the bottom athwart below."""
    keel = closing_of([line.name for line in lines]) is Closing.KEEL
    between = (*pairwise(lines), *(() if keel else ((lines[-1], lines[-1]),)))
    strakes: list[Strake] = []
    # From the lowest up: a lapped strake lies on the one below it.
    for number in range(len(between) - 1, -1, -1):
        garboard = keel and number == len(between) - 1
        strakes.insert(0, _strake(between[number], laying, number, strakes[:1], garboard=garboard))
    return tuple(strakes)


def _strake(
    lines: tuple[FairedLine, FairedLine], laying: _Laying, number: int, below: Sequence[Strake], *, garboard: bool
) -> Strake:
    name, planking = laying.skin.named[number]
    upper, lower = lines
    depths = _depths(planking, laying.skin.lines_to)
    if upper is lower:
        pointed = _comes_to_points(lower, laying.stems)
        return Strake(name, upper.name, lower.name, lay_athwart(lower.curve), planking, *depths, pointed)
    _refuse_one_line_twice(name, upper, lower)
    pointed = laying.stems if garboard else (False, False)
    unplaned = None
    if any(pointed):
        ruled = lay_garboard(name, upper, lower, pointed, laying.profiles)
    elif below and laying.skin.joints[number] is Joint.LAPPED:
        lap, profiles = laying.skin.lap, laying.profiles
        assert lap is not None
        unplaned = lay_between(upper.curve, lap_line(below[0], lap, profiles))
        ruled = faded(unplaned, below[0], lap, planking.thickness, profiles)
    else:
        ruled = lay_between(upper.curve, lower.curve)
    return Strake(name, upper.name, lower.name, ruled, planking, *depths, pointed, unplaned)


def _comes_to_points(chine: FairedLine, stems: tuple[bool, bool]) -> tuple[bool, bool]:
    """Whether a bottom that lies athwart ends in a point on a stem: where its chine comes to the centre plane."""
    ends = chine.curve.point(np.array([chine.curve.first, chine.curve.last]))[:, 1]
    return stems[0] and float(ends[0]) < ONE_POINT, stems[1] and float(ends[1]) < ONE_POINT


def _depths(planking: Planking, lines_to: LinesTo) -> tuple[float, float]:
    """How deep the inside and the outside face lie, mm from the lines, outward positive."""
    return (-planking.thickness, 0.0) if lines_to is LinesTo.OUTSIDE else (0.0, planking.thickness)


def _refuse_one_line_twice(name: str, upper: FairedLine, lower: FairedLine) -> None:
    """Between a line and the same line again no strake can be laid, as when a row of the table was copied twice."""
    above, below = upper.curve, lower.curve
    x = np.linspace(max(above.first, below.first), min(above.last, below.last), 201)[1:-1]
    apart = lengths(above.point(x) - below.point(x))
    if len(x) and apart.min() < LEAST_STRAKE:
        raise ShapeError(
            f"{name} planking: the {lower.name} lies {{}} from the {upper.name}, so there is no {name}; expected at "
            "least {}: see whether a row of the table was copied twice",
            float(apart.min()),
            LEAST_STRAKE,
            at=float(x[apart.argmin()]),
        )


def widest_at(lines: tuple[FairedLine, ...]) -> float:
    """mm from FP, where the widest of the lines is widest."""
    best = (-1.0, 0.0)
    for line in lines:
        x = np.linspace(line.curve.first, line.curve.last, 2001)
        y = line.curve.breadth.value(x)
        best = max(best, (float(y.max()), float(x[y.argmax()])))
    return best[1]

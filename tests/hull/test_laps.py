"""Lapped strakes of a trough whose lines run straight along her: her section says all, and vectors give it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from boats import Floats, unit
from known_chines import KnownLine
from scipy.interpolate import CubicSpline

from patterns.errors import ShapeError
from patterns.hull.build import Joint, Lap, LinesTo, Planking, Skin, Transom
from patterns.hull.planking.lap_bevels import LapBevels, lap_bevels
from patterns.hull.planking.skin import Hull, plank
from patterns.hull.planking.transition import transition
from patterns.parts.panels.panels import panels
from patterns.parts.part import Part

CORNERS = np.array([[620.0, 520.0], [602.0, 380.0], [562.0, 245.0], [497.0, 120.0]])  # y, z of the moulds, sheer down
THICK, WIDE = 6.0, 20.0  # mm, of a strake and of a lap
FORE, AFT = 200.0, 3200.0  # mm from FP, of the sheer's ends
FORE_RAKE, AFT_RAKE = np.radians([25.0, 12.0])
GAIN = 300.0


@dataclass(frozen=True, eq=False)
class LaidBy:
    """A lapped strake in section: where its inside ends above and below, and how it lies on the one below it."""

    upper: Floats
    lower: Floats
    bevel: float  # rad, to the strake below
    out: Floats  # unit, out of the boat

    @property
    def width(self) -> float:
        return float(np.linalg.norm(self.lower - self.upper))


def section() -> list[LaidBy]:
    """From the sheer down. The lowest lies on its own corners; each above on its upper corner and on the lap line, the
    width of a lap down the outside of the one below from that one's square upper edge."""
    laid: list[LaidBy] = []
    for upper, corner in zip(CORNERS[-2::-1], CORNERS[:0:-1], strict=True):
        lower, bevel = corner, 0.0
        if laid:
            below = laid[0]
            way = unit(below.lower - below.upper)
            lower = below.upper + THICK * below.out + WIDE * way
            bevel = float(np.arccos(unit(lower - upper) @ way))
        down = unit(lower - upper)
        laid.insert(0, LaidBy(upper, lower, bevel, np.array([-down[1], down[0]])))
    return laid


def straight(number: int) -> KnownLine:
    y, z = CORNERS[number]
    down = CORNERS[0, 1] - z
    first, last = FORE + down * np.tan(FORE_RAKE), AFT - down * np.tan(AFT_RAKE)
    x = np.linspace(first - 400.0, last + 400.0, 5)
    name = "sheer" if number == 0 else f"chine {number}"
    return KnownLine(name, first, last, CubicSpline(x, np.tile([y, z], (5, 1))))


@cache
def trough(gain: float = 0.0, width: float = WIDE, least: float = 1.0) -> Hull:
    low = CORNERS[0, 1] - CORNERS[-1, 1]
    ends = [
        Transom(np.array([[x, CORNERS[0, 1]], [x + low * np.tan(rake), CORNERS[-1, 1]]]), 18.0, 0.0, "plywood")
        for x, rake in ((FORE, FORE_RAKE), (AFT, -AFT_RAKE))
    ]
    planking = tuple(Planking(thick, "plywood") for thick in (THICK, THICK, THICK, 2 * THICK))
    joints = (Joint.LAPPED, Joint.LAPPED, Joint.LOWER_OVER)
    skin = Skin(LinesTo.INSIDE, planking, joints, lap=Lap(width, gain, least))
    lines = tuple(straight(number) for number in range(len(CORNERS)))
    return plank(lines, skin=skin, fore=ends[0], aft=ends[1])  # type: ignore[arg-type]


def bevels(hull: Hull) -> list[LapBevels]:
    """Of both lapped corners, from the sheer down."""
    return [lap_bevels(hull, corner, transition(hull, corner)) for corner in hull.corners if corner.lapped]


def side_panels(hull: Hull) -> list[Part]:
    return [panel for panel in panels(hull, ()) if panel.hand == "starboard"]


def sides_of(panel: Part) -> Floats:
    """Lengths of the straight lines between the corners of a panel's marked face: lower, after, upper, fore."""
    corners = np.array([edge.points[0] for edge in panel.edges])
    return np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)


def unrolled(strake: LaidBy, sunk: Floats) -> Floats:
    """The same of a strake that runs along her: a trapezium between two raked planes.

    Where its lower edge has sunk (y, z) into the strake below, those planes cut it so much higher up.
    """
    ends = []
    for _, z in (strake.lower + sunk, strake.upper):
        down = CORNERS[0, 1] - z
        ends.append((FORE + down * np.tan(FORE_RAKE), AFT - down * np.tan(AFT_RAKE)))
    (fore_low, aft_low), (fore_high, aft_high) = ends
    return np.array(
        [aft_low - fore_low, np.hypot(aft_high - aft_low, strake.width), aft_high - fore_high,
         np.hypot(fore_high - fore_low, strake.width)]
    )  # fmt: skip


def test_laps_turn_by_the_angle_between_the_faces_that_vectors_give() -> None:
    known = [strake.bevel for strake in section()][:2]
    assert np.degrees(known) == pytest.approx([9.501, 11.709], abs=5e-4)
    for told, bevel in zip(bevels(trough()), known, strict=True):
        assert told.angle == pytest.approx(bevel, abs=np.radians(0.005))


def test_a_lap_leaves_of_the_edge_under_it_what_its_bevel_does_not_plane_off() -> None:
    for told, strake in zip(bevels(trough()), section(), strict=False):
        assert told.left == pytest.approx(THICK - WIDE * np.tan(strake.bevel), abs=0.005)


@pytest.mark.parametrize("gain", [0.0, GAIN])
def test_lapped_strakes_are_as_wide_in_the_flat_as_they_lie(gain: float) -> None:
    """With a gain too: what fades toward the ends is planed, and planing changes no length on the mid-thickness."""
    laid = section()
    for number, (panel, strake) in enumerate(zip(side_panels(trough(gain)), laid, strict=True)):
        flush = gain > 0 and number < 2
        sunk = -THICK * laid[number + 1].out if flush else np.zeros(2)
        # The strake below has sunk too, and takes the lap line in with it by a share of that: second order.
        assert sides_of(panel) == pytest.approx(unrolled(strake, sunk), abs=0.3 if flush else 0.01)


def test_laps_fade_over_the_gain_until_nothing_is_left_of_the_edge() -> None:
    """Halfway along the gain half of what the bevel left has been planed off besides, at the end all of it."""
    for told, strake, line in zip(bevels(trough(GAIN)), section(), (straight(1), straight(2)), strict=False):
        left = THICK - WIDE * np.tan(strake.bevel)
        for from_end, share in ((0.0, 0.0), (GAIN / 2, 0.5), (GAIN, 1.0), (2 * GAIN, 1.0)):
            for x in (line.first + from_end, line.last - from_end):
                angle, kept = told.at(x)
                # Strakes that sink at the ends turn together, but for what the lap line goes in with the lower one.
                assert angle == pytest.approx(strake.bevel, abs=np.radians(0.01 if from_end > GAIN else 0.5))
                assert kept == pytest.approx(share * left, abs=0.1)


def test_the_strake_above_sinks_into_the_one_below_as_far_as_both_are_planed() -> None:
    """Its inside goes in from the lap line by its own thickness where the lap has faded flush, halfway by half."""
    strake, known, below = trough(GAIN).strakes[1], section()[1], section()[2]
    feet = strake.ruled.points(strake.ruled.reach, strake.inside)
    sunk = (known.lower - feet[:, 1:]) @ below.out
    first = FORE + (CORNERS[0, 1] - known.lower[1]) * np.tan(FORE_RAKE)
    for from_end, share in ((0.0, 1.0), (GAIN / 2, 0.5), (GAIN, 0.0), (1500.0, 0.0)):
        assert np.interp(first + from_end, feet[:, 0], sunk) == pytest.approx(share * THICK, abs=0.1)


def test_a_lap_that_would_be_planed_through_is_refused_by_place_and_cure() -> None:
    with pytest.raises(ShapeError, match=r"would leave .* of the upper edge of strake 3.*narrower") as told:
        bevels(trough(width=28.0))
    assert told.value.at is not None


def test_a_gain_longer_than_half_a_strake_is_refused() -> None:
    with pytest.raises(ShapeError, match=r"too short for a gain of .* shorter gain in \[laps\]"):
        trough(gain=1600.0)

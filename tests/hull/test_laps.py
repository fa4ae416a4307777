"""Lapped strakes of a trough whose lines run straight along her: her section says all, and vectors give it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np
import pytest
from boats import Floats, unit
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from known_chines import KnownLine
from scipy.interpolate import CubicSpline

from patterns.errors import ShapeError
from patterns.hull.build import Joint, Lap, LinesTo, Planking, Skin, Transom
from patterns.hull.planking.lap_bevels import LapBevels, lap_bevels
from patterns.hull.planking.skin import Hull, plank
from patterns.hull.planking.transition import transition
from patterns.parts.asked.end_rules import TransomWork
from patterns.parts.ends.transom import cut_transom
from patterns.parts.panels.lap_marks import LAP_LINE
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


def section(corners: Floats = CORNERS, thick: float = THICK, wide: float = WIDE) -> list[LaidBy]:
    """From the sheer down. The lowest lies on its own corners; each above on its upper corner and on the lap line, the
    width of a lap down the outside of the one below from that one's square upper edge."""
    laid: list[LaidBy] = []
    for upper, corner in zip(corners[-2::-1], corners[:0:-1], strict=True):
        lower, bevel = corner, 0.0
        if laid:
            below = laid[0]
            way = unit(below.lower - below.upper)
            lower = below.upper + thick * below.out + wide * way
            bevel = float(np.arccos(unit(lower - upper) @ way))
        down = unit(lower - upper)
        laid.insert(0, LaidBy(upper, lower, bevel, np.array([-down[1], down[0]])))
    return laid


def straight(number: int, corners: Floats = CORNERS) -> KnownLine:
    y, z = corners[number]
    down = corners[0, 1] - z
    first, last = FORE + down * np.tan(FORE_RAKE), AFT - down * np.tan(AFT_RAKE)
    x = np.linspace(first - 400.0, last + 400.0, 5)
    name = "sheer" if number == 0 else f"chine {number}"
    return KnownLine(name, first, last, CubicSpline(x, np.tile([y, z], (5, 1))))


@cache
def trough(gain: float = 0.0, width: float = WIDE, least: float = 1.0) -> Hull:
    return laid_on(CORNERS, THICK, Lap(width, gain, least))


def laid_on(corners: Floats, thick: float, lap: Lap, *, joints: Mapping[int, Joint] = MappingProxyType({})) -> Hull:
    """A trough on the corners of its moulds, from the sheer down, all side strakes lapped but for ``joints``."""
    low, last = corners[0, 1] - corners[-1, 1], len(corners) - 1
    ends = [
        Transom(np.array([[x, corners[0, 1]], [x + low * np.tan(rake), corners[-1, 1]]]), 18.0, 0.0, "plywood")
        for x, rake in ((FORE, FORE_RAKE), (AFT, -AFT_RAKE))
    ]
    planking = (*(Planking(thick, "plywood") for _ in range(last)), Planking(2 * thick, "plywood"))
    between = (*(joints.get(number, Joint.LAPPED) for number in range(last - 1)), Joint.LOWER_OVER)
    skin = Skin(LinesTo.INSIDE, planking, between, lap=lap)
    lines = tuple(straight(number, corners) for number in range(len(corners)))
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
    told = r"would take .* off the upper edge of (strake 3|the bottom|bottom).*expected a lap no wider than"
    with pytest.raises(ShapeError, match=told) as refused:
        bevels(trough(width=28.0))
    assert refused.value.at is not None
    fits = refused.value.lengths[-1]
    assert 20.0 < fits < 28.0
    bevels(trough(width=fits))


def test_a_gain_longer_than_half_a_strake_is_refused() -> None:
    with pytest.raises(ShapeError, match=r"too short for a gain of .* shorter gain in \[laps\]"):
        trough(gain=1600.0)


@st.composite
def moulds(draw: st.DrawFn) -> Floats:
    """Corners of a mould, y and z, from the sheer down: three to five strakes, each leaning out more than the last."""
    flare = draw(st.floats(-5.0, 15.0))
    corners = [np.array([620.0, 900.0])]
    for _ in range(draw(st.integers(3, 5))):
        corners.append(
            corners[-1]
            - draw(st.floats(80.0, 180.0)) * np.array([np.sin(np.radians(flare)), np.cos(np.radians(flare))])
        )
        flare += draw(st.floats(2.0, 12.0))
    return np.array(corners)


@given(corners=moulds(), thick=st.floats(4.0, 12.0), wide=st.floats(10.0, 28.0))
@settings(max_examples=15, deadline=None)
def test_any_lap_is_as_wide_and_bevelled_as_vectors_have_it(corners: Floats, thick: float, wide: float) -> None:
    """Bevel, what it leaves of the edge, the lap line on the panel, and how wide each strake is laid flat."""
    laid = section(corners, thick, wide)
    left = [thick - wide * np.tan(strake.bevel) for strake in laid[:-1]]
    assume(min(left) > 0.5)
    hull = laid_on(corners, thick, Lap(wide, 0.0, 0.2))
    for told, strake, kept in zip(bevels(hull), laid, left, strict=False):
        assert told.angle == pytest.approx(strake.bevel, abs=np.radians(0.01))
        assert told.left == pytest.approx(kept, abs=0.01)
    for number, (panel, strake) in enumerate(zip(side_panels(hull), laid, strict=True)):
        across = np.ptp(np.concatenate([edge.points for edge in panel.edges])[:, 1])
        assert across == pytest.approx(strake.width, abs=0.02)
        if number:
            line = panel.mark(LAP_LINE).points
            assert panel.edges[2].points[:, 1].max() - line[:, 1] == pytest.approx(wide, abs=0.02)


def test_a_lap_line_ends_where_the_outside_it_lies_on_is_cut() -> None:
    """Without a gain: at the raked end planes, at the height that the foot of the strake above has."""
    for panel, above in zip(side_panels(trough())[1:], section(), strict=False):
        down = CORNERS[0, 1] - above.lower[1]
        line = panel.mark(LAP_LINE).points
        length = AFT - FORE - down * (np.tan(FORE_RAKE) + np.tan(AFT_RAKE))
        assert np.linalg.norm(line[-1] - line[0]) == pytest.approx(length, abs=0.02)


@pytest.mark.parametrize("mitred", [0, 1])
def test_a_chine_may_be_mitred_among_laps(mitred: int) -> None:
    """At that chine the transom has one corner, at the mould's; at the other its edge has the step of the lap."""
    hull = laid_on(CORNERS, THICK, Lap(WIDE, GAIN, 1.0), joints={mitred: Joint.HALF_ANGLE})
    board = hull.aft
    assert isinstance(board, Transom)
    transom = cut_transom(hull, board, TransomWork(), aft=True)
    stepped = {edge.name for edge in transom.edges if " lap " in edge.name}
    assert stepped == {f"{hull.strakes[1 - mitred].name} lap {hand}" for hand in ("port", "starboard")}
    corner = CORNERS[mitred + 1] / (1.0, np.cos(AFT_RAKE))
    outline = np.abs(np.concatenate([edge.points for edge in transom.edges]))
    assert np.hypot(*(outline - corner).T).min() < 0.05

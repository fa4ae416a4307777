"""What lies inside a hull of several chines is made on whichever strake it lies on, or refused where it lies on two."""

from __future__ import annotations

import numpy as np
import pytest
from boats import Flat, Floats
from two_chines import LOWER, THICK, UPPER, two_chined

from patterns.errors import ShapeError
from patterns.geometry.cuts import station_plane
from patterns.hull.build import Joint
from patterns.hull.planking.sections import cut_inside
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.fitting_rules import KneeRules, ThwartRules
from patterns.parts.asked.long_rules import LongAsked, RiserRules
from patterns.parts.fittings.thwarts import cut_thwart, thwart_knees
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.longitudinals import long_pieces
from patterns.parts.long.risers import riser

ON_FACE = 0.01  # mm
CHINE = 122.5  # mm above base, about where the inside corner of the side strakes lies at x = 1750


def hull() -> Hull:
    return two_chined((Joint.HALF_ANGLE, Joint.LOWER_OVER))


def half_breadth(plane: Flat, thickness: float, x: Floats, z: Floats) -> Floats:
    """Of the inside of planking whose outside is a plane."""
    normal, origin = plane.outward, plane.origin - thickness * plane.outward
    return np.asarray(origin[1] - (normal[0] * (x - origin[0]) + normal[2] * (z - origin[2])) / normal[1])


def inside(x: Floats, z: Floats) -> Floats:
    """The inside of the side: as far out as both strakes let it be."""
    return np.minimum(half_breadth(UPPER, THICK[0], x, z), half_breadth(LOWER, THICK[1], x, z))


def rules(height: float, *, moulded: float = 25.0) -> RiserRules:
    return RiserRules("riser", 15.0, moulded, "fir", 1.6, height=height, start=1200.0, end=2600.0)


def riser_at(height: float) -> LongPiece:
    pieces = long_pieces(hull(), LongAsked(risers=(rules(height),)), (), show="mm")
    return next(piece for piece in pieces if piece.part.hand == "starboard")


@pytest.mark.parametrize(("height", "strake", "plane", "thickness"), [
    (300.0, "the side", UPPER, THICK[0]),
    (85.0, "strake 2", LOWER, THICK[1]),
])  # fmt: skip
def test_a_riser_lies_on_the_strake_at_its_height(height: float, strake: str, plane: Flat, thickness: float) -> None:
    made = riser_at(height)
    for points in made.solid.corners[:3]:
        assert np.abs((points - plane.origin) @ plane.outward + thickness).max() < ON_FACE
    upper = made.solid.corners[2]
    assert np.abs(upper[:, 2] - height).max() < ON_FACE
    assert f"On the inside of {strake}, its upper edge level" in " ".join(made.part.remarks)


def test_a_riser_that_passes_from_one_strake_to_the_next_is_refused_by_place_and_cure() -> None:
    told = "riser: its upper edge, .* passes from the side to strake 2 over the chine 1, .* move the thwart up or down"
    with pytest.raises(ShapeError, match=told) as refused:
        riser(hull(), rules(CHINE))
    x = np.linspace(1200.0, 2600.0, 14001)
    z = np.full_like(x, CHINE)
    apart = half_breadth(UPPER, THICK[0], x, z) - half_breadth(LOWER, THICK[1], x, z)
    assert refused.value.at == pytest.approx(x[np.abs(apart).argmin()], abs=10.0)  # a ruling's spacing


def test_a_riser_whose_lower_edge_hangs_below_its_strake_is_refused() -> None:
    with pytest.raises(
        ShapeError, match="riser: its lower edge would lie below the chine 1, off the side: make it less"
    ):
        riser(hull(), rules(140.0, moulded=30.0))


def test_the_ends_of_a_thwart_turn_where_they_pass_a_chine() -> None:
    thwart = ThwartRules("thwart 1", 1200.0, 1000.0, CHINE, 18.0, "fir")
    part = cut_thwart(hull(), thwart, (), show="mm")
    edge = part.edge("end starboard")
    for points, z in ((edge.points, CHINE), (edge.far, CHINE - 18.0)):
        line = points[points[:, 0].argsort()]
        x = np.linspace(line[0, 0], line[-1, 0], 501)
        drawn = np.interp(x, line[:, 0], line[:, 1])
        assert np.abs(drawn - inside(x, np.full_like(x, z))).max() < ON_FACE
    x = edge.points[:, 0]
    on_side = half_breadth(UPPER, THICK[0], x, x * 0 + CHINE) < half_breadth(LOWER, THICK[1], x, x * 0 + CHINE)
    assert on_side.any()
    assert not on_side.all()


def test_a_thwart_knee_turns_where_it_passes_a_chine() -> None:
    thwart = ThwartRules("thwart 1", 1700.0, 200.0, 80.0, 18.0, "fir")
    _, knee = thwart_knees(hull(), KneeRules(90.0, 100.0, 18.0, 12.0, "fir"), thwart)
    side = knee.edge("side").points
    x = 1800.0 + 9.0
    y, z = np.abs(side[:, 0]), side[:, 1]
    at = np.linspace(80.0, 170.0, 301)
    order = z.argsort()
    assert np.abs(np.interp(at, z[order], y[order]) - inside(np.full_like(at, x), at)).max() < ON_FACE
    section = cut_inside(hull(), station_plane(x, facing_aft=True)).runs[1][0]
    assert 80.0 < section[2] < 170.0

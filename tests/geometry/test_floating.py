"""Bodies afloat, held against closed forms.

Wigley's parabolic hull: W. C. S. Wigley, Trans. Inst. Naval Architects 76 (1934), named from memory; its integrals are
elementary calculus and are written out where they are used.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.geometry.arrays import Floats
from patterns.geometry.floating import Body, Level, immersed, rests_at
from patterns.hull.planking.outside import closed

PROMISED = 1e-3  # of any figure


def box(length: float, beam: float, depth: float) -> Body:
    x = np.linspace(0.0, length, 5)
    rows = [np.stack([x, np.full(5, y), np.full(5, z)], axis=1) for y, z in ((beam / 2, depth), (beam / 2, 0), (0, 0))]
    return closed(np.array(rows))


def wedge(length: float, beam: float, depth: float) -> Body:
    """A V from end to end: as deep as it is half wide, times what depth asks."""
    x = np.array([0.0, length])
    return closed(np.array([[(at, beam / 2, depth) for at in x], [(at, 0.0, 0.0) for at in x]]))


def wigley(length: float, beam: float, draft: float, rows: int = 81, columns: int = 161) -> Body:
    """y = (B/2) (1 - (2x/L)^2) (1 - (z/T)^2), z down from the water at T above the keel."""
    x, down = np.meshgrid(np.linspace(-length / 2, length / 2, columns), np.linspace(0.0, draft, rows))
    y = beam / 2 * (1 - (2 * x / length) ** 2) * (1 - (down / draft) ** 2)
    return closed(np.stack([x + length / 2, y, draft - down], axis=-1))


def test_a_box_is_as_deep_as_its_weight_asks() -> None:
    body = box(3000.0, 1200.0, 500.0)
    level = rests_at(body, 3000.0 * 1200.0 * 130.0, np.array([1500.0, 0.0, 200.0]))
    assert level is not None
    assert level.height == pytest.approx(130.0, abs=1e-5)
    assert level.trim == pytest.approx(0.0, abs=1e-9)
    under = immersed(body, level)
    assert under.waterplane == pytest.approx(3000.0 * 1200.0, rel=1e-9)
    assert under.wetted == pytest.approx(3000 * 1200 + 2 * 130 * (3000 + 1200), rel=1e-9)
    assert np.allclose(under.centre, (1500.0, 0.0, 65.0), atol=1e-5)


@given(st.floats(-250.0, 250.0), st.floats(50.0, 350.0))
def test_a_box_with_its_weight_off_the_middle_trims_to_where_both_are_plumb(off: float, high: float) -> None:
    """A box's keel stays under water and its edge above it while trim is small: its section along is a trapezium.

    Volume L B T; moment of the wedges about the middle B L^3 tan(trim) / 12, which the weight's lever turns against.
    """
    long, beam, draft = 3000.0, 1200.0, 150.0
    body = box(long, beam, 600.0)
    at = np.array([long / 2 + off, 0.0, high])
    level = rests_at(body, long * beam * draft, at)
    assert level is not None
    slope = np.tan(level.trim)
    shift = long**2 * slope / 12 / draft  # of the centre of buoyancy, aft
    rise = draft / 2 + shift * slope / 2
    assert shift + (rise - high) * slope == pytest.approx(off, abs=1e-3)
    assert level.at(long / 2) == pytest.approx(draft, abs=1e-4)


def test_a_wedge_sinks_by_the_root_of_its_weight() -> None:
    """V = L (B/D) d^2 / 2: similar triangles. Its centre is 2/3 of the draft up, its sides d sqrt(1 + (B/2D)^2)."""
    long, beam, deep = 4000.0, 1000.0, 500.0
    body = wedge(long, beam, deep)
    level = rests_at(body, long * (beam / deep) * 200.0**2 / 2, np.array([2000.0, 0.0, 300.0]))
    assert level is not None
    assert level.height == pytest.approx(200.0, abs=1e-5)
    under = immersed(body, level)
    assert under.centre[2] == pytest.approx(400.0 / 3, abs=1e-5)
    ends = 2 * (beam / deep) * 200.0**2 / 2
    assert under.wetted == pytest.approx(2 * long * 200.0 * np.sqrt(2.0) + ends, rel=1e-9)


def test_a_parabolic_hull_has_the_figures_of_its_closed_forms() -> None:
    long, beam, draft = 4000.0, 1000.0, 250.0
    under = immersed(wigley(long, beam, draft), Level(draft))
    assert under.volume == pytest.approx(4 / 9 * long * beam * draft, rel=PROMISED)
    assert under.waterplane == pytest.approx(2 / 3 * long * beam, rel=PROMISED)
    assert under.centre[0] == pytest.approx(long / 2, rel=PROMISED)
    assert under.centre[2] == pytest.approx(5 / 8 * draft, rel=PROMISED)
    assert under.floatation == pytest.approx(long / 2, rel=PROMISED)
    about_middle = under.inertia - under.waterplane * under.floatation**2
    assert about_middle == pytest.approx(beam * long**3 / 30, rel=PROMISED)
    # No closed form; quadrature and facets agree on 3.611733270854 m2 for these three sizes (known by calculation).
    assert under.wetted == pytest.approx(3.611733270854e6, rel=PROMISED)


@given(st.floats(0.2, 0.6), st.floats(0.44, 0.56))
def test_whatever_it_carries_a_hull_rests_with_both_centres_plumb(share: float, along: float) -> None:
    body = wigley(4000.0, 1000.0, 400.0, rows=9, columns=21)
    at = np.array([4000.0 * along, 0.0, 300.0])
    level = rests_at(body, share * body.mesh.volume, at)
    assert level is not None
    under = immersed(body, level)
    assert under.volume == pytest.approx(share * body.mesh.volume, rel=1e-7)
    assert float((under.centre - at) @ level.aft) == pytest.approx(0.0, abs=1e-3)


def test_more_than_a_body_displaces_rests_at_no_level() -> None:
    body = box(1000.0, 500.0, 200.0)
    assert rests_at(body, 1.01 * body.mesh.volume, np.array([500.0, 0.0, 100.0])) is None


@given(st.floats(-0.2, 0.2), st.floats(100.0, 400.0))
def test_what_is_under_water_and_what_is_over_it_are_the_whole(trim: float, height: float) -> None:
    """The body upside down has under water what stood over it: nothing is counted twice."""
    body = wigley(4000.0, 1000.0, 500.0, rows=7, columns=15)
    turned = Body(_upside_down(body), body.lid)
    whole = immersed(body, Level(height, trim)).volume + immersed(turned, Level(-height, -trim)).volume
    assert whole == pytest.approx(body.mesh.volume, rel=1e-9)


def _upside_down(body: Body):  # half a turn about the x axis: no mirror, so outside stays outside
    turned: Floats = body.mesh.points * (1.0, -1.0, -1.0)
    return type(body.mesh)(turned, body.mesh.triangles)

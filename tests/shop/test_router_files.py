"""Every router file of every sample, read back by two readers: one keeps arcs, one makes chords of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from boats import fair_boats
from dxf_read import entities, header, lines_on, polylines
from hypothesis import given, settings
from sample_jobs import FOLDERS, SAMPLES

from patterns.geometry.arc_lines import LEAST_RISE, WIDEST_RADIUS
from patterns.geometry.arrays import Floats
from patterns.parts.asked.rules import Boat
from patterns.parts.part import Part
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.router.contours import Contours
from patterns.shop.router.cut_lines import cut_edges
from patterns.shop.router.proof import faults_of
from patterns.shop.router.router_parts import ready_to_cut
from patterns.shop.router.router_rules import CutTo, RouterRules
from patterns.writing.ink.dxf import write_dxf

pytestmark = pytest.mark.slow

LOFTED = [FOLDERS[name] for name in SAMPLES]
ASKED_FOR_MUCH = RouterRules(
    cutter=6.35, tabs=4, tab_length=12.0, tab_height=3.0, pilot=2.4, pilot_edge=9.5, pilot_spacing=63.5,
    frame_spacing=127.0, frame_sided=19.05,
)  # fmt: skip
NET = RouterRules(cut=CutTo.FINISHED)


@pytest.fixture(scope="module", params=LOFTED, ids=lambda path: path.name)
def cut(request: pytest.FixtureRequest) -> list[tuple[Part, Contours, Contours, bytes]]:
    """Each part, cut to its finished line, cut with everything asked for, and the latter's file."""
    read = read_boat(request.param)
    parts, boat, show = loft(read.boat).parts, read.boat.name, read.boat.show
    rules = replace(ASKED_FOR_MUCH, frame_sided=read.router.frame_sided)
    net = ready_to_cut(parts, NET, boat=boat, show=show)
    much = ready_to_cut(parts, rules, boat=boat, show=show)
    return [(part, a, b, write_dxf(b)) for part, a, b in zip(parts, net, much, strict=True)]


def test_our_own_checker_finds_nothing(cut: list[tuple[Part, Contours, Contours, bytes]]) -> None:
    for _, net, much, _ in cut:
        assert not list(faults_of(net))
        assert not list(faults_of(much))


def test_what_is_cut_to_the_net_line_is_the_net_line(cut: list[tuple[Part, Contours, Contours, bytes]]) -> None:
    """Within 0.02 mm both ways, and of the same area within 0.01 %."""
    for part, net, _, _ in cut:
        [outer] = lines_on(write_dxf(net), "cut-outside")
        corners = np.array([edge.points[0] for edge in part.edges])
        near = corners - part.outline.min(axis=0)
        # An arc may reach a little beyond the points; corners are kept exactly, and show by how much all was moved.
        kept = outer.points[np.hypot(*(outer.points[:, None] - near).transpose(2, 0, 1)).argmin(axis=0)]
        np.testing.assert_allclose(kept - near, np.broadcast_to((kept - near)[0], near.shape), atol=2e-4)
        true: Floats = part.outline - part.outline.min(axis=0) + (kept - near)[0]
        flat = outer.flat(1e-4)
        apart = shapely.distance(shapely.points(flat), shapely.LinearRing(true)).max()
        back = shapely.distance(shapely.points(true), shapely.LinearRing(flat)).max()
        assert max(apart, back) < 0.02, part.title
        # Of a slender frame with legs 0.01 % is less than 0.003 mm along its edges.
        area = shapely.Polygon(true).area
        assert outer.area == pytest.approx(area, abs=max(1e-4 * area, 0.003 * outer.length))
        assert len(outer.points) < 80


def test_what_is_cut_holds_both_faces(cut: list[tuple[Part, Contours, Contours, bytes]]) -> None:
    """Square to the larger face all round: no wood of either face is lost, but for the reliefs of inside corners."""
    for part, _, much, _ in cut:
        shift = much.bounds[0] - np.concatenate(cut_edges(part, ASKED_FOR_MUCH)).min(axis=0)
        for face in (part.outline, part.far_outline):
            wood = shapely.Polygon(face + shift).buffer(0)
            lost = wood.difference(much.wood.buffer(0.05))
            assert lost.area < 60.0, part.title


def test_a_reader_that_keeps_arcs_finds_the_same_lines(cut: list[tuple[Part, Contours, Contours, bytes]]) -> None:
    for part, _, made, data in cut:
        [outer] = lines_on(data, "cut-outside")
        assert outer.closed
        # A file says places to 0.0001 mm: each may lie half of that off.
        assert outer.area == pytest.approx(made.outer.area, abs=0.5e-4 * made.outer.length)
        assert min(outer.bounds[0]) > -1e-3  # arcs and all
        assert made.bounds[0] == pytest.approx((0.0, 0.0), abs=1e-9)
        assert len(lines_on(data, "cut-inside")) == len(part.holes)
        assert all(line.closed for line in lines_on(data, "cut-inside"))
        assert {kind for kind, _ in entities(data)} <= {"LWPOLYLINE", "CIRCLE"}
        assert sum(1 for _ in polylines(data)) == (
            1 + len(made.inner) + len(made.scored) + len(made.lettering.counts)
        )  # fmt: skip
        handles = [found[5][0] for _, found in entities(data)]
        assert len(set(handles)) == len(handles)
        assert header(data, "$INSUNITS") == ["4"]
        low, high = made.bounds
        assert [float(value) for value in header(data, "$EXTMIN")][:2] == pytest.approx(low.tolist(), abs=1e-3)
        assert [float(value) for value in header(data, "$EXTMAX")][:2] == pytest.approx(high.tolist(), abs=1e-3)


def test_arcs_in_the_file_still_meet_without_a_corner(cut: list[tuple[Part, Contours, Contours, bytes]]) -> None:
    """True corners turn far more than what is allowed here.

    Rounding to 0.0001 mm turns a tangent the more the shorter its run; a limber's wall, chords on both sides of a
    seam, may run on with a turn of 0.00002 rad, and two edges in one line (a side and the leg on it) with 0.0005.
    An arc that rises 0.005 mm at the most is a straight run, which turns by four times that over its length.
    """
    for part, _, made, data in cut:
        [read] = lines_on(data, "cut-outside")
        for line, rounding in ((made.outer, 0.0), (read, 1e-4)):
            begin, end = line.tangents
            into = np.roll(end, 1, axis=0)
            turn = np.abs(begin[:, 0] * into[:, 1] - begin[:, 1] * into[:, 0])
            shorter = 1 / line.chords + 1 / np.roll(line.chords, 1)
            limit = 5e-4 + (rounding * np.sqrt(2) + 4 * LEAST_RISE) * shorter
            assert not ((turn > limit) & (turn < 1e-3)).any(), part.title


def test_every_arc_rises_enough_and_none_is_wider_than_a_controller_takes(
    cut: list[tuple[Part, Contours, Contours, bytes]],
) -> None:
    """Radius and rise from the file's own figures: R = c (1 + b^2) / 4b and rise = b c / 2 (DXF reference, bulge)."""
    arcs = 0
    for _, _, _, data in cut:
        for _, line in polylines(data):
            chords, bulges = line.chords, np.abs(line.bulges[: len(line.chords)])
            bent = bulges > 0
            arcs += int(bent.sum())
            assert (bulges[bent] * chords[bent] / 2 > LEAST_RISE - 1e-4).all()
            assert (chords[bent] * (1 + bulges[bent] ** 2) / (4 * bulges[bent]) < WIDEST_RADIUS * 1.01).all()
    assert arcs > 100


@settings(max_examples=2)
@given(fair_boats())
def test_any_fair_boat_can_be_cut_to_any_face(boat: Boat) -> None:
    """Everything is proved before it is given back: an arc off its edge or a line beside the wood would raise."""
    parts = loft(boat).parts
    for rules in (ASKED_FOR_MUCH, replace(NET, cutter=3.0), RouterRules(cut=CutTo.SMALLER, cutter=12.0)):
        assert len(ready_to_cut(parts, rules, boat=boat.name, show=boat.show)) == len(parts)


def test_gdal_finds_the_same_areas_layers_and_rings(
    cut: list[tuple[Part, Contours, Contours, bytes]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """GDAL turns bulges into chords of 4 degrees unless told otherwise; edges 70 m in radius want a hundredth."""
    monkeypatch.setenv("OGR_ARC_STEPSIZE", "0.01")
    import pyogrio.raw

    for _, _, made, data in cut:
        path = tmp_path / "part.dxf"
        path.write_bytes(data)
        fields, _, shapes, values = pyogrio.raw.read(path, columns=["Layer"])
        layers = values[list(fields["fields"]).index("Layer")]
        [outline] = [shapely.from_wkb(shape) for shape in shapes[layers == "cut-outside"]]
        assert outline.is_ring
        assert shapely.Polygon(outline.coords).area == pytest.approx(made.outer.area, rel=1e-4)
        wanted = {score.layer for score in made.scored} | {"cut-outside"}
        wanted |= {"text-names"} if len(made.lettering.counts) > made.lettering.bevels else set()
        wanted |= {"drill"} if made.drilled else set()
        wanted |= {"text-bevels"} if made.lettering.bevels else set()
        assert set(layers) == wanted | ({"cut-inside"} if made.inner else set())
        assert (layers == "drill").sum() == len(made.drilled)


def test_the_library_that_did_not_spell_the_entities_reads_them(
    cut: list[tuple[Part, Contours, Contours, bytes]], tmp_path: Path
) -> None:
    import ezdxf

    _, _, made, data = cut[0]
    path = tmp_path / "part.dxf"
    path.write_bytes(data)
    document = ezdxf.readfile(path)  # type: ignore[attr-defined]
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    [outline] = document.modelspace().query('LWPOLYLINE[layer=="cut-outside"]')
    assert outline.closed
    assert len(outline) == len(made.outer.points)
